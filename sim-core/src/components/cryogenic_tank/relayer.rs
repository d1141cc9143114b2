//! Layers that have become too thick or too thin are split and merged, at events only, so that
//! masses, energies and volumes add up to what they were (theory 9.1).

use super::{CryogenicTank, Found};
use fluids::FluidError;

/// A layer is split at this many mean volumes.
const THICKEST: f64 = 2.0;

/// A layer is merged with a neighbour at this part of the mean volume, however unlike they are.
const THINNEST: f64 = 0.05;

/// Two layers that are alike are merged up to this many mean volumes.
const MERGED: f64 = 1.8;

/// Times that layers are brought to one pressure: each leaves the square of what parts them.
const SETTLED: u32 = 3;

/// One layer's share of a conserved sum: masses, energy, volume.
#[derive(Clone, Debug)]
struct Content {
    masses: Vec<f64>,
    energy: f64,
    volume: f64,
}

impl Content {
    fn half(&self) -> Self {
        Self {
            masses: self.masses.iter().map(|m| 0.5 * m).collect(),
            energy: 0.5 * self.energy,
            volume: 0.5 * self.volume,
        }
    }

    fn density(&self) -> f64 {
        self.masses.iter().sum::<f64>() / self.volume
    }

    fn add(&mut self, other: &Self) {
        for (mass, more) in self.masses.iter_mut().zip(&other.masses) {
            *mass += more;
        }
        self.energy += other.energy;
        self.volume += other.volume;
    }
}

/// A layer's pressure, and by how much it would fall per part by which its volume grows without heat.
struct Spring {
    pressure_pa: f64,
    stiffness_pa: f64,
}

impl CryogenicTank<'_> {
    /// Above zero once the layers have to be divided anew; none for a mixed zone.
    #[must_use]
    pub fn uneven(&self, y: &[f64], ullage_m3: f64) -> Option<f64> {
        let count = self.strata.layers.len();
        if count < 2 {
            return None;
        }
        let mean = ullage_m3 / count as f64;
        let volumes = self.volumes(y, ullage_m3);
        let least = volumes.iter().copied().fold(f64::INFINITY, f64::min) / mean;
        let most = volumes.iter().copied().fold(0.0, f64::max) / mean;
        Some(f64::max(most / THICKEST - 1.0, 1.0 - least / THINNEST))
    }

    /// Volume of the ullage, m3.
    ///
    /// # Errors
    /// When the liquid is outside its valid range.
    pub fn ullage_m3(&self, y: &[f64]) -> Result<f64, FluidError> {
        let liquid = self.find_pool(y, &mut Found::nothing())?;
        Ok(-liquid.volume + self.model.geometry.volume_m3())
    }

    fn volumes(&self, y: &[f64], ullage_m3: f64) -> Vec<f64> {
        let mut left = ullage_m3;
        let volume = |place: Option<usize>| {
            let own = place.map_or(left, |i| y[i]);
            left -= own;
            own
        };
        let places = self.strata.layers.iter().map(|layer| layer.volume);
        places.map(volume).collect()
    }

    /// Merges two neighbours and splits the thickest layer, until
    /// they are even enough.
    pub fn relayer(&self, y: &mut [f64], ullage_m3: f64) {
        let mut contents: Vec<Content> = self
            .strata
            .layers
            .iter()
            .zip(self.volumes(y, ullage_m3))
            .map(|(places, volume)| Content {
                masses: y[places.mass.clone()].to_vec(),
                energy: y[places.energy],
                volume,
            })
            .collect();
        for _ in 0..contents.len() {
            merge(&mut contents, ullage_m3 / self.strata.layers.len() as f64);
            split_thickest(&mut contents);
            self.write(&contents, y);
            if self.uneven(y, ullage_m3).is_none_or(|guard| guard < 0.0) {
                break;
            }
        }
        settle(&mut contents, |content| self.spring(content));
        self.write(&contents, y);
    }

    /// Pressure of a layer, and how it answers to its volume.
    fn spring(&self, content: &Content) -> Result<Spring, FluidError> {
        let density: Vec<f64> = (content.masses.iter())
            .map(|mass| mass / content.volume)
            .collect();
        let energy = content.energy / content.volume;
        let pressure = self.mixture.state(&density, energy)?.pressure_pa;
        let by_mass = density.iter().zip(&pressure.by_density);
        let by_mass: f64 = by_mass.map(|(density, slope)| density * slope).sum();
        Ok(Spring {
            pressure_pa: pressure.value,
            stiffness_pa: by_mass + (energy + pressure.value) * pressure.by_energy,
        })
    }

    fn write(&self, contents: &[Content], y: &mut [f64]) {
        for (places, content) in self.strata.layers.iter().zip(contents) {
            y[places.mass.clone()].copy_from_slice(&content.masses);
            y[places.energy] = content.energy;
            if let Some(place) = places.volume {
                y[place] = content.volume;
            }
        }
    }
}

/// The layer that comes first in an order of volumes.
fn first_by(contents: &[Content], order: impl Fn(f64) -> f64) -> usize {
    let keys = contents.iter().map(|c| order(c.volume)).enumerate();
    keys.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |k| k.0)
}

/// Merges two neighbours: a layer that is too thin with the thinner one beside it, otherwise the
/// two that lose least by it.
fn merge(contents: &mut Vec<Content>, mean_m3: f64) {
    let thinnest = first_by(contents, |volume| volume);
    // An event is located where a layer is as thin as that, to the last digits on either side.
    let lower = if contents[thinnest].volume < THINNEST * mean_m3 * (1.0 + 1e-6) {
        let volume = |i: usize| contents.get(i).map_or(f64::INFINITY, |c| c.volume);
        match thinnest.checked_sub(1) {
            Some(below) if volume(below) <= volume(thinnest + 1) => below,
            _ => thinnest,
        }
    } else {
        most_alike(contents, mean_m3)
    };
    let upper = contents.remove(lower + 1);
    contents[lower].add(&upper);
}

/// The lower one of the two neighbours that are best mixed: little volume, and little difference
/// of density, which is one of temperature or of composition at the pressure that all share. Two
/// that would soon have to be split again are left, unless all are like that.
fn most_alike(contents: &[Content], mean_m3: f64) -> usize {
    let loss = |pair: &[Content]| {
        let (a, b) = (pair[0].volume, pair[1].volume);
        let apart = (pair[0].density() / pair[1].density()).ln().abs();
        if a + b > MERGED * mean_m3 {
            (true, a + b)
        } else {
            (false, a * b / (a + b) * apart)
        }
    };
    let losses = contents.windows(2).map(loss).enumerate();
    let least = losses.min_by(|(_, a), (_, b)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    least.map_or(0, |(lower, _)| lower)
}

fn split_thickest(contents: &mut Vec<Content>) {
    let thickest = first_by(contents, |volume| -volume);
    let half = contents[thickest].half();
    contents[thickest] = half.clone();
    contents.insert(thickest, half);
}

/// Brings layers to one pressure, as they would by themselves within some milliseconds: each swells or
/// shrinks without heat, against the pressure that all come to. Where a gas is out of the range of its
/// properties, or in no stable state, they stay as they are; the run will say so.
fn settle(contents: &mut [Content], spring: impl Fn(&Content) -> Result<Spring, FluidError>) {
    for _ in 0..SETTLED {
        let Ok(springs) = contents.iter().map(&spring).collect::<Result<Vec<_>, _>>() else {
            return;
        };
        if !springs.iter().all(|spring| spring.stiffness_pa > 0.0) {
            return;
        }
        let (mut push, mut give) = (0.0, 0.0);
        for (content, spring) in contents.iter().zip(&springs) {
            let own = content.volume / spring.stiffness_pa;
            give += own;
            push += own * spring.pressure_pa;
        }
        let common_pa = push / give;
        for (content, spring) in contents.iter_mut().zip(&springs) {
            let apart = (spring.pressure_pa - common_pa) / spring.stiffness_pa;
            let swells = content.volume * apart;
            content.volume += swells;
            content.energy -= common_pa * swells;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Content, Spring, THINNEST, merge, settle};

    /// Closed form: perfect gases of two ratios, `p = (k - 1) U/V`. After that all have one pressure, and
    /// volume and energy are what they were. Three per cent apart, each of three times leaves the square:
    /// 1e-12 is rounding.
    #[test]
    fn settled_layers_have_one_pressure() {
        let layers = [(1.0, 1.00, 0.4), (0.3, 1.03, 2.0 / 3.0), (0.7, 0.99, 0.4)];
        let ratio = |content: &Content| content.masses[0];
        let pressure = |content: &Content| ratio(content) * content.energy / content.volume;
        let mut contents = layers.map(|(volume, pressure, less_one)| Content {
            masses: vec![less_one],
            energy: pressure * volume / less_one,
            volume,
        });
        let sum = |of: fn(&Content) -> f64, contents: &[Content]| contents.iter().map(of).sum();
        let before: (f64, f64) = (sum(|c| c.volume, &contents), sum(|c| c.energy, &contents));
        settle(&mut contents, |content| {
            Ok(Spring {
                pressure_pa: pressure(content),
                stiffness_pa: (1.0 + ratio(content)) * pressure(content),
            })
        });
        for content in &contents {
            assert!((pressure(content) / pressure(&contents[0]) - 1.0).abs() < 1e-12);
        }
        assert!((sum(|c| c.volume, &contents) - before.0).abs() < 1e-12);
        assert!((sum(|c| c.energy, &contents) - before.1).abs() < 1e-12);
    }

    /// At its event a layer may be a rounding thicker than the guard says; it is merged all the
    /// same, or the event would come again for ever.
    #[test]
    fn a_layer_at_the_bound_is_merged() {
        for rounding in [-1e-12, 0.0, 1e-12] {
            let volumes = [1.2, THINNEST * (1.0 + rounding), 1.1, 0.9, 1.75];
            let mut contents: Vec<Content> = volumes
                .iter()
                .map(|&volume| Content {
                    masses: vec![volume],
                    energy: volume,
                    volume,
                })
                .collect();
            merge(&mut contents, 1.0);
            assert!(contents.iter().all(|c| c.volume > 0.5), "{rounding}");
        }
    }
}
