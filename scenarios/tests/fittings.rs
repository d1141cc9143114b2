//! Fittings of a line: what they add up to, what is refused, and where they do not hold.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::{load, ready_made};
use sim_core::network::{BranchKind, ElementKind, Network};

/// The demonstration with other keys in place of the minor loss of its line of 15.5 mm.
fn demonstration(keys: &str) -> String {
    let text = ready_made()[0].text;
    let lines = text
        .lines()
        .map(|line| match line.starts_with("minor_loss") {
            true => keys,
            false => line,
        });
    lines.collect::<Vec<_>>().join("\n")
}

fn minor_loss(network: &Network) -> f64 {
    let lines = network.branches.iter().filter_map(|b| match &b.kind {
        BranchKind::LiquidChain(chain) => Some(&chain.elements),
        _ => None,
    });
    let line = lines.flatten().find_map(|e| match &e.kind {
        ElementKind::Line(line) => Some(line.minor_loss),
        _ => None,
    });
    line.expect("a line")
}

/// Closed form: `f_T = 0.25/log10(eps/3.7D)^2` is 0.026037791675 in 15.5 mm; a sharp entrance has 0.5, a
/// contraction from a bore 1/0.7 as wide `0.5 (1 - 0.49)`. Rounding only.
#[test]
fn they_add_up_beside_a_given_loss() {
    let keys = "minor_loss = 0.3\nfittings = [\"entrance sharp\", \"2 elbow 90\", \"tee through\", \
                \"1 contraction from 22.142857142857142 mm\"]";
    let stand = load(&demonstration(keys)).expect("fittings are read");
    let expected = 0.3 + 0.5 + 80.0 * 0.026_037_791_675_010_587 + 0.5 * 0.51;
    assert!((minor_loss(&stand.lower()) / expected - 1.0).abs() < 1e-12);
    let told = stand
        .assumptions
        .iter()
        .find(|a| a.path == "line.feed.fittings");
    assert_eq!(told.expect("an assumption").value, "loss coefficient 2.84");
    // Their own uncertainty is drawn, the given loss is not part of it.
    let doubt = stand.inputs.find("model.feed.fittings").expect("an input");
    let mut values = stand.inputs.nominal();
    values.set(doubt, 2.0);
    let twice = minor_loss(&stand.lower_with(&values));
    assert!((twice / (2.0 * expected - 0.3) - 1.0).abs() < 1e-12);
}

#[test]
fn every_fitting_that_is_explained_can_be_written() {
    let explained = shared::codes::find("file-15").expect("a code").explanation;
    assert!(explained.contains("angle lift check"));
    for name in [
        "3 elbow 45",
        "bend 1 bore",
        "2 bend 20 bores",
        "return bend",
        "mitre 15",
        "tee branch",
        "ball valve of 12 mm",
        "gate valve",
        "plug valve of 0.5 in",
        "globe valve",
        "angle valve of 15 mm ± 0.1 mm",
        "butterfly valve",
        "diaphragm valve",
        "swing check",
        "lift check",
        "angle lift check",
        "hinged foot valve",
        "entrance rounded",
        "entrance inward",
        "expansion to 22 mm at 30 deg",
    ] {
        let text = demonstration(&format!("fittings = [\"{name}\"]"));
        let stand = load(&text).unwrap_or_else(|e| panic!("{name}: {e:?}"));
        assert!(minor_loss(&stand.lower()) > 0.0, "{name}");
    }
}

#[test]
fn what_is_wrong_is_said_of_each() {
    let keys = "fittings = [\"2 elbows\", \"exit\", \"contraction\", \"contraction from 10 mm\", \
                \"elbow 90 of 3 mm\", \"elbow 90 at 3 deg\", \"expansion to 3 bar\", 4]";
    let text = demonstration(keys);
    let faults = load(&text).expect_err("none of them is right");
    let said = faults.iter().map(|f| format!("{}: {}", f.code, f.message));
    insta::assert_snapshot!(said.collect::<Vec<_>>().join("\n"));
    let text = demonstration("fittings = [\"contraction from 10 mm\", \"ball valve of 20 mm\"]");
    let faults = load(&text).expect_err("both are the wrong way round");
    assert_eq!(faults.len(), 2, "{faults:?}");
    let faults = load(&demonstration("fittings = 4")).expect_err("a number is no list");
    assert_eq!(faults[0].code, "file-15");
}

/// Kerosene through a line of 15.5 mm at 12 g/s has a Reynolds number of about 600; the
/// demonstration's own flow has one of 1e5.
#[test]
fn laminar_flow_warns() {
    let warns = |overrides: &[(&str, &str)]| {
        let prediction = run(&demonstration("fittings = [\"2 elbow 90\"]"), overrides);
        let warnings = prediction.warnings.iter();
        warnings.filter(|w| w.code == "liquid-6").count()
    };
    let slow = [
        ("tank.fuel.liquid", "kerosene"),
        ("orifice.tip.diameter", "0.5 mm"),
        ("run.until", "8 s"),
    ];
    assert_eq!(warns(&slow), 1);
    assert_eq!(warns(&[("run.until", "8 s")]), 0);
}
