//! The value with the most margin near the best of some that all miss.
//!
//! The margin is the least room of several bounds. Where each bound's room only rises or only
//! falls with the value, the least of them has one summit, and the best value tried stands next
//! to it: a stand with a narrow window, too little flow below and too much pressure above, is
//! missed by a coarse scan and found from there.

/// Part of the longer side at which golden section probes: (3 - sqrt 5)/2.
const GOLDEN: f64 = 0.381_966_011_250_105;

/// Where a search ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Peak {
    /// A value that misses, on the side from which was sought.
    pub before: f64,
    /// The best value.
    pub at: f64,
    /// Its margin.
    pub margin: f64,
}

/// Golden section (J. Kiefer, Proc. Am. Math. Soc. 4 (1953) 502) between two values with a better
/// one, and its margin, between them. It ends with the first value that does, or in a bracket of
/// `width`.
pub(super) fn peak(
    margin: impl Fn(f64) -> f64,
    (from, to): (f64, f64),
    tried: (f64, f64),
    width: f64,
) -> Peak {
    let (mut before, mut beyond, mut best) = (from, to, tried);
    while best.1 < 0.0 && (beyond - before).abs() > width {
        let is_beyond = (beyond - best.0).abs() > (best.0 - before).abs();
        let side = if is_beyond { beyond } else { before };
        let at = best.0 + GOLDEN * (side - best.0);
        let probed = (at, margin(at));
        let worse = if probed.1 > best.1 {
            std::mem::replace(&mut best, probed)
        } else {
            probed
        };
        // The worse of the two closes the bracket where it stands.
        let is_first = (worse.0 - best.0) * (to - from) < 0.0;
        if is_first {
            before = worse.0;
        } else {
            beyond = worse.0;
        }
    }
    Peak {
        before,
        at: best.0,
        margin: best.1,
    }
}

/// The same among whole numbers: by halves, along the slope.
pub(super) fn whole_peak(margin: impl Fn(f64) -> f64, (from, to): (f64, f64)) -> Peak {
    let (mut low, mut high) = (from.min(to), from.max(to));
    while low < high {
        let middle = (0.5 * (low + high)).floor();
        if margin(middle) < margin(middle + 1.0) {
            low = middle + 1.0;
        } else {
            high = middle;
        }
    }
    Peak {
        before: from,
        at: low,
        margin: margin(low),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two bounds whose rooms cross at 0.3: the window around it is 0.002 wide.
    fn tent(x: f64) -> f64 {
        0.001 - (x - 0.3_f64).abs()
    }

    #[test]
    fn a_window_that_is_narrower_than_any_step_is_found_from_either_side() {
        for (from, to) in [(0.0, 1.0), (1.0, 0.0)] {
            let found = peak(tent, (from, to), (0.5, tent(0.5)), 1e-4);
            assert!(found.margin >= 0.0, "{found:?}");
            assert!(tent(found.before) < 0.0);
            assert!((found.at - found.before) * (to - from) > 0.0, "{found:?}");
        }
    }

    #[test]
    fn without_a_window_the_summit_comes_to_the_width() {
        let low = |x: f64| tent(x) - 0.1;
        let found = peak(low, (0.0, 1.0), (0.5, low(0.5)), 1e-4);
        assert!((found.at - 0.3).abs() <= 1e-4, "{found:?}");
        assert!(found.margin < 0.0);
    }

    #[test]
    fn a_summit_at_the_end_of_the_range_is_the_end() {
        let found = peak(|x| -1.0 - x, (0.0, 0.5), (0.0, -1.0), 1e-4);
        assert_eq!(found.at, 0.0);
    }

    #[test]
    fn the_best_whole_number_is_found() {
        for summit in 1..=17 {
            let margin = |x: f64| -(x - f64::from(summit)).abs();
            assert_eq!(whole_peak(margin, (1.0, 17.0)).at, f64::from(summit));
        }
    }
}
