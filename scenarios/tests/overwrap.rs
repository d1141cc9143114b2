//! A bottle with a liner and an overwrap: two temperatures.

#[path = "support/prediction.rs"]
mod prediction;

use fluids::Solid;
use prediction::run;
use scenarios::load;
use std::f64::consts::PI;

/// A bottle a kelvin warmer than the air, whose gas exchanges nothing.
const WARM: &str = r#"
[ambient]
pressure = "1 bar(a)"
temperature = "300 K"
[bottle.tank]
gas = "nitrogen"
volume = "10 L"
diameter = "200 mm"
pressure = "1 bar(a)"
temperature = "301 K"
heat_transfer = "0 W/m2K"
wall_mass = "4 kg"
wall_material = "aluminium"
overwrap_mass = "3 kg"
overwrap_conductivity = "0.7 W/mK"
outside_film = "10 W/m2K"
[run]
until = "300 s"
output_step = "1 s"
tolerance = 1e-8
"#;

/// Closed form: two lumps in series against the air, y1' = -a (y1 - y2), y2' = b (y1 - y2) - c y2, as the sum
/// of two exponentials. The heat capacities are those at 300.5 K; over a kelvin they change by 0.4 % at most,
/// half of that to each side, of a fall of less than a kelvin: 2 mK.
#[test]
fn a_warm_bottle_cools_as_two_lumps() {
    let found = run(WARM, &[]);
    let solid = |name: &str| Solid::named(name).expect("it is known");
    let (liner, fibre) = (solid("aluminium"), solid("composite"));
    let length = 10e-3 / (PI * 0.01);
    let area = PI * 0.2 * length + 2.0 * PI * 0.01;
    let half = 0.5 * 3.0 / (fibre.density_kg_m3() * area);
    let conductance = 0.7 * area / half;
    let capacity = |mass: f64, solid: &Solid| mass * solid.heat_capacity_j_kg_k(300.5).0;
    let (inner, outer) = (capacity(4.0, &liner), capacity(3.0, &fibre));
    let (a, b, c) = (
        conductance / inner,
        conductance / outer,
        10.0 * area / outer,
    );
    let root = ((a + b + c).powi(2) - 4.0 * a * c).sqrt();
    let (slow, fast) = ((root - a - b - c) / 2.0, (-root - a - b - c) / 2.0);
    let (x, y) = (-fast / (slow - fast), slow / (slow - fast));
    let column = |name: &str| found.outcome.history.column(name).expect("a column");
    let (wall, about) = (
        column("tank.wall_temperature_k"),
        column("tank.overwrap_temperature_k"),
    );
    for (i, t) in column("time_s").iter().enumerate() {
        let [first, second] = [x * (slow * t).exp(), y * (fast * t).exp()];
        let liner_k = 300.0 + first + second;
        // y2 = y1 + y1'/a.
        let about_k = 300.0 + first * (1.0 + slow / a) + second * (1.0 + fast / a);
        assert!(
            (wall[i] - liner_k).abs() < 2e-3,
            "{t}: {} {liner_k}",
            wall[i]
        );
        assert!(
            (about[i] - about_k).abs() < 2e-3,
            "{t}: {} {about_k}",
            about[i]
        );
    }
    assert!(wall[wall.len() - 1] < 300.9, "it has not cooled");
}

/// The coldest that the liner of the same bottle gets, full at first, as it empties through an orifice, and the
/// energy balance.
fn emptied(keys: &[(&str, &str)]) -> (f64, f64) {
    let mut text = WARM
        .replace(
            "pressure = \"1 bar(a)\"\ntemperature = \"301 K\"",
            "pressure = \"300 bar(a)\"\ntemperature = \"300 K\"",
        )
        .replace("\"0 W/m2K\"", "\"film\"")
        .replace("tolerance = 1e-8", "tolerance = 1e-6");
    for (from, to) in keys {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    text += "[orifice.vent]\nfrom = \"tank\"\nto = \"ambient\"\neffective_area = \"3 mm2\"\n";
    let outcome = run(&text, &[]).outcome;
    let liner = outcome.history.column("tank.wall_temperature_k");
    let coldest = liner
        .expect("a column")
        .into_iter()
        .fold(f64::INFINITY, f64::min);
    (coldest, outcome.balances.energy_relative)
}

/// Property: what is about the liner keeps it warmer, and the warmer the better it conducts. The energy balance is kept as everywhere.
#[test]
fn an_overwrap_warms_its_liner_the_better_it_conducts() {
    let alone = emptied(&[(
        "overwrap_mass = \"3 kg\"\noverwrap_conductivity = \"0.7 W/mK\"\n",
        "",
    )]);
    let poor = emptied(&[]);
    let good = emptied(&[("0.7 W/mK", "200 W/mK")]);
    assert!(
        alone.0 + 1.0 < poor.0 && poor.0 + 1.0 < good.0,
        "{alone:?} {poor:?} {good:?}"
    );
    for (_, balance) in [alone, poor, good] {
        assert!(balance.abs() < 1e-6, "{balance}");
    }
}

/// Without exchange, or where the wall is held, nothing comes of it; a wrong value is named.
#[test]
fn an_overwrap_that_no_heat_reaches_has_no_column() {
    for heat in ["none", "isothermal"] {
        let found = run(&WARM.replace("\"0 W/m2K\"", &format!("\"{heat}\"")), &[]);
        assert!(
            found
                .outcome
                .history
                .column("tank.overwrap_temperature_k")
                .is_none()
        );
    }
    for (from, to, code) in [
        ("\"3 kg\"", "\"0 kg\"", "state-1"),
        ("\"3 kg\"", "3", "quantity-1"),
        ("\"0.7 W/mK\"", "\"-1 W/mK\"", "state-1"),
        ("\"0.7 W/mK\"", "\"0.7 W/K\"", "quantity-4"),
        ("overwrap_mass", "overwrap_mas", "file-4"),
    ] {
        let errors = load(&WARM.replace(from, to)).expect_err("it is wrong");
        assert!(errors.iter().any(|e| e.code == code), "{to}: {errors:?}");
    }
}
