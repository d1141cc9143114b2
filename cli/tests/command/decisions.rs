//! Pictures of `docs/decisions`, drawn from the measured numbers beside them. With `DECISIONS=write` in the
//! environment they are drawn anew.

use crate::bench::{assert_fresh, docs};
use cli::plot::chart::{Chart, Frame, Note, Series, Shown};
use cli::plot::scene::{Anchor, Scene};
use cli::plot::stack::{self, Stack};
use cli::plot::{look, paint};

/// Columns of measured numbers against the first one, a panel for each.
fn drawn(numbers: &str, title: &str, x_quantity: &str, panels: &[(&str, &str)]) -> String {
    let found = std::fs::read_to_string(docs(numbers)).expect("the numbers are there");
    let mut reader = csv::Reader::from_reader(found.as_bytes());
    let names = reader.headers().expect("a heading").clone();
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("rows");
    let column = |name: &str| -> Vec<f64> {
        let place = names.iter().position(|n| n == name).expect("a column");
        let number = |row: &csv::StringRecord| row[place].parse().expect("a number");
        rows.iter().map(number).collect()
    };
    let xs = column(&names[0]);
    let charts = panels.iter().map(|(name, quantity)| {
        let points: Vec<(f64, f64)> = xs.iter().copied().zip(column(name)).collect();
        let note = |&at: &(f64, f64)| Note {
            at,
            label: at.1.to_string(),
            colour: look::line(0).colour,
            dot: true,
            anchor: Anchor::End,
        };
        Chart {
            quantity: (*quantity).to_owned(),
            notes: points.iter().map(note).collect(),
            series: vec![Series::alone(points)],
            guides: Vec::new(),
            shown: Shown {
                bottom: Some(0.0),
                top: None,
            },
            weight: 1.0,
        }
    });
    let last = xs.iter().copied().fold(0.0, f64::max);
    let stack = Stack {
        title: title.to_owned(),
        x_quantity: x_quantity.to_owned(),
        x_range: (0.0, 1.12 * last),
        marks: Vec::new(),
        charts: charts.collect(),
    };
    let mut scene = Scene::new(620.0, 420.0, title);
    let area = Frame {
        left: 20.0,
        top: 20.0,
        right: 600.0,
        bottom: 410.0,
    };
    stack::draw(&mut scene, &stack, area, 40.0);
    paint::to_svg(&scene).expect("it can be painted")
}

#[test]
fn the_cost_of_more_tanks_is_drawn_from_its_numbers() {
    let page = drawn(
        "decisions/tanks.csv",
        "The cost of a run grows with its tanks, the steps do not",
        "Tanks on one regulator",
        &[("ms", "Time of a run of 25 s, ms"), ("steps", "Steps")],
    );
    assert_fresh("decisions/tanks.svg", &page, ("DECISIONS", "decisions"));
}
