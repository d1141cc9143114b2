//! The components of a stand: one kind a file, with what the file may say of it, its
//! defaults, and what it is lowered to.

mod burst_disc;
mod capacity;
mod check_valve;
mod cryogen;
mod dissolution;
mod ends;
mod fittings;
mod heat;
mod inlet;
mod key_help;
mod line;
mod meanings;
mod orifice;
mod overwrap;
mod regulator;
mod relief;
mod tank;
mod tank_shape;
mod valve;
mod venturi;
mod vessel;

pub use burst_disc::BurstDisc;
pub use capacity::Capacity;
pub use check_valve::CheckValve;
pub use cryogen::{Cryogen, StartTemperature};
pub use ends::End;
pub use heat::cylinder;
pub use key_help::{KeyHelp, Observed, TABLES, keys_of, kinds, observed_of};
pub use line::Line;
pub use orifice::Orifice;
pub use regulator::{Regulator, Supply};
pub use relief::Relief;
pub use tank::{Fill, Tank};
pub use valve::Valve;
pub use venturi::Venturi;
pub use vessel::Vessel;

use crate::document::Table;
use crate::read::{Context, TableReader};
use crate::tables::{Gases, Model};
use shared::{Diagnostic, Span};

/// The kinds of component.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Gas bottle.
    Bottle,
    /// Gas volume between branches.
    Plenum,
    /// Propellant tank.
    Tank,
    /// Pressure regulator.
    Regulator,
    /// Check valve.
    CheckValve,
    /// Relief valve.
    Relief,
    /// Burst disc.
    BurstDisc,
    /// Fixed restriction.
    Orifice,
    /// Valve on an actuator.
    Valve,
    /// Liquid line.
    Line,
    /// Venturi in liquid.
    Venturi,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 11] = [
        Self::Bottle,
        Self::Plenum,
        Self::Tank,
        Self::Regulator,
        Self::CheckValve,
        Self::Relief,
        Self::BurstDisc,
        Self::Orifice,
        Self::Valve,
        Self::Line,
        Self::Venturi,
    ];

    /// How the stand file spells it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Bottle => "bottle",
            Self::Plenum => "plenum",
            Self::Tank => "tank",
            Self::Regulator => "regulator",
            Self::CheckValve => "check_valve",
            Self::Relief => "relief",
            Self::BurstDisc => "burst_disc",
            Self::Orifice => "orifice",
            Self::Valve => "valve",
            Self::Line => "line",
            Self::Venturi => "venturi",
        }
    }

    /// True for what stores, false for what moves.
    #[must_use]
    pub fn is_volume(self) -> bool {
        matches!(self, Self::Bottle | Self::Plenum | Self::Tank)
    }

    /// True for what passes gas only.
    #[must_use]
    pub fn is_for_gas_only(self) -> bool {
        matches!(
            self,
            Self::Regulator | Self::CheckValve | Self::Relief | Self::BurstDisc
        )
    }
}

/// A component as it was read.
#[derive(Clone, Debug)]
pub struct Component {
    /// Its kind.
    pub kind: Kind,
    /// Its name.
    pub name: String,
    /// Where its name stands in its heading.
    pub span: Span,
    /// What it is plumbed to upstream, if it is a branch.
    pub from: Option<End>,
    /// What it is plumbed to downstream, if it says so.
    pub to: Option<End>,
    /// What it is made of; none if that could not be read.
    pub body: Option<Body>,
}

/// Reports what there is to say of a part, at its heading where it has one.
pub fn report_of(
    name: &str,
    diagnostic: Diagnostic,
    components: &[Component],
    context: &mut Context,
) {
    let component = components.iter().find(|c| c.name == name);
    context.report(match component {
        Some(component) => diagnostic.at(&component.span, ""),
        None => diagnostic,
    });
}

impl Component {
    /// `kind.name`.
    #[must_use]
    pub fn path(&self) -> String {
        format!("{}.{}", self.kind.word(), self.name)
    }
}

/// A component of a kind that is not known: its name and what it is plumbed to, so that
/// nothing more is said about whatever it touches.
#[derive(Clone, Debug, PartialEq)]
pub struct Ghost {
    /// Its name.
    pub name: String,
    /// The names in its from and to.
    pub ends: Vec<String>,
}

/// What components are made of.
#[derive(Clone, Debug)]
pub enum Body {
    /// A bottle or a plenum.
    Vessel(Vessel),
    /// A tank.
    Tank(Box<Tank>),
    /// A regulator.
    Regulator(Regulator),
    /// A check valve.
    CheckValve(CheckValve),
    /// A relief valve.
    Relief(Relief),
    /// A burst disc.
    BurstDisc(BurstDisc),
    /// An orifice.
    Orifice(Orifice),
    /// A valve.
    Valve(Valve),
    /// A line.
    Line(Line),
    /// A venturi.
    Venturi(Venturi),
}

/// What the components of a stand share.
#[derive(Debug)]
pub struct Surroundings<'a> {
    /// The air around.
    pub ambient: &'a crate::tables::Ambient,
    /// Multipliers of the models.
    pub model: &'a Model,
    /// Gases that may be named.
    pub gases: &'a Gases,
}

/// Reads one component's table.
pub fn read(
    kind: Kind,
    name: &str,
    span: &Span,
    table: &Table,
    around: &Surroundings<'_>,
    context: &mut Context,
) -> Component {
    let path = format!("{}.{name}", kind.word());
    let mut reader = TableReader::new(context, path, Some(span), table);
    let (from, to) = if kind.is_volume() {
        (None, None)
    } else {
        ends::read(&mut reader)
    };
    let body = read_body(kind, &mut reader, around);
    reader.finish();
    Component {
        kind,
        name: name.to_owned(),
        span: span.clone(),
        from,
        to,
        body,
    }
}

fn read_body(kind: Kind, reader: &mut TableReader<'_>, around: &Surroundings<'_>) -> Option<Body> {
    Some(match kind {
        Kind::Bottle => Body::Vessel(Vessel::read_bottle(reader, around)?),
        Kind::Plenum => Body::Vessel(Vessel::read_plenum(reader, around)?),
        Kind::Tank => Body::Tank(Box::new(Tank::read(reader, around)?)),
        Kind::Regulator => Body::Regulator(Regulator::read(reader)?),
        Kind::CheckValve => Body::CheckValve(CheckValve::read(reader)?),
        Kind::Relief => Body::Relief(Relief::read(reader)?),
        Kind::BurstDisc => Body::BurstDisc(BurstDisc::read(reader)?),
        Kind::Orifice => Body::Orifice(Orifice::read(reader)?),
        Kind::Valve => Body::Valve(Valve::read(reader)?),
        Kind::Line => Body::Line(Line::read(reader)?),
        Kind::Venturi => Body::Venturi(Venturi::read(reader)?),
    })
}
