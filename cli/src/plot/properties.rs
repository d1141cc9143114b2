//! Properties of a fluid along an isobar or an isotherm.

use super::Picture;
use super::chart::{Chart, Series, Shown};
use super::stack::Stack;
use crate::terminal::properties::{short, shown};
use fluids::Sheet;

/// What stays the same along a series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// The pressure.
    Isobar,
    /// The temperature.
    Isotherm,
}

/// The panels, from the top.
const PANELS: [&str; 5] = [
    "density_kg_m3",
    "cp_j_kg_k",
    "sound_speed_m_s",
    "viscosity_pa_s",
    "conductivity_w_m_k",
];

/// The picture of a series of states of one fluid.
#[must_use]
pub fn picture(file: &str, fluid: &str, sheets: &[Sheet], along: Along) -> Picture {
    let (x, fixed) = match along {
        Along::Isobar => ("temperature_k", "pressure_pa"),
        Along::Isotherm => ("pressure_pa", "temperature_k"),
    };
    let xs: Vec<f64> = sheets.iter().map(|s| number(s, x)).collect();
    let range = (
        xs.iter().copied().fold(f64::INFINITY, f64::min),
        xs.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    );
    let at = sheets.first().map_or(f64::NAN, |s| number(s, fixed));
    let name = begun(fluid);
    let stack = Stack {
        title: format!("{name} at {} {}", short(at, 6), shown(fixed).unit),
        x_quantity: axis(x),
        x_range: range,
        marks: Vec::new(),
        charts: PANELS.iter().map(|p| chart(sheets, x, p)).collect(),
    };
    super::picture(file.to_owned(), &stack)
}

fn axis(name: &'static str) -> String {
    let shown = shown(name);
    let label = shown.label;
    format!(
        "{}{}, {}",
        label[..1].to_uppercase(),
        &label[1..],
        shown.unit
    )
}

/// With a capital, as a title begins.
fn begun(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn number(sheet: &Sheet, name: &'static str) -> f64 {
    let found = sheet.values.iter().find(|(known, _)| *known == name);
    found.map_or(f64::NAN, |&(_, value)| shown(name).number(value))
}

/// One property; broken where the fluid boils.
fn chart(sheets: &[Sheet], x: &'static str, name: &'static str) -> Chart {
    let mut points = Vec::new();
    for (i, sheet) in sheets.iter().enumerate() {
        let place = number(sheet, x);
        let before = i.checked_sub(1).map(|i| sheets[i].phase);
        if before.is_some_and(|before| boils(before, sheet.phase)) {
            points.push((place, f64::NAN));
        }
        points.push((place, number(sheet, name)));
    }
    Chart {
        quantity: axis(name),
        series: vec![Series::alone(points)],
        guides: Vec::new(),
        notes: Vec::new(),
        shown: Shown::default(),
        weight: 1.0,
    }
}

fn boils(one: &str, other: &str) -> bool {
    matches!((one, other), ("liquid", "gas") | ("gas", "liquid"))
}
