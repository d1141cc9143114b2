//! `pressfed size --relief`: the relief of a tank behind a regulator that has failed open.

use super::{Failure, Success};
use crate::terminal::patience::with_patience;
use crate::terminal::screen::{self, Screen};
use crate::terminal::table::aligned;
use scenarios::CheckedStand;
use scenarios::studies::size::relief::{NoRelief, Relief, relief};
use shared::quantity::Dimension::{Area, MassFlow, Pressure};
use shared::quantity::Display;

const CAUTION: &str = "This is one case by calculation, not the selection of a relief device: fire, blocked \
                       outlets, back pressure, set tolerance, overpressure and inlet loss are not in it. \
                       Relief devices are selected by the code of the place and by licensed practice.";

/// Sizes the relief of a tank.
///
/// # Errors
/// If there is nothing to size.
pub(super) fn run(stand: &CheckedStand, tank: &str) -> Result<Success, Failure> {
    let found = with_patience("sizing", 1, |_| relief(stand, tank, &|| ()));
    let found = found.map_err(|why| Failure::input(refusal(tank, &why)))?;
    let display = &stand.display;
    let sentences = sentences(tank, &found, display).map(|s| vec![s]);
    let heading = Screen::stdout().heading(&stand.title);
    screen::print(&format!("{heading}\n{}", aligned(sentences.to_vec(), &[])));
    Ok(Success::Done)
}

fn refusal(tank: &str, why: &NoRelief) -> String {
    match why {
        NoRelief::NoTank(tanks) => {
            format!("the stand has no tank {tank}; it has {}", tanks.join(", "))
        }
        NoRelief::NoLimit => format!(
            "the stand has no limit on the pressure of {tank}; add --set 'limit.{tank}.pressure=<= 40 bar(g)'"
        ),
        NoRelief::NotNeeded => format!(
            "with every regulator failed open {tank} stays below its limit within the run, without \
             another relief; a longer run may show more"
        ),
        NoRelief::Failed(reason) => format!("no area was found: {reason}"),
    }
}

/// The relief valves and burst discs that the stand has already.
fn installed(names: &[String]) -> String {
    match names {
        [] => "no relief valve or burst disc in the stand".to_owned(),
        _ => format!("{} of the stand at work", names.join(", ")),
    }
}

fn sentences(tank: &str, found: &Relief, display: &Display) -> [String; 4] {
    [
        format!(
            "An effective area of {} keeps {tank} at {} when every regulator fails open with {tank} at that \
             pressure already, full bottles, and all valves as they stand at the start. A catalogue's flow \
             coefficient may be 20 % too small: the area grows with it.",
            display.text(Area, found.area_m2),
            display.text(Pressure, found.limit_pa),
        ),
        format!(
            "It then passes up to {}; without it, and with {}, {tank} would reach {}.",
            display.text(MassFlow, found.flow_kg_s),
            installed(&found.installed),
            display.text(Pressure, found.without_pa),
        ),
        format!(
            "By hand {}, for choked flow of an ideal gas at the limit and ambient temperature. They \
             differ because the gas that escapes has the temperature of the tank: compressed it is \
             hotter, throttled and expanded colder.",
            display.text(Area, found.by_hand_m2),
        ),
        CAUTION.to_owned(),
    ]
}
