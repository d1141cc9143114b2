//! Observed orders of step, error estimate and dense output. They prove the published
//! coefficients: a wrong digit in any of them costs at least one order.

mod zoo;

use sim_core::integrate::dopri5::Dopri5;
use sim_core::integrate::rodas5p::Rodas5p;
use sim_core::integrate::stepper::Stepper;
use sim_core::outcome::{Integrator, Statistics};
use zoo::closed_form::{Braid, Chain, Follower, Kaps, Orbit, Swing};
use zoo::peer::run_peer;
use zoo::{ClosedForm, DenseError, Equations, INTEGRATORS, Lifted, fixed_steps, run, worst};

/// Errors at the end and inside the steps, of a run with `2^power` equal steps.
fn errors<C: ClosedForm + Copy>(problem: C, integrator: Integrator, power: i32) -> (f64, f64) {
    let (start_s, end_s) = problem.span_s();
    // Lengths with few binary digits, so that the steps fill the span exactly.
    let tuning = fixed_steps((end_s - start_s) * 0.5_f64.powi(power));
    let mut sink = DenseError {
        solution: problem,
        worst: 0.0,
    };
    let (y, work) = run(problem, integrator, tuning, &mut sink).expect("the zoo has no faults");
    assert_eq!(work.steps, 1 << power);
    (worst(&problem, &y, &problem.end()), sink.worst)
}

/// Orders observed when the steps are halved from `2^power` three times.
fn orders<C: ClosedForm + Copy>(problem: C, integrator: Integrator, power: i32) -> (f64, f64) {
    let (coarse, fine) = (
        errors(problem, integrator, power),
        errors(problem, integrator, power + 3),
    );
    let order = |coarse: f64, fine: f64| (coarse / fine).log2() / 3.0;
    (order(coarse.0, fine.0), order(coarse.1, fine.1))
}

/// The order of the method is 5; over three halvings the next order of the error still
/// shows in the second digit.
fn assert_order_5<C: ClosedForm + Copy>(problem: C, power: i32) {
    for integrator in INTEGRATORS {
        let (end, dense) = orders(problem, integrator, power);
        let name = problem.name();
        assert!(
            (end - 5.0).abs() < 0.3,
            "{name}, {integrator:?}: order {end}"
        );
        assert!(dense > 4.0, "{name}, {integrator:?}: dense order {dense}");
    }
}

#[test]
fn order_5_on_a_linear_problem_driven_by_time() {
    assert_order_5(Swing, 6);
}

#[test]
fn order_5_on_a_nonlinear_problem_driven_by_time() {
    assert_order_5(Braid, 7);
}

#[test]
fn order_5_on_an_orbit() {
    assert_order_5(Orbit { eccentricity: 0.3 }, 8);
}

#[test]
fn order_5_where_the_step_resolves_a_moderate_stiffness() {
    // Steps from half the fast time constant down.
    assert_order_5(Follower { stiffness: 5.0 }, 5);
    assert_order_5(Kaps { stiffness: 10.0 }, 5);
}

/// Steps far longer than the fast time constant: no method keeps its full order, but the
/// linearly implicit one keeps that of its dense output whatever the stiffness, and damps
/// the error at the end of each step by it.
#[test]
fn order_4_inside_the_steps_whatever_the_stiffness() {
    fn assert_robust<C: ClosedForm + Copy>(make: impl Fn(f64) -> C) {
        let (_, mild) = errors(make(1e6), Integrator::Rodas5p, 5);
        for stiffness in [1e6, 1e9] {
            let problem = make(stiffness);
            let name = problem.name();
            // The asymptotic value is 4; two tenths are left for the neighbouring orders.
            let (_, dense) = orders(problem, Integrator::Rodas5p, 3);
            assert!(dense > 3.8, "{name} {stiffness:e}: order {dense}");
            let (end, inside) = errors(problem, Integrator::Rodas5p, 5);
            assert!(inside < 1.1 * mild, "{name} {stiffness:e}: {inside:e}");
            assert!(end < 0.1 * inside, "{name} {stiffness:e}: {end:e}");
        }
    }
    assert_robust(|stiffness| Follower { stiffness });
    assert_robust(|stiffness| Kaps { stiffness });
}

/// Error estimate of one step from the start of the braid, at a time when all is in motion.
fn estimate(stepper: &mut impl Stepper<Lifted<Braid>>, step_s: f64) -> f64 {
    let (system, t_s) = (Lifted(Braid), 0.75);
    let mut work = Statistics::default();
    stepper
        .begin(&system, t_s, &Braid.at(t_s), false, &mut work)
        .expect("the zoo has no faults");
    stepper
        .attempt(&system, step_s, 1.0, &mut work)
        .expect("the zoo has no faults")
}

#[test]
fn the_error_estimate_shrinks_as_the_fifth_power() {
    let n = Braid.start().len();
    let order = |coarse: f64, fine: f64| (coarse / fine).log2();
    let (h, mut rodas, mut dopri) = (0.01, Rodas5p::new(n, n), Dopri5::new(n));
    let rodas = order(estimate(&mut rodas, h), estimate(&mut rodas, 0.5 * h));
    let dopri = order(estimate(&mut dopri, h), estimate(&mut dopri, 0.5 * h));
    // One halving at a step where the next order is a few per cent of the first.
    assert!((rodas - 5.0).abs() < 0.3, "{rodas}");
    assert!((dopri - 5.0).abs() < 0.3, "{dopri}");
}

/// The same steps by another implementation of the same method differ by roundings only.
/// Those of the braid grow most, by 1e4 or so: its second state runs from e^5 to e^-5.
#[test]
fn dormand_prince_agrees_with_an_independent_implementation() {
    fn assert_same<C: ClosedForm + Copy>(problem: C) {
        let (start_s, end_s) = problem.span_s();
        let step_s = (end_s - start_s) / 128.0;
        let (y, _) = run(problem, Integrator::Dopri5, fixed_steps(step_s), &mut ())
            .expect("the zoo has no faults");
        let peer = run_peer(problem, 1e30, step_s).expect("the peer has no faults");
        let error = worst(&problem, &y, &peer);
        assert!(error < 1e-10, "{}: {error:e}", problem.name());
    }
    assert_same(Swing);
    assert_same(Braid);
    assert_same(Orbit { eccentricity: 0.3 });
    assert_same(Chain { exchange: 1.0 });
}

/// The closed forms solve their rates: central differences of the solution agree to the
/// error of the difference, `h^2 y'''/6` with `h = 1e-4`, relative to rates up to 1e3.
#[test]
fn closed_forms_solve_their_rates() {
    fn assert_solves<C: ClosedForm>(problem: C) {
        let (start_s, end_s) = problem.span_s();
        for k in 1..20 {
            let t_s = start_s + (end_s - start_s) * f64::from(k) / 20.0;
            let h = 1e-4;
            let (back, ahead) = (problem.at(t_s - h), problem.at(t_s + h));
            let mut rates = problem.at(t_s);
            problem.rates(t_s, &problem.at(t_s), &mut rates);
            for ((back, ahead), rate) in back.iter().zip(&ahead).zip(&rates) {
                let slope = (ahead - back) / (2.0 * h);
                let error = (slope - rate).abs() / (1.0 + rate.abs());
                assert!(error < 1e-4, "{} at {t_s}: {error:e}", problem.name());
            }
        }
    }
    assert_solves(Swing);
    assert_solves(Braid);
    assert_solves(Orbit { eccentricity: 0.3 });
    assert_solves(Chain { exchange: 1.0 });
    assert_solves(Kaps { stiffness: 1e3 });
    assert_solves(Follower { stiffness: 1e3 });
}
