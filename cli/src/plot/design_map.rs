//! Where a stand does what it should: margin over a value that is sized and another one.

use super::Picture;
use super::field::{Field, Side};
use scenarios::studies::size::Knob;

/// Margin below which a run counts as failed, for the tints.
const WORST: f64 = -1.0;

/// The map; none if the other values are no numbers.
#[must_use]
pub fn picture(
    knob: &Knob,
    values: &[f64],
    path: &str,
    others: &[String],
    rows: &[Vec<f64>],
) -> Option<Picture> {
    let number = |text: &String| text.split_whitespace().next()?.parse::<f64>().ok();
    let unit = others.first()?.split_once(' ').map_or("", |(_, unit)| unit);
    // A run that failed has no margin worth a tint.
    let shown = |m: &f64| if *m > WORST { 100.0 * m } else { f64::NAN };
    let field = Field {
        title: "Margin to the tightest requirement or limit, nominal run; all are kept where it is positive"
            .to_owned(),
        x: Side {
            quantity: format!("{}, {}", knob.path, knob.unit),
            values: values.to_vec(),
        },
        y: Side {
            quantity: format!("{path}, {unit}"),
            values: others.iter().map(number).collect::<Option<_>>()?,
        },
        quantity: "Margin, %".to_owned(),
        values: rows.iter().flatten().map(shown).collect(),
        marked: Some(0.0),
    };
    Some(field.picture("design-map".to_owned()))
}
