//! How much a restriction passes.

use crate::input::{Distribution, InputId, Range, Values};
use crate::read::{Context, Key, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::network as net;
use std::f64::consts::PI;

/// A capacity as the file gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    form: Form,
    /// The model's own uncertainty, for gas through a catalogue flow coefficient.
    multiplier: Option<InputId>,
    /// Liquid pressure recovery factor F_L.
    recovery: Option<InputId>,
    /// Its own bore and what stands about it.
    around: Around,
}

/// The bores about a valve, and how its trim takes viscous flow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Around {
    bore: Option<InputId>,
    before: Option<InputId>,
    after: Option<InputId>,
    style: Option<InputId>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Form {
    Area(InputId),
    Bore {
        diameter: InputId,
        discharge: InputId,
    },
    Nozzle {
        throat: InputId,
        multiplier: InputId,
    },
    Coefficient {
        kv: InputId,
        xt: Option<InputId>,
    },
    Sonic {
        conductance: InputId,
        ratio: InputId,
    },
}

const AREA: Key = Key::new(
    "effective_area",
    &[Dimension::Area],
    Range::Positive,
    "15 mm2",
);
const DIAMETER: Key = Key::new("diameter", &[Dimension::Length], Range::Positive, "5.5 mm");
const DISCHARGE: Key = Key::new(
    "discharge_coefficient",
    &[Dimension::Fraction],
    Range::ProperFraction,
    "0.60 .. 0.66",
);
const COEFFICIENT: Key = Key::new(
    "flow_coefficient",
    &[Dimension::FlowCoefficient],
    Range::Positive,
    "1.2 Cv",
);
const XT: Key = Key::new("xt", &[Dimension::Fraction], Range::ProperFraction, "0.70");
const SONIC: Key = Key::new(
    "sonic_conductance",
    &[Dimension::SonicConductance],
    Range::Positive,
    "5 L/s/bar",
);
const RATIO: Key = Key::new(
    "critical_ratio",
    &[Dimension::Fraction],
    Range::BelowOne,
    "0.3",
);
const RECOVERY: Key = Key::new(
    "liquid_recovery",
    &[Dimension::Fraction],
    Range::ProperFraction,
    "0.74",
);
const METRES: &[Dimension] = &[Dimension::Length];
const BORE: Key = Key::new("bore", METRES, Range::Positive, "22 mm");
const BEFORE: Key = Key::new("bore_before", METRES, Range::Positive, "28 mm");
const AFTER: Key = Key::new("bore_after", METRES, Range::Positive, "28 mm");
const STYLE: Key = Key::new(
    "style_modifier",
    &[Dimension::Fraction],
    Range::ProperFraction,
    "0.46",
);
/// How the throat of a hole is formed.
const THROAT_SHAPE: &str = "throat_shape";
const THROAT_SHAPES: [(&str, Throat); 1] = [("toroidal", Throat::Toroidal)];
const WAYS: [&str; 4] = [AREA.name, DIAMETER.name, COEFFICIENT.name, SONIC.name];

/// How the throat of a hole is formed, from which its discharge coefficient follows.
#[derive(Clone, Copy, Debug)]
enum Throat {
    /// A torus, by ISO 9300.
    Toroidal,
}

/// What stands for a liquid pressure recovery factor that the file does not give.
#[derive(Clone, Copy, Debug)]
pub struct Recovery {
    /// As the file would give it.
    pub value: &'static str,
    /// Why.
    pub reason: &'static str,
}

impl Capacity {
    /// Reads the one way in which a capacity is given.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        Self::read_with(reader, None)
    }

    /// The same, of a hole whose throat may be formed.
    fn read_with(reader: &mut TableReader<'_>, throat: Option<Throat>) -> Option<Self> {
        let way = match throat {
            Some(_) => Self::read_way_of_nozzle(reader),
            None => reader.one_of(&WAYS),
        };
        if way.is_none() && throat.is_none() {
            let message = format!("[{}] does not say how much it passes", reader.path);
            let remedy = "add flow_coefficient = \"1.2 Cv\", or effective_area = \"15 mm2\", or diameter = \"5.5 mm\" with discharge_coefficient, or sonic_conductance = \"5 L/s/bar\"";
            reader.missing_any(&codes::MISSING_KEY, &WAYS, message, remedy.to_owned());
        }
        let area = reader.optional(AREA);
        let bore = match throat {
            Some(throat) => Self::read_nozzle(reader, throat),
            None => Self::read_bore(reader),
        };
        let kv = reader.optional(COEFFICIENT);
        let xt = reader.optional(XT);
        let sonic = Self::read_sonic(reader);
        let form = match way? {
            "effective_area" => Form::Area(area?),
            "diameter" => bore?,
            "flow_coefficient" => Form::Coefficient { kv: kv?, xt },
            _ => sonic?,
        };
        Some(Self {
            form,
            multiplier: None,
            recovery: None,
            around: Around::default(),
        })
    }

    /// Reads one that may stand in liquid, where a part of the pressure is recovered.
    pub fn read_for_either(reader: &mut TableReader<'_>) -> Option<Self> {
        Self::read_around(reader, None)
    }

    /// Reads that of an orifice, which in gas may be a nozzle.
    pub fn read_for_orifice(reader: &mut TableReader<'_>) -> Option<Self> {
        let throat = reader.word(THROAT_SHAPE, &THROAT_SHAPES);
        Self::read_around(reader, throat)
    }

    fn read_around(reader: &mut TableReader<'_>, throat: Option<Throat>) -> Option<Self> {
        let recovery = reader.optional(RECOVERY);
        let around = Around::read(reader);
        let capacity = Self::read_with(reader, throat)?;
        Some(Self {
            recovery,
            around: around?,
            ..capacity
        })
    }

    /// Its own bore, where the file gives it.
    #[must_use]
    pub fn bore(&self) -> Option<InputId> {
        self.around.bore
    }

    fn read_bore(reader: &mut TableReader<'_>) -> Option<Form> {
        let diameter = reader.optional(DIAMETER);
        if reader.has(DIAMETER.name) && !reader.has(DISCHARGE.name) {
            reader.missing(DISCHARGE.name, DISCHARGE.example);
        }
        let discharge = reader.optional(DISCHARGE);
        Some(Form::Bore {
            diameter: diameter?,
            discharge: discharge?,
        })
    }

    /// The one way that goes with the shape of a throat.
    fn read_way_of_nozzle(reader: &mut TableReader<'_>) -> Option<&'static str> {
        let mut ways = WAYS.into_iter().filter(|&way| way != DIAMETER.name);
        if let Some(other) = ways.find(|way| reader.has(way)) {
            reader.either_or(THROAT_SHAPE, other);
            return None;
        }
        if !reader.has(DIAMETER.name) {
            reader.missing(DIAMETER.name, DIAMETER.example);
        }
        Some(DIAMETER.name)
    }

    /// A diameter alone: the coefficient follows.
    fn read_nozzle(reader: &mut TableReader<'_>, throat: Throat) -> Option<Form> {
        let diameter = reader.optional(DIAMETER);
        if reader.has(DISCHARGE.name) {
            reader.either_or(THROAT_SHAPE, DISCHARGE.name);
        }
        reader.optional(DISCHARGE);
        let name = reader.path.rsplit('.').next().unwrap_or(&reader.path);
        let path = format!("model.{name}.{}", DISCHARGE.name);
        let reason = match throat {
            Throat::Toroidal => {
                "on 0.9959 - 2.720/sqrt(Re) of ISO 9300:2022, at 95 % (the uncertainty from memory)"
            }
        };
        let multiplier = reader.context.doubt(path, 0.3, reason);
        Some(Form::Nozzle {
            throat: diameter?,
            multiplier,
        })
    }

    fn read_sonic(reader: &mut TableReader<'_>) -> Option<Form> {
        let conductance = reader.optional(SONIC);
        let Some(conductance) = conductance else {
            reader.optional(RATIO);
            return None;
        };
        let reason = "middle of what valves and fittings have: common practice, no source";
        let ratio = reader.or_default(RATIO, "0.30 ± 0.15", reason);
        Some(Form::Sonic { conductance, ratio })
    }

    /// Adds what only gas needs: the pressure ratio factor of a flow coefficient, and the
    /// coefficient's own doubt where neither the file states one nor the flow was measured.
    pub fn settle_for_gas(&mut self, context: &mut Context, path: &str, is_measured: bool) {
        let Form::Coefficient { kv, xt } = &mut self.form else {
            return;
        };
        xt.get_or_insert_with(|| {
            let reason = "pressure ratio factor of a globe-like seat (IEC 60534-2-1 lists 0.6 to 0.75; from memory)";
            let path = format!("{path}.{}", XT.name);
            context.default_input(&path, XT.dimensions[0], XT.range, "0.70 ± 0.10", reason)
        });
        let is_exact = context.inputs.get(*kv).distribution == Distribution::Exact;
        if is_exact && !is_measured {
            let name = path.rsplit('.').next().unwrap_or(path);
            self.multiplier = Some(catalogue_doubt(context, name));
        }
    }

    /// Adds what liquid needs, and gas where its flow need not be turbulent: the pressure recovery
    /// factor of a flow coefficient, which is measured over the whole valve. An area is taken as the
    /// throat's own: nothing recovers.
    pub fn settle_recovery(&mut self, context: &mut Context, path: &str, default: Recovery) {
        if !matches!(self.form, Form::Coefficient { .. }) {
            self.assume_no_recovery(context, path);
            return;
        }
        self.recovery.get_or_insert_with(|| {
            let path = format!("{path}.{}", RECOVERY.name);
            let (dimension, range) = (RECOVERY.dimensions[0], RECOVERY.range);
            context.default_input(&path, dimension, range, default.value, default.reason)
        });
    }

    /// Says that nothing of the pressure is recovered in liquid, unless the file says how much.
    pub fn assume_no_recovery(&self, context: &mut Context, path: &str) {
        if self.recovery.is_none() {
            let path = format!("{path}.{}", RECOVERY.name);
            let reason = "taken as the throat's own flow: behind it nothing is recovered";
            context.assume(&path, "1", reason);
        }
    }

    /// Its liquid pressure recovery factor; 1 without recovery.
    #[must_use]
    pub fn recovery(&self, values: &Values<'_>) -> f64 {
        self.recovery.map_or(1.0, |id| values.si(id))
    }

    /// True if its flow may be other than turbulent.
    #[must_use]
    pub fn has_style(&self) -> bool {
        self.around.style.is_some()
    }

    /// What of it only gas has, in words.
    #[must_use]
    pub fn for_gas_only(&self) -> Option<&'static str> {
        match self.form {
            Form::Sonic { .. } => Some("a sonic conductance"),
            Form::Nozzle { .. } => Some("the throat_shape of a nozzle for gas"),
            Form::Area(_) | Form::Bore { .. } | Form::Coefficient { .. } => None,
        }
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::Capacity {
        let capacity = match self.form {
            Form::Area(id) => net::Capacity::EffectiveArea { m2: values.si(id) },
            Form::Bore {
                diameter,
                discharge,
            } => net::Capacity::EffectiveArea {
                m2: values.si(discharge) * PI * values.si(diameter).powi(2) / 4.0,
            },
            Form::Nozzle { throat, multiplier } => net::Capacity::Nozzle(net::ToroidalNozzle {
                throat_m: values.si(throat),
                multiplier: values.si(multiplier),
            }),
            Form::Coefficient { kv, xt } => {
                let kv_m3_h = values.si(kv);
                // Liquid does not ask for it.
                let xt = xt.map_or(1.0, |id| values.si(id));
                match self.around.lower(values, self.recovery(values)) {
                    Some(pipes) => net::Capacity::Installed { kv_m3_h, xt, pipes },
                    None => net::Capacity::FlowCoefficient { kv_m3_h, xt },
                }
            }
            Form::Sonic { conductance, ratio } => net::Capacity::SonicConductance {
                c_m3_s_pa: values.si(conductance),
                b: values.si(ratio),
            },
        };
        match self.multiplier {
            Some(id) => capacity.scaled(values.si(id)),
            None => capacity,
        }
    }
}

impl Around {
    /// Reads them; none if they are wrong.
    fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let around = Self {
            bore: reader.optional(BORE),
            before: reader.optional(BEFORE),
            after: reader.optional(AFTER),
            style: reader.optional(STYLE),
        };
        let others = [BEFORE, AFTER, STYLE].into_iter();
        let Some(first) = others.clone().find(|key| reader.has(key.name)) else {
            return Some(around);
        };
        if !reader.has(COEFFICIENT.name) {
            let message = format!(
                "[{}] has {} but no flow_coefficient, which it goes with",
                reader.path, first.name
            );
            let remedy = "give the flow_coefficient as a catalogue has it, without pipes of other bores, or leave it out";
            reader.error_at(first.name, &codes::EITHER_OR, message, remedy.to_owned());
            return None;
        }
        if !reader.has(BORE.name) {
            reader.missing(BORE.name, BORE.example);
        }
        let bore = around.bore?;
        let mut is_right = true;
        for (key, pipe) in [(BEFORE, around.before), (AFTER, around.after)] {
            let values = reader.context.inputs.nominal();
            let is_narrower = pipe.is_some_and(|pipe| values.si(pipe) < values.si(bore));
            if is_narrower {
                let message = format!(
                    "{} is below the bore of the valve",
                    reader.path_of(key.name)
                );
                let remedy = "a pipe about a valve is as wide as it or wider; a narrower one is a line of its own";
                reader.error_at(key.name, &codes::OUT_OF_RANGE, message, remedy.to_owned());
                is_right = false;
            }
            if pipe.is_none() {
                let path = reader.path_of(key.name);
                let reason = "no reducer there is named";
                reader.context.assume(&path, "the valve's own bore", reason);
            }
        }
        if around.style.is_none() {
            let path = reader.path_of(STYLE.name);
            let reason = "flow through the valve is taken as turbulent";
            reader.context.assume(&path, "none", reason);
        }
        is_right.then_some(around)
    }

    /// What the equations run on, if the file says more than a bore.
    fn lower(&self, values: &Values<'_>, recovery: f64) -> Option<net::Pipes> {
        let bore_m = values.si(self.bore?);
        if [self.before, self.after, self.style] == [None; 3] {
            return None;
        }
        let pipe_m = |id: Option<InputId>| id.map_or(bore_m, |id| values.si(id));
        Some(net::Pipes {
            bore_m,
            before_m: pipe_m(self.before),
            after_m: pipe_m(self.after),
            style: self.style.map(|id| net::Style {
                modifier: values.si(id),
                recovery,
            }),
        })
    }
}

/// A catalogue's flow coefficient, used for gas without a measured curve.
fn catalogue_doubt(context: &mut Context, name: &str) -> InputId {
    let path = format!("model.{name}.flow_coefficient");
    let reason = "a catalogue's coefficient without a measured flow: common practice, no source";
    context.doubt(path, 20.0, reason)
}
