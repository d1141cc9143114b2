//! What must hold for any state: round trips, modes that agree, partials that are derivatives,
//! the same bytes for the same input, and an error instead of a panic for the rest.

use fluids::{FluidError, Lookup, PropertyMode, PureFluid, names};
use proptest::prelude::*;

const TABLED: [&str; 11] = [
    "nitrogen",
    "helium",
    "argon",
    "oxygen",
    "air",
    "carbon dioxide",
    "methane",
    "nitrous oxide",
    "parahydrogen",
    "hydrogen",
    "propane",
];

/// A gas or a compressed fluid: pressure spread over its decades, temperature over the range of
/// the tables, above the critical one so that no phase boundary interferes. Cold helium freezes
/// below the highest of these pressures: such states are left out.
fn dense_gas() -> impl Strategy<Value = (&'static str, f64, f64)> {
    let draw = (
        prop::sample::select(&TABLED[..]),
        3.0..7.69_f64,
        0.0..1.0_f64,
    );
    draw.prop_map(|(name, log_p, share)| {
        let coldest = 1.05 * fluid(name).critical_temperature_k();
        let hottest = (0.99 * fluid(name).limits().t_max_k).min(690.0);
        (
            name,
            10_f64.powf(log_p),
            coldest * (hottest / coldest).powf(share),
        )
    })
    .prop_filter("frozen", |&(name, p, t)| {
        let state = fluid(name).by_pressure_temperature(p, t);
        !matches!(state, Err(FluidError::Frozen { .. }))
    })
}

fn fluid(name: &str) -> std::sync::Arc<PureFluid> {
    PureFluid::named(name).expect("a known fluid")
}

fn near(got: f64, expected: f64, relative: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        (got - expected).abs() <= relative * expected.abs(),
        "got {got}, expected {expected}"
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Every pair of inputs finds the state again. Newton's method stops at rounding; T from h
    /// or u loses what 1 - 1/k and the reference state cost, two digits at most.
    #[test]
    fn round_trips((name, p, t) in dense_gas()) {
        let fluid = fluid(name);
        let point = fluid.by_pressure_temperature(p, t)?;
        near(point.pressure_pa, p, 1e-12)?;
        let found = [
            fluid.by_density_temperature(point.density_kg_m3, t)?,
            fluid.by_pressure_enthalpy(p, point.enthalpy_j_kg)?,
            fluid.by_pressure_entropy(p, point.entropy_j_kg_k)?,
            fluid.by_density_energy(point.density_kg_m3, point.internal_energy_j_kg)?,
            fluid.by_density_entropy(point.density_kg_m3, point.entropy_j_kg_k)?,
        ];
        for other in found {
            near(other.temperature_k, t, 1e-11)?;
            near(other.density_kg_m3, point.density_kg_m3, 1e-10)?;
        }
    }

    /// Polish within its promise of 1e-8; the table within 2e-6 for most, and for the worst of
    /// 20,000 draws (helium beside its critical point) 5e-5 in T and 1.6e-4 in p.
    #[test]
    fn modes_agree((name, p, t) in dense_gas()) {
        let fluid = fluid(name);
        let point = fluid.by_pressure_temperature(p, t)?;
        for (mode, in_t, in_p) in [
            (PropertyMode::Exact, 1e-12, 2e-12),
            (PropertyMode::Polished, 1e-8, 2e-8),
            (PropertyMode::Table, 1e-4, 3e-4),
        ] {
            let found = fluid.lookup(point.density_kg_m3, point.internal_energy_j_kg, mode)?;
            near(found.temperature_k, t, in_t)?;
            near(found.pressure_pa, p, in_p)?;
        }
    }

    /// Partials against central differences of the same mode. Polished ones are those of the
    /// state before the correction, so they are as good as the table. Differences over 3e-5 of
    /// the state truncate at 1e-9 times the scaled third derivative, some hundred in cold, dense
    /// helium.
    #[test]
    fn partials_are_derivatives((name, p, t) in dense_gas()) {
        let fluid = fluid(name);
        let point = fluid.by_pressure_temperature(p, t)?;
        let (rho, u) = (point.density_kg_m3, point.internal_energy_j_kg);
        let (d_rho, d_u) = (3e-5 * rho, 3e-5 * point.cv_j_kg_k * t);
        for (mode, tolerance) in [
            (PropertyMode::Exact, 1e-6),
            (PropertyMode::Polished, 3e-4),
            (PropertyMode::Table, 1e-6),
        ] {
            let at = |rho: f64, u: f64| fluid.lookup(rho, u, mode);
            let here = at(rho, u)?;
            let (dense, thin) = (at(rho + d_rho, u)?, at(rho - d_rho, u)?);
            let (hot, cold) = (at(rho, u + d_u)?, at(rho, u - d_u)?);
            let slope = |high: f64, low: f64, step: f64| (high - low) / (2.0 * step);
            let p_rho = slope(dense.pressure_pa, thin.pressure_pa, d_rho);
            near(here.pressure_by_density, p_rho, tolerance)?;
            near(here.pressure_by_energy, slope(hot.pressure_pa, cold.pressure_pa, d_u), tolerance)?;
            near(here.temperature_by_energy, slope(hot.temperature_k, cold.temperature_k, d_u), tolerance)?;
            // dT/d rho nearly vanishes in a thin gas: measured against T/rho.
            let t_rho = slope(dense.temperature_k, thin.temperature_k, d_rho);
            let gap = (here.temperature_by_density - t_rho).abs() * rho / t;
            prop_assert!(gap < tolerance, "{gap}");
        }
    }

    /// No memory: other look-ups in between change no byte.
    #[test]
    fn the_same_input_gives_the_same_bytes(
        (name, p, t) in dense_gas(),
        mode in prop::sample::select(&[PropertyMode::Exact, PropertyMode::Polished, PropertyMode::Table][..]),
    ) {
        let fluid = fluid(name);
        let point = fluid.by_pressure_temperature(p, t)?;
        let look = || fluid.lookup(point.density_kg_m3, point.internal_energy_j_kg, mode);
        let first: Lookup = look()?;
        fluid.lookup(0.5 * point.density_kg_m3, 1.01 * point.internal_energy_j_kg.abs(), mode).ok();
        prop_assert_eq!(first, look()?);
    }

    /// Any two numbers give a state with finite properties in range, or an error. Nothing panics
    /// and nothing is clamped.
    #[test]
    fn any_input_gives_a_state_or_an_error(
        name in prop::sample::select(names().collect::<Vec<_>>()),
        (a, b) in (prop::num::f64::ANY, prop::num::f64::ANY),
        (c, d) in (-10.0..10.0_f64, -10.0..10.0_f64),
    ) {
        let fluid = fluid(name);
        for (x, y) in [(a, b), (10_f64.powf(c), d * 1e5), (10_f64.powf(c), 10_f64.powf(d))] {
            let points = [
                fluid.by_density_temperature(x, y),
                fluid.by_pressure_temperature(x, y),
                fluid.by_pressure_enthalpy(x, y),
                fluid.by_pressure_entropy(x, y),
                fluid.by_density_energy(x, y),
                fluid.by_density_entropy(x, y),
                fluid.saturation_at_pressure(x).map(|pair| pair.vapour),
                fluid.saturation_at_temperature(y).map(|pair| pair.liquid),
            ];
            for point in points.into_iter().flatten() {
                let limits = fluid.limits();
                prop_assert!(point.pressure_pa.is_finite() && point.internal_energy_j_kg.is_finite());
                prop_assert!(point.temperature_k >= limits.t_min_k * (1.0 - 1e-8));
                prop_assert!(point.temperature_k <= limits.t_max_k * (1.0 + 1e-8));
            }
            for mode in [PropertyMode::Exact, PropertyMode::Polished, PropertyMode::Table] {
                if let Ok(found) = fluid.lookup(x, y, mode) {
                    prop_assert!(found.pressure_pa.is_finite() && found.temperature_k > 0.0);
                }
            }
        }
    }
}

/// Pressure and temperature go on across the phase boundary without a jump, in every mode: the
/// step between two states 2e-9 of h_fg apart is no larger than the slopes make it.
#[test]
fn continuous_through_the_phase_boundary() {
    for name in ["nitrogen", "oxygen", "argon", "helium"] {
        let fluid = fluid(name);
        for share in [0.75, 0.9, 0.97] {
            let t = (share * fluid.critical_temperature_k()).max(1.02 * fluid.limits().t_min_k);
            let pair = fluid.saturation_at_temperature(t).expect("on the line");
            let vapour = pair.vapour;
            let step = 1e-9 * pair.vaporisation_enthalpy_j_kg();
            for (mode, tolerance) in [
                (PropertyMode::Exact, 1e-8),
                (PropertyMode::Polished, 1e-8),
                (PropertyMode::Table, 1e-4),
            ] {
                let at = |change: f64| {
                    let energy = vapour.internal_energy_j_kg + change;
                    fluid
                        .lookup(vapour.density_kg_m3, energy, mode)
                        .expect("in range")
                };
                let (wet, dry) = (at(-step), at(step));
                let gap = (wet.pressure_pa / dry.pressure_pa - 1.0).abs();
                assert!(gap < tolerance, "{name} {t} K {mode:?}: {gap:e}");
                let gap = (wet.temperature_k / dry.temperature_k - 1.0).abs();
                assert!(gap < tolerance, "{name} {t} K {mode:?}: {gap:e}");
            }
        }
    }
}

/// Inside the dome the partials are those of the equilibrium mixture, by differences of the
/// exact solution over 1e-4.
#[test]
fn partials_of_a_two_phase_state() {
    let fluid = fluid("nitrogen");
    let pair = fluid.saturation_at_temperature(100.0).expect("on the line");
    let mixed = pair.mixture(0.4);
    let (rho, u) = (mixed.density_kg_m3, mixed.internal_energy_j_kg);
    let at = |rho: f64, u: f64| {
        fluid
            .lookup(rho, u, PropertyMode::Polished)
            .expect("two phases")
    };
    let here = at(rho, u);
    let slope = |f: fn(&Lookup) -> f64| {
        let (d_rho, d_u) = (1e-4 * rho, 20.0);
        let by_density = (f(&at(rho + d_rho, u)) - f(&at(rho - d_rho, u))) / (2.0 * d_rho);
        (
            by_density,
            (f(&at(rho, u + d_u)) - f(&at(rho, u - d_u))) / (2.0 * d_u),
        )
    };
    let close =
        |got: f64, expected: f64| assert!((got / expected - 1.0).abs() < 1e-6, "{got} {expected}");
    let (p_rho, p_u) = slope(|found| found.pressure_pa);
    let (t_rho, t_u) = slope(|found| found.temperature_k);
    close(here.pressure_by_density, p_rho);
    close(here.pressure_by_energy, p_u);
    close(here.temperature_by_density, t_rho);
    close(here.temperature_by_energy, t_u);
}

/// Each refusal is of its kind and names fluid, value, unit and range.
#[test]
fn refusals_say_what_and_why() {
    let nitrogen = fluid("nitrogen");
    let hot = nitrogen
        .by_pressure_temperature(1e5, 3000.0)
        .expect_err("too hot")
        .to_string();
    assert!(
        hot.contains("nitrogen: temperature 3000 K is outside"),
        "{hot}"
    );
    let frozen = nitrogen
        .by_pressure_temperature(100e6, 70.0)
        .expect_err("solid");
    assert!(matches!(frozen, FluidError::Frozen { .. }), "{frozen}");
    let nan = nitrogen
        .lookup(f64::NAN, 1e5, PropertyMode::Table)
        .expect_err("no number");
    assert!(matches!(nan, FluidError::NotFinite { .. }), "{nan}");
    let wet = fluid("air")
        .by_pressure_temperature(1e5, 80.0)
        .expect_err("between the curves");
    assert!(matches!(wet, FluidError::Condenses { .. }), "{wet}");
    let line = fluid("air")
        .saturation_at_temperature(100.0)
        .expect_err("no line");
    assert!(matches!(line, FluidError::NotAvailable { .. }), "{line}");
    let unknown = PureFluid::named("nitrogin")
        .expect_err("unknown")
        .to_string();
    assert!(unknown.contains("nitrogen, helium"), "{unknown}");
}
