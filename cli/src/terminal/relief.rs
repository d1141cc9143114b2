//! A relief that was sized, in a table and in words.

use super::screen::Screen;
use super::table::aligned;
use scenarios::CheckedStand;
use scenarios::studies::size::relief::{Hole, Need, Relief, Seat};
use shared::quantity::Dimension::{Area, MassFlow, Pressure};
use shared::quantity::Display;

const CAUTION: &str = "This is one case by calculation, not the selection of a relief device: fire, blocked \
                       outlets, back pressure, set tolerance, overpressure and inlet loss are not in it. \
                       Relief devices are selected by the code of the place and by licensed practice.";

/// The whole report.
#[must_use]
pub fn report(tank: &str, found: &Relief, stand: &CheckedStand, screen: Screen) -> String {
    let display = &stand.display;
    let before = vec![vec![asked(tank, found, display)]];
    let by_hand = "A relief has to pass what the larger seats do. By hand: what the seats pass from full bottles, as choked \
         flow of an ideal gas at the limit and ambient temperature, of the gas that comes in or of as much volume of \
         what the tank holds, whichever asks for more. They differ because part of the flow fills the volumes on \
         the way while the bottles fall, because the gas in the tank is a mixture of both, and because what escapes has \
         the temperature of the tank: compressed it is hotter, throttled and expanded colder.";
    let is_needed = found.larger.hole.is_some();
    let after = is_needed.then(|| by_hand.to_owned()).into_iter();
    let after = after.chain([beside(found), CAUTION.to_owned()]);
    format!(
        "{}\n{}\n{}\n{}",
        screen.heading(&stand.title),
        aligned(before, &[]),
        aligned(rows(tank, found, display), &[1, 2, 3, 4, 5]),
        aligned(after.map(|s| vec![s]).collect(), &[])
    )
}

fn asked(tank: &str, found: &Relief, display: &Display) -> String {
    let fails = match &found.seats[..] {
        [one] => format!("{} fails open", one.regulator),
        _ => "a regulator that leads to it fails open, each alone and all together, whichever asks for \
              most,"
            .to_owned(),
    };
    format!(
        "Effective area that keeps {tank} at {} when {fails} with {tank} at {} already, full bottles, gas \
         valves on the way to it open, liquid valves and those to the open air shut, and regulators that \
         lead elsewhere shut.",
        display.text(Pressure, found.limit_pa),
        display.text(Pressure, found.start_pa)
    )
}

fn rows(tank: &str, found: &Relief, display: &Display) -> Vec<Vec<String>> {
    let heading = [
        "seats that pass",
        "effective area",
        "by hand",
        "it passes",
        "seats pass",
        &format!("{tank} without it"),
    ];
    let row = |words: String, need: &Need| {
        let numbers = match &need.hole {
            Some(hole) => numbers(hole, display),
            None => ["none needed", "", "", ""].map(str::to_owned).to_vec(),
        };
        let without = display.text(Pressure, need.without_pa);
        [vec![words], numbers, vec![without]].concat()
    };
    let nominal = "their nominal capacity".to_owned();
    vec![
        heading.map(str::to_owned).to_vec(),
        row(nominal, &found.nominal),
        row(larger(&found.seats), &found.larger),
    ]
}

fn numbers(hole: &Hole, display: &Display) -> Vec<String> {
    vec![
        display.text(Area, hole.area_m2),
        display.text(Area, hole.by_hand_m2),
        display.text(MassFlow, hole.flow_kg_s),
        display.text(MassFlow, hole.seats_kg_s),
    ]
}

/// How much more the seats pass, and on what ground.
fn larger(seats: &[Seat]) -> String {
    let more = |seat: &Seat| {
        let ground = match seat.is_stated {
            true => "the stand file's uncertainty",
            false => "common practice, no source",
        };
        let more = 100.0 * (seat.factor - 1.0);
        format!("{more:.0} % more ({}: {ground})", seat.regulator)
    };
    seats.iter().map(more).collect::<Vec<_>>().join(", ")
}

/// What the relief valves and burst discs that the stand has already mean for the area.
fn beside(found: &Relief) -> String {
    let names = found.installed.join(", ");
    if found.larger.hole.is_none() {
        let has = match &found.installed[..] {
            [] => "and the stand has no relief valve or burst disc".to_owned(),
            _ => format!("beside {names}, at work in these runs"),
        };
        return format!(
            "Within the run nothing more is needed, {has}; a longer run may show more."
        );
    }
    match &found.installed[..] {
        [] => "The stand has no relief valve or burst disc: the area has to pass all of it."
            .to_owned(),
        _ => {
            format!(
                "This is the area needed beside {names}, at work in these runs, and not in its place: to size what \
                 is to do alone, take {names} out of the stand file first. The figure by hand is for all of the flow."
            )
        }
    }
}
