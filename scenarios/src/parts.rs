//! Parts of a stand that are made of others: short commented pieces of a stand file.

/// A piece that is put into a stand file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Its name.
    pub name: &'static str,
    /// What it is, in a line.
    pub description: &'static str,
    /// Tables and keys; put into the demonstration it runs.
    pub text: &'static str,
}

/// All of them.
#[must_use]
pub fn parts() -> &'static [Part] {
    &[
        Part {
            name: "needle",
            description: "a needle or trim orifice that is set by hand",
            text: include_str!("../stands/parts/needle.toml"),
        },
        Part {
            name: "filter",
            description: "a filter in a liquid line",
            text: include_str!("../stands/parts/filter.toml"),
        },
        Part {
            name: "quick_disconnect",
            description: "a mated quick-disconnect and its hose",
            text: include_str!("../stands/parts/quick_disconnect.toml"),
        },
        Part {
            name: "manifold",
            description: "a gas manifold with a purge",
            text: include_str!("../stands/parts/manifold.toml"),
        },
        Part {
            name: "several_bottles",
            description: "several bottles on one manifold",
            text: include_str!("../stands/parts/several_bottles.toml"),
        },
        Part {
            name: "several_tanks",
            description: "several tanks on one supply",
            text: include_str!("../stands/parts/several_tanks.toml"),
        },
        Part {
            name: "two_stage",
            description: "two regulators in series",
            text: include_str!("../stands/parts/two_stage.toml"),
        },
        Part {
            name: "parallel_regulators",
            description: "two regulators side by side",
            text: include_str!("../stands/parts/parallel_regulators.toml"),
        },
        Part {
            name: "bang_bang",
            description: "on-off pressurisation by a large and a small valve",
            text: include_str!("../stands/parts/bang_bang.toml"),
        },
        Part {
            name: "dome_loaded",
            description: "a dome-loaded regulator, as numbers",
            text: include_str!("../stands/parts/dome_loaded.toml"),
        },
        Part {
            name: "gas_line",
            description: "a long gas hose with friction",
            text: include_str!("../stands/parts/gas_line.toml"),
        },
        Part {
            name: "composite_bottle",
            description: "a bottle of liner and overwrap",
            text: include_str!("../stands/parts/composite_bottle.toml"),
        },
    ]
}
