//! What a run is full of leaves the panels their room. Property: however often valves are switched, no
//! panel is squeezed, no words cover others, and what happens once keeps its words.

use cli::plot::lettering::text_width;
use cli::plot::readout::ReadMark;
use cli::plot::subject::Subject;
use cli::plot::{Picture, look, pictures};
use scenarios::predict::PredictOptions;
use sim_core::outcome::{Event, EventKind, Integrator};

const SWITCHINGS: usize = 60;

/// The pictures of the demonstration, in which some more valves are switched again and again.
fn switched(valves: &[&str]) -> Vec<Picture> {
    let demonstration = &scenarios::ready_made()[0];
    let checked = scenarios::load_with(demonstration.text, &[]).expect("the stand is right");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let mut run = scenarios::predict(&checked, &options);
    let times = run.outcome.history.column("time_s").expect("it ran");
    for i in 0..2 * SWITCHINGS {
        let kind = if i % 2 == 0 {
            EventKind::CommandedOpen
        } else {
            EventKind::CommandedShut
        };
        let time_s = times[i * (times.len() - 1) / (2 * SWITCHINGS)];
        run.outcome.events.extend(valves.iter().map(|valve| Event {
            time_s,
            component: (*valve).to_owned(),
            kind,
        }));
    }
    pictures(&Subject {
        title: &run.title,
        network: &run.network,
        outcome: &run.outcome,
        summary: &run.summary,
        display: &checked.display,
        limits: &[],
        bands: None,
    })
}

/// Left and right end of words.
fn span(mark: &ReadMark) -> (f64, f64) {
    let width = text_width(&mark.label, look::NOTE);
    match mark.anchor {
        "end" => (mark.x - width, mark.x),
        _ => (mark.x, mark.x + width),
    }
}

#[test]
fn many_switchings_leave_the_panels_their_room() {
    let calm = switched(&[]);
    // Enough for forty rows of words.
    let valves: Vec<String> = (0..20).map(|i| format!("valve_{i}")).collect();
    let valves: Vec<&str> = valves.iter().map(String::as_str).collect();
    for (picture, before) in switched(&valves).iter().zip(&calm) {
        let name = &picture.name;
        let panels = |picture: &Picture| picture.scene.readout.panels.clone();
        for (panel, calm) in panels(picture).iter().zip(panels(before)) {
            let [height, calm] = [panel, &calm].map(|p| p.frame[3] - p.frame[1]);
            // Four rows of words take 56 pixels of the 400 or more that the panels share.
            assert!(height > 0.5 * calm, "{name}: {height} of {calm} pixels");
        }
    }
}

#[test]
fn what_comes_again_and_again_has_its_words_once_and_what_comes_once_keeps_them() {
    let drawn = switched(&["coarse"]);
    let pressures = drawn.iter().find(|p| p.name == "pressures");
    let marks = &pressures.expect("there are pressures").scene.readout.marks;
    let count = |words: &str| marks.iter().filter(|m| m.label == words).count();
    let first = format!("coarse commanded open (first of {SWITCHINGS})");
    assert_eq!([count(&first), count("run commanded open")], [1, 1]);
    // All others of both kinds.
    assert_eq!(count(""), 2 * (SWITCHINGS - 1));
    let labelled: Vec<&ReadMark> = marks.iter().filter(|m| !m.label.is_empty()).collect();
    for (i, mark) in labelled.iter().enumerate() {
        for other in &labelled[i + 1..] {
            let ((left, right), (from, to)) = (span(mark), span(other));
            let apart = mark.y != other.y || right <= from || to <= left;
            assert!(apart, "{} meets {}", mark.label, other.label);
        }
    }
}
