//! Words of the trade, and the entries of `explain` that tell of what they mean.

/// A word in small letters, and the entries in the order in which they are told.
pub const WORDS: &[(&str, &[&str])] = &[
    ("accumulator", &["bottle", "plenum"]),
    ("actuator", &["valve"]),
    ("adiabatic compression", &["gas-3"]),
    ("ball valve", &["valve"]),
    ("blow-by", &["liquid-7"]),
    ("boil-off", &["relief-6", "tank"]),
    ("bursting disc", &["burst_disc"]),
    ("cavitation", &["liquid-1", "liquid-2", "venturi"]),
    ("chatter", &["valve-1", "relief-3"]),
    ("choked flow", &["liquid-2", "gas-10", "orifice"]),
    ("choking", &["liquid-2", "gas-10", "orifice"]),
    ("column separation", &["liquid-5"]),
    ("copv", &["composite_bottle"]),
    ("critical flow", &["gas-10", "orifice"]),
    ("critical nozzle", &["gas-10", "orifice"]),
    ("cylinder", &["bottle", "several_bottles"]),
    ("dead band", &["bang_bang"]),
    ("dip tube", &["tank"]),
    ("dome regulator", &["dome_loaded"]),
    ("elbow", &["file-15", "line"]),
    ("fast closing", &["liquid-3", "valve"]),
    ("filling", &["regulator-7", "bottle"]),
    ("flashing", &["liquid-2", "liquid-5"]),
    ("hammer", &["liquid-3", "liquid-4", "liquid-5", "line"]),
    ("hose", &["gas_line", "quick_disconnect", "line"]),
    ("injector", &["orifice"]),
    ("joukowsky", &["liquid-3", "line"]),
    ("lox", &["tank", "gas-3", "liquid-8"]),
    ("main valve", &["valve"]),
    ("mawp", &["limit", "relief-4"]),
    ("needle valve", &["needle"]),
    ("non-return valve", &["check_valve"]),
    ("nozzle", &["orifice", "gas-10"]),
    ("on-off", &["bang_bang"]),
    ("pipe", &["line", "plenum"]),
    ("pop-off", &["relief"]),
    ("pressure reducer", &["regulator", "two_stage"]),
    ("pressure safety valve", &["relief"]),
    ("pressurant", &["bottle", "gas-4"]),
    ("proof", &["limit"]),
    ("psv", &["relief"]),
    ("purge", &["manifold", "valve"]),
    ("qd", &["quick_disconnect"]),
    ("quick connect", &["quick_disconnect"]),
    ("reducer", &["regulator", "two_stage"]),
    ("redline", &["limit", "requirement"]),
    ("restrictor", &["orifice", "needle"]),
    ("run tank", &["tank"]),
    ("rupture disc", &["burst_disc"]),
    ("rupture disk", &["burst_disc"]),
    ("safety valve", &["relief"]),
    ("self-pressurisation", &["relief-6", "tank"]),
    ("solenoid", &["valve", "bang_bang"]),
    ("sonic nozzle", &["gas-10", "orifice"]),
    ("supply effect", &["regulator"]),
    ("surge", &["liquid-3", "liquid-4", "liquid-5", "line"]),
    ("trim orifice", &["needle", "orifice"]),
    ("tube", &["line", "plenum"]),
    ("tubing", &["line", "plenum"]),
    ("ullage", &["tank", "state-3"]),
    ("vent", &["relief-6", "valve", "manifold"]),
    ("vortex", &["liquid-7"]),
    (
        "water hammer",
        &["liquid-3", "liquid-4", "liquid-5", "line"],
    ),
];

/// The entries that a word means; none for one that is not known.
#[must_use]
pub fn meant(word: &str) -> Option<&'static [&'static str]> {
    let plain = |text: &str| text.to_lowercase().replace(['-', '_'], " ");
    let asked = plain(word);
    let singular = asked.strip_suffix('s').unwrap_or(&asked);
    let mut words = WORDS.iter();
    let found = words.find(|(known, _)| [&*asked, singular].contains(&&*plain(known)));
    found.map(|(_, entries)| *entries)
}
