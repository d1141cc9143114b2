//! The published correlation of the gas that pushes a cryogen out.
//!
//! M. Epstein and R. E. Anderson, An equation for the prediction of cryogenic pressurant
//! requirements for axisymmetric propellant tanks, Adv. Cryog. Eng. 13 (1968) 207. Equation and
//! constants are **from memory**. Sixty expulsions of liquid hydrogen lie within 14 % of it (Van
//! Dresar, NASA TM-106973, 1995), with a diameter by what is pushed out and the wall that it
//! uncovers.

/// Constants p1 to p8 of a liquid.
#[derive(Clone, Copy, Debug)]
pub struct Constants([f64; 8]);

impl Constants {
    /// For liquid hydrogen.
    pub const HYDROGEN: Self = Self([0.330, 0.281, 4.26, 0.857, 1.50, 0.312, 0.160, 0.986]);
    /// For other cryogens.
    pub const OTHERS: Self = Self([0.775, 0.209, 3.57, 0.790, 0.755, 0.271, 0.236, 0.895]);

    /// For a liquid of this name.
    #[must_use]
    pub fn of(liquid: &str) -> Self {
        if liquid == "parahydrogen" {
            Self::HYDROGEN
        } else {
            Self::OTHERS
        }
    }
}

/// What an expulsion is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expulsion {
    /// Temperature of the gas at the inlet, K.
    pub inlet_k: f64,
    /// Temperature at which the liquid boils, K.
    pub saturation_k: f64,
    /// Volumetric heat capacity of the gas at the inlet's temperature, J/(m3 K).
    pub gas_j_m3_k: f64,
    /// Heat capacity of the wall for its area, J/(m2 K).
    pub wall_j_m2_k: f64,
    /// Equivalent diameter of the tank, m: four volumes pushed out over the wall uncovered.
    pub diameter_m: f64,
    /// Film coefficient between gas and wall, W/(m2 K).
    pub film_w_m2_k: f64,
    /// Duration of the expulsion, s.
    pub duration_s: f64,
    /// Heat flux from outside, W/m2.
    pub leak_w_m2: f64,
}

/// Gas used over gas that would do without exchange.
#[must_use]
pub fn collapse_factor(Constants(p): Constants, x: &Expulsion) -> f64 {
    let scale = x.gas_j_m3_k * x.diameter_m;
    let cold = x.saturation_k / x.inlet_k;
    let c = x.wall_j_m2_k / scale * cold;
    let s = x.film_w_m2_k * x.duration_s / scale * cold;
    let q = x.leak_w_m2 * x.duration_s / (scale * x.inlet_k);
    let taken_up = 1.0 - (-p[0] * c.powf(p[1])).exp();
    let in_time = 1.0 - (-p[2] * s.powf(p[3])).exp();
    let collapse = (1.0 / cold - 1.0) * taken_up * in_time + 1.0;
    let ratio = |z: f64| z / (1.0 + z);
    collapse * (-p[4] * (1.0 - ratio(c)).powf(p[5]) * ratio(s).powf(p[6]) * q.powf(p[7])).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOX: Expulsion = Expulsion {
        inlet_k: 290.0,
        saturation_k: 90.0,
        gas_j_m3_k: 1.7e4,
        wall_j_m2_k: 9e3,
        diameter_m: 0.23,
        film_w_m2_k: 30.0,
        duration_s: 30.0,
        leak_w_m2: 0.0,
    };

    /// Properties of the equation, whatever its constants: no wall or no time give 1, much of
    /// both the ratio of temperatures, and more of either never less.
    #[test]
    fn limits_and_monotony() {
        for constants in [Constants::HYDROGEN, Constants::OTHERS] {
            let of = |change: fn(&mut Expulsion, f64), by: f64| {
                let mut x = LOX;
                change(&mut x, by);
                collapse_factor(constants, &x)
            };
            let wall = |x: &mut Expulsion, by| x.wall_j_m2_k *= by;
            let time = |x: &mut Expulsion, by| x.duration_s *= by;
            assert_eq!(of(wall, 0.0), 1.0);
            assert_eq!(of(time, 0.0), 1.0);
            let both = |x: &mut Expulsion, by| {
                x.wall_j_m2_k *= by;
                x.duration_s *= by;
            };
            let full = LOX.inlet_k / LOX.saturation_k;
            // exp(-0.33 C^0.281) is below 1e-6 at C of 1e12 times this.
            assert!((of(both, 1e12) / full - 1.0).abs() < 1e-6);
            for by in [0.1, 1.0, 10.0] {
                assert!(of(wall, 2.0 * by) > of(wall, by));
                assert!(of(time, 2.0 * by) > of(time, by));
            }
        }
    }
}
