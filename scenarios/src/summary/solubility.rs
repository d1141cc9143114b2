//! How much of its gas a plain liquid could hold: a bound, not an uptake.
//!
//! Mole fraction `x = k p` (Henry) at the highest pressure of the run, all of it taken as that gas, and at the
//! coldest temperature of the liquid. Of nitrogen in water k is published at two temperatures and three pressures
//! (J. Res. NBS 77A (1973) 133): between the pressures straight, between the temperatures ln k straight over 1/T,
//! outside as at the nearest. k falls with both and bends upwards, so that all of this lies above. The others are
//! one value near 20 degC, from memory, as the solubility data series of IUPAC and handbooks of fuels list them.

use super::{Group, Line, Run, Summary, extremes};
use shared::quantity::Dimension::Mass;
use sim_core::network::{Tank, VolumeKind};

const ATMOSPHERE_PA: f64 = 101_325.0;
const BAR_PA: f64 = 1e5;

/// Pressures of the published values, bar.
const PRESSURES_BAR: [f64; 3] = [1.0, 50.0, 100.0];
/// Temperatures, K, and 1e-6 mole fractions of nitrogen in water per bar.
const NITROGEN_IN_WATER: [(f64, [f64; 3]); 2] = [
    (273.15, [18.65, 17.00, 15.62]),
    (293.15, [12.52, 11.42, 10.72]),
];

/// Liquid, its molar mass in kg/mol, mole fractions of nitrogen and of helium under one atmosphere of it, and how
/// far these are to be trusted.
const SOLUBILITIES: [(&str, f64, f64, f64, &str); 6] = [
    ("water", 0.018_015, f64::NAN, 7.0e-6, "a tenth"),
    ("ethanol", 0.046_069, 3.6e-4, 0.77e-4, "a fifth"),
    ("methanol", 0.032_042, 2.75e-4, 0.6e-4, "a fifth"),
    ("isopropanol", 0.060_096, 4.6e-4, 1.1e-4, "a fifth"),
    ("n-dodecane", 0.170_335, 1.2e-3, 2.4e-4, "a third"),
    ("kerosene", 0.167, 1.0e-3, 2.3e-4, "a half"),
];

/// Molar masses of the gases, kg/mol.
const NITROGEN: f64 = 0.028_013;
const HELIUM: f64 = 0.004_003;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for volume in &run.network.volumes {
        let VolumeKind::Tank(tank) = &volume.kind else {
            continue;
        };
        let Some((kg, trust)) = bound(run, tank, &volume.name) else {
            continue;
        };
        let words = format!(
            "gas that the liquid could hold at the highest pressure, by Henry's law ({trust})"
        );
        let line = Line("could_dissolve_kg", &words, Mass, Some(kg));
        into.add(Group::Tank, &volume.name, &[line]);
    }
}

/// The bound, kg, and where its constant comes from.
fn bound(run: &Run, tank: &Tank, name: &str) -> Option<(f64, String)> {
    let mixture = &run.network.mixtures[tank.gas.mixture];
    let most = tank.gas.mole_fractions.iter().enumerate();
    let (species, _) = most.max_by(|a, b| a.1.total_cmp(b.1))?;
    let known = SOLUBILITIES.iter().find(|s| s.0 == tank.liquid.name())?;
    let highest_pa = extremes(run.outcome, &format!("{name}.pressure_pa"))?
        .greatest
        .value;
    let coldest = extremes(run.outcome, &format!("{name}.liquid_temperature_k"))?.least;
    let from_memory = format!("from memory, good to {}", known.4);
    let atmospheres = highest_pa / ATMOSPHERE_PA;
    let (fraction, molar, trust) = match (known.0, mixture.name(species)) {
        ("water", "nitrogen") => {
            let fraction = nitrogen_in_water(coldest.value, highest_pa);
            (fraction, NITROGEN, "NBS 1973".to_owned())
        }
        (_, "nitrogen") => (known.2 * atmospheres, NITROGEN, from_memory),
        (_, "helium") => (known.3 * atmospheres, HELIUM, from_memory),
        _ => return None,
    };
    let liquid_kg = run.trace(name, "liquid_mass_kg")?.after(run.whole_s().0);
    Some((liquid_kg / known.1 * fraction * molar, trust))
}

/// Mole fraction of nitrogen that water holds in equilibrium at a temperature, K, and a pressure, Pa.
fn nitrogen_in_water(temperature_k: f64, pressure_pa: f64) -> f64 {
    let bar = pressure_pa / BAR_PA;
    let [(cold_k, cold), (warm_k, warm)] = NITROGEN_IN_WATER;
    let t = temperature_k.clamp(cold_k, warm_k);
    let part = (1.0 / t - 1.0 / warm_k) / (1.0 / cold_k - 1.0 / warm_k);
    let (at_cold, at_warm) = (between_pressures(&cold, bar), between_pressures(&warm, bar));
    1e-6 * at_warm * (at_cold / at_warm).powf(part) * bar
}

fn between_pressures(values: &[f64; 3], bar: f64) -> f64 {
    let bar = bar.clamp(PRESSURES_BAR[0], PRESSURES_BAR[2]);
    let i = usize::from(bar > PRESSURES_BAR[1]);
    let part = (bar - PRESSURES_BAR[i]) / (PRESSURES_BAR[i + 1] - PRESSURES_BAR[i]);
    values[i] + part * (values[i + 1] - values[i])
}

#[cfg(test)]
mod tests {
    use super::{NITROGEN_IN_WATER, nitrogen_in_water};

    /// Colder and fuller water holds more, and never more than as if k did not fall with pressure or
    /// temperature at all.
    #[test]
    fn more_dissolves_colder_and_at_higher_pressure_but_within_the_published_ends() {
        let [(_, cold), (_, warm)] = NITROGEN_IN_WATER;
        for celsius in 0..30 {
            let t = 273.15 + f64::from(celsius);
            for bar in 1..150 {
                let bar = f64::from(bar);
                let x = nitrogen_in_water(t, 1e5 * bar);
                assert!(
                    x < nitrogen_in_water(t, 1e5 * (bar + 1.0)),
                    "{t} K, {bar} bar"
                );
                assert!(
                    x >= nitrogen_in_water(t + 1.0, 1e5 * bar),
                    "{t} K, {bar} bar"
                );
                let per_bar = 1e6 * x / bar;
                let published = warm[2] - 1e-9..=cold[0] + 1e-9;
                assert!(published.contains(&per_bar), "{per_bar}");
            }
        }
    }

    /// Another source at one bar: ln x = -67.38765 + 86.32129/t + 24.79808 ln t under one atmosphere, t = T/100 K
    /// (Battino, Rettich, Tominaga, J. Phys. Chem. Ref. Data 13 (1984) 563; from memory). 2 %: at the published
    /// temperatures the two differ by 1 %, and as much is what the straight line between them leaves.
    #[test]
    fn between_the_published_temperatures_it_meets_another_source() {
        for celsius in [0.0, 5.0, 10.0, 15.0, 20.0] {
            let t = (273.15 + celsius) / 100.0;
            let other = (-67.387_65 + 86.321_29 / t + 24.798_08 * f64::ln(t)).exp() / 1.013_25;
            let x = nitrogen_in_water(100.0 * t, 1e5);
            assert!((x / other - 1.0).abs() < 0.02, "{celsius}: {x}, {other}");
        }
    }
}
