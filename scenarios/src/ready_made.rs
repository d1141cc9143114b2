//! Stands that come with the program: an invented team's bench.

/// A stand that comes with the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadyMade {
    /// Its name.
    pub name: &'static str,
    /// What it shows, in a line.
    pub description: &'static str,
    /// Its stand file.
    pub text: &'static str,
}

/// All of them; the first is the demonstration.
#[must_use]
pub fn ready_made() -> &'static [ReadyMade] {
    &[
        ReadyMade {
            name: "regulated-water",
            description: "water cold flow behind a regulator that is too small",
            text: include_str!("../stands/regulated-water.toml"),
        },
        ReadyMade {
            name: "blowdown-water",
            description: "water pushed out by the gas that is in the tank",
            text: include_str!("../stands/blowdown-water.toml"),
        },
        ReadyMade {
            name: "helium-large-regulator",
            description: "helium through a regulator that is large enough",
            text: include_str!("../stands/helium-large-regulator.toml"),
        },
        ReadyMade {
            name: "two-sides-water",
            description: "both sides of a stand with water, the oxidiser's valve leading",
            text: include_str!("../stands/two-sides-water.toml"),
        },
        ReadyMade {
            name: "lox-helium",
            description: "liquid oxygen pushed by helium: vent, pressurise, hold, expel",
            text: include_str!("../stands/lox-helium.toml"),
        },
        ReadyMade {
            name: "lox-nitrogen",
            description: "liquid oxygen pushed by nitrogen, with the warning that it earns",
            text: include_str!("../stands/lox-nitrogen.toml"),
        },
        ReadyMade {
            name: "ln2-cold-flow",
            description: "liquid nitrogen in place of oxygen, pushed by nitrogen",
            text: include_str!("../stands/ln2-cold-flow.toml"),
        },
        ReadyMade {
            name: "methane-helium",
            description: "liquid methane pushed by helium",
            text: include_str!("../stands/methane-helium.toml"),
        },
    ]
}

/// A commented stand file to begin with.
#[must_use]
pub fn new_file() -> &'static str {
    include_str!("../stands/new.toml")
}
