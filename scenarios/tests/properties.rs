//! Properties of the stand file over many inputs.

use proptest::prelude::*;
use scenarios::{load, load_with, ready_made};

/// The demonstration with a stretch cut out and another text put in.
fn mangled() -> impl Strategy<Value = String> {
    let text = ready_made()[0].text;
    let put = prop_oneof![
        Just(""),
        Just("\""),
        Just("["),
        Just("]"),
        Just("="),
        Just("."),
        Just("\n"),
        Just("±"),
        Just("1e999"),
        Just("-"),
        Just("{}"),
        Just("[[x]]"),
        Just("\"0 L\""),
        Just("'''"),
        Just("from = \"run\"\n"),
        Just("\u{0}"),
    ];
    (0..text.len(), 0..60_usize, put).prop_map(move |(at, cut, put)| {
        let boundary = |mut i: usize| {
            while !text.is_char_boundary(i) {
                i -= 1;
            }
            i
        };
        let (start, end) = (boundary(at), boundary((at + cut).min(text.len())));
        format!("{}{put}{}", &text[..start], &text[end..])
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_text_breaks_the_reader(text in prop_oneof![".*", mangled()]) {
        if let Err(diagnostics) = load(&text) {
            prop_assert!(!diagnostics.is_empty());
            for diagnostic in diagnostics {
                prop_assert!(shared::codes::find(diagnostic.code).is_some());
                prop_assert!(!diagnostic.remedies.is_empty(), "{:?}", diagnostic);
                for label in diagnostic.labels {
                    prop_assert!(text.get(label.span.bytes.clone()).is_some(), "{:?}", label);
                }
            }
        }
    }

    #[test]
    fn no_override_breaks_the_reader(
        path in prop_oneof!["[a-z.]{0,20}", Just("bottle.supply.volume".to_owned()), Just("sequence.1.at".to_owned())],
        value in ".*",
    ) {
        let overrides = [(path, value.clone())];
        if let Err(diagnostics) = load_with(ready_made()[0].text, &overrides) {
            for label in diagnostics.into_iter().flat_map(|d| d.labels) {
                if matches!(label.span.source, shared::Source::Override(_)) {
                    prop_assert!(value.get(label.span.bytes.clone()).is_some(), "{:?}", label);
                }
            }
        }
    }
}
