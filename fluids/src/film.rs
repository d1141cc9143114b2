//! What free convection asks of one gas, tabled over ln(1 + rho/rho_1) and ln T.
//!
//! Logarithms of conductivity, viscosity, heat capacity cp and expansivity beta T stand on
//! bicubic splines, filled on first use from the equation of state and the transport tables.
//! Between the phases they go straight (in logarithms) over density from the saturated vapour to
//! the saturated liquid, so that a gas that begins to condense keeps the film of its vapour.
//! Within a tenth of the critical temperature and a third of the critical density the table
//! rounds the critical peaks off.

use crate::FluidError;
use crate::pure::PureFluid;
use crate::spline::{Axis, Surfaces};
use crate::transport::{GasTransport, Transport};

const DENSITY_INTERVALS: usize = 72;
const TEMPERATURE_INTERVALS: usize = 48;

/// Density rho_1 up to which the steps are even, in critical densities: cold vapour is thin.
const EVEN_TO: f64 = 0.05;

/// Logarithms of conductivity, viscosity, cp and beta T.
type Row = [f64; 4];

/// The table of one gas.
#[derive(Debug)]
pub(crate) struct FilmTable {
    name: String,
    surfaces: Surfaces<4>,
    /// rho_1, kg/m3.
    even_to: f64,
    temperatures_k: (f64, f64),
    density_max: f64,
}

impl FilmTable {
    /// Fills the table of a gas.
    ///
    /// # Errors
    /// If its transport properties are not those of a gas.
    pub fn new(fluid: &PureFluid) -> Result<Self, FluidError> {
        let Transport::Gas(transport) = Transport::named(fluid.name())? else {
            return Err(FluidError::NotAvailable {
                fluid: fluid.name().to_owned(),
                question: "the film of a dense gas",
                reason: "it is tabled as a liquid and its dilute vapour",
            });
        };
        let (low, high) = transport.temperatures_k;
        let even_to = EVEN_TO * fluid.equation().reducing_density_kg_m3;
        let end = (transport.density_max_kg_m3 / even_to).ln_1p();
        let across = Axis::new(0.0, end, DENSITY_INTERVALS);
        let along = Axis::new(low.ln(), high.ln(), TEMPERATURE_INTERVALS);
        let density = |x: f64| (even_to * x.exp_m1()).clamp(THIN, transport.density_max_kg_m3);
        let densities: Vec<f64> = across.nodes().map(density).collect();
        let mut rows = vec![Vec::new(); densities.len()];
        for log in along.nodes() {
            let isotherm = Isotherm::new(fluid, transport, log.exp().clamp(low, high));
            for (row, value) in rows.iter_mut().zip(isotherm.rows(&densities)?) {
                row.push(value);
            }
        }
        Ok(FilmTable {
            name: fluid.name().to_owned(),
            surfaces: Surfaces::new(across, along, &rows),
            even_to,
            temperatures_k: (low, high),
            density_max: transport.density_max_kg_m3,
        })
    }

    /// The four logarithms at a density and a temperature, each with its derivatives by density
    /// and by temperature. A gas hotter than its table has the film of the hot end: of what is
    /// there only a film coefficient is known less well.
    pub fn at(&self, density: f64, t: f64) -> Result<[[f64; 3]; 4], FluidError> {
        self.held(density, t, t.min(self.temperatures_k.1))
    }

    /// The same for a species of a mixture, as a gas however cold the others are: below its table it
    /// has the film of the cold end.
    pub fn among_others(&self, density: f64, t: f64) -> Result<[[f64; 3]; 4], FluidError> {
        let (low, high) = self.temperatures_k;
        self.held(density, t, t.clamp(low, high))
    }

    /// What is tabled at one temperature, held from there to another.
    fn held(&self, density: f64, t: f64, tabled_k: f64) -> Result<[[f64; 3]; 4], FluidError> {
        let mut rows = self.tabled(density, tabled_k)?;
        if t != tabled_k {
            for row in &mut rows {
                row[2] = 0.0;
            }
        }
        Ok(rows)
    }

    fn tabled(&self, density: f64, t: f64) -> Result<[[f64; 3]; 4], FluidError> {
        let (low, high) = self.temperatures_k;
        if !(low..=high).contains(&t) {
            let what = "temperature of the film";
            return Err(FluidError::out_of_range(
                &self.name,
                what,
                "K",
                t,
                (low, high),
            ));
        }
        if !(0.0..=self.density_max).contains(&density) {
            let what = "density of the film";
            let range = (0.0, self.density_max);
            return Err(FluidError::out_of_range(
                &self.name, what, "kg/m3", density, range,
            ));
        }
        let mut rows = self
            .surfaces
            .at((1.0 + density / self.even_to).ln(), t.ln());
        for row in &mut rows {
            row[1] /= self.even_to + density;
            row[2] /= t;
        }
        Ok(rows)
    }
}

/// Stands for zero density, where the equation of state is not evaluated, kg/m3.
const THIN: f64 = 1e-6;

/// One temperature of the table.
struct Isotherm<'a> {
    fluid: &'a PureFluid,
    transport: &'a GasTransport,
    t: f64,
    /// Densities of liquid and vapour in equilibrium.
    phases: Option<[f64; 2]>,
}

impl<'a> Isotherm<'a> {
    fn new(fluid: &'a PureFluid, transport: &'a GasTransport, t: f64) -> Self {
        let edge = fluid.phases.edge(fluid.equation(), t);
        Isotherm {
            fluid,
            transport,
            t,
            phases: edge.map(|edge| edge.density_kg_m3),
        }
    }

    fn rows(&self, densities: &[f64]) -> Result<Vec<Row>, FluidError> {
        let ends = match self.phases {
            Some([liquid, vapour]) => Some([self.single(liquid)?, self.single(vapour)?]),
            None => None,
        };
        let mut last = self.single(THIN)?;
        let mut rows = Vec::with_capacity(densities.len());
        for &density in densities {
            let row = match (self.phases, ends) {
                (Some([liquid, vapour]), Some([wet, dry]))
                    if density > vapour && density < liquid =>
                {
                    let share = (density - vapour) / (liquid - vapour);
                    [0, 1, 2, 3].map(|k: usize| dry[k] + share * (wet[k] - dry[k]))
                }
                _ => self.single(density)?,
            };
            // Denser than any state of the fluid the equation may give no real numbers.
            if row.iter().all(|value| value.is_finite()) {
                last = row;
            }
            rows.push(last);
        }
        Ok(rows)
    }

    fn single(&self, density: f64) -> Result<Row, FluidError> {
        let state = self.fluid.equation().state(density, self.t);
        let [viscosity, conductivity] = self.transport.at(self.fluid, density, self.t)?;
        let expansivity = state.pressure_by_temperature() / (density * state.pressure_by_density());
        let row = [
            conductivity,
            viscosity,
            state.cp_j_kg_k(),
            expansivity * self.t,
        ];
        Ok(row.map(f64::ln))
    }
}
