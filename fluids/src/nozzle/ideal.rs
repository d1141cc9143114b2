//! The nozzle of an ideal gas whose heat capacity ratio k may depend on T0:
//! G* = p0/sqrt(R T0) sqrt(k) (2/(k+1))^((k+1)/(2(k-1))), r* = (2/(k+1))^(k/(k-1)),
//! G = p0/sqrt(R T0) sqrt(2/m r^(2/k) (1 - r^m)), m = (k-1)/k (Saint-Venant & Wantzel).

use shared::Scalar;

use super::{Operation, SpeciesFlux, Trio};

/// Flux of an ideal gas of specific gas constant R and heat capacity ratio k.
pub(crate) fn ideal_gas_flux(at: &Operation, gas_constant_j_kg_k: f64, k: Trio) -> SpeciesFlux {
    let m = (k - 1.0) / k;
    // ln(2/(k+1)), of which both critical quantities are powers.
    let log = -((k + 1.0) * 0.5).ln();
    let ratio = (log / m).exp();
    let critical_flow = (k.ln() * 0.5 + log * (k + 1.0) / ((k - 1.0) * 2.0)).exp();
    let choked = at.p0 / (at.t0 * gas_constant_j_kg_k).sqrt() * critical_flow;
    at.flux(choked, ratio, |share| {
        let full = -ratio + 1.0;
        let y = full * share;
        let velocity = full * 2.0 / m * power_chord(y, m) / critical_flow.squared();
        velocity * ((-y + 1.0).ln() * 2.0 / k).exp()
    })
}

/// (1 - (1 - y)^m)/y, by its series where the difference would lose digits.
fn power_chord(y: Trio, m: Trio) -> Trio {
    if y.value > 1e-3 {
        return (-(((-y + 1.0).ln() * m).exp()) + 1.0) / y;
    }
    // Binomial series; the sixth term is below 1e-18.
    let (mut term, mut sum) = (m, m);
    for i in 1..6 {
        let i = f64::from(i);
        term = term * y * (-m + i) / (i + 1.0);
        sum += term;
    }
    sum
}
