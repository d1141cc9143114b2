//! Runs of the program, from the text of a stand file to the figures of a case.

use scenarios::CheckedStand;
use shared::Diagnostic;
use sim_core::network::Network;
use sim_core::outcome::{Event, EventKind, Outcome, RunOptions};
use sim_core::simulate;

/// A run and what ran.
#[derive(Clone, Debug)]
pub struct Trial {
    /// What ran.
    pub network: Network,
    /// What came out.
    pub outcome: Outcome,
}

impl Trial {
    /// Runs a stand file.
    ///
    /// # Errors
    /// What is wrong with the file, or why the run did not reach its end.
    pub fn of(text: &str) -> Result<Self, String> {
        Self::changed(text, |_| {})
    }

    /// Runs a stand file whose network is changed in a way that the file has no words for.
    ///
    /// # Errors
    /// As [`Trial::of`].
    pub fn changed(text: &str, change: impl FnOnce(&mut Network)) -> Result<Self, String> {
        let stand = stand(text)?;
        let mut network = stand.lower();
        change(&mut network);
        Self::run(network, &stand.run)
    }

    /// Runs a network.
    ///
    /// # Errors
    /// Why the run did not reach its end.
    pub fn run(network: Network, options: &RunOptions) -> Result<Self, String> {
        let outcome = simulate(&network, options);
        match &outcome.failure {
            Some(failure) => Err(format!("at {} s: {}", failure.time_s, failure.message)),
            None => Ok(Self { network, outcome }),
        }
    }

    /// A column of the history.
    ///
    /// # Errors
    /// When there is no such column.
    pub fn column(&self, name: &str) -> Result<Vec<f64>, String> {
        let column = self.outcome.history.column(name);
        column.ok_or_else(|| format!("the history has no column {name}"))
    }

    /// First value of a column.
    ///
    /// # Errors
    /// When there is no such column.
    pub fn first(&self, name: &str) -> Result<f64, String> {
        Ok(self.column(name)?.first().copied().unwrap_or(f64::NAN))
    }

    /// Last value of a column.
    ///
    /// # Errors
    /// When there is no such column.
    pub fn last(&self, name: &str) -> Result<f64, String> {
        Ok(self.column(name)?.last().copied().unwrap_or(f64::NAN))
    }

    /// The value of a column in the row at a time.
    ///
    /// # Errors
    /// When there is no such column or row.
    pub fn at(&self, name: &str, time_s: f64) -> Result<f64, String> {
        let times = self.column("time_s")?;
        let row = times.iter().position(|t| (t - time_s).abs() < 1e-9);
        let row = row.ok_or_else(|| format!("the history has no row at {time_s} s"))?;
        Ok(self.column(name)?[row])
    }

    /// When something first happened to a component.
    ///
    /// # Errors
    /// When it did not.
    pub fn time_of(&self, component: &str, kind: EventKind) -> Result<f64, String> {
        let is_meant = |e: &&Event| e.component == component && e.kind == kind;
        let event = self.outcome.events.iter().find(is_meant);
        event
            .map(|e| e.time_s)
            .ok_or_else(|| format!("{component}: \"{kind}\" did not happen"))
    }
}

/// Reads and checks a stand file.
///
/// # Errors
/// Everything that is wrong with it.
pub fn stand(text: &str) -> Result<CheckedStand, String> {
    scenarios::load(text).map_err(|diagnostics| {
        let said = |d: &Diagnostic| format!("{}: {}", d.code, d.message);
        let all: Vec<String> = diagnostics.iter().map(said).collect();
        all.join("; ")
    })
}
