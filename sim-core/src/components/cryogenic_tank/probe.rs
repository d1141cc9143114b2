//! What a capacitive level probe and a scale under the tank would read (theory 9.6).
//!
//! Two concentric tubes from the lowest to the highest point, capacitance straight in level:
//! reading `= (h (e_l - 1) + (H - h)(e_g - 1)) / (H (e_0 - 1))`, calibrated on the liquid of the start.
//! Permittivities by Clausius and Mossotti, `(e - 1)/(e + 2) = a rho`, with `a` from the permittivity of
//! the saturated liquid at one atmosphere. Helium's part of the gas is left out.

use super::{CryogenicTank, Found};
use crate::components::tank::TankSide;

/// Permittivity and density, kg/m3, of saturated liquids at one atmosphere: from memory, as
/// handbooks of cryogenics list them; good to about half a per cent of e - 1.
const PERMITTIVITIES: [(&str, f64, f64); 4] = [
    ("oxygen", 1.484, 1141.2),
    ("nitrogen", 1.432, 806.1),
    ("methane", 1.627, 422.4),
    ("parahydrogen", 1.228, 70.83),
];

fn permittivity(a: f64, density_kg_m3: f64) -> f64 {
    let x = a * density_kg_m3;
    (1.0 + 2.0 * x) / (1.0 - x)
}

impl CryogenicTank<'_> {
    /// Reading of the level probe, 0 to 1; none for a liquid whose permittivity is not listed.
    #[must_use]
    pub fn probe(&self, side: &TankSide<f64>, found: &Found<f64>) -> Option<f64> {
        let name = self.tank.liquid.name();
        let listed = PERMITTIVITIES.iter().find(|p| p.0 == name)?;
        let a = (listed.1 - 1.0) / ((listed.1 + 2.0) * listed.2);
        let vapour = self.tank.vapour?;
        let (mut masses, mut volumes) = (0.0, 0.0);
        for layer in &found.layers {
            masses += layer.gas.partial_density[vapour] * layer.volume;
            volumes += layer.volume;
        }
        let height = self.model.geometry.height_m();
        let over = |density| permittivity(a, density) - 1.0;
        let liquid = side.liquid.level * over(side.liquid.density);
        let gas = (height - side.liquid.level) * over(masses / volumes);
        Some((liquid + gas) / (height * over(self.model.start_density_kg_m3)))
    }
}
