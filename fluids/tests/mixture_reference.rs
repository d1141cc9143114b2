//! Mixture states against the reference library CoolProp 8 (`generator/reference_mixtures.py`).

use fluids::{GasMixture, MAX_SPECIES, PropertyMode, SpeciesSpec};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    species: Vec<String>,
    mole_fractions: Vec<f64>,
    temperature_k: f64,
    density_mol_m3: f64,
    pressure_pa: f64,
    energy_j_m3: f64,
    entropy_j_m3_k: f64,
    cp_j_mol_k: f64,
    sound_speed_m_s: f64,
}

impl Row {
    fn mixture(&self) -> GasMixture {
        let names = self.species.iter().cloned().map(SpeciesSpec::Named);
        GasMixture::new(&names.collect::<Vec<_>>(), PropertyMode::Polished).expect("known gases")
    }

    fn densities(&self, mixture: &GasMixture) -> [f64; MAX_SPECIES] {
        let mut densities = [0.0; MAX_SPECIES];
        for (k, x) in self.mole_fractions.iter().enumerate() {
            densities[k] = x * self.density_mol_m3 * mixture.molar_mass_kg_mol(k);
        }
        densities
    }
}

fn rows() -> Vec<Row> {
    serde_json::from_str(include_str!("data/mixtures.json")).expect("committed data")
}

/// Both sides evaluate the same published sums in a different order: some 1e-12 of rounding,
/// more where terms cancel, as in the heat capacity of methane.
const SAME_SUMS: f64 = 2e-10;

fn close(what: &str, row: &Row, got: f64, expected: f64, scale: f64) {
    let error = (got - expected).abs() / scale;
    let (species, t, n) = (&row.species, row.temperature_k, row.density_mol_m3);
    assert!(
        error < SAME_SUMS,
        "{what} of {species:?} at {t} K, {n} mol/m3: {error:e}"
    );
}

#[test]
fn pressure_and_temperature_from_density_and_energy() {
    for row in rows() {
        let mixture = row.mixture();
        let state = mixture
            .state(&row.densities(&mixture), row.energy_j_m3)
            .expect("in range");
        close(
            "T",
            &row,
            state.temperature_k.value,
            row.temperature_k,
            row.temperature_k,
        );
        close(
            "p",
            &row,
            state.pressure_pa.value,
            row.pressure_pa,
            row.pressure_pa,
        );
    }
}

#[test]
fn everything_from_pressure_and_temperature() {
    for row in rows() {
        let mixture = row.mixture();
        let point = mixture
            .at(row.pressure_pa, row.temperature_k, &row.mole_fractions)
            .expect("in range");
        let densities = row.densities(&mixture);
        let total: f64 = densities.iter().sum();
        let molar_mass = total / row.density_mol_m3;
        for (got, expected) in point.density_kg_m3.iter().zip(densities) {
            close("density", &row, *got, expected, total);
        }
        let thermal = row.density_mol_m3 * 8.314 * row.temperature_k;
        close("energy", &row, point.energy_j_m3, row.energy_j_m3, thermal);
        let enthalpy = point.enthalpy_j_kg * total;
        close(
            "enthalpy",
            &row,
            enthalpy,
            row.energy_j_m3 + row.pressure_pa,
            thermal,
        );
        let entropy = point.entropy_j_kg_k * total;
        close(
            "entropy",
            &row,
            entropy,
            row.entropy_j_m3_k,
            thermal / row.temperature_k,
        );
        let cp = point.heat_capacity_j_kg_k * molar_mass;
        close("cp", &row, cp, row.cp_j_mol_k, row.cp_j_mol_k);
        close(
            "sound",
            &row,
            point.sound_speed_m_s,
            row.sound_speed_m_s,
            row.sound_speed_m_s,
        );
    }
}
