//! A size or a relief that was found, as JSON. Numbers are in SI with their unit beside them or
//! at the end of their name; values are written as the stand file writes them.

use super::json::{Coded, coded, pairs, pretty};
use crate::terminal::sizing::Told;
use scenarios::si_unit;
use scenarios::studies::size::handbook::no_figure;
use scenarios::studies::size::relief::{Hole, Need, Relief};
use scenarios::studies::size::{Answer, Found, Knob, Nearest, Raised, Wanted, has_run};
use serde::Serialize;

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    path: &'a str,
    wanted: &'static str,
    confidence: f64,
    draws: usize,
    seed: u32,
    found: &'static str,
    /// What was found, or comes nearest.
    answer: OfAnswer<'a>,
    /// Why nothing can be judged there.
    no_run: Option<&'a str>,
    /// Whether every limit is kept there.
    keeps_limits: Option<bool>,
    /// What the bounds that fail could be instead: of requirements, of a limit if that fails.
    reachable: Vec<Reachable>,
    /// Limit at which the range ends.
    not_above: Option<String>,
    by_hand: Option<OfHand>,
    /// Why there is no figure by hand.
    no_figure_by_hand: Option<&'static str>,
    cautions: Vec<Caution<'a>>,
    /// Of the nominal run at the answer.
    warnings: Vec<Coded<'a>>,
    other_changes: Vec<Change<'a>>,
    tried: Vec<Tried<'a>>,
}

#[derive(Serialize)]
struct OfAnswer<'a> {
    /// As it is written.
    value: &'a str,
    number: f64,
    unit: &'a str,
    /// What stands in place of the file's values.
    #[serde(serialize_with = "as_map")]
    set: Vec<(String, String)>,
    /// None if a run ends early or cannot be judged.
    margin_relative: Option<f64>,
    success: f64,
    success_confidence_95: (f64, f64),
    draws: usize,
    /// Between what draws without end would put it, in the unit.
    number_confidence_95: Option<(f64, f64)>,
    tightest: Option<Tightest<'a>>,
}

#[derive(Serialize)]
struct Tightest<'a> {
    /// With its unit, as figures and columns are called.
    quantity: String,
    asked: &'a str,
    /// That of the margin.
    unit: &'static str,
    nominal_margin: Option<f64>,
}

#[derive(Serialize)]
struct Reachable {
    quantity: String,
    unit: &'static str,
    value: f64,
}

#[derive(Serialize)]
struct OfHand {
    si: f64,
    unit: &'static str,
    formula: &'static str,
    why: &'static str,
}

#[derive(Serialize)]
struct Caution<'a> {
    path: &'a str,
    stated_pa: f64,
    offered_pa: f64,
}

#[derive(Serialize)]
struct Change<'a> {
    path: &'a str,
    value: &'a str,
    factor: f64,
}

#[derive(Serialize)]
struct Tried<'a> {
    value: &'a str,
    /// None if a run ends early or cannot be judged.
    margin_relative: Option<f64>,
}

/// A size that was found.
#[must_use]
pub fn size(told: &Told) -> String {
    let (sizer, sizing) = (told.sizer, told.found);
    let (found, nearest) = match &sizing.found {
        Found::Value(_) => ("value", None),
        Found::WholeRange(_) => ("whole range", None),
        Found::Nothing(nearest) => ("nothing", Some(nearest.as_ref())),
    };
    let levers = nearest.map_or(&[][..], |n| &n.levers).iter();
    let knob = &sizer.knob;
    pretty(&Document {
        schema: "pressfed-size/3",
        path: &knob.path,
        wanted: match sizer.wanted {
            Wanted::Smallest => "smallest",
            Wanted::Largest => "largest",
        },
        confidence: sizer.confidence.part,
        draws: sizer.confidence.draws,
        seed: sizer.confidence.seed,
        found,
        answer: of_answer(knob, sizing.found.answer()),
        no_run: nearest.and_then(|n| n.no_run.as_deref()),
        keeps_limits: nearest.map(|n| n.keeps_limits),
        reachable: nearest.map_or_else(Vec::new, reachable),
        not_above: knob.ceiling.as_ref().map(ToString::to_string),
        by_hand: told.hand.map(|h| OfHand {
            si: h.value,
            unit: si_unit(h.dimension),
            formula: h.formula,
            why: h.why,
        }),
        no_figure_by_hand: told.hand.is_none().then(|| no_figure(&knob.path)),
        cautions: told.raised.iter().map(caution).collect(),
        warnings: coded(told.warnings),
        other_changes: levers
            .map(|l| Change {
                path: &l.change.0,
                value: &l.change.1,
                factor: l.factor,
            })
            .collect(),
        tried: sizing
            .scan
            .iter()
            .map(|(value, margin)| Tried {
                value,
                margin_relative: judged(*margin),
            })
            .collect(),
    })
}

fn of_answer<'a>(knob: &'a Knob, answer: &'a Answer) -> OfAnswer<'a> {
    let tightest = answer.tightest.as_ref();
    OfAnswer {
        value: &answer.text,
        number: answer.value,
        unit: &knob.unit,
        set: knob.overrides(answer.value),
        margin_relative: judged(answer.margin),
        success: answer.success.part(),
        success_confidence_95: answer.success.interval_95(),
        draws: answer.success.of,
        number_confidence_95: answer.edge_95,
        tightest: tightest.map(|(bound, margin)| Tightest {
            quantity: bound.name(),
            asked: &bound.text,
            unit: si_unit(bound.dimension),
            nominal_margin: margin.is_finite().then_some(*margin),
        }),
    }
}

fn reachable(nearest: &Nearest) -> Vec<Reachable> {
    let limit = nearest.limit.iter().filter(|l| l.room < 0.0);
    let failed = nearest.missed.iter().chain(limit);
    let judged = failed.filter(|s| s.is_judged());
    judged
        .map(|s| Reachable {
            quantity: s.bound.name(),
            unit: si_unit(s.bound.dimension),
            value: s.reachable,
        })
        .collect()
}

fn caution(raised: &Raised) -> Caution<'_> {
    Caution {
        path: &raised.path,
        stated_pa: raised.stated_pa,
        offered_pa: raised.offered_pa,
    }
}

fn judged(margin: f64) -> Option<f64> {
    has_run(margin).then_some(margin)
}

fn as_map<S: serde::Serializer>(
    values: &[(String, String)],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    pairs(&values, serializer)
}

#[derive(Serialize)]
struct ReliefDocument<'a> {
    schema: &'static str,
    tank: &'a str,
    limit_pa: f64,
    start_pa: f64,
    installed: &'a [String],
    /// For seats of nominal capacity.
    nominal: OfNeed,
    /// For the larger seats.
    larger: OfNeed,
    larger_seats: Vec<OfSeat<'a>>,
}

#[derive(Serialize)]
struct OfNeed {
    pressure_without_pa: f64,
    /// None if none is needed.
    hole: Option<OfHole>,
}

#[derive(Serialize)]
struct OfHole {
    effective_area_m2: f64,
    by_hand_m2: f64,
    highest_flow_kg_s: f64,
    flow_of_seats_kg_s: f64,
}

#[derive(Serialize)]
struct OfSeat<'a> {
    regulator: &'a str,
    factor: f64,
    ground: &'static str,
}

/// A relief that was sized.
#[must_use]
pub fn relief(tank: &str, found: &Relief) -> String {
    let seats = found.seats.iter();
    pretty(&ReliefDocument {
        schema: "pressfed-relief/3",
        tank,
        limit_pa: found.limit_pa,
        start_pa: found.start_pa,
        installed: &found.installed,
        nominal: of_need(&found.nominal),
        larger: of_need(&found.larger),
        larger_seats: seats
            .map(|seat| OfSeat {
                regulator: &seat.regulator,
                factor: seat.factor,
                ground: match seat.is_stated {
                    true => "uncertainty of the stand file",
                    false => "common practice, no source",
                },
            })
            .collect(),
    })
}

fn of_need(need: &Need) -> OfNeed {
    OfNeed {
        pressure_without_pa: need.without_pa,
        hole: need.hole.as_ref().map(of_hole),
    }
}

fn of_hole(hole: &Hole) -> OfHole {
    OfHole {
        effective_area_m2: hole.area_m2,
        by_hand_m2: hole.by_hand_m2,
        highest_flow_kg_s: hole.flow_kg_s,
        flow_of_seats_kg_s: hole.seats_kg_s,
    }
}
