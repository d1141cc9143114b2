//! Gas through nozzles and other restrictions.

use crate::computed::{Nozzle, gas_states};
use crate::report::{Case, Figure, Section};
use fluids::{GasMixture, NozzleFlux, PropertyMode, SpeciesSpec};
use sim_core::components::gas::{GasSide, viscosity};
use sim_core::components::restriction::gas_flow;
use sim_core::components::toroidal_nozzle::discharge_coefficient;
use sim_core::network::{Capacity, Friction, Line, Pipes, Style, ToroidalNozzle};
use std::f64::consts::PI;

const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618;

/// The section.
pub fn section() -> Section {
    let mut cases = vec![glen()];
    match gas_states() {
        Ok(states) => cases.extend(states.nozzle.iter().map(computed)),
        Err(why) => cases.push(Case::damaged("isentropic nozzles", why)),
    }
    cases.extend([
        relief(),
        sonic_conductance(),
        reducers(),
        needle(),
        long_line(),
        toroidal_nozzle(),
    ]);
    Section {
        title: "Gas through restrictions",
        method: "The flux functions that every gas branch uses, called directly.",
        cases,
    }
}

fn pure(name: &str) -> Result<GasMixture, String> {
    let spec = SpeciesSpec::Named(name.to_owned());
    GasMixture::new(&[spec], PropertyMode::Polished).map_err(|e| e.to_string())
}

fn perfect(ratio: f64, molar_mass_kg_mol: f64) -> Result<GasMixture, String> {
    let spec = SpeciesSpec::Perfect {
        name: "perfect".to_owned(),
        heat_capacity_ratio: ratio,
        molar_mass_kg_mol,
    };
    GasMixture::new(&[spec], PropertyMode::Polished).map_err(|e| e.to_string())
}

/// Flux of one gas.
fn flux(gas: &GasMixture, p0_pa: f64, t0_k: f64, back_pa: f64) -> Result<NozzleFlux, String> {
    gas.nozzle_flux(&[1.0], p0_pa, t0_k, back_pa)
        .map_err(|e| e.to_string())
}

/// C* = G sqrt(R T0)/p0, choked.
fn critical_flow_function(gas: &GasMixture, p0_pa: f64, t0_k: f64) -> Result<f64, String> {
    let gas_constant = GAS_CONSTANT_J_MOL_K / gas.molar_mass_kg_mol(0);
    let choked = flux(gas, p0_pa, t0_k, 0.1 * p0_pa)?;
    Ok(choked.value * (gas_constant * t0_k).sqrt() / p0_pa)
}

/// Pressure in bar, temperature in K, critical-flow function.
const GLEN: [(f64, f64, f64); 7] = [
    (1.0, 273.15, 0.685_05),
    (1.0, 300.0, 0.684_94),
    (5.0, 250.0, 0.686_97),
    (10.0, 285.0, 0.687_58),
    (20.0, 250.0, 0.693_79),
    (20.0, 300.0, 0.689_55),
    (20.0, 320.0, 0.688_42),
];

fn glen() -> Case {
    let figures = pure("nitrogen").and_then(|gas| {
        let of = |&(bar, t, expected): &(f64, f64, f64)| {
            let got = critical_flow_function(&gas, bar * 1e5, t)?;
            let quantity = format!("C* at {bar} bar, {t} K");
            Ok(Figure::relative(quantity, "", expected, got, 1e-3))
        };
        GLEN.iter().map(of).collect()
    });
    Case {
        title: "critical-flow function of nitrogen".to_owned(),
        source: "published correlation of critical-flow functions, which ISO 9300:2005 tabulates too",
        reason: "0.1 %, the uncertainty of the published values",
        figures,
    }
}

fn computed(nozzle: &Nozzle) -> Case {
    Case {
        title: format!(
            "{} at {} bar(a), {} K",
            nozzle.gas,
            nozzle.pressure_pa / 1e5,
            nozzle.temperature_k
        ),
        source: "isentropic flux of the reference equation of state, computed with CoolProp 8 \
                 (`validation/peers/gas_states.py`)",
        reason: "0.1 % for flux, asked of the flux tables; 0.2 % for the critical ratio, where \
                 the flux is flat",
        figures: computed_figures(nozzle),
    }
}

fn computed_figures(nozzle: &Nozzle) -> Result<Vec<Figure>, String> {
    let gas = pure(&nozzle.gas)?;
    let (p0, t0) = (nozzle.pressure_pa, nozzle.temperature_k);
    let choked = critical_flow_function(&gas, p0, t0)?;
    let ratio = flux(&gas, p0, t0, 0.9 * p0)?.critical_ratio;
    let mut figures = vec![
        Figure::relative("C*", "", nozzle.critical_flow_function, choked, 1e-3),
        Figure::relative("critical ratio", "", nozzle.critical_ratio, ratio, 2e-3),
    ];
    for subsonic in &nozzle.subsonic {
        let got = flux(&gas, p0, t0, subsonic.back_ratio * p0)?.value;
        let quantity = format!("flux at {} p0", subsonic.back_ratio);
        let expected = subsonic.flux_kg_m2_s;
        figures.push(Figure::relative(quantity, "kg/(m2 s)", expected, got, 1e-3));
    }
    Ok(figures)
}

/// 24 270 kg/h, 348 K, Z 0.90, 51 g/mol, k 1.11, 670 kPa, Kd 0.975.
fn relief() -> Case {
    let figures = perfect(1.11, 51e-3 / 0.90).and_then(|gas| {
        let choked = flux(&gas, 670e3, 348.0, 101e3)?;
        let area_m2 = 24_270.0 / 3600.0 / (0.975 * choked.value);
        Ok(vec![Figure::relative(
            "orifice area",
            "m2",
            0.003_699_05,
            area_m2,
            1e-4,
        )])
    });
    Case {
        title: "area of a relief valve in critical gas flow".to_owned(),
        source: "worked example of API 520 part I as the tests of the `fluids` library (PyPI) \
                 state it; Z enters as a molar mass over Z",
        reason: "1e-4: the standard's constant 0.039 48 has four digits",
        figures,
    }
}

fn reducers() -> Case {
    Case {
        title: "carbon dioxide through a rotary valve of 50 mm between pipes of 80 and 100 mm"
            .to_owned(),
        source: "IEC 60534-2-1, example 3: 3800 m3/h at 0 degC and 1 atm from 680 to 310 kPa, 433 K, k 1.30, \
                 Z 0.988, x_T 0.60; Kv 72.5866 in the tests of the PyPI package fluids",
        reason: "the package has x_T in Y where the standard has x_TP, and stops its iteration within 1 %: 2 %",
        figures: reducer_figures(),
    }
}

fn reducer_figures() -> Result<Vec<Figure>, String> {
    const MOLAR_MASS_KG_MOL: f64 = 44.01e-3;
    let gas = perfect(1.30, MOLAR_MASS_KG_MOL)?;
    let side = |pressure_pa: f64| {
        let side = GasSide::<f64>::constant(&gas, pressure_pa, 433.0, &[1.0]);
        let side = side.map_err(|e| e.to_string())?;
        Ok::<_, String>(GasSide {
            density: side.density / 0.988,
            ..side
        })
    };
    let capacity = |before_m: f64, after_m: f64| Capacity::Installed {
        kv_m3_h: 72.5866,
        xt: 0.60,
        pipes: Pipes {
            bore_m: 0.05,
            before_m,
            after_m,
            style: None,
        },
    };
    let flow = |capacity: Capacity, back_pa: f64| {
        gas_flow(&capacity, &gas, &side(680e3)?, &side(back_pa)?).map_err(|e| e.to_string())
    };
    let passed = flow(capacity(0.08, 0.1), 310e3)?;
    let bare = Capacity::FlowCoefficient {
        kv_m3_h: 72.5866,
        xt: 0.60,
    };
    let without = flow(bare, 310e3)? / flow(capacity(0.05, 0.05), 310e3)?;
    Ok(vec![
        Figure::relative(
            "flow",
            "m3/h",
            3800.0,
            normal_m3_h(passed, MOLAR_MASS_KG_MOL),
            0.02,
        ),
        Figure::relative("pipes of its own bore, over none", "", 1.0, without, 1e-12),
    ])
}

/// A mass flow as volume at 0 degC and 1 atm.
fn normal_m3_h(flow_kg_s: f64, molar_mass_kg_mol: f64) -> f64 {
    3600.0 * flow_kg_s * GAS_CONSTANT_J_MOL_K * 273.15 / (101_325.0 * molar_mass_kg_mol)
}

fn needle() -> Case {
    Case {
        title: "argon through a needle of 15 mm, in transition from laminar to turbulent"
            .to_owned(),
        source: "IEC 60534-2-1, example 7: 0.46 m3/h at 0 degC and 1 atm from 280 to 130 kPa, 320 K, F_L 0.98, F_d 0.07, \
                 x_T 0.80; Kv by Reynolds_valve and Reynolds_factor of the PyPI package fluids, brought to rest \
                 (1325, 0.7286), with Y by theory 2.9 and argon by CoolProp 8; the other Kv, 0.016499, is what the \
                 package sizes",
        reason: "1e-3: argon's tabulated viscosity, 0.5 % of which is 0.1 % of the flow; the package raises Kv by steps of \
                 1.3 and takes the normal volume in the Reynolds number: 30 %",
        figures: needle_figures(),
    }
}

fn needle_figures() -> Result<Vec<Figure>, String> {
    let gas = pure("argon")?;
    let side = |pressure_pa| {
        GasSide::<f64>::constant(&gas, pressure_pa, 320.0, &[1.0]).map_err(|e| e.to_string())
    };
    let (up, down) = (side(280e3)?, side(130e3)?);
    let passed = |kv_m3_h: f64, style: Option<Style>| {
        let pipes = Pipes {
            bore_m: 0.015,
            before_m: 0.015,
            after_m: 0.015,
            style,
        };
        let capacity = Capacity::Installed {
            kv_m3_h,
            xt: 0.80,
            pipes,
        };
        let flow = gas_flow(&capacity, &gas, &up, &down).map_err(|e| e.to_string())?;
        Ok::<_, String>(normal_m3_h(flow, gas.molar_mass_kg_mol(0)))
    };
    let style = Style {
        modifier: 0.07,
        recovery: 0.98,
    };
    let viscous = passed(0.016_580_105, Some(style))?;
    let sized = passed(0.016_498_765, Some(style))?;
    let turbulent = passed(0.012_699_080, None)?;
    Ok(vec![
        Figure::relative("flow through Kv 0.016580", "m3/h", 0.46, viscous, 1e-3),
        Figure::relative("flow through Kv 0.016499", "m3/h", 0.46, sized, 0.3),
        Figure::relative(
            "as if turbulent, Kv 0.012699",
            "m3/h",
            0.46,
            turbulent,
            1e-3,
        ),
    ])
}

/// Factor on the choked flow by pressure ratio.
const SUBSONIC: [(f64, f64); 3] = [(0.6, 0.923_077), (0.8, 0.721_602), (0.9, 0.532_939)];

fn sonic_conductance() -> Case {
    Case {
        title: "sonic conductance 1 dm3/(s bar), critical ratio 0.35, 7 bar(a), 293.15 K"
            .to_owned(),
        source: "closed form of ISO 6358-1 (the form from memory)",
        reason: "1e-5: six digits given; the root's regularisation is 5e-7 at 0.7 bar",
        figures: sonic_figures(),
    }
}

fn sonic_figures() -> Result<Vec<Figure>, String> {
    let gas = perfect(1.4, 28.96e-3)?;
    let capacity = Capacity::SonicConductance {
        c_m3_s_pa: 1e-8,
        b: 0.35,
    };
    let side = |pressure_pa| {
        GasSide::<f64>::constant(&gas, pressure_pa, 293.15, &[1.0]).map_err(|e| e.to_string())
    };
    let flow = |ratio: f64| {
        gas_flow(&capacity, &gas, &side(7e5)?, &side(7e5 * ratio)?).map_err(|e| e.to_string())
    };
    let choked = flow(0.2)?;
    let mut figures = vec![Figure::relative(
        "choked flow",
        "kg/s",
        8.295e-3,
        choked,
        1e-5,
    )];
    for (ratio, expected) in SUBSONIC {
        let quantity = format!("part of it at ratio {ratio}");
        figures.push(Figure::relative(
            quantity,
            "",
            expected,
            flow(ratio)? / choked,
            1e-5,
        ));
    }
    // Helium, k 5/3: sqrt(M/M_air) and the ratio of the critical-flow functions, 0.726184/0.684731.
    let helium = perfect(5.0 / 3.0, 4.002_602e-3)?;
    let side = |pressure_pa| {
        GasSide::<f64>::constant(&helium, pressure_pa, 293.15, &[1.0]).map_err(|e| e.to_string())
    };
    let flow = gas_flow(&capacity, &helium, &side(7e5)?, &side(1.4e5)?);
    figures.push(Figure::relative(
        "choked flow of helium",
        "kg/s",
        8.295e-3 * (4.002_602_f64 / 28.96).sqrt() * 0.726_184 / 0.684_731,
        flow.map_err(|e| e.to_string())?,
        1e-5,
    ));
    Ok(figures)
}

/// Mach number at the inlet, 4 f L*/D (Fanning's f; Darcy's f L*/D) and p/p* there, k = 1.4.
const FANNO: [(f64, f64, f64); 5] = [
    (0.1, 66.922, 10.9435),
    (0.3, 5.2992, 3.6190),
    (0.5, 1.0691, 2.1381),
    (0.7, 0.208_14, 1.4934),
    (0.9, 0.014_513, 1.1291),
];

fn long_line() -> Case {
    Case {
        title: "gas line with friction: air, k 1.4, adiabatic, from rest at 10 bar(a)".to_owned(),
        source: "A. H. Shapiro, The Dynamics and Thermodynamics of Compressible Fluid Flow, vol. 1 (1953), table \
                 B.4; the last F. M. White, Fluid Mechanics, 7th ed., example 9.10, Mach 0.1 to 0.5 in 55 m of 2 cm \
                 with f = 0.024 (all from memory)",
        reason: "5e-5: five digits of lengths and pressures, which move the flow by less",
        figures: long_line_figures(),
    }
}

fn long_line_figures() -> Result<Vec<Figure>, String> {
    const REST_PA: f64 = 1e6;
    let gas = perfect(1.4, 28.96e-3)?;
    let side = |pressure_pa| {
        GasSide::<f64>::constant(&gas, pressure_pa, 293.15, &[1.0]).map_err(|e| e.to_string())
    };
    let rest = side(REST_PA)?;
    let line = |loss: f64, friction: f64| Line {
        length_m: loss * 0.02 / friction,
        bore_m: 0.02,
        friction: Friction::Factor(friction),
        minor_loss: 0.0,
        rise_m: 0.0,
        softness_per_pa: 0.0,
    };
    let flow = |line: Line, back_pa: f64| {
        gas_flow(&Capacity::Line(line), &gas, &rest, &side(back_pa)?).map_err(|e| e.to_string())
    };
    // Flow at a Mach number at the inlet, over that of a bore without friction.
    let part = |mach: f64| mach * 1.2_f64.powi(3) / (1.0 + 0.2 * mach * mach).powi(3);
    let open = flow(line(0.0, 0.02), 0.05 * REST_PA)?;
    let mut figures = Vec::new();
    for (mach, loss, _) in FANNO {
        let quantity = format!("choked flow at f L/D = {loss}, part of that of the open bore");
        let got = flow(line(loss, 0.02), 0.05 * REST_PA)? / open;
        figures.push(Figure::relative(quantity, "", part(mach), got, 5e-5));
    }
    let [(_, long, from), _, (_, short, to), ..] = FANNO;
    let end_pa = REST_PA / (1.0 + 0.2 * 0.1_f64.powi(2)).powf(3.5) * to / from;
    let got = flow(line(long - short, 0.024), end_pa)? / open;
    let quantity = "flow that enters at Mach 0.1 and leaves at 0.5, part of it";
    figures.push(Figure::relative(quantity, "", part(0.1), got, 5e-5));
    Ok(figures)
}

/// Reynolds number of the throat and discharge coefficient.
const TOROIDAL: [(f64, f64); 5] = [
    (2.1e4, 0.977_130),
    (1e5, 0.987_299),
    (1e6, 0.993_180),
    (1e7, 0.995_040),
    (3.2e7, 0.995_419),
];

fn toroidal_nozzle() -> Case {
    Case {
        title: "discharge coefficient of a nozzle with a toroidal throat".to_owned(),
        source: "ISO 9300:2022, 0.9959 - 2.720 Re^-0.5 (its range of Re from memory); the last: what nitrogen of 20 bar(a), \
                 300 K makes of it in a throat of 3 mm, the flow over that of (2.1), against the formula at its own Re",
        reason: "1e-6: six digits given; levelling out at rest moves less than 2e-7",
        figures: toroidal_figures(),
    }
}

fn toroidal_figures() -> Result<Vec<Figure>, String> {
    let mut figures = Vec::new();
    for (reynolds, expected) in TOROIDAL {
        let quantity = format!("Cd at Re {reynolds:.1e}");
        let got = discharge_coefficient(reynolds);
        figures.push(Figure::absolute(quantity, "", expected, got, 1e-6));
    }
    const THROAT_M: f64 = 3e-3;
    let gas = pure("nitrogen")?;
    let side = |pressure_pa| {
        GasSide::<f64>::constant(&gas, pressure_pa, 300.0, &[1.0]).map_err(|e| e.to_string())
    };
    let up = side(2e6)?;
    let capacity = Capacity::Nozzle(ToroidalNozzle {
        throat_m: THROAT_M,
        multiplier: 1.0,
    });
    let flow = gas_flow(&capacity, &gas, &up, &side(1e5)?).map_err(|e| e.to_string())?;
    let ideal = PI / 4.0 * THROAT_M * THROAT_M * flux(&gas, 2e6, 300.0, 1e5)?.value;
    let viscosity_pa_s = viscosity(&gas, &up).map_err(|e| e.to_string())?;
    let reynolds = 4.0 * flow / (PI * THROAT_M * viscosity_pa_s);
    let expected = 0.9959 - 2.720 / reynolds.sqrt();
    let quantity = format!("Cd of nitrogen, at Re {reynolds:.1e}");
    figures.push(Figure::absolute(quantity, "", expected, flow / ideal, 1e-6));
    Ok(figures)
}
