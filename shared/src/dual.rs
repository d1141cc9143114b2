//! Forward-mode dual numbers with `N` directions at once.
//!
//! A [`Dual`] carries a value and the derivatives of that value along `N` seed directions.
//! Arithmetic follows the rules of differentiation, so a function written over
//! [`Scalar`] yields its Jacobian exactly, without differences.

use crate::Scalar;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A value with its derivatives along `N` directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual<const N: usize> {
    /// The value.
    pub value: f64,
    /// The derivative along each seed direction.
    pub slope: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The variable of direction `index`: derivative one there, zero elsewhere.
    ///
    /// An index of `N` or more gives a constant.
    #[must_use]
    pub fn variable(value: f64, index: usize) -> Self {
        let mut slope = [0.0; N];
        if let Some(s) = slope.get_mut(index) {
            *s = 1.0;
        }
        Self { value, slope }
    }

    /// Combines two slopes linearly: `a * x' + b * y'`.
    #[inline(always)]
    fn combine(value: f64, x: &Self, a: f64, y: &Self, b: f64) -> Self {
        let mut slope = [0.0; N];
        for ((slope, x), y) in slope.iter_mut().zip(&x.slope).zip(&y.slope) {
            *slope = a * x + b * y;
        }
        Self { value, slope }
    }

    /// Scales the slope: `a * x'`.
    #[inline(always)]
    fn scale(value: f64, x: &Self, a: f64) -> Self {
        let mut slope = [0.0; N];
        for (slope, x) in slope.iter_mut().zip(&x.slope) {
            *slope = a * x;
        }
        Self { value, slope }
    }
}

impl<const N: usize> Scalar for Dual<N> {
    #[inline]
    fn constant(value: f64) -> Self {
        Self {
            value,
            slope: [0.0; N],
        }
    }

    #[inline]
    fn value(self) -> f64 {
        self.value
    }

    #[inline]
    fn chain<'a>(value: f64, partials: impl IntoIterator<Item = (&'a Self, f64)>) -> Self {
        let mut slope = [0.0; N];
        for (input, partial) in partials {
            for (total, direction) in slope.iter_mut().zip(&input.slope) {
                *total += partial * direction;
            }
        }
        Self { value, slope }
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self::combine(self.value + other.value, &self, 1.0, &other, 1.0)
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self::combine(self.value - other.value, &self, 1.0, &other, -1.0)
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self::combine(
            self.value * other.value,
            &self,
            other.value,
            &other,
            self.value,
        )
    }
}

impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        let quotient = self.value / other.value;
        let inverse = other.value.recip();
        Self::combine(quotient, &self, inverse, &other, -quotient * inverse)
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self::scale(-self.value, &self, -1.0)
    }
}

impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: f64) -> Self {
        Self::scale(self.value + other, &self, 1.0)
    }
}

impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: f64) -> Self {
        Self::scale(self.value - other, &self, 1.0)
    }
}

impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: f64) -> Self {
        Self::scale(self.value * other, &self, other)
    }
}

impl<const N: usize> Div<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: f64) -> Self {
        Self::scale(self.value / other, &self, other.recip())
    }
}

impl<const N: usize> AddAssign for Dual<N> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        self.value += other.value;
        for (slope, more) in self.slope.iter_mut().zip(&other.slope) {
            *slope += more;
        }
    }
}

impl<const N: usize> SubAssign for Dual<N> {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        self.value -= other.value;
        for (slope, less) in self.slope.iter_mut().zip(&other.slope) {
            *slope -= less;
        }
    }
}
