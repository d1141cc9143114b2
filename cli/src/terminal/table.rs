//! Aligned columns without lines.

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width};

/// Widest text that is broken into lines when nothing says how wide the screen is.
const WIDTH_OF_A_PIPE: u16 = 120;
/// Blanks between columns.
const GAP: u16 = 2;
/// What a long name in the first column leaves to the others at least.
const LEAST_BESIDE: u16 = 24;

/// Sets rows in columns; those numbered in `right` are aligned to the right. Long texts
/// are broken within their column, but no name in the first one as far as the screen is wide
/// enough. Each line is indented by two spaces.
#[must_use]
pub fn aligned(rows: Vec<Vec<String>>, right: &[usize]) -> String {
    let (room, name) = (width() - 2, longest_word(&rows).saturating_add(GAP));
    let mut table = Table::new();
    table.load_style(NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(room);
    table.add_rows(rows);
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, GAP));
        if right.contains(&i) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    if let Some(first) = table.column_mut(0) {
        let name = name.min(room - LEAST_BESIDE);
        first.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(name)));
    }
    let lines = table.lines().map(|line| format!("  {}\n", line.trim_end()));
    lines.collect()
}

/// Letters of the longest word of the first column.
fn longest_word(rows: &[Vec<String>]) -> u16 {
    let words = rows.iter().flat_map(|row| row.first());
    let words = words.flat_map(|cell| cell.split_whitespace());
    let longest = words.map(|word| word.chars().count()).max();
    longest.and_then(|l| l.try_into().ok()).unwrap_or_default()
}

/// Width of the screen by `COLUMNS`, if it says so.
fn width() -> u16 {
    let columns = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok());
    columns.unwrap_or(WIDTH_OF_A_PIPE).clamp(60, 200)
}
