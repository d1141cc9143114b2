//! A liquid chain: lines, valves and orifices in series with one flow (theory 4).
//!
//! States: mass flow m and the liquid mass standing in the chain. Momentum by unsteady
//! Bernoulli over the liquid column, pressures total:
//!
//! I dm/dt = p_in - p_out - sum(rho g rise) - sum(loss),  I = sum(L/A),
//! loss of a line = (f L/D + K) m|m|/(2 rho A^2), of a restriction = m|m|/(2 rho (CdA)^2).
//!
//! What stands in the chain is one number. While it primes, liquid fills it from the inlet and
//! the front's velocity head is charged; when gas follows, liquid fills it from the outlet and
//! the tail's velocity head drives. Both keep d(I m^2/2 rho)/dt exact. Losses of gas in a
//! partly filled chain are neglected (density ratio of a few per cent). Only gas: a massless
//! gas restriction with the series area.

use super::characteristic::Trim;
use super::installed::Throttle;
use super::liquid_choking::{Choke, Throat};
use crate::network::{ActuatorId, Capacity, ElementKind, Friction, LiquidChain, Pipes};
use shared::{Scalar, root};
use std::f64::consts::PI;

/// Fraction of full capacity at which a valve counts as shut: its flow is then a thousandth,
/// and the loss (1/fraction^2) would only stiffen the equations.
pub const SHUT_FRACTION: f64 = 1e-3;

/// Part of the full chain's liquid at which the last of it is taken as gone.
pub const EMPTY_FRACTION: f64 = 1e-3;

/// Inertance added to a partly filled chain, as a part of the full chain's: the mass that moves
/// at the entrance. Being constant, it adds to the kinetic energy and nothing else.
const ENTRANCE_INERTANCE: f64 = 1e-2;

/// Reynolds number that stands for gas blow-through in the series area.
const BLOW_THROUGH_REYNOLDS: f64 = 1e6;

/// What fills a chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contents {
    /// Liquid from inlet to outlet.
    Full,
    /// Liquid from the inlet to a front.
    Priming,
    /// Gas from the inlet to a tail, liquid from there on.
    Draining,
    /// Gas only.
    Gas,
}

/// One element with its constants.
#[derive(Clone, Debug)]
struct Element {
    /// Volume of the chain before it, m3.
    before_m3: f64,
    kind: Kind,
}

#[derive(Clone, Debug)]
enum Kind {
    Line {
        length_m: f64,
        bore_m: f64,
        area_m2: f64,
        friction: Friction,
        minor_loss: f64,
        rise_m: f64,
    },
    Restriction {
        area_m2: f64,
        /// The area that gas alone finds.
        throat_m2: f64,
        /// How much deeper than the outlet its throat lies, as a part of the loss: F_L^-2 - 1.
        deeper: f64,
        valve: Option<(ActuatorId, Trim)>,
        /// The pipes that it is reduced from and to.
        installed: Option<Installed>,
    },
}

/// A restriction between pipes of other bores, or in viscous flow.
#[derive(Clone, Debug)]
struct Installed {
    pipes: Pipes,
    kv_m3_h: f64,
    recovery: f64,
}

impl Installed {
    fn of(capacity: &Capacity, recovery: f64) -> Option<Self> {
        let Capacity::Installed { kv_m3_h, pipes, .. } = *capacity else {
            return None;
        };
        Some(Self {
            pipes,
            kv_m3_h,
            recovery,
        })
    }

    /// What stands for `1/area^2` at an effective area that is a part of the whole.
    fn inverse_square<S: Scalar>(&self, column: &Column<S>, area: S, fraction: S) -> S {
        let pipes = match column.flow.value() < 0.0 {
            true => self.pipes.reversed(),
            false => self.pipes,
        };
        let mut passed = area;
        if let Some(style) = pipes.style {
            let throttle = Throttle {
                kv_m3_h: fraction * self.kv_m3_h,
                rated_kv_m3_h: self.kv_m3_h,
                style,
                pipes,
            };
            let flow_m3_s = column.flow / column.density;
            passed = area * throttle.factor(throttle.reynolds(flow_m3_s, column.viscosity));
        }
        S::constant(1.0) / passed.squared() + pipes.lost() / pipes.area_m2().powi(2)
    }

    /// What stands for `1/area^2` down to the throat, whose pressure is static. Of a valve alone, it is
    /// its loss and as much as it recovers.
    fn inverse_square_to_throat<S: Scalar>(&self, area: S) -> S {
        let inlet = (self.pipes.contraction() + 1.0) / self.pipes.area_m2().powi(2);
        S::constant(self.recovery.powi(-2)) / area.squared() + inlet
    }
}

/// A chain made ready to run.
#[derive(Clone, Debug)]
pub struct ChainModel {
    elements: Vec<Element>,
    volume_m3: f64,
    inertance: f64,
    ends_open: bool,
}

/// The flow through a chain and what it flows with.
#[derive(Clone, Copy, Debug)]
pub struct Column<S> {
    /// Mass flow, kg/s.
    pub flow: S,
    /// Liquid standing in the chain, kg.
    pub mass: S,
    /// Density of the liquid, kg/m3.
    pub density: S,
    /// Kinematic viscosity, m2/s.
    pub viscosity: S,
    /// Pressure at which a throat chokes, Pa.
    pub throat_pressure: S,
    /// What fills it.
    pub contents: Contents,
    /// Gravity.
    pub gravity_m_s2: f64,
}

/// Terms of one element in the momentum equation.
#[derive(Clone, Copy, Debug)]
pub struct Terms<S> {
    /// Total pressure lost, Pa, signed with the flow.
    pub loss: S,
    /// Hydrostatic rise, Pa.
    pub rise: S,
    /// Inertance L/A of the liquid in it, 1/m.
    pub inertance: S,
}

impl<S: Scalar> Terms<S> {
    fn zero() -> Self {
        Self {
            loss: S::zero(),
            rise: S::zero(),
            inertance: S::zero(),
        }
    }
}

impl ChainModel {
    /// Prepares a chain.
    #[must_use]
    pub fn new(chain: &LiquidChain) -> Self {
        let mut before_m3 = 0.0;
        let mut inertance = 0.0;
        let mut elements = Vec::with_capacity(chain.elements.len());
        for element in &chain.elements {
            let kind = Kind::new(&element.kind);
            elements.push(Element {
                before_m3,
                kind: kind.clone(),
            });
            if let Kind::Line {
                length_m, area_m2, ..
            } = kind
            {
                before_m3 += length_m * area_m2;
                inertance += length_m / area_m2;
            }
        }
        let ends_open = matches!(elements.last().map(|e| &e.kind), Some(Kind::Line { .. }));
        if inertance == 0.0 {
            inertance = orifice_inertance(&elements);
        }
        Self {
            elements,
            volume_m3: before_m3,
            inertance,
            ends_open,
        }
    }

    /// Inner volume of the lines, m3.
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        self.volume_m3
    }

    /// Number of elements.
    #[must_use]
    pub fn len(&self) -> usize {
        self.elements.len()
    }

    /// True for a chain of no elements.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.elements.is_empty()
    }

    /// The smallest opening of its valves as a fraction of their capacity; 1 without valves.
    #[must_use]
    pub fn opening(&self, travel: &impl Fn(ActuatorId) -> f64) -> f64 {
        let openings = (0..self.elements.len()).map(|i| self.opening_of(i, travel));
        openings.fold(1.0, f64::min)
    }

    /// Opening of one valve as a fraction of its capacity; 1 for any other element.
    #[must_use]
    pub fn opening_of(&self, index: usize, travel: &impl Fn(ActuatorId) -> f64) -> f64 {
        match &self.elements[index].kind {
            Kind::Restriction {
                valve: Some((actuator, trim)),
                ..
            } => trim.fraction(travel(*actuator)),
            _ => 1.0,
        }
    }

    /// Actuator of the valve that is open least.
    #[must_use]
    pub fn least_open_actuator(&self, travel: &impl Fn(ActuatorId) -> f64) -> Option<ActuatorId> {
        match &self.elements.get(self.shut_element(travel))?.kind {
            Kind::Restriction {
                valve: Some((actuator, _)),
                ..
            } => Some(*actuator),
            _ => None,
        }
    }

    /// Index of the valve that is open least; the last element's if there is no valve.
    #[must_use]
    pub fn shut_element(&self, travel: &impl Fn(ActuatorId) -> f64) -> usize {
        let openings = self
            .elements
            .iter()
            .enumerate()
            .filter_map(|(i, e)| match &e.kind {
                Kind::Restriction {
                    valve: Some((actuator, trim)),
                    ..
                } => Some((i, trim.fraction(travel(*actuator)))),
                _ => None,
            });
        openings
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map_or(self.elements.len().saturating_sub(1), |(i, _)| i)
    }

    /// The farthest valve or orifice in which liquid stands.
    #[must_use]
    pub fn last_wet_restriction(&self, column: &Column<f64>) -> Option<usize> {
        self.elements.iter().rposition(|e| {
            matches!(e.kind, Kind::Restriction { .. }) && e.is_wet(column, self.volume_m3)
        })
    }

    /// Whether liquid stands at the joint before an element.
    #[must_use]
    pub fn is_wet_before(&self, element: usize, column: &Column<f64>) -> bool {
        let element = self.elements.get(element);
        element.is_some_and(|e| e.is_wet(column, self.volume_m3))
    }

    /// Terms of one element.
    pub fn terms<S: Scalar>(
        &self,
        index: usize,
        column: &Column<S>,
        travel: &impl Fn(ActuatorId) -> S,
    ) -> Terms<S> {
        let element = &self.elements[index];
        match &element.kind {
            Kind::Line { .. } => element.line_terms(column, self.volume_m3),
            Kind::Restriction {
                area_m2,
                valve,
                installed,
                ..
            } => {
                if !element.is_wet(column, self.volume_m3) {
                    return Terms::zero();
                }
                let area = open_area(*area_m2, valve.as_ref(), travel);
                let loss = match installed {
                    None => {
                        column.flow * column.flow.abs() / (column.density * area.squared() * 2.0)
                    }
                    Some(installed) => {
                        let fraction = area / *area_m2;
                        column.dynamic() * installed.inverse_square(column, area, fraction)
                    }
                };
                Terms {
                    loss,
                    ..Terms::zero()
                }
            }
        }
    }

    /// Sum of all terms; and the restriction that chokes hardest in a full chain against `end`,
    /// the pressure (Pa) of its end with the head lost there. What stands behind a restriction
    /// counts without its inertia.
    pub fn sum<S: Scalar>(
        &self,
        column: &Column<S>,
        end: S,
        travel: &impl Fn(ActuatorId) -> S,
    ) -> (Terms<S>, Option<Choke<S>>) {
        let (sum, hardest) = self.sum_at(column, end, travel, Throat::Hardest);
        let chokes = |choke: &Choke<S>| choke.excess.value() > 0.0 && column.flow.value() > 0.0;
        (sum, hardest.filter(chokes))
    }

    /// The same, with the excess of a throat that is asked for, below zero where it does not choke.
    pub fn sum_at<S: Scalar>(
        &self,
        column: &Column<S>,
        end: S,
        travel: &impl Fn(ActuatorId) -> S,
        throat: Throat,
    ) -> (Terms<S>, Option<Choke<S>>) {
        let is_asked = |element| match throat {
            Throat::Hardest => column.contents == Contents::Full,
            Throat::Held(held) => column.contents == Contents::Full && held == Some(element),
        };
        let mut sum = Terms::<S>::zero();
        let mut hardest: Option<Choke<S>> = None;
        for element in (0..self.elements.len()).rev() {
            let terms = self.terms(element, column, travel);
            if is_asked(element)
                && let Some(below_outlet) = self.below_outlet(element, terms.loss, column, travel)
            {
                // Before the sums of the rest are added to it: most restrictions do not choke.
                let excess = below_outlet + column.throat_pressure - end;
                let rest = sum.loss.value() + sum.rise.value();
                let most = hardest.map_or(f64::NEG_INFINITY, |c| c.excess.value());
                if excess.value() - rest > most {
                    let excess = excess - sum.loss - sum.rise;
                    hardest = Some(Choke { element, excess });
                }
            }
            sum.loss += terms.loss;
            sum.rise += terms.rise;
            sum.inertance += terms.inertance;
        }
        sum.inertance = self.with_entrance(column, sum.inertance);
        (sum, hardest)
    }

    /// How far below its outlet's total pressure the throat of a restriction lies that takes `loss`, Pa.
    pub fn below_outlet<S: Scalar>(
        &self,
        index: usize,
        loss: S,
        column: &Column<S>,
        travel: &impl Fn(ActuatorId) -> S,
    ) -> Option<S> {
        let Kind::Restriction {
            area_m2,
            deeper,
            valve,
            installed,
            ..
        } = &self.elements[index].kind
        else {
            return None;
        };
        Some(match installed {
            None => loss * *deeper,
            Some(installed) => {
                let area = open_area(*area_m2, valve.as_ref(), travel);
                column.dynamic() * installed.inverse_square_to_throat(area) - loss
            }
        })
    }

    /// Flow in kg/s, not above `most`, at which losses and choking take `drive_pa` against the
    /// pressure `end_pa`.
    #[must_use]
    pub fn steady_flow_kg_s(
        &self,
        column: &Column<f64>,
        drive_pa: f64,
        end_pa: f64,
        most: f64,
        travel: &impl Fn(ActuatorId) -> f64,
    ) -> f64 {
        let left_pa = |flow: f64| {
            let column = Column { flow, ..*column };
            let exit = self.exit_loss(&column);
            let (sum, choke) = self.sum(&column, end_pa + exit, travel);
            sum.loss + exit + choke.map_or(0.0, |choke| choke.excess) - drive_pa
        };
        if left_pa(most) <= 0.0 {
            return most;
        }
        root::bracketed(left_pa, 0.0, most, 0.0).unwrap_or(0.0)
    }

    /// Inertance of the column, 1/m.
    pub fn inertance<S: Scalar>(&self, column: &Column<S>) -> S {
        let mut sum = S::zero();
        for element in 0..self.elements.len() {
            sum += self.terms(element, column, &|_| S::constant(1.0)).inertance;
        }
        self.with_entrance(column, sum)
    }

    /// Inertance of what is wet, and what the entrance or an orifice adds.
    fn with_entrance<S: Scalar>(&self, column: &Column<S>, wet: S) -> S {
        if column.contents != Contents::Full {
            wet + self.inertance * ENTRANCE_INERTANCE
        } else if self.volume_m3 == 0.0 {
            S::constant(self.inertance)
        } else {
            wet
        }
    }

    /// Velocity head lost where a pipe ends in a volume, Pa, signed with the flow: at the
    /// outlet, or at the inlet when the flow runs back.
    pub fn exit_loss<S: Scalar>(&self, column: &Column<S>) -> S {
        let forward = column.flow.value() >= 0.0;
        let reaches_end = match column.contents {
            Contents::Full => true,
            Contents::Draining => forward,
            Contents::Priming => !forward,
            Contents::Gas => false,
        };
        let (end, sign) = if forward {
            (self.elements.last(), 1.0)
        } else {
            (self.elements.first(), -1.0)
        };
        match end {
            Some(end) if reaches_end => end.velocity_head(column) * sign,
            _ => S::zero(),
        }
    }

    /// Velocity head of the moving front (positive: charged) or tail (negative: drives), Pa.
    /// It is stored in the column, not dissipated.
    pub fn front_head<S: Scalar>(&self, column: &Column<S>) -> S {
        let at_m3 = column.front_m3(self.volume_m3);
        let line = self
            .elements
            .iter()
            .filter(|e| matches!(e.kind, Kind::Line { .. }))
            .rfind(|e| e.before_m3 <= at_m3);
        match (column.contents, line) {
            (Contents::Priming, Some(line)) => line.velocity_head(column),
            (Contents::Draining, Some(line)) => -line.velocity_head(column),
            _ => S::zero(),
        }
    }

    /// Effective area of the elements in series, m2, for gas alone or at high Reynolds number.
    pub fn series_area<S: Scalar>(&self, travel: &impl Fn(ActuatorId) -> S) -> S {
        let mut inverse_square = S::zero();
        for element in &self.elements {
            inverse_square += match &element.kind {
                Kind::Line {
                    length_m,
                    bore_m,
                    area_m2,
                    friction,
                    minor_loss,
                    ..
                } => {
                    let f = friction.factor(BLOW_THROUGH_REYNOLDS, *bore_m);
                    S::constant((f * length_m / bore_m + minor_loss) / (area_m2 * area_m2))
                }
                Kind::Restriction {
                    throat_m2,
                    valve,
                    installed,
                    ..
                } => {
                    let open = open_area(*throat_m2, valve.as_ref(), travel);
                    let lost = installed
                        .as_ref()
                        .map_or(0.0, |i| i.pipes.lost() / i.pipes.area_m2().powi(2));
                    S::constant(1.0) / open.squared() + lost
                }
            };
        }
        if self.ends_open
            && let Some(Kind::Line { area_m2, .. }) = self.elements.last().map(|e| &e.kind)
        {
            inverse_square += S::constant(area_m2.powi(-2));
        }
        S::constant(1.0) / inverse_square.sqrt()
    }

    /// Potential energy of the liquid in the chain above the inlet, J.
    #[must_use]
    pub fn potential_energy_j(&self, column: &Column<f64>) -> f64 {
        let mut height = 0.0;
        let mut energy = 0.0;
        for element in &self.elements {
            if let Kind::Line {
                length_m,
                area_m2,
                rise_m,
                ..
            } = element.kind
            {
                let (from, to) = element.wet_span(column, self.volume_m3);
                let mass = column.density * length_m * area_m2 * (to - from);
                let middle = height + rise_m * 0.5 * (from + to);
                energy += mass * column.gravity_m_s2 * middle;
                height += rise_m;
            }
        }
        energy
    }

    /// Slope of a full column's energies by its density at a given flow, J m3/kg; a front that moves is
    /// over too soon to count.
    #[must_use]
    pub fn energy_by_density_j_m3_kg(&self, column: &Column<f64>) -> f64 {
        if column.contents != Contents::Full {
            return 0.0;
        }
        let per_density = column.flow / column.density;
        let kinetic = -0.5 * self.inertance * per_density * per_density;
        kinetic + self.potential_energy_j(column) / column.density
    }

    /// Outlet above inlet, m.
    #[must_use]
    pub fn rise_m(&self) -> f64 {
        self.elements
            .iter()
            .map(|e| match e.kind {
                Kind::Line { rise_m, .. } => rise_m,
                Kind::Restriction { .. } => 0.0,
            })
            .sum()
    }

    /// Flow in kg/s that a pressure of 1 bar drives through all valves wide open: the scale
    /// of the flow's error.
    #[must_use]
    pub fn flow_scale_kg_s(&self, density_kg_m3: f64) -> f64 {
        self.series_area(&|_| 1.0) * (2.0 * density_kg_m3 * 1e5).sqrt()
    }
}

impl<S: Scalar> Column<S> {
    /// The same without derivatives.
    #[must_use]
    pub fn values(&self) -> Column<f64> {
        Column {
            flow: self.flow.value(),
            mass: self.mass.value(),
            density: self.density.value(),
            viscosity: self.viscosity.value(),
            throat_pressure: self.throat_pressure.value(),
            contents: self.contents,
            gravity_m_s2: self.gravity_m_s2,
        }
    }

    /// `m|m| / (2 rho)`: a loss over this is one over an effective area squared.
    fn dynamic(&self) -> S {
        self.flow * self.flow.abs() / (self.density * 2.0)
    }

    /// Volume from the inlet to the moving front or tail, m3.
    fn front_m3(&self, chain_m3: f64) -> f64 {
        let liquid = (self.mass / self.density).value();
        match self.contents {
            Contents::Priming => liquid,
            Contents::Draining => chain_m3 - liquid,
            Contents::Full => chain_m3,
            Contents::Gas => 0.0,
        }
    }
}

impl Kind {
    fn new(kind: &ElementKind) -> Self {
        match kind {
            ElementKind::Line(line) => Self::Line {
                length_m: line.length_m,
                bore_m: line.bore_m,
                area_m2: line.bore_m2(),
                friction: line.friction,
                minor_loss: line.minor_loss,
                rise_m: line.rise_m,
            },
            ElementKind::Valve {
                capacity,
                recovery,
                valve,
            } => Self::Restriction {
                area_m2: capacity.liquid_area_m2(),
                throat_m2: capacity.liquid_area_m2(),
                deeper: recovery.powi(-2) - 1.0,
                valve: Some((valve.actuator, Trim::new(&valve.characteristic))),
                installed: Installed::of(capacity, *recovery),
            },
            ElementKind::Orifice { capacity, recovery } => Self::Restriction {
                area_m2: capacity.liquid_area_m2(),
                throat_m2: capacity.liquid_area_m2(),
                deeper: recovery.powi(-2) - 1.0,
                valve: None,
                installed: Installed::of(capacity, *recovery),
            },
            ElementKind::Venturi {
                throat_m2,
                recovery,
            } => Self::Restriction {
                area_m2: throat_m2 / recovery,
                throat_m2: *throat_m2,
                deeper: recovery.powi(-2) - 1.0,
                valve: None,
                installed: None,
            },
        }
    }
}

/// Effective area of a restriction at its travel, m2; a valve keeps at least the fraction at
/// which it counts as shut.
fn open_area<S: Scalar>(
    area_m2: f64,
    valve: Option<&(ActuatorId, Trim)>,
    travel: &impl Fn(ActuatorId) -> S,
) -> S {
    let fraction = valve.map_or(S::constant(1.0), |(actuator, trim)| {
        trim.fraction(travel(*actuator))
            .max(S::constant(SHUT_FRACTION))
    });
    fraction * area_m2
}

/// Inertance of a chain without a line: a slug one diameter long in its smallest opening.
fn orifice_inertance(elements: &[Element]) -> f64 {
    let smallest = elements
        .iter()
        .map(|e| match e.kind {
            Kind::Restriction { area_m2, .. } => area_m2,
            Kind::Line { area_m2, .. } => area_m2,
        })
        .fold(f64::INFINITY, f64::min);
    (4.0 / (PI * smallest)).sqrt()
}

impl Element {
    /// Fractions of a line's length between which liquid stands.
    fn wet_span<S: Scalar>(&self, column: &Column<S>, chain_m3: f64) -> (S, S) {
        let own_m3 = match self.kind {
            Kind::Line {
                length_m, area_m2, ..
            } => length_m * area_m2,
            Kind::Restriction { .. } => 0.0,
        };
        let reach = |liquid: S| {
            if own_m3 <= 0.0 {
                return S::constant(1.0);
            }
            ((liquid - self.before_m3) / own_m3)
                .max(S::zero())
                .min(S::constant(1.0))
        };
        let liquid = column.mass / column.density;
        match column.contents {
            Contents::Full => (S::zero(), S::constant(1.0)),
            Contents::Priming => (S::zero(), reach(liquid)),
            Contents::Draining => (reach(-liquid + chain_m3), S::constant(1.0)),
            Contents::Gas => (S::zero(), S::zero()),
        }
    }

    /// Whether liquid stands where it begins.
    fn is_wet<S: Scalar>(&self, column: &Column<S>, chain_m3: f64) -> bool {
        match column.contents {
            Contents::Full => true,
            Contents::Priming => column.front_m3(chain_m3) >= self.before_m3,
            Contents::Draining => column.front_m3(chain_m3) <= self.before_m3,
            Contents::Gas => false,
        }
    }

    fn line_terms<S: Scalar>(&self, column: &Column<S>, chain_m3: f64) -> Terms<S> {
        let Kind::Line {
            length_m,
            bore_m,
            area_m2,
            friction,
            minor_loss,
            rise_m,
        } = self.kind
        else {
            return Terms::zero();
        };
        let (from, to) = self.wet_span(column, chain_m3);
        let wet = to - from;
        let velocity = column.flow / (column.density * area_m2);
        let reynolds = velocity.abs() * bore_m / column.viscosity;
        let factor = friction.factor(reynolds, bore_m) * (length_m / bore_m) + minor_loss;
        Terms {
            loss: factor * column.density * velocity * velocity.abs() * 0.5 * wet,
            rise: column.density * wet * (column.gravity_m_s2 * rise_m),
            inertance: wet * (length_m / area_m2),
        }
    }

    /// Velocity head in a line, Pa; zero in a restriction, whose loss has it.
    fn velocity_head<S: Scalar>(&self, column: &Column<S>) -> S {
        match self.kind {
            Kind::Line { area_m2, .. } => {
                column.flow.squared() / (column.density * (2.0 * area_m2 * area_m2))
            }
            Kind::Restriction { .. } => S::zero(),
        }
    }
}
