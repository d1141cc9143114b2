//! History and events as CSV, in SI, one table a file.

use fluids::Sheet;
use scenarios::studies::loss_budget::Budget;
use scenarios::studies::other_gas::OtherGas;
use scenarios::studies::sensitivity::Sensitivity;
use scenarios::studies::{EventBand, HistoryBands};
use sim_core::outcome::{Event, History};

/// Significant digits of a number in a CSV file: far below every model's error, and half
/// the bytes of all digits.
const DIGITS: usize = 9;
const BAND_DIGITS: usize = 6;

/// The history, one row an instant, first column `time_s`, which also a run has that failed
/// before its first row.
#[must_use]
pub fn history(history: &History) -> Vec<u8> {
    if history.columns.is_empty() {
        return b"time_s\n".to_vec();
    }
    let rows = history.rows_to_keep();
    let rows = rows.map(|row| row.iter().map(|&v| number(v)).collect());
    table(history.columns.clone(), rows)
}

/// The events: time, component, what happened.
#[must_use]
pub fn events(events: &[Event]) -> Vec<u8> {
    let header = ["time_s", "component", "event"].map(str::to_owned).to_vec();
    let rows = events
        .iter()
        .map(|e| vec![number(e.time_s), e.component.clone(), e.kind.to_string()]);
    table(header, rows)
}

/// Bands of the history: for each column its lower end, median and upper end.
#[must_use]
pub fn bands(bands: &HistoryBands) -> Vec<u8> {
    let header = std::iter::once("time_s".to_owned());
    table(header.chain(ends(bands)).collect(), band_rows(bands))
}

/// Bands of the history about events, the times counted from each draw's own.
#[must_use]
pub fn aligned(events: &[EventBand]) -> Vec<u8> {
    let header = ["component", "event", "time_since_event_s"].map(str::to_owned);
    let columns = events
        .first()
        .map(|e| ends(&e.around))
        .into_iter()
        .flatten();
    let rows = events.iter().flat_map(|event| {
        let names = [event.component.clone(), event.kind.to_string()];
        band_rows(&event.around).map(move |row| names.iter().cloned().chain(row).collect())
    });
    table(header.into_iter().chain(columns).collect(), rows)
}

/// Names of the ends of each column's band.
fn ends(bands: &HistoryBands) -> impl Iterator<Item = String> {
    let ends = ["low", "median", "high"];
    let names = bands.columns.iter();
    names.flat_map(move |c| ends.map(|end| format!("{c}.{end}")))
}

fn band_rows(bands: &HistoryBands) -> impl Iterator<Item = Vec<String>> {
    let rows = bands.values.chunks(bands.columns.len().max(1));
    bands.time_s.iter().zip(rows).map(|(&time_s, row)| {
        // Single precision is what is kept of each draw.
        let cells = row.iter().flatten().map(|&v| rounded(v, BAND_DIGITS));
        std::iter::once(number(time_s)).chain(cells).collect()
    })
}

/// Two gases side by side: figure, then its value with each of them.
#[must_use]
pub fn gases(found: &OtherGas) -> Vec<u8> {
    let header = std::iter::once("figure").chain(found.gases.iter().map(String::as_str));
    let rows = found.pairs.iter().map(|pair| {
        let values = pair.values.map(|v| v.map_or(String::new(), number));
        std::iter::once(pair.name.clone()).chain(values).collect()
    });
    table(header.map(str::to_owned).collect(), rows)
}

/// Loss budgets: one row for each figure and cause, and one for the rest.
#[must_use]
pub fn losses(budgets: &[Budget]) -> Vec<u8> {
    let header = ["figure", "cause", "loss_pa"].map(str::to_owned).to_vec();
    let rows = budgets.iter().flat_map(|budget| {
        let losses = budget.losses.iter().map(|l| (l.cause.words(), l.pa));
        losses
            .chain([("rest", budget.rest_pa)])
            .map(|(cause, pa)| vec![budget.figure.clone(), cause.to_owned(), number(pa)])
    });
    table(header, rows)
}

/// What figures depend on, one row for each figure and input.
#[must_use]
pub fn sensitivity(found: &[Sensitivity]) -> Vec<u8> {
    let header = [
        "figure",
        "input",
        "change_at_low_end",
        "change_at_high_end",
        "mean_absolute_effect",
        "first_order_index",
        "first_order_half_width_95",
        "total_index",
        "total_half_width_95",
    ];
    let rows = found.iter().flat_map(|of_figure| {
        of_figure.inputs.iter().map(|s| {
            let numbers = [
                s.swing.0,
                s.swing.1,
                s.effects.mean_absolute,
                s.indices.first.value,
                s.indices.first.half_width_95,
                s.indices.total.value,
                s.indices.total.half_width_95,
            ];
            let names = [of_figure.figure.name.clone(), s.factor.name.clone()];
            names.into_iter().chain(numbers.map(number)).collect()
        })
    });
    table(header.map(str::to_owned).to_vec(), rows)
}

/// Properties of a fluid, one row a state; a property that a state has not stays empty.
#[must_use]
pub fn properties(sheets: &[Sheet]) -> Vec<u8> {
    let mut names: Vec<&'static str> = Vec::new();
    for (name, _) in sheets.iter().flat_map(|sheet| &sheet.values) {
        if !names.contains(name) {
            names.push(name);
        }
    }
    let rows = sheets.iter().map(|sheet| {
        let value = |name| sheet.values.iter().find(|(known, _)| known == name);
        let cells = names.iter().map(value);
        let numbers = cells.map(|v| v.map_or(String::new(), |&(_, v)| number(v)));
        numbers.chain([sheet.phase.to_owned()]).collect()
    });
    let header = names.iter().copied().chain(["phase"]).map(str::to_owned);
    table(header.collect(), rows)
}

pub(super) fn table(header: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in std::iter::once(header).chain(rows) {
        writer
            .write_record(row)
            .expect("writing into memory with rows of one length cannot fail");
    }
    writer
        .into_inner()
        .expect("flushing into memory cannot fail")
}

/// A number with [`DIGITS`] significant digits and no more characters than it needs.
pub(super) fn number(value: f64) -> String {
    rounded(value, DIGITS)
}

/// A number with so many significant digits.
fn rounded(value: f64, digits: usize) -> String {
    let rounded = format!("{value:.*e}", digits - 1);
    let rounded: f64 = rounded.parse().unwrap_or(value);
    if rounded == 0.0 {
        return "0".to_owned();
    }
    if (1e-4..1e12).contains(&rounded.abs()) {
        format!("{rounded}")
    } else {
        format!("{rounded:e}")
    }
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn numbers_are_short_and_keep_nine_digits() {
        let cases = [
            (0.0, "0"),
            (-0.0, "0"),
            (101_325.0, "101325"),
            (1.0 / 3.0, "0.333333333"),
            (-2.0 / 3.0e-6, "-666666.667"),
            (1.234_567_891_23e-7, "1.23456789e-7"),
            (f64::NAN, "NaN"),
        ];
        for (value, text) in cases {
            assert_eq!(number(value), text);
        }
    }
}
