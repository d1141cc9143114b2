//! Formulas and names of the trade, for the question "did you mean".

use shared::nearest;

/// What people write, in small letters, and the fluid's name here.
const FORMULAS: [(&str, &str); 33] = [
    ("n2", "nitrogen"),
    ("gn2", "nitrogen"),
    ("ln2", "nitrogen"),
    ("he", "helium"),
    ("ghe", "helium"),
    ("he4", "helium"),
    ("ar", "argon"),
    ("o2", "oxygen"),
    ("gox", "oxygen"),
    ("lox", "oxygen"),
    ("h2o", "water"),
    ("di water", "water"),
    ("c2h5oh", "ethanol"),
    ("c2h6o", "ethanol"),
    ("etoh", "ethanol"),
    ("alcohol", "ethanol"),
    ("co2", "carbon dioxide"),
    ("ch4", "methane"),
    ("lng", "methane"),
    ("n2o", "nitrous oxide"),
    ("h2", "hydrogen"),
    ("gh2", "hydrogen"),
    ("lh2", "hydrogen"),
    ("c3h8", "propane"),
    ("ch3oh", "methanol"),
    ("meoh", "methanol"),
    ("ipa", "isopropanol"),
    ("h2o2", "hydrogen peroxide 90 %"),
    ("htp", "hydrogen peroxide 90 %"),
    ("peroxide", "hydrogen peroxide 90 %"),
    ("hydrogen peroxide", "hydrogen peroxide 90 %"),
    ("dodecane", "n-dodecane"),
    ("heptane", "n-heptane"),
];

/// The known name that is meant by a formula, or that a word is nearest to.
#[must_use]
pub fn meant<'a>(text: &str, known: &[&'a str]) -> Option<&'a str> {
    let word = text.trim().to_lowercase();
    let formula = FORMULAS.iter().find(|f| f.0 == word).map(|f| f.1);
    let named = known.iter().copied().find(|k| Some(*k) == formula);
    named.or_else(|| nearest(text, known.iter().copied()))
}
