//! Liquid that starts, drains and stops.

use crate::report::{Case, Figure, Section};
use crate::trial::Trial;
use sim_core::elastic_column::{ElasticColumn, Passage, Pipe, wave_speed_m_s};
use sim_core::network::{Branch, BranchKind, ElementKind};
use sim_core::outcome::EventKind;

/// Gravity of the published cases, m/s2.
const GRAVITY_M_S2: f64 = 9.81;

/// The section.
pub fn section() -> Section {
    Section {
        title: "Liquid columns",
        method: "Stand files; where a case needs a constant level or pressure the tank or its \
                 vent is made very large.",
        cases: vec![
            start_up(),
            open_draining(),
            pressurised(
                "isothermal ullage into vacuum",
                "isothermal",
                1e-6,
                113.655_137,
            ),
            pressurised(
                "adiabatic ullage into vacuum, k 1.4",
                "none",
                1e-6,
                127.284_040,
            ),
            pressurised(
                "isothermal ullage against 1 bar",
                "isothermal",
                1.0,
                136.452_774,
            ),
            deceleration(),
            steel_pipe(),
            square_wave(),
        ],
    }
}

/// Air as a perfect gas around and above the liquid.
const PERFECT_AIR: &str = r#"
    [perfect_gas.ideal]
    heat_capacity_ratio = 1.4
    molar_mass = "28.97 g/mol"
"#;

fn start_up() -> Case {
    Case {
        title: "start-up of a frictionless pipe, head 3 m, length 6 m".to_owned(),
        source: "closed form V = sqrt(2gh) tanh(t sqrt(2gh)/(2L)); inputs of Fox and McDonald, \
                 Introduction to Fluid Mechanics, example 6.9",
        reason: "1e-5: the level falls by 1e-6 of the head; integrator 1e-9",
        figures: start_up_figures(),
    }
}

fn start_up_figures() -> Result<Vec<Figure>, String> {
    let stand = format!(
        r#"
        [ambient]
        pressure = "1 bar(a)"
        temperature = "20 degC"
        {PERFECT_AIR}
        [tank.basin]
        volume = "3e6 m3"
        diameter = "800 m"
        ends = "flat"
        liquid = "water"
        fill = "{} m3"
        gas = "ideal"
        heat_transfer = "none"
        vapour = "none"
        [line.pipe]
        from = "basin"
        to = "ambient"
        length = "6 m"
        bore = "150 mm"
        friction_factor = 0
        minor_loss = 0
        rise = "0 m"
        [run]
        until = "6 s"
        output_step = "0.1 ms"
        tolerance = 1e-9
        "#,
        3.0 * std::f64::consts::PI * 400.0 * 400.0
    );
    let trial = Trial::changed(&stand, |n| n.surroundings.gravity_m_s2 = GRAVITY_M_S2)?;
    let density = trial.first("basin.liquid_mass_kg")? / trial.first("basin.liquid_volume_m3")?;
    let area_m2 = std::f64::consts::PI / 4.0 * 0.15 * 0.15;
    let velocity: Vec<f64> = trial
        .column("pipe.mass_flow_kg_s")?
        .iter()
        .map(|flow| flow / density / area_m2)
        .collect();
    let times = trial.column("time_s")?;
    let second = times
        .iter()
        .position(|&t| (t - 1.0).abs() < 1e-9)
        .unwrap_or(0);
    let t90 = crossing(&times, &velocity, 0.9 * 7.672_027);
    Ok(vec![
        Figure::relative("velocity at 1 s", "m/s", 4.330_453, velocity[second], 1e-5),
        Figure::relative("time to 90 %", "s", 2.302_734, t90, 1e-5),
        Figure::relative(
            "velocity at 6 s",
            "m/s",
            7.672_027 * (0.639_335_6 * 6.0_f64).tanh(),
            *velocity.last().unwrap_or(&f64::NAN),
            1e-5,
        ),
    ])
}

/// When a rising column passes a value, by a straight line between rows.
fn crossing(times: &[f64], values: &[f64], level: f64) -> f64 {
    let after = values.partition_point(|&v| v < level);
    if after == 0 || after == values.len() {
        return f64::NAN;
    }
    let (t, v) = (times[after - 1], values[after - 1]);
    t + (times[after] - t) * (level - v) / (values[after] - v)
}

fn open_draining() -> Case {
    Case {
        title: "open tank of 3 ft through a jet of 0.5 in, from 4 to 2 ft".to_owned(),
        source: "Cengel and Cimbala, Fluid Mechanics, example 5-2: 12.6 min; the same integral to five digits",
        reason: "1e-4: the book leaves out the vent's resistance, the velocity of the surface \
                 and the inertia of the jet, here 1e-5",
        figures: open_draining_figures(),
    }
}

fn open_draining_figures() -> Result<Vec<Figure>, String> {
    let area_m2 = std::f64::consts::PI / 4.0 * 0.9144_f64.powi(2);
    let stand = format!(
        r#"
        [ambient]
        pressure = "1 bar(a)"
        temperature = "20 degC"
        {PERFECT_AIR}
        [tank.open]
        volume = "{} m3"
        diameter = "914.4 mm"
        ends = "flat"
        liquid = "water"
        fill = "{} m3"
        gas = "ideal"
        heat_transfer = "none"
        vapour = "none"
        [orifice.vent]
        from = "open.gas"
        to = "ambient"
        effective_area = "1 m2"
        [valve.jet]
        from = "open"
        to = "ambient"
        diameter = "12.7 mm"
        discharge_coefficient = 1
        at_start = "open"
        delay = "0 s"
        stroke_time = "0 s"
        [[sequence]]
        when = "open.level < 609.6 mm"
        close = "jet"
        [run]
        until = "1000 s"
        output_step = "1000 s"
        tolerance = 1e-9
        "#,
        1.5 * area_m2,
        1.2192 * area_m2
    );
    let trial = Trial::changed(&stand, |n| n.surroundings.gravity_m_s2 = GRAVITY_M_S2)?;
    let got = trial.time_of("jet", EventKind::CommandedShut)?;
    Ok(vec![Figure::relative("time", "s", 756.99, got, 1e-4)])
}

fn pressurised(title: &str, heat: &str, back_bar: f64, expected_s: f64) -> Case {
    Case {
        title: title.to_owned(),
        source: "closed form, and quadrature for the back pressure: ullage 20 to 50 L, 6 bar(a) at \
                 first, CdA 10 mm2, liquid of 1000 kg/m3",
        reason: "1e-5: isothermal contact of 0.1 ms, inertia of the jet, water's density by its root",
        figures: pressurised_figures(heat, back_bar, expected_s),
    }
}

fn pressurised_figures(heat: &str, back_bar: f64, expected_s: f64) -> Result<Vec<Figure>, String> {
    let stand = format!(
        r#"
        [ambient]
        pressure = "{back_bar} bar(a)"
        temperature = "20 degC"
        {PERFECT_AIR}
        [tank.tank]
        volume = "60 L"
        diameter = "300 mm"
        ends = "flat"
        liquid = "water"
        fill = "40 L"
        gas = "ideal"
        pressure = "6 bar(a)"
        heat_transfer = "{heat}"
        vapour = "none"
        [valve.jet]
        from = "tank"
        to = "ambient"
        effective_area = "10 mm2"
        at_start = "open"
        delay = "0 s"
        stroke_time = "0 s"
        [[sequence]]
        when = "tank.ullage_volume > 50 L"
        close = "jet"
        [run]
        until = "200 s"
        output_step = "200 s"
        tolerance = 1e-9
        "#
    );
    let trial = Trial::changed(&stand, |n| {
        n.surroundings.gravity_m_s2 = 0.0;
        n.branches.iter_mut().for_each(never_boils);
    })?;
    let density = trial.first("tank.liquid_mass_kg")? / trial.first("tank.liquid_volume_m3")?;
    let time_s = trial.time_of("jet", EventKind::CommandedShut)?;
    // The time goes with the root of the density.
    let got = time_s * (1000.0 / density).sqrt();
    Ok(vec![Figure::relative("time", "s", expected_s, got, 1e-5)])
}

/// The closed form's liquid has no vapour pressure that would hold up its throat against a
/// vacuum: with an infinite recovery nothing chokes.
fn never_boils(branch: &mut Branch) {
    if let BranchKind::LiquidChain(chain) = &mut branch.kind {
        for element in &mut chain.elements {
            if let ElementKind::Valve { recovery, .. } = &mut element.kind {
                *recovery = f64::INFINITY;
            }
        }
    }
}

fn deceleration() -> Case {
    Case {
        title: "rigid column of 500 m in 150 mm, 40 L/s brought to rest evenly in 0.5 s".to_owned(),
        source: "worked example of a rigid column: rho L V/t",
        reason: "1e-5: the rate of flow is a difference over 0.2 ms of a closing valve",
        figures: deceleration_figures(),
    }
}

/// Any closing valve serves: at each instant the rise of pressure along the pipe over the
/// deceleration is rho L.
fn deceleration_figures() -> Result<Vec<Figure>, String> {
    let stand = format!(
        r#"
        [ambient]
        pressure = "1 bar(a)"
        temperature = "20 degC"
        {PERFECT_AIR}
        [tank.basin]
        volume = "1e4 m3"
        diameter = "30 m"
        ends = "flat"
        liquid = "water"
        fill = "5000 m3"
        gas = "ideal"
        pressure = "3 bar(a)"
        heat_transfer = "none"
        vapour = "none"
        [line.pipe]
        from = "basin"
        length = "500 m"
        bore = "150 mm"
        friction_factor = 0
        minor_loss = 0
        rise = "0 m"
        [valve.stop]
        from = "pipe"
        to = "ambient"
        effective_area = "2000 mm2"
        characteristic = "linear"
        at_start = "open"
        delay = "0 s"
        stroke_time = "20 s"
        [[sequence]]
        at = "300 s"
        close = "stop"
        [run]
        until = "306 s"
        output_step = "0.1 ms"
        tolerance = 1e-10
        "#
    );
    let trial = Trial::of(&stand)?;
    let density = trial.first("basin.liquid_mass_kg")? / trial.first("basin.liquid_volume_m3")?;
    let flow = |t| trial.at("pipe.mass_flow_kg_s", t);
    let area_m2 = std::f64::consts::PI / 4.0 * 0.15 * 0.15;
    let deceleration_m_s2 = (flow(304.9999)? - flow(305.0001)?) / 0.0002 / density / area_m2;
    let rise_pa =
        trial.at("pipe.outlet_pressure_pa", 305.0)? - trial.at("pipe.inlet_pressure_pa", 305.0)?;
    let even_m_s2 = 0.040 / area_m2 / 0.5;
    let got = rise_pa / deceleration_m_s2 * even_m_s2 * (1000.0 / density) / 1e6;
    Ok(vec![Figure::relative(
        "rise of pressure",
        "MPa",
        2.263_54,
        got,
        1e-5,
    )])
}

/// Water of bulk modulus 2.1 GPa at 1.5 m/s in 1200 m of steel pipe, 600 mm by 12 mm; no friction.
fn long_pipe() -> ElasticColumn {
    let (density_kg_m3, bulk_pa): (f64, f64) = (1000.0, 2.1e9);
    let sound_speed_m_s = (bulk_pa / density_kg_m3).sqrt();
    let area_m2 = std::f64::consts::PI / 4.0 * 0.6 * 0.6;
    ElasticColumn {
        pipes: vec![Pipe {
            length_m: 1200.0,
            area_m2,
            wave_speed_m_s: wave_speed_m_s(sound_speed_m_s, density_kg_m3, 0.6 / (0.012 * 200e9)),
            loss: 0.0,
            rise_pa: 0.0,
            inlet_pa: 3e6,
            outlet_pa: 3e6,
            outlet_loss: 0.0,
        }],
        flow_kg_s: density_kg_m3 * area_m2 * 1.5,
        tank_pa: 3e6,
        inlet_loss: 0.0,
        behind_pa: 0.0,
        throat_pa: 0.0,
        vapour_pa: 0.0,
    }
}

/// Pressure before the valve, shut at once, over that in the tank, MPa.
fn wave_mpa(column: &ElasticColumn, echoes: f64) -> Result<Vec<(f64, f64)>, String> {
    let shut = Passage {
        loss: f64::INFINITY,
        throat_loss: f64::INFINITY,
    };
    let stopped = column.stopped(echoes * column.echo_s(), |_| shut);
    let stopped = stopped.ok_or("a pipe of no length")?;
    let over = |(time_s, pa): &(f64, f64)| (*time_s, (pa - column.tank_pa) / 1e6);
    Ok(stopped.at_valve.iter().map(over).collect())
}

fn steel_pipe() -> Case {
    Case {
        title: "water at 1.5 m/s in 1200 m of steel pipe, 600 mm by 12 mm, stopped at once"
            .to_owned(),
        source: "D. J. Korteweg's speed of waves in a thin wall, N. Joukowsky's rho a V, 2L/a: worked \
                 numbers of hydraulics handbooks, bulk modulus 2.1 GPa, steel 200 GPa",
        reason: "1e-6: closed forms to seven digits, which characteristics without friction keep to rounding",
        figures: steel_pipe_figures(),
    }
}

fn steel_pipe_figures() -> Result<Vec<Figure>, String> {
    let column = long_pipe();
    let wave = wave_mpa(&column, 0.9)?;
    let rise_mpa = wave.last().map_or(f64::NAN, |w| w.1);
    Ok(vec![
        Figure::relative(
            "speed of waves",
            "m/s",
            1173.477,
            column.pipes[0].wave_speed_m_s,
            1e-6,
        ),
        Figure::relative("rise of pressure", "MPa", 1.760_216, rise_mpa, 1e-6),
        Figure::relative("there and back", "s", 2.045_203, column.echo_s(), 1e-6),
    ])
}

fn square_wave() -> Case {
    Case {
        title: "the same pipe, frictionless: pressure before the valve against time".to_owned(),
        source: "closed form: a square wave of period 4L/a, rho a V above and below the tank's pressure",
        reason: "1e-6: as above; the period is a whole number of steps",
        figures: square_wave_figures(),
    }
}

fn square_wave_figures() -> Result<Vec<Figure>, String> {
    let column = long_pipe();
    let wave = wave_mpa(&column, 8.0)?;
    let at = |echoes: f64| {
        let time_s = echoes * column.echo_s();
        let nearest = |w: &&(f64, f64)| (w.0 - time_s).abs();
        let row = wave.iter().min_by(|a, b| nearest(a).total_cmp(&nearest(b)));
        row.map_or(f64::NAN, |w| w.1)
    };
    let falls = wave
        .windows(2)
        .filter(|pair| pair[0].1 > 0.0 && pair[1].1 < 0.0);
    let edges_s: Vec<f64> = falls.map(|pair| 0.5 * (pair[0].0 + pair[1].0)).collect();
    let [first_s, .., last_s] = edges_s[..] else {
        return Err("the wave does not turn".to_owned());
    };
    let period_s = (last_s - first_s) / (edges_s.len() - 1) as f64;
    let high = 1.760_216;
    Ok(vec![
        Figure::relative("at 0.5 of 2L/a", "MPa", high, at(0.5), 1e-6),
        Figure::relative("at 1.5 of 2L/a", "MPa", -high, at(1.5), 1e-6),
        Figure::relative("at 6.5 of 2L/a", "MPa", high, at(6.5), 1e-6),
        Figure::relative("at 7.5 of 2L/a", "MPa", -high, at(7.5), 1e-6),
        Figure::relative("period", "s", 4.090_406, period_s, 1e-6),
    ])
}
