//! All properties of one state at once, for people: names carry their units.

use crate::plain_liquid::PlainLiquid;
use crate::{FluidError, Liquid, Point, PureFluid, Saturation};

/// One property: its name with its unit, and the value in SI.
pub type Named = (&'static str, f64);

/// All properties of one state.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// "gas", "liquid", "supercritical" or "liquid and vapour".
    pub phase: &'static str,
    /// The properties.
    pub values: Vec<Named>,
    /// What could not be given, and why.
    pub notes: Vec<String>,
}

/// Liquid and vapour in equilibrium.
#[derive(Clone, Debug, PartialEq)]
pub struct SaturationSheet {
    /// What both share: pressure, temperature, heat of vaporisation, surface tension.
    pub values: Vec<Named>,
    /// The liquid.
    pub liquid: Sheet,
    /// The vapour.
    pub vapour: Sheet,
}

/// All properties of a fluid at a pressure (Pa) and a temperature (K), in its stable phase.
///
/// # Errors
/// [`FluidError::UnknownFluid`]; outside the range of the fluid, frozen.
pub fn sheet(name: &str, pressure_pa: f64, temperature_k: f64) -> Result<Sheet, FluidError> {
    if PlainLiquid::find(name)?.is_some() {
        return plain(&Liquid::new(name, pressure_pa)?, pressure_pa, temperature_k);
    }
    let fluid = PureFluid::named(name)?;
    let point = fluid.by_pressure_temperature(pressure_pa, temperature_k)?;
    let mut found = of_point(&fluid, &point, phase(&fluid, &point));
    if let Ok(pair) = fluid.saturation_at_temperature(temperature_k) {
        found
            .values
            .push(("saturation_pressure_pa", pair.pressure_pa));
    }
    if let Ok(pair) = fluid.saturation_at_pressure(pressure_pa) {
        found
            .values
            .push(("saturation_temperature_k", pair.temperature_k));
    }
    Ok(found)
}

/// Liquid and vapour of a fluid in equilibrium at a temperature (K).
///
/// # Errors
/// As for [`PureFluid::saturation_at_temperature`].
pub fn saturation_sheet(name: &str, temperature_k: f64) -> Result<SaturationSheet, FluidError> {
    if let Some(plain) = PlainLiquid::find(name)? {
        return plain_pair(plain, temperature_k);
    }
    let fluid = PureFluid::named(name)?;
    let pair = fluid.saturation_at_temperature(temperature_k)?;
    Ok(of_pair(&fluid, &pair))
}

/// Liquid and vapour of a fluid in equilibrium at a pressure (Pa).
///
/// # Errors
/// As for [`PureFluid::saturation_at_pressure`].
pub fn boiling_sheet(name: &str, pressure_pa: f64) -> Result<SaturationSheet, FluidError> {
    if let Some(plain) = PlainLiquid::find(name)? {
        return plain_pair(plain, boils_at_k(plain, pressure_pa)?);
    }
    let fluid = PureFluid::named(name)?;
    let pair = fluid.saturation_at_pressure(pressure_pa)?;
    Ok(of_pair(&fluid, &pair))
}

/// Temperature at which a liquid that only correlations describe boils.
fn boils_at_k(liquid: &PlainLiquid, pressure_pa: f64) -> Result<f64, FluidError> {
    let (low, high) = liquid.range_k;
    let range = [low, high].map(|t| liquid.at(0.0, t).vapour_pressure_pa);
    let inside = (range[0]..=range[1]).contains(&pressure_pa);
    let found = liquid.hottest_k(pressure_pa).filter(|_| inside);
    found.ok_or_else(|| {
        let what = "saturation pressure";
        FluidError::out_of_range(&liquid.name, what, "Pa", pressure_pa, range.into())
    })
}

/// What is known of a liquid that only correlations describe where it boils.
fn plain_pair(liquid: &PlainLiquid, temperature_k: f64) -> Result<SaturationSheet, FluidError> {
    let (low, high) = liquid.range_k;
    if !(low..=high).contains(&temperature_k) {
        let what = "saturation temperature";
        return Err(FluidError::out_of_range(
            &liquid.name,
            what,
            "K",
            temperature_k,
            liquid.range_k,
        ));
    }
    let state = liquid.at(0.0, temperature_k);
    let pressure_pa = state.vapour_pressure_pa;
    // Under a little more than its vapour pressure it is surely liquid.
    let under_pa = pressure_pa * (1.0 + 1e-6);
    let mut boiling = plain(
        &Liquid::new(&liquid.name, under_pa)?,
        pressure_pa,
        temperature_k,
    )?;
    let shared = |name: &str| matches!(name, "saturation_pressure_pa" | "surface_tension_n_m");
    boiling.values.retain(|(name, _)| !shared(name));
    Ok(SaturationSheet {
        values: vec![
            ("pressure_pa", pressure_pa),
            ("temperature_k", temperature_k),
            ("surface_tension_n_m", state.surface_tension_n_m),
        ],
        liquid: boiling,
        vapour: Sheet {
            phase: "gas",
            values: vec![
                ("pressure_pa", pressure_pa),
                ("temperature_k", temperature_k),
                ("density_kg_m3", state.vapour_density_kg_m3),
            ],
            notes: vec![
                "only correlations describe the liquid: the density is that of an ideal gas of its \
                 composition, and no more is known, the heat of vaporisation neither"
                    .to_owned(),
            ],
        },
    })
}

fn phase(fluid: &PureFluid, point: &Point) -> &'static str {
    let hot = point.temperature_k >= fluid.critical_temperature_k();
    let dense = point.density_kg_m3 > fluid.equation().reducing_density_kg_m3;
    match () {
        () if point.quality.is_some() => "liquid and vapour",
        () if hot && point.pressure_pa >= fluid.critical_pressure_pa() => "supercritical",
        () if !hot && dense => "liquid",
        () => "gas",
    }
}

fn of_point(fluid: &PureFluid, point: &Point, phase: &'static str) -> Sheet {
    let (rho, t) = (point.density_kg_m3, point.temperature_k);
    let state = fluid.equation().state(rho, t);
    let compressibility = 1.0 / (rho * state.pressure_by_density());
    let expansivity = state.pressure_by_temperature() * compressibility;
    let throttling = (t * expansivity - 1.0) / (rho * point.cp_j_kg_k);
    let mut values = vec![
        ("pressure_pa", point.pressure_pa),
        ("temperature_k", t),
        ("density_kg_m3", rho),
        ("compressibility_factor", state.compressibility()),
        ("expansivity_1_k", expansivity),
        ("isothermal_compressibility_1_pa", compressibility),
        ("sound_speed_m_s", point.sound_speed_m_s),
        ("cp_j_kg_k", point.cp_j_kg_k),
        ("cv_j_kg_k", point.cv_j_kg_k),
        ("heat_capacity_ratio", point.cp_j_kg_k / point.cv_j_kg_k),
        ("enthalpy_j_kg", point.enthalpy_j_kg),
        ("internal_energy_j_kg", point.internal_energy_j_kg),
        ("entropy_j_kg_k", point.entropy_j_kg_k),
        ("joule_thomson_k_pa", throttling),
    ];
    let mut notes = Vec::new();
    let viscosity = fluid.viscosity_pa_s(rho, t);
    match viscosity.and_then(|mu| Ok((mu, fluid.conductivity_w_m_k(rho, t)?))) {
        Ok((mu, k)) => values.extend([
            ("viscosity_pa_s", mu),
            ("conductivity_w_m_k", k),
            ("prandtl", mu * point.cp_j_kg_k / k),
        ]),
        Err(error) => notes.push(format!("no viscosity and conductivity: {error}")),
    }
    Sheet {
        phase,
        values,
        notes,
    }
}

fn of_pair(fluid: &PureFluid, pair: &Saturation) -> SaturationSheet {
    let mut values = vec![
        ("pressure_pa", pair.pressure_pa),
        ("temperature_k", pair.temperature_k),
        (
            "vaporisation_enthalpy_j_kg",
            pair.vaporisation_enthalpy_j_kg(),
        ),
        ("saturation_slope_pa_k", pair.pressure_by_temperature()),
    ];
    let tension = fluid.surface_tension_n_m(pair.temperature_k);
    values.extend(tension.ok().map(|sigma| ("surface_tension_n_m", sigma)));
    SaturationSheet {
        values,
        liquid: of_point(fluid, &pair.liquid, "liquid"),
        vapour: of_point(fluid, &pair.vapour, "gas"),
    }
}

fn plain(liquid: &Liquid, pressure_pa: f64, temperature_k: f64) -> Result<Sheet, FluidError> {
    let state = liquid.at(temperature_k)?;
    let prandtl = state.viscosity_pa_s * state.heat_capacity_j_kg_k / state.conductivity_w_m_k;
    Ok(Sheet {
        phase: "liquid",
        values: vec![
            ("pressure_pa", pressure_pa),
            ("temperature_k", temperature_k),
            ("density_kg_m3", state.density_kg_m3),
            ("cp_j_kg_k", state.heat_capacity_j_kg_k),
            ("sound_speed_m_s", state.sound_speed_m_s),
            ("expansivity_1_k", state.expansivity_1_k),
            ("bulk_modulus_pa", state.bulk_modulus_pa),
            ("viscosity_pa_s", state.viscosity_pa_s),
            ("conductivity_w_m_k", state.conductivity_w_m_k),
            ("prandtl", prandtl),
            (
                "surface_tension_n_m",
                liquid.surface_tension_n_m(temperature_k)?,
            ),
            ("saturation_pressure_pa", state.vapour_pressure_pa),
        ],
        notes: Vec::new(),
    })
}
