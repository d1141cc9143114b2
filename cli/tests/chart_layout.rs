//! Names beside a panel do not cover each other, however the lines crowd.

use cli::plot::chart::{self, Chart, Frame, Series, Shown};
use cli::plot::look;
use cli::plot::scene::{Item, Scene};

const FRAME: Frame = Frame {
    left: 50.0,
    top: 20.0,
    right: 400.0,
    bottom: 300.0,
};

fn chart(ends: &[f64]) -> Chart {
    let series = ends.iter().enumerate().map(|(i, &end)| Series {
        name: format!("line {i}"),
        stroke: look::line(i),
        points: vec![(0.0, 10.0 * i as f64), (1.0, end)],
        band: Vec::new(),
    });
    Chart {
        quantity: "Pressure, bar".to_owned(),
        series: series.collect(),
        guides: Vec::new(),
        notes: Vec::new(),
        shown: Shown::default(),
        weight: 1.0,
    }
}

/// Baselines of the names, from the top.
fn names(ends: &[f64]) -> Vec<f64> {
    let mut scene = Scene::new(500.0, 320.0, "test");
    chart::draw(&mut scene, &chart(ends), FRAME, (0.0, 1.0), true);
    let texts = scene.items.iter().filter_map(|item| match item {
        Item::Text { at, text, .. } if text.starts_with("line") => Some(at.1),
        _ => None,
    });
    let mut baselines: Vec<f64> = texts.collect();
    baselines.sort_by(f64::total_cmp);
    baselines
}

#[test]
fn crowded_names_keep_their_distance_and_stay_beside_the_frame() {
    let cases: [&[f64]; 5] = [
        // A block at the upper edge, which the frame moves down towards the name below it.
        &[50.0, 50.0, 50.0, 49.9, 49.8, 40.0],
        &[5.0; 6],
        &[0.0, 0.1, 0.2, 49.8, 49.9, 50.0],
        &[10.0, 10.0, 12.0, 14.0, 30.0],
        &[50.0, 50.0, 50.0],
    ];
    // A block that the frame's upper edge moves down may reach into the name below it.
    let at_the_edge = (0..100).map(|low| {
        let mut ends = vec![100.0; 6];
        ends.push(f64::from(low));
        ends
    });
    for ends in cases.map(<[f64]>::to_vec).into_iter().chain(at_the_edge) {
        let baselines = names(&ends);
        assert_eq!(baselines.len(), ends.len());
        for pair in baselines.windows(2) {
            // Letters of 12 pixels, of which capitals and ascenders take some nine.
            assert!(pair[1] - pair[0] >= 12.0, "{ends:?}: {baselines:?}");
        }
        let beside = FRAME.top - 15.0..FRAME.bottom + 15.0;
        assert!(
            baselines.iter().all(|b| beside.contains(b)),
            "{ends:?}: {baselines:?}"
        );
    }
}

#[test]
fn a_missing_value_breaks_the_line_instead_of_joining_it() {
    let mut broken = chart(&[1.0]);
    broken.series[0].points = vec![
        (0.0, 1.0),
        (0.2, 2.0),
        (0.4, f64::NAN),
        (0.6, 2.0),
        (1.0, 1.0),
    ];
    let mut scene = Scene::new(500.0, 320.0, "test");
    chart::draw(&mut scene, &broken, FRAME, (0.0, 1.0), true);
    let lines = scene.items.iter().filter(|item| match item {
        Item::Line { stroke, .. } => stroke.width == look::line(0).width,
        _ => false,
    });
    assert_eq!(lines.count(), 2);
}

#[test]
fn a_line_is_cut_where_it_leaves_the_panel_upwards() {
    let mut cut = chart(&[1.0]);
    cut.series[0].points = vec![(0.0, 1.0), (0.2, 9.0), (0.4, 1.0), (1.0, 2.0)];
    cut.series[0].band = vec![(0.0, 0.0, 2.0), (0.2, 8.0, 10.0), (1.0, 1.0, 3.0)];
    cut.shown.top = Some(5.0);
    let mut scene = Scene::new(500.0, 320.0, "test");
    chart::draw(&mut scene, &cut, FRAME, (0.0, 1.0), true);
    let drawn = scene.items.iter().filter_map(|item| match item {
        Item::Line { points, stroke } if stroke.width == look::line(0).width => Some(points),
        Item::Veil { points, .. } => Some(points),
        _ => None,
    });
    let drawn: Vec<_> = drawn.collect();
    assert_eq!(
        drawn.len(),
        3,
        "a band, and the line before and after the peak"
    );
    for points in &drawn {
        // A rounding error of pixels.
        assert!(points.iter().all(|p| p.1 >= FRAME.top - 1e-9), "{points:?}");
    }
    // Half-way up and half-way down the flanks: 10 and 30 % of the width.
    let end = drawn[1].last().expect("the line has points");
    let again = drawn[2].first().expect("the line has points");
    let width = FRAME.right - FRAME.left;
    for (point, part) in [(end, 0.1), (again, 0.3)] {
        assert!(
            (point.0 - FRAME.left - part * width).abs() < 1e-9,
            "{point:?}"
        );
        assert!((point.1 - FRAME.top).abs() < 1e-9, "{point:?}");
    }
}

#[test]
fn a_band_reaches_to_the_edges_of_the_panel() {
    let mut sparse = chart(&[1.0]);
    sparse.series[0].band = vec![(-0.3, 0.0, 2.0), (0.5, 1.0, 3.0), (1.2, 1.0, 3.0)];
    let mut scene = Scene::new(500.0, 320.0, "test");
    chart::draw(&mut scene, &sparse, FRAME, (0.0, 1.0), true);
    let veils = scene.items.iter().filter_map(|item| match item {
        Item::Veil { points, .. } => Some(points),
        _ => None,
    });
    let x: Vec<f64> = veils.flatten().map(|p| p.0).collect();
    let least = x.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = x.iter().copied().fold(0.0, f64::max);
    // A rounding error of pixels.
    assert!((least - FRAME.left).abs() < 1e-9, "{least}");
    assert!((greatest - FRAME.right).abs() < 1e-9, "{greatest}");
}
