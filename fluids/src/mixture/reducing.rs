//! Reducing functions of a mixture (Kunz and Wagner, J. Chem. Eng. Data 57 (2012) 3032, eqs. 16
//! and 17): with Y the critical temperature or the critical molar volume,
//!
//! Y_r(x) = sum x_i^2 Y_i + sum_(i<j) 2 x_i x_j beta gamma (x_i + x_j)/(beta^2 x_i + x_j) Y_ij,
//! T_ij = sqrt(T_i T_j), v_ij = (v_i^(1/3) + v_j^(1/3))^3/8.

use crate::MAX_SPECIES;

/// One value for each species.
pub(super) type PerSpecies = [f64; MAX_SPECIES];

/// Two species that are both scarcer than this meet at the ratio (x_i + x_j)/(beta^2 x_i + x_j)
/// = 1, which has no pole where one of them is a little negative. Their product is below 1e-12.
const SCARCE: f64 = 1e-6;

/// One reducing function.
#[derive(Clone, Debug)]
pub(super) struct Reducing {
    pure: PerSpecies,
    pairs: Vec<Cross>,
}

/// The cross term of two species.
#[derive(Clone, Copy, Debug)]
struct Cross {
    i: usize,
    j: usize,
    beta_squared: f64,
    /// 2 beta gamma Y_ij.
    strength: f64,
}

impl Reducing {
    pub fn new(pure: PerSpecies) -> Self {
        Reducing {
            pure,
            pairs: Vec::new(),
        }
    }

    /// Adds the cross term of species i and j, in the order for which beta holds.
    pub fn add(&mut self, (i, j): (usize, usize), beta: f64, gamma: f64, mean: f64) {
        self.pairs.push(Cross {
            i,
            j,
            beta_squared: beta * beta,
            strength: 2.0 * beta * gamma * mean,
        });
    }

    /// Y_r and its partials by the mole fractions, each taken as independent.
    pub fn at(&self, x: &PerSpecies) -> (f64, PerSpecies) {
        let (mut value, mut by_x) = (0.0, [0.0; MAX_SPECIES]);
        for k in 0..MAX_SPECIES {
            value += x[k] * x[k] * self.pure[k];
            by_x[k] = 2.0 * x[k] * self.pure[k];
        }
        for cross in &self.pairs {
            cross.add(x, &mut value, &mut by_x);
        }
        (value, by_x)
    }
}

impl Cross {
    fn add(&self, x: &PerSpecies, value: &mut f64, by_x: &mut PerSpecies) {
        let (xi, xj) = (x[self.i], x[self.j]);
        if xi == 0.0 && xj == 0.0 {
            return;
        }
        let (ratio, by_i, by_j) = self.ratio(xi, xj);
        *value += self.strength * xi * xj * ratio;
        by_x[self.i] += self.strength * xj * (ratio + xi * by_i);
        by_x[self.j] += self.strength * xi * (ratio + xj * by_j);
    }

    /// (x_i + x_j)/(beta^2 x_i + x_j) and its partials.
    fn ratio(&self, xi: f64, xj: f64) -> (f64, f64, f64) {
        if xi.abs() + xj.abs() < SCARCE {
            return (1.0, 0.0, 0.0);
        }
        let inverse = 1.0 / (self.beta_squared * xi + xj);
        let tilt = (1.0 - self.beta_squared) * inverse * inverse;
        ((xi + xj) * inverse, xj * tilt, -xi * tilt)
    }
}
