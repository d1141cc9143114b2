//! A regulator's operating line on its flow curve: outlet pressure against flow.
//!
//! The flow curve is drawn for the supply pressures at the instants marked: from lock-up
//! down to wide open along the droop, below that upright, because a regulator that is wide
//! open is a fixed orifice. The flow wide open at an instant is the flow divided by the
//! lift. Curves that lead far beyond the flows of the run are cut.

use super::chart::{Chart, Note, Series, Shown};
use super::look;
use super::scene::{Anchor, Point, Stroke};
use super::stack::Stack;
use super::subject::{LEGEND_GAP, Subject};
use scenarios::summary::trace::Trace;
use shared::quantity::Dimension;
use sim_core::components::regulator::DemandCurve;
use sim_core::network::{Branch, BranchKind, Droop, Regulator};

/// Lift below which the flow divided by the lift says nothing.
const LEAST_LIFT: f64 = 0.02;
/// Halvings in which the end of a curve between two others is found: finer than any picture.
const HALVINGS: usize = 30;
/// Points of a drawn flow curve.
const CURVE_POINTS: usize = 60;
/// Flows shown, in terms of the largest of the run.
const ROOM: f64 = 1.35;
/// Marks nearer than this, in terms of the panel's range, share one label.
const NEAR: (f64, f64) = (0.06, 0.08);
/// Feet of curves nearer than this, in terms of the flows shown, share one label.
const FOOT_PITCH: f64 = 0.14;

/// One picture for each regulator that flows.
#[must_use]
pub fn stacks(subject: &Subject) -> Vec<(String, Stack)> {
    let branches = subject.network.branches.iter();
    let stacks = branches.filter_map(|branch| match &branch.kind {
        BranchKind::Regulator(regulator) => {
            let view = View::of(subject, branch, regulator)?;
            Some((branch.name.clone(), view.stack()?))
        }
        _ => None,
    });
    stacks.collect()
}

/// What a regulator's picture is made from, in SI.
struct View<'a> {
    subject: &'a Subject<'a>,
    branch: &'a Branch,
    regulator: &'a Regulator,
    flow: Trace,
    lift: Trace,
    outlet: Trace,
    supply: Trace,
    span_s: (f64, f64),
}

/// A flow curve in the units shown.
struct FlowCurve {
    points: Vec<Point>,
    /// The supply pressure, without its unit.
    supply: String,
}

impl<'a> View<'a> {
    fn of(subject: &'a Subject, branch: &'a Branch, regulator: &'a Regulator) -> Option<Self> {
        let history = &subject.outcome.history;
        let volume = |id: usize| subject.network.volumes[id].name.as_str();
        Some(Self {
            subject,
            branch,
            regulator,
            flow: Trace::of_component(history, &branch.name, "mass_flow_kg_s")?,
            lift: Trace::of_component(history, &branch.name, "lift_1")?,
            outlet: Trace::of_component(history, volume(branch.to.volume), "pressure_pa")?,
            supply: Trace::of_component(history, volume(branch.from.volume), "pressure_pa")?,
            span_s: subject.flow_span_s(),
        })
    }

    fn stack(&self) -> Option<Stack> {
        let operating = self.operating_line();
        let widest = operating.iter().map(|p| p.0).fold(0.0, f64::max);
        if widest <= 0.0 {
            return None;
        }
        let x_range = (0.0, ROOM * widest);
        let times = self.marked_times();
        let curves = times.iter().filter_map(|&t| self.flow_curve(t));
        let curves: Vec<FlowCurve> = curves.collect();
        let mut notes = self.time_notes(&times, &operating, x_range.1);
        notes.extend(self.foot_notes(&curves, x_range.1));
        notes.extend(self.measured_notes(x_range.1));
        let mut series: Vec<Series> = curves
            .into_iter()
            .map(|c| self.curve_series(c, x_range.1))
            .collect();
        series.push(self.operating_series(operating));
        let flow = format!("Gas flow through {}", self.branch.name);
        Some(Stack {
            title: self.title(),
            x_quantity: format!(
                "solid: the run{LEGEND_GAP}dashed: flow curve at the supply pressure written at its end{LEGEND_GAP}{}",
                self.subject.axis(&flow, Dimension::MassFlow)
            ),
            x_range,
            marks: Vec::new(),
            charts: vec![Chart {
                quantity: self.subject.axis("Outlet pressure", Dimension::Pressure),
                series,
                guides: Vec::new(),
                notes,
                shown: Shown::default(),
                weight: 1.0,
            }],
        })
    }

    /// Shortly after the command, the loss of regulation or the middle, the end of the flow.
    fn marked_times(&self) -> Vec<f64> {
        let (start, end) = self.span_s;
        let name = format!("{}.regulation_lost_s", self.branch.name);
        let between = self.subject.summary.get(&name);
        let between = between.unwrap_or(0.5 * (start + end));
        let early = start + 0.5f64.min(0.2 * (end - start));
        let mut times = vec![early, between, end];
        times.dedup_by(|b, a| *b - *a < 0.02 * (end - start));
        times
    }

    fn shown(&self, flow_kg_s: f64, outlet_pa: f64) -> Point {
        let display = self.subject.display;
        let x = display.value(Dimension::MassFlow, flow_kg_s);
        (x, display.value(Dimension::Pressure, outlet_pa))
    }

    fn operating_line(&self) -> Vec<Point> {
        let time = self.subject.outcome.history.column("time_s");
        let (start, end) = self.span_s;
        let during = time.unwrap_or_default().into_iter();
        let during = during.filter(|t| (start..=end).contains(t));
        during.map(|t| self.operating_point(t)).collect()
    }

    fn operating_point(&self, at_s: f64) -> Point {
        self.shown(self.flow.before(at_s), self.outlet.before(at_s))
    }

    /// The flow curve at an instant's supply pressure.
    fn flow_curve(&self, at_s: f64) -> Option<FlowCurve> {
        let lift = self.lift.before(at_s);
        if lift < LEAST_LIFT {
            return None;
        }
        let wide_open = self.flow.before(at_s) / lift;
        let supply = self.supply.before(at_s);
        let lock_up = self.regulator.lock_up(supply);
        let demand = DemandCurve::new(&self.regulator.droop);
        let full = full_fall_pa(&demand, &self.regulator.droop, supply);
        // Finer near lock-up, where a large regulator spends its run.
        let falls = (0..=CURVE_POINTS).map(|i| full * (i as f64 / CURVE_POINTS as f64).powi(2));
        let mut points: Vec<Point> = falls
            .map(|fall| self.shown(demand.demand(fall, supply) * wide_open, lock_up - fall))
            .collect();
        let floor = self.outlet.minimum(self.span_s.0, self.span_s.1).1;
        points.push(self.shown(wide_open, floor.min(lock_up - full)));
        let supply = self.subject.display.number(Dimension::Pressure, supply);
        Some(FlowCurve { points, supply })
    }

    /// Times on the operating line; those that fall together share one label.
    fn time_notes(&self, times: &[f64], operating: &[Point], x_high: f64) -> Vec<Note> {
        let heights = || operating.iter().map(|p| p.1);
        let height =
            heights().fold(f64::NEG_INFINITY, f64::max) - heights().fold(f64::INFINITY, f64::min);
        let mut notes: Vec<Note> = Vec::new();
        for &t in times {
            let at = self.operating_point(t);
            let text = self.subject.text(Dimension::Time, t);
            let near = |n: &&mut Note| {
                (n.at.0 - at.0).abs() < NEAR.0 * x_high && (n.at.1 - at.1).abs() < NEAR.1 * height
            };
            match notes.iter_mut().find(near) {
                Some(note) => note.label += &format!(", {text}"),
                None => notes.push(Note {
                    at,
                    label: text,
                    colour: self.subject.stroke(&self.branch.name).colour,
                    dot: true,
                    anchor: Anchor::Start,
                }),
            }
        }
        // A run that ends on its way down has the free side of its last point to the left.
        if let [before @ .., last] = &mut notes[..] {
            let comes_back = before.iter().any(|n| n.at.0 > last.at.0);
            if comes_back && last.at.0 > 0.25 * x_high {
                last.anchor = Anchor::End;
            }
        }
        notes
    }

    /// The points of a measured flow curve.
    fn measured_notes(&self, x_high: f64) -> Vec<Note> {
        let Droop::Curves(curves) = &self.regulator.droop else {
            return Vec::new();
        };
        let measured = curves.iter().flat_map(|c| &c.measured);
        let points = measured.map(|&(flow, pa)| self.shown(flow, pa));
        let mut notes: Vec<Note> = points
            .filter(|p| p.0 <= x_high)
            .map(|at| Note {
                at,
                label: String::new(),
                colour: look::MUTED,
                dot: true,
                anchor: Anchor::Start,
            })
            .collect();
        if let Some(last) = notes.last_mut() {
            last.label = "measured".to_owned();
        }
        notes
    }

    /// A curve whose foot is shown has its label under it, another one at its end.
    fn curve_series(&self, curve: FlowCurve, x_high: f64) -> Series {
        let name = match curve.foot(x_high) {
            Some(_) => String::new(),
            None => self.supply_label(&[&curve.supply]),
        };
        Series {
            name,
            stroke: look::set_point(),
            points: curve.points,
            band: Vec::new(),
        }
    }

    fn supply_label(&self, numbers: &[&str]) -> String {
        let unit = self.subject.display.unit(Dimension::Pressure);
        format!("supply {} {unit}", numbers.join(", "))
    }

    /// Labels under the feet of the curves; those of feet that stand close share one.
    fn foot_notes(&self, curves: &[FlowCurve], x_high: f64) -> Vec<Note> {
        let feet = curves.iter();
        let feet = feet.filter_map(|c| Some((c.foot(x_high)?, c.supply.as_str())));
        let mut feet: Vec<(Point, &str)> = feet.collect();
        feet.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
        let groups = feet.chunk_by(|a, b| b.0.0 - a.0.0 < FOOT_PITCH * x_high);
        let note = |group: &[(Point, &str)]| {
            let count = group.len() as f64;
            let x = group.iter().map(|f| f.0.0).sum::<f64>() / count;
            let y = group.iter().map(|f| f.0.1).fold(f64::INFINITY, f64::min);
            let numbers: Vec<&str> = group.iter().map(|f| f.1).collect();
            Note {
                at: (x, y),
                label: self.supply_label(&numbers),
                colour: look::MUTED,
                dot: false,
                anchor: Anchor::Middle,
            }
        };
        groups.map(note).collect()
    }

    fn operating_series(&self, points: Vec<Point>) -> Series {
        let colour = self.subject.stroke(&self.branch.name).colour;
        Series {
            name: String::new(),
            stroke: Stroke {
                colour,
                width: 2.4,
                dash: &[],
            },
            points,
            band: Vec::new(),
        }
    }

    fn title(&self) -> String {
        let name = &self.branch.name;
        let figure = |what: &str| self.subject.figure(&format!("{name}.{what}"));
        let time = figure("first_wide_open_s").and(figure("wide_open_time_s"));
        match (figure("regulation_lost_s"), time) {
            (Some(at), _) => format!("{name} runs down its flow curve and is wide open from {at}"),
            (None, Some(time)) => format!("{name} leaves its flow curve, wide open for {time}"),
            (None, None) => format!("{name} stays on its flow curve"),
        }
    }
}

impl FlowCurve {
    /// Where the curve ends, if that lies within the flows shown.
    fn foot(&self, x_high: f64) -> Option<Point> {
        self.points.last().copied().filter(|p| p.0 <= x_high)
    }
}

/// Fall of the outlet below lock-up to wide open at a supply pressure, Pa.
fn full_fall_pa(demand: &DemandCurve, droop: &Droop, supply_pa: f64) -> f64 {
    let curves = match droop {
        Droop::Linear { full_pa } => return *full_pa,
        Droop::Curves(curves) => curves,
    };
    let falls = curves.iter().filter_map(|c| Some(c.points.last()?.0));
    let most = falls.fold(0.0, f64::max);
    if curves.len() == 1 {
        return most;
    }
    // The demand of a mean of curves is one no later than at the largest of their falls.
    let is_open = |fall: f64| demand.demand(fall, supply_pa) >= 1.0;
    let (mut shut, mut open) = (0.0, most);
    for _ in 0..HALVINGS {
        let middle = (shut + open) / 2.0;
        if is_open(middle) {
            open = middle;
        } else {
            shut = middle;
        }
    }
    open
}
