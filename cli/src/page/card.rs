//! The test card: one page that goes to the bench.

use super::{Told, document, provenance, steps, usual};
use crate::assumed::first_told;
use crate::terminal::understood::View;
use maud::{Markup, html};
use scenarios::Distribution;
use scenarios::summary::{Figure, Verdict};
use shared::quantity::Dimension;
use sim_core::network::{BranchKind, Command, Trigger, VolumeKind};
use sim_core::outcome::{EventKind, Warning};

const STYLE: &str = include_str!("card.css");

/// Figures that are held beside a test, without their component.
const EXPECTED: [&str; 17] = [
    "lock_up_pa",
    "pressure_0_5_s_pa",
    "pressure_middle_pa",
    "pressure_end_pa",
    "droop_end_pa",
    "regulation_lost_s",
    "mean_flow_kg_s",
    "end_flow_kg_s",
    "flow_time_s",
    "liquid_left_kg",
    "delay_s",
    "time_to_90_s",
    "temperature_end_k",
    "lowest_temperature_k",
    "pressure_rewarmed_pa",
    "gas_used_kg",
    "collapse_factor_1",
];
/// Those of them that a page with many tanks does without.
const SPARED: [&str; 5] = [
    "pressure_middle_pa",
    "end_flow_kg_s",
    "delay_s",
    "lowest_temperature_k",
    "pressure_rewarmed_pa",
];
/// Assumptions that find room.
const ASSUMPTIONS: usize = 4;
/// More lines than this and the page is set closer, with fewer figures.
const ROOMY_LINES: usize = 44;
/// Letters of the cautions from which on it is set closer, too.
const ROOMY_LETTERS: usize = 900;
/// Warnings of what can hurt, by their ids or the beginnings of these.
const GRAVE: [&str; 9] = [
    "relief-",
    "gas-3",
    "gas-7",
    "gas-8",
    "regulator-4",
    "regulator-7",
    "liquid-3",
    "liquid-4",
    "liquid-5",
];
/// Cautions that find room.
const CAUTIONS: usize = 5;

/// The card of a run.
#[must_use]
pub fn card(told: &Told<'_>) -> String {
    let prediction = told.prediction;
    let figures = prediction.summary.figures.iter();
    let expected = figures.filter(|f| EXPECTED.contains(&f.quantity()) && !told.is_given(f));
    let mut expected: Vec<&Figure> = expected.collect();
    let lines = expected.len() + told.peaks().count() + prediction.network.commands.len();
    let cautions = told.gravest();
    let letters: usize = cautions
        .iter()
        .take(CAUTIONS)
        .map(|w| w.message.len())
        .sum();
    let is_dense = lines > ROOMY_LINES || letters > ROOMY_LETTERS;
    expected.retain(|f| !(is_dense && SPARED.contains(&f.quantity())));
    let body = html! { div.dense[is_dense] {
        h1 { "Test card: " (prediction.title) }
        (provenance(prediction))
        p { "Test id ____________  Date ____________  Ambient: " (told.ambient())
            "; measured ____________  Initials ______ / ______" }
        div.columns {
            section {
                h2 { "Objective and success" }
                p { "________________________________________________" }
                (told.bounds(&prediction.requirements))
                h2 { "Set points" }
                (told.set_points())
                h2 { "Sequence" }
                ol.paired { @for command in told.in_turn() {
                    li { (told.view().command(command).join(": ")) }
                } }
                h2 { "Expected" }
                p.quiet { (told.about_bands()) }
                (told.figure_table(&expected, true))
                (told.instruments())
                @if let Some(widest) = told.widest() { p { "Widens the band of " (widest) } }
            }
            section {
                h2 { "Redlines" }
                (told.redlines())
                p { "Others: __________________________" }
                h2 { "Go / no-go" }
                (steps::go(&prediction.network))
                h2 { "Abort, in this order (proposed; your procedure decides)" }
                (steps::abort(&prediction.network))
                h2 { "Cautions" }
                ul { @for w in cautions.iter().take(CAUTIONS) { li { (w.message) } } }
                @if let Some(more) = prediction.warnings.len().checked_sub(CAUTIONS + 1) {
                    p { "and " (more + 1) " more in the report" }
                }
                p { (usual::cautions(&prediction.network)) }
                h2 { "Assumptions" }
                ul { @for a in told.assumptions() { li { (a) } } }
                @if let Some(more) = prediction.assumptions.len().checked_sub(ASSUMPTIONS + 1) {
                    p { "and " (more + 1) " more in the report" }
                }
            }
        }
        h2 { "After the test" }
        p {
            @for name in told.read_after() { (name) " left ________  " }
            span.box {} "vented, isolated, inspected  "
            "Record kept as ____________________"
        }
        p { "Anomalies ____________________________________________________________" }
    } };
    document(
        &format!("Test card: {}", prediction.title),
        html! {},
        STYLE,
        &body,
    )
}

impl Told<'_> {
    pub(super) fn view(&self) -> View<'_> {
        View {
            network: &self.prediction.network,
            display: self.display(),
        }
    }

    /// Those that the stand file could settle and that matter most.
    fn assumptions(&self) -> impl Iterator<Item = &str> {
        let first = first_told(self.stand, self.bands).take(ASSUMPTIONS);
        first.filter_map(|i| Some(self.prediction.assumptions.get(i)?.as_str()))
    }

    fn ambient(&self) -> String {
        let around = self.prediction.network.surroundings;
        let temperature = self
            .display()
            .text(Dimension::Temperature, around.temperature_k);
        let absolute = self.display().absolute();
        let pressure = absolute.text(Dimension::Pressure, around.pressure_pa);
        format!("{pressure}, {temperature}")
    }

    fn bounds(&self, verdicts: &[Verdict]) -> Markup {
        html! {
            @if verdicts.is_empty() { p { "none stated in the stand file" } }
            ul { @for v in verdicts {
                li { (v.bound.path) " " (self.asked(v)) "; expected " (self.came(v)) (self.between(v)) }
            } }
        }
    }

    /// Between what the draws put the figure that a bound is on.
    fn between(&self, verdict: &Verdict) -> String {
        let bound = &verdict.bound;
        let band = self.bands.and_then(|bands| bands.figure(&bound.name()));
        let display = bound.display(self.display());
        band.map_or(String::new(), |band| {
            let [low, high] = [band.low, band.high].map(|si| display.number(bound.dimension, si));
            format!(" (low {low}, high {high})")
        })
    }

    /// What a tank holds at the start, as scale and level show it.
    fn fill(&self, tank: &str) -> Option<String> {
        let history = &self.prediction.outcome.history;
        let first = |quantity| {
            let column = history.column(&format!("{tank}.{quantity}"))?;
            column.first().copied()
        };
        let text = |dimension, si| self.display().text(dimension, si);
        Some(format!(
            "{tank} filled: {} on the scale = {}, level {}",
            text(Dimension::Mass, first("liquid_mass_kg")?),
            text(Dimension::Volume, first("liquid_volume_m3")?),
            text(Dimension::Length, first("level_m")?)
        ))
    }

    /// Whether a time follows from the commands alone: nothing to measure.
    fn is_given(&self, figure: &Figure) -> bool {
        let number = |si| self.display().number(figure.dimension, si);
        let band = self.band(figure);
        figure.quantity() == "flow_time_s" && band.is_some_and(|b| number(b.low) == number(b.high))
    }

    /// The commands in the order in which the nominal run gives them; those of a condition that
    /// never came last.
    fn in_turn(&self) -> Vec<&Command> {
        let network = &self.prediction.network;
        let given_s = |command: &Command| {
            let valve = &network.actuators[command.actuator].name;
            let order = match command.travel {
                t if t <= 0.0 => EventKind::CommandedShut,
                _ => EventKind::CommandedOpen,
            };
            let mut events = self.prediction.outcome.events.iter();
            let event = events.find(|e| e.component == *valve && e.kind == order);
            match command.trigger {
                Trigger::At { time_s } => time_s,
                Trigger::When { .. } => event.map_or(f64::INFINITY, |e| e.time_s),
            }
        };
        let mut commands: Vec<&Command> = network.commands.iter().collect();
        commands.sort_by(|a, b| given_s(a).total_cmp(&given_s(b)));
        commands
    }

    /// The warnings, those of what can hurt first, and those of the prediction itself last.
    fn gravest(&self) -> Vec<&Warning> {
        let rank = |w: &&Warning| {
            let is = |topic: &&str| w.code.starts_with(*topic);
            if GRAVE.iter().any(is) {
                0
            } else if w.code.starts_with("run-") {
                2
            } else {
                1
            }
        };
        let mut warnings: Vec<&Warning> = self.prediction.warnings.iter().collect();
        warnings.sort_by_key(rank);
        warnings
    }

    /// The bottles and the tanks.
    fn read_after(&self) -> impl Iterator<Item = &str> {
        let network = &self.prediction.network;
        let volumes = network.volumes.iter().enumerate();
        let is_filled_before = |id: usize| network.branches.iter().all(|b| b.to.volume != id);
        let read = volumes.filter(move |(id, v)| match v.kind {
            VolumeKind::Ambient => false,
            VolumeKind::Vessel(_) => is_filled_before(*id),
            VolumeKind::Tank(_) => true,
        });
        read.map(|(_, v)| v.name.as_str())
    }

    /// The highest pressures of volumes and of the inlets of liquid paths.
    fn peaks(&self) -> impl Iterator<Item = (&Figure, &str)> {
        let figures = self.prediction.summary.figures.iter();
        figures.filter_map(|figure| match figure.quantity() {
            "peak_pressure_pa" => Some((figure, "")),
            "peak_inlet_pressure_pa" => Some((figure, " inlet")),
            _ => None,
        })
    }

    /// A pressure channel for each volume and each part of a liquid path, with the highest that it
    /// will see; the rest is filled in by hand.
    fn instruments(&self) -> Markup {
        let peaks = self.peaks();
        let number = |si| self.display().number(Dimension::Pressure, si);
        html! {
            h2 { "Instruments, and the highest pressures" }
            table {
                thead { tr {
                    th scope="col" { "highest in" } th.n scope="col" { "low" }
                    th.n scope="col" { "nominal" } th.n scope="col" { "high" }
                    th scope="col" { "unit" } th scope="col" { "measured" }
                    th scope="col" { "range, a/g" } th scope="col" { "rate" }
                    th scope="col" { "zero within" }
                } }
                tbody { @for (peak, place) in peaks { tr data-figure=(peak.name) {
                    th scope="row" { (peak.component) (place) }
                    td.n { (self.band(peak).map_or(String::new(), |b| number(b.low))) }
                    td.n { (number(peak.value)) }
                    td.n { (number(self.highest(peak))) }
                    td { (self.display().unit(Dimension::Pressure)) }
                    td.blank {} td.blank {} td.blank {} td.blank {}
                } } }
            }
        }
    }

    fn set_points(&self) -> Markup {
        let text = |pa| self.display().text(Dimension::Pressure, pa);
        let network = &self.prediction.network;
        let vessels = network.volumes.iter().filter_map(|v| match &v.kind {
            VolumeKind::Vessel(vessel) => Some((&v.name, vessel.gas.pressure_pa)),
            VolumeKind::Tank(tank) => Some((&v.name, tank.gas.pressure_pa)),
            VolumeKind::Ambient => None,
        });
        let regulators = network.branches.iter().filter_map(|b| match &b.kind {
            BranchKind::Regulator(r) => Some((&b.name, r.lock_up_pa)),
            _ => None,
        });
        let tanks = network.volumes.iter();
        let tanks = tanks.filter(|v| matches!(v.kind, VolumeKind::Tank(_)));
        let fills = tanks.filter_map(|v| self.fill(&v.name));
        html! { ul.paired {
            @for fill in fills { li { (fill) } }
            @for (name, pa) in regulators {
                li { (name) " set " (text(pa)) (self.tolerance(name, "set_pressure")) }
            }
            @for (name, pa) in vessels {
                li { (name) " at the start " (text(pa)) (self.tolerance(name, "pressure")) }
            }
        } }
    }

    /// How far a pressure of the stand file may be off, as it is drawn.
    fn tolerance(&self, component: &str, key: &str) -> String {
        let end = format!(".{component}.{key}");
        let mut inputs = self.stand.inputs.iter();
        let input = inputs.find(|(_, input)| input.path.ends_with(&end));
        let half_width = match input.map(|(_, input)| input.distribution) {
            Some(Distribution::Normal { half_width_95 }) => half_width_95,
            Some(Distribution::Uniform { low, high }) => 0.5 * (high - low),
            _ => return String::new(),
        };
        let half_width = self
            .display()
            .text(Dimension::PressureDifference, half_width);
        format!(" ± {half_width}")
    }
}
