//! The integrators on problems that have nothing to do with a stand.

use crate::report::{Case, Figure, Section};
use crate::zoo::closed_form::{Braid, Orbit};
use crate::zoo::ivp_set::{Hires, Orego, Rober, Vdpol};
use crate::zoo::{ClosedForm, DenseError, INTEGRATORS, Problem, Tuning, fixed_steps, run, worst};
use sim_core::outcome::Integrator;

/// The section.
pub fn section() -> Section {
    Section {
        title: "Integrators",
        method: "The integrators of a run on stiff problems of a public test set and on problems \
                 with a closed form.",
        cases: vec![
            published(Hires, "HIRES at t = 321.8122"),
            published(Rober, "ROBER at t = 1e11"),
            published(
                Vdpol,
                "VDPOL, mu = 1000, at t = 2000 (2 in the set's scaled time)",
            ),
            published(Orego, "OREGO at t = 360"),
            order(Braid, "Four coupled rates driven by time", 7),
            order(
                Orbit { eccentricity: 0.3 },
                "An orbit of eccentricity 0.3",
                8,
            ),
        ],
    }
}

fn published<P: Problem + Copy>(problem: P, title: &str) -> Case {
    let figures = run(problem, Integrator::Rodas5p, Tuning::at(1e-10), &mut ())
        .map_err(|e| e.to_string())
        .map(|(end, _)| {
            let pairs = end.iter().zip(problem.end());
            let of = |(i, (got, expected)): (usize, (&f64, f64))| {
                Figure::relative(format!("y{}", i + 1), "", expected, *got, 1e-7)
            };
            pairs.enumerate().map(of).collect()
        });
    Case {
        title: title.to_owned(),
        source: "Test Set for IVP Solvers (F. Mazzia and C. Magherini, University of Bari, release \
                 2.4, 2008), reference solution",
        reason: "1e-7 at a step tolerance of 1e-10: errors of steps add up before they die out",
        figures,
    }
}

fn order<C: ClosedForm + Copy>(problem: C, title: &str, power: i32) -> Case {
    let figures = INTEGRATORS
        .into_iter()
        .map(|integrator| orders(problem, integrator, power))
        .collect::<Result<Vec<_>, _>>()
        .map(|pairs| pairs.concat());
    Case {
        title: title.to_owned(),
        source: "order of the published method and of its dense output; solution in closed form",
        reason: "0.3 over three halvings of a constant step: the next order of the error still \
                 shows. Dense output may do better than its order, not worse",
        figures,
    }
}

/// Observed order at the end and, as what is lacking of four, inside the steps.
fn orders<C: ClosedForm + Copy>(
    problem: C,
    integrator: Integrator,
    power: i32,
) -> Result<Vec<Figure>, String> {
    let (coarse, fine) = (
        errors(problem, integrator, power)?,
        errors(problem, integrator, power + 3)?,
    );
    let order = |coarse: f64, fine: f64| (coarse / fine).log2() / 3.0;
    let name = format!("{integrator:?}");
    let lack = (4.0 - order(coarse.1, fine.1)).max(0.0);
    Ok(vec![
        Figure::absolute(
            format!("{name}, order"),
            "",
            5.0,
            order(coarse.0, fine.0),
            0.3,
        ),
        Figure::at_most(
            format!("{name}, dense output short of order 4 by"),
            lack,
            0.3,
        ),
    ])
}

/// Errors at the end and inside the steps of a run with `2^power` equal steps.
fn errors<C: ClosedForm + Copy>(
    problem: C,
    integrator: Integrator,
    power: i32,
) -> Result<(f64, f64), String> {
    let (start_s, end_s) = problem.span_s();
    let tuning = fixed_steps((end_s - start_s) * 0.5_f64.powi(power));
    let mut sink = DenseError {
        solution: problem,
        worst: 0.0,
    };
    let (end, _) = run(problem, integrator, tuning, &mut sink).map_err(|e| e.to_string())?;
    Ok((worst(&problem, &end, &problem.end()), sink.worst))
}
