//! Which gases and liquids may be named, and `[perfect_gas.NAME]`.

use super::formulas::meant;
use crate::document::Table;
use crate::input::Range;
use crate::read::{Context, Key, TableReader};
use fluids::{Liquid, SpeciesSpec};
use shared::quantity::Dimension;
use shared::{Diagnostic, Span, codes};

/// Gases with published equations.
const GASES: [&str; 11] = [
    "nitrogen",
    "helium",
    "argon",
    "oxygen",
    "air",
    "carbon dioxide",
    "methane",
    "propane",
    "nitrous oxide",
    "hydrogen",
    "parahydrogen",
];
/// A gas that the file names.
#[derive(Clone, Debug, PartialEq)]
pub struct GasName {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub span: Span,
}

/// The perfect gases of a file.
#[derive(Clone, Debug, Default)]
pub struct Gases {
    perfect: Vec<SpeciesSpec>,
}

const RATIO: Key = Key::new(
    "heat_capacity_ratio",
    &[Dimension::Fraction],
    Range::AboveOne,
    "1.4",
);
const MOLAR_MASS: Key = Key::new(
    "molar_mass",
    &[Dimension::MolarMass],
    Range::Positive,
    "28 g/mol",
);

impl Gases {
    /// Reads one perfect gas.
    pub fn define(&mut self, context: &mut Context, name: &str, span: &Span, table: &Table) {
        if GASES.contains(&name) || Liquid::names().contains(&name) {
            let message = format!("\"{name}\" is a real fluid and cannot be made a perfect gas");
            let diagnostic = Diagnostic::error(&codes::NAME_TAKEN, message).at(span, "");
            context.report(diagnostic.remedy("give the perfect gas a name of its own"));
        }
        let mut reader =
            TableReader::new(context, format!("perfect_gas.{name}"), Some(span), table);
        let (heat_capacity_ratio, molar_mass_kg_mol) = Self::read_one(&mut reader);
        self.perfect.push(SpeciesSpec::Perfect {
            name: name.to_owned(),
            heat_capacity_ratio,
            molar_mass_kg_mol,
        });
        reader.finish();
    }

    /// Heat capacity ratio and molar mass in kg/mol of one perfect gas.
    pub fn read_one(reader: &mut TableReader<'_>) -> (f64, f64) {
        let (ratio, molar_mass) = (reader.required(RATIO), reader.required(MOLAR_MASS));
        let values = reader.context.inputs.nominal();
        let number = |id: Option<_>, fallback| id.map_or(fallback, |id| values.si(id));
        (number(ratio, 1.4), number(molar_mass, 0.028))
    }

    /// Reads the name of a gas under a key.
    pub fn read(
        &self,
        reader: &mut TableReader<'_>,
        key: &'static str,
        is_required: bool,
    ) -> Option<GasName> {
        reader.describe(key, "a name, as \"nitrogen\": pressfed fluid --list");
        if is_required && !reader.has(key) {
            reader.missing(key, "nitrogen");
        }
        let (node, text) = reader.text(key)?;
        let known: Vec<&str> = self.names().collect();
        let called = || fluids::canonical_gas(text).filter(|name| GASES.contains(name));
        let own = known.iter().copied().find(|&name| name == text);
        let Some(name) = own.or_else(called) else {
            let message = format!("there is no gas \"{text}\" here");
            let listed: Vec<String> = known.iter().map(|g| format!("\"{g}\"")).collect();
            reader.context.report(
                Diagnostic::error(&codes::UNKNOWN_FLUID, message)
                    .at(&node.span, "")
                    .remedy(format!(
                        "write one of {}, or define it as [perfect_gas.NAME]",
                        listed.join(", ")
                    ))
                    .meant(meant(text, &known)),
            );
            return None;
        };
        Some(GasName {
            name: name.to_owned(),
            span: node.span.clone(),
        })
    }

    /// What the property engine is asked for.
    #[must_use]
    pub fn spec(&self, name: &str) -> SpeciesSpec {
        let perfect = self.perfect.iter().find(|spec| spec_name(spec) == name);
        perfect
            .cloned()
            .unwrap_or_else(|| SpeciesSpec::Named(name.to_owned()))
    }

    fn names(&self) -> impl Iterator<Item = &str> {
        GASES.into_iter().chain(self.perfect.iter().map(spec_name))
    }
}

fn spec_name(spec: &SpeciesSpec) -> &str {
    match spec {
        SpeciesSpec::Named(name) | SpeciesSpec::Perfect { name, .. } => name,
    }
}
