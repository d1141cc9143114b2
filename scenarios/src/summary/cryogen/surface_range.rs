//! Whether the surface layer is as deep as heat goes into the liquid while its tank is pressed.

use super::super::Run;
use super::super::cautions::warning;
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{Tank, VolumeId};
use sim_core::outcome::Warning;

/// Pressure, in that of the start, up to which the surface hardly warms.
const AS_AT_START: f64 = 1.05;

/// Warns of a surface layer that heat goes through: into a half-space whose surface is suddenly
/// warmer it goes `2 sqrt(a t)` deep, where a sixth of the step is felt (erfc 1 = 0.157; Carslaw and
/// Jaeger, Conduction of Heat in Solids, 2nd edition, section 2.5), here with the diffusivity a of
/// the liquid times its mixing.
pub(super) fn caution(run: &Run, id: VolumeId, tank: &Tank, display: &Display) -> Option<Warning> {
    let cryogen = tank.cryogen.as_ref()?;
    let name = run.volume_name(id);
    let pressure = run.trace(name, "pressure_pa")?;
    let (first, last) = run.whole_s();
    let pressed_s = last - pressure.last_below(AS_AT_START * pressure.after(first))?;
    let liquid = tank.liquid.at(tank.liquid_temperature_k).ok()?;
    let diffusivity =
        liquid.conductivity_w_m_k / (liquid.density_kg_m3 * liquid.heat_capacity_j_kg_k);
    let reach_m = 2.0 * (cryogen.liquid_mixing * diffusivity * pressed_s).sqrt();
    let surface_m2 = TankGeometry::new(&tank.shape)?.surface(tank.liquid_volume_m3);
    let depth_m = tank.liquid_volume_m3 / surface_m2;
    let text = |m: f64| display.text(Dimension::Length, m);
    let message = format!(
        "{name}: pressed for {}, in which heat goes {} deep into its liquid, through the surface layer of {} \
         (surface_layer) into the bulk: the surface stays too cold and the pressure rises too little. Write \
         surface_layer = \"{:.0} mm\" or more",
        display.text(Dimension::Time, pressed_s),
        text(reach_m),
        text(cryogen.surface_layer_m),
        (1e3 * reach_m.min(depth_m)).ceil()
    );
    let is_through = cryogen.surface_layer_m < reach_m.min(depth_m);
    is_through.then(|| warning(&codes::SURFACE_LAYER, message))
}
