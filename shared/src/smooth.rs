//! Smooth stand-ins for functions with a kink or an infinite slope.

use crate::Scalar;

/// Square root with the sign of its argument, regularised around zero:
/// `g / (g^2 + eps^2)^(1/4)`.
///
/// Odd, rising, infinitely smooth, with slope `1/sqrt(eps)` at zero. For `|g| >> eps` it falls
/// short of `sqrt(|g|)` by the fraction `eps^2 / (4 g^2)`: 0.25 % at ten times `eps`, 25 ppm
/// at a hundred times. `eps` is in the unit of `g` and above zero.
#[must_use]
pub fn regular_sqrt<S: Scalar>(g: S, eps: f64) -> S {
    let x = g.value();
    let square = x * x + eps * eps;
    let fourth_root = square.sqrt().sqrt();
    let slope = (0.5 * x * x + eps * eps) / (square * fourth_root);
    g.lift(x / fourth_root, slope)
}

/// Rises smoothly from 0 at `s <= 0` to 1 at `s >= 1` by `3 s^2 - 2 s^3`; value and slope are
/// continuous.
#[must_use]
pub fn smooth_step<S: Scalar>(s: S) -> S {
    let x = s.value().clamp(0.0, 1.0);
    s.lift(x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x))
}
