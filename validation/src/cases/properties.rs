//! Properties of every fluid over its range, and printed values.

use crate::fluid_states::{FluidStates, PairRow, StateRow, fluid_states};
use crate::report::{Case, Figure, Section};
use fluids::{FluidError, Point, PropertyMode, PureFluid};

/// The section.
pub fn section() -> Section {
    let mut cases = vec![
        saturation(),
        room_temperature(),
        densities(),
        dilute(),
        if97(),
        iapws_95(),
        super::solubility::nitrogen_in_water(),
    ];
    match fluid_states() {
        Ok(all) => cases.extend(all.iter().map(over_range)),
        Err(why) => cases.push(Case::damaged("every fluid over its range", why)),
    }
    cases.extend(super::plain_liquids::cases());
    Section {
        title: "Fluids",
        method: "Every fluid with an equation of state, over the range that its table covers, and printed values.",
        cases,
    }
}

fn said(error: FluidError) -> String {
    error.to_string()
}

const LIBRARY: &str = "CoolProp 8";

/// Fluid, T (K), densities of liquid and vapour (kg/m3), heat of vaporisation (kJ/kg) at 101325 Pa.
const ATMOSPHERIC: [(&str, f64, f64, f64, f64); 6] = [
    ("oxygen", 90.188, 1141.172, 4.4671, 213.056),
    ("nitrogen", 77.355, 806.085, 4.6121, 199.176),
    ("parahydrogen", 20.271, 70.828, 1.3386, 446.066),
    ("methane", 111.667, 422.356, 1.8164, 510.828),
    ("nitrous oxide", 184.684, 1230.447, 2.9820, 374.282),
    ("water", 373.124, 958.367, 0.5977, 2256.472),
];

fn saturation() -> Case {
    let rows = ATMOSPHERIC.iter().map(|&(name, t, liquid, vapour, heat)| {
        let fluid = PureFluid::named(name).map_err(said)?;
        let found = fluid.saturation_at_pressure(101_325.0).map_err(said)?;
        let figure = |what: &str, unit, expected, got, digit| {
            Figure::absolute(format!("{name}, {what}"), unit, expected, got, digit)
        };
        let got = found.vaporisation_enthalpy_j_kg() / 1e3;
        Ok([
            figure("boiling point", "K", t, found.temperature_k, 6e-4),
            figure("liquid", "kg/m3", liquid, found.liquid.density_kg_m3, 6e-4),
            figure("vapour", "kg/m3", vapour, found.vapour.density_kg_m3, 6e-5),
            figure("heat of vaporisation", "kJ/kg", heat, got, 6e-4),
        ])
    });
    let rows: Result<Vec<_>, String> = rows.collect();
    Case {
        title: "Boiling at one atmosphere".to_owned(),
        source: LIBRARY,
        reason: "half a unit of the last digit printed, and a tenth",
        figures: rows.map(|rows| rows.into_iter().flatten().collect()),
    }
}

fn room_temperature() -> Case {
    let figures = PureFluid::named("nitrous oxide").and_then(|fluid| {
        let found = fluid.saturation_at_temperature(293.15)?;
        let (liquid, vapour) = (found.liquid.density_kg_m3, found.vapour.density_kg_m3);
        Ok(vec![
            Figure::absolute(
                "vapour pressure",
                "MPa",
                5.052_509,
                found.pressure_pa / 1e6,
                6e-7,
            ),
            Figure::absolute("liquid", "kg/m3", 785.104, liquid, 6e-4),
            Figure::absolute("vapour", "kg/m3", 157.986, vapour, 6e-4),
        ])
    });
    Case {
        title: "Nitrous oxide at 20 degC".to_owned(),
        source: LIBRARY,
        reason: "half a unit of the last digit printed, and a tenth",
        figures: figures.map_err(said),
    }
}

fn densities() -> Case {
    let rows = [
        ("nitrogen", 200.0, 212.5372),
        ("nitrogen", 300.0, 294.7812),
        ("helium", 200.0, 29.3684),
        ("helium", 300.0, 42.3108),
    ];
    let figure = |(name, bar, expected): (&str, f64, f64)| {
        let point = PureFluid::named(name)?.by_pressure_temperature(bar * 1e5, 300.0)?;
        let quantity = format!("{name} at {bar} bar");
        Ok(Figure::absolute(
            quantity,
            "kg/m3",
            expected,
            point.density_kg_m3,
            6e-5,
        ))
    };
    let figures: Result<Vec<_>, FluidError> = rows.into_iter().map(figure).collect();
    Case {
        title: "Densities at 300 K".to_owned(),
        source: LIBRARY,
        reason: "half a unit of the last digit printed, and a tenth",
        figures: figures.map_err(said),
    }
}

/// At a density whose share in both is below 1e-5.
fn dilute() -> Case {
    let figures = PureFluid::named("nitrogen").and_then(|fluid| {
        let (viscosity, conductivity) = (
            fluid.viscosity_pa_s(1e-3, 300.0)? * 1e6,
            fluid.conductivity_w_m_k(1e-3, 300.0)? * 1e3,
        );
        Ok(vec![
            Figure::relative("viscosity", "uPa s", 17.8771, viscosity, 1e-4),
            Figure::relative("conductivity", "mW/(m K)", 25.9361, conductivity, 1e-4),
        ])
    });
    Case {
        title: "Dilute nitrogen at 300 K".to_owned(),
        source: "E. W. Lemmon and R. T. Jacobsen, Int. J. Thermophys. 25 (2004) 21, verification values",
        reason: "1e-4: a table between points of the correlation",
        figures: figures.map_err(said),
    }
}

fn if97() -> Case {
    let figures = PureFluid::named("water").and_then(|water| {
        let boiling = water.saturation_at_temperature(500.0)?.pressure_pa / 1e6;
        let at_10_mpa = water.saturation_at_pressure(1e7)?.temperature_k;
        let cold = water.by_pressure_temperature(3e6, 300.0)?;
        let (volume, enthalpy) = (1.0 / cold.density_kg_m3, cold.enthalpy_j_kg / 1e3);
        Ok(vec![
            Figure::relative(
                "vapour pressure at 500 K",
                "MPa",
                2.638_897_76,
                boiling,
                2.5e-4,
            ),
            Figure::relative("boiling point at 10 MPa", "K", 584.149_488, at_10_mpa, 1e-4),
            Figure::relative(
                "volume at 300 K and 3 MPa",
                "m3/kg",
                0.001_002_151_68,
                volume,
                2e-5,
            ),
            Figure::relative(
                "enthalpy at 300 K and 3 MPa",
                "kJ/kg",
                115.331_273,
                enthalpy,
                2e-3,
            ),
        ])
    });
    Case {
        title: "Water beside the industrial formulation".to_owned(),
        source: "IAPWS R7-97(2012), IF97, verification tables 5 and 35 (as the tests of PyPI `iapws` quote them)",
        reason: "IF97 is another formulation than the one used (IAPWS-95): its own stated consistency, 0.025 % of vapour \
                 pressure, 0.2 % of a small enthalpy",
        figures: figures.map_err(said),
    }
}

fn iapws_95() -> Case {
    let figures = PureFluid::named("water").map(|water| {
        let state = water.equation().state(838.025, 500.0);
        let sound = state.sound_speed_squared().sqrt();
        vec![
            Figure::relative(
                "pressure",
                "MPa",
                10.000_385_8,
                state.pressure_pa() / 1e6,
                6e-9,
            ),
            Figure::relative(
                "cv",
                "kJ/(kg K)",
                3.221_062_19,
                state.cv_j_kg_k() / 1e3,
                6e-9,
            ),
            Figure::relative("speed of sound", "m/s", 1_271.284_41, sound, 6e-9),
        ]
    });
    Case {
        title: "Water at 500 K and 838.025 kg/m3".to_owned(),
        source: "IAPWS R6-95(2018), table 7",
        reason: "half a unit of the last of nine digits",
        figures: figures.map_err(said),
    }
}

/// Errors that are allowed to be no larger are of rounding, and differ from machine to machine.
const OF_ROUNDING: f64 = 1e-8;

/// The largest error of one property.
pub struct Worst {
    name: &'static str,
    error: f64,
    count: usize,
    limit: f64,
}

impl Worst {
    /// None yet, and the largest that is allowed.
    pub fn new(name: &'static str, limit: f64) -> Self {
        Self {
            name,
            error: 0.0,
            count: 0,
            limit,
        }
    }

    /// A difference that counts against a size; one that is no number counts as endless.
    pub fn add(&mut self, got: f64, expected: f64, size: f64) {
        let error = ((got - expected) / size).abs();
        self.error = self
            .error
            .max(if error.is_nan() { f64::INFINITY } else { error });
        self.count += 1;
    }

    /// The largest as a figure, if there was any state: by its power of ten where it is rounding.
    pub fn figure(self) -> Option<Figure> {
        let quantity = format!("{}, worst of {}", self.name, self.count);
        let make = match self.limit < OF_ROUNDING {
            true => Figure::at_most,
            false => Figure::worst,
        };
        (self.count > 0).then(|| make(quantity, self.error, self.limit))
    }
}

fn over_range(states: &FluidStates) -> Case {
    let [low, high, thin, dense] = states.range;
    Case {
        title: format!(
            "{}, {low} to {high} K, {} to {} bar",
            states.name,
            thin / 1e5,
            dense / 1e5
        ),
        source: "`validation/peers/fluid_states.py`: CoolProp 8 at random states",
        reason: RANGE_REASON,
        figures: errors(states),
    }
}

const RANGE_REASON: &str = "both evaluate the same published equation: rounding, 1e-10 of a value and 1e-9 where terms \
    cancel or a slope nearly vanishes; energies count against cp T, entropy against cp, a looked-up pressure against \
    p + rho R T/1000. Transport stands on tables, 0.5 %; helium's correlation has a step of 1 %, hydrogen's and \
    methane's are bridged between the phases, methane's table leaves the critical enhancement out, and vapours of \
    liquids stand on their dilute limit, up to 1 % of the critical density. A table alone is meant for gases: in a \
    cold liquid its pressure is beyond any table of density and energy";

fn errors(states: &FluidStates) -> Result<Vec<Figure>, String> {
    let fluid = PureFluid::named(&states.name).map_err(said)?;
    let mut figures = single_phase(&fluid, &states.states)?;
    figures.extend(looked_up(&fluid, &states.states)?);
    figures.extend(transport(&fluid, &states.states));
    figures.extend(equilibria(&fluid, &states.saturation)?);
    Ok(figures)
}

fn single_phase(fluid: &PureFluid, rows: &[StateRow]) -> Result<Vec<Figure>, String> {
    let mut worst = [
        Worst::new("density", 1e-10),
        Worst::new("internal energy", 1e-10),
        Worst::new("enthalpy", 1e-10),
        Worst::new("entropy", 1e-10),
        Worst::new("heat capacity cv", 1e-9),
        Worst::new("heat capacity cp", 1e-9),
        Worst::new("speed of sound", 1e-9),
    ];
    for row in rows {
        let found = fluid.by_pressure_temperature(row.pressure_pa, row.temperature_k);
        let Point {
            density_kg_m3,
            internal_energy_j_kg,
            enthalpy_j_kg,
            entropy_j_kg_k,
            cv_j_kg_k,
            cp_j_kg_k,
            sound_speed_m_s,
            ..
        } = found.map_err(said)?;
        let (rho, cp, heat) = (
            row.density_kg_m3,
            row.cp_j_kg_k,
            row.cp_j_kg_k * row.temperature_k,
        );
        let [density, energy, enthalpy, entropy, at_v, at_p, sound] = &mut worst;
        density.add(density_kg_m3, rho, rho);
        energy.add(internal_energy_j_kg, row.energy_j_kg, heat);
        enthalpy.add(enthalpy_j_kg, row.enthalpy_j_kg, heat);
        entropy.add(entropy_j_kg_k, row.entropy_j_kg_k, cp);
        at_v.add(cv_j_kg_k, row.cv_j_kg_k, row.cv_j_kg_k);
        at_p.add(cp_j_kg_k, cp, cp);
        sound.add(sound_speed_m_s, row.sound_speed_m_s, row.sound_speed_m_s);
    }
    Ok(worst.into_iter().filter_map(Worst::figure).collect())
}

fn looked_up(fluid: &PureFluid, rows: &[StateRow]) -> Result<Vec<Figure>, String> {
    let modes = [
        (
            PropertyMode::Exact,
            ["exact: p of (rho, u)", "exact: T of (rho, u)"],
            2e-9,
        ),
        (
            PropertyMode::Polished,
            ["polished: p of (rho, u)", "polished: T of (rho, u)"],
            1e-6,
        ),
        (
            PropertyMode::Table,
            ["table: p of (rho, u)", "table: T of (rho, u)"],
            2e-2,
        ),
    ];
    let r = fluid.equation().gas_constant_j_kg_k;
    let mut figures = Vec::new();
    for (mode, [of_p, of_t], limit) in modes {
        let (mut pressure, mut temperature) = (Worst::new(of_p, limit), Worst::new(of_t, limit));
        for row in rows {
            let found = fluid.lookup(row.density_kg_m3, row.energy_j_kg, mode);
            let found = found.map_err(said)?;
            let size = row.pressure_pa + 1e-3 * row.density_kg_m3 * r * row.temperature_k;
            pressure.add(found.pressure_pa, row.pressure_pa, size);
            temperature.add(found.temperature_k, row.temperature_k, row.temperature_k);
        }
        figures.extend(
            [pressure, temperature]
                .into_iter()
                .filter_map(Worst::figure),
        );
    }
    Ok(figures)
}

/// What the tables hold; a vapour of a liquid that is not dilute is none of them.
fn transport(fluid: &PureFluid, rows: &[StateRow]) -> Vec<Figure> {
    let (of_viscosity, of_conductivity) = match fluid.name() {
        "helium" => (0.012, 0.005),
        "methane" => (0.04, 0.25),
        "parahydrogen" | "hydrogen" => (0.05, 0.005),
        "water" | "ethanol" | "methanol" | "n-dodecane" => (0.03, 0.07),
        _ => (0.005, 0.005),
    };
    let mut viscosity = Worst::new("viscosity", of_viscosity);
    let mut conductivity = Worst::new("thermal conductivity", of_conductivity);
    for row in rows {
        let (rho, t) = (row.density_kg_m3, row.temperature_k);
        if let (Some(expected), Ok(got)) = (row.viscosity_pa_s, fluid.viscosity_pa_s(rho, t)) {
            viscosity.add(got, expected, expected);
        }
        let got = fluid.conductivity_w_m_k(rho, t);
        if let (Some(expected), Ok(got)) = (row.conductivity_w_m_k, got) {
            conductivity.add(got, expected, expected);
        }
    }
    [viscosity, conductivity]
        .into_iter()
        .filter_map(Worst::figure)
        .collect()
}

fn equilibria(fluid: &PureFluid, rows: &[PairRow]) -> Result<Vec<Figure>, String> {
    let mut worst = [
        Worst::new("vapour pressure", 1e-9),
        Worst::new("saturated liquid", 1e-9),
        Worst::new("saturated vapour", 1e-9),
        Worst::new("heat of vaporisation", 1e-9),
        Worst::new("surface tension", 1e-10),
    ];
    for row in rows {
        let found = fluid
            .saturation_at_temperature(row.temperature_k)
            .map_err(said)?;
        let got_tension = fluid.surface_tension_n_m(row.temperature_k).map_err(said)?;
        let [pressure, liquid, vapour, heat, tension] = &mut worst;
        pressure.add(found.pressure_pa, row.pressure_pa, row.pressure_pa);
        liquid.add(
            found.liquid.density_kg_m3,
            row.liquid_kg_m3,
            row.liquid_kg_m3,
        );
        vapour.add(
            found.vapour.density_kg_m3,
            row.vapour_kg_m3,
            row.vapour_kg_m3,
        );
        heat.add(
            found.vaporisation_enthalpy_j_kg(),
            row.heat_j_kg,
            row.heat_j_kg,
        );
        tension.add(got_tension, row.tension_n_m, row.tension_n_m);
    }
    Ok(worst.into_iter().filter_map(Worst::figure).collect())
}
