//! `VALIDATION.md`, and the part of `README.md` that quotes it.

use crate::report::{Case, Figure, Section};
use crate::text;
use std::fmt::Write;

/// Where the quoted part of `README.md` begins and ends.
const MARKERS: [&str; 2] = ["<!-- validation:begin -->", "<!-- validation:end -->"];

const HEAD: &str = "\
# Validation

What the program computes beside published numbers, closed forms and independent solvers: every figure that is tried, the
bad ones too. The page is written by `cargo run --release -p validation`; with `--check` it is compared, and a stale page
fails. Nothing is tuned to a case. A figure outside its tolerance stays, and is marked **outside**.

Errors are relative unless the tolerance has a unit; one that is far below its tolerance is shown as less than a thousandth
of it. A source \"from memory\" has not been held against the printed page.

";

/// The whole page.
#[must_use]
pub fn page(sections: &[Section]) -> String {
    let mut page = HEAD.to_owned();
    page.push_str(&overview(sections));
    for section in sections {
        page.push_str(&section_text(section));
    }
    page
}

/// A line for each section, and their sum.
#[must_use]
pub fn overview(sections: &[Section]) -> String {
    let mut table = "| section | cases | figures | within tolerance | nearest to its tolerance: error / tolerance |\n\
                     |---|--:|--:|--:|---|\n"
        .to_owned();
    for section in sections {
        let worst = section.worst().map_or_else(String::new, worst_text);
        let (cases, count, inside) = (section.cases.len(), section.count(), section.inside());
        row(
            &mut table,
            &[
                section.title,
                &cases.to_string(),
                &count.to_string(),
                &inside.to_string(),
                &worst,
            ],
        );
    }
    let sum = |of: fn(&Section) -> usize| sections.iter().map(of).sum::<usize>().to_string();
    let cases = sum(|s| s.cases.len());
    row(
        &mut table,
        &[
            "**all**",
            &cases,
            &sum(Section::count),
            &sum(Section::inside),
            "",
        ],
    );
    table
}

fn worst_text((case, figure): (&Case, &Figure)) -> String {
    let (error, allowed) = (text::error(figure), text::allowed(figure));
    let title = text::capitalised(&case.title);
    format!("{title}, {}: {error} / {allowed}", figure.quantity)
}

fn section_text(section: &Section) -> String {
    let mut text = format!("\n## {}\n\n{}\n", section.title, section.method);
    for case in &section.cases {
        text.push_str(&case_text(case));
    }
    text
}

fn case_text(case: &Case) -> String {
    let Case {
        title,
        source,
        reason,
        figures,
    } = case;
    let title = text::capitalised(title);
    let mut text = format!("\n### {title}\n\nExpected: {source}.\nTolerance: {reason}.\n\n");
    match figures {
        Ok(figures) => {
            text.push_str("| quantity | unit | expected | got | error | tolerance | verdict |\n");
            text.push_str("|---|---|--:|--:|--:|--:|---|\n");
            for figure in figures {
                figure_row(&mut text, figure);
            }
        }
        Err(why) => text.push_str(&format!("**Did not run**: {why}\n")),
    }
    text
}

fn figure_row(table: &mut String, figure: &Figure) {
    let verdict = if figure.is_inside() {
        "inside"
    } else {
        "**outside**"
    };
    row(
        table,
        &[
            &figure.quantity,
            figure.unit,
            &text::expected(figure),
            &text::got(figure),
            &text::error(figure),
            &text::allowed(figure),
            verdict,
        ],
    );
}

fn row(table: &mut String, cells: &[&str]) {
    // Writing into a string does not fail.
    let _ = writeln!(table, "| {} |", cells.join(" | "));
}

/// `README.md` with the overview between its markers; none if it has no markers.
#[must_use]
pub fn quoted(readme: &str, sections: &[Section]) -> Option<String> {
    let [begin, end] = MARKERS;
    let from = readme.find(begin)? + begin.len();
    let to = from + readme[from..].find(end)?;
    let quote = quotation(sections);
    Some(format!("{}\n{quote}\n{}", &readme[..from], &readme[to..]))
}

fn quotation(sections: &[Section]) -> String {
    let count: usize = sections.iter().map(Section::count).sum();
    let inside: usize = sections.iter().map(Section::inside).sum();
    let table = overview(sections);
    format!(
        "{count} figures are computed beside published numbers, closed forms and independent solvers; \
         {inside} are within their tolerance.\n\n{}",
        table.trim_end()
    )
}
