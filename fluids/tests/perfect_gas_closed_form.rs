//! A perfect gas against its closed forms.

use fluids::{FluidError, GasMixture, PropertyMode, SpeciesSpec};

fn perfect(name: &str, k: f64, m: f64) -> SpeciesSpec {
    SpeciesSpec::Perfect {
        name: name.to_owned(),
        heat_capacity_ratio: k,
        molar_mass_kg_mol: m,
    }
}

fn nitrogen() -> GasMixture {
    let species = [perfect("gas", 1.4, 0.0280134)];
    GasMixture::new(&species, PropertyMode::Polished).expect("a plain perfect gas")
}

/// Rounding of a handful of operations.
const ROUNDING: f64 = 1e-14;

fn close(got: f64, expected: f64, tolerance: f64) {
    let error = (got / expected - 1.0).abs();
    assert!(error <= tolerance, "{got} against {expected}: {error:e}");
}

#[test]
fn state_returns_the_pressure_and_temperature_it_was_made_from() {
    let gas = nitrogen();
    let point = gas.at(2e7, 300.0, &[1.0]).expect("in range");
    let r = 8.314_462_618_153_24 / 0.0280134;
    close(point.density_kg_m3[0], 2e7 / (r * 300.0), ROUNDING);
    close(point.sound_speed_m_s, (1.4 * r * 300.0).sqrt(), ROUNDING);
    let state = gas
        .state(&point.density_kg_m3, point.energy_j_m3)
        .expect("in range");
    close(state.pressure_pa.value, 2e7, ROUNDING);
    close(state.temperature_k.value, 300.0, ROUNDING);
}

#[test]
fn choked_flux_is_the_critical_flow_function() {
    // C* = sqrt(k) (2/(k+1))^((k+1)/(2(k-1))) = sqrt(1.4)/1.2^3 (any gas dynamics text).
    let flux = nitrogen()
        .nozzle_flux(&[1.0], 2e7, 300.0, 1e5)
        .expect("in range");
    let r: f64 = 8.314_462_618_153_24 / 0.0280134;
    close(
        flux.value,
        0.684_731_456_377_3 * 2e7 / (r * 300.0).sqrt(),
        1e-12,
    );
    close(flux.critical_ratio, (2.0_f64 / 2.4).powf(3.5), ROUNDING);
    assert!(flux.choked);
    assert_eq!(flux.by_p_back, 0.0);
}

#[test]
fn unchoked_flux_is_that_of_saint_venant_and_wantzel() {
    let (p0, t0, r, k) = (1e6, 300.0_f64, 8.314_462_618_153_24 / 0.0280134, 1.4_f64);
    for ratio in [0.55_f64, 0.7, 0.9, 0.99] {
        let flux = nitrogen()
            .nozzle_flux(&[1.0], p0, t0, ratio * p0)
            .expect("in range");
        let bracket = ratio.powf(2.0 / k) - ratio.powf((k + 1.0) / k);
        let exact = p0 / (r * t0).sqrt() * (2.0 * k / (k - 1.0) * bracket).sqrt();
        // The regularisation changes the flux by (eps/dp)^2/4 at most.
        let regularisation = (100.0 / (p0 * (1.0 - ratio))).powi(2) / 4.0;
        close(flux.value, exact, regularisation + 1e-12);
        assert!(!flux.choked);
    }
}

#[test]
fn the_flux_starts_linearly_and_without_jump() {
    let (gas, p0) = (nitrogen(), 1e5);
    let at = |drop: f64| {
        gas.nozzle_flux(&[1.0], p0, 300.0, p0 - drop)
            .expect("in range")
    };
    assert_eq!(at(0.0).value, 0.0);
    // sqrt(2 rho) dp/sqrt(100 Pa): the incompressible limit of the regularised form.
    let rho = p0 / (8.314_462_618_153_24 / 0.0280134 * 300.0);
    close(-at(0.0).by_p_back, (2.0 * rho / 100.0_f64).sqrt(), 1e-5);
    close(at(1e-3).value, 1e-3 * (2.0 * rho / 100.0_f64).sqrt(), 1e-5);
}

#[test]
fn mixture_of_equal_gases_is_the_gas_itself() {
    let pair = [perfect("one", 1.4, 0.028), perfect("two", 1.4, 0.028)];
    let mixture = GasMixture::new(&pair, PropertyMode::Polished).expect("two gases");
    let alone = GasMixture::new(&pair[..1], PropertyMode::Polished).expect("one gas");
    for p_back in [1e5, 8e5] {
        let mixed = mixture
            .nozzle_flux(&[0.3, 0.7], 1e6, 290.0, p_back)
            .expect("in range");
        let single = alone
            .nozzle_flux(&[1.0], 1e6, 290.0, p_back)
            .expect("in range");
        close(mixed.value, single.value, ROUNDING);
        close(mixed.by_t0, single.by_t0, 1e-12);
    }
    let mixed = mixture.heat_capacity_ratio(&[0.3, 0.7], 300.0);
    close(mixed.value, 1.4, ROUNDING);
}

#[test]
fn impossible_lists_are_refused_with_their_reason() {
    let twice = [perfect("a", 1.4, 0.028), perfect("a", 1.3, 0.044)];
    let error = GasMixture::new(&twice, PropertyMode::Polished).expect_err("refused");
    assert!(error.to_string().contains("listed twice"));
    let heavy =
        GasMixture::new(&[perfect("a", 2.0, 0.028)], PropertyMode::Polished).expect_err("refused");
    assert!(matches!(heavy, FluidError::OutOfRange { .. }));
    assert!(GasMixture::new(&[], PropertyMode::Polished).is_err());
}

#[test]
fn a_volume_that_holds_nothing_or_no_numbers_is_refused() {
    let gas = nitrogen();
    let nothing = gas.state(&[0.0], 1e5);
    assert!(matches!(nothing, Err(FluidError::OutOfRange { .. })));
    let below_absolute_zero = gas.state(&[1.0], -1.0);
    assert!(matches!(below_absolute_zero, Err(FluidError::NoGas { .. })));
    assert!(matches!(
        gas.state(&[1.0], f64::NAN),
        Err(FluidError::NotFinite { .. })
    ));
}
