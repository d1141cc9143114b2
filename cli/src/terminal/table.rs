//! Aligned columns without lines.

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// Widest text that is broken into lines when nothing says how wide the screen is.
const WIDTH_OF_A_PIPE: u16 = 120;

/// Sets rows in columns; those numbered in `right` are aligned to the right. Long texts
/// are broken within their column. Each line is indented by two spaces.
#[must_use]
pub fn aligned(rows: Vec<Vec<String>>, right: &[usize]) -> String {
    let mut table = Table::new();
    table.load_style(NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(width() - 2);
    table.add_rows(rows);
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 2));
        if right.contains(&i) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let lines = table.lines().map(|line| format!("  {}\n", line.trim_end()));
    lines.collect()
}

/// Width of the screen by `COLUMNS`, if it says so.
fn width() -> u16 {
    let columns = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok());
    columns.unwrap_or(WIDTH_OF_A_PIPE).clamp(60, 200)
}
