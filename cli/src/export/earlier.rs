//! What an earlier run left in a folder: removed before the files of a new one are written, so
//! that none stays that does not belong to the rest.

use super::json::SUMMARY_SCHEMA;
use super::whole::{self, WriteError};
use crate::plot;
use std::fs;
use std::path::Path;

const FILES: [&str; 8] = [
    "history.csv",
    "history_bands.csv",
    "bands_aligned.csv",
    "events.csv",
    "loss_budget.csv",
    "other_gas.csv",
    "report.html",
    "summary.json",
];

/// Removes the tables and pictures of an earlier run. They are known by its summary, and by
/// the components in the heading of its history: any other file is someone else's.
///
/// # Errors
/// If one of them cannot be removed.
pub fn remove(folder: &Path) -> Result<(), WriteError> {
    if !holds_a_run(folder) {
        return Ok(());
    }
    let heading = fs::read_to_string(folder.join("history.csv")).unwrap_or_default();
    let columns = heading.lines().next().unwrap_or_default().split(',');
    let components = columns.filter_map(|c| c.split_once('.').map(|parts| parts.0));
    let mut components: Vec<&str> = components.collect();
    components.dedup();
    let pictures = plot::names(&components).into_iter();
    let pictures = pictures.flat_map(|name| ["svg", "png"].map(|kind| format!("{name}.{kind}")));
    let names = FILES.into_iter().map(str::to_owned).chain(pictures);
    for name in names {
        whole::remove(&folder.join(name))?;
    }
    Ok(())
}

/// Whether a summary of this program lies in the folder.
fn holds_a_run(folder: &Path) -> bool {
    let text = fs::read_to_string(folder.join("summary.json")).unwrap_or_default();
    let summary: Option<serde_json::Value> = serde_json::from_str(&text).ok();
    summary.is_some_and(|s| s["schema"] == SUMMARY_SCHEMA)
}
