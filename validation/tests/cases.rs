//! Every case runs, and every figure is within its tolerance but for those named here.

use validation::cases::all;

/// Figures known to be outside, with the reason. They stay on the page, marked.
const KNOWN_OUTSIDE: [&str; 1] = [
    // The time of the highest pressure on a lock-up plateau that is flat to 3e-6.
    "press_line.peak_pressure_time_s",
];

#[test]
fn every_figure_is_within_its_tolerance() {
    for section in all() {
        for case in &section.cases {
            let name = format!("{}, {}", section.title, case.title);
            let figures = case.figures.as_ref();
            let figures = figures.unwrap_or_else(|why| panic!("{name} did not run: {why}"));
            for figure in figures {
                let is_known = KNOWN_OUTSIDE.iter().any(|k| figure.quantity.contains(k));
                assert!(figure.is_inside() || is_known, "{name}: {figure:?}");
            }
        }
    }
}
