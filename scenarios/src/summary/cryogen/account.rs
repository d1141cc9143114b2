//! Where the pressurant of a cryogenic tank went, along time, as columns of the history: what it
//! would have taken without exchange, what each way of exchange cost, and the heat of it all
//! (theory 9.8).
//!
//! All is counted from the instant at which least pressurant was in the tank; before it nothing
//! is there to count. Enthalpies count from the liquid's temperature then, so that what is
//! brought, compression, and what was given away add up to what the ullage keeps.

use super::super::Run;
use super::gas::{Gas, Source};
use super::start_of_pressurisation;
use fluids::GasMixture;
use sim_core::network::{Tank, VolumeId};

/// Part of the gas without exchange at the end, below which a ratio to it says nothing yet.
pub(super) const EARLY: f64 = 0.02;

/// Columns that are derived, with their units.
pub(super) const COLUMNS: [&str; 13] = [
    "pressurant_kg",
    "pressurant_without_exchange_kg",
    "collapse_factor_1",
    "pressurant_for_wall_kg",
    "pressurant_for_surface_kg",
    "pressurant_for_vapour_kg",
    "pressurant_for_inlet_kg",
    "pressurant_for_solution_kg",
    "heat_brought_j",
    "heat_of_compression_j",
    "heat_with_vapour_j",
    "heat_with_solution_j",
    "heat_in_ullage_j",
];

/// The columns of one tank in the order of [`COLUMNS`], and when counting begins.
pub(super) struct Account {
    pub columns: Vec<Vec<f64>>,
    pub start_s: f64,
}

/// What is read of a tank row by row.
struct Reader<'a> {
    run: &'a Run<'a>,
    tank: &'a Tank,
    id: VolumeId,
    mixture: &'a GasMixture,
    source: Option<Source>,
    /// First row that counts.
    start: usize,
    time_s: Vec<f64>,
}

impl Account {
    /// Of a cryogenic tank in a run up to the end of its flow; none if the run has no rows.
    pub fn of(run: &Run, id: VolumeId, tank: &Tank, end_s: f64) -> Option<Self> {
        let name = run.volume_name(id);
        let column = |quantity: &str| run.outcome.history.column(&format!("{name}.{quantity}"));
        let sum = |a: Vec<f64>, b: &[f64]| a.iter().zip(b).map(|(a, b)| a + b).collect::<Vec<_>>();
        let vapour = sum(column("evaporated_kg")?, &column("boiled_kg")?);
        let gas = column("gas_mass_kg")?;
        let dissolved = column("dissolved_kg")?;
        let pressurant = sum(gas, &dissolved);
        let pressurant: Vec<f64> = pressurant.iter().zip(&vapour).map(|(m, v)| m - v).collect();
        let time_s = run.outcome.history.column("time_s")?;
        let start = start_of_pressurisation(&time_s, &pressurant, end_s);
        let reader = Reader {
            source: Source::of(run, id),
            mixture: &run.network.mixtures[tank.gas.mixture],
            start,
            time_s,
            run,
            tank,
            id,
        };
        let start_s = reader.time_s[start];
        let columns = reader.columns(&pressurant, &vapour);
        Some(Self { columns, start_s })
    }
}

impl Reader<'_> {
    fn column(&self, quantity: &str) -> Vec<f64> {
        let name = format!("{}.{quantity}", self.run.volume_name(self.id));
        let column = self.run.outcome.history.column(&name);
        column.unwrap_or_else(|| vec![f64::NAN; self.time_s.len()])
    }

    fn columns(&self, pressurant: &[f64], vapour: &[f64]) -> Vec<Vec<f64>> {
        let used = self.since(pressurant);
        let [ideal, wall, surface, by_vapour, on_the_way, dissolved] = self.costs(vapour);
        let least = EARLY * ideal.last().copied().unwrap_or(f64::NAN);
        let ratio = |(used, ideal): (&f64, &f64)| {
            if *ideal > least {
                used / ideal
            } else {
                f64::NAN
            }
        };
        let factor = used.iter().zip(&ideal).map(ratio).collect();
        let [brought, compression, with_vapour, with_solution, kept] = self.heats(vapour);
        vec![
            used,
            ideal,
            factor,
            wall,
            surface,
            by_vapour,
            on_the_way,
            dissolved,
            brought,
            compression,
            with_vapour,
            with_solution,
            kept,
        ]
    }

    /// What a column gained since the start; not a number before it.
    fn since(&self, column: &[f64]) -> Vec<f64> {
        let from = column[self.start];
        let gained = |(row, value): (usize, &f64)| {
            if row < self.start {
                f64::NAN
            } else {
                value - from
            }
        };
        column.iter().enumerate().map(gained).collect()
    }

    /// Gas that would have done without exchange, and what wall, surface, vapour, the way in and
    /// dissolution cost, kg.
    fn costs(&self, vapour: &[f64]) -> [Vec<f64>; 6] {
        let rows = self.time_s.len();
        let mut sums: [Vec<f64>; 6] = std::array::from_fn(|_| vec![f64::NAN; rows]);
        let Some(source) = &self.source else {
            return sums;
        };
        let (p, v) = (self.column("pressure_pa"), self.column("ullage_volume_m3"));
        let wall = self.column("heat_to_wall_j");
        let surface = self.column("heat_to_surface_j");
        let on_the_way = self.column("heat_on_the_way_j");
        let dissolved = self.column("dissolved_kg");
        let surface_k = self.column("surface_temperature_k");
        let vapour_kg_mol = self.vapour_kg_mol();
        let mut total = [0.0; 6];
        for row in self.start..rows {
            if row > self.start {
                let before = row - 1;
                let mean = |column: &[f64]| 0.5 * (column[before] + column[row]);
                let gain = |column: &[f64]| column[row] - column[before];
                let inlet_k = source.temperature.before(mean(&self.time_s));
                let gas = Gas::at(self.mixture, mean(&p), inlet_k, &source.mole_fractions);
                let gas = gas.unwrap_or(Gas::UNKNOWN);
                let compressed = mean(&v) * (p[row] / p[before]).ln() / gas.heat_capacity_ratio;
                let hot_j_kg = gas.heat_capacity_j_kg_k * inlet_k;
                let swelling = gas.molar_mass_kg_mol / vapour_kg_mol * mean(&surface_k) / inlet_k;
                total[0] += gas.density_kg_m3 * (gain(&v) + compressed);
                total[1] += gain(&wall) / hot_j_kg;
                total[2] += gain(&surface) / hot_j_kg;
                total[3] -= gain(vapour) * swelling;
                total[4] += gain(&on_the_way) / hot_j_kg;
                total[5] += gain(&dissolved) * mean(&surface_k) / inlet_k;
            }
            for (sum, value) in sums.iter_mut().zip(total) {
                sum[row] = value;
            }
        }
        sums
    }

    fn vapour_kg_mol(&self) -> f64 {
        let vapour = self.tank.vapour;
        vapour.map_or(f64::NAN, |k| self.mixture.molar_mass_kg_mol(k))
    }

    /// Heat that came with the gas, heat of compression, heat that left with condensing vapour and
    /// with gas that dissolved, heat that the ullage kept, J.
    fn heats(&self, vapour: &[f64]) -> [Vec<f64>; 5] {
        let zero_k = self.column("liquid_temperature_k")[self.start];
        let own = self
            .tank
            .vapour
            .map_or(f64::NAN, |k| self.mixture.vapour_enthalpy(k, zero_k).0);
        let other = self
            .source
            .as_ref()
            .map_or(f64::NAN, |s| s.enthalpy(self.mixture, zero_k));
        let gain = |quantity: &str| self.since(&self.column(quantity));
        let (through, energy) = (gain("ports_gas_kg"), gain("ports_energy_j"));
        let (gas, own_gas) = (gain("gas_mass_kg"), gain("vapour_mass_kg"));
        let evaporated = self.since(vapour);
        let (vapour_energy, work) = (gain("vapour_energy_j"), gain("work_on_liquid_j"));
        let (dissolved, dissolved_energy) = (gain("dissolved_kg"), gain("dissolved_energy_j"));
        let inner = gain("gas_energy_j");
        let (p, v) = (self.column("pressure_pa"), self.column("ullage_volume_m3"));
        let product: Vec<f64> = p.iter().zip(&v).map(|(p, v)| p * v).collect();
        let product = self.since(&product);
        let each = |of: &dyn Fn(usize) -> f64| (0..self.time_s.len()).map(of).collect();
        [
            each(&|i| {
                let own_through = own_gas[i] - evaporated[i];
                energy[i] - own_through * own - (through[i] - own_through) * other
            }),
            each(&|i| product[i] - work[i]),
            each(&|i| evaporated[i] * own - vapour_energy[i]),
            each(&|i| dissolved_energy[i] - dissolved[i] * other),
            each(&|i| inner[i] + product[i] - own_gas[i] * own - (gas[i] - own_gas[i]) * other),
        ]
    }
}
