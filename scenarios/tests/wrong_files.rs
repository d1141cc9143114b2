//! Wrong stand files and what is said about them.

mod support;

/// Each file, and its diagnostics as a snapshot.
macro_rules! wrong_files {
    ($($name:ident)*) => {$(
        #[test]
        fn $name() {
            let text = include_str!(concat!("wrong_files/", stringify!($name), ".toml"));
            let diagnostics = scenarios::load(text).expect_err("the file is wrong");
            for diagnostic in &diagnostics {
                assert!(!diagnostic.remedies.is_empty(), "{diagnostic:?}");
            }
            insta::assert_snapshot!(support::plain(text, &[], &diagnostics));
        }
    )*};
}

wrong_files! {
    typo_in_key
    typo_in_kind
    two_kinds_misspelled
    names_misspelled
    names_of_the_trade
    kinds_of_the_trade
    decimal_comma
    bare_droop
    too_large_a_droop
    wrong_unit
    gauge_ambiguity
    bare_number
    missing_component
    negative_volume
    overfilled_tank
    overfilled_in_gallons
    unknown_fluid
    unknown_liquid_that_boils
    vapour_above_the_pressure
    boils_at_no_such_pressure
    loop_without_volume
    bad_sequence
    empty
    no_component
    gas_joint
    fork
    open_end
    not_connected
    wrong_phase
    syntax
    said_twice
    missing_keys
    not_modelled
    same_name
    no_name
    impossible_shape
    bad_choice
    bad_bound
    bad_uncertainty
    tight_ullage
    filled_in_per_cent
    unclosed_list
    boiling
    frozen
    beyond_the_data
    too_cold_a_bottle
    set_beyond_the_liquid
    curve_beyond_capacity
    too_high_for_an_area
    gas_that_condenses
    vapour_unknown
    purge_into_a_line
    shaped_throats
    wall_of_no_thickness
}
