//! A vessel that empties through a hole.

use crate::computed::{Discharge, gas_states};
use crate::report::{Case, Figure, Section};
use crate::trial::Trial;
use sim_core::outcome::EventKind;

/// The section.
pub fn section() -> Section {
    let mut cases = vec![perfect("nitrogen", &NITROGEN), perfect("helium", &HELIUM)];
    match gas_states() {
        Ok(states) => cases.extend(states.discharge.iter().map(real)),
        Err(why) => cases.push(Case::damaged("real gases", why)),
    }
    Section {
        title: "Vessel discharge",
        method: "A stand file: a bottle of 50 L at 200 bar(a) and 300 K empties through a hole \
                 of 2 mm (discharge coefficient 1) until it is at 20 bar(a); run at a tolerance \
                 of 1e-9.",
        cases,
    }
}

/// A perfect gas, with the figures that its closed forms give.
struct Perfect {
    ratio: &'static str,
    molar_mass: &'static str,
    time_constant_s: f64,
    isothermal_s: f64,
    isentropic_s: f64,
    end_k: f64,
    end_kg: f64,
}

const NITROGEN: Perfect = Perfect {
    ratio: "1.4",
    molar_mass: "28.0134 g/mol",
    time_constant_s: 77.894_186,
    isothermal_s: 179.357_99,
    isentropic_s: 151.697_17,
    end_k: 155.384_24,
    end_kg: 2.168_326_5,
};

const HELIUM: Perfect = Perfect {
    ratio: "1.6666666666666667",
    molar_mass: "4.002602 g/mol",
    time_constant_s: 27.763_021,
    isothermal_s: 63.926_717,
    isentropic_s: 48.715_205,
    end_k: 119.432_15,
    end_kg: 0.403_076_03,
};

fn stand(gas: &str, definition: &str, heat: &str) -> String {
    format!(
        r#"
        [ambient]
        pressure = "1.01325 bar(a)"
        temperature = "300 K"
        {definition}
        [bottle.supply]
        gas = "{gas}"
        volume = "50 L"
        pressure = "200 bar(a)"
        heat_transfer = "{heat}"
        [valve.hole]
        from = "supply"
        to = "ambient"
        diameter = "2 mm"
        discharge_coefficient = 1
        at_start = "open"
        delay = "0 s"
        stroke_time = "0 s"
        [[sequence]]
        when = "supply.pressure < 20 bar(a)"
        close = "hole"
        [run]
        until = "200 s"
        output_step = "1 s"
        tolerance = 1e-9
        "#
    )
}

fn perfect(name: &str, gas: &Perfect) -> Case {
    Case {
        title: format!("{name} as a perfect gas"),
        source: "closed form: p/p0 = [1 + (k-1)/2 t/tau]^(-2k/(k-1)) isentropic, exp(-t/tau) \
                 isothermal, tau = m0 over the first flow (Lees, Loss Prevention in the Process \
                 Industries)",
        reason: "1e-5, the accuracy of the closed form's eight digits left aside: the integrator's \
                 tolerance, and for the isothermal run the contact of 0.1 ms in place of a perfect one",
        figures: perfect_figures(gas),
    }
}

fn perfect_figures(gas: &Perfect) -> Result<Vec<Figure>, String> {
    let definition = format!(
        "[perfect_gas.ideal]\nheat_capacity_ratio = {}\nmolar_mass = \"{}\"",
        gas.ratio, gas.molar_mass
    );
    let isentropic = Trial::of(&stand("ideal", &definition, "none"))?;
    let isothermal = Trial::of(&stand("ideal", &definition, "isothermal"))?;
    let first_kg = isentropic.first("supply.gas_mass_kg")?;
    let time_constant_s = first_kg / isentropic.first("hole.mass_flow_kg_s")?;
    let shut = |trial: &Trial| trial.time_of("hole", EventKind::CommandedShut);
    let figure =
        |quantity, unit, expected, got| Figure::relative(quantity, unit, expected, got, 1e-5);
    Ok(vec![
        figure(
            "time constant tau",
            "s",
            gas.time_constant_s,
            time_constant_s,
        ),
        figure("isothermal time", "s", gas.isothermal_s, shut(&isothermal)?),
        figure("isentropic time", "s", gas.isentropic_s, shut(&isentropic)?),
        figure(
            "isentropic end temperature",
            "K",
            gas.end_k,
            isentropic.last("supply.temperature_k")?,
        ),
        figure(
            "isentropic end mass",
            "kg",
            gas.end_kg,
            isentropic.last("supply.gas_mass_kg")?,
        ),
    ])
}

fn real(expected: &Discharge) -> Case {
    let figures = Trial::of(&stand(&expected.gas, "", "none")).and_then(|trial| {
        let mass = trial.first("supply.gas_mass_kg")?;
        let left = trial.last("supply.gas_mass_kg")? / mass;
        let end_k = trial.last("supply.temperature_k")?;
        Ok(vec![
            Figure::relative("end temperature", "K", expected.temperature_k, end_k, 1e-6),
            Figure::relative(
                "part of the mass left",
                "",
                expected.mass_fraction_left,
                left,
                1e-6,
            ),
        ])
    });
    Case {
        title: format!("{} as a real gas, adiabatic vessel", expected.gas),
        source: "isentrope of the reference equation of state, computed with CoolProp 8 \
                 (`validation/peers/gas_states.py`)",
        reason: "1e-6: property look-up 1e-8, integrator 1e-9 in each step",
        figures,
    }
}
