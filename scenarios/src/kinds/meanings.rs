//! What the keys of the stand file are, in a few words.

/// Where a key means something else than elsewhere.
const OF_KIND: [(&str, &str, &str); 15] = [
    ("bottle", "pressure", "at the start"),
    ("plenum", "pressure", "at the start"),
    ("plenum", "volume", "of the pipes between its neighbours"),
    ("tank", "pressure", "at the start"),
    ("ambient", "pressure", "of the air around"),
    ("ambient", "temperature", "of the air around"),
    ("relief", "set_pressure", "at which it opens"),
    ("tank", "volume", "inner, ends included"),
    ("tank", "gas", "in the ullage at the start"),
    ("bottle", "diameter", "inner"),
    ("plenum", "diameter", "inner"),
    ("tank", "diameter", "inner"),
    ("line", "bore", "inner diameter"),
    ("line", "at_start", "whether liquid fills it"),
    (
        "valve",
        "at_start",
        "how it stands before its first command",
    ),
];

/// Of a `[display]`, where each key is a quantity.
const SHOWN: &str = "unit of what is printed";

const KEYS: &[(&str, &str)] = &[
    ("altitude", "above sea level, for the pressure of the air"),
    (
        "bore",
        "its own bore, for a flow that is not small beside it",
    ),
    ("bore_after", "of the pipe behind, if it is another"),
    ("bore_before", "of the pipe before, if it is another"),
    ("burst_pressure", "difference at which it bursts"),
    ("characteristic", "how much it passes at which position"),
    (
        "choking_ratio",
        "outlet over inlet pressure from which on it chokes",
    ),
    ("closing_time", "of the whole stroke, with opening_time"),
    (
        "cracking_pressure",
        "difference at which it leaves its seat",
    ),
    (
        "critical_ratio",
        "pressure ratio at which gas chokes (ISO 6358 b)",
    ),
    ("delay", "from the command to the first motion"),
    ("diameter", "of its hole"),
    (
        "discharge_coefficient",
        "effective area over the area of the hole",
    ),
    ("dissolution", "how pressurant goes into the liquid"),
    ("droop", "fall of the outlet from lock-up to wide open"),
    ("effective_area", "discharge coefficient times area"),
    ("elastic_modulus", "Young's modulus of the pipe's wall"),
    ("ends", "form of the two ends of a cylinder"),
    ("fill", "liquid at the start, as a volume or a mass"),
    (
        "film_coefficient",
        "multiplier on films between gas and wall",
    ),
    ("fittings", "what it is made up of, counted"),
    ("flash_time", "in which superheated liquid boils down"),
    ("flow_coefficient", "Cv or Kv, wide open"),
    ("flow_curve", "outlet pressure at measured flows"),
    ("flow_curves", "such curves at several supply pressures"),
    ("friction_factor", "Darcy's, in place of a roughness"),
    ("from", "what it is plumbed to upstream"),
    ("full_open_pressure", "difference at which it is wide open"),
    ("gas", "what it holds"),
    (
        "gas_mixing",
        "multiplier on conduction between layers of gas",
    ),
    ("heat_capacity_ratio", "cp over cv"),
    ("heat_leak", "from outside, in place of insulation"),
    ("heat_transfer", "between its gas and its wall"),
    ("henry_constant", "of the pressurant in the liquid"),
    (
        "hysteresis",
        "by which the outlet is lower as it opens than as it closes",
    ),
    ("ingestion", "how the outlet draws gas in"),
    ("inlet", "how gas enters the tank"),
    ("inlet_bore", "of that inlet"),
    ("insulation", "outside of the tank"),
    (
        "interface_coefficient",
        "multiplier on films between gas and liquid",
    ),
    ("interface_heat_transfer", "between gas and liquid"),
    ("layers", "of the ullage, that move with the liquid"),
    ("length", "along the pipe"),
    ("levels", "height and volume below it, from a calibration"),
    ("liquid", "what it holds"),
    ("liquid_mixing", "multiplier on conduction in the liquid"),
    (
        "liquid_recovery",
        "F_L of IEC 60534: what is recovered behind the throat",
    ),
    ("liquid_temperature", "at the start"),
    ("minor_loss", "sum of loss coefficients"),
    ("molar_mass", "of the gas"),
    ("opening_time", "of the whole stroke, with closing_time"),
    ("orientation", "how a cylinder stands"),
    ("output_step", "between rows of history.csv"),
    ("outside_film", "between the wall and the air"),
    ("overpressure", "above the set pressure at full lift"),
    ("overwrap_conductivity", "across its fibres"),
    ("overwrap_mass", "of fibre and resin about the liner"),
    ("position_law", "how the position follows time"),
    ("pressure", "at the start"),
    ("rangeability", "of an equal-percentage valve"),
    (
        "reference_supply_pressure",
        "supply at which lock-up was set",
    ),
    ("reseat", "part of the set pressure at which it shuts"),
    ("reseat_pressure", "difference at which it shuts"),
    ("residual", "liquid that the outlet does not reach"),
    ("response_time", "time constant of its lift"),
    ("rise", "outlet above inlet"),
    ("roughness", "of the pipe's wall"),
    (
        "saturated_at",
        "pressure at which the liquid has boiled so far",
    ),
    ("seat_leakage", "through the shut seat"),
    ("set_pressure", "lock-up: outlet at zero flow"),
    ("shape", "of the tank"),
    ("sonic_conductance", "of ISO 6358, wide open"),
    ("stroke_time", "from the first motion to its end"),
    (
        "style_modifier",
        "F_d of IEC 60534, for flow that is not turbulent",
    ),
    (
        "supply_effect",
        "rise of lock-up for each bar that the supply falls",
    ),
    ("surface_layer", "depth of liquid that the surface warms"),
    ("temperature", "at the start"),
    ("throat", "diameter of the throat"),
    (
        "throat_shape",
        "a nozzle for gas, of ISO 9300: its discharge_coefficient follows",
    ),
    ("to", "where it leads, if nothing names it as from"),
    ("tolerance", "relative, of the integration"),
    ("ullage", "gas space at the start, in place of a fill"),
    ("ullage_temperature", "of the gas at the start"),
    ("until", "end of the run"),
    ("vapour", "whether the liquid's vapour is in the ullage"),
    ("volume", "inner"),
    ("wall_mass", "of metal that the gas touches"),
    ("wall_material", "for its heat capacity"),
    ("wall_thickness", "of the pipe, whose give slows waves"),
    ("wet_film", "between the wall and the liquid"),
    ("xt", "pressure ratio factor of IEC 60534, for gas"),
];

/// What a key of a table is; none for one that is not known.
#[must_use]
pub fn meaning(table: &str, key: &str) -> Option<&'static str> {
    if table == "display" {
        return Some(SHOWN);
    }
    let mut of_kind = OF_KIND.iter().filter(|(t, k, _)| (*t, *k) == (table, key));
    let mut keys = KEYS.iter().filter(|(k, _)| *k == key);
    of_kind
        .next()
        .map(|m| m.2)
        .or_else(|| keys.next().map(|m| m.1))
}
