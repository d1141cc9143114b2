//! Pictures of a sweep over one axis or two.

use super::Picture;
use super::chart::{Chart, Series, Shown};
use super::field::{Field, Side};
use super::stack::Stack;
use crate::export::sweep_table::Manifest;
use crate::naming::in_words;
use scenarios::spelled;
use shared::quantity::Display;

/// Figures that are drawn, if the sweep keeps more.
const MOST_FIGURES: usize = 6;

/// A picture for each figure, unless the axes are no numbers or more than two.
#[must_use]
pub fn pictures(table: &[u8], manifest: &Manifest, display: &Display) -> Vec<Picture> {
    let sides: Option<Vec<Side>> = manifest
        .axes
        .iter()
        .map(|a| side(&a.path, &a.values))
        .collect();
    let Some(sides) = sides else {
        return Vec::new();
    };
    figures(manifest)
        .into_iter()
        .filter_map(|name| {
            let (_, dimension) = spelled(name)?;
            let column = column(table, name)?;
            let shown: Vec<f64> = column
                .iter()
                .map(|&v| display.value(dimension, v))
                .collect();
            let unit = display.unit(dimension);
            let quantity = format!("{}, {unit}", in_words(name));
            let quantity = quantity.trim_end_matches(", ").to_owned();
            match &sides[..] {
                [x] => Some(line(x, shown, quantity, name)),
                [x, y] => Some(map(x, y, &shown, quantity, name)),
                _ => None,
            }
        })
        .collect()
}

/// The main figure first.
fn figures(manifest: &Manifest) -> Vec<&str> {
    let main = manifest.main_figure.as_deref();
    let is_kept = |name: &&str| manifest.figures.iter().any(|f| f == name);
    match main.filter(is_kept) {
        Some(main) => vec![main],
        None => {
            let figures = manifest.figures.iter().map(String::as_str);
            figures.take(MOST_FIGURES).collect()
        }
    }
}

fn side(path: &str, values: &[String]) -> Option<Side> {
    let number = |text: &String| text.split_whitespace().next()?.parse::<f64>().ok();
    let unit = values.first()?.split_once(' ').map_or("", |(_, unit)| unit);
    Some(Side {
        quantity: format!("{path}, {unit}")
            .trim_end_matches([',', ' '])
            .to_owned(),
        values: values.iter().map(number).collect::<Option<_>>()?,
    })
}

fn column(table: &[u8], name: &str) -> Option<Vec<f64>> {
    let mut reader = csv::Reader::from_reader(table);
    let place = reader.headers().ok()?.iter().position(|h| h == name)?;
    let rows = reader.records().filter_map(Result::ok);
    let cell = |row: csv::StringRecord| row.get(place)?.parse().ok();
    Some(rows.map(|row| cell(row).unwrap_or(f64::NAN)).collect())
}

fn line(x: &Side, values: Vec<f64>, quantity: String, name: &str) -> Picture {
    let points: Vec<(f64, f64)> = x.values.iter().copied().zip(values).collect();
    let ends = x.values.iter().copied();
    let low = ends.clone().fold(f64::INFINITY, f64::min);
    let high = ends.fold(f64::NEG_INFINITY, f64::max);
    let stack = Stack {
        title: format!("{quantity} against {}", x.quantity),
        x_quantity: x.quantity.clone(),
        x_range: (low, high),
        marks: Vec::new(),
        charts: vec![Chart {
            quantity,
            series: vec![Series::alone(points)],
            guides: Vec::new(),
            notes: Vec::new(),
            shown: Shown::default(),
            weight: 1.0,
        }],
    };
    super::picture(format!("sweep-{name}"), &stack)
}

/// A map of a table whose second axis varies fastest, with the first along the bottom.
fn map(x: &Side, y: &Side, values: &[f64], quantity: String, name: &str) -> Picture {
    let (columns, rows) = (x.values.len(), y.values.len());
    let by_row = (0..rows).flat_map(|row| (0..columns).map(move |column| column * rows + row));
    // A table that ends early, as a sweep that was stopped, leaves the rest empty.
    let value = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
    let field = Field {
        title: format!("{quantity} over {} and {}", x.quantity, y.quantity),
        x: x.clone(),
        y: y.clone(),
        quantity,
        values: by_row.map(value).collect(),
        marked: None,
    };
    field.picture(format!("sweep-{name}"))
}
