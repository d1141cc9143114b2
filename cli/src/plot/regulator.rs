//! A regulator's operating line on its flow curve: outlet pressure against flow.
//!
//! The flow curve is drawn for the supply pressures at the instants marked: from lock-up
//! down to wide open along the droop, below that upright, because a regulator that is wide
//! open is a fixed orifice. The flow wide open at an instant is the flow divided by the
//! lift.

use super::chart::{Chart, Note, Series};
use super::look;
use super::scene::{Anchor, Point, Stroke};
use super::stack::Stack;
use super::subject::Subject;
use scenarios::summary::trace::Trace;
use shared::quantity::Dimension;
use sim_core::network::{Branch, BranchKind, Droop, Regulator};

/// Lift below which the flow divided by the lift says nothing.
const LEAST_LIFT: f64 = 0.02;
/// Points of a drawn flow curve.
const CURVE_POINTS: usize = 60;

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
        let times = self.marked_times();
        let curves: Vec<(Vec<Point>, String)> =
            times.iter().filter_map(|&t| self.flow_curve(t)).collect();
        let operating = self.operating_line();
        let points = || operating.iter().chain(curves.iter().flat_map(|c| &c.0));
        let widest = points().map(|p| p.0).fold(0.0, f64::max);
        if widest <= 0.0 {
            return None;
        }
        let mut notes: Vec<Note> = times.iter().map(|&t| self.time_note(t)).collect();
        if let Some(last) = notes.last_mut() {
            last.anchor = Anchor::End;
        }
        notes.extend(
            curves
                .iter()
                .filter_map(|(curve, label)| curve_note(curve, label)),
        );
        let mut series: Vec<Series> = curves
            .into_iter()
            .map(|(points, _)| curve_series(points))
            .collect();
        series.push(self.operating_series(operating));
        Some(Stack {
            title: self.title(),
            x_quantity: self.subject.axis(
                &format!("Gas flow through {}", self.branch.name),
                Dimension::MassFlow,
            ),
            x_range: (0.0, 1.12 * widest),
            marks: Vec::new(),
            charts: vec![Chart {
                quantity: self.subject.axis("Outlet pressure", Dimension::Pressure),
                series,
                guides: Vec::new(),
                notes,
                weight: 1.0,
            }],
        })
    }

    /// Shortly after the command, the loss of regulation, and the end of the flow.
    fn marked_times(&self) -> Vec<f64> {
        let (start, end) = self.span_s;
        let lost = self
            .subject
            .summary
            .get(&format!("{}.regulation_lost_s", self.branch.name));
        let between = lost.unwrap_or(0.5 * (start + end));
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
        let time = self
            .subject
            .outcome
            .history
            .column("time_s")
            .unwrap_or_default();
        let (start, end) = self.span_s;
        let during = time.into_iter().filter(|t| (start..=end).contains(t));
        during
            .map(|t| self.shown(self.flow.before(t), self.outlet.before(t)))
            .collect()
    }

    /// The flow curve at an instant's supply pressure, and its label.
    fn flow_curve(&self, at_s: f64) -> Option<(Vec<Point>, String)> {
        let lift = self.lift.before(at_s);
        if lift < LEAST_LIFT {
            return None;
        }
        let wide_open = self.flow.before(at_s) / lift;
        let supply = self.supply.before(at_s);
        let reference = self.regulator.reference_supply_pa;
        let lock_up =
            self.regulator.lock_up_pa + self.regulator.supply_effect * (reference - supply);
        let mut curve: Vec<Point> = (0..=CURVE_POINTS)
            .map(|i| i as f64 / CURVE_POINTS as f64)
            .map(|lift| {
                self.shown(
                    lift * wide_open,
                    lock_up - fall_pa(&self.regulator.droop, lift),
                )
            })
            .collect();
        let floor = self.outlet.minimum(self.span_s.0, self.span_s.1).1;
        curve.push(self.shown(
            wide_open,
            floor.min(lock_up - fall_pa(&self.regulator.droop, 1.0)),
        ));
        let label = format!("supply {}", self.subject.text(Dimension::Pressure, supply));
        Some((curve, label))
    }

    fn time_note(&self, at_s: f64) -> Note {
        Note {
            at: self.shown(self.flow.before(at_s), self.outlet.before(at_s)),
            label: self.subject.text(Dimension::Time, at_s),
            colour: self.subject.stroke(&self.branch.name).colour,
            dot: true,
            anchor: Anchor::Start,
        }
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
        }
    }

    fn title(&self) -> String {
        let name = &self.branch.name;
        match self.subject.figure(&format!("{name}.regulation_lost_s")) {
            Some(at) => format!("{name} runs down its flow curve and is wide open from {at}"),
            None => format!("{name} stays on its flow curve"),
        }
    }
}

fn curve_series(points: Vec<Point>) -> Series {
    Series {
        name: String::new(),
        stroke: look::set_point(),
        points,
    }
}

/// The label of a flow curve stands under its foot.
fn curve_note(curve: &[Point], label: &str) -> Option<Note> {
    let &foot = curve.last()?;
    Some(Note {
        at: foot,
        label: label.to_owned(),
        colour: look::MUTED,
        dot: false,
        anchor: Anchor::Middle,
    })
}

/// Fall of the outlet below lock-up at a lift.
fn fall_pa(droop: &Droop, lift: f64) -> f64 {
    match droop {
        Droop::Linear { full_pa } => lift * full_pa,
        Droop::Curve { points, .. } => {
            let next = points
                .partition_point(|p| p.1 < lift)
                .clamp(1, points.len() - 1);
            let ((f0, l0), (f1, l1)) = (points[next - 1], points[next]);
            f0 + (f1 - f0) * (lift - l0) / (l1 - l0)
        }
    }
}
