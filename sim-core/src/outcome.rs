//! What a run leaves behind: history, events, balances, warnings, statistics.

use crate::elastic_column::Stopped;
use fluids::FluidError;
use std::fmt;

/// Options of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunOptions {
    /// End of the run.
    pub until_s: f64,
    /// Spacing of the history's uniform grid.
    pub output_step_s: f64,
    /// Into how many parts the output step is divided by rows that are only there to be read.
    pub readings: u32,
    /// Rows to be read at the middle and end of each step of the integration, too: they cost
    /// nothing, and are dense where much happens.
    pub step_rows: bool,
    /// Relative tolerance of the integrator.
    pub tolerance: f64,
    /// Which integrator.
    pub integrator: Integrator,
}

/// The integrators that can carry a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Integrator {
    /// Linearly implicit Rosenbrock of order 5 (Steinebach 2023).
    Rodas5p,
    /// Explicit Runge-Kutta 5(4) of Dormand and Prince.
    Dopri5,
}

/// Everything that a run computed, also when it failed on the way.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The history.
    pub history: History,
    /// Least and greatest value of every column, in the order of the columns. Pressures before
    /// a place where a column is stopped are held to the bound of [`Surge`].
    pub extremes: Vec<Extremes>,
    /// What happened, in the order of time.
    pub events: Vec<Event>,
    /// Mass and energy audit.
    pub balances: Balances,
    /// Stops of a liquid column that a rigid column does not describe.
    pub surges: Vec<Surge>,
    /// Where a liquid column parts.
    pub partings: Vec<Parting>,
    /// What the models want to warn of.
    pub warnings: Vec<Warning>,
    /// How much work it took.
    pub statistics: Statistics,
    /// Why the run ended early, if it did.
    pub failure: Option<Failure>,
}

/// A table of observed quantities: a uniform time grid plus two rows per event, and between
/// these the readings that a run was asked for.
#[derive(Clone, Debug, Default)]
pub struct History {
    /// Column names, `component.quantity_unit`; the first is `time_s`.
    pub columns: Vec<String>,
    /// Values, row by row.
    pub values: Vec<f64>,
    /// The rows, in rising order, that are only there to be read: figures do not depend on how
    /// coarse a table someone wants to keep.
    pub readings: Vec<usize>,
}

impl History {
    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        if self.columns.is_empty() {
            0
        } else {
            self.values.len() / self.columns.len()
        }
    }

    /// True when nothing was recorded.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Adds a row of the grid or of an event.
    pub(crate) fn add(&mut self, row: &[f64]) {
        self.values.extend_from_slice(row);
    }

    /// Adds a row that is only there to be read.
    pub(crate) fn add_reading(&mut self, row: &[f64]) {
        self.readings.push(self.len());
        self.add(row);
    }

    /// The rows of the grid and of the events, without the readings between them.
    pub fn rows_to_keep(&self) -> impl Iterator<Item = &[f64]> {
        let is_kept = |row: &usize| self.readings.binary_search(row).is_err();
        (0..self.len()).filter(is_kept).map(|row| self.row(row))
    }

    /// Index of a column.
    #[must_use]
    pub fn index_of(&self, column: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == column)
    }

    /// Adds columns that were derived from the others, each with a value for every row; what is
    /// missing at their ends is not a number.
    pub fn append(&mut self, columns: Vec<(String, Vec<f64>)>) {
        let (rows, width) = (self.len(), self.columns.len());
        if width == 0 {
            return;
        }
        let mut values = Vec::with_capacity(rows * (width + columns.len()));
        for (row, before) in self.values.chunks_exact(width).enumerate() {
            values.extend_from_slice(before);
            let more = columns.iter().map(|(_, column)| column.get(row));
            values.extend(more.map(|value| value.copied().unwrap_or(f64::NAN)));
        }
        self.values = values;
        self.columns
            .extend(columns.into_iter().map(|(name, _)| name));
    }

    /// One row.
    ///
    /// # Panics
    /// If `row` is not below [`History::len`].
    #[must_use]
    pub fn row(&self, row: usize) -> &[f64] {
        let width = self.columns.len();
        &self.values[row * width..(row + 1) * width]
    }

    /// All values of a column, if there is such a column.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<Vec<f64>> {
        let index = self.index_of(name)?;
        Some((0..self.len()).map(|r| self.row(r)[index]).collect())
    }
}

/// Least and greatest value of a column, seen at the rows and within every step, so that a
/// peak between two rows is not missed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremes {
    /// Least value.
    pub least: Extreme,
    /// Greatest value.
    pub greatest: Extreme,
}

/// A value and when it was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// The value, in the column's unit.
    pub value: f64,
    /// When.
    pub time_s: f64,
}

impl Extremes {
    /// Nothing seen yet.
    #[must_use]
    pub fn nothing() -> Self {
        let extreme = |value| Extreme { value, time_s: 0.0 };
        Self {
            least: extreme(f64::INFINITY),
            greatest: extreme(f64::NEG_INFINITY),
        }
    }

    /// Looks at a value.
    pub fn see(&mut self, value: f64, time_s: f64) {
        if value < self.least.value {
            self.least = Extreme { value, time_s };
        }
        if value > self.greatest.value {
            self.greatest = Extreme { value, time_s };
        }
    }
}

/// Something that happened at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// When.
    pub time_s: f64,
    /// To which component (its name in the stand file).
    pub component: String,
    /// What.
    pub kind: EventKind,
}

/// What can happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// A valve was told to open.
    CommandedOpen,
    /// A valve was told to shut.
    CommandedShut,
    /// A valve began to move.
    MotionStarted,
    /// A valve reached the end of its stroke.
    MotionEnded,
    /// A regulator stopped flowing with its outlet at lock-up or above it.
    LockUp,
    /// A regulator left lock-up and began to flow.
    Regulating,
    /// A regulator is wide open: from here on it is a fixed orifice.
    RegulationLost,
    /// A check valve left its seat.
    CheckOpened,
    /// A check valve is back on its seat.
    CheckSeated,
    /// A relief valve left its seat.
    ReliefLifted,
    /// A relief valve is back on its seat.
    ReliefReseated,
    /// A burst disc burst.
    Burst,
    /// Liquid reached the end of a dry line.
    Primed,
    /// The tank's outlet is uncovered.
    Depleted,
    /// Only gas is left in a liquid line.
    GasThrough,
}

impl fmt::Display for EventKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::CommandedOpen => "commanded open",
            Self::CommandedShut => "commanded shut",
            Self::MotionStarted => "starts to move",
            Self::MotionEnded => "stroke ends",
            Self::LockUp => "shuts, at lock-up or above",
            Self::Regulating => "regulates",
            Self::RegulationLost => "wide open, regulation lost",
            Self::CheckOpened => "off its seat",
            Self::CheckSeated => "seated",
            Self::ReliefLifted => "relief lifts",
            Self::ReliefReseated => "relief reseats",
            Self::Burst => "disc bursts",
            Self::Primed => "line full of liquid",
            Self::Depleted => "outlet uncovered",
            Self::GasThrough => "only gas in the line",
        })
    }
}

/// A difference between rigid and elastic column of this part of the elastic pressure is no news.
const NO_NEWS: f64 = 0.05;

/// A liquid column is stopped faster than a rigid column can tell. Pressures absolute.
#[derive(Clone, Debug, PartialEq)]
pub struct Surge {
    /// The valve or orifice that stops it.
    pub component: String,
    /// When the stop begins.
    pub time_s: f64,
    /// What stops it.
    pub cause: SurgeCause,
    /// Speed of the liquid before the stop.
    pub speed_m_s: f64,
    /// Inlet pressure before the stop.
    pub before_pa: f64,
    /// Highest inlet pressure that the rigid column gives, or what it would have given.
    pub rigid_pa: f64,
    /// Joukowsky's p + rho a v: what a stop at once makes of an elastic liquid without friction.
    pub bound_pa: f64,
}

/// What stops a column.
#[derive(Clone, Debug, PartialEq)]
pub enum SurgeCause {
    /// A valve that shuts.
    Shutting {
        /// Its stroke.
        stroke_s: f64,
        /// Time of a wave to the tank and back.
        echo_s: f64,
        /// What the elastic column does; none where it is not full of liquid.
        elastic: Option<Stopped>,
    },
    /// A restriction struck by the front of a filling line.
    Arrest {
        /// Inlet pressure of the elastic answer.
        elastic_pa: f64,
        /// Volume flow of the front.
        front_m3_s: f64,
        /// Effective area of the restriction.
        ahead_m2: f64,
    },
}

impl SurgeCause {
    /// Whether the column is stopped before a wave can come back from the tank.
    #[must_use]
    pub fn is_within_echo(&self) -> bool {
        matches!(self, Self::Shutting { stroke_s, echo_s, .. } if stroke_s <= echo_s)
    }
}

impl Surge {
    /// Highest inlet pressure of an elastic column where it is reckoned, else Joukowsky's.
    #[must_use]
    pub fn judged_pa(&self) -> f64 {
        match &self.cause {
            SurgeCause::Shutting {
                elastic: Some(stopped),
                ..
            } => stopped.peak_pa(),
            _ => self.bound_pa,
        }
    }

    /// Whether the rigid column's answer does not hold.
    #[must_use]
    pub fn is_beyond_rigid(&self) -> bool {
        match &self.cause {
            SurgeCause::Shutting {
                elastic: Some(stopped),
                ..
            } => {
                let peak_pa = stopped.peak_pa();
                (self.rigid_pa - peak_pa).abs() > NO_NEWS * peak_pa
            }
            SurgeCause::Shutting { .. } => {
                self.cause.is_within_echo() || self.rigid_pa > self.bound_pa
            }
            SurgeCause::Arrest { .. } => true,
        }
    }
}

/// A joint whose pressure falls below the liquid's vapour pressure. Pressures absolute.
#[derive(Clone, Debug, PartialEq)]
pub struct Parting {
    /// The element before which it lies.
    pub component: String,
    /// When it first does.
    pub time_s: f64,
    /// Least pressure that the unbroken column would have.
    pub least_pa: f64,
    /// Vapour pressure of the liquid then.
    pub vapour_pa: f64,
}

/// The audit of a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Balances {
    /// Worst species: mass gained or lost, relative to the mass moved, at least to a millionth of all mass.
    pub mass_relative: f64,
    /// Energy gained or lost, relative to the sum of Int p dV and Int |Q|.
    pub energy_relative: f64,
    /// The same for each species by name.
    pub species: Vec<(String, f64)>,
}

/// A caution from a model, with a stable id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Warning {
    /// For example `liquid-1`.
    pub code: &'static str,
    /// What and where, with its number and unit.
    pub message: String,
}

/// How much work a run took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Statistics {
    /// Steps accepted.
    pub steps: u64,
    /// Steps tried and refused, by the error estimate or by the model.
    pub rejected: u64,
    /// Evaluations of the rates.
    pub evaluations: u64,
    /// Jacobians.
    pub jacobians: u64,
    /// Factorisations.
    pub factorisations: u64,
    /// Events located on the way.
    pub events: u64,
}

/// Why a run ended early.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure {
    /// When.
    pub time_s: f64,
    /// Which component, if it can be named.
    pub component: Option<String>,
    /// What went wrong, with state, range and remedy.
    pub message: String,
    /// What the property engine refused, if it did: for words in other units.
    pub refusal: Option<Box<FluidError>>,
}
