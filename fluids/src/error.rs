//! Every way in which a property can be refused.

use thiserror::Error;

/// A number to seven digits, in plain figures where they are short.
fn number(value: f64) -> String {
    let digits = 6_i32.saturating_sub(value.abs().log10().floor() as i32);
    if value == 0.0 || !(0..=9).contains(&digits) {
        return format!("{value:.6e}");
    }
    let plain = format!("{value:.*}", digits as usize);
    if digits == 0 {
        return plain;
    }
    plain.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A refusal: it names the fluid, the state with its unit, the valid range and the remedy.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum FluidError {
    /// No fluid of this name is known.
    #[error("there is no fluid called \"{name}\"; known are {}", known.join(", "))]
    UnknownFluid {
        /// The name that was asked for.
        name: String,
        /// All names that would have been understood.
        known: Vec<String>,
    },
    /// A state outside the range of the published equation.
    #[error(
        "{fluid}: {what} {} {unit} is outside the valid range {} to {} {unit}; \
         change the state, or the component that leads to it, so that it stays inside",
        number(*value), number(*low), number(*high)
    )]
    OutOfRange {
        /// Name of the fluid.
        fluid: String,
        /// The quantity that left its range.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Unit of the value and of both limits.
        unit: &'static str,
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
    },
    /// The state lies beyond the melting line.
    #[error(
        "{fluid} would be frozen at {temperature_k:.3} K and {pressure_pa:.6e} Pa: it melts at \
         {melting_pressure_pa:.6e} Pa there; raise the temperature or lower the pressure"
    )]
    Frozen {
        /// Name of the fluid.
        fluid: String,
        /// Temperature, K.
        temperature_k: f64,
        /// Pressure, Pa.
        pressure_pa: f64,
        /// Melting pressure at that temperature, Pa.
        melting_pressure_pa: f64,
    },
    /// A liquid, or its vapour, that has come down to where it freezes.
    #[error(
        "{fluid} freezes: its temperature has come down to {temperature_k:.3} K, where it boils at \
         {pressure_pa:.0} Pa, and ice is not carried; let it boil under a higher pressure, or end the \
         run before"
    )]
    Freezes {
        /// Name of the fluid.
        fluid: String,
        /// Where it freezes, K.
        temperature_k: f64,
        /// Pressure at which it boils there, Pa.
        pressure_pa: f64,
    },
    /// A liquid that has come up to the end of its tables, which for one that boils is next to its critical
    /// point.
    #[error(
        "{fluid} has warmed up to {temperature_k:.3} K, where it boils at {pressure_pa:.0} Pa: nearer to its \
         critical point it is not known as a liquid; press it less, or end the run before"
    )]
    TooWarm {
        /// Name of the fluid.
        fluid: String,
        /// Where its tables end, K.
        temperature_k: f64,
        /// Pressure at which it boils there, Pa.
        pressure_pa: f64,
    },
    /// A state between the bubble and dew curves of a mixture treated as one fluid.
    #[error(
        "{fluid} would partly condense here (its dew curve is at {dew:.6} {unit}); treated as one fluid it \
         has no two-phase states: keep it warmer, or ask for its components"
    )]
    Condenses {
        /// Name of the fluid.
        fluid: String,
        /// Where the dew curve lies.
        dew: f64,
        /// Unit of that value.
        unit: &'static str,
    },
    /// A value that is not a number reached the property engine.
    #[error("{fluid}: {what} is not a finite number ({value}); look at what computed it")]
    NotFinite {
        /// Name of the fluid.
        fluid: String,
        /// The offending quantity.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// A mixture of gases of which no temperature has the energy asked for.
    #[error(
        "{fluid}: no gas of {} kg/m3 has this little energy: a part of it would condense, and liquid in a gas is not \
         carried; keep it warmer or at a lower pressure, or take a gas that boils colder, such as helium",
        number(*density_kg_m3)
    )]
    NoGas {
        /// Names of the gases.
        fluid: String,
        /// Density of them all, kg/m3.
        density_kg_m3: f64,
    },
    /// A solver found no state.
    #[error(
        "{fluid}: no state found for {task}; the nearest valid state may lie across a phase boundary"
    )]
    NoSolution {
        /// Name of the fluid.
        fluid: String,
        /// What was to be solved, with its values and units.
        task: String,
    },
    /// The question makes no sense for this fluid.
    #[error("{fluid}: {question} is not available: {reason}")]
    NotAvailable {
        /// Name of the fluid.
        fluid: String,
        /// What was asked.
        question: &'static str,
        /// Why it cannot be answered, and what to use instead.
        reason: &'static str,
    },
    /// A list of species that makes no mixture.
    #[error("this gas mixture cannot be made: {message}")]
    InvalidMixture {
        /// What is wrong and what to do.
        message: String,
    },
    /// A committed data file does not parse: an error of the build, not of the user.
    #[error("data of {fluid} are damaged: {message}")]
    Data {
        /// Name of the fluid.
        fluid: String,
        /// What the parser says.
        message: String,
    },
}

impl FluidError {
    /// The refusal of a value outside its range, both in one unit.
    pub(crate) fn out_of_range(
        fluid: &str,
        what: &'static str,
        unit: &'static str,
        value: f64,
        (low, high): (f64, f64),
    ) -> Self {
        Self::OutOfRange {
            fluid: fluid.to_owned(),
            what,
            value,
            unit,
            low,
            high,
        }
    }
}
