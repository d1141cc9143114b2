//! Relations that every equation of state obeys, whatever its coefficients.

use std::sync::Arc;

use fluids::{Point, PureFluid, names};

const R_J_MOL_K: f64 = 8.314_462_618;

fn fluids() -> impl Iterator<Item = Arc<PureFluid>> {
    names().map(|name| PureFluid::named(name).expect("listed"))
}

#[track_caller]
fn close(what: &str, fluid: &PureFluid, got: f64, expected: f64, relative: f64) {
    let gap = (got - expected).abs();
    assert!(
        gap <= relative * expected.abs(),
        "{} {what}: {got} {expected}",
        fluid.name()
    );
}

/// Supercritical and liquid states (delta, tau) well inside every range.
const STATES: [(f64, f64); 5] = [(0.01, 0.8), (0.3, 0.7), (1.2, 0.75), (1.8, 0.8), (2.4, 1.3)];

fn state(fluid: &PureFluid, (delta, tau): (f64, f64)) -> (f64, f64) {
    let equation = fluid.equation();
    (
        delta * equation.reducing_density_kg_m3,
        equation.reducing_temperature_k / tau,
    )
}

/// In the limit of no density: p = rho R T, w^2 = (cp/cv) R T, cp - cv = R. The published gas
/// constants differ from today's by 1e-5; what is left of the residual at this density is below.
#[test]
fn a_thin_gas_is_ideal() {
    for fluid in fluids() {
        let (_, t) = state(&fluid, (0.0, 0.9));
        let gas = fluid.equation().state(1e-9, t);
        let rt = R_J_MOL_K / fluid.molar_mass_kg_mol() * t;
        close("p", &fluid, gas.pressure_pa(), 1e-9 * rt, 2e-5);
        close(
            "cp - cv",
            &fluid,
            gas.cp_j_kg_k() - gas.cv_j_kg_k(),
            rt / t,
            2e-5,
        );
        let ratio = gas.cp_j_kg_k() / gas.cv_j_kg_k();
        close("w", &fluid, gas.sound_speed_squared(), ratio * rt, 2e-5);
    }
}

/// First derivatives against central differences of the values they belong to. Steps of 1e-5
/// leave 1e-10 of truncation and, with values good to 1e-15, as much rounding; a stiff liquid
/// loses three digits more to cancellation.
#[test]
fn derivatives_are_those_of_the_values() {
    const H: f64 = 1e-5;
    for fluid in fluids() {
        let equation = fluid.equation();
        for place in STATES {
            let (rho, t) = state(&fluid, place);
            let here = equation.state(rho, t);
            let [dense, thin] = [1.0 + H, 1.0 - H].map(|f| equation.state(f * rho, t));
            let [hot, cold] = [1.0 + H, 1.0 - H].map(|f| equation.state(rho, f * t));
            let by_density = |high: f64, low: f64| (high - low) / (2.0 * H * rho);
            let by_temperature = |high: f64, low: f64| (high - low) / (2.0 * H * t);
            let p_rho = by_density(dense.pressure_pa(), thin.pressure_pa());
            close("p_rho", &fluid, p_rho, here.pressure_by_density(), 1e-6);
            let p_t = by_temperature(hot.pressure_pa(), cold.pressure_pa());
            close("p_T", &fluid, p_t, here.pressure_by_temperature(), 1e-6);
            let cv = by_temperature(hot.internal_energy_j_kg(), cold.internal_energy_j_kg());
            close("cv", &fluid, cv, here.cv_j_kg_k(), 1e-6);
            let u_rho = by_density(dense.internal_energy_j_kg(), thin.internal_energy_j_kg());
            close("u_rho", &fluid, u_rho, here.energy_by_density(), 1e-5);
            let s_t = by_temperature(hot.entropy_j_kg_k(), cold.entropy_j_kg_k());
            close("T s_T = cv", &fluid, t * s_t, here.cv_j_kg_k(), 1e-6);
        }
    }
}

/// Maxwell: rho^2 (ds/d rho)_T = -(dp/dT)_rho, and (du/d rho)_T = (p - T p_T)/rho^2.
#[test]
fn maxwell_relations() {
    const H: f64 = 1e-5;
    for fluid in fluids() {
        for place in STATES {
            let (rho, t) = state(&fluid, place);
            let here = fluid.equation().state(rho, t);
            let entropy = |f: f64| fluid.equation().state(f * rho, t).entropy_j_kg_k();
            let s_rho = (entropy(1.0 + H) - entropy(1.0 - H)) / (2.0 * H * rho);
            // As above: 1e-6 for the differences.
            close(
                "s_rho",
                &fluid,
                -rho * rho * s_rho,
                here.pressure_by_temperature(),
                1e-6,
            );
            let energy = (here.pressure_pa() - t * here.pressure_by_temperature()) / (rho * rho);
            // Algebra: rounding only, of terms that cancel to a hundredth at most.
            close("u_rho", &fluid, energy, here.energy_by_density(), 1e-10);
        }
    }
}

fn pure_fluids() -> impl Iterator<Item = Arc<PureFluid>> {
    fluids().filter(|fluid| fluid.name() != "air")
}

/// Equal pressure, temperature and Gibbs energy on both sides; dp/dT by Clausius and Clapeyron.
#[test]
fn equilibrium_of_liquid_and_vapour() {
    for fluid in pure_fluids() {
        let tc = fluid.critical_temperature_k();
        for share in [0.6, 0.75, 0.9, 0.99] {
            let t = (share * tc).max(1.01 * fluid.limits().t_min_k);
            let pair = fluid.saturation_at_temperature(t).expect("on the line");
            let gibbs = |p: &Point| p.enthalpy_j_kg - t * p.entropy_j_kg_k;
            let gap = gibbs(&pair.vapour) - gibbs(&pair.liquid);
            // Rounding of two energies of the size of h_fg.
            assert!(
                gap.abs() < 1e-11 * pair.vaporisation_enthalpy_j_kg(),
                "{}: {gap}",
                fluid.name()
            );
            let side = |f: f64| {
                fluid
                    .saturation_at_temperature(f * t)
                    .expect("on the line")
                    .pressure_pa
            };
            let slope = (side(1.0 + 1e-5) - side(1.0 - 1e-5)) / (2e-5 * t);
            // Differences with a step of 1e-5 where ln p bends by 1e2/Tc^2 at most.
            close("dp/dT", &fluid, pair.pressure_by_temperature(), slope, 1e-6);
        }
    }
}

/// The lever rule, by any pair of inputs that can find the mixture.
#[test]
fn a_mixture_of_phases_is_found_from_every_pair() {
    for fluid in pure_fluids() {
        let t = (0.8 * fluid.critical_temperature_k()).max(1.05 * fluid.limits().t_min_k);
        let pair = fluid.saturation_at_temperature(t).expect("on the line");
        for quality in [0.02, 0.5, 0.97] {
            let mixed = pair.mixture(quality);
            let found = [
                fluid.by_density_temperature(mixed.density_kg_m3, t),
                fluid.by_density_energy(mixed.density_kg_m3, mixed.internal_energy_j_kg),
                fluid.by_density_entropy(mixed.density_kg_m3, mixed.entropy_j_kg_k),
                fluid.by_pressure_enthalpy(mixed.pressure_pa, mixed.enthalpy_j_kg),
                fluid.by_pressure_entropy(mixed.pressure_pa, mixed.entropy_j_kg_k),
            ];
            for point in found {
                let point = point.expect("a mixture");
                let got = point.quality.expect("two phases");
                // Where p is given, the densities follow with the line's condition number.
                assert!(
                    (got - quality).abs() < 1e-9,
                    "{}: {got} {quality}",
                    fluid.name()
                );
                close("T", &fluid, point.temperature_k, t, 1e-10);
            }
        }
    }
}

/// Water is densest near 4 degC (IAPWS-95: 277.13 K at one atmosphere, from memory, to 0.1 K);
/// a state beside that maximum is liquid, not a mixture.
#[test]
fn water_beside_its_density_maximum() {
    let water = PureFluid::named("water").expect("listed");
    let density = |t: f64| {
        water
            .by_pressure_temperature(101_325.0, t)
            .expect("liquid")
            .density_kg_m3
    };
    assert!(density(277.13) > density(277.03) && density(277.13) > density(277.23));
    let cold = water
        .by_pressure_temperature(101_325.0, 273.7)
        .expect("liquid");
    let found = water.by_density_energy(cold.density_kg_m3, cold.internal_energy_j_kg);
    let found = found.expect("liquid");
    assert_eq!(found.quality, None);
    // du = 1e-16 u moves the pressure of a stiff liquid by some parts in 1e8.
    close("p", &water, found.pressure_pa, 101_325.0, 1e-6);
}
