//! What arbitrary bytes may not do to the reader of quantities, to the reader of stand files, and to
//! short runs of stands with arbitrary values.

use scenarios::{CheckedStand, load_with, predict, predict::PredictOptions, ready_made, si_unit};
use shared::Source;
use shared::quantity::{Dimension, Quantity};
use sim_core::outcome::Integrator;

/// Dimensions that are read for: each family of marks and references once.
const READ_FOR: [Dimension; 6] = [
    Dimension::Fraction,
    Dimension::Volume,
    Dimension::Pressure,
    Dimension::PressureDifference,
    Dimension::Temperature,
    Dimension::FlowCoefficient,
];
/// Part that a balance may be off: what the audit of a run is held to (mass) and a hundred times the
/// tolerance of its steps (energy).
const OFF: (f64, f64) = (1e-9, 1e-3);

/// Warning of parts whose sizes do not fit each other.
const MISFIT: &str = "state-14";

/// A quantity is read as a finite number or refused at a place within the text.
pub fn quantity(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    for dimension in READ_FOR {
        match Quantity::parse(&text, &[dimension]) {
            Ok(read) => assert!(read.value.is_finite(), "{text}: {read:?}"),
            Err(fault) => {
                let cut = text.get(fault.at.clone());
                assert!(cut.is_some(), "{text}: {fault:?}");
            }
        }
    }
}

/// A stand file is lowered to a network, or refused at places within it and with a remedy or a word
/// that was meant.
pub fn stand_file(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    match load_with(&text, &[]) {
        Ok(stand) => {
            let _ = stand.lower();
        }
        Err(faults) => {
            assert!(!faults.is_empty());
            for fault in &faults {
                for label in &fault.labels {
                    let within = label.span.source == Source::File
                        && text.get(label.span.bytes.clone()).is_some();
                    assert!(within, "{fault:?}");
                }
            }
        }
    }
}

/// A ready-made stand with other values runs to its end with its balances closed, or says why not.
pub fn short_run(data: &[u8]) {
    let Some((&first, values)) = data.split_first() else {
        return;
    };
    let stands = ready_made();
    let text = stands[usize::from(first) % stands.len()].text;
    let stand = changed(text, values);
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    let outcome = &prediction.outcome;
    let of = &stand.overrides;
    if let Some(failure) = &outcome.failure {
        assert!(!failure.message.is_empty(), "{of:?}");
        return;
    }
    let balances = &outcome.balances;
    assert!(balances.mass_relative.abs() < OFF.0, "{of:?}: {balances:?}");
    // A line that holds a thousand tanks has more energy than any work or heat of a run.
    let fits = prediction.warnings.iter().all(|w| w.code != MISFIT);
    let is_closed = balances.energy_relative.abs() < OFF.1;
    assert!(is_closed || !fits, "{of:?}: {balances:?}");
}

/// The stand with as many of the values as it takes: three bytes each, which input and how much of
/// what it is.
fn changed(text: &str, values: &[u8]) -> CheckedStand {
    let short = [("run.until", "0.4 s"), ("sequence.1.at", "0.1 s")];
    let short = short.map(|(path, value)| (path.to_owned(), value.to_owned()));
    let mut stand = load_with(text, &short)
        .or_else(|_| load_with(text, &short[..1]))
        .expect("a ready-made stand has no errors");
    for value in values.chunks_exact(3) {
        let inputs: Vec<_> = stand.inputs.iter().map(|(_, input)| input).collect();
        let input = inputs[usize::from(value[0]) % inputs.len()];
        if input.path.starts_with("run.") {
            continue;
        }
        let number = input.nominal * factor(u16::from_le_bytes([value[1], value[2]]));
        let unit = match input.dimension {
            Dimension::Pressure => "Pa(a)",
            dimension => si_unit(dimension),
        };
        let change = (input.path.clone(), format!("{number:e} {unit}"));
        let mut overrides = stand.overrides.clone();
        overrides.push(change);
        if let Ok(next) = load_with(text, &overrides) {
            stand = next;
        }
    }
    stand
}

/// Nought, or from a thousandth to a thousand times, half of them within a tenth.
fn factor(code: u16) -> f64 {
    let part = f64::from(code) / f64::from(u16::MAX);
    match code {
        0 => 0.0,
        code if code % 2 == 0 => 0.9 + 0.2 * part,
        _ => 10.0_f64.powf(6.0 * part - 3.0),
    }
}
