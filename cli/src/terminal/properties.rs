//! Properties of a fluid as a table.

use super::screen::Screen;
use super::table::aligned;
use fluids::{CatalogueEntry, Named, SaturationSheet, Sheet};
use shared::quantity::significant;

/// How a property is shown: its words, its unit and what the value in SI is multiplied by.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    /// Its words.
    pub label: &'static str,
    /// Its unit; empty for a pure number.
    pub unit: &'static str,
    factor: f64,
    offset: f64,
}

/// Name in the sheet, words, unit, factor.
const SHOWN: [(&str, &str, &str, f64); 24] = [
    ("pressure_pa", "pressure", "bar(a)", 1e-5),
    ("temperature_k", "temperature", "°C", 1.0),
    ("density_kg_m3", "density", "kg/m³", 1.0),
    (
        "compressibility_factor",
        "compressibility factor Z",
        "",
        1.0,
    ),
    ("internal_energy_j_kg", "internal energy", "kJ/kg", 1e-3),
    ("enthalpy_j_kg", "enthalpy", "kJ/kg", 1e-3),
    ("entropy_j_kg_k", "entropy", "kJ/(kg·K)", 1e-3),
    ("cv_j_kg_k", "heat capacity cv", "kJ/(kg·K)", 1e-3),
    ("cp_j_kg_k", "heat capacity cp", "kJ/(kg·K)", 1e-3),
    ("heat_capacity_ratio", "ratio cp/cv", "", 1.0),
    ("sound_speed_m_s", "speed of sound", "m/s", 1.0),
    ("expansivity_1_k", "thermal expansivity", "1e-3/K", 1e3),
    (
        "isothermal_compressibility_1_pa",
        "isothermal compressibility",
        "1e-3/bar",
        1e8,
    ),
    ("bulk_modulus_pa", "bulk modulus", "GPa", 1e-9),
    ("joule_thomson_k_pa", "cooling by throttling", "K/bar", 1e5),
    ("viscosity_pa_s", "viscosity", "µPa·s", 1e6),
    (
        "conductivity_w_m_k",
        "thermal conductivity",
        "mW/(m·K)",
        1e3,
    ),
    ("prandtl", "Prandtl number", "", 1.0),
    ("surface_tension_n_m", "surface tension", "mN/m", 1e3),
    (
        "saturation_pressure_pa",
        "vapour pressure at this temperature",
        "bar(a)",
        1e-5,
    ),
    (
        "saturation_temperature_k",
        "boiling point at this pressure",
        "°C",
        1.0,
    ),
    (
        "vaporisation_enthalpy_j_kg",
        "heat of vaporisation",
        "kJ/kg",
        1e-3,
    ),
    (
        "saturation_slope_pa_k",
        "slope of the vapour pressure",
        "bar/K",
        1e-5,
    ),
    (
        "vapour_density_kg_m3",
        "density of the vapour",
        "kg/m³",
        1.0,
    ),
];

/// 0 °C in K.
const ICE_K: f64 = 273.15;

/// How a property of a sheet is shown; one unknown here stands as it is.
#[must_use]
pub fn shown(name: &'static str) -> Shown {
    let found = SHOWN.iter().find(|(known, ..)| *known == name);
    let (label, unit, factor) = found.map_or((name, "", 1.0), |&(_, label, unit, factor)| {
        (label, unit, factor)
    });
    let offset = if unit == "°C" { -ICE_K } else { 0.0 };
    Shown {
        label,
        unit,
        factor,
        offset,
    }
}

impl Shown {
    /// The number shown.
    #[must_use]
    pub fn number(&self, si: f64) -> f64 {
        si * self.factor + self.offset
    }

    fn text(&self, si: f64) -> String {
        short(self.number(si), 6)
    }
}

/// A number with so many significant digits, without needless zeros.
#[must_use]
pub fn short(value: f64, digits: i32) -> String {
    let text = significant(value, digits, 6);
    if text.contains('.') {
        let short = text.trim_end_matches('0').trim_end_matches('.');
        return short.to_owned();
    }
    text
}

/// All properties of one state.
#[must_use]
pub fn state(name: &str, sheet: &Sheet, screen: Screen) -> String {
    let heading = screen.heading(&format!("{name}, {}", sheet.phase));
    let rows = sheet.values.iter().map(|&(name, value)| {
        let shown = shown(name);
        vec![
            shown.label.to_owned(),
            shown.text(value),
            shown.unit.to_owned(),
        ]
    });
    let body = aligned(rows.collect(), &[1]);
    format!("{heading}\n{body}{}", notes(&sheet.notes, screen))
}

fn notes(notes: &[String], screen: Screen) -> String {
    let lines = notes.iter();
    lines
        .map(|note| screen.alert(&format!("  {note}")) + "\n")
        .collect()
}

/// Liquid and vapour side by side.
#[must_use]
pub fn saturation(name: &str, sheet: &SaturationSheet, screen: Screen) -> String {
    let of = |values: &[Named], name: &str| {
        let found = values.iter().find(|(known, _)| *known == name);
        found.map(|(_, value)| *value)
    };
    let shared = sheet.values.iter().map(|&(name, value)| {
        let shown = shown(name);
        vec![
            shown.label.to_owned(),
            shown.text(value),
            String::new(),
            shown.unit.to_owned(),
        ]
    });
    let mut rows = vec![vec![
        String::new(),
        "liquid".to_owned(),
        "vapour".to_owned(),
    ]];
    let names = sheet.liquid.values.iter().map(|(name, _)| *name);
    for name in names.filter(|name| of(&sheet.values, name).is_none()) {
        let shown = shown(name);
        let text = |values: &[Named]| of(values, name).map_or(String::new(), |v| shown.text(v));
        rows.push(vec![
            shown.label.to_owned(),
            text(&sheet.liquid.values),
            text(&sheet.vapour.values),
            shown.unit.to_owned(),
        ]);
    }
    let heading = screen.heading(&format!("{name}, liquid and vapour in equilibrium"));
    let both = aligned(shared.chain(rows).collect(), &[1, 2]);
    let said: Vec<String> = [("liquid", &sheet.liquid), ("vapour", &sheet.vapour)]
        .iter()
        .flat_map(|(phase, sheet)| {
            sheet
                .notes
                .iter()
                .map(move |note| format!("{phase}: {note}"))
        })
        .collect();
    format!("{heading}\n{both}{}", notes(&said, screen))
}

/// One fluid: its range and sources.
#[must_use]
pub fn about(entry: &CatalogueEntry, screen: Screen) -> String {
    let rows = entry
        .sources
        .iter()
        .map(|s| vec![s.property.clone(), s.source.clone(), s.error.clone()]);
    let sources = aligned(rows.collect(), &[]);
    let heading = screen.heading(&entry.name);
    let columns = vec![vec![use_of(entry).to_owned(), range(entry)]];
    format!(
        "{heading}\n{}\n{}\n{sources}",
        aligned(columns, &[]),
        screen.heading("Sources"),
    )
}

/// All fluids: what each may be, its range, its main source.
#[must_use]
pub fn list(entries: &[CatalogueEntry], screen: Screen) -> String {
    let row = |entry: &CatalogueEntry| {
        let source = match entry.sources.first() {
            Some(first) if entry.has_equation => first.source.clone(),
            _ => "correlations at one pressure".to_owned(),
        };
        vec![
            entry.name.clone(),
            use_of(entry).to_owned(),
            range(entry),
            source,
        ]
    };
    let body = aligned(entries.iter().map(row).collect(), &[]);
    let heading = screen.heading(&format!("Fluids ({})", entries.len()));
    format!("{heading}\n{body}")
}

fn use_of(entry: &CatalogueEntry) -> &'static str {
    match (entry.is_gas, entry.is_liquid) {
        (true, true) => "gas, liquid",
        (true, false) => "gas",
        (false, true) if entry.has_equation => "liquid, vapour",
        (false, _) => "liquid",
    }
}

fn range(entry: &CatalogueEntry) -> String {
    let (low, high) = entry.temperatures_k;
    let pressure = entry.p_max_pa;
    let pressure = pressure.map(|p| format!(", to {} bar", short(p / 1e5, 4)));
    format!(
        "{} to {} K{}",
        short(low, 5),
        short(high, 5),
        pressure.unwrap_or_default()
    )
}
