//! Redlines: what the stand file limits, what relieves pressure, and where the band ends.

use super::Told;
use crate::naming::as_far_as;
use maud::{Markup, html};
use scenarios::studies::chance::Chance;
use scenarios::studies::{Bands, FigureBand};
use scenarios::summary::{Bound, Figure, Verdict};
use shared::quantity::Dimension;
use sim_core::network::{Branch, BranchKind, Duty, Relation, Volume, VolumeKind};

const PEAK: &str = ".peak_pressure_pa";
/// Part of its tank's highest pressure from which on an inlet has a redline of its own.
const NOTABLE_SURGE: f64 = 1.02;
const RISE: &str = ".rise_above_lock_up_pa";
/// A tank's pressures while liquid flows.
const RUNNING: [&str; 3] = ["pressure_0_5_s_pa", "pressure_middle_pa", "pressure_end_pa"];

impl Told<'_> {
    /// The redlines, as a list.
    pub(super) fn redlines(&self) -> Markup {
        let limits = self.prediction.limits.iter().map(|v| self.limit(v));
        let branches = self.prediction.network.branches.iter();
        let reliefs = branches.filter_map(|b| self.relieves(b));
        let edges = [
            ("outside its band, no upper limit stated", self.high_edges()),
            ("outside its band while liquid flows", self.low_edges()),
            (
                "surges above its tank, no upper limit stated",
                self.surges(),
            ),
            (
                "overshoots its regulator's lock-up, redline to be decided",
                self.overshot(),
            ),
        ];
        let edges = edges.into_iter().filter(|(_, places)| !places.is_empty());
        let edges = edges.map(|(words, places)| format!("{words}: {}", places.join(", ")));
        let lines: Vec<String> = limits.chain(reliefs).collect();
        let edges: Vec<String> = edges.collect();
        html! {
            @if self.prediction.limits.is_empty() { p { "The stand file has no [limit]: ________" } }
            ul.redlines { @for line in lines { li { (line) } } }
            // One run in twenty leaves a band with nothing wrong.
            @if !edges.is_empty() { p { "Watch; stop and think where it is:" } }
            ul.redlines { @for edge in edges { li { (edge) } } }
        }
    }

    /// A limit, what is expected against it, and the worst of the draws.
    fn limit(&self, verdict: &Verdict) -> String {
        let bound = &verdict.bound;
        let mut line = format!(
            "{} {}; expected {}",
            bound.path,
            self.asked(verdict),
            self.came(verdict)
        );
        if let Some(worst) = self.bands.and_then(|bands| worst(bands, bound)) {
            let display = bound.display(self.display());
            let words = match bound.relation {
                Relation::Below => "high",
                Relation::Above => "low",
            };
            line += &format!(", {words} {}", display.text(bound.dimension, worst));
        }
        if let Some(bands) = self.bands {
            line += &drawn(bands, bound);
        }
        if !verdict.is_kept() {
            line += "; BROKEN by the nominal run";
        }
        let as_far_as = as_far_as(verdict, self.display());
        if !as_far_as.is_empty() {
            line += &format!("; kept{as_far_as}");
        }
        line
    }

    /// What opens by itself, and at what pressure.
    fn relieves(&self, branch: &Branch) -> Option<String> {
        let (what, opens_pa) = match &branch.kind {
            BranchKind::Poppet(poppet) if poppet.duty == Duty::Relief => {
                ("relief set", poppet.cracking_pa)
            }
            BranchKind::BurstDisc(disc) => ("bursts at", disc.burst_pa),
            _ => return None,
        };
        let network = &self.prediction.network;
        let from = &network.volumes[branch.from.volume].name;
        let peak = self.prediction.summary.figures.iter();
        let mut peak = peak.filter(|f| f.name == format!("{from}{PEAK}"));
        let expected = peak.next().map_or(String::new(), |f| {
            format!("; {from} expected up to {}", self.pressure(self.highest(f)))
        });
        let opens = self.view().opens(branch, opens_pa);
        Some(format!("{} {what} {opens}{expected}", branch.name))
    }

    /// Whether the regulator of a volume lets it rise above lock-up: its band is no redline then.
    fn overshoots(&self, volume: &str) -> bool {
        let network = &self.prediction.network;
        let mut feeds = network.branches.iter();
        feeds.any(|branch| {
            let rise = format!("{}{RISE}", branch.name);
            network.volumes[branch.to.volume].name == volume
                && self.prediction.summary.get(&rise).is_some()
        })
    }

    /// The volumes that a regulator lets rise above lock-up.
    fn overshot(&self) -> Vec<String> {
        let volumes = self.prediction.network.volumes.iter();
        let overshot = volumes.filter(|v| self.overshoots(&v.name));
        overshot.map(|v| format!("{} ________", v.name)).collect()
    }

    /// For each volume that no limit holds down: above its band something is not as computed.
    fn high_edges(&self) -> Vec<String> {
        let figures = self.prediction.summary.figures.iter();
        let edge = |figure: &Figure| {
            let volume = figure.name.strip_suffix(PEAK)?;
            let is_limit = |v: &Verdict| {
                v.bound.relation == Relation::Below && v.bound.path == format!("{volume}.pressure")
            };
            if self.prediction.limits.iter().any(is_limit) || self.overshoots(volume) {
                return None;
            }
            let high = self.band(figure)?.high.max(figure.value);
            Some(format!("{volume} above {}", self.pressure(high)))
        };
        figures.filter_map(edge).collect()
    }

    /// The inlets of liquid paths that see more than their tank does.
    fn surges(&self) -> Vec<String> {
        let network = &self.prediction.network;
        let highest = |name: &str| {
            let mut figures = self.prediction.summary.figures.iter();
            figures.find(|f| f.name == name).map(|f| self.highest(f))
        };
        let chains = network.branches.iter().filter_map(|b| match &b.kind {
            BranchKind::LiquidChain(chain) => Some((b.from.volume, chain)),
            _ => None,
        });
        let inlets = chains.flat_map(|(tank, chain)| {
            let elements = chain.elements.iter();
            elements.map(move |e| (&network.volumes[tank].name, &e.name))
        });
        let surging = inlets.filter_map(|(tank, inlet)| {
            let high = highest(&format!("{inlet}.peak_inlet_pressure_pa"))?;
            let is_surge = high > NOTABLE_SURGE * highest(&format!("{tank}{PEAK}"))?;
            is_surge.then(|| format!("{inlet} inlet above {}", self.pressure(high)))
        });
        surging.collect()
    }

    /// For each tank: below its band while liquid flows, less flows than is computed.
    fn low_edges(&self) -> Vec<String> {
        let figures = &self.prediction.summary.figures;
        let tanks = self.prediction.network.volumes.iter();
        let tanks = tanks.filter(|v| matches!(v.kind, VolumeKind::Tank(_)));
        let edge = |tank: &Volume| {
            let is_running =
                |f: &&Figure| f.component == tank.name && RUNNING.contains(&f.quantity());
            let running = figures.iter().filter(is_running);
            let ends = running.filter_map(|f| Some(self.band(f)?.low.min(f.value)));
            let low = ends.reduce(f64::min)?;
            Some(format!("{} below {}", tank.name, self.pressure(low)))
        };
        tanks.filter_map(edge).collect()
    }

    /// The upper end of a figure's band, or its nominal value without one.
    pub(super) fn highest(&self, figure: &Figure) -> f64 {
        let band = self.band(figure);
        band.map_or(figure.value, |b| b.high.max(figure.value))
    }

    fn pressure(&self, pa: f64) -> String {
        self.display().text(Dimension::Pressure, pa)
    }
}

/// The end of the band toward a bound: of the figure of its name, of the peak, else of the history.
pub(super) fn worst(bands: &Bands, bound: &Bound) -> Option<f64> {
    let is_below = bound.relation == Relation::Below;
    if let Some(band) = judged(bands, bound) {
        return Some(if is_below { band.high } else { band.low });
    }
    let ends = bands.history.column(&bound.name())?.into_iter();
    let ends = ends.map(|(_, low, high)| if is_below { high } else { low });
    let finite = ends.filter(|v| v.is_finite());
    finite.reduce(if is_below { f64::max } else { f64::min })
}

/// The band of the figure that a bound is on: that of its name, else the peak.
pub(super) fn judged<'a>(bands: &'a Bands, bound: &Bound) -> Option<&'a FigureBand> {
    let peak = || {
        let volume = bound.path.strip_suffix(".pressure")?;
        let volume = Some(volume).filter(|_| bound.relation == Relation::Below)?;
        bands.figure(&format!("{volume}{PEAK}"))
    };
    bands.figure(&bound.name()).or_else(peak)
}

/// In how many of the draws a limit is broken, and how many cannot tell: they are counted as if
/// they broke every limit.
fn drawn(bands: &Bands, bound: &Bound) -> String {
    let mut limits = bands.limits.iter();
    let chance = limits.find(|(b, _)| b == bound).map(|&(_, chance)| chance);
    let Some(Chance { count, of }) = chance else {
        return String::new();
    };
    let failed = bands.failures.len();
    let broken = match count.saturating_sub(failed) {
        0 => String::new(),
        broken => format!("; BROKEN in {broken} of {of} draws"),
    };
    let no_run = match failed {
        0 => String::new(),
        failed => format!("; {failed} of {of} draws gave no whole run"),
    };
    broken + &no_run
}

#[cfg(test)]
mod tests {
    use super::drawn;
    use scenarios::studies::Bands;
    use scenarios::studies::chance::Chance;
    use scenarios::summary::Bound;
    use shared::quantity::{Dimension, Reference, Unit};
    use sim_core::network::Relation;

    /// Ten draws of which some gave no whole run; these are among those counted as broken.
    fn said(broken: usize, without_a_run: usize) -> String {
        let bound = Bound {
            path: "fuel.pressure".to_owned(),
            relation: Relation::Below,
            threshold: 4e6,
            dimension: Dimension::Pressure,
            unit: Unit::find("bar").expect("the table has it"),
            reference: Reference::Absolute,
            text: "<= 40 bar(a)".to_owned(),
        };
        let count = broken + without_a_run;
        let failures = (0..without_a_run).map(|draw| (draw, "too cold".to_owned()));
        let bands = Bands {
            draws: 10,
            seed: 1,
            factors: Vec::new(),
            failures: failures.collect(),
            history: Default::default(),
            events: Vec::new(),
            figures: Vec::new(),
            requirements: Vec::new(),
            limits: vec![(bound.clone(), Chance { count, of: 10 })],
        };
        drawn(&bands, &bound)
    }

    #[test]
    fn a_draw_without_a_whole_run_is_not_said_to_break_a_limit() {
        assert_eq!(said(0, 0), "");
        assert_eq!(said(3, 0), "; BROKEN in 3 of 10 draws");
        assert_eq!(said(0, 2), "; 2 of 10 draws gave no whole run");
        assert_eq!(
            said(3, 2),
            "; BROKEN in 3 of 10 draws; 2 of 10 draws gave no whole run"
        );
    }
}
