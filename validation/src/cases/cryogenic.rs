//! Tanks of cryogens: self-pressurisation, boil-off, collapse of the pressurant.

use crate::report::{Case, Figure, Section};
use crate::trial::Trial;
use scenarios::ready_made;
use scenarios::summary::Summary;

/// The section.
pub fn section() -> Section {
    Section {
        title: "Cryogenic tanks",
        method: "Stand files with a tank of liquid hydrogen, nitrogen or oxygen: shut in under a heat \
                 leak, vented, or pushed out by gas.",
        cases: vec![
            homogeneous(),
            stratified(),
            ideal_solution(),
            boil_off(),
            layers(),
            inlet_temperature(),
            correlation(),
            hydrogen_correlation(),
            self_pressurised(),
        ],
    }
}

/// A row of the hydrogen tank: heat flux, filling, pressures, measured rise and that of the
/// homogeneous model.
struct Row {
    flux_w_m2: f64,
    fill_percent: f64,
    from_kpa: f64,
    to_kpa: f64,
    measured_kpa_h: f64,
    homogeneous_kpa_h: f64,
}

const fn row(flux: f64, fill: f64, from: f64, to: f64, measured: f64, homogeneous: f64) -> Row {
    Row {
        flux_w_m2: flux,
        fill_percent: fill,
        from_kpa: from,
        to_kpa: to,
        measured_kpa_h: measured,
        homogeneous_kpa_h: homogeneous,
    }
}

const HYDROGEN_TANK: [Row; 5] = [
    row(0.35, 83.0, 121.0, 128.0, 0.223, 0.198),
    row(2.0, 29.0, 159.0, 172.0, 3.82, 2.73),
    row(2.0, 83.0, 159.0, 172.0, 3.47, 1.46),
    row(3.5, 29.0, 186.0, 200.0, 8.21, 4.83),
    row(3.5, 49.0, 186.0, 200.0, 6.07, 3.71),
];

/// Pressure under which the tank boils before it is shut, kPa, and for how long, h.
const VENTED_KPA: f64 = 103.0;
const VENTED_H: f64 = 20.0;

const HYDROGEN_SOURCE: &str = "Van Dresar, Lin and Hasan, NASA TM-105411, table 1 (as transcribed): a tank of 4.89 m3 and \
     14.0 m2, shut in";

impl Row {
    fn name(&self) -> String {
        let Row {
            flux_w_m2,
            fill_percent,
            from_kpa,
            to_kpa,
            ..
        } = self;
        format!("{flux_w_m2} W/m2, {fill_percent} % full, {from_kpa} to {to_kpa} kPa")
    }

    /// The tank of the row, saturated under a pressure, and how long it runs.
    fn stand(&self, at_kpa: f64, hours: f64, how: &str) -> String {
        format!(
            r#"
            [ambient]
            pressure = "{VENTED_KPA} kPa(a)"
            [tank.tank]
            shape = "sphere"
            volume = "4890 L"
            liquid = "hydrogen"
            ullage = "{} %"
            gas = "helium"
            saturated_at = "{at_kpa} kPa(a)"
            pressure = "{at_kpa} kPa(a)"
            heat_leak = "{} W"
            {how}
            [run]
            until = "{} s"
            output_step = "{} s"
            "#,
            100.0 - self.fill_percent,
            self.flux_w_m2 * 14.0,
            hours * 3600.0,
            hours * 3.6,
        )
    }

    /// Mean rise of the pressure from somewhere in the row's range to its end, kPa/h.
    fn rise_kpa_h(&self, from_kpa: f64, stand: &str) -> Result<f64, String> {
        let trial = Trial::of(stand)?;
        let (time, pressure) = (trial.column("time_s")?, trial.column("tank.pressure_pa")?);
        let when = |kpa: f64| {
            let row = pressure.iter().position(|&p| p >= kpa * 1e3);
            row.map(|r| (time[r], pressure[r]))
        };
        let (Some((from_s, from)), Some((to_s, to))) = (when(from_kpa), when(self.to_kpa)) else {
            return Err(format!("{} is not reached", self.to_kpa));
        };
        Ok((to - from) / (to_s - from_s) * 3.6)
    }
}

/// One temperature: everything mixes.
fn homogeneous() -> Case {
    let how = "layers = 1\nheat_transfer = \"none\"\nullage_temperature = \"23 K\"\n\
               interface_heat_transfer = \"3000 W/K\"\nliquid_mixing = 1e4\nflash_time = \"10 ms\"";
    let figure = |row: &Row| {
        let hours = 3.0 * (row.to_kpa - row.from_kpa) / row.homogeneous_kpa_h;
        let low_kpa = row.from_kpa + 0.05 * (row.to_kpa - row.from_kpa);
        let rise = row.rise_kpa_h(low_kpa, &row.stand(row.from_kpa, hours, how))?;
        let name = row.name();
        Ok(Figure::relative(
            name,
            "kPa/h",
            row.homogeneous_kpa_h,
            rise,
            0.07,
        ))
    };
    Case {
        title: "a shut tank of liquid hydrogen in homogeneous equilibrium".to_owned(),
        source: HYDROGEN_SOURCE,
        reason: "7 %: the table's own rounding, and pressures that are read over a range; the model is \
                 brought to its limit by strong mixing, without a wall's heat capacity",
        figures: HYDROGEN_TANK.iter().map(figure).collect(),
    }
}

/// As the tests went: vented to a steady boil-off, then shut.
fn stratified() -> Case {
    let how = format!(
        r#"
        layers = 24
        surface_layer = "500 mm"
        wall_mass = "149 kg"
        wall_material = "aluminium"
        [valve.vent]
        from = "tank.gas"
        to = "ambient"
        flow_coefficient = "2 Cv"
        stroke_time = "10 s"
        at_start = "open"
        [[sequence]]
        at = "{VENTED_H} h"
        close = "vent"
        "#
    );
    let figures = || {
        let mut figures = Vec::new();
        for row in &HYDROGEN_TANK {
            let hours = VENTED_H + 1.1 * (row.to_kpa - VENTED_KPA) / row.homogeneous_kpa_h;
            let rise = row.rise_kpa_h(row.from_kpa, &row.stand(VENTED_KPA, hours, &how))?;
            let (name, measured) = (row.name(), row.measured_kpa_h);
            let share = row.homogeneous_kpa_h / rise;
            let below = format!("{name}: homogeneous over layered");
            figures.push(Figure::relative(name, "kPa/h", measured, rise, 0.3));
            figures.push(Figure::at_most(below, share, 1.0));
        }
        Ok(figures)
    };
    Case {
        title: "the same tank with layers, against what was measured".to_owned(),
        source: HYDROGEN_SOURCE,
        reason: "30 %, set after some ten variants had been seen, none chosen row by row: 12 to 80 nodes of the \
                 wall, 12 and 24 layers, liquid_mixing 1 and 2 move a row by up to a third, and with 12 nodes the \
                 fourth row lies beyond it. The published homogeneous rise lies below every row. Vented at 103 kPa \
                 for 20 h and then shut, as the tests were begun; wall of 149 kg of aluminium, from memory; \
                 surface layer of 500 mm, deeper than heat goes in the time and not the default; 24 layers. The wall \
                 passes no heat along itself; where little heat comes in the tank is as good as homogeneous",
        figures: figures(),
    }
}

/// Nitrogen over oxygen in equilibrium, by the saturation pressures alone.
fn ideal_solution() -> Case {
    let at = |t: f64| -> Result<(f64, f64), String> {
        let of = |name: &str| {
            let liquid = fluids::CompressedLiquid::new(name).map_err(|e| e.to_string())?;
            let both = liquid.saturation(t).map_err(|e| e.to_string())?;
            Ok::<_, String>(both.pressure_pa.0 * 1e-5)
        };
        Ok((of("nitrogen")?, of("oxygen")?))
    };
    let figures = || {
        let mut figures = Vec::new();
        for (t, nitrogen, oxygen) in [
            (90.188, 3.663, 1.013),
            (95.0, 5.405, 1.631),
            (100.0, 7.783, 2.540),
        ] {
            let (n, o) = at(t)?;
            figures.push(Figure::relative(
                format!("nitrogen at {t} K"),
                "bar",
                nitrogen,
                n,
                1e-3,
            ));
            figures.push(Figure::relative(
                format!("oxygen at {t} K"),
                "bar",
                oxygen,
                o,
                1e-3,
            ));
        }
        let (n, o) = at(90.188)?;
        let x = (3.0 - o) / (n - o);
        figures.push(Figure::absolute(
            "dissolved at 3 bar",
            "mol/mol",
            0.750,
            x,
            1e-3,
        ));
        Ok(figures)
    };
    Case {
        title: "nitrogen over liquid oxygen as an ideal solution".to_owned(),
        source: "CoolProp 8 saturation pressures; Raoult's law",
        reason: "1e-3: the digits of the table. The true mole fraction may differ by 15 %",
        figures: figures(),
    }
}

fn boil_off() -> Case {
    let text = r#"
        [tank.tank]
        volume = "20 L"
        diameter = "230 mm"
        liquid = "oxygen"
        saturated_at = "1.01325 bar(a)"
        fill = "17 L"
        gas = "helium"
        heat_leak = "50 W"
        heat_transfer = "none"
        interface_heat_transfer = "film"
        [orifice.vent]
        from = "tank.gas"
        to = "ambient"
        effective_area = "100 mm2"
        [run]
        until = "3600 s"
        output_step = "10 s"
        "#;
    let figures = Trial::of(text).and_then(|trial| {
        let (from, to) = (
            trial.at("tank.liquid_mass_kg", 1800.0)?,
            trial.last("tank.liquid_mass_kg")?,
        );
        let heat = [1800.0, 3600.0].map(|t| trial.at("tank.heat_leak_j", t));
        let [from_j, to_j] = heat;
        let expected = (to_j? - from_j?) / 213_056.0;
        Ok(vec![Figure::relative(
            "oxygen in the second half hour",
            "kg",
            expected,
            from - to,
            1e-2,
        )])
    });
    Case {
        title: "a vented tank of liquid oxygen under a heat leak of 50 W".to_owned(),
        source: "heat leak over heat of vaporisation, 213.056 kJ/kg (CoolProp 8)",
        reason: "1 %: the surface still warms a little; no wall that would pass heat to the vapour",
        figures,
    }
}

/// The ready-made oxygen stand with other values in place of its own.
fn oxygen(changes: &[(&str, &str)]) -> Result<Summary, String> {
    let stand = ready_made().iter().find(|s| s.name == "lox-helium");
    summary(stand.ok_or("the oxygen stand is missing")?.text, changes)
}

/// The figures of a stand with other values in place of its own.
fn summary(text: &str, changes: &[(&str, &str)]) -> Result<Summary, String> {
    let changes: Vec<_> = changes
        .iter()
        .map(|(key, value)| ((*key).to_owned(), (*value).to_owned()))
        .collect();
    let stand = scenarios::load_with(text, &changes).map_err(|d| format!("{d:?}"))?;
    let network = stand.lower();
    let outcome = sim_core::simulate(&network, &stand.run);
    match outcome.failure {
        Some(failure) => Err(failure.message),
        None => Ok(Summary::of(&network, &outcome)),
    }
}

fn of(summary: &Summary, name: &str) -> Result<f64, String> {
    summary.get(name).ok_or_else(|| format!("no {name}"))
}

fn layers() -> Case {
    let figures = || {
        let used = |n: &str| of(&oxygen(&[("tank.lox.layers", n)])?, "lox.pressurant_kg");
        let finest = used("32")?;
        let rows = [("1", 0.10), ("4", 0.05), ("8", 0.03), ("16", 0.02)];
        let figure = |(n, part): (&str, f64)| {
            let name = format!("helium with {n} layers");
            Ok(Figure::relative(name, "kg", finest, used(n)?, part))
        };
        rows.into_iter().map(figure).collect()
    };
    Case {
        title: "number of layers, ready-made oxygen stand".to_owned(),
        source: "the same stand with 32 layers",
        reason: "10, 5, 3, 2 %: what doubling the number may still change",
        figures: figures(),
    }
}

fn inlet_temperature() -> Case {
    let figures = || {
        let used = |t: &str| {
            let changes = [
                ("bottle.supply.temperature", t),
                ("plenum.press_line.temperature", t),
            ];
            of(&oxygen(&changes)?, "lox.pressurant_kg")
        };
        let fall = (1.0 - used("300 K")? / used("280 K")?) / 2.0;
        Ok(vec![Figure::absolute(
            "fall of the need per 10 K",
            "",
            0.010,
            fall,
            0.01,
        )])
    };
    Case {
        title: "helium need against the temperature of the gas".to_owned(),
        source: "Stochl et al., NASA TN D-7019 (abstract): 1.0 % per 10 K, liquid hydrogen",
        reason: "a trend: between nothing and twice the published fall; tank and liquid differ",
        figures: figures(),
    }
}

/// Ways to push the oxygen out that lie in the correlation's range.
const EXPULSIONS: [(&str, &[(&str, &str)]); 10] = [
    ("as it comes, wall of 16 kg", &[]),
    ("wall of 2 kg", &[("tank.lox.wall_mass", "2 kg")]),
    ("wall of 8 kg", &[("tank.lox.wall_mass", "8 kg")]),
    ("wall of 32 kg", &[("tank.lox.wall_mass", "32 kg")]),
    (
        "wall of 8 kg of aluminium",
        &[
            ("tank.lox.wall_mass", "8 kg"),
            ("tank.lox.wall_material", "aluminium"),
        ],
    ),
    (
        "at 10 bar",
        &[
            ("regulator.press.set_pressure", "10 bar(g)"),
            ("plenum.press_line.pressure", "10 bar(g)"),
            ("run.until", "65 s"),
        ],
    ),
    (
        "at 30 bar",
        &[
            ("regulator.press.set_pressure", "30 bar(g)"),
            ("plenum.press_line.pressure", "30 bar(g)"),
            ("bottle.supply.volume", "20 L"),
        ],
    ),
    (
        "half the flow",
        &[("orifice.tip.diameter", "3.9 mm"), ("run.until", "75 s")],
    ),
    ("twice the flow", &[("orifice.tip.diameter", "7.8 mm")]),
    (
        "twice the tank",
        &[
            ("tank.lox.volume", "40 L"),
            ("tank.lox.fill", "34 L"),
            ("tank.lox.wall_mass", "25 kg"),
            ("tank.lox.diameter", "300 mm"),
            ("bottle.supply.volume", "20 L"),
            ("run.until", "75 s"),
        ],
    ),
];

/// A spherical tank of liquid hydrogen of 2.3 m3, the size of those on which the correlation was tried,
/// pushed out by a large bottle of a gas; its values, as the file names them, in place of others.
fn hydrogen(changes: &[(&str, &str)]) -> Result<Summary, String> {
    let text = r#"
        [bottle.supply]
        gas = "helium"
        volume = "2000 L"
        pressure = "160 bar(a)"
        heat_transfer = "isothermal"
        [regulator.press]
        from = "supply"
        to = "tank"
        set_pressure = "3.4 bar(a)"
        droop = "0.1 bar"
        flow_coefficient = "4 Cv"
        response_time = "20 ms"
        [tank.tank]
        shape = "sphere"
        volume = "2300 L"
        liquid = "hydrogen"
        ullage = "5 %"
        gas = "helium"
        saturated_at = "1.013 bar(a)"
        pressure = "3.3 bar(a)"
        ullage_temperature = "60 K"
        wall_mass = "180 kg"
        wall_material = "aluminium"
        insulation = "vacuum jacket"
        [valve.run]
        from = "tank"
        flow_coefficient = "90 Cv"
        characteristic = "ball"
        stroke_time = "200 ms"
        [orifice.tip]
        from = "run"
        to = "ambient"
        diameter = "22 mm"
        discharge_coefficient = 0.63
        [[sequence]]
        at = "20 s"
        open = "run"
        [[sequence]]
        when = "tank.liquid_mass < 8 kg"
        close = "run"
        [run]
        until = "900 s"
        output_step = "1 s"
        "#;
    summary(text, changes)
}

/// Ways to push the hydrogen out that lie in the correlation's range.
const HYDROGEN_EXPULSIONS: [(&str, &[(&str, &str)]); 6] = [
    ("hydrogen, as it comes", &[]),
    (
        "hydrogen, wall of 90 kg",
        &[("tank.tank.wall_mass", "90 kg")],
    ),
    (
        "hydrogen, wall of 360 kg",
        &[("tank.tank.wall_mass", "360 kg")],
    ),
    (
        "hydrogen, half the flow",
        &[("orifice.tip.diameter", "15.6 mm")],
    ),
    (
        "hydrogen, twice the flow",
        &[("orifice.tip.diameter", "31 mm")],
    ),
    (
        "hydrogen, gas at 240 K",
        &[("bottle.supply.temperature", "240 K")],
    ),
];

/// Scatter of sixty expulsions around the correlation (Van Dresar, NASA TM-106973).
const SCATTER: f64 = 0.14;

/// The model against the published correlation on a tank of hydrogen.
fn hydrogen_correlation() -> Case {
    let figure = |(name, changes): &(&str, &[(&str, &str)])| {
        let summary = hydrogen(changes)?;
        let expected = of(&summary, "tank.collapse_factor_correlation_1")?;
        let got = of(&summary, "tank.collapse_factor_flow_1")?;
        Ok(Figure::relative(*name, "", expected, got, SCATTER))
    };
    Case {
        title: "collapse factor against Epstein and Anderson, a sphere of liquid hydrogen"
            .to_owned(),
        source: "Epstein and Anderson, Adv. Cryog. Eng. 13 (1968) 207, constants from memory",
        reason: "14 %: scatter of 60 hydrogen expulsions around it (Van Dresar, NASA TM-106973); with nothing \
                 fitted the model stays 12 to 19 % below it, most with the thickest wall",
        figures: HYDROGEN_EXPULSIONS.iter().map(figure).collect(),
    }
}

/// The model against the published correlation on tanks of its kind.
fn correlation() -> Case {
    let figure = |(name, changes): &(&str, &[(&str, &str)])| {
        let summary = oxygen(changes)?;
        let expected = of(&summary, "lox.collapse_factor_correlation_1")?;
        let got = of(&summary, "lox.collapse_factor_flow_1")?;
        Ok(Figure::relative(*name, "", expected, got, SCATTER))
    };
    Case {
        title: "collapse factor against Epstein and Anderson, ready-made oxygen stand".to_owned(),
        source: "Epstein and Anderson, Adv. Cryog. Eng. 13 (1968) 207, constants from memory",
        reason: "14 %: scatter of 60 hydrogen expulsions around it (Van Dresar, NASA TM-106973)",
        figures: EXPULSIONS.iter().map(figure).collect(),
    }
}

/// Nitrous oxide that pushes itself out, in equilibrium.
fn self_pressurised() -> Case {
    let text = r#"
        [tank.tank]
        volume = "20 L"
        diameter = "200 mm"
        liquid = "nitrous oxide"
        gas = "helium"
        fill = "12 L"
        temperature = "293.15 K"
        ullage_temperature = "293.2 K"
        pressure = "50.526 bar(a)"
        heat_transfer = "none"
        heat_leak = "0 W"
        layers = 1
        interface_heat_transfer = "3000 W/K"
        liquid_mixing = 1e4
        flash_time = "5 ms"
        [orifice.drain]
        from = "tank"
        to = "ambient"
        diameter = "4 mm"
        discharge_coefficient = 0.7
        [run]
        until = "20 s"
        output_step = "20 ms"
        "#;
    let figures = Trial::of(text).and_then(|trial| {
        let (liquid, gas) = (
            trial.column("tank.liquid_mass_kg")?,
            trial.column("tank.gas_mass_kg")?,
        );
        let (temperature, pressure) = (
            trial.column("tank.liquid_temperature_k")?,
            trial.column("tank.pressure_pa")?,
        );
        let drained = |row: usize| liquid[0] + gas[0] - liquid[row] - gas[row];
        let mut figures = Vec::new();
        for (kg, fall_k, bar) in [
            (2.0, 3.170_555, 46.989_48),
            (4.0, 6.520_076, 43.462_17),
            (6.0, 10.139_642, 39.877_98),
        ] {
            let row = (0..liquid.len()).find(|&row| drained(row) >= kg);
            let row = row.ok_or("it does not drain")?;
            let fall = 293.15 - temperature[row];
            let name = format!("fall of temperature after {kg} kg");
            figures.push(Figure::relative(name, "K", fall_k, fall, 0.05));
            let name = format!("pressure after {kg} kg");
            figures.push(Figure::relative(
                name,
                "bar",
                bar,
                pressure[row] * 1e-5,
                0.01,
            ));
        }
        Ok(figures)
    });
    Case {
        title: "a tank of nitrous oxide that pushes itself out, in equilibrium".to_owned(),
        source: "dU = h_l dm along the saturation line, integrated with CoolProp 8 (Lemmon and Span 2006)",
        reason: "5 % of the fall, 1 % of pressure: the model's liquid keeps the properties of the highest pressure",
        figures,
    }
}
