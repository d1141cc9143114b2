//! Bands about events: every draw is laid over the others with its own instant of the event.
//!
//! Where the time of an event scatters, a band at fixed times shows that scatter, and nothing
//! of what happens: half of the draws are still before it. About the event itself they agree.

use super::bands::{HistoryBands, band_table};
use super::chance::Chance;
use super::grid::resampled;
use super::percentile::{HIGH, LOW, Sorted};
use sim_core::outcome::{EventKind, Outcome};

/// How far the instants reach before and after an event, in steps of [`STEP_S`].
const REACH: i32 = 25;
/// Spacing of the instants.
const STEP_S: f64 = 0.02;
/// Just before the event: a row of its own, since a valve or a regulator may jump there.
const BEFORE_S: f64 = 1e-6;

/// An event and what the stand does about it.
#[derive(Clone, Debug, PartialEq)]
pub struct EventBand {
    /// To which component.
    pub component: String,
    /// What.
    pub kind: EventKind,
    /// When in the nominal run.
    pub nominal_s: f64,
    /// Lower end, median and upper end of its time.
    pub time_s: [f64; 3],
    /// How many of the draws have it.
    pub seen: Chance,
    /// Bands of the history; the times count from the event.
    pub around: HistoryBands,
}

/// Events of one draw, in the order of those of the nominal run.
pub(super) struct Aligned {
    /// When, NaN where the draw does not have it.
    times_s: Vec<f64>,
    /// Rows about each, if its history is kept.
    rows: Vec<Vec<f32>>,
}

/// The events about which bands are made: the first of its kind for each component, of the
/// kinds that turn a run.
pub(super) fn turns(nominal: &Outcome) -> Vec<(String, EventKind, f64)> {
    let mut turns: Vec<(String, EventKind, f64)> = Vec::new();
    for event in nominal.events.iter().filter(|e| is_turn(e.kind)) {
        let is_known = |t: &(String, EventKind, f64)| t.0 == event.component && t.1 == event.kind;
        if !turns.iter().any(is_known) {
            turns.push((event.component.clone(), event.kind, event.time_s));
        }
    }
    turns
}

fn is_turn(kind: EventKind) -> bool {
    use EventKind::{
        Burst, CommandedOpen, CommandedShut, Depleted, GasThrough, Primed, RegulationLost,
        ReliefLifted,
    };
    let turning = [
        CommandedOpen,
        CommandedShut,
        RegulationLost,
        Primed,
        Depleted,
        GasThrough,
        ReliefLifted,
        Burst,
    ];
    turning.contains(&kind)
}

/// Instants about an event, counted from it.
fn offsets_s() -> Vec<f64> {
    let even = |steps: std::ops::RangeInclusive<i32>| steps.map(|i| f64::from(i) * STEP_S);
    let before = even(-REACH..=-1).chain([-BEFORE_S]);
    before.chain(even(0..=REACH)).collect()
}

impl Aligned {
    /// Of a draw, with its rows or without.
    pub fn of(turns: &[(String, EventKind, f64)], outcome: &Outcome, with_rows: bool) -> Self {
        let time_s = |(component, kind, _): &(String, EventKind, f64)| {
            let mut events = outcome.events.iter();
            let found = events.find(|e| e.component == *component && e.kind == *kind);
            found.map_or(f64::NAN, |e| e.time_s)
        };
        let times_s: Vec<f64> = turns.iter().map(time_s).collect();
        let rows = |&event_s: &f64| {
            let grid: Vec<f64> = offsets_s().iter().map(|o| event_s + o).collect();
            match event_s.is_finite() {
                true => resampled(&outcome.history, &grid),
                false => Vec::new(),
            }
        };
        Self {
            rows: times_s.iter().filter(|_| with_rows).map(rows).collect(),
            times_s,
        }
    }
}

/// Bands about each event.
pub(super) fn event_bands(
    turns: Vec<(String, EventKind, f64)>,
    columns: &[String],
    draws: &[Option<&Aligned>],
) -> Vec<EventBand> {
    let band = |(i, (component, kind, nominal_s)): (usize, (String, EventKind, f64))| {
        let time_s = |draw: &Option<&Aligned>| draw.map_or(f64::NAN, |d| d.times_s[i]);
        let times_s: Vec<f64> = draws.iter().map(time_s).collect();
        let sorted = Sorted::of(times_s.iter().copied());
        let rows = draws.iter().flatten().filter_map(|d| d.rows.get(i));
        let rows: Vec<&Vec<f32>> = rows.filter(|rows| !rows.is_empty()).collect();
        EventBand {
            component,
            kind,
            nominal_s,
            time_s: [LOW, 0.5, HIGH].map(|part| sorted.percentile(part)),
            seen: Chance::of(times_s.iter().map(|t| t.is_finite())),
            around: band_table(columns.to_vec(), offsets_s(), &rows),
        }
    };
    turns.into_iter().enumerate().map(band).collect()
}
