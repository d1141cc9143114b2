//! Figures in words. Files name a figure with its unit (`run.mean_flow_kg_s`), a user types it
//! without (`run.mean_flow`), and screen, pages and pictures say "run mean flow".

use scenarios::spelled;
use scenarios::studies::Bands;
use scenarios::summary::{Figure, Verdict};
use shared::quantity::{Dimension, Display, Unit};

/// Inputs that a sentence names.
const NAMED: usize = 3;
/// Less than this is said as 0 %.
const LEAST_SHARE: f64 = 0.005;

/// Where in a run a figure is taken: the end of its name, and the words for it.
const PLACES: [(&str, &str); 8] = [
    ("_0_5_s", " 0.5 s after the command"),
    ("_10_90", " from 10 to 90 %"),
    ("_to_90", " to 90 %"),
    ("_start", " just before the command"),
    ("_middle", " in the middle of the flow"),
    ("_end", " at the end of the flow"),
    (
        "_end_isothermal",
        " at the end of the flow, had the gas kept its temperature",
    ),
    (
        "_end_isentropic",
        " at the end of the flow, had no heat come in",
    ),
];

/// What a user types for a figure: its name without the unit.
#[must_use]
pub fn typed(name: &str) -> &str {
    spelled(name).map_or(name, |(stem, _)| stem)
}

/// A figure in words: its component, what it is, where it is taken.
#[must_use]
pub fn in_words(name: &str) -> String {
    let stem = typed(name);
    let Some((component, figure)) = stem.split_once('.') else {
        return stem.to_owned();
    };
    let of_end = |(end, words): &(&str, &'static str)| Some((figure.strip_suffix(end)?, *words));
    let (what, place) = PLACES.iter().find_map(of_end).unwrap_or((figure, ""));
    format!("{component} {}{place}", what.replace('_', " "))
}

/// The inputs that matter most, each with its share of a variance; none if none matters.
#[must_use]
pub fn worth_measuring<'a>(inputs: impl Iterator<Item = (&'a str, f64)>) -> Option<String> {
    let worth = inputs.filter(|(_, share)| *share >= LEAST_SHARE);
    let named = worth.map(|(name, share)| format!("{name} ({:.0} %)", 100.0 * share));
    let named: Vec<String> = named.take(NAMED).collect();
    (!named.is_empty()).then(|| named.join(", "))
}

/// The main figure in words, and the inputs that widen its band most; none if none does.
#[must_use]
pub fn widest(bands: &Bands) -> Option<(String, String)> {
    let band = bands.main_figure()?;
    let inputs = band.ranking.as_ref()?.influences.iter();
    let inputs = inputs.map(|i| (bands.factors[i.factor].name.as_str(), i.share));
    Some((in_words(&band.figure.name), worth_measuring(inputs)?))
}

/// What a figure is, shown in a unit: the name of a standard volume alone leaves its reference
/// state open.
#[must_use]
pub fn label(figure: &Figure, unit: &str) -> String {
    let note = Unit::find(unit).filter(|_| figure.dimension == Dimension::StandardFlow);
    let note = note.map_or(String::new(), |unit| format!(" {}", unit.note));
    figure.label.clone() + &note
}

/// The unit of a figure; the word for a pure number.
#[must_use]
pub fn or_ratio(unit: String) -> String {
    if unit.is_empty() {
        "ratio".to_owned()
    } else {
        unit
    }
}

/// A part of draws in per cent: whole, but never all or none where that is only rounding.
#[must_use]
pub fn percent(part: f64) -> String {
    let percent = 100.0 * part;
    match percent.min(100.0 - percent) {
        edge if !(5e-3..1.0).contains(&edge) => format!("{percent:.0} %"),
        edge if edge >= 0.1 => format!("{percent:.1} %"),
        _ => format!("{percent:.2} %"),
    }
}

/// How far a bound is kept, where the run ended early and says nothing of what would have come then.
pub fn as_far_as(verdict: &Verdict, display: &Display) -> String {
    match verdict.until_s {
        Some(until_s) if verdict.is_kept() => {
            let until = display.text(Dimension::Time, until_s);
            format!(" up to {until}, where the run ended")
        }
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_typed_without_its_unit_and_said_in_words() {
        let cases = [
            ("run.mean_flow_kg_s", "run.mean_flow", "run mean flow"),
            (
                "press_2.droop_0_5_s_pa",
                "press_2.droop_0_5_s",
                "press_2 droop 0.5 s after the command",
            ),
            (
                "run.travel_10_90_s",
                "run.travel_10_90",
                "run travel from 10 to 90 %",
            ),
            (
                "supply.pressure_end_isothermal_pa",
                "supply.pressure_end_isothermal",
                "supply pressure at the end of the flow, had the gas kept its temperature",
            ),
            (
                "lox.collapse_factor_1",
                "lox.collapse_factor",
                "lox collapse factor",
            ),
        ];
        for (name, short, words) in cases {
            assert_eq!((typed(name), in_words(name).as_str()), (short, words));
        }
    }

    #[test]
    fn a_part_of_draws_is_never_rounded_to_none_or_all() {
        let cases = [
            (0.0, "0 %"),
            (0.0038, "0.4 %"),
            (0.0004, "0.04 %"),
            (0.35, "35 %"),
            (0.9962, "99.6 %"),
            (1.0, "100 %"),
        ];
        for (part, words) in cases {
            assert_eq!(percent(part), words);
        }
    }
}
