//! What a capacitive level probe and a scale under the tank would read (theory 9.6).
//!
//! Two concentric tubes from the lowest to the highest point, capacitance straight in level:
//! reading `= (h (e_l - 1) + (H - h)(e_g - 1)) / (H (e_0 - 1))`, calibrated on the liquid of the start.
//! Permittivities by Clausius and Mossotti, `(e - 1)/(e + 2) = a rho`, with `a` from the permittivity of
//! the liquid. Helium's part of the gas is left out.

use super::{CryogenicTank, Found};
use crate::components::tank::TankSide;

/// Permittivity and density, kg/m3, of a liquid whose permittivity was measured: saturated at one atmosphere,
/// nitrous oxide at 0 degC. All values are from memory, good to about half a per cent of e - 1, nitrous oxide's
/// to a tenth; measured by
///
/// - oxygen: B. A. Younglove, J. Res. NBS 76A (1972) 37;
/// - nitrogen: J. F. Ely and G. C. Straty, J. Chem. Phys. 61 (1974) 1480;
/// - argon: R. L. Amey and R. H. Cole, J. Chem. Phys. 40 (1964) 146;
/// - methane: G. C. Straty and R. D. Goodwin, Cryogenics 13 (1973) 712;
/// - parahydrogen: J. W. Stewart, J. Chem. Phys. 40 (1964) 3297;
/// - nitrous oxide: A. A. Maryott and E. R. Smith, NBS Circular 514 (1951).
///
/// Of carbon dioxide and propane what is remembered is a tenth off the polarisability of their gas: none is listed.
const PERMITTIVITIES: [(&str, f64, f64); 6] = [
    ("oxygen", 1.484, 1141.2),
    ("nitrogen", 1.432, 806.1),
    ("argon", 1.505, 1395.4),
    ("methane", 1.627, 422.4),
    ("parahydrogen", 1.228, 70.83),
    ("nitrous oxide", 1.61, 907.1),
];

/// Polarisability a of a liquid for its mass, m3/kg; none if it is not listed.
fn polarisability_m3_kg(liquid: &str) -> Option<f64> {
    let &(_, e, density) = PERMITTIVITIES.iter().find(|p| p.0 == liquid)?;
    Some((e - 1.0) / ((e + 2.0) * density))
}

/// Permittivity of a fluid of a polarisability, m3/kg, and a density, kg/m3.
fn permittivity(polarisability_m3_kg: f64, density_kg_m3: f64) -> f64 {
    let x = polarisability_m3_kg * density_kg_m3;
    (1.0 + 2.0 * x) / (1.0 - x)
}

impl CryogenicTank<'_> {
    /// Reading of the level probe, 0 to 1; none for a liquid whose permittivity is not listed.
    #[must_use]
    pub fn probe(&self, side: &TankSide<f64>, found: &Found<f64>) -> Option<f64> {
        let a = polarisability_m3_kg(self.tank.liquid.name())?;
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

#[cfg(test)]
mod tests {
    use super::{PERMITTIVITIES, permittivity, polarisability_m3_kg};

    /// At the density at which it was measured a liquid has its measured permittivity.
    #[test]
    fn a_liquid_has_its_own_permittivity() {
        for (name, e, density) in PERMITTIVITIES {
            let a = polarisability_m3_kg(name).expect("it is listed");
            assert!((permittivity(a, density) - e).abs() < 1e-12, "{name}");
        }
        assert_eq!(polarisability_m3_kg("water"), None);
    }

    /// Clausius and Mossotti reach from the liquid down to its gas: permittivities at 20 degC and one atmosphere
    /// (A. A. Maryott and F. Buckley, NBS Circular 537, 1953; from memory), densities kg/m3 by CoolProp 8. 2 % of
    /// e - 1: the polarisability of a dense fluid is that much less than that of its gas.
    #[test]
    fn the_gas_has_the_polarisability_of_its_liquid() {
        for (name, over_one, density) in [
            ("oxygen", 4.947e-4, 1.3312),
            ("nitrogen", 5.480e-4, 1.1648),
            ("argon", 5.172e-4, 1.6618),
        ] {
            let a = polarisability_m3_kg(name).expect("it is listed");
            let got = permittivity(a, density) - 1.0;
            assert!((got / over_one - 1.0).abs() < 0.02, "{name}: {got}");
        }
    }
}
