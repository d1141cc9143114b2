//! The catalogue of diagnostics: every id, what it says in short, and its explanation.
//!
//! An id is a topic and a number, so that it can be said aloud. Errors and warnings of one topic
//! stand together: the topics of the stand file first, then those of what a run shows. A new entry
//! takes the next number of its topic; an id is never used again for something else.

/// A kind of diagnostic.
#[derive(Debug, PartialEq, Eq)]
pub struct Code {
    /// For example `quantity-5`.
    pub id: &'static str,
    /// In a few words.
    pub title: &'static str,
    /// At length, with an example of what to write.
    pub explanation: &'static str,
}

impl Code {
    /// The word before the number.
    #[must_use]
    pub fn topic(&self) -> &'static str {
        self.id.rsplit_once('-').map_or(self.id, |(topic, _)| topic)
    }
}

/// The entry of an id; upper and lower case count as equal.
#[must_use]
pub fn find(id: &str) -> Option<&'static Code> {
    ALL.iter().copied().find(|c| c.id.eq_ignore_ascii_case(id))
}

macro_rules! catalogue {
    ($($name:ident $id:literal $title:literal $explanation:literal)*) => {
        $(
            #[doc = concat!($id, ": ", $title, ".")]
            pub static $name: Code = Code { id: $id, title: $title, explanation: $explanation };
        )*
        /// All codes, in order.
        pub static ALL: &[&Code] = &[$(&$name),*];
    };
}

catalogue! {
    BARE_NUMBER "quantity-1" "a number has no unit"
    "Every value that has a dimension is written as text with its unit, so that nobody has to
guess. Numbers without dimension (coefficients, fractions) may stand bare.

    volume = 50            is refused
    volume = \"50 L\"        is right
    discharge_coefficient = 0.62"

    NO_QUANTITY "quantity-2" "the text is no quantity"
    "A quantity is a decimal number and its unit, perhaps with an uncertainty:

    \"50 L\"    \"50 L ± 2 %\"    \"400 psig +- 5 psi\"    \"0.60 .. 0.66\"

Numbers have a decimal point and no commas; fractions of an inch are written as decimals."

    UNKNOWN_UNIT "quantity-3" "the unit is not known"
    "Units are spelled as in the trade: mm, in, L, gal, kg, lbm, s, ms, degC, degF, K, R, bar, psi, kPa,
kg/s, gpm, scfm, slpm, Nm3/h, Cv, Kv, mm2 and so on. Upper and lower case count: mPa is not
MPa. A few names stand for one of several units: gal is the US gallon, scfm is counted at
60 degF and 14.696 psia, slpm and Nm3/h at 0 degC and 1.01325 bar(a)."

    WRONG_DIMENSION "quantity-4" "the unit measures something else"
    "The unit is known but does not measure what this key holds, for example a mass where a
length is wanted. For gas flows, note that L/min and cfm are volumes at the conditions of
the place, while slpm, scfm and Nm3/h are amounts of gas."

    AMBIGUOUS_PRESSURE "quantity-5" "gauge or absolute is not said"
    "A pressure level is counted from the surroundings (gauge) or from vacuum (absolute). A bare
bar or psi leaves that open, and the two differ by a whole atmosphere.

    pressure = \"32 bar\"      is refused
    pressure = \"32 bar(g)\"   gauge; also 32 barg
    pressure = \"33 bar(a)\"   absolute; also 33 bara
    pressure = \"450 psig\"    or psi(g), psia, psi(a)

A difference (droop, cracking pressure) has no such reference and is written bare."

    DIFFERENCE_WITH_REFERENCE "quantity-6" "a difference is called gauge or absolute"
    "The fall of a regulator or the cracking pressure of a check valve is the difference between
two pressures. It is neither gauge nor absolute.

    droop = \"4 bar(g)\"    is refused
    droop = \"4 bar\"       is right"

    TEMPERATURE_DIFFERENCE "quantity-7" "a temperature difference in a scale with a zero of its own"
    "degC and degF are scales for levels: 5 degC is 278.15 K. A difference of temperature is
written in K or R: 5 K."

    BAD_UNCERTAINTY "quantity-8" "the uncertainty cannot be read"
    "Behind ± (or +-) stands half the width of the interval that holds 95 % of what is expected,
in a unit of the value or in per cent of the number as written:

    \"50 L ± 2 %\"    \"400 psig ± 5 psi\"    \"18 degC ± 2 K\"    \"0.62 ± 0.02\"

Per cent of a temperature in degC or degF, of a percentage, or of zero has no clear
meaning and is refused."

    BAD_RANGE "quantity-9" "the range cannot be read"
    "A range stands for equal chance between its ends; the lower end comes first, and both are
the same kind of quantity. A unit that stands once holds for both.

    \"0.60 .. 0.66\"    \"400 .. 420 psig\""

    NOT_FINITE "quantity-10" "the number is not finite"
    "The number is infinite, undefined or too large to compute with."

    NO_GAUGE_HERE "quantity-11" "gauge pressure has no meaning here"
    "Gauge pressures are counted from the pressure of the surroundings, so that pressure itself
is given absolute, or as an altitude.

    [ambient]
    pressure = \"1.013 bar(a)\"    or    altitude = \"1200 m\""

    SYNTAX "file-1" "the file is not well-formed"
    "The stand file is TOML: tables in square brackets, one key = value a line, text in double
quotes. The place shown is where reading could not go on; the slip is there or just before it."

    EMPTY "file-2" "the file holds no component"
    "A stand has at least one volume (bottle, plenum, tank). `pressfed new` writes a file to begin
with."

    UNKNOWN_KIND "file-3" "the table is of no known kind"
    "A table is headed by the kind and the name of a component, as in [bottle.supply]. The kinds
are bottle, plenum, tank, regulator, check_valve, relief, burst_disc, orifice, valve, line,
venturi. Further tables are ambient, display, model, perfect_gas, run, sequence, requirement,
limit, and the line title = \"...\"."

    UNKNOWN_KEY "file-4" "the key is not known in this table"
    "The key does not belong to this kind of table. A key that is not understood is never
passed over, because a misspelled key would silently leave its default in place."

    MISSING_KEY "file-5" "a required key is missing"
    "The component cannot be computed without this value, and no default would be honest."

    WRONG_TYPE "file-6" "the value is of another type"
    "For example a list where a single value is wanted, or a table where a text is wanted."

    NAME_TAKEN "file-7" "the name is used twice"
    "Components are referred to by their names alone (from, to, open, close, columns of the
history), so no two may share one, even if they are of different kind. The names
ambient and time are taken."

    NOT_MODELLED "file-8" "the kind is not modelled yet"
    "The kind is known by name, but this version has no equations for it. It is refused rather
than passed over."

    NO_NAME "file-9" "the component has no name"
    "A component's table carries its kind and its name: [bottle.supply], not [bottle]."

    EITHER_OR "file-10" "keys that exclude or need each other"
    "Some values can be given in several ways, but only in one of them at a time: the amount of
liquid as fill or as ullage; an orifice as diameter with discharge_coefficient or as
effective_area; wall friction as roughness or as friction_factor."

    UNKNOWN_WORD "file-11" "the word is none of the choices"
    "The key takes one of a few words; they are listed with the error."

    BAD_NAME "file-12" "the name cannot be used"
    "Names of components consist of letters, digits, _ and -; they head columns of tables and
stand in conditions."

    BAD_OVERRIDE "file-13" "the override does not fit the file"
    "An override names a value by kind, name and key, as in

    --set bottle.supply.volume=\"7 L\"    --set run.until=\"30 s\""

    BAD_POINTS "file-14" "the points make no curve"
    "A curve is a list of pairs, the first numbers of which rise:

    flow_curve = [[\"0 scfm\", \"32 bar(g)\"], [\"20 scfm\", \"31 bar(g)\"], [\"60 scfm\", \"28 bar(g)\"]]
    characteristic = [[0, 0], [0.5, 0.2], [1, 1]]"

    BAD_FITTING "file-15" "a fitting cannot be read"
    "The fittings of a line are a list, each with how many there are:

    fittings = [\"1 entrance sharp\", \"2 elbow 90\", \"1 tee through\", \"1 ball valve of 12 mm\",
                \"1 contraction from 22 mm\", \"1 expansion to 22 mm at 30 deg\"]

elbow 90, elbow 45 (threaded); bend 1, 1.5, 2, 3, 4, 6, 8, 10, 12, 14, 16 or 20 bores (of 90 degrees and
of this radius); return bend; mitre 15, 30, 45, 60, 75, 90; tee through, tee branch; ball, gate, plug,
globe, angle, butterfly, diaphragm valve; swing check, lift check, angle lift check, hinged foot valve;
entrance sharp, rounded (by 0.15 bores or more), inward; contraction from, expansion to (sudden, or at the
whole angle of a cone). A valve may be narrower than the line: of 12 mm. Bends are written bend 1 bore,
bend 1.5 bores and so on. Valves that move have a table of their own, and what a line loses where it ends
in a volume is counted already. Losses by Crane TP-410, for turbulent flow."

    UNKNOWN_COMPONENT "plumbing-1" "no component has this name"
    "from and to name the component that this one is plumbed to: a volume (bottle, plenum, tank,
ambient) or, for a chain of liquid branches, the branch upstream. A chain has one flow, from its tank:
gas that is to purge it goes to the tank's gas, from where it follows the last of the liquid:

    [valve.purge]
    from = \"purge_bottle\"
    to = \"fuel.gas\"
    flow_coefficient = \"0.1 Cv\"
    stroke_time = \"50 ms\""

    OPEN_END "plumbing-2" "the branch ends nowhere"
    "Every branch leads from somewhere to somewhere. In a chain, the next branch names this one
with its from; the last one says with to where the chain ends."

    GAS_JOINT "plumbing-3" "two gas branches meet without a volume"
    "Gas between two restrictions fills a volume, however small, and its pressure follows from
what is in it. Put a plenum with the volume of the pipe there:

    [plenum.press_line]
    volume = \"50 mL\""

    FORK "plumbing-4" "the chain forks"
    "A chain of liquid branches has one flow. Where it splits, each part needs a volume to start
from; a manifold without stated volume cannot be computed here. Let each chain start
from the tank."

    LOOP "plumbing-5" "branches form a loop without a volume"
    "Following the branches leads back to where it began and no volume lies on the way, so no
pressure is fixed anywhere in the loop. Each chain begins at a volume."

    NOT_CONNECTED "plumbing-6" "a component is connected to nothing"
    "A volume that no branch reaches, while other components are plumbed, is most often a slip in a
from or to."

    WRONG_PORT "plumbing-7" "the component has no such port"
    "A tank has two ports: NAME.liquid (lines, valves and orifices downstream of it: the default of from) and
NAME.gas (gas inlets: the default of to; vents). Other volumes have one port and are named without."

    WRONG_PHASE "plumbing-8" "the component does not work in this phase"
    "Regulators and check valves stand in gas, lines in either. Liquid chains start at a tank's
liquid and end in the ambient or in another tank's liquid."

    SAME_ENDS "plumbing-9" "both ends are the same volume"
    "A branch that starts and ends in the same volume moves nothing."

    VOLUME_IDLE "plumbing-10" "a volume is not connected"
    "No branch reaches this volume. It is computed, but nothing flows in or out of it."

    OUT_OF_RANGE "state-1" "the value is physically impossible"
    "For example a volume that is not above zero, a fraction above one, a pressure below vacuum."

    OVERFILLED "state-2" "more liquid than the tank holds"
    "The liquid at its temperature takes more room than the tank has. Note that liquids expand:
a mass takes more room when warm."

    TIGHT_ULLAGE "state-3" "too little ullage"
    "Liquids are taken as incompressible, which does not hold for a tank that is filled to the
brim. At least 0.5 % of the volume is gas. In practice, ullage is several per cent."

    UNKNOWN_FLUID "state-4" "the fluid is not known"
    "What a stand can hold is listed by pressfed fluid --list. A gas of your own, for teaching and for checks
against closed forms:

    [perfect_gas.NAME]
    heat_capacity_ratio = 1.4
    molar_mass = \"28 g/mol\""

    FLUID_RANGE "state-5" "the state is outside of the fluid's data"
    "Properties come from published equations with stated ranges of temperature and pressure, and
are never extrapolated. The state, the fluid and its range stand in the message."

    BELOW_VAPOUR_PRESSURE "state-6" "the pressure is below the vapour pressure"
    "With vapour = \"equilibrium\" the ullage holds saturated vapour of the liquid besides the gas, so
its total pressure cannot be below the vapour pressure at the liquid's temperature.

A liquid that boils is taken to have boiled so far at one standard atmosphere. Where the tank stands
higher up, or was vented at another pressure, say at which:

    [tank.lox]
    saturated_at = \"0.85 bar(a)\"

A liquefied gas under its own vapour starts at the pressure at which it boils:

    [tank.oxidizer]
    saturated_at = \"50 bar(a)\"
    pressure = \"50 bar(a)\""

    IMPOSSIBLE_SHAPE "state-7" "volume and diameter do not fit"
    "The two ends of a cylinder of this diameter alone hold more than the tank's volume. Check
whether the diameter is inner, and whether the volume includes the ends."

    BAD_CURVE "state-8" "the curve is not physical"
    "A regulator's outlet falls as its flow rises; a characteristic rises from (0, 0) to (1, 1); a
level table rises in both columns."

    TOO_MANY_SPECIES "state-9" "too many gases in one network"
    "Gases that are connected mix, and each of them is counted in each volume. At most five are
carried, vapours and air included."

    MIXED_LIQUIDS "state-10" "a chain leads one liquid into another"
    "Liquids do not mix here: a chain that ends in a tank carries the liquid that the tank holds."

    GAP "state-11" "a full line behind a dry one"
    "Liquid fills a chain from the tank on, so a line that is full at the start has only full lines
before it."

    SET_ABOVE_SUPPLY "state-12" "the set pressure is not below the supply"
    "The regulator's set pressure is at or above the pressure of what feeds it, so it is wide open from the
start and does not regulate."

    LIQUID_IN_BOTTLE "state-13" "a gas is liquid as it is stated"
    "Carbon dioxide, nitrous oxide, propane and others are liquid in a bottle at room temperature above
their vapour pressure, and methane or oxygen when cold; so they are in the ullage of a tank that is colder, or
higher in pressure, than they boil at. A vessel and an ullage here hold gas.

    pressure = \"40 bar(g)\"    carbon dioxide at 18 degC: gas below 54 bar(a)"

    MISFIT "state-14" "sizes of parts that do not fit each other"
    "A line that holds more than its tank, an orifice wider than the line before it, a regulator that droops by
all of its set pressure, a bottle beyond 700 bar, a tank taller than 30 m: mostly a slip of a unit or of a decimal point. It is computed as
it stands."

    DECOMPOSES "state-15" "a fluid that may decompose"
    "Hydrogen peroxide decomposes slowly by itself, quickly on contaminants and on many metals, and runs away when its
heat cannot leave: oxygen and steam then raise the pressure of whatever is shut. Nitrous oxide decomposes violently as
a gas where it is heated, compressed fast, or met by fuel, oil or a catalyst. Neither reaction is
computed: temperatures and pressures printed here are those of fluids that do not react. Materials, cleanliness,
vents and reliefs for them are matters of licensed practice and of the codes of the place."

    COLD_START "state-16" "a liquefied gas is taken as cold as it boils in the open"
    "Nitrous oxide, carbon dioxide and propane are kept at the temperature of the room under their own pressure. A tank
for which neither a temperature nor a pressure of saturation is written holds them as cold as they boil at the pressure
of the surroundings, as after a fill into an open tank. For one that stands under its own vapour write both, the same:

    [tank.ox]
    liquid = \"nitrous oxide\"
    gas = \"nitrous oxide\"
    saturated_at = \"50.5 bar(a)\"    about 20 degC
    pressure = \"50.5 bar(a)\""

    BAD_TRIGGER "sequence-1" "a step of the sequence needs a time or a condition"
    "A step has either at (a time) or when (a condition), and one or more of open and close:

    [[sequence]]
    at = \"5 s\"
    open = \"run\"

    [[sequence]]
    when = \"fuel.liquid_mass < 0.3 kg\"
    close = \"run\""

    UNKNOWN_VALVE "sequence-2" "no valve has this name"
    "open and close name a component of kind valve."

    UNKNOWN_OBSERVABLE "sequence-3" "no such quantity is observed"
    "Conditions, requirements and limits name a component and one of its quantities, without unit:
fuel.pressure, fuel.liquid_mass, run.mass_flow. The quantities of the component are
listed with the error."

    BAD_TIME "sequence-4" "the time is not usable"
    "Times count from the start of the run; a step cannot come before it."

    BAD_CONDITION "sequence-5" "the condition cannot be read"
    "A condition is a quantity, < or >, and a value with its unit: \"fuel.liquid_mass < 0.3 kg\".
Requirements and limits are a relation (<=, >=, <, >) and a value: \"<= 40 bar(g)\"."

    IDLE_STEP "sequence-6" "a step of the sequence does nothing"
    "A step that opens or closes nothing is most often a slip in a key."

    LATE_STEP "sequence-7" "a step of the sequence comes after the end"
    "The step's time lies beyond the end of the run, so it is never taken."

    IDLE_VALVE "sequence-8" "a valve is never commanded"
    "No step of the sequence opens or closes this valve; it stays as it starts."

    CONDITION_NEVER_MET "sequence-9" "a condition was never met"
    "The run ended before the condition came true, so its command was never given. Check the threshold
and the name of the quantity, or give the command at a time as well.

    [[sequence]]
    when = \"fuel.liquid_mass < 0.3 kg\"
    close = \"run\""

    CONDITION_TRUE_AT_START "sequence-10" "a condition was true from the start on"
    "A command is given when its condition becomes true; one that is true at the start waits until it
has been false. To act at once, write at = \"0 s\" instead."

    BAD_RUN "run-1" "the run cannot be made"
    "The run ends after it starts, its output step is above zero and not longer than the run, and
the history stays below ten million rows."

    OPENED_AGAIN "run-2" "a valve opens again after its flow"
    "The figures of a flow are taken from the first opening to what ends it. What a valve does after it
was shut is in the history and in the limits, which hold for the whole run, but not in the
figures of its flow. To read the figures of a later opening, let the sequence begin with it."

    STILL_RISING "run-3" "a highest pressure is that of the end of the run"
    "The pressure rises until the run ends, so that its peak is yet to come: a tank that is still being
filled, a cold gas that warms up behind a shut valve. Extend the run until the pressure has turned or
settled.

    [run]
    until = \"60 s\""

    FROST "gas-1" "water vapour below its triple point"
    "Gas that carries water vapour has become colder than 273.16 K, where water freezes. The vapour is
kept as a dilute gas; on a stand, frost may form on seats and filters. Use dry gas."

    BOTTLE_COOLS "gas-2" "the bottle cools as it empties"
    "Gas that expands in its bottle cools, and cold gas has less pressure than the same mass of warm
gas. An isothermal estimate of the end pressure is too high; it is reached only after the bottle has
warmed up again."

    HOT_OXYGEN "gas-3" "hot gas with oxygen in it"
    "A volume whose gas may hold oxygen or air becomes hotter than 60 degC. Gas that is let quickly into
a closed end is compressed adiabatically and heats; in oxygen this can ignite seats, seals,
grease and dirt. Fast-opening valves on oxygen gas lines are a known cause of ignition. The
temperature here is the mean of the volume, or of the hottest layer where an ullage is divided into
layers: the gas at a dead end can be far hotter. Design, clean and
operate by oxygen-system practice, the codes of the place, and people trained in it; this
program judges none of that."

    DISSOLVES "gas-4" "the pressurant goes into the liquid"
    "Nitrogen over liquid oxygen or methane, argon or air over either, and other gases over a liquid that is as
cold as they boil: below its saturation pressure at the liquid's temperature a gas dissolves, above it
condenses into the surface. The mole fraction that is printed is that of an ideal solution in equilibrium,
(p - p_liquid)/(p_gas - p_liquid) with the saturation pressures at the liquid's temperature; of air each part
counts for itself. It is foreseen at the highest pressure that a regulator sets, and after a run told at the
highest that came. What a still surface takes up of a pure gas is counted (dissolution = \"diffusion\"), of air
nothing; a surface that is stirred or sloshes takes up many times more, so that the predicted need of gas is a
lower bound. Liquid at the surface is diluted. Helium hardly dissolves.

Carbon dioxide, nitrous oxide and propane over warm fuels and alcohols are told of in the same way, though no uptake
is counted there, and alcohols hold less of the first two than an ideal solution would. By Henry's law
water holds of carbon dioxide and nitrous oxide about its own volume at low pressures; at tens of bar less (of the
former 0.8 volumes of the real gas at 11 bar and 0.5 at 46 bar, at 18 degC). A gas that is not far above its critical
temperature is told of too: its saturation pressure is led on beyond that, and it does not boil there."

    GAS_CONDENSES "gas-5" "the gas in a bottle condenses"
    "Gas that expands fast cools along its isentrope, and may cross its dew line: nitrogen from 300 bar
without heat from the bottle ends partly liquid. The bottle is then taken as liquid and vapour in equilibrium
and as well mixed. Heat from the wall counts for much here; see heat_transfer."

    INLET_JET "gas-6" "an inlet jet outside its correlations"
    "The jet of a straight inlet pipe stirs the ullage by published correlations, each with a range: its
reach for Froude numbers above 3, its transfer to the surface for Reynolds numbers from 2000 to 400 000
and for 2 to 12 bores from the pipe to the liquid. Outside they are led on, and what the gas
loses is less well known. A diffuser spreads the gas and saves much of it:

    [tank.lox]
    inlet = \"diffuser\""

    FREEZES "gas-7" "a gas is colder than it freezes"
    "Over a cryogenic liquid every gas comes down to its temperature. Nitrogen freezes at 63 K, which is
above liquid hydrogen; argon, methane and carbon dioxide freeze over liquid nitrogen; water
freezes over all of them. Helium that expands from a pressed tank becomes colder than the vapour
in it freezes: of that, what the gas cannot hold comes down into the liquid. Everything else stays a
gas here; on a stand it is snow that clogs vents, valves and filters, and a plugged vent is a danger to
life. Use helium over hydrogen, dry gas,
and purges by the practice of the place."

    FUEL_VAPOUR "gas-8" "a fuel and an oxidizer may meet"
    "A volume may hold a fuel, or its vapour, and air or another oxidizer: a tank was not purged, is pressed
with air, or gas can come to it from an oxidizer's side through a valve or an orifice that lets it
pass both ways. Vapour of a fuel burns with it, compression heats it, and a closed tank bursts. Say
what the ullage holds at the start, and press with an inert gas:

    [tank.fuel]
    gas = \"nitrogen\"

A check valve on each side keeps the gases apart as far as it is tight. Purging, and when it is
enough, are matters of the codes of the place and of people trained in them; this program judges
none of that."

    GAS_LINE "gas-9" "a gas line outside of its equations"
    "The flow of gas through a long line is that of a perfect gas with friction and without heat from the wall
(Fanno flow), with the real density before it. A gas far from perfect, and a flow that is neither laminar nor
turbulent, are led on by the same equations and are less well known. Measure the flow, and give the line as an
orifice or with a friction_factor that repeats it."

    NOZZLE "gas-10" "a nozzle outside of its standard"
    "An orifice with throat_shape = \"toroidal\" is taken as a nozzle of ISO 9300, whose discharge coefficient
follows from the Reynolds number of its throat: 0.9959 - 2.720/sqrt(Re), with Re = 4 m/(pi d mu) and the
viscosity of the gas before it, at rest. The standard gives it for critical flow, in which the pressure behind no
longer counts, for Re from 2.1e4 to 3.2e7 (from memory), and for the forward direction. Elsewhere the same formula
is led on, and the flow is less well known: take a throat that is critical for the whole run, or give a
discharge_coefficient that was measured."

    HOT_FILM "gas-11" "a gas is hotter than its transport data"
    "Viscosity and conductivity of each gas are tabled up to a temperature: methane to 620 K, nitrous oxide to
520 K, most gases to 1000 K. Where a gas is hotter, as the uppermost of an ullage that is pressed at once from 1 to
20 bar, the film at walls and liquid takes them as at that end (a vapour that is a small part: led on by a power of the
temperature), and what heat the gas gives away is less well known. The equation of state has its own end, which ends a
run. Press more slowly, with a narrower press valve or an orifice before it: so hot a gas stresses seals and
walls, too."

    CAVITATION "liquid-1" "an orifice or valve may cavitate"
    "The cavitation index (p1 - pv)/(p1 - p2) has fallen below 1.5. The discharge coefficient then
depends on cavitation and on hydraulic flip, and the flow may be lower than predicted. Raise
the back pressure, or take a coefficient measured under these conditions."

    CHOKED_LIQUID "liquid-2" "liquid chokes in a throat"
    "The pressure in the throat of a valve, venturi or orifice has come down to the liquid's vapour
pressure. The liquid boils there, the flow no longer answers to the pressure behind, and the
restriction may be damaged in long runs. How much flows follows from its liquid pressure recovery
factor (F_L of IEC 60534-2-1), which its maker measures:

    [valve.run]
    liquid_recovery = 0.74

A venturi is made to choke, and meters so: its flow follows from the pressure before it, its throat and
its discharge_coefficient, which a calibration measures. choking_ratio says from what outlet pressure
down it does."

    FAST_SHUTTING "liquid-3" "a valve shuts faster than the rigid column can tell"
    "The liquid in a line is taken as a rigid column, whose pressure before a shutting valve grows
without bound as the stroke gets shorter. A liquid is elastic: stopped before a wave has come back
from the tank (2L/a), its pressure rises by Joukowsky's rho a v, and by what friction took along the
line. The end of such a stroke is reckoned anew with waves, the pressure in the tank and behind the
valve held. The history keeps the rigid column's pressures; the highest inlet pressure and every limit
on the chain's pressures are judged by the waves, or by p + rho a v where the line is not full or the
column parts first. A column that parts after the first peak strikes again where its parts meet,
perhaps harder: that is not reckoned. Gas bubbles lower it; a wall that gives way does, too, if the line has one:

    [line.feed]
    wall_thickness = \"1.2 mm\"

Shut more slowly, with two times in place of stroke_time:

    [valve.run]
    opening_time = \"20 ms\"
    closing_time = \"100 ms\""

    FRONT_ARRESTED "liquid-4" "liquid strikes a restriction"
    "A line that fills against nothing but gas lets the liquid run fast, until its front strikes an
orifice or valve. The rigid column then gives m2/(2 rho CdA2) at once; an elastic liquid is slowed by
a wave, rho a (v0 - v) = rho (v A/CdA)2/2, and its pressure is at most p + rho a v0. The gas ahead is
taken to escape without resistance, so that the front is at its fastest. Fill the line slowly, or
begin with it full."

    COLUMN_PARTS "liquid-5" "the liquid column parts"
    "The pressure at a joint of a chain falls below the liquid's vapour pressure: at the top of a
siphon, or behind a valve that shuts before a long line. A liquid boils there and its column parts; the
model lets it hang on and carry tension, so that flow and pressures after it are not those of a stand.
When the parts meet again they strike as hard as a shutting valve. Lower the place, raise the tank's
pressure or shut more slowly."

    LAMINAR_FITTINGS "liquid-6" "fittings in laminar flow"
    "Loss coefficients of bends and fittings are those of turbulent flow. Below a Reynolds number of about
4000 they grow, to several times as much below 100; the flow is lower than predicted. Give a
minor_loss that was measured with this liquid at this flow."

    GAS_INGESTED "liquid-7" "gas is drawn in before the outlet uncovers"
    "Over an outlet that drains fast the surface dips, and the dip reaches the outlet while liquid still
stands around it: at a height of 0.69 (Q^2/g)^(1/5) in still liquid (Lubin and Springer 1967), earlier where the
liquid turns. From then on gas and liquid flow together, which is not modelled: flow, pressures and liquid
used are not to be trusted after that time. An anti-vortex plate, a wider outlet or a smaller flow lowers it.

    [tank.fuel]
    residual = \"0.4 L\"      what the outlet leaves behind, if it was measured
    ingestion = \"dip\"       gas follows as soon as the dip reaches the outlet"

    SURFACE_LAYER "liquid-8" "heat goes through a cryogen's surface layer"
    "Under a pressed or shut tank the surface of a cryogen is warmer than its bulk, and heat goes down from it, about
2 sqrt(m a t) deep in a time t, with the diffusivity a of the liquid times its mixing m. The surface layer
is carried in fine steps, the bulk below it has one temperature: where heat arrives there it is spread over
all of it, the surface is kept too cold and a shut tank rises too slowly. Make the layer as deep as the
warning says:

    [tank.lox]
    surface_layer = \"50 mm\""

    DRY_ICE "liquid-9" "carbon dioxide goes below its triple point"
    "Below 5.18 bar(a) carbon dioxide is solid or gas, never liquid. Let out into the open air or into a tank of less
pressure, the liquid becomes snow and gas in its last restriction: dry ice blocks valves, lines and reliefs, may trap
pressure that rises as it warms, and is 78 degrees below zero. The flow that is computed is that of a liquid up to the
end. Keep more than 5.18 bar(a) behind the last restriction, or let gas out in place of liquid; what traps pressure is
for licensed practice and the codes of the place."

    PART_LIFT "valve-1" "a check valve floats"
    "The check valve flows without ever reaching full lift. A poppet that floats may chatter and wear;
a smaller valve would open fully."

    RELIEF_LIFTS "relief-1" "a relief valve lifts in an ordinary run"
    "A relief valve is there for what goes wrong. One that lifts while nothing has failed loses gas,
wears its seat, and may not shut tightly again; the margin to what it protects is used up. Lower the
pressure that lifts it, or set it higher as far as what it protects allows."

    RELIEF_BELOW_LOCK_UP "relief-2" "a relief valve is set below a regulator's lock-up"
    "Without flow the regulator fills the volume up to its lock-up pressure, so that a relief valve set at or
below it opens each time and blows until the supply is empty. Leave room for its reseat pressure, too."

    RELIEF_CYCLES "relief-3" "a relief valve lifts again and again"
    "It lifts, the pressure falls, it reseats, and is lifted anew. Such cycles hammer on the seat; on a
stand the valve may chatter at its own frequency, which is not modelled. A smaller valve, or a slower
source of pressure, ends them."

    RELIEF_ABOVE_LIMIT "relief-4" "a relief valve is set above a limit of its volume"
    "The limit says what the volume must not exceed, and the relief valve that is to keep it there opens only
above. Set pressures of relief valves follow from the codes of the place and what the weakest part stands."

    NO_RELIEF "relief-5" "a tank behind a regulator has no relief"
    "A regulator can fail open: a torn diaphragm, dirt on its seat. The tank behind it then goes towards the
pressure of the bottle unless something opens. The stand file holds no relief valve and no burst
disc on this tank. If the stand has one, put it in, so that its margin is told; if it has none, it is
usual not to pressurise the tank. What is needed, and how large, is decided by local codes, the authority
having jurisdiction and licensed practice; size --relief computes one case of it.

    [relief.guard_relief]
    from = \"fuel.gas\"
    to = \"ambient\"
    set_pressure = \"36 bar(g)\"
    effective_area = \"40 mm2\""

    NO_VENT "relief-6" "a tank of boiling liquid has no vent"
    "A liquid that boils below room temperature gives off vapour as long as heat comes in. While the tank is
filled and waits, a vent stands open; it is shut only to press the tank. Without one the pressure rises
until a relief opens or the tank bursts. Put in what the stand has, and when it moves:

    [valve.vent]
    from = \"lox.gas\"
    to = \"ambient\"
    flow_coefficient = \"2 Cv\"
    stroke_time = \"100 ms\"
    at_start = \"open\""

    NOT_AT_LOCK_UP "regulator-1" "a regulator is not at lock-up when the flow is commanded"
    "The outlet still rises because the regulator has not yet filled what is behind it. The figures
then start from a pressure below lock-up. Command the flow later, or start the tank at pressure."

    DROOP "regulator-2" "lock-up is not the run pressure"
    "A regulator's outlet falls as it flows. The lock-up pressure, which a gauge shows before the run,
is what the tank and its relief must stand; the flow is driven by the lower flowing pressure."

    REGULATION_LOST "regulator-3" "a regulator is wide open"
    "The regulator can open no further. While it is, it is a fixed orifice, and tank pressure and flow
follow the falling bottle pressure. A larger flow coefficient, a fuller or larger bottle, or a
smaller flow keep it regulating for longer."

    ABOVE_LOCK_UP "regulator-4" "a regulator's outlet stands above lock-up"
    "Some time in the run the outlet is higher than the lock-up pressure that the regulator has at its
supply pressure then: that volume started higher, gas came from elsewhere, or what it holds has warmed.
A regulator closes but does not vent, so that the pressure stays until gas is used. Limits and relief
must stand it."

    BEYOND_CURVES "regulator-5" "a regulator is supplied outside of its flow curves"
    "The supply pressure leaves the range in which the regulator was measured. There the nearest flow
curve is taken for granted and lock-up is led on straight. Add a curve at that supply pressure:

    flow_curves = [
      { supply = \"60 bar(g)\", curve = [[\"0 scfm\", \"33 bar(g)\"], [\"20 scfm\", \"30 bar(g)\"]] },
      { supply = \"180 bar(g)\", curve = [[\"0 scfm\", \"32 bar(g)\"], [\"60 scfm\", \"28 bar(g)\"]] },
    ]"

    CREEP "regulator-6" "a regulator creeps into a relief"
    "A seat that leaks goes on filling what is shut in behind it (creep), up to the supply pressure if
nothing opens. With the stated seat_leakage a relief opens within an hour of lock-up. Do not leave the
stand pressed for so long, or put a better seat in; a real seat gets worse with dirt and wear, and a
shut-off valve before the regulator is what ends creep."

    OVERSHOOTS "regulator-7" "a regulator overshoots at lock-up"
    "A regulator closes as late as its response time, and what it lets by until then stays behind it. How much
that raises the outlet depends on the volume there: the smaller it is, the less damped is the loop of both.
What was seen is of this run; the damping ratio and the overshoot from wide open are the worst of it, with the
highest supply and every valve behind shut. Limits and relief must stand it. Put a larger volume behind the
regulator, take a smaller or a faster one, or fill slowly through an orifice.

A run begins at t = 0 with every volume as the stand file fills it and every bottle open. A pipe that is
left at ambient beside a full bottle is filled within milliseconds of t = 0, which no bottle valve
does. Where the lines are pressed before the run, say so:

    [plenum.press_line]
    volume = \"0.5 L\"
    pressure = \"30 bar(g)\"
    [regulator.press]
    response_time = \"5 ms\"        if it was measured"

    CREEPS_PAST_LIMIT "regulator-8" "a regulator creeps past a limit"
    "A seat that leaks goes on filling what is shut in behind it (creep). With the stated seat_leakage a
[limit] on a pressure there is passed within an hour of lock-up, and no relief of the stand file opens before.
Do not leave the stand pressed for so long, shut off and vent what stands by, or put a better seat in. What a
vessel stands, and what has to protect it, is decided by local codes, the authority having jurisdiction and
licensed practice."
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn topics_count_from_one_and_each_entry_explains_itself() {
        let mut topics = Vec::new();
        for of_topic in ALL.chunk_by(|a, b| a.topic() == b.topic()) {
            let topic = of_topic[0].topic();
            assert!(!topics.contains(&topic), "{topic} stands in two places");
            topics.push(topic);
            for (i, code) in of_topic.iter().enumerate() {
                assert_eq!(code.id, format!("{topic}-{}", i + 1));
            }
        }
        for code in ALL {
            assert!(
                code.explanation.len() > code.title.len() && !code.title.is_empty(),
                "{}",
                code.id
            );
        }
    }

    #[test]
    fn a_code_is_found_in_any_case() {
        assert_eq!(find("Quantity-5"), Some(&AMBIGUOUS_PRESSURE));
        assert_eq!(find("quantity-99"), None);
    }
}
