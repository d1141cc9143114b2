//! Every fluid there is, with its range and where its properties come from.

use serde::Deserialize;

use crate::data::{self, FluidData};
use crate::plain_liquid::{PlainLiquid, PropertySource};
use crate::transport::Transport;
use crate::{FluidError, Liquid};

/// Other ways to write a fluid: formulas and the short words of the trade.
const SHORT: [(&str, &str); 22] = [
    ("N2", "nitrogen"),
    ("GN2", "nitrogen"),
    ("LN2", "nitrogen"),
    ("He", "helium"),
    ("Ar", "argon"),
    ("O2", "oxygen"),
    ("GOX", "oxygen"),
    ("LOX", "oxygen"),
    ("H2O", "water"),
    ("C2H5OH", "ethanol"),
    ("CO2", "carbon dioxide"),
    ("CH4", "methane"),
    ("LCH4", "methane"),
    ("N2O", "nitrous oxide"),
    ("LH2", "parahydrogen"),
    ("H2", "hydrogen"),
    ("C3H8", "propane"),
    ("CH3OH", "methanol"),
    ("dodecane", "n-dodecane"),
    ("IPA", "isopropanol"),
    ("heptane", "n-heptane"),
    ("HTP", "hydrogen peroxide 90 %"),
];

/// One fluid.
#[derive(Clone, Debug, PartialEq)]
pub struct CatalogueEntry {
    /// Name, as in a stand file.
    pub name: String,
    /// Whether it may be a gas: its states over density and energy are tabled.
    pub is_gas: bool,
    /// Whether it may be a liquid in a tank.
    pub is_liquid: bool,
    /// Whether an equation of state describes it; otherwise correlations at one pressure do.
    pub has_equation: bool,
    /// Coldest and hottest state, K.
    pub temperatures_k: (f64, f64),
    /// Highest pressure of the equation of state, Pa.
    pub p_max_pa: Option<f64>,
    /// Where each property comes from.
    pub sources: Vec<PropertySource>,
}

/// Sources as they stand in the files.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct EquationSource {
    equation: String,
    melting: Option<String>,
}

/// Sources of the transport properties.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct TransportSource {
    viscosity: String,
    conductivity: String,
}

/// All fluids: those with an equation of state first.
///
/// # Errors
/// [`FluidError::Data`] if a committed file is damaged.
pub fn catalogue() -> Result<Vec<CatalogueEntry>, FluidError> {
    let mut entries = Vec::new();
    for (place, name) in data::names().enumerate() {
        entries.push(with_equation(name, &FluidData::read(place)?)?);
    }
    for name in Liquid::names() {
        entries.extend(PlainLiquid::find(name)?.map(plain));
    }
    Ok(entries)
}

/// The name of the fluid that a text means: names with any case and with hyphens or underscores for
/// spaces, formulas, short words.
#[must_use]
pub fn canonical(text: &str) -> Option<&'static str> {
    let plain = |text: &str| {
        let letters = text.chars().filter(|c| c.is_alphanumeric());
        letters.collect::<String>().to_lowercase()
    };
    let asked = plain(text);
    let names = data::names().chain(Liquid::names().iter().copied());
    let short = SHORT.iter().map(|(short, name)| (*short, *name));
    let mut all = names.map(|name| (name, name)).chain(short);
    let found = all.find(|(written, _)| plain(written) == asked);
    found.map(|(_, name)| name)
}

fn with_equation(name: &str, data: &FluidData) -> Result<CatalogueEntry, FluidError> {
    let transport = Transport::source(name)?;
    let mut sources = vec![
        source("equation of state", &data.source.equation),
        source("viscosity", &transport.viscosity),
        source("conductivity", &transport.conductivity),
    ];
    let melting = data.source.melting.as_deref();
    sources.extend(melting.map(|text| source("melting line", text)));
    Ok(CatalogueEntry {
        name: name.to_owned(),
        is_gas: data.table.is_some(),
        is_liquid: Liquid::names().contains(&name),
        has_equation: true,
        temperatures_k: (data.limits.t_min_k, data.limits.t_max_k),
        p_max_pa: Some(data.limits.p_max_pa),
        sources,
    })
}

fn source(property: &str, text: &str) -> PropertySource {
    PropertySource {
        property: property.to_owned(),
        source: text.to_owned(),
        error: String::new(),
    }
}

fn plain(liquid: &PlainLiquid) -> CatalogueEntry {
    CatalogueEntry {
        name: liquid.name.clone(),
        is_gas: false,
        is_liquid: true,
        has_equation: false,
        temperatures_k: liquid.range_k,
        p_max_pa: None,
        sources: liquid.about.clone(),
    }
}
