//! How gas gets into a cryogenic tank.

use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::network as net;

/// How gas gets in.
#[derive(Clone, Copy, Debug)]
pub enum Inlet {
    /// By a diffuser.
    Diffuser,
    /// By a straight pipe of a bore.
    Pipe(InputId),
    /// By a tube of a bore through the liquid.
    DipTube(InputId),
    /// In bubbles through the liquid.
    Bubbled,
}

#[derive(Clone, Copy, PartialEq)]
enum Word {
    Diffuser,
    Pipe,
    DipTube,
    Bubbled,
}

const WORDS: [(&str, Word); 4] = [
    ("diffuser", Word::Diffuser),
    ("pipe", Word::Pipe),
    ("dip_tube", Word::DipTube),
    ("bubbled", Word::Bubbled),
];

const BORE: Key = Key::new("inlet_bore", &[Dimension::Length], Range::Positive, "10 mm");

impl Inlet {
    /// Reads it.
    pub fn read(reader: &mut TableReader<'_>) -> Self {
        let reason = "gas spreads over the top of the ullage without stirring it";
        let word = reader.word_or("inlet", &WORDS, WORDS[0], reason);
        let bore = reader.optional(BORE);
        match (word, bore) {
            (Word::Bubbled, None) => {
                assume_bubbles(reader);
                Self::Bubbled
            }
            (Word::Diffuser, None) => Self::Diffuser,
            (Word::Pipe, Some(bore)) => {
                assume_jet(reader);
                Self::Pipe(bore)
            }
            (Word::DipTube, Some(bore)) => {
                assume_tube(reader);
                Self::DipTube(bore)
            }
            (Word::Pipe | Word::DipTube, None) => {
                if reader.has("inlet") {
                    reader.missing(BORE.name, BORE.example);
                }
                Self::Diffuser
            }
            (Word::Bubbled | Word::Diffuser, Some(_)) => {
                let message = "inlet_bore belongs to an inlet by a pipe or a dip tube".to_owned();
                let remedy = "write inlet = \"pipe\" or \"dip_tube\", or leave it out".to_owned();
                reader.error_at(BORE.name, &codes::EITHER_OR, message, remedy);
                Self::Diffuser
            }
        }
    }

    /// Whether gas comes in bubbles through the liquid.
    #[must_use]
    pub fn is_bubbled(&self) -> bool {
        matches!(self, Self::Bubbled)
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::Inlet {
        match *self {
            Self::Diffuser => net::Inlet::Diffuser,
            Self::Pipe(bore) => net::Inlet::Pipe {
                bore_m: values.si(bore),
            },
            Self::DipTube(bore) => net::Inlet::DipTube {
                bore_m: values.si(bore),
            },
            Self::Bubbled => net::Inlet::Bubbled,
        }
    }
}

fn assume_jet(reader: &mut TableReader<'_>) {
    let path = reader.path_of("inlet");
    let value = "a jet down the middle from the highest point";
    let reason = "reach by Turner 1966, entrainment by Ricou and Spalding 1961, transfer to the surface by Martin \
                  1977, to the wall by Woodfield et al. 2007; constants from memory";
    reader.context.assume(&path, value, reason);
}

fn assume_bubbles(reader: &mut TableReader<'_>) {
    let path = reader.path_of("inlet");
    let value = "bubbles in equilibrium with the liquid: its temperature, full of vapour, gas dissolved till \
                 the bulk is saturated";
    let reason = "small bubbles, deep liquid; the light gas then mixes the ullage: no source";
    reader.context.assume(&path, value, reason);
}

fn assume_tube(reader: &mut TableReader<'_>) {
    let path = reader.path_of("inlet");
    let value = "a bare tube of the liquid's depth, without heat capacity";
    let reason = "inside 0.023 Re^0.8 Pr^0.4 (Dittus and Boelter, McAdams 1942), outside wet_film";
    reader.context.assume(&path, value, reason);
}
