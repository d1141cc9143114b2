//! Labels of a schematic stand apart. Property: no two boxes of text overlap, and all lie on the
//! sheet, for every ready-made stand.

use cli::plot::lettering::text_width;
use cli::plot::scene::{Anchor, Item, Scene};
use cli::schematic::{self, Moment};
use scenarios::predict::PredictOptions;
use shared::quantity::Dimension;
use sim_core::outcome::Integrator;

/// Left, top, right, bottom of every text.
fn boxes(scene: &Scene) -> Vec<(String, [f64; 4])> {
    let texts = scene.items.iter().filter_map(|item| match item {
        Item::Text {
            at,
            text,
            style,
            anchor,
        } => {
            let width = text_width(text, *style);
            let left = match anchor {
                Anchor::Start => at.0,
                Anchor::Middle => at.0 - width / 2.0,
                Anchor::End => at.0 - width,
            };
            // Ascenders reach 0.8 em above the baseline, descenders 0.2 em below.
            let (top, bottom) = (at.1 - 0.8 * style.size, at.1 + 0.2 * style.size);
            Some((text.clone(), [left, top, left + width, bottom]))
        }
        _ => None,
    });
    texts.collect()
}

/// The labels of a stand at its start, none of which meets another or leaves the sheet.
fn labels_apart(name: &str, text: &str) -> Vec<String> {
    let checked = scenarios::load_with(text, &[]).expect("the stand is right");
    apart(
        name,
        &schematic::scene(name, &checked.lower(), &checked.display, None),
    )
}

fn apart(name: &str, scene: &Scene) -> Vec<String> {
    let boxes = boxes(scene);
    for (i, (text, [left, top, right, bottom])) in boxes.iter().enumerate() {
        assert!(
            *left >= 0.0 && *top >= 0.0 && *right <= scene.width && *bottom <= scene.height,
            "{name}: {text} leaves the sheet"
        );
        for (other, [l, t, r, b]) in &boxes[i + 1..] {
            let apart = right <= l || r <= left || bottom <= t || b <= top;
            assert!(apart, "{name}: {text} meets {other}");
        }
    }
    boxes.into_iter().map(|(text, _)| text).collect()
}

#[test]
fn labels_of_every_ready_made_stand_stand_apart() {
    for stand in scenarios::ready_made() {
        let labels = labels_apart(stand.name, stand.text);
        assert!(labels.len() > 5, "{}: nothing is labelled", stand.name);
    }
}

/// With the values of a moment the labels are longer; they say what the history says then.
fn labels_at_work(name: &str, text: &str) {
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let checked = scenarios::load_with(text, &[]).expect("the stand is right");
    let run = scenarios::predict(&checked, &options);
    let history = &run.outcome.history;
    let times = history.column("time_s").expect("a run has times");
    let at = times.len() / 2;
    let moment = Moment::of(history, times[at]).expect("a run has a history");
    let display = &checked.display;
    let scene = schematic::scene(name, &run.network, display, Some(&moment));
    let labels = apart(name, &scene);
    let bottle = &run.network.volumes[0].name;
    let pressures = history.column(&format!("{bottle}.pressure_pa"));
    let pressure_pa = pressures.expect("a bottle has one")[at];
    let pressure = display.text(Dimension::Pressure, pressure_pa);
    assert!(labels.contains(&pressure), "{name}: {labels:?}");
}

#[test]
fn labels_at_a_moment_stand_apart_and_are_those_of_the_history() {
    for stand in scenarios::ready_made() {
        labels_at_work(stand.name, stand.text);
    }
}

/// Two more bottles, one behind a part with a long name, on a rail that feeds two regulators.
#[test]
fn bottles_on_a_rail_are_joined_to_it_and_their_labels_stand_apart() {
    let demonstration = scenarios::ready_made()[0].text;
    let bottle = |name: &str, valve: &str| {
        format!(
            "[bottle.{name}]\ngas = \"nitrogen\"\nvolume = \"6.8 L\"\npressure = \"180 bar(g)\"\n\
             [check_valve.{valve}]\nfrom = \"{name}\"\nto = \"rail\"\n\
             cracking_pressure = \"0.1 bar\"\nflow_coefficient = \"1 Cv\"\n"
        )
    };
    let rail = "[check_valve.one]\nfrom = \"supply\"\nto = \"rail\"\n\
                cracking_pressure = \"0.1 bar\"\nflow_coefficient = \"1 Cv\"\n\
                [plenum.rail]\nvolume = \"0.1 L\"\n\
                [regulator.beside]\nfrom = \"rail\"\nto = \"press_line\"\n\
                set_pressure = \"32 bar(g)\"\ndroop = \"4 bar\"\nflow_coefficient = \"0.08 Cv\"\n";
    let more = [
        bottle("second", "two"),
        bottle("third", "three_with_a_rather_long_name"),
        rail.to_owned(),
    ];
    let text = demonstration
        .replace("from = \"supply\"", "from = \"rail\"")
        .replace("[regulator.press]", &(more.concat() + "[regulator.press]"));
    // At work the lowest bottle's label is longer than at the start, and the legend stands below it.
    labels_at_work("a rail at work", &text);
    let labels = labels_apart("a rail", &text);
    let count = |words: &str| labels.iter().filter(|l| *l == words).count();
    // The second regulator ends where the first does; no bottle ends in a flag.
    assert_eq!(
        [count("to press_line"), count("to rail"), count("third")],
        [1, 0, 1]
    );
}
