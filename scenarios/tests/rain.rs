//! Layers of vapour that are cooled below their dew line beside a wall that the liquid has just left.

use scenarios::load_with;
use scenarios::studies::{SEED, StandModel};

/// The cold stand of the guide, with liquid nitrogen as there.
fn cold_stand() -> scenarios::CheckedStand {
    let guide = include_str!("../../docs/guide.md");
    let after = guide.split_once("```toml cold.toml\n").expect("its file").1;
    let text = after.split_once("\n```").expect("its end").0;
    let nitrogen = ("tank.lox.liquid".to_owned(), "nitrogen".to_owned());
    load_with(text, &[nitrogen]).expect("it is in order")
}

/// Draws in which the lowest layer, vapour with next to no helium, is cooled by wall and liquid until
/// supercooled vapour has no state: each gives a whole run, and its books close as those of the
/// nominal run have to.
#[test]
fn vapour_below_its_dew_line_gives_a_whole_run() {
    let stand = cold_stand();
    let model = StandModel::new(&stand, stand.run).for_bands();
    let draws = model.draws(SEED).expect("few factors");
    for draw in [4, 11, 13, 16, 20, 26, 28, 35, 40, 120, 137] {
        let run = model
            .run_at(&draws.point(draw))
            .unwrap_or_else(|why| panic!("{draw}: {why}"));
        let balances = run.outcome.balances;
        assert!(balances.energy_relative < 1e-6, "{draw}: {balances:?}");
        assert!(balances.mass_relative < 1e-9, "{draw}: {balances:?}");
    }
}
