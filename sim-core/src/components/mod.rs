//! One physical thing per file. A component sees potentials (pressure, temperature,
//! composition) and answers with fluxes or rates; it never sees the network.

pub mod actuator;
pub mod burst_disc;
pub mod chain;
pub mod characteristic;
pub mod cryogenic_tank;
pub mod film;
pub mod fittings;
pub mod friction;
pub mod gas;
pub mod gas_line;
pub mod installed;
pub mod liquid_choking;
pub mod outlet_dip;
pub mod poppet;
pub mod regulator;
pub mod regulator_loop;
pub mod restriction;
pub mod tank;
pub mod tank_shape;
pub mod toroidal_nozzle;
pub mod vessel;
pub mod wall;
