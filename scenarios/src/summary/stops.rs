//! Where a liquid column is stopped or parts, in words: what the rigid column gives there, and
//! by what the figures and limits are judged instead.

use super::cautions::warning;
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::network::Network;
use sim_core::outcome::{Outcome, Parting, Surge, SurgeCause, Warning};

/// Ratio of heat capacities of air, and its gas constant in J/(kg K).
const AIR: (f64, f64) = (1.4, 287.05);

/// For each place its worst stop, then where the column parts.
pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let surges = &outcome.surges;
    let is_worst = |(i, surge): &(usize, &Surge)| {
        let mut others = surges.iter().enumerate();
        !others.any(|(j, other)| {
            other.component == surge.component
                && code(&other.cause) == code(&surge.cause)
                && (other.judged_pa(), *i) > (surge.judged_pa(), j)
        })
    };
    let worst = surges.iter().enumerate().filter(is_worst);
    let temperature_k = network.surroundings.temperature_k;
    let stops = worst.map(|(_, surge)| stop(surge, temperature_k, display));
    let partings = outcome.partings.iter().map(|p| parting(p, display));
    stops.chain(partings).collect()
}

fn code(cause: &SurgeCause) -> &'static codes::Code {
    match cause {
        SurgeCause::Shutting { .. } => &codes::FAST_SHUTTING,
        SurgeCause::Arrest { .. } => &codes::FRONT_ARRESTED,
    }
}

fn stop(surge: &Surge, temperature_k: f64, display: &Display) -> Warning {
    let pressure = |pa| display.text(Dimension::Pressure, pa);
    let time = |s| display.text(Dimension::Time, s);
    let (name, at, bound) = (
        &surge.component,
        time(surge.time_s),
        pressure(surge.bound_pa),
    );
    let speed = format!("{:.1} m/s", surge.speed_m_s);
    let message = match &surge.cause {
        SurgeCause::Shutting {
            stroke_s,
            echo_s,
            elastic: Some(stopped),
        } => {
            let parts = stopped.parts_s.map_or(String::new(), |parts_s| {
                let after_ms = 1e3 * parts_s;
                format!(
                    "; {after_ms:.1} ms later the column falls to its vapour pressure and parts: where \
                     its parts meet again they may strike harder than this first peak, which is not \
                     reckoned"
                )
            });
            format!(
                "{name}: shuts in {:.1} ms, where a wave takes {:.1} ms to the tank and back: from {at} \
                 on the rigid column of the history gives {} before it, an elastic one {}, by which its \
                 highest inlet pressure and limits are judged. A stop at once and without friction, from \
                 {speed}, gives p + rho a v = {bound}{parts}",
                1e3 * stroke_s,
                1e3 * echo_s,
                rigid(surge.rigid_pa, &pressure),
                pressure(stopped.peak_pa()),
            )
        }
        SurgeCause::Shutting {
            stroke_s, echo_s, ..
        } if surge.cause.is_within_echo() => format!(
            "{name}: shuts from {at} on in {:.1} ms, within the {:.1} ms that a wave takes to the tank \
             and back: the rigid column of the history does not hold there; its highest inlet \
             pressure and limits are judged by p + rho a v = {bound}, at {speed}",
            1e3 * stroke_s,
            1e3 * echo_s
        ),
        SurgeCause::Shutting { .. } => format!(
            "{name}: shuts from {at} on so that the rigid column of the history gives {}, more than \
             a liquid at {speed} can: its highest inlet pressure and limits are judged by \
             p + rho a v = {bound}",
            pressure(surge.rigid_pa)
        ),
        SurgeCause::Arrest {
            elastic_pa,
            front_m3_s,
            ahead_m2,
        } => format!(
            "{name}: the front of the filling line strikes it at {at} with {speed}: the rigid column \
             of the history gives {}, an elastic one about {}, at most p + rho a v = {bound}; limits \
             are judged by the smaller of the rigid value and the bound{}",
            pressure(surge.rigid_pa),
            pressure(*elastic_pa),
            cushion(*front_m3_s, *ahead_m2, temperature_k)
        ),
    };
    warning(code(&surge.cause), message)
}

/// Highest pressure of the rigid column, if the history has a row while the valve shuts.
fn rigid(highest_pa: f64, pressure: &impl Fn(f64) -> String) -> String {
    match highest_pa.is_finite() {
        true => pressure(highest_pa),
        false => "nothing".to_owned(),
    }
}

/// Gas leaves a throat at most at about its speed of sound.
fn cushion(front_m3_s: f64, ahead_m2: f64, temperature_k: f64) -> String {
    let (ratio, gas_constant) = AIR;
    let passes_m3_s = ahead_m2 * (ratio * gas_constant * temperature_k).sqrt();
    if front_m3_s <= passes_m3_s {
        return String::new();
    }
    format!(
        ". The air ahead is taken to escape freely, but the front pushes {:.2} L/s where about \
         {:.2} L/s of air pass: in truth it is compressed and slows the front",
        1e3 * front_m3_s,
        1e3 * passes_m3_s
    )
}

fn parting(parting: &Parting, display: &Display) -> Warning {
    let pressure = |pa| display.text(Dimension::Pressure, pa);
    let borne = match parting.least_pa < 0.0 {
        true => {
            let tension = display.text(Dimension::PressureDifference, -parting.least_pa);
            format!("it would have to bear a tension of {tension}, where a liquid parts instead")
        }
        false => format!(
            "its pressure would be as low as {}",
            pressure(parting.least_pa)
        ),
    };
    let message = format!(
        "{}: the column parts before it from {} on: as a rigid column {borne}. The liquid boils at {}, below \
         which its pressure does not fall: flow and pressures from there on are not those of a stand",
        parting.component,
        display.text(Dimension::Time, parting.time_s),
        pressure(parting.vapour_pa)
    );
    warning(&codes::COLUMN_PARTS, message)
}
