//! The closed forms of the zoo over both integrators: what is asked is got, and asking more
//! gives more.

mod zoo;

use sim_core::outcome::Integrator;
use zoo::closed_form::{Braid, Chain, Follower, Kaps, Orbit, Swing};
use zoo::{ClosedForm, DenseError, Tuning, run};

/// Largest error anywhere in the run.
fn error<C: ClosedForm + Copy>(problem: C, integrator: Integrator, tolerance: f64) -> f64 {
    let mut sink = DenseError {
        solution: problem,
        worst: 0.0,
    };
    run(problem, integrator, Tuning::at(tolerance), &mut sink).expect("the zoo has no faults");
    sink.worst
}

/// The tolerance binds the error of a step; over a run the errors of some 1e2 steps add
/// up and a problem that spreads magnifies them: a thousand times is left for both. As
/// far as the tolerance is lowered the error follows, in proportion but for a factor of 30:
/// the state inside a step is known to one order less than its end.
fn assert_follows<C: ClosedForm + Copy>(problem: C, integrator: Integrator) {
    let (coarse, fine) = (
        error(problem, integrator, 1e-5),
        error(problem, integrator, 1e-8),
    );
    let name = problem.name();
    assert!(coarse < 1e-2, "{name}, {integrator:?}: {coarse:e}");
    assert!(fine < 1e-5, "{name}, {integrator:?}: {fine:e}");
    assert!(
        fine < coarse / 30.0,
        "{name}, {integrator:?}: {coarse:e} to {fine:e}"
    );
}

#[test]
fn both_integrators_on_what_is_not_stiff() {
    for integrator in zoo::INTEGRATORS {
        assert_follows(Swing, integrator);
        assert_follows(Braid, integrator);
        assert_follows(Orbit { eccentricity: 0.3 }, integrator);
        assert_follows(Chain { exchange: 1.0 }, integrator);
        assert_follows(Kaps { stiffness: 100.0 }, integrator);
        assert_follows(Follower { stiffness: 100.0 }, integrator);
    }
}

#[test]
fn the_implicit_one_on_what_is_stiff() {
    assert_follows(Follower { stiffness: 1e4 }, Integrator::Rodas5p);
    for k in [1e4, 1e6, 1e8] {
        assert_follows(Kaps { stiffness: k }, Integrator::Rodas5p);
        assert_follows(Chain { exchange: k }, Integrator::Rodas5p);
    }
}
