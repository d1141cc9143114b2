//! An elastic liquid column that is stopped, by the method of characteristics (theory 4.13).
//!
//! Along `dx/dt = +-a` the two equations of a pipe are ordinary ones. With the mass flow *m* and
//! *p*, the pressure and the weight of the column from the tank up to there, a wave that arrives says
//!
//! from upstream `p = p_A + B m_A - (B + R |m_A|) m`, `p_A` and `m_A` a reach upstream,
//! from downstream `p = p_B - B m_B + (B + R |m_B|) m`,
//!
//! `B = a/A` the pipe's impedance and `R m|m|` the loss of a reach. Time steps are those that a
//! wave needs for a reach (Courant number 1), so that waves keep their form. E. B. Wylie and
//! V. L. Streeter, Fluid Transients in Systems (1993), chapters 3 and 4.

use crate::network::Line;
use fluids::LiquidState;

/// Reaches of the whole column, about.
const REACHES: f64 = 32.0;

/// A pipe of constant bore before the stop, and what restricts the flow at its end. Pressures absolute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pipe {
    /// Length.
    pub length_m: f64,
    /// Cross section.
    pub area_m2: f64,
    /// Speed of pressure waves, [`wave_speed_m_s`].
    pub wave_speed_m_s: f64,
    /// Pressure lost along it at 1 kg/s, Pa s2/kg2.
    pub loss: f64,
    /// Weight of its column: pressure at its inlet above that at its outlet, at rest.
    pub rise_pa: f64,
    /// Pressure at its inlet.
    pub inlet_pa: f64,
    /// Pressure at its outlet.
    pub outlet_pa: f64,
    /// Pressure lost behind it, before the next pipe, at 1 kg/s, Pa s2/kg2.
    pub outlet_loss: f64,
}

/// What lets liquid out at the end: the smaller of two flows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Pressure lost to the end at 1 kg/s, Pa s2/kg2; infinite when it is shut.
    pub loss: f64,
    /// Pressure lost down to the throat at 1 kg/s, Pa s2/kg2.
    pub throat_loss: f64,
}

/// A column before it is stopped. Pressures absolute.
#[derive(Clone, Debug, PartialEq)]
pub struct ElasticColumn {
    /// From the tank to the valve.
    pub pipes: Vec<Pipe>,
    /// Flow through all of them.
    pub flow_kg_s: f64,
    /// At the tank's outlet, held.
    pub tank_pa: f64,
    /// Pressure lost before the first pipe at 1 kg/s, Pa s2/kg2.
    pub inlet_loss: f64,
    /// At the end behind the valve, held.
    pub behind_pa: f64,
    /// At which liquid in the valve's throat boils.
    pub throat_pa: f64,
    /// At which the liquid in a pipe boils.
    pub vapour_pa: f64,
}

/// What a stop makes of a column. Pressures absolute.
#[derive(Clone, Debug, PartialEq)]
pub struct Stopped {
    /// Highest pressures at the inlet and at the outlet of each pipe.
    pub highest_pa: Vec<(f64, f64)>,
    /// Time from the beginning and pressure at the outlet of the last pipe.
    pub at_valve: Vec<(f64, f64)>,
    /// When a pressure that was above the vapour pressure falls to it: the reckoning ends there.
    pub parts_s: Option<f64>,
}

/// Speed of pressure waves in a thin-walled pipe, m/s (D. J. Korteweg, Ann. Phys. 241 (1878) 525):
/// `c/sqrt(1 + rho c^2 D/(E e))`, *c* the liquid's speed of sound; `softness` is `D/(E e)`, 1/Pa, 0 for
/// a rigid wall.
#[must_use]
pub fn wave_speed_m_s(sound_speed_m_s: f64, density_kg_m3: f64, softness: f64) -> f64 {
    let bulk_pa = density_kg_m3 * sound_speed_m_s * sound_speed_m_s;
    sound_speed_m_s / (1.0 + bulk_pa * softness).sqrt()
}

impl Line {
    /// Speed of pressure waves in it, full of a liquid.
    #[must_use]
    pub fn wave_speed_m_s(&self, liquid: &LiquidState) -> f64 {
        wave_speed_m_s(
            liquid.sound_speed_m_s,
            liquid.density_kg_m3,
            self.softness_per_pa,
        )
    }
}

impl ElasticColumn {
    /// Time of a wave to the tank and back, s.
    #[must_use]
    pub fn echo_s(&self) -> f64 {
        2.0 * self.crossing_s()
    }

    /// Joukowsky's `rho a v` of a stop at once at the valve, Pa.
    #[must_use]
    pub fn rise_at_once_pa(&self) -> f64 {
        let impedance = |pipe: &Pipe| pipe.wave_speed_m_s / pipe.area_m2;
        self.pipes.last().map_or(0.0, impedance) * self.flow_kg_s
    }

    fn crossing_s(&self) -> f64 {
        self.pipes.iter().map(Pipe::crossing_s).sum()
    }

    /// The column for a time from now, the pressure at the tank held; `passage` is what the
    /// valve is like at a time from now. None for pipes of no length.
    #[must_use]
    pub fn stopped(&self, lasts_s: f64, passage: impl Fn(f64) -> Passage) -> Option<Stopped> {
        let step_s = self.step_s()?;
        let mut reaches = Reaches::new(self, step_s);
        let ends = |p: &Pipe| (p.inlet_pa, p.outlet_pa);
        let mut stopped = Stopped {
            highest_pa: self.pipes.iter().map(ends).collect(),
            at_valve: vec![(0.0, reaches.before_valve_pa())],
            parts_s: None,
        };
        let parting_pa = self.vapour_pa.min(reaches.lowest_pa());
        for step in 1..=(lasts_s / step_s).ceil() as usize {
            let time_s = step as f64 * step_s;
            reaches.advance(self, passage(time_s));
            reaches.raise(&mut stopped.highest_pa);
            stopped.at_valve.push((time_s, reaches.before_valve_pa()));
            if reaches.lowest_pa() < parting_pa {
                stopped.parts_s = Some(time_s);
                break;
            }
        }
        Some(stopped)
    }

    /// Half the time of the shortest pipe, but not so short that the whole has too many reaches.
    fn step_s(&self) -> Option<f64> {
        let times = self.pipes.iter().map(Pipe::crossing_s);
        let shortest_s = times.fold(f64::INFINITY, f64::min);
        let fine_s = self.crossing_s() / REACHES;
        (fine_s > 0.0).then(|| (0.5 * shortest_s).clamp(0.5 * fine_s, fine_s))
    }
}

impl Stopped {
    /// Highest pressure before the valve, Pa.
    #[must_use]
    pub fn peak_pa(&self) -> f64 {
        self.highest_pa.last().map_or(f64::NAN, |ends| ends.1)
    }
}

impl Pipe {
    fn crossing_s(&self) -> f64 {
        self.length_m / self.wave_speed_m_s
    }
}

/// Flow, and pressure with the weight of the column from the tank up to there.
#[derive(Clone, Copy, Debug)]
struct Node {
    flow: f64,
    pressure: f64,
}

/// What a wave brings to a place: `p = pressure -+ impedance m`.
#[derive(Clone, Copy, Debug)]
struct Wave {
    pressure: f64,
    impedance: f64,
}

/// One pipe cut into reaches.
#[derive(Clone, Debug)]
struct Cut {
    nodes: Vec<Node>,
    impedance: f64,
    /// Of one reach.
    loss: f64,
    outlet_loss: f64,
    /// Weight of the column from the tank to its inlet and to its outlet, Pa.
    weights_pa: (f64, f64),
}

#[derive(Clone, Debug)]
struct Reaches {
    cuts: Vec<Cut>,
    /// Nodes of the step before, of the pipe at work.
    before: Vec<Node>,
}

impl Reaches {
    fn new(column: &ElasticColumn, step_s: f64) -> Self {
        let mut weight_pa = 0.0;
        let cuts = column.pipes.iter().map(|pipe| {
            let from_pa = weight_pa;
            weight_pa += pipe.rise_pa;
            Cut::new(pipe, column.flow_kg_s, (from_pa, weight_pa), step_s)
        });
        Self {
            cuts: cuts.collect(),
            before: Vec::new(),
        }
    }

    /// One step: first the ends of all pipes, which look at their neighbours, then what lies between.
    fn advance(&mut self, column: &ElasticColumn, passage: Passage) {
        let ends = self.ends(column, passage);
        for (cut, (first, last)) in self.cuts.iter_mut().zip(ends) {
            cut.advance(first, last, &mut self.before);
        }
    }

    fn ends(&self, column: &ElasticColumn, passage: Passage) -> Vec<(Node, Node)> {
        let (Some(head), Some(tail)) = (self.cuts.first(), self.cuts.last()) else {
            return Vec::new();
        };
        let tank = Wave::held(column.tank_pa);
        let mut firsts = vec![meet(tank, head.upstream(), column.inlet_loss).1];
        let mut lasts = Vec::with_capacity(self.cuts.len());
        for pair in self.cuts.windows(2) {
            let (last, first) = meet(
                pair[0].downstream(),
                pair[1].upstream(),
                pair[0].outlet_loss,
            );
            lasts.push(last);
            firsts.push(first);
        }
        let through = |behind_pa: f64, loss: f64| {
            let behind = Wave::held(behind_pa + tail.weights_pa.1);
            meet(tail.downstream(), behind, loss).0
        };
        let free = through(column.behind_pa, passage.loss);
        let choked = through(column.throat_pa, passage.throat_loss);
        lasts.push(if choked.flow < free.flow {
            choked
        } else {
            free
        });
        firsts.into_iter().zip(lasts).collect()
    }

    fn before_valve_pa(&self) -> f64 {
        self.cuts.last().map_or(f64::NAN, |cut| cut.ends_pa().1)
    }

    /// Raises the highest pressures to what there is now.
    fn raise(&self, highest_pa: &mut [(f64, f64)]) {
        for (highest, cut) in highest_pa.iter_mut().zip(&self.cuts) {
            let (inlet_pa, outlet_pa) = cut.ends_pa();
            *highest = (highest.0.max(inlet_pa), highest.1.max(outlet_pa));
        }
    }

    fn lowest_pa(&self) -> f64 {
        let lowest = self.cuts.iter().map(Cut::lowest_pa);
        lowest.fold(f64::INFINITY, f64::min)
    }
}

impl Wave {
    /// Where the pressure is held whatever the flow.
    fn held(pressure: f64) -> Self {
        Self {
            pressure,
            impedance: 0.0,
        }
    }
}

impl Cut {
    /// Its travel time is rounded to whole steps, its impedance kept.
    fn new(pipe: &Pipe, flow: f64, weights_pa: (f64, f64), step_s: f64) -> Self {
        let count = (pipe.crossing_s() / step_s).round().max(1.0);
        let from = pipe.inlet_pa + weights_pa.0;
        let to = pipe.outlet_pa + weights_pa.1;
        let node = |i: usize| Node {
            flow,
            pressure: from + (to - from) * i as f64 / count,
        };
        Self {
            nodes: (0..=count as usize).map(node).collect(),
            impedance: pipe.wave_speed_m_s / pipe.area_m2,
            loss: pipe.loss / count,
            outlet_loss: pipe.outlet_loss,
            weights_pa,
        }
    }

    /// What a node sends downstream, a reach and a step on.
    fn ahead(&self, node: Node) -> Wave {
        Wave {
            pressure: node.pressure + self.impedance * node.flow,
            impedance: self.impedance + self.loss * node.flow.abs(),
        }
    }

    /// What a node sends upstream.
    fn back(&self, node: Node) -> Wave {
        Wave {
            pressure: node.pressure - self.impedance * node.flow,
            impedance: self.impedance + self.loss * node.flow.abs(),
        }
    }

    /// The wave that arrives at its outlet.
    fn downstream(&self) -> Wave {
        self.ahead(self.nodes[self.nodes.len() - 2])
    }

    /// The wave that arrives at its inlet.
    fn upstream(&self) -> Wave {
        self.back(self.nodes[1])
    }

    fn advance(&mut self, first: Node, last: Node, before: &mut Vec<Node>) {
        before.clone_from(&self.nodes);
        for (i, around) in before.windows(3).enumerate() {
            self.nodes[i + 1] = meet(self.ahead(around[0]), self.back(around[2]), 0.0).0;
        }
        let end = self.nodes.len() - 1;
        self.nodes[0] = first;
        self.nodes[end] = last;
    }

    fn ends_pa(&self) -> (f64, f64) {
        let last = self.nodes[self.nodes.len() - 1];
        (
            self.nodes[0].pressure - self.weights_pa.0,
            last.pressure - self.weights_pa.1,
        )
    }

    /// Least pressure in it; its weight grows evenly.
    fn lowest_pa(&self) -> f64 {
        let (from, to) = self.weights_pa;
        let each = (to - from) / (self.nodes.len() - 1) as f64;
        let pressures = self.nodes.iter().enumerate();
        pressures
            .map(|(i, node)| node.pressure - from - each * i as f64)
            .fold(f64::INFINITY, f64::min)
    }
}

/// Where a wave from upstream meets one from downstream across a restriction, the nodes before
/// and behind it: `p_u - p_d = (B_u + B_d) m + loss m|m|`.
fn meet(up: Wave, down: Wave, loss: f64) -> (Node, Node) {
    let drive = up.pressure - down.pressure;
    let impedance = up.impedance + down.impedance;
    let taken = impedance + (impedance * impedance + 4.0 * loss * drive.abs()).sqrt();
    let flow = if loss.is_infinite() {
        0.0
    } else {
        2.0 * drive / taken
    };
    let before = Node {
        flow,
        pressure: up.pressure - up.impedance * flow,
    };
    let behind = Node {
        flow,
        pressure: down.pressure + down.impedance * flow,
    };
    (before, behind)
}
