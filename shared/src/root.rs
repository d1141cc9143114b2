//! The root of a function of one variable between two points where its signs differ.

use std::fmt;

/// More steps than bisection needs to cross the whole range of `f64` to its last bit.
const MOST_STEPS: usize = 2200;

/// Why no root was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RootError {
    /// The function has the same sign at both ends.
    NotBracketed {
        /// The first end and the function there.
        left: (f64, f64),
        /// The other end and the function there.
        right: (f64, f64),
    },
    /// An argument, or the function at an argument, is not a finite number.
    NotFinite {
        /// The argument.
        at: f64,
    },
}

impl fmt::Display for RootError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotBracketed { left, right } => write!(
                f,
                "no change of sign between {} (where the function is {}) and {} (where it is {}); widen the bracket",
                left.0, left.1, right.0, right.1
            ),
            Self::NotFinite { at } => write!(
                f,
                "the function is not finite at {at}; keep the bracket within its domain"
            ),
        }
    }
}

impl std::error::Error for RootError {}

/// Root of `f` between `a` and `b`, to within `tolerance` of the argument.
///
/// Inverse quadratic interpolation guarded by bisection: T. R. Chandrupatla, "A new hybrid
/// quadratic/bisection algorithm for finding the zero of a nonlinear function without using
/// derivatives", Advances in Engineering Software 28 (1997) 145-149. A `tolerance` of zero
/// asks for the last bits.
///
/// # Errors
/// [`RootError::NotBracketed`] if `f` has one sign at both ends, [`RootError::NotFinite`] if an
/// end or a value of `f` is not finite.
pub fn bracketed(
    mut f: impl FnMut(f64) -> f64,
    a: f64,
    b: f64,
    tolerance: f64,
) -> Result<f64, RootError> {
    let mut finite = |x: f64| {
        let y = f(x);
        if x.is_finite() && y.is_finite() {
            Ok((x, y))
        } else {
            Err(RootError::NotFinite { at: x })
        }
    };
    // `new` is the latest point, `old` the other end of the bracket, `last` the one before.
    let (mut new, mut old) = (finite(a)?, finite(b)?);
    if new.1 == 0.0 || old.1 == 0.0 {
        return Ok(best(new, old).0);
    }
    if new.1.signum() == old.1.signum() {
        return Err(RootError::NotBracketed {
            left: new,
            right: old,
        });
    }
    let mut fraction = 0.5;
    for _ in 0..MOST_STEPS {
        let trial = finite(new.0 + fraction * (old.0 - new.0))?;
        let last;
        if trial.1.signum() == new.1.signum() {
            last = new;
        } else {
            last = old;
            old = new;
        }
        new = trial;
        let root = best(new, old);
        let finest = 2.0 * f64::EPSILON * root.0.abs() + 0.5 * tolerance.max(f64::MIN_POSITIVE);
        let least = finest / (old.0 - new.0).abs();
        if root.1 == 0.0 || least > 0.5 {
            return Ok(root.0);
        }
        // A fraction that underflowed would try the same point again.
        let least = least.max(f64::EPSILON);
        fraction = next_fraction(new, old, last).clamp(least, 1.0 - least);
    }
    Ok(best(new, old).0)
}

/// Where between `new` and `old` to try next: the quadratic through the three points where
/// it is monotone between them, else the middle.
fn next_fraction(new: (f64, f64), old: (f64, f64), last: (f64, f64)) -> f64 {
    let xi = (new.0 - old.0) / (last.0 - old.0);
    let phi = (new.1 - old.1) / (last.1 - old.1);
    if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
        let (f1, f2, f3) = (new.1, old.1, last.1);
        let reach = (last.0 - new.0) / (old.0 - new.0);
        f1 / (f2 - f1) * (f3 / (f2 - f3)) + reach * (f1 / (f3 - f1)) * (f2 / (f3 - f2))
    } else {
        0.5
    }
}

/// The point where the function is nearer to zero.
fn best(one: (f64, f64), other: (f64, f64)) -> (f64, f64) {
    if one.1.abs() <= other.1.abs() {
        one
    } else {
        other
    }
}
