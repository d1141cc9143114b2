//! The liquid column before a valve that shuts, made ready for elastic waves (theory 4.13).

use crate::components::chain::{ChainModel, Column, Contents, SHUT_FRACTION, Terms};
use crate::elastic_column::{ElasticColumn, Passage, Pipe, Stopped};
use crate::network::{ActuatorId, ChainElement, ElementKind, Line};
use fluids::LiquidState;

/// A chain before one of its valves begins to shut.
pub struct ColumnBefore<'a> {
    /// The chain.
    pub model: &'a ChainModel,
    /// Its elements.
    pub elements: &'a [ChainElement],
    /// Index of the valve.
    pub place: usize,
    /// What flows in it.
    pub column: Column<f64>,
    /// Its liquid.
    pub liquid: LiquidState,
    /// Pressure before each element, then at the end of the chain.
    pub pressures_pa: Vec<f64>,
}

impl ColumnBefore<'_> {
    /// Pipes between tank and valve; none where they have no length or are not full.
    pub fn elastic(&self, travel: &impl Fn(ActuatorId) -> f64) -> Option<ElasticColumn> {
        if !matches!(self.column.contents, Contents::Full | Contents::Priming) {
            return None;
        }
        let mut pipes: Vec<Pipe> = Vec::new();
        let mut inlet_loss = 0.0;
        for (index, element) in self.elements[..self.place].iter().enumerate() {
            match (&element.kind, pipes.last_mut()) {
                (ElementKind::Line(line), _) => pipes.push(self.pipe(index, line, travel)),
                (_, Some(pipe)) => pipe.outlet_loss += self.loss(index, travel),
                (_, None) => inlet_loss += self.loss(index, travel),
            }
        }
        let column = ElasticColumn {
            pipes,
            flow_kg_s: self.column.flow,
            tank_pa: self.pressures_pa[0],
            inlet_loss,
            behind_pa: self.end_pa() + self.behind(travel).rise,
            throat_pa: self.column.throat_pressure,
            vapour_pa: self.liquid.vapour_pressure_pa,
        };
        (column.echo_s() > 0.0).then_some(column)
    }

    /// What the column does while the valve goes where `travel` has it at a time from now.
    pub fn stopped<T: Fn(ActuatorId) -> f64>(
        &self,
        elastic: &ElasticColumn,
        lasts_s: f64,
        travel_at: impl Fn(f64) -> T,
    ) -> Option<Stopped> {
        let before_valve = elastic.pipes.last()?.outlet_loss;
        elastic.stopped(lasts_s, |time_s| {
            let passage = self.passage(&travel_at(time_s));
            Passage {
                loss: before_valve + passage.loss,
                throat_loss: before_valve + passage.throat_loss,
            }
        })
    }

    /// Highest pressure before each element up to the valve; before a restriction, that of the pipe there.
    pub fn highest_pa(&self, stopped: &Stopped) -> Vec<f64> {
        let mut pipes = stopped.highest_pa.iter();
        let mut outlet_pa = self.pressures_pa[0];
        let elements = self.elements[..=self.place].iter();
        let before = elements.map(|element| {
            let pipe = match element.kind {
                ElementKind::Line(_) => pipes.next(),
                _ => None,
            };
            let (inlet_pa, behind_pa) = *pipe.unwrap_or(&(outlet_pa, outlet_pa));
            outlet_pa = behind_pa;
            inlet_pa
        });
        before.collect()
    }

    fn pipe(&self, index: usize, line: &Line, travel: &impl Fn(ActuatorId) -> f64) -> Pipe {
        Pipe {
            length_m: line.length_m,
            area_m2: line.bore_m2(),
            wave_speed_m_s: line.wave_speed_m_s(&self.liquid),
            loss: self.loss(index, travel),
            rise_pa: self.model.terms(index, &self.column, travel).rise,
            inlet_pa: self.pressures_pa[index],
            outlet_pa: self.pressures_pa[index + 1],
            outlet_loss: 0.0,
        }
    }

    /// Pressure that an element takes at 1 kg/s, by what it takes now, Pa s2/kg2.
    fn loss(&self, index: usize, travel: &impl Fn(ActuatorId) -> f64) -> f64 {
        self.model.terms(index, &self.column, travel).loss / self.dynamic()
    }

    fn passage(&self, travel: &impl Fn(ActuatorId) -> f64) -> Passage {
        if self.model.opening_of(self.place, travel) <= SHUT_FRACTION {
            return Passage {
                loss: f64::INFINITY,
                throat_loss: f64::INFINITY,
            };
        }
        let loss = self.model.terms(self.place, &self.column, travel).loss;
        let below = self
            .model
            .below_outlet(self.place, loss, &self.column, travel);
        Passage {
            loss: (loss + self.behind(travel).loss) / self.dynamic(),
            throat_loss: (loss + below.unwrap_or(0.0)) / self.dynamic(),
        }
    }

    fn end_pa(&self) -> f64 {
        self.pressures_pa[self.elements.len()]
    }

    /// What the flow loses and rises behind the valve, without its inertia.
    fn behind(&self, travel: &impl Fn(ActuatorId) -> f64) -> Terms<f64> {
        let mut sum = Terms {
            loss: self.model.exit_loss(&self.column),
            rise: 0.0,
            inertance: 0.0,
        };
        for index in self.place + 1..self.elements.len() {
            let terms = self.model.terms(index, &self.column, travel);
            sum.loss += terms.loss;
            sum.rise += terms.rise;
        }
        sum
    }

    fn dynamic(&self) -> f64 {
        self.column.flow * self.column.flow.abs()
    }
}
