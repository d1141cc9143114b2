//! Two pressurants side by side.

use super::screen::Screen;
use super::table::aligned;
use scenarios::studies::other_gas::{OtherGas, Pair};
use shared::quantity::{Dimension, Display};

/// What stands where a run does not have a figure.
const NONE: &str = "\u{2013}";

/// The figures of both, and the warnings that only one of them has.
#[must_use]
pub fn report(found: &OtherGas, display: &Display, screen: Screen) -> String {
    let [own, other] = &found.gases;
    let heading = screen.heading(&format!("Pushed by {own}, and by {other} in its place"));
    let titles = ["", "", own, other, "", "times"]
        .map(str::to_owned)
        .to_vec();
    let rows = found.pairs.iter().map(|pair| row(pair, display));
    let table = aligned(std::iter::once(titles).chain(rows).collect(), &[2, 3, 5]);
    let warned = found.gases.iter().zip(&found.warnings);
    let warned = warned.filter(|(_, warnings)| !warnings.is_empty());
    let warned = warned.map(|(gas, warnings)| {
        let rows = warnings
            .iter()
            .map(|w| vec![w.code.to_owned(), w.message.clone()]);
        let heading = screen.heading(&format!("Warned of with {gas} only"));
        format!(
            "\n{heading}\n{}",
            screen.alert(&aligned(rows.collect(), &[]))
        )
    });
    let failed = found.prediction.outcome.failure.as_ref().map(|failure| {
        let at = display.text(Dimension::Time, failure.time_s);
        format!(
            "\nWith {other} the run ends early, at {at}: {}\n",
            failure.message
        )
    });
    format!(
        "{heading}\n{table}{}{}",
        warned.collect::<String>(),
        failed.unwrap_or_default()
    )
}

fn row(pair: &Pair, display: &Display) -> Vec<String> {
    let [own, other] = pair.values;
    let display = display.fitting(pair.dimension, own.or(other).unwrap_or(0.0));
    let text =
        |value: Option<f64>| value.map_or(NONE.to_owned(), |v| display.number(pair.dimension, v));
    // A ratio of temperatures or gauge pressures says nothing.
    let is_amount = matches!(
        pair.dimension,
        Dimension::Mass | Dimension::MassFlow | Dimension::Fraction
    );
    let ratio = own.zip(other).filter(|(own, _)| is_amount && *own > 0.0);
    let ratio = ratio.map_or(String::new(), |(own, other)| format!("{:.2}", other / own));
    vec![
        pair.component.clone(),
        pair.label.clone(),
        text(own),
        text(other),
        display.unit(pair.dimension),
        ratio,
    ]
}
