//! The coordinate of density,
//!
//! x = a rho + b (sqrt(rho + rho_1) - sqrt(rho_1)) + c rho/(rho + rho_2).
//!
//! It spreads a thin gas nearly as ln rho would, which the cold edge needs there, and a dense
//! one evenly; it is regular down to no density at all, and quicker than a logarithm.

use crate::solve::bracketed_root;

/// Intervals of x.
pub(super) const X_INTERVALS: usize = 128;
/// Shares of x that the square root and the fraction take.
const ROOT_SHARE: f64 = 0.35;
const FRACTION_SHARE: f64 = 0.12;
/// rho_1 and rho_2, in reducing densities.
const ROOT_OFFSET: f64 = 1e-4;
const FRACTION_OFFSET: f64 = 1e-3;

/// The map from density to x, 0 to `X_INTERVALS`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Coordinate {
    a: f64,
    b: f64,
    c: f64,
    rho_1: f64,
    rho_2: f64,
    start: f64,
    density_max: f64,
}

impl Coordinate {
    pub fn new(density_max: f64, reducing: f64) -> Self {
        let (rho_1, rho_2) = (ROOT_OFFSET * reducing, FRACTION_OFFSET * reducing);
        let share = |share: f64, of: f64| share * X_INTERVALS as f64 / of;
        let b = share(ROOT_SHARE, (density_max + rho_1).sqrt() - rho_1.sqrt());
        Coordinate {
            a: share(1.0 - ROOT_SHARE - FRACTION_SHARE, density_max),
            b,
            c: share(FRACTION_SHARE, density_max / (density_max + rho_2)),
            rho_1,
            rho_2,
            start: b * rho_1.sqrt(),
            density_max,
        }
    }

    /// (x, dx/d rho).
    #[inline]
    pub fn at(&self, density: f64) -> (f64, f64) {
        let root = (density + self.rho_1).sqrt();
        let inverse = 1.0 / (density + self.rho_2);
        let x = (self.a + self.c * inverse) * density + (self.b * root - self.start);
        let fraction = self.c * self.rho_2 * inverse * inverse;
        (x, self.a + 0.5 * self.b / root + fraction)
    }

    /// The density at a node.
    pub fn density(&self, node: usize) -> Option<f64> {
        match node {
            0 => Some(0.0),
            X_INTERVALS => Some(self.density_max),
            _ => bracketed_root((0.0, self.density_max), 0.0, |density| {
                let (x, slope) = self.at(density);
                Some((x - node as f64, slope))
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nodes_lie_where_the_map_says() {
        let coordinate = Coordinate::new(900.0, 300.0);
        for node in 0..=X_INTERVALS {
            let density = coordinate.density(node).unwrap_or(f64::NAN);
            // Rounding of the sums, a few parts in 1e16 of 128.
            assert!((coordinate.at(density).0 - node as f64).abs() < 1e-12);
        }
    }
}
