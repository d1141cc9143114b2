//! Losses of pipe fittings and plain valves by their published equivalent lengths (theory 4.11).
//!
//! Crane Co., Technical Paper 410: a fitting loses `K = n f_T` velocity heads, *n* its equivalent
//! length in bores and *f_T* the friction factor of clean commercial steel pipe of its size in
//! complete turbulence, `f_T = 0.25 / log10(eps / 3.7 D)^2` with eps = 45.7 um. The numbers and forms
//! are those of the PyPI package `fluids`, which implements the paper.

use std::f64::consts::FRAC_PI_4;

/// Roughness of commercial steel pipe.
const STEEL_M: f64 = 45.7e-6;

/// Relative roughness up to which a friction factor means anything (the edge of Moody's chart).
const ROUGHEST: f64 = 0.05;

/// One fitting, its loss counted on the bore of the line in which it sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fitting {
    /// So many bores of equivalent length.
    Length {
        /// Equivalent length over bore.
        bores: f64,
    },
    /// A loss of its own that no friction factor enters.
    Loss {
        /// Velocity heads.
        heads: f64,
    },
    /// A valve whose flow turns in it (globe, angle, lift check), on a seat smaller than the line.
    TurnedSeat {
        /// Equivalent length over the seat's bore.
        bores: f64,
        /// Bore of the seat.
        seat_m: f64,
    },
    /// A straight-through valve (ball, gate, plug) on a port smaller than the line.
    ReducedPort {
        /// Equivalent length over the port's bore.
        bores: f64,
        /// Bore of the port.
        port_m: f64,
    },
    /// From a wider bore into the line.
    Contraction {
        /// The wider bore.
        from_m: f64,
        /// Whole angle of the cone; pi where it is sudden.
        angle_rad: f64,
    },
    /// From the line into a wider bore.
    Expansion {
        /// The wider bore.
        to_m: f64,
        /// Whole angle of the cone; pi where it is sudden.
        angle_rad: f64,
    },
}

impl Fitting {
    /// Velocity heads lost, on the bore of the line.
    #[must_use]
    pub fn loss(&self, bore_m: f64) -> f64 {
        let factor = turbulent_factor(bore_m);
        match *self {
            Self::Length { bores } => bores * factor,
            Self::Loss { heads } => heads,
            Self::TurnedSeat { bores, seat_m } => {
                let ratio = area_ratio(seat_m, bore_m);
                let beta = ratio.sqrt();
                let narrowed = beta * (0.5 * (1.0 - ratio) + (1.0 - ratio).powi(2));
                (bores * factor + narrowed) / ratio.powi(2)
            }
            Self::ReducedPort { bores, port_m } => {
                let ratio = area_ratio(port_m, bore_m);
                let narrowed = 0.5 * (1.0 - ratio) + (1.0 - ratio).powi(2);
                (bores * factor + narrowed) / ratio.powi(2)
            }
            Self::Contraction { from_m, angle_rad } => {
                contraction_part(angle_rad) * (1.0 - area_ratio(bore_m, from_m))
            }
            Self::Expansion { to_m, angle_rad } => {
                expansion_part(angle_rad) * (1.0 - area_ratio(bore_m, to_m)).powi(2)
            }
        }
    }
}

/// Friction factor of clean commercial steel pipe in complete turbulence.
#[must_use]
pub fn turbulent_factor(bore_m: f64) -> f64 {
    let relative = (STEEL_M / bore_m).min(ROUGHEST);
    0.25 / (relative / 3.7).log10().powi(2)
}

/// The smaller area over the larger; one where they are given the wrong way round.
fn area_ratio(small_m: f64, large_m: f64) -> f64 {
    (small_m / large_m).powi(2).min(1.0)
}

fn contraction_part(angle_rad: f64) -> f64 {
    let half = (0.5 * angle_rad).sin();
    if angle_rad <= FRAC_PI_4 {
        0.8 * half
    } else {
        0.5 * half.sqrt()
    }
}

fn expansion_part(angle_rad: f64) -> f64 {
    if angle_rad <= FRAC_PI_4 {
        2.6 * (0.5 * angle_rad).sin()
    } else {
        1.0
    }
}
