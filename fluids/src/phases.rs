//! Where a fluid changes phase: the saturation line of a pure fluid, or the published bubble
//! and dew curves of a pseudo-pure one, behind the same questions.

use crate::data::{Curve, SaturationData};
use crate::density::Phase;
use crate::helmholtz::Helmholtz;
use crate::saturation::SaturationLine;
use crate::solve::bracketed_root;

/// Phase boundary of a fluid.
#[derive(Debug)]
pub(crate) enum Phases {
    /// A pure fluid.
    Pure(SaturationLine),
    /// A mixture treated as one fluid.
    Pseudo(Box<PseudoCurves>),
}

/// Bubble and dew curves of a pseudo-pure fluid.
#[derive(Debug)]
pub(crate) struct PseudoCurves {
    pressure_pa: [Curve; 2],
    density_mol_m3: [Curve; 2],
    molar_mass_kg_mol: f64,
    t_min_k: f64,
}

/// The published curves of density and of pressure agree with the equation to 0.14 % in
/// density (compared up to 132 K); the region between the phases is narrowed by a little more,
/// so that no state on the curves of pressure is refused.
const DENSITY_SLACK: [f64; 2] = [0.998, 1.002];

/// The boundary at one temperature: bubble first, dew second.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Edge {
    pub pressure_pa: [f64; 2],
    pub density_kg_m3: [f64; 2],
}

impl Edge {
    /// Whether a density lies between both phases.
    pub fn encloses(&self, density_kg_m3: f64) -> bool {
        let [liquid, vapour] = self.density_kg_m3;
        density_kg_m3 > vapour && density_kg_m3 < liquid
    }

    /// Densities between which a search for a state of this phase begins.
    pub fn bracket(&self, phase: Phase) -> (f64, f64) {
        match phase {
            Phase::Vapour => (0.0, self.density_kg_m3[1]),
            Phase::Liquid => (self.density_kg_m3[0], 1.01 * self.density_kg_m3[0]),
        }
    }
}

impl Phases {
    /// Builds the boundary from the data file; `None` if its start is no equilibrium.
    pub fn new(
        data: &SaturationData,
        equation: &Helmholtz,
        molar_mass_kg_mol: f64,
        t_min_k: f64,
    ) -> Option<Self> {
        match data {
            SaturationData::Pure {
                t_min_k,
                liquid_mol_m3,
                vapour_mol_m3,
            } => {
                let start = [
                    liquid_mol_m3 * molar_mass_kg_mol,
                    vapour_mol_m3 * molar_mass_kg_mol,
                ];
                SaturationLine::new(equation, *t_min_k, start).map(Phases::Pure)
            }
            SaturationData::Pseudo {
                bubble_pressure,
                dew_pressure,
                bubble_density,
                dew_density,
            } => Some(Phases::Pseudo(Box::new(PseudoCurves {
                pressure_pa: [bubble_pressure.clone(), dew_pressure.clone()],
                density_mol_m3: [bubble_density.clone(), dew_density.clone()],
                molar_mass_kg_mol,
                t_min_k,
            }))),
        }
    }

    /// Highest temperature of coexisting phases, K.
    pub fn critical_temperature_k(&self) -> f64 {
        match self {
            Phases::Pure(line) => line.critical_temperature_k,
            Phases::Pseudo(curves) => curves.density_mol_m3[1].end().0,
        }
    }

    /// Highest pressure at which a temperature is looked for, Pa.
    pub fn critical_pressure_pa(&self) -> f64 {
        match self {
            Phases::Pure(line) => line.critical_pressure_pa,
            Phases::Pseudo(curves) => curves.pressure_pa[1].end().1,
        }
    }

    /// The boundary at T; `None` at and above the critical temperature.
    pub fn edge(&self, equation: &Helmholtz, temperature_k: f64) -> Option<Edge> {
        if temperature_k >= self.critical_temperature_k() {
            return None;
        }
        match self {
            Phases::Pure(line) => {
                let density_kg_m3 = line.densities(equation, temperature_k)?;
                let pressure = equation
                    .state(density_kg_m3[1], temperature_k)
                    .pressure_pa();
                Some(Edge {
                    pressure_pa: [pressure; 2],
                    density_kg_m3,
                })
            }
            Phases::Pseudo(curves) => Some(curves.edge(temperature_k)),
        }
    }

    /// Bubble and dew temperature at p; `None` at and above the critical pressure, and below
    /// the pressure at which the boundary begins.
    pub fn temperatures_k(&self, equation: &Helmholtz, pressure_pa: f64) -> Option<[f64; 2]> {
        match self {
            _ if pressure_pa >= self.critical_pressure_pa() => None,
            Phases::Pure(line) if pressure_pa < line.pressure_min_pa() => None,
            Phases::Pure(line) => line.temperature_at(equation, pressure_pa).map(|t| [t; 2]),
            Phases::Pseudo(curves) => {
                let [bubble, dew] = &curves.pressure_pa;
                Some([
                    curves.invert(bubble, pressure_pa)?,
                    curves.invert(dew, pressure_pa)?,
                ])
            }
        }
    }

    /// Densities of liquid and vapour at the boundary, from the tabled line; extrapolates
    /// below its end.
    pub fn tabled_densities_kg_m3(&self, temperature_k: f64) -> [f64; 2] {
        match self {
            Phases::Pure(line) => line
                .pair(temperature_k)
                .volume
                .map(|(volume, _)| 1.0 / volume),
            Phases::Pseudo(curves) => [0, 1].map(|k| curves.density_kg_m3(k, temperature_k)),
        }
    }

    /// Temperature at which the isochore meets the boundary; `None` where it passes by.
    pub fn boundary_temperature_k(&self, density_kg_m3: f64) -> Option<f64> {
        match self {
            Phases::Pure(line) => line.boundary_temperature_k(density_kg_m3),
            Phases::Pseudo(curves) => curves.boundary_temperature_k(density_kg_m3),
        }
    }
}

impl PseudoCurves {
    fn edge(&self, t: f64) -> Edge {
        Edge {
            pressure_pa: [0, 1].map(|k: usize| self.pressure_pa[k].at(t)),
            density_kg_m3: [0, 1].map(|k: usize| self.density_kg_m3(k, t)),
        }
    }

    fn density_kg_m3(&self, k: usize, t: f64) -> f64 {
        DENSITY_SLACK[k] * self.density_mol_m3[k].at(t) * self.molar_mass_kg_mol
    }

    /// Temperature at which a curve takes a value, between its ends; `None` outside.
    fn invert(&self, curve: &Curve, value: f64) -> Option<f64> {
        let (t_end, end) = curve.end();
        let first = curve.at(self.t_min_k);
        let sign = if end > first { 1.0 } else { -1.0 };
        if sign * (value - first) < 0.0 || sign * (value - end) > 0.0 {
            return None;
        }
        let gap = |t: f64| sign * (curve.at(t) - value);
        bracketed_root((self.t_min_k, t_end), 0.0, |t| {
            let h = 1e-6 * t;
            Some((gap(t), (gap(t + h) - gap(t - h)) / (2.0 * h)))
        })
    }

    /// Between the ends of the two density curves the critical temperature of the mixture
    /// falls from the dew curve's to the bubble curve's: a straight line.
    fn boundary_temperature_k(&self, density_kg_m3: f64) -> Option<f64> {
        let curves = &self.density_mol_m3;
        let on = [0, 1].map(|k| density_kg_m3 / (self.molar_mass_kg_mol * DENSITY_SLACK[k]));
        let [(t_bubble, end_bubble), (t_dew, end_dew)] = [curves[0].end(), curves[1].end()];
        if on[1] < end_dew {
            self.invert(&curves[1], on[1])
        } else if on[0] > end_bubble {
            self.invert(&curves[0], on[0])
        } else {
            Some(t_dew + (t_bubble - t_dew) * (on[1] - end_dew) / (end_bubble - end_dew))
        }
    }
}
