//! The order of the integrator on a real gas, look-ups included.

use crate::report::{Case, Figure, Section};
use crate::trial::stand;
use sim_core::fault::Fault;
use sim_core::integrate::{DenseStep, Driver, Sink, Tuning};
use sim_core::model::Model;
use sim_core::network::Network;
use sim_core::outcome::{Integrator, Statistics};
use sim_core::run::Run;

/// The section.
pub fn section() -> Section {
    Section {
        title: "Order on a real gas",
        method: "Nitrogen leaves an adiabatic vessel of 50 L, 200 bar(a), 300 K through a hole of \
                 20 mm2 for 8 s, by constant steps; every rate asks the property tables. The \
                 error is that of mass and energy against 512 steps.",
        cases: vec![case(Integrator::Rodas5p), case(Integrator::Dopri5)],
    }
}

const STAND: &str = r#"
    [ambient]
    pressure = "1.01325 bar(a)"
    temperature = "300 K"
    [bottle.supply]
    gas = "nitrogen"
    volume = "50 L"
    pressure = "200 bar(a)"
    heat_transfer = "none"
    [orifice.hole]
    from = "supply"
    to = "ambient"
    effective_area = "20 mm2"
    [run]
    until = "8 s"
"#;
const SPAN_S: f64 = 8.0;
/// Steps of the run that stands for the solution.
const FINE: u32 = 512;

fn case(integrator: Integrator) -> Case {
    Case {
        title: format!("{integrator:?}"),
        source: "order 5 of the published method, order 4 of its dense output",
        reason: "0.3 from 16 to 64 steps: with fewer the next order of the error shows, with more \
                 the last digits of a double; the dense output may do better than its order",
        figures: figures(integrator),
    }
}

fn figures(integrator: Integrator) -> Result<Vec<Figure>, String> {
    let network = stand(STAND)?.lower();
    let fine = states(&network, integrator, FINE)?;
    let errors: Vec<Errors> = [16, 32, 64]
        .into_iter()
        .map(|steps| Ok(errors(&fine, &states(&network, integrator, steps)?)))
        .collect::<Result<_, String>>()?;
    let order = |of: fn(&Errors) -> f64| (of(&errors[0]) / of(&errors[2])).log2() / 2.0;
    let lack = (4.0 - order(|e| e.inside)).max(0.0);
    Ok(vec![
        Figure::absolute("order at the end", "", 5.0, order(|e| e.end), 0.3),
        Figure::at_most("dense output short of order 4 by", lack, 0.3),
    ])
}

/// Largest relative errors of mass and energy.
struct Errors {
    end: f64,
    inside: f64,
}

/// Eight states or more in each step: the fine run stops at all these times.
fn errors(fine: &[[f64; 2]], coarse: &[[f64; 2]]) -> Errors {
    let off = |(a, b): (&[f64; 2], &[f64; 2])| {
        let part = |i: usize| (a[i] / b[i] - 1.0).abs();
        part(0).max(part(1))
    };
    let pairs = || coarse.iter().zip(fine);
    Errors {
        end: pairs().next_back().map_or(f64::NAN, off),
        inside: pairs().map(off).fold(0.0, f64::max),
    }
}

/// Mass and energy of the vessel at the ends of the fine steps, by so many steps.
fn states(network: &Network, integrator: Integrator, steps: u32) -> Result<Vec<[f64; 2]>, String> {
    let model = Model::new(network).map_err(|e| e.to_string())?;
    let mut y = model.start.clone();
    let vessel = model.layout.volumes.iter().flatten().next();
    let vessel = vessel.ok_or("the stand has no vessel")?;
    let places = [vessel.gas_mass.start, vessel.gas_energy];
    let mut run = Run::new(model).map_err(|e| e.to_string())?;
    let mut samples = Samples {
        places,
        next: 1,
        y: y.clone(),
        found: Vec::new(),
    };
    let driver = Driver {
        integrator,
        tuning: Tuning {
            tolerance: 1e30,
            longest_step_s: SPAN_S / f64::from(steps),
            ..Tuning::default()
        },
    };
    let mut work = Statistics::default();
    driver
        .run(&mut run, (0.0, SPAN_S), &mut y, &mut samples, &mut work)
        .map_err(|e| e.to_string())?;
    Ok(samples.found)
}

/// Keeps mass and energy at the ends of the fine steps.
struct Samples {
    places: [usize; 2],
    next: u32,
    y: Vec<f64>,
    found: Vec<[f64; 2]>,
}

impl Sink<Run> for Samples {
    fn step(&mut self, _: &Run, step: &dyn DenseStep) -> Result<(), Fault> {
        let time_s = |k: u32| SPAN_S * f64::from(k) / f64::from(FINE);
        while self.next <= FINE && time_s(self.next) <= step.end_s() {
            step.interpolate(time_s(self.next), &mut self.y);
            self.found.push(self.places.map(|place| self.y[place]));
            self.next += 1;
        }
        Ok(())
    }

    fn before(&mut self, _: &Run, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }

    fn after(&mut self, _: &Run, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }
}
