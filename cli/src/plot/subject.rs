//! What the plots show: one run, the units to show it in, and which line looks how.

use super::chart::{Guide, Series};
use super::look;
use super::scene::{Point, Stroke};
use super::stack::Mark;
use scenarios::studies::HistoryBands;
use scenarios::summary::Summary;
use scenarios::summary::window::flow_windows;
use shared::quantity::{Dimension, Display};
use sim_core::network::{BranchKind, ElementKind, Network, VolumeKind};
use sim_core::outcome::{Event, EventKind, Outcome};
use std::collections::{BTreeMap, BTreeSet};

/// An event that comes so many times in a run has its words once.
const OFTEN: usize = 5;

/// What parts the words of a legend from each other and from the axis title behind them.
pub const LEGEND_GAP: &str = "   |   ";

/// A limit or a set point on a component, in SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Component.
    pub component: String,
    /// Quantity without its unit, for example `pressure`.
    pub quantity: String,
    /// Value in SI.
    pub value: f64,
}

/// One run, ready to be drawn.
pub struct Subject<'a> {
    /// Title of the stand.
    pub title: &'a str,
    /// What ran.
    pub network: &'a Network,
    /// What came out.
    pub outcome: &'a Outcome,
    /// Its figures.
    pub summary: &'a Summary,
    /// Units to show.
    pub display: &'a Display,
    /// Limits.
    pub limits: &'a [Limit],
    /// Bands of the history, if any were drawn.
    pub bands: Option<&'a HistoryBands>,
}

impl Subject<'_> {
    /// Names of the volumes that have a pressure, in the order of the network.
    #[must_use]
    pub fn volumes(&self) -> Vec<&str> {
        let stored = self.network.volumes.iter();
        let stored = stored.filter(|v| !matches!(v.kind, VolumeKind::Ambient));
        stored.map(|v| v.name.as_str()).collect()
    }

    /// Names of the tanks.
    #[must_use]
    pub fn tanks(&self) -> Vec<&str> {
        let volumes = self.network.volumes.iter();
        let tanks = volumes.filter(|v| matches!(v.kind, VolumeKind::Tank(_)));
        tanks.map(|v| v.name.as_str()).collect()
    }

    /// Names of the gas branches.
    #[must_use]
    pub fn gas_branches(&self) -> Vec<&str> {
        let branches = self.network.branches.iter();
        let gas = branches.filter(|b| !matches!(b.kind, BranchKind::LiquidChain(_)));
        gas.map(|b| b.name.as_str()).collect()
    }

    /// One name for each liquid chain: its valve, else its last element.
    #[must_use]
    pub fn liquid_flows(&self) -> Vec<&str> {
        let chains = self.network.branches.iter().filter_map(|b| match &b.kind {
            BranchKind::LiquidChain(chain) => Some(chain),
            _ => None,
        });
        let name = |chain: &'_ sim_core::network::LiquidChain| {
            let valves = chain.elements.iter().rev();
            let mut valves = valves.filter(|e| matches!(e.kind, ElementKind::Valve { .. }));
            let chosen = valves.next().or(chain.elements.last());
            chosen.map(|e| e.name.clone())
        };
        let names: Vec<String> = chains.filter_map(name).collect();
        let columns = self.outcome.history.columns.iter();
        columns
            .filter_map(|c| c.strip_suffix(".mass_flow_kg_s"))
            .filter(|c| names.iter().any(|n| n == c))
            .collect()
    }

    /// A time in the unit shown.
    #[must_use]
    pub fn shown_time(&self, time_s: f64) -> f64 {
        self.display.value(Dimension::Time, time_s)
    }

    /// First and last instant, in seconds.
    #[must_use]
    pub fn time_range_s(&self) -> (f64, f64) {
        let time = self.outcome.history.column("time_s").unwrap_or_default();
        match time[..] {
            [first, .., last] if last > first => (first, last),
            _ => (0.0, 1.0),
        }
    }

    /// From the first start of a liquid flow to the last end of one; the whole run if there
    /// is none.
    #[must_use]
    pub fn flow_span_s(&self) -> (f64, f64) {
        let windows = flow_windows(self.network, self.outcome);
        let start = windows
            .iter()
            .map(|w| w.start_s)
            .fold(f64::INFINITY, f64::min);
        let end = windows
            .iter()
            .map(|w| w.end_s)
            .fold(f64::NEG_INFINITY, f64::max);
        if end > start {
            (start, end)
        } else {
            self.time_range_s()
        }
    }

    /// How a component looks on every picture: volumes first, then what moves.
    #[must_use]
    pub fn stroke(&self, component: &str) -> Stroke {
        let liquid = self.liquid_flows();
        let order = self
            .volumes()
            .into_iter()
            .chain(liquid)
            .chain(self.gas_branches());
        look::line(order.into_iter().position(|n| n == component).unwrap_or(0))
    }

    /// Quantity and unit as an axis title.
    #[must_use]
    pub fn axis(&self, quantity: &str, dimension: Dimension) -> String {
        format!("{quantity}, {}", self.display.unit(dimension))
    }

    /// Time as an axis title, with what the shades mean where there are any.
    #[must_use]
    pub fn time_axis(&self, words: &str) -> String {
        let axis = self.axis(words, Dimension::Time);
        match self.bands {
            Some(_) => format!("shaded: 95 % of the draws{LEGEND_GAP}{axis}"),
            None => axis,
        }
    }

    /// A number with its unit.
    #[must_use]
    pub fn text(&self, dimension: Dimension, si: f64) -> String {
        self.display.text(dimension, si)
    }

    /// A figure of the summary with its unit.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<String> {
        let figure = self.summary.figures.iter().find(|f| f.name == name)?;
        Some(self.text(figure.dimension, figure.value))
    }

    /// A history column against time, in the units shown.
    #[must_use]
    pub fn points(&self, column: &str, dimension: Dimension) -> Option<Vec<Point>> {
        let time = self.outcome.history.column("time_s")?;
        let values = self.outcome.history.column(column)?;
        let shown = values.into_iter().map(|v| self.display.value(dimension, v));
        let time = time.into_iter().map(|t| self.shown_time(t));
        Some(time.zip(shown).collect())
    }

    /// The line of a component's column, named after the component.
    #[must_use]
    pub fn series(&self, component: &str, column: &str, dimension: Dimension) -> Option<Series> {
        Some(Series {
            name: component.to_owned(),
            stroke: self.stroke(component),
            points: self.points(&format!("{component}.{column}"), dimension)?,
            band: self.band(&format!("{component}.{column}"), dimension),
        })
    }

    /// The band of a column against time, in the units shown; empty if there is none.
    fn band(&self, column: &str, dimension: Dimension) -> Vec<(f64, f64, f64)> {
        let shown = |v| self.display.value(dimension, v);
        let band = self
            .bands
            .and_then(|b| b.column(column))
            .unwrap_or_default();
        let band = band.into_iter();
        band.map(|(t, low, high)| (self.shown_time(t), shown(low), shown(high)))
            .collect()
    }

    /// The limits on a quantity of some components.
    #[must_use]
    pub fn limit_guides(&self, among: &[&str], quantity: &str, dimension: Dimension) -> Vec<Guide> {
        let matching = |l: &&Limit| l.quantity == quantity && among.contains(&l.component.as_str());
        let limits = self.limits.iter().filter(matching);
        limits
            .map(|l| Guide {
                label: format!("limit of {} {}", l.component, self.text(dimension, l.value)),
                y: self.display.value(dimension, l.value),
                stroke: look::limit(),
            })
            .collect()
    }

    /// The events that explain the curves. What a component does again and again, as a valve that
    /// is switched to hold a pressure, has its words once.
    #[must_use]
    pub fn marks(&self) -> Vec<Mark> {
        let events = self.outcome.events.iter();
        let told = events.filter_map(|e| Some((e.time_s, (e.component.as_str(), words(e)?))));
        let told: Vec<(f64, (&str, &str))> = told.collect();
        let mut times: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for (_, what) in &told {
            *times.entry(*what).or_default() += 1;
        }
        let mut said = BTreeSet::new();
        let marks = told.into_iter().map(|(time_s, what)| {
            let (component, words) = what;
            let (count, is_first) = (times[&what], said.insert(what));
            let is_often = count >= OFTEN;
            let label = match (is_often, is_first) {
                (false, _) => format!("{component} {words}"),
                (true, true) => format!("{component} {words} (first of {count})"),
                (true, false) => String::new(),
            };
            Mark {
                x: self.shown_time(time_s),
                label,
                is_often,
            }
        });
        marks.collect()
    }
}

/// Short words for the events that are worth a mark.
fn words(event: &Event) -> Option<&'static str> {
    match event.kind {
        EventKind::CommandedOpen => Some("commanded open"),
        EventKind::CommandedShut => Some("commanded shut"),
        EventKind::RegulationLost => Some("wide open"),
        EventKind::ReliefLifted => Some("relief lifts"),
        EventKind::Burst => Some("disc bursts"),
        EventKind::Primed => Some("full of liquid"),
        EventKind::Depleted => Some("outlet uncovered"),
        // Depletion, just before, has its mark.
        EventKind::GasThrough
        | EventKind::MotionStarted
        | EventKind::MotionEnded
        | EventKind::LockUp
        | EventKind::Regulating
        | EventKind::CheckOpened
        | EventKind::CheckSeated
        | EventKind::ReliefReseated => None,
    }
}
