//! How much of its gas a plain liquid could hold: a bound, not an uptake.
//!
//! Mole fraction under one atmosphere of the gas near 20 degC, straight in pressure (Henry).
//! Nitrogen in water: J. Res. NBS 77A (1973) 133, 12.52e-6 a bar at 20 degC. The others are from
//! memory, as the solubility data series of IUPAC and handbooks of fuels list them: good to a fifth,
//! kerosene to a half.

use super::{Group, Line, Run, Summary, extremes};
use shared::quantity::Dimension::Mass;
use sim_core::network::{Tank, VolumeKind};

const ATMOSPHERE_PA: f64 = 101_325.0;

/// Liquid, its molar mass in kg/mol, mole fractions of nitrogen and of helium.
const SOLUBILITIES: [(&str, f64, f64, f64); 5] = [
    ("water", 0.018_015, 12.69e-6, 7.0e-6),
    ("ethanol", 0.046_069, 3.6e-4, 0.77e-4),
    ("methanol", 0.032_042, 2.75e-4, 0.6e-4),
    ("isopropanol", 0.060_096, 4.6e-4, 1.1e-4),
    ("kerosene", 0.167, 1.0e-3, 2.3e-4),
];

/// Molar masses of the gases, kg/mol.
const NITROGEN: f64 = 0.028_013;
const HELIUM: f64 = 0.004_003;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for volume in &run.network.volumes {
        let VolumeKind::Tank(tank) = &volume.kind else {
            continue;
        };
        let held = bound_kg(run, tank, &volume.name);
        let words = "gas that the liquid could hold at the highest pressure, by Henry's law";
        let line = Line("could_dissolve_kg", words, Mass, held);
        into.add(Group::Tank, &volume.name, &[line]);
    }
}

fn bound_kg(run: &Run, tank: &Tank, name: &str) -> Option<f64> {
    let mixture = &run.network.mixtures[tank.gas.mixture];
    let most = tank.gas.mole_fractions.iter().enumerate();
    let (species, _) = most.max_by(|a, b| a.1.total_cmp(b.1))?;
    let known = SOLUBILITIES.iter().find(|s| s.0 == tank.liquid.name())?;
    let (fraction, molar) = match mixture.name(species) {
        "nitrogen" => (known.2, NITROGEN),
        "helium" => (known.3, HELIUM),
        _ => return None,
    };
    let highest = extremes(run.outcome, &format!("{name}.pressure_pa"))?.greatest;
    let liquid_kg = run.trace(name, "liquid_mass_kg")?.after(run.whole_s().0);
    Some(liquid_kg / known.1 * fraction * highest.value / ATMOSPHERE_PA * molar)
}
