//! The number type of the equations: `f64` for values, [`Dual`](crate::Dual) for values
//! with derivatives. Equations are written once, generic over [`Scalar`].

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A real number that may carry derivatives.
///
/// Comparisons look at the value alone, so a branch taken for a value is taken for its
/// derivatives too.
pub trait Scalar:
    Copy
    + Debug
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// A constant: all derivatives zero.
    fn constant(value: f64) -> Self;

    /// The value without its derivatives.
    fn value(self) -> f64;

    /// A function value `value` whose partial derivatives with respect to the inputs are
    /// given as `(input, partial)` pairs: the chain rule, once, for any outside function.
    /// Taken by reference: a number with derivatives is large.
    fn chain<'a>(value: f64, partials: impl IntoIterator<Item = (&'a Self, f64)>) -> Self
    where
        Self: 'a;

    /// Zero, a constant.
    #[must_use]
    fn zero() -> Self {
        Self::constant(0.0)
    }

    /// A function of one variable given its value and derivative here.
    #[must_use]
    fn lift(self, value: f64, derivative: f64) -> Self {
        Self::chain(value, [(&self, derivative)])
    }

    /// Square root. The derivative at zero is taken as zero.
    #[must_use]
    fn sqrt(self) -> Self {
        let root = self.value().sqrt();
        self.lift(root, if root > 0.0 { 0.5 / root } else { 0.0 })
    }

    /// Natural exponential.
    #[must_use]
    fn exp(self) -> Self {
        let e = self.value().exp();
        self.lift(e, e)
    }

    /// Natural logarithm.
    #[must_use]
    fn ln(self) -> Self {
        self.lift(self.value().ln(), self.value().recip())
    }

    /// Power with a constant exponent.
    #[must_use]
    fn powf(self, exponent: f64) -> Self {
        let x = self.value();
        self.lift(x.powf(exponent), exponent * x.powf(exponent - 1.0))
    }

    /// One over it.
    #[must_use]
    fn recip(self) -> Self {
        let inverse = self.value().recip();
        self.lift(inverse, -inverse * inverse)
    }

    /// The square.
    #[must_use]
    fn squared(self) -> Self {
        self * self
    }

    /// Hyperbolic tangent.
    #[must_use]
    fn tanh(self) -> Self {
        let th = self.value().tanh();
        self.lift(th, 1.0 - th * th)
    }

    /// Sine; the argument is in radians.
    #[must_use]
    fn sin(self) -> Self {
        self.lift(self.value().sin(), self.value().cos())
    }

    /// Cosine; the argument is in radians.
    #[must_use]
    fn cos(self) -> Self {
        self.lift(self.value().cos(), -self.value().sin())
    }

    /// Absolute value.
    #[must_use]
    fn abs(self) -> Self {
        if self.value() < 0.0 { -self } else { self }
    }

    /// The larger of the two, by value.
    #[must_use]
    fn max(self, other: Self) -> Self {
        if self.value() >= other.value() {
            self
        } else {
            other
        }
    }

    /// The smaller of the two, by value.
    #[must_use]
    fn min(self, other: Self) -> Self {
        if self.value() <= other.value() {
            self
        } else {
            other
        }
    }
}

impl Scalar for f64 {
    #[inline]
    fn constant(value: f64) -> Self {
        value
    }
    #[inline]
    fn value(self) -> f64 {
        self
    }
    #[inline]
    fn chain<'a>(value: f64, _partials: impl IntoIterator<Item = (&'a Self, f64)>) -> Self {
        value
    }
}
