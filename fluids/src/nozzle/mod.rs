//! Mass flux through an isentropic nozzle, choked or not.
//!
//! With the drop x = (p0 - p_back)/(p0 - p*) from nothing to choking, the flux is G* phi(x) and
//! phi^2 rises from zero to a level one at x = 1. The square root of the vanishing drop is
//! regularised: x is replaced by X = x^2 sqrt((1 + e^2)/(x^2 + e^2)), e = eps/(p0 - p*), so
//! that sqrt(X) starts as dp/(dp^2 + eps^2)^(1/4) and X(1) = 1, which leaves phi with a
//! continuous first derivative through unchoking. eps is 100 Pa or a given part of p0.

mod ideal;
mod isentrope;
mod table;

pub(crate) use ideal::ideal_gas_flux;
pub(crate) use table::FluxTable;

use shared::{Dual, Scalar};

use crate::{MAX_SPECIES, NozzleFlux};

/// Least pressure difference below which the square root is regularised, Pa.
const DROP_EPS_PA: f64 = 100.0;

/// A number with its partials by p0, T0 and p_back.
pub(crate) type Trio = Dual<3>;

/// Where a nozzle works.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Operation {
    /// Stagnation pressure, Pa.
    pub p0: Trio,
    /// Stagnation temperature, K.
    pub t0: Trio,
    /// Pressure drop p0 - p_back, Pa.
    pub drop: Trio,
    /// Drop below which its square root is regularised, Pa.
    eps: Trio,
    /// The regularised square root of the drop, Pa^(1/2).
    root: Trio,
}

/// Flux of one gas.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpeciesFlux {
    /// Flux per regularised root of the drop: does not vanish with the drop.
    per_root: Trio,
    /// The flux where choked, which is independent of the drop.
    choked: Option<Trio>,
    critical_ratio: f64,
}

impl Operation {
    /// At a drop known to a part `smoothing` of p0.
    pub fn new(p0_pa: f64, t0_k: f64, p_back_pa: f64, smoothing: f64) -> Self {
        let p0 = Trio::variable(p0_pa, 0);
        let drop = p0 - Trio::variable(p_back_pa, 2);
        let eps = (p0 * smoothing).max(Trio::constant(DROP_EPS_PA));
        Operation {
            p0,
            t0: Trio::variable(t0_k, 1),
            drop,
            eps,
            root: drop / (drop.squared() + eps.squared()).sqrt().sqrt(),
        }
    }

    /// The flux of a gas from its choked flux, its critical ratio and F(X) = phi^2/X.
    pub fn flux(
        &self,
        choked: Trio,
        critical_ratio: Trio,
        shape: impl FnOnce(Trio) -> Trio,
    ) -> SpeciesFlux {
        let full = self.p0 * (-critical_ratio + 1.0);
        if self.drop.value >= full.value {
            return SpeciesFlux {
                per_root: choked / self.root,
                choked: Some(choked),
                critical_ratio: critical_ratio.value,
            };
        }
        let e = self.eps / full;
        // X per squared root of the drop.
        let scale = (e.squared() + 1.0).sqrt() / full;
        let share = self.root.squared() * scale;
        SpeciesFlux {
            per_root: choked * (shape(share) * scale).sqrt(),
            choked: None,
            critical_ratio: critical_ratio.value,
        }
    }
}

/// Joins the fluxes of the species present, 1/G^2 = sum w_k/G_k^2 (exact for ideal gases of
/// equal heat capacity ratio). Species that are absent are `None`; the partial by their mass
/// fraction is that of an ideal gas, for which 1/G_k^2 is proportional to R_k.
pub(crate) fn join(
    operation: &Operation,
    mass_fraction: &[f64],
    fluxes: &[Option<SpeciesFlux>; MAX_SPECIES],
    gas_constant_j_kg_k: &[f64; MAX_SPECIES],
) -> NozzleFlux {
    let present = || {
        let with = fluxes.iter().zip(mass_fraction);
        with.filter_map(|(flux, &w)| flux.as_ref().map(|flux| (flux, w)))
    };
    let all_choked = present().all(|(flux, _)| flux.choked.is_some());
    let factor = if all_choked {
        Trio::constant(1.0)
    } else {
        operation.root
    };
    let measure = |flux: &SpeciesFlux| flux.choked.filter(|_| all_choked).unwrap_or(flux.per_root);
    let (mut sum, mut constant, mut ratio) = (Trio::zero(), 0.0, 0.0);
    for (flux, w) in present() {
        sum += Trio::constant(w) / measure(flux).squared();
        ratio += w * flux.critical_ratio;
    }
    for (w, r) in mass_fraction.iter().zip(gas_constant_j_kg_k) {
        constant += w * r;
    }
    let flux = factor / sum.sqrt();
    let mut by_mass_fraction = [0.0; MAX_SPECIES];
    for (k, by) in by_mass_fraction
        .iter_mut()
        .enumerate()
        .take(mass_fraction.len())
    {
        let share = match &fluxes[k] {
            Some(own) => measure(own).value.powi(-2) / sum.value,
            None => gas_constant_j_kg_k[k] / constant,
        };
        *by = -0.5 * flux.value * share;
    }
    let [by_p0, by_t0, by_p_back] = flux.slope;
    NozzleFlux {
        value: flux.value,
        by_p0,
        by_t0,
        by_p_back,
        by_mass_fraction,
        choked: all_choked,
        critical_ratio: ratio,
    }
}
