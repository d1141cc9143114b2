//! Surface tension: sum a (1 - T/T0)^n of Mulero, Cachadina and Parra, J. Phys. Chem. Ref. Data 41 (2012) 043105.

use crate::phases::Phases;
use crate::{FluidError, PureFluid};

impl PureFluid {
    /// Surface tension of the liquid against its vapour, N/m, at a temperature, K.
    ///
    /// # Errors
    /// Outside the saturation line; for a pseudo-pure fluid, which has none.
    pub fn surface_tension_n_m(&self, temperature_k: f64) -> Result<f64, FluidError> {
        let (Phases::Pure(line), Some(tension)) = (&self.phases, &self.data.surface_tension) else {
            return Err(FluidError::NotAvailable {
                fluid: self.name().to_owned(),
                question: "the surface tension",
                reason: "it is a mixture treated as one fluid",
            });
        };
        self.check_finite("saturation temperature", temperature_k)?;
        let (low, high) = (line.t_min_k, line.critical_temperature_k);
        if !(low..=high).contains(&temperature_k) {
            let what = "saturation temperature";
            return Err(self.out_of_range(what, "K", temperature_k, low, high));
        }
        Ok(tension.at(temperature_k))
    }
}
