//! How look-ups by density and energy are made.

/// How pressure and temperature are found from density and energy.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PropertyMode {
    /// By solving the equation of state to rounding.
    Exact,
    /// By table, then one exact evaluation and a first-order correction.
    #[default]
    Polished,
    /// By table alone.
    Table,
}
