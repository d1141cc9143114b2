//! Cryogenic tanks in the limits that have a closed form, and their balances.

mod common;

use common::{ambient, assert_balanced, gas_port, network, orifice};
use fluids::{CompressedLiquid, GasMixture, Liquid, PropertyMode, PureFluid, SpeciesSpec};
use nalgebra::{DMatrix, DVector};
use sim_core::integrate::Rates;
use sim_core::layout::BranchStates;
use sim_core::model::Model;
use sim_core::network::{
    Branch, BranchKind, Capacity, ChainElement, Cryogen, Dissolving, ElementKind, GasFill,
    HeatTransfer, Inlet, LiquidChain, Network, Phase, Port, Posture, Solubility, Tank, TankEnds,
    TankShape, Vessel, Volume, VolumeKind, Wall,
};
use sim_core::outcome::{Integrator, Outcome, RunOptions};
use sim_core::run::Run;
use sim_core::simulate;
use std::sync::Arc;

const BOILING_K: f64 = 77.355;
const TANK_M3: f64 = 0.02;

fn helium_and_nitrogen() -> Arc<GasMixture> {
    let named = |name: &str| SpeciesSpec::Named(name.to_owned());
    let list = [named("helium"), named("nitrogen")];
    Arc::new(GasMixture::new(&list, PropertyMode::Polished).expect("both are known"))
}

/// What a test asks of its tank of liquid nitrogen.
struct Asked {
    layers: usize,
    pressure_pa: f64,
    gas_k: f64,
    /// Mole fraction of nitrogen in the ullage.
    vapour: f64,
    liquid_m3: f64,
    interface: HeatTransfer,
    leak_w: Option<f64>,
    liquid_mixing: f64,
    wall: Option<Wall>,
    inlet: Inlet,
    dissolving: Vec<Dissolving>,
}

/// Helium over liquid nitrogen, 20 L, upright and flat, highest pressure 25 bar.
fn tank(asked: Asked) -> Volume {
    let cryogen = Cryogen {
        boiling: Arc::new(CompressedLiquid::new("nitrogen").expect("nitrogen boils")),
        layers: asked.layers,
        wall_nodes: 12,
        wet_w_m2_k: 500.0,
        leak_w: asked.leak_w,
        surface_layer_m: 0.012,
        gas_mixing: 3.0,
        liquid_mixing: asked.liquid_mixing,
        flash_s: 0.5,
        inlet: asked.inlet,
        dissolving: asked.dissolving,
    };
    Volume {
        name: "tank".to_owned(),
        kind: VolumeKind::Tank(Tank {
            shape: TankShape::Cylinder {
                volume_m3: TANK_M3,
                diameter_m: 0.25,
                ends: TankEnds::Flat,
                lying: false,
            },
            liquid: Arc::new(Liquid::new("nitrogen", 25e5).expect("nitrogen")),
            vapour: Some(1),
            liquid_volume_m3: asked.liquid_m3,
            liquid_temperature_k: BOILING_K,
            gas: GasFill {
                mixture: 0,
                pressure_pa: asked.pressure_pa,
                temperature_k: asked.gas_k,
                mole_fractions: vec![1.0 - asked.vapour, asked.vapour],
            },
            wall: asked.wall,
            interface: asked.interface,
            interface_multiplier: 1.0,
            residual_m3: 1e-4,
            dips: false,
            cryogen: Some(Box::new(cryogen)),
        }),
    }
}

fn with_gas(volumes: Vec<Volume>, branches: Vec<Branch>) -> Network {
    Network {
        mixtures: vec![helium_and_nitrogen()],
        ..network(volumes, branches)
    }
}

fn run(network: &Network, until_s: f64) -> Outcome {
    let options = RunOptions {
        until_s,
        output_step_s: until_s / 200.0,
        readings: 1,
        step_rows: false,
        tolerance: 1e-6,
        integrator: Integrator::Rodas5p,
    };
    let outcome = simulate(network, &options);
    assert_eq!(outcome.failure, None);
    outcome
}

fn column(outcome: &Outcome, name: &str) -> Vec<f64> {
    outcome.history.column(name).expect(name)
}

fn last(outcome: &Outcome, name: &str) -> f64 {
    *column(outcome, name).last().expect("rows")
}

/// A large bottle of helium that hardly falls, on the tank's gas, and a drain from its liquid.
fn expulsion(asked: Asked) -> Network {
    let supply = Volume {
        name: "supply".to_owned(),
        kind: VolumeKind::Vessel(Vessel {
            volume_m3: 50.0,
            gas: GasFill {
                mixture: 0,
                pressure_pa: 20e5,
                temperature_k: 300.0,
                mole_fractions: vec![1.0, 0.0],
            },
            wall: None,
            overwrap: None,
        }),
    };
    let drain = Branch {
        name: "drain".to_owned(),
        from: Port {
            volume: 0,
            phase: Phase::Liquid,
        },
        to: gas_port(2),
        kind: BranchKind::LiquidChain(LiquidChain {
            elements: vec![ChainElement {
                name: "drain".to_owned(),
                kind: ElementKind::Orifice {
                    capacity: Capacity::EffectiveArea { m2: 1.5e-5 },
                    recovery: 1.0,
                },
            }],
            primed_m3: 0.0,
        }),
    };
    let inlet = orifice("inlet", 1, 0, 2e-5);
    with_gas(vec![tank(asked), supply, ambient()], vec![inlet, drain])
}

/// Helium taken over helium that would fill what the liquid left at the bottle's temperature.
fn collapse_factor(network: &Network, until_s: f64) -> f64 {
    let outcome = run(network, until_s);
    let helium = |row: usize| {
        column(&outcome, "tank.gas_mass_kg")[row] - column(&outcome, "tank.vapour_mass_kg")[row]
    };
    let volume = column(&outcome, "tank.ullage_volume_m3");
    let end = volume.len() - 1;
    let warm = helium_and_nitrogen()
        .at(last(&outcome, "tank.pressure_pa"), 300.0, &[1.0, 0.0])
        .expect("a gas");
    (helium(end) - helium(0)) / (warm.density_kg_m3[0] * (volume[end] - volume[0]))
}

fn without_exchange(layers: usize) -> Asked {
    Asked {
        layers,
        pressure_pa: 19.99e5,
        gas_k: 300.0,
        vapour: 0.0,
        liquid_m3: 0.018,
        interface: HeatTransfer::None,
        leak_w: None,
        liquid_mixing: 2.0,
        wall: None,
        inlet: Inlet::Diffuser,
        dissolving: Vec::new(),
    }
}

/// Without heat and mass transfer the gas that came in keeps its temperature: the factor is 1.
/// The tank's pressure moves by 1 % under way, which compresses what is there: hence 1 %.
#[test]
fn no_exchange_no_collapse() {
    for layers in [1, 6] {
        let factor = collapse_factor(&expulsion(without_exchange(layers)), 10.0);
        assert!((factor - 1.0).abs() < 1e-2, "{layers}: {factor}");
    }
}

/// In perfect contact with the liquid's surface the helium goes to its temperature: the factor
/// is that of the densities, at the partial pressure that the vapour leaves. The surface warms by
/// some kelvins under way, which the density at its temperature at the end follows to 3 %.
#[test]
fn full_exchange_gives_the_ratio_of_densities() {
    let mut asked = without_exchange(1);
    asked.gas_k = BOILING_K;
    asked.vapour = 1.013 / 19.99;
    asked.interface = HeatTransfer::Conductance { w_k: 1e4 };
    // The surface passes its heat on.
    asked.liquid_mixing = 1e4;
    let network = expulsion(asked);
    let factor = collapse_factor(&network, 10.0);
    let outcome = run(&network, 10.0);
    let gas_k = last(&outcome, "tank.ullage_temperature_k");
    let surface_k = last(&outcome, "tank.surface_temperature_k");
    assert!((gas_k - surface_k).abs() < 5.0, "{gas_k} over {surface_k}");
    let mixture = helium_and_nitrogen();
    let pressure = last(&outcome, "tank.pressure_pa");
    let saturation = CompressedLiquid::new("nitrogen").expect("nitrogen");
    let vapour = saturation
        .saturation(surface_k)
        .expect("boils")
        .pressure_pa
        .0;
    let fractions = [1.0 - vapour / pressure, vapour / pressure];
    let cold = mixture.at(pressure, gas_k, &fractions).expect("a gas");
    let warm = mixture.at(pressure, 300.0, &[1.0, 0.0]).expect("a gas");
    let ratio = cold.density_kg_m3[0] / warm.density_kg_m3[0];
    assert!(ratio > 3.0, "{ratio}");
    assert!(
        (factor / ratio - 1.0).abs() < 3e-2,
        "{factor} against {ratio}"
    );
}

/// A vented tank boils off what its heat leak evaporates: Q / h_fg, to the 1 % by which vapour
/// and surface are still warming. h_fg = 199.176 kJ/kg at 1 atm (Span et al. 2000).
#[test]
fn boil_off_is_heat_leak_over_heat_of_vaporisation() {
    for layers in [1, 4] {
        let asked = Asked {
            layers,
            pressure_pa: 101_325.0,
            gas_k: BOILING_K + 1.0,
            vapour: 1.0,
            liquid_m3: 0.015,
            interface: HeatTransfer::Film,
            leak_w: Some(60.0),
            liquid_mixing: 2.0,
            wall: None,
            inlet: Inlet::Diffuser,
            dissolving: Vec::new(),
        };
        let vent = orifice("vent", 0, 1, 1e-4);
        let network = with_gas(vec![tank(asked), ambient()], vec![vent]);
        let outcome = run(&network, 1200.0);
        let expected = 60.0 / 199_176.0;
        let boil_off = last(&outcome, "tank.boil_off_kg_s");
        assert!(
            (boil_off / expected - 1.0).abs() < 1e-2,
            "{layers}: {boil_off}"
        );
    }
}

fn steel_wall() -> Wall {
    Wall {
        mass_kg: 16.0,
        material: Arc::new(fluids::Solid::named("stainless steel").expect("known")),
        inner_area_m2: 0.42,
        posture: Posture::Upright,
        height_m: 0.4,
        temperature_k: BOILING_K,
        inside: HeatTransfer::Film,
        inside_multiplier: 1.0,
        outside_w_m2_k: 5.0,
    }
}

/// With wall, phase change and layers that split and merge: mass to rounding, energy to the bar of
/// 1e-6 of work and heat.
#[test]
fn balances_close_with_moving_layers() {
    for layers in [1, 8] {
        let mut asked = without_exchange(layers);
        asked.gas_k = BOILING_K + 5.0;
        asked.pressure_pa = 101_325.0;
        asked.vapour = 1.0;
        asked.interface = HeatTransfer::Film;
        asked.wall = Some(steel_wall());
        let outcome = run(&expulsion(asked), 12.0);
        let balances = &outcome.balances;
        assert!(balances.mass_relative < 1e-9, "{balances:?}");
        assert!(balances.energy_relative < 1e-6, "{layers}: {balances:?}");
    }
}

/// More heat capacity and more cold take more gas: the collapse factor rises with the wall's mass.
#[test]
fn a_heavier_wall_collapses_more() {
    let mut before = 0.99;
    for mass_kg in [2.0, 8.0, 32.0] {
        let mut asked = without_exchange(6);
        asked.gas_k = BOILING_K + 5.0;
        asked.vapour = 0.05;
        asked.wall = Some(Wall {
            mass_kg,
            ..steel_wall()
        });
        let factor = collapse_factor(&expulsion(asked), 10.0);
        assert!(factor > before, "{mass_kg}: {factor} after {before}");
        before = factor;
    }
}

/// Into still liquid of one temperature a gas goes by `2 A c x sqrt(D t/pi)` (penetration): c the
/// molar density of the liquid, x the mole fraction in equilibrium. Three nodes and what lies below
/// them stand for the profile, the uppermost 0.19 mm thick: 5 % once it reaches some 0.5 mm, after 100 s.
#[test]
fn uptake_goes_with_the_root_of_time() {
    let (diffusivity, henry_pa) = (2.5e-9, 4e8);
    let mut asked = without_exchange(1);
    asked.gas_k = BOILING_K;
    asked.vapour = 1.0 / 19.99;
    asked.liquid_mixing = 1.0;
    asked.liquid_m3 = 0.010;
    asked.dissolving = vec![Dissolving {
        species: 0,
        solubility: Solubility::Henry { pa: henry_pa },
        diffusivity_m2_s: diffusivity,
        heat_of_solution_j_kg: 0.0,
    }];
    let outcome = run(&with_gas(vec![tank(asked)], Vec::new()), 200.0);
    assert!(outcome.balances.mass_relative < 1e-9);
    let (time, taken) = (
        column(&outcome, "time_s"),
        column(&outcome, "tank.dissolved_kg"),
    );
    let pressure = last(&outcome, "tank.pressure_pa");
    // Helium's partial pressure; liquid nitrogen at 1 atm: 806.085 kg/m3 (Span et al. 2000).
    let x = pressure * (1.0 - 1.0 / 19.99) / henry_pa;
    let area = std::f64::consts::FRAC_PI_4 * 0.25 * 0.25;
    let molar_mol_m3 = 806.085 / 0.028_013_4;
    for (&t, &kg) in time.iter().zip(&taken).filter(|(t, _)| **t > 100.0) {
        let root = (diffusivity * t / std::f64::consts::PI).sqrt();
        let expected = 2.0 * area * molar_mol_m3 * x * root * 0.004_002_6;
        assert!(
            (kg / expected - 1.0).abs() < 0.05,
            "{kg} of {expected} kg at {t} s"
        );
    }
}

/// Nitrogen vapour a tenth denser than saturated, below helium, in a tank that exchanges nothing: the
/// rest rains into the liquid, until what is left has the density of saturation at the temperature to
/// which the heat of vaporisation has warmed it (Span et al. 2000, by the equation of state itself). Near
/// its end rain goes with the square of what is left to fall, so that `2 tau 0.01/t` is: 1e-4 after
/// 100 s.
#[test]
fn fog_rains_until_the_gas_is_saturated() {
    let nitrogen = PureFluid::named("nitrogen").expect("it is known");
    let saturated = |t: f64| {
        let both = nitrogen
            .saturation_at_temperature(t)
            .expect("below critical");
        both.vapour.density_kg_m3
    };
    let mut asked = without_exchange(1);
    (asked.gas_k, asked.vapour) = (100.0, 0.51);
    let network = with_gas(vec![tank(asked)], Vec::new());
    let outcome = run(&network, 100.0);
    let volume = column(&outcome, "tank.ullage_volume_m3");
    let vapour = column(&outcome, "tank.vapour_mass_kg");
    let kelvin = column(&outcome, "tank.ullage_temperature_k");
    let over = |row: usize| vapour[row] / volume[row] / saturated(kelvin[row]) - 1.0;
    let end = volume.len() - 1;
    assert!(over(0) > 0.05, "{}", over(0));
    assert!(over(end).abs() < 3e-4, "{}", over(end));
    assert_balanced(&outcome);
}

/// How the surface layer of a tank that drains changes with the mass of its liquid: its nodes shrink
/// ever faster. Derivatives are those of central differences over 1e-4 of the mass. Those of the
/// liquid's expansion are left out of them, whose work is `p beta/(rho cp)` of a heat, 0.7 % here: hence
/// 1e-2 of the largest.
#[test]
fn derivatives_of_a_draining_surface_layer_are_those_of_differences() {
    let model = Model::new(&expulsion(without_exchange(3))).expect("it is in order");
    let BranchStates::Chain { flow, .. } = model.layout.branches[1] else {
        panic!("the drain is a chain");
    };
    let strata = model.layout.volumes[0]
        .as_ref()
        .and_then(|v| v.strata.clone());
    let strata = strata.expect("it is a cryogenic tank");
    let run = Run::new(model).expect("it starts");
    let mut y = run.model.start.clone();
    y[flow] = 0.5;
    let n = y.len();
    let (mut jacobian, mut time_slope) = (DMatrix::zeros(n, n), DVector::zeros(n));
    run.jacobian(0.0, &y, &mut jacobian, &mut time_slope)
        .expect("it has derivatives");
    let rates = |mass: f64| {
        let (mut y, mut dy) = (y.clone(), vec![0.0; n]);
        y[strata.liquid_mass] = mass;
        run.rates(0.0, &y, &mut dy).expect("it has rates");
        dy
    };
    let (mass, step) = (y[strata.liquid_mass], 1e-4 * y[strata.liquid_mass]);
    let (more, less) = (rates(mass + step), rates(mass - step));
    let difference = |row: usize| (more[row] - less[row]) / (2.0 * step);
    let largest = strata
        .surface
        .clone()
        .map(|row| difference(row).abs())
        .fold(0.0, f64::max);
    assert!(largest > 0.0);
    for row in strata.surface.clone() {
        let (own, other) = (jacobian[(row, strata.liquid_mass)], difference(row));
        assert!((own - other).abs() < 1e-2 * largest, "{row}: {own} {other}");
    }
}
