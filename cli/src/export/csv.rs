//! History and events as CSV, in SI, one table a file.

use sim_core::outcome::{Event, History};

/// Significant digits of a number in a CSV file: far below every model's error, and half
/// the bytes of all digits.
const DIGITS: usize = 9;

/// The history, one row an instant, first column `time_s`, which also a run has that failed
/// before its first row.
#[must_use]
pub fn history(history: &History) -> Vec<u8> {
    if history.columns.is_empty() {
        return b"time_s\n".to_vec();
    }
    let rows = (0..history.len()).map(|r| history.row(r).iter().map(|&v| number(v)).collect());
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

fn table(header: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> Vec<u8> {
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
fn number(value: f64) -> String {
    let rounded = format!("{value:.*e}", DIGITS - 1);
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
