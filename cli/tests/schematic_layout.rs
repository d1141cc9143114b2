//! Labels of a schematic stand apart. Property: no two boxes of text overlap, and all lie on the
//! sheet, for every ready-made stand.

use cli::plot::lettering::text_width;
use cli::plot::scene::{Anchor, Item, Scene};
use cli::schematic;

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

#[test]
fn labels_of_every_ready_made_stand_stand_apart() {
    for stand in scenarios::ready_made() {
        let checked = scenarios::load_with(stand.text, &[]).expect("a ready-made stand is right");
        let scene = schematic::scene(stand.name, &checked.lower(), &checked.display);
        let boxes = boxes(&scene);
        assert!(boxes.len() > 5, "{}: nothing is labelled", stand.name);
        for (i, (text, [left, top, right, bottom])) in boxes.iter().enumerate() {
            assert!(
                *left >= 0.0 && *top >= 0.0 && *right <= scene.width && *bottom <= scene.height,
                "{}: {text} leaves the sheet",
                stand.name
            );
            for (other, [l, t, r, b]) in &boxes[i + 1..] {
                let apart = right <= l || r <= left || bottom <= t || b <= top;
                assert!(apart, "{}: {text} meets {other}", stand.name);
            }
        }
    }
}
