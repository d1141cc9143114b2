//! The list of fluids.

use fluids::{Liquid, canonical, canonical_gas, canonical_liquid, catalogue, names};

#[test]
fn everything_is_listed_with_its_sources() {
    let all = catalogue().expect("committed data");
    for name in names().chain(Liquid::names().iter().copied()) {
        let count = all.iter().filter(|entry| entry.name == name).count();
        assert_eq!(count, 1, "{name}");
    }
    for entry in &all {
        assert!(entry.sources.len() >= 3, "{}", entry.name);
        assert!(
            entry.sources.iter().all(|s| !s.source.is_empty()),
            "{}",
            entry.name
        );
        assert!(
            entry.temperatures_k.0 < entry.temperatures_k.1,
            "{}",
            entry.name
        );
        assert_eq!(
            entry.has_equation,
            entry.p_max_pa.is_some(),
            "{}",
            entry.name
        );
    }
}

#[test]
fn names_are_found_however_they_are_written() {
    assert_eq!(canonical("Carbon-Dioxide"), Some("carbon dioxide"));
    assert_eq!(canonical("n2o"), Some("nitrous oxide"));
    assert_eq!(canonical("LOX"), Some("oxygen"));
    assert_eq!(canonical("dodecane"), Some("n-dodecane"));
    assert_eq!(canonical("treacle"), None);
    for entry in catalogue().expect("committed data") {
        assert_eq!(canonical(&entry.name), Some(&*entry.name));
    }
}

/// A word that says the phase means no fluid in the other one; hydrogen in a tank is parahydrogen.
#[test]
fn words_of_a_phase_are_for_it() {
    for (word, gas, liquid) in [
        ("N2", Some("nitrogen"), Some("nitrogen")),
        ("LN2", None, Some("nitrogen")),
        ("GOX", Some("oxygen"), None),
        ("helium", Some("helium"), None),
        ("hydrogen", Some("hydrogen"), Some("parahydrogen")),
        ("H2", Some("hydrogen"), Some("parahydrogen")),
        ("IPA", Some("isopropanol"), Some("isopropanol")),
        ("treacle", None, None),
    ] {
        assert_eq!(canonical_gas(word), gas, "{word}");
        assert_eq!(canonical_liquid(word), liquid, "{word}");
    }
}
