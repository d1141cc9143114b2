//! The page: numbers as text, verdicts, the quotation in the README.

use validation::page::{overview, page, quoted};
use validation::report::{Case, Figure, Section};
use validation::text;

#[test]
fn numbers_have_the_digits_asked() {
    let shown = |value, digits| text::significant(value, digits);
    assert_eq!(shown(77.894_186, 6), "77.8942");
    assert_eq!(shown(0.000_123_456, 3), "0.000123");
    assert_eq!(shown(0.000_012_345_6, 3), "1.23e-5");
    assert_eq!(shown(2_275_401.0, 4), "2275401");
    assert_eq!(shown(0.0, 4), "0");
    assert_eq!(shown(f64::NAN, 4), "none");
}

#[test]
fn a_figure_is_judged_by_its_tolerance() {
    let off = Figure::relative("time", "s", 100.0, 100.2, 1e-3);
    assert!(!off.is_inside());
    assert_eq!(text::error(&off), "0.0020");
    assert!(Figure::relative("time", "s", 100.0, 100.05, 1e-3).is_inside());
    assert!(Figure::absolute("level", "m", 1.0, 1.2, 0.25).is_inside());
    assert!(Figure::at_most("balance", -1e-10, 1e-9).is_inside());
    assert!(!Figure::at_most("balance", f64::NAN, 1e-9).is_inside());
    assert!(!Figure::relative("time", "s", 1.0, f64::NAN, 1.0).is_inside());
}

#[test]
fn what_is_rounding_is_shown_as_its_power_of_ten() {
    let shown = |error| text::error(&Figure::at_most("balance", error, 1e-9));
    assert_eq!(shown(3.1e-11), "< 1e-10");
    assert_eq!(shown(1e-14), "< 1e-12");
    assert_eq!(shown(2.04e-9), "2.0e-9");
    let worst = |error| text::error(&Figure::worst("viscosity", error, 0.005));
    assert_eq!(worst(0.001_34), "0.0013");
    assert_eq!(worst(1e-7), "< 5e-6");
}

fn sections() -> Vec<Section> {
    let case = |figures| Case {
        title: "two tries".to_owned(),
        source: "a book",
        reason: "its digits",
        figures,
    };
    let figures = vec![
        Figure::relative("time", "s", 1.0, 1.0, 1e-3),
        Figure::relative("mass", "kg", 1.0, 2.0, 1e-3),
    ];
    vec![Section {
        title: "Trial",
        method: "By hand.",
        cases: vec![case(Ok(figures)), case(Err("no bottle".to_owned()))],
    }]
}

/// Bad figures are shown and counted, and so is a case that did not run.
#[test]
fn nothing_is_left_out() {
    let page = page(&sections());
    assert!(page.contains("| mass | kg | 1.00000 | 2.00000 | 1.0 | 0.001 | **outside** |"));
    assert!(page.contains("**Did not run**: no bottle"));
    assert!(page.contains("Two tries"));
    let all = "| **all** | 2 | 3 | 1 |  |";
    assert!(overview(&sections()).contains(all));
}

#[test]
fn the_quotation_replaces_itself() {
    let readme = "before\n<!-- validation:begin -->\nold\n<!-- validation:end -->\nafter\n";
    let once = quoted(readme, &sections()).expect("the markers are there");
    assert!(once.starts_with("before\n") && once.ends_with("-->\nafter\n"));
    assert!(once.contains("3 figures are computed") && !once.contains("old"));
    assert_eq!(quoted(&once, &sections()).as_deref(), Some(once.as_str()));
    assert_eq!(quoted("no markers", &sections()), None);
}
