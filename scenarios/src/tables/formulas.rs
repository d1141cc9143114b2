//! Names of the trade that leave open which fluid it is, for the question "did you mean".

use shared::nearest;

/// What people write, in small letters, and the fluid here that is nearest to it.
const LOOSE: [(&str, &str); 5] = [
    ("alcohol", "ethanol"),
    ("lng", "methane"),
    ("h2o2", "hydrogen peroxide 90 %"),
    ("peroxide", "hydrogen peroxide 90 %"),
    ("hydrogen peroxide", "hydrogen peroxide 90 %"),
];

/// The known name that is meant by a word of the trade, or that a word is nearest to.
#[must_use]
pub fn meant<'a>(text: &str, known: &[&'a str]) -> Option<&'a str> {
    let word = text.trim().to_lowercase();
    let loose = LOOSE.iter().find(|f| f.0 == word).map(|f| f.1);
    let name = loose.or_else(|| fluids::canonical(text));
    let named = known.iter().copied().find(|k| Some(*k) == name);
    named.or_else(|| nearest(text, known.iter().copied()))
}
