//! The fibre about the liner of a composite bottle.

use super::heat::Heat;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use fluids::Solid;
use shared::quantity::Dimension;
use sim_core::network as net;
use std::sync::Arc;

/// Fibre in resin, wound about a liner: the wall of the bottle is then the liner alone.
#[derive(Clone, Debug)]
pub struct Overwrap {
    mass: InputId,
    conductivity: InputId,
    material: Arc<Solid>,
}

const MASS: Key = Key::new(Overwrap::KEY, &[Dimension::Mass], Range::Positive, "3 kg");
const CONDUCTIVITY: Key = Key::new(
    "overwrap_conductivity",
    &[Dimension::ThermalConductivity],
    Range::Positive,
    "0.7 W/mK",
);

impl Overwrap {
    /// The key with which a bottle has one.
    pub const KEY: &str = "overwrap_mass";

    /// Reads it; none if there is none, or if no heat reaches it: without exchange, or where the wall
    /// is held at its temperature.
    pub fn read(reader: &mut TableReader<'_>, heat: Heat) -> Option<Self> {
        let mass = reader.optional(MASS);
        let is_reached = mass.is_some() && !matches!(heat, Heat::None | Heat::Isothermal);
        let conductivity = if is_reached {
            let reason = "carbon fibre in epoxy, across the fibres: 0.87 at 300 K (Incropera et al., 6th ed., table A.2, 25 % fibre; from memory), laminates from 0.5 on";
            Some(reader.or_default(CONDUCTIVITY, "0.5 .. 1.0 W/mK", reason))
        } else {
            reader.optional(CONDUCTIVITY)
        };
        let material = Solid::named("composite").ok().map(Arc::new);
        Some(Self {
            mass: mass.filter(|_| is_reached)?,
            conductivity: conductivity?,
            material: material?,
        })
    }

    /// What the equations run on, about a liner of an area: the layer is thin against the bottle, and
    /// half of it stands between the liner and the temperature of the lump.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>, area_m2: f64) -> net::Overwrap {
        let mass_kg = values.si(self.mass);
        let half_m = 0.5 * mass_kg / (self.material.density_kg_m3() * area_m2);
        net::Overwrap {
            mass_kg,
            material: self.material.clone(),
            to_liner_w_k: values.si(self.conductivity) * area_m2 / half_m,
        }
    }
}
