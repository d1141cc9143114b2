//! The table of a sweep and what says which sweep it is.

use super::csv::{number, table};
use super::json;
use scenarios::CheckedStand;
use scenarios::predict::input_hash;
use scenarios::si_unit;
use scenarios::studies::sweep::{AxisValues, Row, Sweep};
use serde::{Deserialize, Serialize};
use shared::quantity::Dimension;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};

/// Name of the file that says which sweep a folder holds.
pub const MANIFEST: &str = "sweep.json";

/// Name of the table of a shard, or of the whole.
#[must_use]
pub fn file_name(part: u64, of: u64) -> String {
    match of {
        1 => "sweep.csv".to_owned(),
        _ => format!("sweep-shard-{part}-of-{of}.csv"),
    }
}

/// Which sweep it is: what runs with the same manifest gives the same bytes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Manifest {
    schema: String,
    stand: String,
    version: String,
    input_hash: String,
    /// Number of points.
    pub points: u64,
    spread: u64,
    drawn: bool,
    seed: u32,
    /// Paths and values.
    pub axes: Vec<AxisText>,
    /// Names of the figures.
    pub figures: Vec<String>,
    /// The figure that the stand is about.
    pub main_figure: Option<String>,
}

/// An axis, written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AxisText {
    /// Path in the stand file.
    pub path: String,
    /// Its values, or the range over which they are spread.
    pub values: Vec<String>,
    /// Whether they are spread over a range.
    pub spread: bool,
}

impl Manifest {
    /// Of a sweep.
    #[must_use]
    pub fn of(stand: &CheckedStand, sweep: &Sweep) -> Self {
        let points = &sweep.points;
        let axes = points.axes.iter().map(|axis| match &axis.values {
            AxisValues::List(values) => (values.clone(), false),
            AxisValues::Spread { low, high, unit } => (
                vec![format!("{low} {unit}"), format!("{high} {unit}")],
                true,
            ),
        });
        let axes = points.axes.iter().zip(axes);
        Self {
            schema: "pressfed-sweep/2".to_owned(),
            stand: stand.title.clone(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            input_hash: input_hash(&stand.text, &stand.overrides, &stand.run, None),
            points: points.count(),
            spread: points.spread,
            drawn: points.drawn,
            seed: points.seed,
            axes: axes
                .map(|(axis, (values, spread))| AxisText {
                    path: axis.path.clone(),
                    values,
                    spread,
                })
                .collect(),
            figures: sweep.figures.iter().map(|f| f.name.clone()).collect(),
            main_figure: sweep.main_figure().map(|f| f.name.clone()),
        }
    }

    /// Whether its points lie on a grid.
    #[must_use]
    pub fn is_grid(&self) -> bool {
        !self.drawn && !self.axes.is_empty() && self.axes.iter().all(|a| !a.spread)
    }

    /// As it stands in the folder.
    #[must_use]
    pub fn as_json(&self) -> String {
        json::pretty(self)
    }
}

/// The heading, with its line end.
#[must_use]
pub fn header(sweep: &Sweep) -> Vec<u8> {
    let axes = sweep.points.axes.iter().map(|a| a.path.clone());
    let numbers = sweep.measured.iter().map(|(path, d)| measured(path, *d));
    let drawn = sweep.drawn.iter().map(|f| {
        let dimension = sweep.dimension(&f.name);
        let name = dimension.map_or(f.name.clone(), |d| measured(&f.name, d));
        format!("drawn.{name}")
    });
    let figures = sweep.figures.iter().map(|f| f.name.clone());
    let verdicts = ["requirements_met", "limits_kept", "failure"].map(str::to_owned);
    let names = std::iter::once("point".to_owned());
    let names = names.chain(axes).chain(numbers).chain(drawn);
    table(
        names.chain(figures).chain(verdicts).collect(),
        std::iter::empty(),
    )
}

/// Name of a column of raw numbers: the path and its unit.
fn measured(path: &str, dimension: Dimension) -> String {
    match si_unit(dimension) {
        "" => format!("{path}_1"),
        unit => format!("{path}_{}", unit.to_lowercase().replace('/', "_")),
    }
}

/// A row, with its line end.
#[must_use]
pub fn row(row: &Row) -> Vec<u8> {
    // A figure that a point does not have leaves its cell empty.
    let cell = |&v: &f64| {
        if v.is_finite() {
            number(v)
        } else {
            String::new()
        }
    };
    let verdict = |kept: Option<bool>| kept.map_or(String::new(), |kept| kept.to_string());
    let failure = row.failure.as_deref().unwrap_or_default();
    let cells = std::iter::once(row.index.to_string())
        .chain(row.values.iter().cloned())
        .chain(row.numbers.iter().map(cell))
        .chain(row.drawn.iter().map(cell))
        .chain(row.figures.iter().map(cell))
        .chain([
            verdict(row.requirements_met),
            verdict(row.limits_kept),
            // One line a row, so that whole rows can be counted.
            failure.replace(['\n', '\r'], " "),
        ]);
    table(cells.collect(), std::iter::empty())
}

/// Length of a file up to its last whole row, and its number of rows below the heading; nothing
/// if it has another heading.
///
/// # Errors
/// If it cannot be read.
pub fn whole_rows(file: &mut File, header: &[u8]) -> std::io::Result<(u64, u64)> {
    let mut reader = BufReader::new(file);
    let mut found = vec![0; header.len()];
    match reader.read_exact(&mut found) {
        Ok(()) if found == header => {}
        Ok(()) => return Ok((0, 0)),
        Err(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => return Ok((0, 0)),
        Err(e) => return Err(e),
    }
    let (mut length, mut rows) = (header.len() as u64, 0);
    let mut line = Vec::new();
    loop {
        line.clear();
        let read = reader.read_until(b'\n', &mut line)?;
        if !line.ends_with(b"\n") {
            return Ok((length, rows));
        }
        length += read as u64;
        rows += 1;
    }
}
