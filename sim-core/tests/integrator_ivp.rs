//! End values of the Test Set for IVP Solvers (F. Mazzia and C. Magherini, University of
//! Bari, release 2.4, 2008).

mod zoo;

use sim_core::outcome::Integrator;
use zoo::ivp_set::{Hires, Orego, Rober, Vdpol};
use zoo::{Problem, Tuning, run, worst};

/// Error at the end relative to the tolerance asked.
fn error<P: Problem + Copy>(problem: P, integrator: Integrator, tolerance: f64) -> f64 {
    let (y, _) =
        run(problem, integrator, Tuning::at(tolerance), &mut ()).expect("the set has no faults");
    worst(&problem, &y, &problem.end()) / tolerance
}

/// The tolerance binds the error of one step. All problems of the set contract, so that
/// the errors of earlier steps die out; ten times the tolerance is left for those of the
/// last few and for a shift of the phase.
fn assert_met<P: Problem + Copy>(problem: P) {
    for tolerance in [1e-5, 1e-7, 1e-9] {
        let error = error(problem, Integrator::Rodas5p, tolerance);
        let name = problem.name();
        assert!(
            error < 10.0,
            "{name} at {tolerance:e}: {error} times the tolerance"
        );
    }
}

#[test]
fn hires() {
    assert_met(Hires);
}

#[test]
fn rober() {
    assert_met(Rober);
}

#[test]
fn vdpol() {
    assert_met(Vdpol);
}

#[test]
fn orego() {
    assert_met(Orego);
}

/// The explicit method gets there too where stiffness is moderate; at its stability bound
/// the error is of the size of the tolerance all the way.
#[test]
fn hires_by_the_explicit_method() {
    assert!(error(Hires, Integrator::Dopri5, 1e-7) < 10.0);
}
