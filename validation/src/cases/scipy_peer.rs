//! The demonstration beside the same equations in SciPy and CoolProp.

use crate::peer::{Reference, demonstration};
use crate::report::{Case, Figure, Section};
use crate::trial::{Trial, stand};
use sim_core::outcome::{EventKind, RunOptions};

/// The section.
pub fn section() -> Section {
    let found = Reference::load().and_then(|reference| Ok((trial()?, reference)));
    let of = |figures: fn(&Trial, &Reference) -> Result<Vec<Figure>, String>| {
        let (trial, reference) = found.as_ref().map_err(Clone::clone)?;
        figures(trial, reference)
    };
    let case = |title: &str, reason, figures| Case {
        title: title.to_owned(),
        source: "`validation/peers/regulated_run.py`: the equations of `docs/theory.md` written \
                 again in Python with SciPy's `solve_ivp` and CoolProp 8",
        reason,
        figures,
    };
    Section {
        title: "The demonstration by other hands",
        method: "The demonstration stand at a tolerance of 1e-8 beside an independent program; \
                 both run on `validation/peers/demonstration.json`.",
        cases: vec![
            case("Events", EVENT_REASON, of(events)),
            case("At chosen times", COLUMN_REASON, of(chosen)),
            case("Every column", COLUMN_REASON, of(columns)),
        ],
    }
}

const EVENT_REASON: &str = "1e-4 of the time: columns agree to 1e-4, the slowest of them decide \
                            the events";
const COLUMN_REASON: &str = "1e-4: the peer takes transport properties of the ullage as those of \
                             nitrogen (CoolProp has none for mixtures), which moves film \
                             coefficients by up to 1 % while the vapour is 2 % of the ullage";

fn trial() -> Result<Trial, String> {
    let stand = stand(demonstration())?;
    let options = RunOptions {
        tolerance: 1e-8,
        ..stand.run
    };
    Trial::run(stand.lower(), &options)
}

fn events(trial: &Trial, reference: &Reference) -> Result<Vec<Figure>, String> {
    let pairs = [
        ("check off its seat", "guard", EventKind::CheckOpened),
        ("regulation lost", "press", EventKind::RegulationLost),
        ("commanded shut", "run", EventKind::CommandedShut),
    ];
    let opened_s = trial.time_of("run", EventKind::CommandedOpen)?;
    let figure = |(name, component, kind): (&str, &str, EventKind)| {
        let expected = *reference
            .events_s
            .get(name)
            .ok_or("the peer lacks an event")?;
        // The regulator is wide open while it fills the tank, too: meant is the run.
        let after_s = if kind == EventKind::RegulationLost {
            opened_s
        } else {
            0.0
        };
        let event = trial
            .outcome
            .events
            .iter()
            .find(|e| e.component == component && e.kind == kind && e.time_s > after_s);
        let got = event.map_or(f64::NAN, |e| e.time_s);
        Ok(Figure::relative(name, "s", expected, got, 1e-4))
    };
    pairs.into_iter().map(figure).collect()
}

/// What the page shows of the columns: column, unit, times.
const CHOSEN: [(&str, &str, &[f64]); 6] = [
    ("supply.pressure_pa", "Pa", &[4.99, 9.5, 17.5, 25.0]),
    ("supply.temperature_k", "K", &[4.99, 9.5, 17.5, 25.0]),
    ("fuel.pressure_pa", "Pa", &[4.99, 5.5, 9.5, 17.5]),
    ("fuel.ullage_temperature_k", "K", &[4.99, 9.5, 17.5, 25.0]),
    ("run.mass_flow_kg_s", "kg/s", &[5.5, 9.5, 15.0, 17.5]),
    ("fuel.liquid_mass_kg", "kg", &[9.5, 15.0, 17.5]),
];

fn chosen(trial: &Trial, reference: &Reference) -> Result<Vec<Figure>, String> {
    let mut figures = Vec::new();
    for (column, unit, times) in CHOSEN {
        for &time_s in times {
            let expected = peer_value(reference, column, time_s)?;
            let got = trial.at(column, time_s)?;
            let quantity = format!("{column} at {time_s} s");
            figures.push(Figure::relative(quantity, unit, expected, got, 1e-4));
        }
    }
    Ok(figures)
}

fn peer_value(reference: &Reference, column: &str, time_s: f64) -> Result<f64, String> {
    let row = reference.times_s.iter().position(|t| *t == time_s);
    let values = reference.columns.get(column);
    row.zip(values)
        .and_then(|(row, values)| values.get(row).copied())
        .ok_or_else(|| format!("the peer did not look at {column} at {time_s} s"))
}

/// For each column the largest difference, relative to its largest value.
fn columns(trial: &Trial, reference: &Reference) -> Result<Vec<Figure>, String> {
    let mut figures = Vec::new();
    for (column, values) in &reference.columns {
        let size = values.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        let mut worst = 0.0_f64;
        for (&time_s, expected) in reference.times_s.iter().zip(values) {
            let difference = (trial.at(column, time_s)? - expected).abs();
            worst = worst.max(difference / size);
        }
        let quantity = format!("{column}, worst of {} times", values.len());
        figures.push(Figure::at_most(quantity, worst, 1e-4));
    }
    Ok(figures)
}
