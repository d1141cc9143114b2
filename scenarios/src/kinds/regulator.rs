//! A pressure regulator.

use super::capacity::Capacity;
use crate::document::{Node, Value};
use crate::input::{InputId, Range, Values};
use crate::read::{Key, Pair, TableReader};
use fluids::GasMixture;
use shared::quantity::{Dimension, Quantity, significant};
use shared::{Span, codes};
use sim_core::components::gas::GasSide;
use sim_core::components::restriction::gas_flow;
use sim_core::network as net;

/// A regulator.
#[derive(Clone, Debug)]
pub struct Regulator {
    /// Lock-up at the reference supply pressure.
    pub set_pressure: InputId,
    pub reference_supply: Option<InputId>,
    supply_effect: InputId,
    droop: Droop,
    hysteresis: Option<InputId>,
    /// How much it passes wide open.
    pub capacity: Capacity,
    response: InputId,
    /// What passes its shut seat at the reference supply pressure, and whether that is a standard
    /// flow.
    leakage: Option<(InputId, bool)>,
}

#[derive(Clone, Debug)]
enum Droop {
    Linear(InputId),
    /// Part of the set pressure above ambient.
    Part(InputId),
    /// Measured: at which supply, and flow with outlet.
    Curves {
        /// The key it stands under.
        key: &'static str,
        /// Where.
        span: Span,
        curves: Vec<Measured>,
    },
}

/// A flow curve as it was written.
#[derive(Clone, Debug)]
struct Measured {
    /// None: the reference supply pressure.
    supply: Option<InputId>,
    pairs: Vec<Pair>,
}

/// What a regulator's flow curve is read with: the gas upstream at the start.
#[derive(Clone, Debug)]
pub struct Supply<'a> {
    /// Species.
    pub mixture: &'a GasMixture,
    /// State.
    pub gas: net::GasFill,
}

/// What a flow of gas is given in.
const FLOWS: [Dimension; 2] = [Dimension::MassFlow, Dimension::StandardFlow];

/// A flow curve in SI: flow in kg/s, outlet in Pa absolute, lift.
type CurvePoint = (f64, f64, f64);

const SET: Key = Key::new(
    "set_pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "32 bar(g)",
);
const REFERENCE: Key = Key::new(
    "reference_supply_pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "180 bar(g)",
);
const EFFECT: Key = Key::new("supply_effect", &[Dimension::Fraction], Range::Any, "0.01");
const DROOP: Key = Key::new(
    "droop",
    &[Dimension::PressureDifference],
    Range::Positive,
    "4 bar",
);
/// In per cent, as catalogues give it.
const DROOP_PART: Key = Key::new(
    "droop",
    &[Dimension::Fraction],
    Range::ProperFraction,
    "10 %",
);
const HYSTERESIS: Key = Key::new(
    "hysteresis",
    &[Dimension::PressureDifference],
    Range::NotNegative,
    "0.5 bar",
);
const CURVE: &str = "flow_curve";
const CURVES: &str = "flow_curves";
const SUPPLY: Key = Key::new(
    "supply",
    &[Dimension::Pressure],
    Range::Positive,
    "180 bar(g)",
);
const RESPONSE: Key = Key::new("response_time", &[Dimension::Time], Range::Positive, "5 ms");
const LEAKAGE: Key = Key::new("seat_leakage", &LEAK_FLOWS, Range::NotNegative, "5 sccm");
/// As leak tests state it, the standard volume first.
const LEAK_FLOWS: [Dimension; 2] = [Dimension::StandardFlow, Dimension::MassFlow];
const CURVE_EXAMPLE: &str =
    "[[\"0 scfm\", \"32 bar(g)\"], [\"20 scfm\", \"31 bar(g)\"], [\"60 scfm\", \"28 bar(g)\"]]";

const CURVES_EXAMPLE: &str = "[{ supply = \"60 bar(g)\", curve = [[\"0 scfm\", \"33 bar(g)\"], [\"20 scfm\", \"30 bar(g)\"]] }, \
     { supply = \"180 bar(g)\", curve = [[\"0 scfm\", \"32 bar(g)\"], [\"60 scfm\", \"28 bar(g)\"]] }]";

impl Regulator {
    /// Reads a regulator.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let set_pressure = reader.required(SET);
        let reference_supply = reader.optional(REFERENCE);
        let supply_effect = Self::read_effect(reader);
        let droop = Self::read_droop(reader);
        let hysteresis = Self::read_hysteresis(reader);
        let capacity = Capacity::read(reader);
        let response = reader.or_default(
            RESPONSE,
            "2 .. 8 ms",
            "spring-loaded piston or diaphragm: common practice, no source",
        );
        if !reader.has(LEAKAGE.name) {
            let path = reader.path_of(LEAKAGE.name);
            let reason = "its seat is taken to shut tight: a worn one lets its outlet creep";
            reader.context.assume(&path, "none", reason);
        }
        let leakage = reader.optional(LEAKAGE).map(|id| {
            let dimension = reader.context.inputs.get(id).dimension;
            (id, dimension == Dimension::StandardFlow)
        });
        Some(Self {
            set_pressure: set_pressure?,
            reference_supply,
            supply_effect,
            droop: droop?,
            hysteresis,
            capacity: capacity?,
            response,
            leakage,
        })
    }

    /// What friction makes of it.
    fn read_hysteresis(reader: &mut TableReader<'_>) -> Option<InputId> {
        if !reader.has(HYSTERESIS.name) {
            let path = reader.path_of(HYSTERESIS.name);
            let reason = "friction is taken to hold nothing: its outlet is the same as it opens and as it closes";
            reader.context.assume(&path, "none", reason);
        }
        reader.optional(HYSTERESIS)
    }

    /// Curves at several supplies tell it themselves.
    fn read_effect(reader: &mut TableReader<'_>) -> InputId {
        if !reader.has(CURVES) {
            let reason = "0.1 to 3 psi per 100 psi of supply is usual: common practice, no source";
            return reader.or_default(EFFECT, "0 .. 0.02", reason);
        }
        if reader.has(EFFECT.name) {
            reader.either_or(CURVES, EFFECT.name);
        }
        reader.or_default(
            EFFECT,
            "0",
            "the lock-up pressures of the flow curves tell how it moves with the supply",
        )
    }

    fn read_droop(reader: &mut TableReader<'_>) -> Option<Droop> {
        let ways = [DROOP.name, CURVE, CURVES];
        let way = reader.one_of(&ways);
        if way.is_none() {
            let message = format!(
                "[{}] does not say how its outlet falls with flow",
                reader.path
            );
            let remedy = format!(
                "add droop = \"4 bar\" (from lock-up to wide open) or \"10 %\" (of the set pressure), or flow_curve = {CURVE_EXAMPLE}; curves at several supply pressures go into flow_curves"
            );
            reader.missing_any(&codes::MISSING_KEY, &ways, message, remedy);
        }
        let droop = Self::read_fall(reader);
        let curve = reader.pairs(CURVE, &FLOWS, &[Dimension::Pressure], CURVE_EXAMPLE);
        let curves = Self::read_curves(reader);
        match way? {
            CURVE => {
                let (supply, pairs) = (None, curve?);
                let curves = vec![Measured { supply, pairs }];
                Self::measured(reader, CURVE, curves)
            }
            CURVES => {
                let curves = curves?;
                Self::measured(reader, CURVES, curves)
            }
            _ => droop,
        }
    }

    fn measured(
        reader: &mut TableReader<'_>,
        key: &'static str,
        curves: Vec<Measured>,
    ) -> Option<Droop> {
        let span = reader.entry(key)?.node.span.clone();
        Some(Droop::Curves { key, span, curves })
    }

    /// Curves at several supply pressures, sorted by these.
    fn read_curves(reader: &mut TableReader<'_>) -> Option<Vec<Measured>> {
        reader.describe(CURVES, CURVES_EXAMPLE);
        let node = &reader.entry(CURVES)?.node;
        let path = reader.path_of(CURVES);
        let rows = match &node.value {
            Value::List(rows) if rows.len() > 1 => rows,
            _ => {
                let message = format!("{CURVES} is no list of two or more curves");
                let remedy =
                    format!("write {CURVES} = {CURVES_EXAMPLE}; a single one goes into {CURVE}");
                reader.error_at(CURVES, &codes::BAD_POINTS, message, remedy);
                return None;
            }
        };
        let curves: Vec<Option<Measured>> = rows
            .iter()
            .enumerate()
            .map(|(i, row)| Self::read_measured(reader, &format!("{path}.{}", i + 1), row))
            .collect();
        let mut curves = curves.into_iter().collect::<Option<Vec<Measured>>>()?;
        let values = reader.context.inputs.nominal();
        let supply_pa = |m: &Measured| m.supply.map_or(0.0, |id| values.si(id));
        curves.sort_by(|a, b| supply_pa(a).total_cmp(&supply_pa(b)));
        let is_twice = |pair: &[Measured]| supply_pa(&pair[0]) == supply_pa(&pair[1]);
        if curves.windows(2).any(is_twice) {
            let message = format!("two curves of {path} have the same supply pressure");
            let remedy = "give each curve the supply pressure at which it was measured".to_owned();
            reader.error_at(CURVES, &codes::BAD_CURVE, message, remedy);
            return None;
        }
        Some(curves)
    }

    fn read_measured(reader: &mut TableReader<'_>, path: &str, row: &Node) -> Option<Measured> {
        let Value::Table(table) = &row.value else {
            reader.wrong_type(CURVES, row, "a list of { supply = ..., curve = ... }");
            return None;
        };
        let mut row = TableReader::new(reader.context, path.to_owned(), Some(&row.span), table);
        let supply = row.required(SUPPLY);
        if !row.has("curve") {
            row.missing("curve", CURVE_EXAMPLE);
        }
        let pairs = row.pairs("curve", &FLOWS, &[Dimension::Pressure], CURVE_EXAMPLE);
        row.finish();
        Some(Measured {
            supply: Some(supply?),
            pairs: pairs?,
        })
    }

    /// A fall in a unit of pressure, or in per cent; a bare number is refused as it is elsewhere.
    fn read_fall(reader: &mut TableReader<'_>) -> Option<Droop> {
        reader.describe(DROOP.name, "\"4 bar\", in bar, psi, kPa; or \"10 %\"");
        let node = &reader.entry(DROOP.name)?.node;
        if !is_percent(node) {
            return reader.optional(DROOP).map(Droop::Linear);
        }
        let id = reader.optional(DROOP_PART)?;
        let path = reader.path_of(DROOP.name);
        let value = format!(
            "{} of the set gauge pressure",
            node.text().unwrap_or_default()
        );
        let reason =
            "per cent of a droop count from ambient, as catalogues do: common practice, no source";
        reader.context.assume(&path, value, reason);
        Some(Droop::Part(id))
    }

    /// True if its flow was measured.
    #[must_use]
    pub fn has_curve(&self) -> bool {
        matches!(self.droop, Droop::Curves { .. })
    }

    /// The key that its flow curves stand under.
    #[must_use]
    pub fn curve_key(&self) -> &'static str {
        match &self.droop {
            Droop::Curves { key, .. } => key,
            _ => DROOP.name,
        }
    }

    /// Where its flow curves stand in the file.
    #[must_use]
    pub fn curve_span(&self) -> Option<&Span> {
        match &self.droop {
            Droop::Curves { span, .. } => Some(span),
            _ => None,
        }
    }

    /// By how much a curve at an unsaid supply is raised to begin at the set pressure, Pa.
    #[must_use]
    pub fn curve_raised_pa(&self, values: &Values<'_>, ambient_pa: f64) -> Option<f64> {
        let Droop::Curves { curves, .. } = &self.droop else {
            return None;
        };
        let mut unsaid = curves.iter().filter(|m| m.supply.is_none());
        let first = unsaid.next()?.pairs.first()?;
        Some(values.si(self.set_pressure) - first.second.absolute(ambient_pa))
    }

    /// Checks the flow curves. Answers the least of their highest measured flows in kg/s where the
    /// seat passes more than that.
    ///
    /// # Errors
    /// What is wrong with it, in words with numbers.
    pub fn check_curve(
        &self,
        values: &Values<'_>,
        supply: &Supply<'_>,
        ambient_pa: f64,
    ) -> Result<Option<f64>, String> {
        let Droop::Curves { curves, .. } = &self.droop else {
            return Ok(None);
        };
        let mut led_on: Option<f64> = None;
        for measured in curves {
            let points = self.curve(measured, values, supply, ambient_pa);
            if let Some(flow) = check_points(&points, &measured.pairs)? {
                led_on = Some(led_on.map_or(flow, |least| least.min(flow)));
            }
        }
        Ok(led_on)
    }

    fn curve(
        &self,
        measured: &Measured,
        values: &Values<'_>,
        supply: &Supply<'_>,
        ambient_pa: f64,
    ) -> Vec<CurvePoint> {
        let capacity = self.capacity.lower(values);
        let supply_pa = self.supply_pa(measured, values, supply);
        let molar_mass = molar_mass_kg_mol(supply);
        let points = measured.pairs.iter().map(|pair| {
            let flow = match pair.first.dimension {
                Dimension::StandardFlow => pair.first.value * molar_mass,
                _ => pair.first.value,
            };
            let outlet = pair.second.absolute(ambient_pa);
            let wide_open = wide_open_flow(&capacity, supply, supply_pa, outlet);
            (flow, outlet, wide_open.map_or(0.0, |full| flow / full))
        });
        points.collect()
    }

    fn supply_pa(&self, measured: &Measured, values: &Values<'_>, supply: &Supply<'_>) -> f64 {
        let reference = || self.reference_supply_pa(values, supply);
        measured.supply.map_or_else(reference, |id| values.si(id))
    }

    fn lower_curves(
        &self,
        curves: &[Measured],
        values: &Values<'_>,
        supply: &Supply<'_>,
        ambient_pa: f64,
    ) -> net::Droop {
        let curves = curves.iter().map(|measured| {
            let supply_pa = self.supply_pa(measured, values, supply);
            lower_curve(supply_pa, &self.curve(measured, values, supply, ambient_pa))
        });
        let mut curves: Vec<net::FlowCurve> = curves.collect();
        // A draw of their supply pressures may exchange two that stand close.
        curves.sort_by(|a, b| a.supply_pa.total_cmp(&b.supply_pa));
        net::Droop::Curves(curves)
    }

    /// True if the file says what passes its shut seat.
    #[must_use]
    pub fn leaks(&self) -> bool {
        self.leakage.is_some()
    }

    fn reference_supply_pa(&self, values: &Values<'_>, supply: &Supply<'_>) -> f64 {
        self.reference_supply
            .map_or(supply.gas.pressure_pa, |id| values.si(id))
    }

    /// Effective area that passes the leakage from the reference supply pressure to lock-up.
    fn leak_m2(&self, values: &Values<'_>, supply: &Supply<'_>) -> f64 {
        let Some((leakage, is_standard)) = self.leakage else {
            return 0.0;
        };
        let molar_mass = if is_standard {
            molar_mass_kg_mol(supply)
        } else {
            1.0
        };
        let unit = net::Capacity::EffectiveArea { m2: 1.0 };
        let supply_pa = self.reference_supply_pa(values, supply);
        let flux = wide_open_flow(&unit, supply, supply_pa, values.si(self.set_pressure));
        flux.map_or(0.0, |flux| values.si(leakage) * molar_mass / flux)
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(
        &self,
        values: &Values<'_>,
        supply: &Supply<'_>,
        ambient_pa: f64,
    ) -> net::BranchKind {
        let droop = match &self.droop {
            Droop::Linear(id) => net::Droop::Linear {
                full_pa: values.si(*id),
            },
            Droop::Part(id) => net::Droop::Linear {
                full_pa: values.si(*id) * (values.si(self.set_pressure) - ambient_pa),
            },
            Droop::Curves { curves, .. } => self.lower_curves(curves, values, supply, ambient_pa),
        };
        net::BranchKind::Regulator(net::Regulator {
            lock_up_pa: values.si(self.set_pressure),
            reference_supply_pa: self.reference_supply_pa(values, supply),
            supply_effect: values.si(self.supply_effect),
            droop,
            hysteresis_pa: self.hysteresis.map_or(0.0, |id| values.si(id)),
            capacity: self.capacity.lower(values),
            response_s: values.si(self.response),
            leak_m2: self.leak_m2(values, supply),
        })
    }
}

/// Checks one flow curve. Answers its highest flow in kg/s where the seat passes more than that.
fn check_points(points: &[CurvePoint], written: &[Pair]) -> Result<Option<f64>, String> {
    let flow = |k: usize| {
        let (flow, unit) = (&written[k].first, written[k].first.unit);
        let number = significant(unit.from_si(flow.value), 4, 6);
        format!("{number} {}", unit.symbol)
    };
    if points.first().is_some_and(|p| p.0 != 0.0) {
        return Err(format!("it begins at {}, not at zero flow", flow(0)));
    }
    for (k, pair) in points.windows(2).enumerate() {
        let [before, after] = [pair[0], pair[1]];
        if after.0 <= before.0 || after.1 >= before.1 || after.2 <= before.2 {
            let at = flow(k + 1);
            return Err(format!("the outlet does not fall with rising flow at {at}"));
        }
    }
    let (highest, _, lift) = points.last().copied().unwrap_or_default();
    if lift > 1.0 {
        return Err(format!(
            "{} is {lift:.2} times what its flow coefficient passes wide open",
            flow(points.len() - 1)
        ));
    }
    Ok((lift < 1.0).then_some(highest))
}

/// Falls and lifts of a measured curve, led on straight to full lift.
fn lower_curve(supply_pa: f64, curve: &[CurvePoint]) -> net::FlowCurve {
    let lock_up = curve.first().map_or(0.0, |p| p.1);
    let mut points: Vec<(f64, f64)> = curve.iter().map(|p| (lock_up - p.1, p.2)).collect();
    if let [.., before, last] = points[..]
        && last.1 < 1.0
    {
        let slope = (last.0 - before.0) / (last.1 - before.1);
        points.push((last.0 + slope * (1.0 - last.1), 1.0));
    }
    net::FlowCurve {
        supply_pa,
        points,
        measured: curve.iter().map(|p| (p.0, p.1)).collect(),
    }
}

/// True if a value is written in per cent.
fn is_percent(node: &Node) -> bool {
    let quantity = node
        .text()
        .map(|t| Quantity::parse(t, DROOP_PART.dimensions));
    quantity.is_some_and(|q| q.is_ok_and(|q| q.unit.symbol == "%"))
}

/// Mean molar mass of the supply.
fn molar_mass_kg_mol(supply: &Supply<'_>) -> f64 {
    let fractions = supply.gas.mole_fractions.iter().enumerate();
    fractions
        .map(|(k, x)| x * supply.mixture.molar_mass_kg_mol(k))
        .sum()
}

/// Flow through the wide open seat, kg/s; none where it cannot be computed.
fn wide_open_flow(
    capacity: &net::Capacity,
    supply: &Supply<'_>,
    supply_pa: f64,
    outlet_pa: f64,
) -> Option<f64> {
    let side = |pressure_pa| {
        GasSide::<f64>::constant(
            supply.mixture,
            pressure_pa,
            supply.gas.temperature_k,
            &supply.gas.mole_fractions,
        )
        .ok()
    };
    let flow = gas_flow(
        capacity,
        supply.mixture,
        &side(supply_pa)?,
        &side(outlet_pa)?,
    )
    .ok()?;
    (flow > 0.0).then_some(flow)
}
