//! The nozzle flux of real gases against published critical-flow functions and against the
//! isentropic integral of the exact equation of state.

use fluids::{GasMixture, PropertyMode, PureFluid, SpeciesSpec};

const R_J_MOL_K: f64 = 8.314_462_618;

fn gas(name: &str) -> GasMixture {
    let spec = SpeciesSpec::Named(name.to_owned());
    GasMixture::new(&[spec], PropertyMode::Polished).expect("a known gas")
}

fn flux(gas: &GasMixture, p0: f64, t0: f64, back: f64) -> f64 {
    gas.nozzle_flux(&[1.0], p0, t0, back)
        .expect("in range")
        .value
}

/// C* of nitrogen by the correlation of the NASA Glenn Research Center, which agrees with
/// ISO 9300:2005 within 0.1 %: that is the tolerance. Pressures in bar.
#[test]
fn critical_flow_function_of_nitrogen() {
    let rows = [
        (1.0, 273.15, 0.68505),
        (1.0, 300.0, 0.68494),
        (5.0, 250.0, 0.68697),
        (10.0, 285.0, 0.68758),
        (20.0, 250.0, 0.69379),
        (20.0, 300.0, 0.68955),
        (20.0, 320.0, 0.68842),
    ];
    assert_critical_flow("nitrogen", &rows);
}

/// Above the range of the correlation: computed with CoolProp 8 along its own isentropes.
#[test]
fn critical_flow_function_at_high_pressure() {
    assert_critical_flow(
        "nitrogen",
        &[(50.0, 300.0, 0.69645), (200.0, 300.0, 0.72167)],
    );
    assert_critical_flow("helium", &[(200.0, 300.0, 0.70854)]);
    assert_critical_flow("oxygen", &[(200.0, 300.0, 0.75123)]);
}

fn assert_critical_flow(name: &str, rows: &[(f64, f64, f64)]) {
    let gas = gas(name);
    for &(bar, t0, expected) in rows {
        let p0 = bar * 1e5;
        let specific = R_J_MOL_K / gas.molar_mass_kg_mol(0);
        let got = flux(&gas, p0, t0, 0.1 * p0) * (specific * t0).sqrt() / p0;
        assert!(
            (got / expected - 1.0).abs() < 1e-3,
            "{name} {bar} bar {t0} K: {got} {expected}"
        );
    }
}

/// Flux at a throat pressure on the isentrope, from the exact equation of state.
fn exact(fluid: &PureFluid, p0: f64, t0: f64, p: f64) -> f64 {
    let rest = fluid.by_pressure_temperature(p0, t0).expect("a gas");
    let throat = fluid
        .by_pressure_entropy(p, rest.entropy_j_kg_k)
        .expect("on the isentrope");
    let velocity = (2.0 * (rest.enthalpy_j_kg - throat.enthalpy_j_kg))
        .max(0.0)
        .sqrt();
    throat.density_kg_m3 * velocity
}

/// Throat pressure of the greatest flux, by golden-section search.
fn critical_pressure(fluid: &PureFluid, p0: f64, t0: f64) -> f64 {
    let golden = 0.618_033_988_75;
    let (mut a, mut b) = (0.3 * p0, 0.75 * p0);
    while b - a > 1e-6 * p0 {
        let (c, d) = (b - golden * (b - a), a + golden * (b - a));
        if exact(fluid, p0, t0, c) > exact(fluid, p0, t0, d) {
            b = d;
        } else {
            a = c;
        }
    }
    0.5 * (a + b)
}

/// Choked and unchoked, up to 300 bar and down to 250 K: the table's interpolation and its
/// fitted shape stay well within the 0.1 % that is asked of the flux. (At 0.9 p0 and 2 bar the
/// regularised root costs 6e-6 of it.)
#[test]
fn flux_follows_the_isentropic_integral() {
    for name in ["nitrogen", "helium", "oxygen", "argon"] {
        let (gas, fluid) = (gas(name), PureFluid::named(name).expect("a known gas"));
        let mut worst: f64 = 0.0;
        for bar in [2.0, 7.0, 33.0, 90.0, 180.0, 300.0] {
            for t0 in [250.0, 291.0, 350.0, 400.0] {
                let p0 = bar * 1e5;
                let star = critical_pressure(&fluid, p0, t0);
                let choked = exact(&fluid, p0, t0, star);
                worst = worst.max((flux(&gas, p0, t0, 0.2 * p0) / choked - 1.0).abs());
                for ratio in [0.6, 0.75, 0.9] {
                    let back = ratio * p0;
                    let expected = exact(&fluid, p0, t0, back.max(star));
                    worst = worst.max((flux(&gas, p0, t0, back) / expected - 1.0).abs());
                }
            }
        }
        // Argon at 300 bar and 250 K, nearest to its cold edge, is the worst by far.
        assert!(worst < 3e-4, "{name}: {worst}");
    }
}

/// The same for gases that are used nearer to their critical point, in their own critical units: what the
/// table of a gas far from it reaches holds for them to 0.1 %.
#[test]
fn flux_of_gases_near_their_critical_point() {
    let names = [
        "carbon dioxide",
        "methane",
        "nitrous oxide",
        "propane",
        "parahydrogen",
        "hydrogen",
    ];
    for name in names {
        let (gas, fluid) = (gas(name), PureFluid::named(name).expect("a known gas"));
        let mut worst: f64 = 0.0;
        for share in [0.02, 0.1, 0.3, 0.6] {
            for warm in [1.15, 1.3, 1.6] {
                let p0 = share * fluid.critical_pressure_pa();
                let t0 = warm * fluid.critical_temperature_k();
                let star = critical_pressure(&fluid, p0, t0);
                let choked = exact(&fluid, p0, t0, star);
                worst = worst.max((flux(&gas, p0, t0, 0.2 * p0) / choked - 1.0).abs());
                let back = 0.75 * p0;
                let expected = exact(&fluid, p0, t0, back.max(star));
                worst = worst.max((flux(&gas, p0, t0, back) / expected - 1.0).abs());
            }
        }
        assert!(worst < 1e-3, "{name}: {worst}");
    }
}

/// The vapour over a boiling liquid has a flux, and so has a gas at any low pressure: a bottle may
/// end there. The highest saturation pressures, in critical pressures: nitrous oxide at 23 degC, carbon
/// dioxide at 17 degC.
#[test]
fn vapour_over_a_boiling_liquid_flows() {
    let highest = [
        ("carbon dioxide", 0.72),
        ("nitrous oxide", 0.75),
        ("propane", 0.75),
        ("methane", 0.3),
    ];
    for (name, highest) in highest {
        let (gas, fluid) = (gas(name), PureFluid::named(name).expect("a known gas"));
        for share in [0.08, 0.2, 0.3, 0.4, 0.6, highest] {
            if share > highest {
                continue;
            }
            let p0 = share * fluid.critical_pressure_pa();
            let saturation = fluid.saturation_at_pressure(p0).expect("below critical");
            assert!(
                flux(&gas, p0, saturation.temperature_k, 0.0) > 0.0,
                "{name}"
            );
        }
    }
}

/// The edges of the table are refused by name.
#[test]
fn the_range_reaches_down_to_saturation_and_vacuum() {
    for name in ["nitrogen", "oxygen", "argon"] {
        let (gas, fluid) = (gas(name), PureFluid::named(name).expect("a known gas"));
        for bar in [0.7, 1.0, 3.0, 8.0, 15.0] {
            let saturation = fluid
                .saturation_at_pressure(bar * 1e5)
                .expect("below critical");
            assert!(flux(&gas, bar * 1e5, saturation.temperature_k, 0.0) > 0.0);
        }
        // Thin vapour, but that of argon, which is frozen there: as it boils, and three kelvins colder.
        for bar in [0.15, 0.3] {
            if let Ok(saturation) = fluid.saturation_at_pressure(bar * 1e5) {
                let t = saturation.temperature_k;
                assert!(flux(&gas, bar * 1e5, t, 0.0) > 0.0);
                gas.nozzle_flux(&[1.0], bar * 1e5, t - 3.0, 0.0)
                    .expect_err("it condenses");
            }
        }
        assert_eq!(flux(&gas, 1.0, 300.0, 1.0), 0.0);
        let cold = gas
            .nozzle_flux(&[1.0], 4e7, 150.0, 1e5)
            .expect_err("it would boil");
        assert!(
            cold.to_string().contains("stagnation temperature"),
            "{cold}"
        );
        let dense = gas
            .nozzle_flux(&[1.0], 8e7, 300.0, 1e5)
            .expect_err("beyond the table");
        assert!(dense.to_string().contains("stagnation pressure"), "{dense}");
    }
}

/// A cold vapour among helium flows at its own partial pressure, though the whole pressure would make
/// it a liquid: by the ideal gas of the mixture, from which helium at 20 bar and 95 K is some 2 % away.
/// Alone at that pressure it is refused.
#[test]
fn a_cold_vapour_among_another_gas_flows() {
    let named = |name: &str| SpeciesSpec::Named(name.to_owned());
    let species = [named("helium"), named("oxygen")];
    let gas = GasMixture::new(&species, PropertyMode::Polished).expect("known gases");
    let (x, masses, cv) = ([0.96, 0.04], [4.0026e-3, 31.999e-3], [1.5, 2.5]);
    let sum = |of: [f64; 2]| x[0] * of[0] + x[1] * of[1];
    let mean = sum(masses);
    let fractions = [x[0] * masses[0] / mean, x[1] * masses[1] / mean];
    let flux = |t: f64| {
        gas.nozzle_flux(&fractions, 20e5, t, 1e5)
            .expect("it flows")
            .value
    };
    let k: f64 = 1.0 + 1.0 / sum(cv);
    let critical = k.sqrt() * (2.0 / (k + 1.0)).powf(0.5 * (k + 1.0) / (k - 1.0));
    let ideal = |t: f64| 20e5 * critical / (8.314_462_6 * t / mean).sqrt();
    for t in [90.0, 95.0, 110.0, 130.0, 150.0] {
        assert!(
            (flux(t) / ideal(t) - 1.0).abs() < 0.03,
            "{t}: {}",
            flux(t) / ideal(t)
        );
    }
    // No step where its factors begin to be those of its cold edge.
    for i in 0..600 {
        let t = 100.0 + 0.1 * f64::from(i);
        let step = flux(t + 1e-4) / flux(t) - 1.0;
        assert!(step.abs() < 1e-5, "{t}: {step:e}");
    }
    let alone = gas.nozzle_flux(&[0.0, 1.0], 20e5, 95.0, 1e5);
    assert!(alone.is_err(), "{alone:?}");
}
