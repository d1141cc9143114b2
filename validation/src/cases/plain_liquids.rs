//! Liquids that only correlations describe, and the transport of nitrous oxide, each property beside the
//! formulas of its source written out here anew.

use super::properties::Worst;
use crate::report::Case;
use fluids::{FluidError, Liquid, LiquidState, PureFluid};

/// States over a range.
const STATES: usize = 60;
const ATMOSPHERE_PA: f64 = 101_325.0;

/// Splines over steps of 2.5 K and seven digits of their nodes; a heat capacity is the slope of an energy.
const OF_VALUES: f64 = 1e-5;
const OF_SLOPES: f64 = 1e-3;

/// What the source says of one property at a temperature, K.
type Formula = fn(f64) -> f64;

/// A liquid and the formulas of its density (kg/m3), heat capacity (J/(kg K)), viscosity (Pa s), conductivity
/// (W/(m K)), vapour pressure (Pa) and surface tension (N/m).
struct Plain {
    name: &'static str,
    formulas: [Formula; 6],
}

const PROPERTIES: [(&str, f64); 6] = [
    ("density", OF_VALUES),
    ("heat capacity", OF_SLOPES),
    ("viscosity", OF_VALUES),
    ("thermal conductivity", OF_VALUES),
    ("vapour pressure", OF_VALUES),
    ("surface tension", OF_VALUES),
];

const ISOPROPANOL_KG_KMOL: f64 = 60.095;
const HEPTANE_KG_KMOL: f64 = 100.202;

const LIQUIDS: [Plain; 4] = [
    Plain {
        name: "isopropanol",
        formulas: [
            |t| {
                let power = 1.0 + (1.0 - t / 508.3).powf(0.24653);
                1.1799 / 0.2644_f64.powf(power) * ISOPROPANOL_KG_KMOL
            },
            |t| {
                let molar = 471_710.0 - 4_172.1 * t + 14.745 * t * t - 0.0144 * t * t * t;
                molar / ISOPROPANOL_KG_KMOL
            },
            |t| (-8.8918 + 2_357.6 / t - 0.91376 * t.ln()).exp(),
            |t| 0.20161 - 0.000_215_29 * t,
            |t| (96.094 - 8_575.4 / t - 10.292 * t.ln() + 1.6665e-17 * t.powi(6)).exp(),
            |t| 22.9e-3 - 0.0789e-3 * celsius(t),
        ],
    },
    Plain {
        name: "n-heptane",
        formulas: [
            |t| {
                let power = 1.0 + (1.0 - t / 540.2).powf(0.28141);
                0.61259 / 0.26211_f64.powf(power) * HEPTANE_KG_KMOL
            },
            |t| {
                let x = 1.0 - t / 540.2;
                let (c, d) = (1_824.6, -2_547.9);
                let even = 61.26 * 61.26 / x + 314_410.0 - 2.0 * 61.26 * c * x - 61.26 * d * x * x;
                let odd = c * c / 3.0 + c * d * x / 2.0 + d * d * x * x / 5.0;
                (even - odd * x * x * x) / HEPTANE_KG_KMOL
            },
            |t| {
                let ratio = (553.942 - t) / (t - 62.172);
                let log = 2.96002 * ratio.cbrt() + 0.24715 * ratio * ratio.cbrt();
                1.424e-5 * log.exp()
            },
            |t| 0.2149 + t * (-2.998e-4 + t * (-3e-8 + t * (1.03e-10 - 1.2e-13 * t))),
            |t| {
                let x = 1.0 - t / 541.23;
                let sum = -7.75469 * x + 1.84795 * x.powf(1.5) - 2.80333 * x.powf(2.5);
                2.774e6 * ((sum - 3.62418 * x.powi(5)) / (1.0 - x)).exp()
            },
            |t| 22.1e-3 - 0.098e-3 * celsius(t),
        ],
    },
    Plain {
        name: "kerosene",
        formulas: [
            kerosene_kg_m3,
            |t| (1_685.0 + 3.4 * celsius(t)) / (810.0_f64 / 999.1).sqrt(),
            |t| {
                let height = |mm2_s: f64| (mm2_s + 0.7).log10().log10();
                let (cold, warm) = ((253.15_f64, height(4.5)), (313.15_f64, height(1.35)));
                let slope = (warm.1 - cold.1) / (warm.0 / cold.0).log10();
                let at = cold.1 + slope * (t / cold.0).log10();
                (10.0_f64.powf(10.0_f64.powf(at)) - 0.7) * 1e-6 * kerosene_kg_m3(t)
            },
            |t| 0.1172 * (1.0 - 0.00054 * celsius(t)) / (810.0 / 999.1),
            |t| {
                let part = (1.0 / 311.15 - 1.0 / t) / (1.0 / 311.15 - 1.0 / 463.15);
                1_400.0 * (101_325.0_f64 / 1_400.0).powf(part)
            },
            |t| 28e-3 - 0.08e-3 * (celsius(t) - 20.0),
        ],
    },
    Plain {
        name: "hydrogen peroxide 90 %",
        formulas: [
            |t| 1_414.4 + (1_386.7 - 1_414.4) / 25.0 * celsius(t),
            |_| 2_770.0,
            |t| {
                let part = (1.0 / 273.15 - 1.0 / t) / (1.0 / 273.15 - 1.0 / 298.15);
                1.87e-3 * (1.16_f64 / 1.87).powf(part)
            },
            |_| 0.587,
            peroxide_pa,
            |t| 79e-3 - 0.15e-3 * (celsius(t) - 20.0),
        ],
    },
];

fn celsius(t: f64) -> f64 {
    t - 273.15
}

/// 810 kg/m3 at 15 degC, and the volume correction of jet fuels.
fn kerosene_kg_m3(t: f64) -> f64 {
    let rise = 594.5418 / (810.0 * 810.0) * (celsius(t) - 15.0);
    810.0 * (-rise * (1.0 + 0.8 * rise)).exp()
}

/// Both partial pressures of 90 % by mass over their solution, with the activity coefficients of Redlich and Kister.
fn peroxide_pa(t: f64) -> f64 {
    let (peroxide, water) = (0.9 / 34.0147, 0.1 / 18.0153);
    let w = water / (peroxide + water);
    let (b0, b1, b2) = (-1_017.0 + 0.97 * t, 85.0, 13.0);
    let activity = |others: f64, first: f64, second: f64| {
        let sum = b0 + b1 * first + b2 * (1.0 - 2.0 * w) * second;
        (others * others * sum / (1.987_204 * t)).exp()
    };
    let of_water = w * activity(1.0 - w, 1.0 - 4.0 * w, 1.0 - 6.0 * w);
    let of_peroxide = (1.0 - w) * activity(w, 3.0 - 4.0 * w, 5.0 - 6.0 * w);
    let pure_peroxide = 44.5760 - 4_025.3 / t - 12.996 * t.log10() + 0.004_605_5 * t;
    let pure_water = 8.07131 - 1_730.63 / (233.426 + celsius(t));
    133.322 * (of_water * 10.0_f64.powf(pure_water) + of_peroxide * 10.0_f64.powf(pure_peroxide))
}

/// All of them.
pub fn cases() -> Vec<Case> {
    let plain = LIQUIDS.iter().map(|plain| Case {
        title: format!("{} by its correlations, at one atmosphere", plain.name),
        source: "the formulas that `fluids/data/LIQUIDS.md` names for each property",
        reason: "splines over steps of 2.5 K through seven digits, 1e-5; a heat capacity is the slope of an energy, \
                 1e-3. How well a formula knows the liquid stands with its source",
        figures: errors(plain)
            .map(|worst| worst.into_iter().filter_map(Worst::figure).collect())
            .map_err(|error| error.to_string()),
    });
    plain.chain([nitrous_oxide()]).collect()
}

/// Temperatures over a range, its ends left out.
fn over((low, high): (f64, f64)) -> impl Iterator<Item = f64> {
    (0..STATES).map(move |i| low + (high - low) * (i as f64 + 0.5) / STATES as f64)
}

fn errors(plain: &Plain) -> Result<[Worst; 6], FluidError> {
    let liquid = Liquid::new(plain.name, ATMOSPHERE_PA)?;
    let mut worst = PROPERTIES.map(|(name, limit)| Worst::new(name, limit));
    for t in over(liquid.temperature_range_k()) {
        let LiquidState {
            density_kg_m3,
            heat_capacity_j_kg_k,
            viscosity_pa_s,
            conductivity_w_m_k,
            vapour_pressure_pa,
            ..
        } = liquid.at(t)?;
        let got = [
            density_kg_m3,
            heat_capacity_j_kg_k,
            viscosity_pa_s,
            conductivity_w_m_k,
            vapour_pressure_pa,
            liquid.surface_tension_n_m(t)?,
        ];
        for ((worst, formula), got) in worst.iter_mut().zip(plain.formulas).zip(got) {
            let expected = formula(t);
            worst.add(got, expected, expected);
        }
    }
    Ok(worst)
}

/// Viscosity, Pa s, and conductivity, W/(m K), of the thin gas.
fn thin_nitrous_oxide(t: f64) -> [f64; 2] {
    let viscosity = 2.115e-6 * t.powf(0.4642) / (1.0 + 305.7 / t);
    [viscosity, 1.096e-3 * t.powf(0.667) / (1.0 + 540.0 / t)]
}

/// The same of the saturated liquid.
fn liquid_nitrous_oxide(t: f64) -> [f64; 2] {
    let viscosity = (19.329 - 381.68 / t - 4.8618 * t.ln()).exp();
    let x = (1.0 - t / 309.57).cbrt();
    [
        viscosity,
        0.07235 * (1.0 + 1.5 * x - 3.5 * x * x + 4.5 * x * x * x),
    ]
}

/// Densities of a gas and of its saturated liquid at a temperature, kg/m3.
type Density = fn(&PureFluid, f64) -> Result<f64, FluidError>;

fn nitrous_oxide() -> Case {
    let thin: Density = |_, _| Ok(1e-3);
    let saturated: Density = |fluid, t| {
        let pair = fluid.saturation_at_temperature(t)?;
        Ok(pair.liquid.density_kg_m3)
    };
    let gas = ["thin gas, viscosity", "thin gas, thermal conductivity"];
    let liquid = [
        "saturated liquid, viscosity",
        "saturated liquid, thermal conductivity",
    ];
    let figures = PureFluid::named("nitrous oxide").and_then(|fluid| {
        let of = |names: [&'static str; 2],
                  limits: [f64; 2],
                  range,
                  density: Density,
                  formula: fn(f64) -> [f64; 2]| {
            let mut worst = [0, 1].map(|k| Worst::new(names[k], limits[k]));
            for t in over(range) {
                let rho = density(&fluid, t)?;
                let got = [
                    fluid.viscosity_pa_s(rho, t)?,
                    fluid.conductivity_w_m_k(rho, t)?,
                ];
                for (k, worst) in worst.iter_mut().enumerate() {
                    worst.add(got[k], formula(t)[k], formula(t)[k]);
                }
            }
            Ok(worst.into_iter().filter_map(Worst::figure))
        };
        let of_gas = of(gas, [0.005; 2], (183.0, 500.0), thin, thin_nitrous_oxide)?;
        let of_liquid = of(
            liquid,
            [0.02, 0.1],
            (210.0, 285.0),
            saturated,
            liquid_nitrous_oxide,
        )?;
        Ok(of_gas.chain(of_liquid).collect())
    });
    Case {
        title:
            "nitrous oxide, transport: gas from 183 to 500 K, saturated liquid from 210 to 285 K"
                .to_owned(),
        source: "the formulas that `fluids/data/transport/TRANSPORT.md` names; the reference library has none",
        reason: "gas: its table, 0.5 %; viscosity of the liquid: 2 %, by which two sources of it differ; its conductivity: \
                 10 %, the error stated of it, with a critical enhancement that the formula has not",
        figures: figures.map_err(|error: FluidError| error.to_string()),
    }
}
