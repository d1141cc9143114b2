//! What happens about the command that opens or shuts a run valve. Where waves count, the pressure before a valve
//! that shuts is that of the elastic column.

use super::chart::{Chart, Series, Shown, told_apart};
use super::stack::{Mark, Stack};
use super::subject::Subject;
use scenarios::summary::window::{FlowEnd, FlowWindow, first_event, flow_windows};
use shared::quantity::Dimension;
use sim_core::elastic_column::Stopped;
use sim_core::network::Trigger;
use sim_core::outcome::{EventKind, SurgeCause};

/// From shortly before the command that opens to this long after it.
const SHOWN_S: (f64, f64) = (-0.1, 1.0);
/// A longer stroke is shown whole, with this much room.
const ROOM: f64 = 1.2;
/// Before and after a stroke that shuts, as a part of it.
const ROOM_ABOUT: f64 = 0.25;
/// Least time that is shown of a stroke that shuts, s: one of no time would show nothing.
const LEAST_STROKE_S: f64 = 0.01;

/// Which way a valve is commanded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Open,
    Shut,
}

/// A valve and the command to it.
struct View<'a> {
    subject: &'a Subject<'a>,
    window: &'a FlowWindow<'a>,
    valve: &'a str,
    command_s: f64,
    way: Way,
}

/// Pressures, flow and travel about each command that opens a liquid flow.
#[must_use]
pub fn openings(subject: &Subject) -> Vec<(String, Stack)> {
    let view = |subject, window: &FlowWindow| {
        let view = View {
            subject,
            window,
            valve: window.name,
            command_s: window.start_s,
            way: Way::Open,
        };
        window.commanded.then(|| view.named_stack())?
    };
    let windows = flow_windows(subject.network, subject.outcome);
    windows.iter().filter_map(|w| view(subject, w)).collect()
}

/// Pressures, flow and travel about each command that ends a liquid flow.
#[must_use]
pub fn shuttings(subject: &Subject) -> Vec<(String, Stack)> {
    let view = |subject, window: &FlowWindow| {
        let view = View {
            subject,
            window,
            valve: shut_valve(subject, window)?,
            command_s: window.end_s,
            way: Way::Shut,
        };
        view.named_stack()
    };
    let windows = flow_windows(subject.network, subject.outcome);
    windows.iter().filter_map(|w| view(subject, w)).collect()
}

/// The valve whose command ends a flow, if one does.
fn shut_valve<'a>(subject: &Subject, window: &FlowWindow<'a>) -> Option<&'a str> {
    let command = |name: &str| {
        let kind = EventKind::CommandedShut;
        first_event(subject.outcome, name, kind, window.end_s)
    };
    let mut names = window.chain.elements.iter().map(|e| e.name.as_str());
    let ended = window.end == FlowEnd::Command;
    ended.then(|| names.find(|n| command(n) == Some(window.end_s)))?
}

impl View<'_> {
    fn named_stack(&self) -> Option<(String, Stack)> {
        Some((self.valve.to_owned(), self.stack()?))
    }

    fn stack(&self) -> Option<Stack> {
        let Self { subject, valve, .. } = *self;
        let flow = subject.series(valve, "mass_flow_kg_s", Dimension::MassFlow)?;
        let travel = subject.series(valve, "travel_1", Dimension::Fraction)?;
        let charts = [
            (self.pressure_axis(), self.pressures(), 1.6),
            (subject.axis("Flow", Dimension::MassFlow), vec![flow], 1.2),
            ("Travel, 0 shut to 1 open".to_owned(), vec![travel], 0.8),
        ];
        let charts = charts.into_iter().map(|(quantity, series, weight)| Chart {
            quantity,
            series: told_apart(
                series
                    .into_iter()
                    .map(|s| self.counted_from_command(s))
                    .collect(),
            ),
            guides: Vec::new(),
            notes: Vec::new(),
            shown: Shown::default(),
            weight,
        });
        let words = format!("Time from the command to {valve}");
        let x_quantity = if self.is_timed() {
            subject.time_axis(&words)
        } else {
            subject.axis(&words, Dimension::Time)
        };
        let (before_s, after_s) = self.range_s();
        Some(Stack {
            title: self.title(),
            x_quantity,
            x_range: (subject.shown_time(before_s), subject.shown_time(after_s)),
            marks: self.marks(),
            charts: charts.collect(),
        })
    }

    /// A valve that shuts raises the pressure before it by more than a rigid column shows.
    fn pressure_axis(&self) -> String {
        let axis = self.subject.axis("Pressure", Dimension::Pressure);
        match (self.way, self.elastic()) {
            (Way::Open, _) => axis,
            (Way::Shut, Some(_)) => format!("{axis}; before the valve of an elastic column"),
            (Way::Shut, None) => format!("{axis}; of a rigid column, without elastic waves"),
        }
    }

    /// What the elastic column does as the valve shuts, and from when on, if waves count.
    fn elastic(&self) -> Option<(f64, &Stopped)> {
        if self.way == Way::Open {
            return None;
        }
        let surges = self.subject.outcome.surges.iter();
        let mut own = surges.filter(|s| s.component == self.valve && s.time_s >= self.command_s);
        own.find_map(|surge| match &surge.cause {
            SurgeCause::Shutting {
                elastic: Some(stopped),
                ..
            } => Some((surge.time_s, stopped)),
            _ => None,
        })
    }

    /// Whether the command comes at a fixed time. On a condition it comes at another time in
    /// each draw, and a band over time would be smeared over all of them.
    fn is_timed(&self) -> bool {
        let commands = self.subject.network.commands.iter();
        let mut times = commands.filter_map(|c| match c.trigger {
            Trigger::At { time_s } => Some(time_s),
            Trigger::When { .. } => None,
        });
        times.any(|t| t == self.command_s)
    }

    /// The range shown, counted from the command: of a valve that shuts its stroke, and the waves behind it.
    fn range_s(&self) -> (f64, f64) {
        let ends_s = self.after(EventKind::MotionEnded).unwrap_or(0.0);
        if self.way == Way::Open {
            return (SHOWN_S.0, SHOWN_S.1.max(ROOM * ends_s));
        }
        let moves_s = self.after(EventKind::MotionStarted).unwrap_or(0.0);
        let room_s = ROOM_ABOUT * (ends_s - moves_s).max(LEAST_STROKE_S);
        let waves = self.elastic().and_then(|(from_s, stopped)| {
            let (last_s, _) = stopped.at_valve.last()?;
            Some(from_s + last_s - self.command_s)
        });
        (moves_s - room_s, waves.unwrap_or(ends_s + room_s))
    }

    /// Time from the command to an event of the valve.
    fn after(&self, kind: EventKind) -> Option<f64> {
        let at_s = first_event(self.subject.outcome, self.valve, kind, self.command_s)?;
        Some(at_s - self.command_s)
    }

    fn counted_from_command(&self, mut series: Series) -> Series {
        let command = self.subject.shown_time(self.command_s);
        series.points.iter_mut().for_each(|p| p.0 -= command);
        if self.is_timed() {
            series.band.iter_mut().for_each(|p| p.0 -= command);
        } else {
            series.band.clear();
        }
        series
    }

    /// The tank, what feeds it, and the inlet of the valve. A bottle is far above them.
    fn pressures(&self) -> Vec<Series> {
        let subject = self.subject;
        let network = subject.network;
        let tank = self.window.tank;
        let name = |id: usize| network.volumes[id].name.as_str();
        let highest = |id| {
            let peak = format!("{}.peak_pressure_pa", name(id));
            subject.summary.get(&peak).unwrap_or(f64::INFINITY)
        };
        let feeds = network.branches.iter().filter(|b| b.to.volume == tank);
        let feeds = feeds.map(|b| b.from.volume);
        let near = feeds.filter(|&id| highest(id) < 2.0 * highest(tank));
        let volumes = near.chain([tank]);
        let volumes =
            volumes.filter_map(|id| subject.series(name(id), "pressure_pa", Dimension::Pressure));
        volumes.chain(self.inlet()).collect()
    }

    /// Before the valve: of the rigid column up to where an elastic one is reckoned.
    fn inlet(&self) -> Option<Series> {
        let subject = self.subject;
        let column = subject.series(self.valve, "inlet_pressure_pa", Dimension::Pressure)?;
        let mut inlet = Series {
            name: format!("{} inlet", self.valve),
            ..column
        };
        if let Some((from_s, stopped)) = self.elastic() {
            let shown = |&(after_s, pa): &(f64, f64)| {
                let pressure = subject.display.value(Dimension::Pressure, pa);
                (subject.shown_time(from_s + after_s), pressure)
            };
            inlet.points.retain(|p| p.0 < subject.shown_time(from_s));
            // At the last instant of a column that parts there is no liquid before the valve.
            let whole = stopped.at_valve.len() - usize::from(stopped.parts_s.is_some());
            inlet
                .points
                .extend(stopped.at_valve[..whole].iter().map(shown));
            // That of the draws is a rigid column's.
            inlet.band.clear();
        }
        Some(inlet)
    }

    fn marks(&self) -> Vec<Mark> {
        let command = match self.way {
            Way::Open => "commanded open",
            Way::Shut => "commanded shut",
        };
        let moves = self.after(EventKind::MotionStarted);
        let parts = self.elastic().and_then(|(from_s, stopped)| {
            let parts_s = stopped.parts_s?;
            Some((from_s + parts_s - self.command_s, "column parts"))
        });
        let marks = [
            Some((0.0, command)),
            moves.map(|x| (x, "starts to move")),
            self.reached(),
            parts,
        ];
        let marks = marks.into_iter().flatten();
        let (first, last) = self.range_s();
        marks
            .filter(|&(x, _)| (first..=last).contains(&x))
            .map(|(x, label)| Mark {
                x: self.subject.shown_time(x),
                label: label.to_owned(),
                is_often: false,
            })
            .collect()
    }

    /// What the command leads to, and how long after it.
    fn reached(&self) -> Option<(f64, &'static str)> {
        match self.way {
            Way::Open => {
                let name = format!("{}.time_to_90_s", self.valve);
                let after = self.subject.summary.get(&name)?;
                Some((after, "90 % of steady flow"))
            }
            Way::Shut => Some((self.after(EventKind::MotionEnded)?, "stroke ends")),
        }
    }

    fn title(&self) -> String {
        let valve = self.valve;
        let verb = match self.way {
            Way::Open => "opens",
            Way::Shut => "shuts",
        };
        match self.reached() {
            Some((after, what)) => {
                let after = self.subject.text(Dimension::Time, after);
                format!("{valve} {verb}: {what} {after} after the command")
            }
            None => format!("{valve} {verb}"),
        }
    }
}
