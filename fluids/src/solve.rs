//! One-dimensional roots.

/// Root of a function that is negative at `low` and positive at `high`: Newton steps, kept
/// inside the shrinking bracket by bisection. `f` returns value and slope. `None` if the
/// function is not finite or 200 steps do not do (bisection alone needs 60).
///
/// A Newton step below 1e-10 of the root ends the search: what remains is its square.
pub(crate) fn bracketed_root(
    (mut low, mut high): (f64, f64),
    guess: f64,
    mut f: impl FnMut(f64) -> Option<(f64, f64)>,
) -> Option<f64> {
    const STEP: f64 = 1e-10;
    let mut x = if guess > low && guess < high {
        guess
    } else {
        0.5 * (low + high)
    };
    for _ in 0..200 {
        let (value, slope) = f(x)?;
        if value == 0.0 {
            return Some(x);
        }
        if !value.is_finite() {
            return None;
        }
        if value < 0.0 {
            low = x
        } else {
            high = x
        }
        let newton = x - value / slope;
        if (newton - x).abs() <= STEP * x.abs() {
            return Some(newton);
        }
        let inside = newton > low && newton < high;
        x = if inside { newton } else { 0.5 * (low + high) };
        if high - low <= f64::EPSILON * x.abs() {
            return Some(x);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::bracketed_root;

    #[test]
    fn a_flat_start_falls_back_to_bisection() {
        let root = bracketed_root((-1.0, 3.0), 0.0, |x| Some((x.powi(3) - 2.0, 3.0 * x * x)));
        // The last Newton step is below 1e-10, so the root is good to rounding.
        assert!((root.unwrap_or(f64::NAN) - 2f64.cbrt()).abs() < 1e-15);
    }

    #[test]
    fn a_value_that_is_no_number_gives_no_root() {
        assert_eq!(
            bracketed_root((0.0, 1.0), 0.5, |_| Some((f64::NAN, 1.0))),
            None
        );
    }
}
