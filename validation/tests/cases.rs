//! Every case runs, and every figure is within its tolerance but for those named here, each with
//! what is known of it. A figure that comes within its tolerance has to be taken off the list.

use validation::cases::all;

/// Cases whose figures are outside, and how many of them.
const OUTSIDE: [(&str, usize); 1] = [
    // The layered model needs an eighth less gas over liquid hydrogen than the correlation says, and a
    // fifth less with a wall of 360 kg: free convection at a sphere's inside by a formula for its
    // outside. Over oxygen both agree.
    (
        "collapse factor against Epstein and Anderson, a sphere of liquid hydrogen",
        3,
    ),
];

#[test]
fn every_figure_is_within_its_tolerance() {
    for section in all() {
        for case in &section.cases {
            let name = format!("{}, {}", section.title, case.title);
            let figures = case.figures.as_ref();
            let figures = figures.unwrap_or_else(|why| panic!("{name} did not run: {why}"));
            let known = OUTSIDE.iter().find(|(title, _)| *title == case.title);
            let outside: Vec<_> = figures.iter().filter(|f| !f.is_inside()).collect();
            assert_eq!(
                outside.len(),
                known.map_or(0, |(_, count)| *count),
                "{name}: {outside:#?}"
            );
        }
    }
}
