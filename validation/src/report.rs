//! What a case hands in: figures beside what they should be.

/// How far a figure may be from what it should be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// Relative to the expected value.
    Relative(f64),
    /// In the figure's own unit.
    Absolute(f64),
    /// The figure is itself an error, of at most this size, and may be mere rounding.
    AtMost(f64),
    /// The figure is itself an error, of at most this size, that is the same on any machine.
    Worst(f64),
}

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is.
    pub quantity: String,
    /// Its unit; empty for a pure number.
    pub unit: &'static str,
    /// What it should be; zero for one that is itself an error.
    pub expected: f64,
    /// What the program finds.
    pub got: f64,
    /// How far the two may be apart.
    pub tolerance: Tolerance,
}

impl Figure {
    /// A figure that may be off by a part of what it should be.
    #[must_use]
    pub fn relative(
        quantity: impl Into<String>,
        unit: &'static str,
        expected: f64,
        got: f64,
        part: f64,
    ) -> Self {
        Self {
            quantity: quantity.into(),
            unit,
            expected,
            got,
            tolerance: Tolerance::Relative(part),
        }
    }

    /// A figure that may be off by an amount in its own unit.
    #[must_use]
    pub fn absolute(
        quantity: impl Into<String>,
        unit: &'static str,
        expected: f64,
        got: f64,
        amount: f64,
    ) -> Self {
        Self {
            tolerance: Tolerance::Absolute(amount),
            ..Self::relative(quantity, unit, expected, got, amount)
        }
    }

    /// A figure that is an error.
    #[must_use]
    pub fn at_most(quantity: impl Into<String>, got: f64, limit: f64) -> Self {
        Self {
            tolerance: Tolerance::AtMost(limit),
            ..Self::relative(quantity, "", 0.0, got, limit)
        }
    }

    /// A figure that is an error far above rounding.
    #[must_use]
    pub fn worst(quantity: impl Into<String>, got: f64, limit: f64) -> Self {
        Self {
            tolerance: Tolerance::Worst(limit),
            ..Self::at_most(quantity, got, limit)
        }
    }

    /// How far it is off, in the terms of its tolerance.
    #[must_use]
    pub fn error(&self) -> f64 {
        match self.tolerance {
            Tolerance::Relative(_) => (self.got / self.expected - 1.0).abs(),
            Tolerance::Absolute(_) => (self.got - self.expected).abs(),
            Tolerance::AtMost(_) | Tolerance::Worst(_) => self.got.abs(),
        }
    }

    /// The error that is allowed.
    #[must_use]
    pub fn allowed(&self) -> f64 {
        match self.tolerance {
            Tolerance::Relative(t)
            | Tolerance::Absolute(t)
            | Tolerance::AtMost(t)
            | Tolerance::Worst(t) => t,
        }
    }

    /// Whether it is within its tolerance; what is no number never is.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.error() <= self.allowed()
    }
}

/// Figures of one origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// What is tried.
    pub title: String,
    /// Where the expected figures come from.
    pub source: &'static str,
    /// Why the tolerances are what they are.
    pub reason: &'static str,
    /// The figures, or why there are none.
    pub figures: Result<Vec<Figure>, String>,
}

impl Case {
    /// A case whose expected figures cannot be read.
    #[must_use]
    pub fn damaged(title: &str, why: String) -> Self {
        Self {
            title: title.to_owned(),
            source: "a file under `validation/peers/`",
            reason: "none",
            figures: Err(why),
        }
    }

    /// Number of figures; a case that did not run counts as one.
    #[must_use]
    pub fn count(&self) -> usize {
        self.figures.as_ref().map_or(1, Vec::len)
    }

    /// Number of figures within their tolerance.
    #[must_use]
    pub fn inside(&self) -> usize {
        self.figures.as_ref().map_or(0, |figures| {
            figures.iter().filter(|f| f.is_inside()).count()
        })
    }
}

/// Cases that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its heading.
    pub title: &'static str,
    /// How the program is put to the test here.
    pub method: &'static str,
    /// Its cases.
    pub cases: Vec<Case>,
}

impl Section {
    /// Number of figures.
    #[must_use]
    pub fn count(&self) -> usize {
        self.cases.iter().map(Case::count).sum()
    }

    /// Number of figures within their tolerance.
    #[must_use]
    pub fn inside(&self) -> usize {
        self.cases.iter().map(Case::inside).sum()
    }

    /// The figure that uses up most of its tolerance, with its case.
    #[must_use]
    pub fn worst(&self) -> Option<(&Case, &Figure)> {
        let used = |f: &Figure| f.error() / f.allowed();
        self.cases
            .iter()
            .flat_map(|case| case.figures.iter().flatten().map(move |f| (case, f)))
            .max_by(|a, b| used(a.1).total_cmp(&used(b.1)))
    }
}
