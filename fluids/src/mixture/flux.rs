//! Nozzle flux and heat capacity ratio of a mixture.

use shared::Scalar;

use super::Inner;
use super::species::{Model, Species};
use crate::nozzle::{self, FluxTable, Operation, SpeciesFlux, Trio, ideal_gas_flux};
use crate::phases::Phases;
use crate::{Derived, FluidError, MAX_SPECIES, NozzleFlux, PureFluid};

/// Pressure over that of saturation up to which a vapour counts as one in a nozzle.
const SUPERSATURATED: f64 = 1.1;

impl Inner {
    pub fn flux(
        &self,
        mass_fraction: &[f64],
        p0_pa: f64,
        t0_k: f64,
        p_back_pa: f64,
        smoothing: f64,
    ) -> Result<NozzleFlux, FluidError> {
        self.check_positive("stagnation pressure", "Pa", p0_pa)?;
        self.check_positive("stagnation temperature", "K", t0_k)?;
        self.check_positive("sum of the mass fractions", "", mass_fraction.iter().sum())?;
        if !(0.0..=p0_pa).contains(&p_back_pa) {
            return Err(self.out_of_range("back pressure", "Pa", p_back_pa, 0.0, p0_pa));
        }
        let operation = Operation::new(p0_pa, t0_k, p_back_pa, smoothing);
        let mut fluxes = [None; MAX_SPECIES];
        let mut constants = [0.0; MAX_SPECIES];
        let mut mean = 0.0;
        for (k, (species, w)) in self.species.iter().zip(mass_fraction).enumerate() {
            constants[k] = species.gas_constant_j_kg_k;
            mean += w * constants[k];
        }
        for (k, (species, &w)) in self.species.iter().zip(mass_fraction).enumerate() {
            if w != 0.0 {
                let mole_fraction = w * constants[k] / mean;
                fluxes[k] = Some(species.flux(&operation, mole_fraction)?);
            }
        }
        let flux = nozzle::join(&operation, mass_fraction, &fluxes, &constants);
        self.check_finite("mass flux", flux.value)?;
        Ok(flux)
    }

    pub fn heat_capacity_ratio(&self, mass_fraction: &[f64], t: f64) -> Derived {
        let (mut r, mut cv, mut cv_by_t) = (0.0, 0.0, 0.0);
        let mut own = [0.0; MAX_SPECIES];
        for (k, (species, w)) in self.species.iter().zip(mass_fraction).enumerate() {
            let ideal = species.ideal(t);
            r += w * species.gas_constant_j_kg_k;
            cv += w * ideal.slope;
            cv_by_t += w * ideal.curvature;
            own[k] = ideal.slope;
        }
        let mut ratio = Derived {
            value: 1.0 + r / cv,
            by_temperature: -r * cv_by_t / (cv * cv),
            ..Derived::default()
        };
        for (k, species) in self.species.iter().enumerate() {
            ratio.by_density[k] = (species.gas_constant_j_kg_k - r * own[k] / cv) / cv;
        }
        ratio
    }
}

impl Species {
    fn flux(&self, at: &Operation, mole_fraction: f64) -> Result<SpeciesFlux, FluidError> {
        let r = self.gas_constant_j_kg_k;
        let ratio = match &self.model {
            Model::Perfect(gas) => Trio::constant(gas.heat_capacity_ratio),
            Model::Real(fluid) => return Ok(fluid.flux_table(at, mole_fraction)?.flux(at, r)),
            Model::Vapour(_) => {
                let ideal = self.ideal(at.t0.value);
                let (cv, by_t) = (ideal.slope, ideal.curvature);
                at.t0.lift(1.0 + r / cv, -r * by_t / (cv * cv))
            }
        };
        Ok(ideal_gas_flux(at, r, ratio))
    }
}

impl PureFluid {
    /// The table of fluxes, if the stagnation state lies in it: at the whole pressure, or, as a
    /// vapour among other gases, at its own partial pressure.
    fn flux_table(&self, at: &Operation, mole_fraction: f64) -> Result<&FluxTable, FluidError> {
        let table = self
            .nozzle()
            .ok_or_else(|| self.unsolved("the isentropes of a nozzle".to_owned()))?;
        let (p0, t0) = (at.p0.value, at.t0.value);
        if p0 > table.highest_pa() {
            let high = table.highest_pa();
            return Err(self.out_of_range("stagnation pressure", "Pa", p0, 0.0, high));
        }
        let own_pa = p0 * mole_fraction.min(1.0);
        let (low, high) = table.temperatures_k(own_pa);
        if !(low..=high).contains(&t0) && !self.just_boiled(own_pa, t0) {
            return Err(self.out_of_range("stagnation temperature", "K", t0, low, high));
        }
        Ok(table)
    }

    /// Whether a state is vapour that is hardly warmer than it boils, or colder by as little as gas does
    /// not condense at once: in thin vapour the table begins above that.
    fn just_boiled(&self, pressure_pa: f64, temperature_k: f64) -> bool {
        let Phases::Pure(line) = &self.phases else {
            return false;
        };
        let log_pa = line.pair(temperature_k).log_pressure.0;
        temperature_k < line.critical_temperature_k && pressure_pa < SUPERSATURATED * log_pa.exp()
    }
}
