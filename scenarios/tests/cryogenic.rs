//! Stand files with cryogens: what is refused, and what is warned of.

use scenarios::predict::{PredictOptions, predict};
use scenarios::{load_with, ready_made};
use sim_core::outcome::Integrator;

fn changed(stand: &str, changes: &[(&str, &str)]) -> Result<scenarios::CheckedStand, String> {
    let found = ready_made().iter().find(|s| s.name == stand);
    let text = found.expect("the stand is there").text;
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let changes: Vec<_> = changes.iter().map(owned).collect();
    load_with(text, &changes).map_err(|all| {
        let texts = all.iter().map(|d| format!("{}: {}", d.code, d.message));
        texts.collect::<Vec<_>>().join("\n")
    })
}

fn warnings(stand: &str) -> String {
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&changed(stand, &[]).expect("it loads"), &options);
    assert_eq!(prediction.outcome.failure, None);
    let messages = prediction.warnings.iter();
    let texts = messages.map(|w| format!("{}: {}", w.code, w.message));
    texts.collect::<Vec<_>>().join("\n")
}

/// Oxygen freezes at 54.361 K (triple point, Schmidt and Wagner 1985): colder liquid is refused, by
/// its name.
#[test]
fn a_frozen_liquid_is_refused() {
    let wrong = changed(
        "methane-helium",
        &[("tank.methane.saturated_at", "1 mbar(a)")],
    );
    assert!(wrong.expect_err("it is frozen").contains("methane"));
    let text = ready_made().iter().find(|s| s.name == "lox-helium");
    let text = text.expect("it is there").text;
    let cold = text.replace("saturated_at = \"1.013 bar(a)\"", "temperature = \"50 K\"");
    let wrong = load_with(&cold, &[]).expect_err("it is frozen");
    assert!(
        wrong.iter().any(|d| d.message.contains("oxygen")),
        "{wrong:?}"
    );
}

#[test]
fn what_a_cryogenic_tank_cannot_have_is_refused() {
    for (path, value) in [
        ("tank.lox.heat_transfer", "isothermal"),
        ("tank.lox.vapour", "none"),
        ("tank.lox.layers", "0.5"),
        ("tank.lox.layers", "41"),
    ] {
        let refused = changed("lox-helium", &[(path, value)]);
        assert!(refused.is_err(), "{path} = {value}");
    }
}

/// Nitrogen at 20 bar over oxygen at 90.2 K is above its own saturation pressure there, 3.66 bar
/// (absolute; Span et al. 2000), which is 2.65 bar above ambient.
#[test]
fn nitrogen_over_oxygen_is_warned_of_with_its_number() {
    let nitrogen = warnings("lox-nitrogen");
    assert!(
        nitrogen.contains("condenses into the surface"),
        "{nitrogen}"
    );
    assert!(nitrogen.contains("2.649 bar(g)"), "{nitrogen}");
    assert!(!warnings("lox-helium").contains("helium hardly dissolves"));
}
