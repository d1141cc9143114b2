//! The committed coefficient files, parsed when a fluid is first asked for.

use serde::Deserialize;

use crate::FluidError;
use crate::catalogue::EquationSource;
use crate::helmholtz::{Helmholtz, IdealData, Residual, ResidualData};

/// The fluids with an equation of state, and their files. See `data/PROVENANCE.md`.
const FILES: [(&str, &str); 15] = [
    ("nitrogen", include_str!("../data/nitrogen.json")),
    ("helium", include_str!("../data/helium.json")),
    ("argon", include_str!("../data/argon.json")),
    ("oxygen", include_str!("../data/oxygen.json")),
    ("air", include_str!("../data/air.json")),
    ("water", include_str!("../data/water.json")),
    ("ethanol", include_str!("../data/ethanol.json")),
    (
        "carbon dioxide",
        include_str!("../data/carbon_dioxide.json"),
    ),
    ("methane", include_str!("../data/methane.json")),
    ("nitrous oxide", include_str!("../data/nitrous_oxide.json")),
    ("parahydrogen", include_str!("../data/parahydrogen.json")),
    ("hydrogen", include_str!("../data/hydrogen.json")),
    ("propane", include_str!("../data/propane.json")),
    ("methanol", include_str!("../data/methanol.json")),
    ("n-dodecane", include_str!("../data/n-dodecane.json")),
];

/// Number of fluids with an equation of state.
pub(crate) const COUNT: usize = FILES.len();

/// Names of the fluids with an equation of state.
pub fn names() -> impl Iterator<Item = &'static str> {
    FILES.iter().map(|(name, _)| *name)
}

/// Place of a fluid in the list, or the error that lists the known ones.
pub(crate) fn index(name: &str) -> Result<usize, FluidError> {
    names()
        .position(|known| known == name)
        .ok_or_else(|| FluidError::UnknownFluid {
            name: name.to_owned(),
            known: names().map(str::to_owned).collect(),
        })
}

/// One file.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct FluidData {
    pub name: String,
    pub molar_mass_kg_mol: f64,
    gas_constant_j_mol_k: f64,
    reducing: Reducing,
    pub limits: Limits,
    pub saturation: SaturationData,
    pub melting: MeltingLine,
    pub surface_tension: Option<SurfaceTension>,
    pub table: Option<TableRange>,
    pub source: EquationSource,
    ideal: IdealData,
    residual: ResidualData,
}

#[derive(Clone, Copy, Debug, Deserialize)]
struct Reducing {
    t_k: f64,
    density_mol_m3: f64,
}

/// Valid range of an equation of state.
#[derive(Clone, Copy, Debug, Deserialize)]
pub struct Limits {
    /// Lowest temperature, K: the triple point (helium: the lambda point).
    pub t_min_k: f64,
    /// Highest temperature, K.
    pub t_max_k: f64,
    /// Highest pressure, Pa.
    pub p_max_pa: f64,
}

/// Surface tension sum a (1 - T/T0)^n, N/m.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct SurfaceTension {
    t0_k: f64,
    terms: Vec<[f64; 2]>,
}

impl SurfaceTension {
    /// At T, N/m; nothing above the critical temperature.
    pub fn at(&self, temperature_k: f64) -> f64 {
        let theta = (1.0 - temperature_k / self.t0_k).max(0.0);
        self.terms.iter().map(|[a, n]| a * theta.powf(*n)).sum()
    }
}

/// Range over which (rho, u) is tabled: the isotherms, K, and the isobar, Pa, that bound it.
#[derive(Clone, Copy, Debug, Deserialize)]
pub(crate) struct TableRange {
    pub t_min_k: f64,
    pub t_max_k: f64,
    pub p_max_pa: f64,
}

/// Where the saturation line starts, or what stands for it.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SaturationData {
    /// A pure fluid: its coldest equilibrium of liquid and vapour.
    Pure {
        t_min_k: f64,
        liquid_mol_m3: f64,
        vapour_mol_m3: f64,
    },
    /// A mixture treated as one fluid: published bubble and dew curves.
    Pseudo {
        bubble_pressure: Curve,
        dew_pressure: Curve,
        bubble_density: Curve,
        dew_density: Curve,
    },
}

/// Published saturation curve: scale * exp(c s) or scale * (1 + s), s = sum n (1 - T/T0)^t,
/// c = T0/T or 1.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Curve {
    scale: f64,
    t0_k: f64,
    exponential: bool,
    over_t: bool,
    terms: Vec<[f64; 2]>,
}

impl Curve {
    /// Value at T; constant above the curve's own critical temperature.
    pub fn at(&self, temperature_k: f64) -> f64 {
        let theta = (1.0 - temperature_k / self.t0_k).max(0.0);
        let sum: f64 = self.terms.iter().map(|[n, t]| n * theta.powf(*t)).sum();
        let factor = if self.over_t {
            self.t0_k / temperature_k
        } else {
            1.0
        };
        if self.exponential {
            self.scale * (factor * sum).exp()
        } else {
            self.scale * (1.0 + sum)
        }
    }

    /// Temperature and value at the end of the curve.
    pub fn end(&self) -> (f64, f64) {
        (self.t0_k, self.scale)
    }
}

/// Melting pressure over temperature, branch by branch; empty where no curve is published.
#[derive(Clone, Debug, Deserialize)]
#[serde(transparent)]
pub(crate) struct MeltingLine {
    branches: Vec<MeltingBranch>,
}

/// Melting pressure p0 + sum a ((T/T0)^c - 1) between two temperatures.
#[derive(Clone, Debug, Deserialize)]
struct MeltingBranch {
    t_min_k: f64,
    t_max_k: f64,
    t0_k: f64,
    p0_pa: f64,
    terms: Vec<[f64; 2]>,
}

impl MeltingLine {
    /// Melting pressure, Pa, at T; `None` where no curve is published.
    pub fn pressure_pa(&self, temperature_k: f64) -> Option<f64> {
        let holds =
            |branch: &&MeltingBranch| (branch.t_min_k..=branch.t_max_k).contains(&temperature_k);
        let branch = self.branches.iter().find(holds)?;
        Some(branch.pressure_pa(temperature_k))
    }

    /// The tangent at the cold end, (p, dp/dT) at T = 0: as the line is convex, nothing below
    /// it is frozen. Where there is no line, nothing is.
    pub fn tangent(&self) -> (f64, f64) {
        let Some(coldest) = self.branches.first() else {
            return (f64::INFINITY, 0.0);
        };
        let slope = coldest.slope(coldest.t_min_k);
        let start = coldest.pressure_pa(coldest.t_min_k);
        (start - slope * coldest.t_min_k, slope)
    }
}

impl MeltingBranch {
    fn pressure_pa(&self, temperature_k: f64) -> f64 {
        let ratio = temperature_k / self.t0_k;
        let terms = self.terms.iter();
        self.p0_pa + terms.map(|[a, c]| a * (ratio.powf(*c) - 1.0)).sum::<f64>()
    }

    fn slope(&self, temperature_k: f64) -> f64 {
        let ratio = temperature_k / self.t0_k;
        let terms = self.terms.iter();
        terms
            .map(|[a, c]| a * c * ratio.powf(c - 1.0) / self.t0_k)
            .sum()
    }
}

impl FluidData {
    /// Reads the file of the fluid at this place in the list.
    pub fn read(index: usize) -> Result<Self, FluidError> {
        let (name, text) = FILES[index];
        serde_json::from_str(text).map_err(|error| damaged(name, error.to_string()))
    }

    /// The equation of state in mass units.
    pub fn equation(&self) -> Result<Helmholtz, FluidError> {
        let residual = Residual::new(&self.residual).ok_or_else(|| {
            damaged(
                &self.name,
                "a residual term has an exponent out of bounds".to_owned(),
            )
        })?;
        Ok(Helmholtz {
            reducing_temperature_k: self.reducing.t_k,
            reducing_density_kg_m3: self.reducing.density_mol_m3 * self.molar_mass_kg_mol,
            gas_constant_j_kg_k: self.gas_constant_j_mol_k / self.molar_mass_kg_mol,
            ideal: self.ideal.clone().into(),
            residual,
        })
    }
}

fn damaged(name: &str, message: String) -> FluidError {
    FluidError::Data {
        fluid: name.to_owned(),
        message,
    }
}
