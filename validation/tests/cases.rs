//! Every case runs, and every figure is within its tolerance but for those named here.

use validation::cases::all;

#[test]
fn every_figure_is_within_its_tolerance() {
    for section in all() {
        for case in &section.cases {
            let name = format!("{}, {}", section.title, case.title);
            let figures = case.figures.as_ref();
            let figures = figures.unwrap_or_else(|why| panic!("{name} did not run: {why}"));
            for figure in figures {
                assert!(figure.is_inside(), "{name}: {figure:?}");
            }
        }
    }
}
