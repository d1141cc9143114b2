//! Properties that any run must have, on randomly dimensioned gas networks.

mod common;

use common::{ambient, network, options, orifice, vessel};
use proptest::prelude::*;
use sim_core::simulate;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A vessel that discharges loses pressure at every row, and nothing is lost on the way.
    #[test]
    fn discharge_is_monotone_and_balanced(
        volume_m3 in 1e-4..1.0_f64,
        pressure_pa in 2e5..3e7_f64,
        area_m2 in 1e-7..1e-4_f64,
    ) {
        let net = network(
            vec![ambient(), vessel("supply", volume_m3, pressure_pa)],
            vec![orifice("hole", 1, 0, area_m2)],
        );
        let outcome = simulate(&net, &options(10.0));
        prop_assert!(outcome.failure.is_none(), "{:?}", outcome.failure);
        let pressure = outcome.history.column("supply.pressure_pa").expect("a vessel shows it");
        // Once at ambient it may waver by what the regularised root lets through.
        prop_assert!(pressure.windows(2).all(|p| p[1] <= p[0] + 1.0));
        prop_assert!(outcome.balances.mass_relative < 1e-9, "{:?}", outcome.balances);
        prop_assert!(outcome.balances.energy_relative < 1e-6, "{:?}", outcome.balances);
    }

    /// Two vessels that feed a third through halves of one hole are one vessel.
    #[test]
    fn splitting_a_volume_changes_nothing(
        volume_m3 in 1e-3..0.1_f64,
        pressure_pa in 5e5..2e7_f64,
        area_m2 in 1e-7..1e-5_f64,
    ) {
        let whole = network(
            vec![ambient(), vessel("a", volume_m3, pressure_pa), vessel("receiver", 0.01, 1e5)],
            vec![orifice("hole", 1, 2, area_m2), orifice("out", 2, 0, area_m2 / 2.0)],
        );
        let halves = network(
            vec![
                ambient(),
                vessel("a", volume_m3 / 2.0, pressure_pa),
                vessel("receiver", 0.01, 1e5),
                vessel("b", volume_m3 / 2.0, pressure_pa),
            ],
            vec![
                orifice("hole", 1, 2, area_m2 / 2.0),
                orifice("out", 2, 0, area_m2 / 2.0),
                orifice("hole2", 3, 2, area_m2 / 2.0),
            ],
        );
        let end = |net| {
            let outcome = simulate(net, &options(5.0));
            let pressure = outcome.history.column("receiver.pressure_pa").expect("shown");
            *pressure.last().expect("there is a last row")
        };
        let (one, two) = (end(&whole), end(&halves));
        // The tolerance of 1e-7 binds one step; the errors of some hundred steps may add up.
        prop_assert!((one - two).abs() < 1e-5 * one, "{one} against {two}");
    }
}
