//! Every fluid there is, with its range and where its properties come from.

use serde::Deserialize;

use crate::data::{self, FluidData};
use crate::plain_liquid::{PlainLiquid, PropertySource};
use crate::transport::Transport;
use crate::{FluidError, Liquid};

/// Other ways to write a fluid: formulas and the short words of the trade.
const SHORT: [(&str, &str); 22] = [
    ("N2", "nitrogen"),
    ("He", "helium"),
    ("He4", "helium"),
    ("Ar", "argon"),
    ("O2", "oxygen"),
    ("H2O", "water"),
    ("DI water", "water"),
    ("C2H5OH", "ethanol"),
    ("C2H6O", "ethanol"),
    ("EtOH", "ethanol"),
    ("CO2", "carbon dioxide"),
    ("CH4", "methane"),
    ("N2O", "nitrous oxide"),
    ("H2", "hydrogen"),
    ("C3H8", "propane"),
    ("CH3OH", "methanol"),
    ("MeOH", "methanol"),
    ("dodecane", "n-dodecane"),
    ("IPA", "isopropanol"),
    ("heptane", "n-heptane"),
    ("HTP", "hydrogen peroxide 90 %"),
    ("pH2", "parahydrogen"),
];

/// Those that say that it is a gas.
const SHORT_OF_GAS: [(&str, &str); 4] = [
    ("GN2", "nitrogen"),
    ("GHe", "helium"),
    ("GOX", "oxygen"),
    ("GH2", "hydrogen"),
];

/// Those that say that it is a liquid.
const SHORT_OF_LIQUID: [(&str, &str); 5] = [
    ("LN2", "nitrogen"),
    ("LOX", "oxygen"),
    ("LCH4", "methane"),
    ("LH2", "parahydrogen"),
    ("LAr", "argon"),
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
    let names = data::names().chain(Liquid::names().iter().copied());
    let names = names.map(|name| (name, name)).chain(SHORT);
    meant(text, names.chain(SHORT_OF_GAS).chain(SHORT_OF_LIQUID))
}

/// The same of a gas, which no short word for a liquid means.
#[must_use]
pub fn canonical_gas(text: &str) -> Option<&'static str> {
    let names = data::names().map(|name| (name, name)).chain(SHORT);
    meant(text, names.chain(SHORT_OF_GAS))
}

/// The same of a liquid in a tank, which no short word for a gas means. Cold hydrogen is parahydrogen: it turns into
/// it as it stands.
#[must_use]
pub fn canonical_liquid(text: &str) -> Option<&'static str> {
    let liquids = Liquid::names().iter().copied();
    let names = liquids.chain(["hydrogen"]).map(|name| (name, name));
    let name = match meant(text, names.chain(SHORT).chain(SHORT_OF_LIQUID))? {
        "hydrogen" => "parahydrogen",
        name => name,
    };
    Liquid::names().contains(&name).then_some(name)
}

/// Letters and digits alone count, in any case.
fn meant(
    text: &str,
    mut known: impl Iterator<Item = (&'static str, &'static str)>,
) -> Option<&'static str> {
    let plain = |text: &str| {
        let letters = text.chars().filter(|c| c.is_alphanumeric());
        letters.collect::<String>().to_lowercase()
    };
    let asked = plain(text);
    let found = known.find(|(written, _)| plain(written) == asked);
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
