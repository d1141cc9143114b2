//! A prediction as a test engineer reads it aloud.

use super::bands::BandText;
use super::screen::Screen;
use super::sensitivity::of_change;
use super::table::aligned;
use crate::assumed::first_told;
use crate::naming::{as_far_as, label, or_ratio};
use scenarios::hand_checks::HandCheck;
use scenarios::predict::Prediction;
use scenarios::studies::Bands;
use scenarios::summary::{Bound, Figure, Group, Verdict};
use scenarios::{Assumption, CheckedStand};
use shared::quantity::{Dimension, Display};
use sim_core::network::Relation;

/// The groups of figures in the order in which they are read, with their headings.
pub const GROUPS: [(Group, &str); 7] = [
    (Group::Flow, "Flow"),
    (Group::Valve, "Valve"),
    (Group::Tank, "Tank"),
    (Group::Account, "Where the pressurant and its heat went"),
    (Group::Regulator, "Gas"),
    (Group::Bottle, "Bottle"),
    (Group::Peaks, "Highest pressures"),
];

/// Events that are listed; a valve that flutters would fill the screen.
const MOST_EVENTS: usize = 40;
/// Assumptions that are listed; they would fill half of the screen.
const MOST_ASSUMPTIONS: usize = 6;

/// The whole report.
#[must_use]
pub fn report(
    prediction: &Prediction,
    bands: Option<&Bands>,
    stand: &CheckedStand,
    screen: Screen,
) -> String {
    let display = &stand.display;
    let bands = bands.map(|bands| BandText { bands, display });
    let report = Report {
        prediction,
        bands,
        stand,
        display,
        screen,
    };
    let mut parts = vec![screen.heading(&prediction.title) + "\n"];
    parts.extend(changed(&prediction.overrides, screen));
    parts.extend(
        GROUPS
            .iter()
            .filter_map(|&(group, name)| report.group(group, name)),
    );
    parts.extend(report.verdicts(Judged::Requirement, &prediction.requirements));
    parts.extend(report.verdicts(Judged::Limit, &prediction.limits));
    parts.extend(report.events());
    parts.extend(report.hand_checks());
    parts.extend(report.warnings());
    parts.extend(report.assumptions());
    parts.push(report.balances());
    parts.extend(report.failure());
    parts.push(report.bands());
    parts.join("\n")
}

/// What stood in place of the values of the stand file.
#[must_use]
pub fn changed(overrides: &[(String, String)], screen: Screen) -> Option<String> {
    let rows = overrides.iter();
    let rows = rows.map(|(path, value)| vec![path.clone(), value.clone()]);
    let heading = screen.heading("Set in place of the stand file's values");
    (!overrides.is_empty()).then(|| format!("{heading}\n{}", aligned(rows.collect(), &[])))
}

/// What is judged.
#[derive(Clone, Copy, PartialEq)]
enum Judged {
    Requirement,
    Limit,
}

impl Judged {
    fn heading(self) -> &'static str {
        match self {
            Self::Requirement => "Requirements",
            Self::Limit => "Limits",
        }
    }

    fn word(self, is_kept: bool) -> &'static str {
        match (self, is_kept) {
            (Self::Requirement, true) => "met",
            (Self::Requirement, false) => "NOT MET",
            (Self::Limit, true) => "kept",
            (Self::Limit, false) => "BROKEN",
        }
    }
}

struct Report<'a> {
    prediction: &'a Prediction,
    stand: &'a CheckedStand,
    bands: Option<BandText<'a>>,
    display: &'a Display,
    screen: Screen,
}

impl Report<'_> {
    fn section(&self, heading: &str, body: &str) -> String {
        format!("{}\n{body}", self.screen.heading(heading))
    }

    fn number_and_unit(&self, dimension: Dimension, si: f64) -> [String; 2] {
        let display = self.display.fitting(dimension, si);
        [display.number(dimension, si), display.unit(dimension)]
    }

    fn group(&self, group: Group, heading: &str) -> Option<String> {
        let figures = self.prediction.summary.figures.iter();
        let figures: Vec<&Figure> = figures.filter(|f| f.group == group).collect();
        if figures.is_empty() {
            return None;
        }
        let rows: Vec<Vec<String>> = if group == Group::Peaks {
            self.peaks(&figures)
        } else {
            let rows = figures.iter().map(|f| self.figure(f, Vec::new(), &figures));
            rows.collect()
        };
        let columns = self.columns(&figures);
        let rows = std::iter::once(columns).chain(rows).collect();
        let numbers: &[usize] = match self.bands {
            Some(_) => &[2, 3, 4, 6],
            None => &[2, 4],
        };
        let body = aligned(rows, numbers);
        Some(self.section(heading, &body))
    }

    /// What stands in the columns.
    fn columns(&self, figures: &[&Figure]) -> Vec<String> {
        let bands = self.bands.as_ref();
        let about = bands.map(|b| b.column(b.of_table(figures)));
        let columns: &[&str] = match &about {
            Some(about) => &["", about, "low", "nominal", "high"],
            None => &["", "", "nominal"],
        };
        columns.iter().map(|&c| c.to_owned()).collect()
    }

    /// A figure between the ends of its band, if it was drawn, and what else is said of it.
    fn figure(&self, figure: &Figure, more: Vec<String>, table: &[&Figure]) -> Vec<String> {
        let [number, unit] = self.number_and_unit(figure.dimension, figure.value);
        let mut row = vec![figure.component.clone(), label(figure, &unit)];
        let unit = or_ratio(unit);
        let Some(bands) = &self.bands else {
            row.extend([number, unit]);
            row.extend(more);
            return row;
        };
        let band = bands.of_figure(&figure.name, bands.of_table(table));
        let [low, high, share] = band.unwrap_or_default();
        row.extend([low, number, high, unit]);
        row.extend(more);
        row.push(share);
        row
    }

    fn bands(&self) -> String {
        match &self.bands {
            Some(bands) => self.section(&bands.heading(), &bands.body()),
            None => self.section("Bands", "  no bands drawn; add --draws 200\n"),
        }
    }

    /// Each peak with its time on one line.
    fn peaks(&self, figures: &[&Figure]) -> Vec<Vec<String>> {
        let pressures = figures
            .iter()
            .filter(|f| f.dimension == Dimension::Pressure);
        let row = |peak: &&&Figure| {
            let time = peak.name.replace("_pa", "_time_s");
            let at = self.prediction.summary.get(&time).map(|at_s| {
                let [number, unit] = self.number_and_unit(Dimension::Time, at_s);
                vec![format!("at {number}"), unit]
            });
            let at = at.unwrap_or_else(|| vec![String::new(); 2]);
            self.figure(peak, at, figures)
        };
        pressures.map(|p| row(&p)).collect()
    }

    fn verdicts(&self, judged: Judged, verdicts: &[Verdict]) -> Option<String> {
        let row = |verdict| [self.verdict(judged, verdict), self.share(judged, verdict)].concat();
        let rows: Vec<Vec<String>> = verdicts.iter().map(row).collect();
        (!rows.is_empty()).then(|| self.section(judged.heading(), &aligned(rows, &[])))
    }

    /// In how many of the draws a bound is met or broken, if any were drawn.
    fn share(&self, judged: Judged, verdict: &Verdict) -> Vec<String> {
        let share = self.bands.as_ref().and_then(|bands| match judged {
            Judged::Requirement => bands.met(&verdict.bound),
            Judged::Limit => bands.broken(&verdict.bound),
        });
        share.into_iter().collect()
    }

    fn verdict(&self, judged: Judged, verdict: &Verdict) -> Vec<String> {
        let bound = &verdict.bound;
        let text = |value| self.as_asked(bound, value);
        let sign = match bound.relation {
            Relation::Below => "<=",
            Relation::Above => ">=",
        };
        let mut came = verdict
            .observed
            .map_or("did not come about".to_owned(), text);
        if let Some(at_s) = verdict.at_s {
            came += &format!(" at {}", self.display.text(Dimension::Time, at_s));
        }
        let of_change = of_change(bound.dimension);
        let asked = bound.display(self.display);
        let margin = verdict.margin().filter(|m| m.is_finite());
        let margin = margin.map(|m| asked.text(of_change, m));
        vec![
            judged.word(verdict.is_kept()).to_owned() + &as_far_as(verdict, self.display),
            bound.path.clone(),
            format!("{sign} {}", text(bound.threshold)),
            came,
            margin.map_or(String::new(), |m| format!("margin {m}")),
        ]
    }

    /// A value in the unit in which a bound was written, and in that of the tables if that is
    /// another.
    fn as_asked(&self, bound: &Bound, value: f64) -> String {
        let asked = bound.display(self.display).text(bound.dimension, value);
        let shown = self.display.text(bound.dimension, value);
        if asked == shown {
            asked
        } else {
            format!("{asked} ({shown})")
        }
    }

    fn events(&self) -> Option<String> {
        let events = &self.prediction.outcome.events;
        let rows: Vec<Vec<String>> = events
            .iter()
            .take(MOST_EVENTS)
            .map(|e| {
                let [number, unit] = self.number_and_unit(Dimension::Time, e.time_s);
                vec![number, unit, e.component.clone(), e.kind.to_string()]
            })
            .collect();
        let folded = match events.len().saturating_sub(MOST_EVENTS) {
            0 => String::new(),
            more => format!("  and {more} more, all of them in events.csv\n"),
        };
        (!rows.is_empty()).then(|| self.section("Events", &(aligned(rows, &[0]) + &folded)))
    }

    fn hand_checks(&self) -> Option<String> {
        let checks = &self.prediction.hand_checks;
        let rows: Vec<Vec<String>> = checks.iter().map(|c| self.hand_check(c)).collect();
        let heading = "By hand (first number), beside the simulation (second)";
        (!rows.is_empty()).then(|| self.section(heading, &aligned(rows, &[1, 2])))
    }

    fn hand_check(&self, check: &HandCheck) -> Vec<String> {
        let text = |value| self.display.text(check.dimension, value);
        vec![
            check.label.clone(),
            text(check.by_hand),
            check.simulated.map_or("\u{2013}".to_owned(), text),
            check.formula.to_owned(),
        ]
    }

    fn assumptions(&self) -> Option<String> {
        let assumptions = &self.stand.assumptions;
        let first = first_told(self.stand, self.bands.as_ref().map(|b| b.bands));
        let told = first
            .filter_map(|i| assumptions.get(i))
            .take(MOST_ASSUMPTIONS);
        let row = |a: &Assumption| vec![a.path.clone(), a.value.clone(), a.reason.clone()];
        let rows: Vec<Vec<String>> = told.map(row).collect();
        let words = match assumptions.len() - rows.len() {
            0 => String::new(),
            _ => "; those that the stand file could settle and that matter most".to_owned(),
        };
        let heading = format!("Assumptions ({}){words}", assumptions.len());
        let all = "  all of them: summary.json, report.html, pressfed check\n";
        let body = aligned(rows, &[]) + all;
        (!assumptions.is_empty()).then(|| self.section(&heading, &body))
    }

    fn warnings(&self) -> Option<String> {
        let warnings = &self.prediction.warnings;
        let heading = format!(
            "Warnings ({}); more on one: pressfed explain ID",
            warnings.len()
        );
        let rows = warnings
            .iter()
            .map(|w| vec![w.code.to_owned(), w.message.clone()]);
        let body = aligned(rows.collect(), &[]);
        (!warnings.is_empty()).then(|| self.section(&heading, &self.screen.alert(&body)))
    }

    fn balances(&self) -> String {
        let balances = &self.prediction.outcome.balances;
        let statistics = self.prediction.outcome.statistics;
        let audit = match self.prediction.outcome.failure {
            Some(_) => "not drawn up, because the run ended early".to_owned(),
            None => format!(
                "mass within {:.1e} of what moved, energy within {:.1e} of work and heat",
                balances.mass_relative.abs(),
                balances.energy_relative.abs(),
            ),
        };
        let body = format!(
            "  {audit}; {} steps, {} evaluations\n",
            statistics.steps, statistics.evaluations,
        );
        self.section("Balances", &body)
    }

    fn failure(&self) -> Option<String> {
        let failure = self.prediction.outcome.failure.as_ref()?;
        let component = failure
            .component
            .as_ref()
            .map_or(String::new(), |c| format!(", {c}"));
        let at = self.display.text(Dimension::Time, failure.time_s);
        let words = format!(
            "The run ends early, at {at}{component}: {}",
            failure.message
        );
        Some(self.screen.alert(&words) + "\n")
    }
}
