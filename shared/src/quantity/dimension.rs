//! Kinds of quantity that are not to be mixed up.

/// The kinds of quantity. A level (of pressure, of temperature) and a difference are two kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dimension {
    /// A pure number.
    Fraction,
    /// Length; SI m.
    Length,
    /// Area; SI m2.
    Area,
    /// Volume; SI m3.
    Volume,
    /// Mass; SI kg.
    Mass,
    /// Time; SI s.
    Time,
    /// A pressure level, gauge or absolute; SI Pa.
    Pressure,
    /// A pressure difference; SI Pa.
    PressureDifference,
    /// A temperature level; SI K.
    Temperature,
    /// A temperature difference; SI K.
    TemperatureDifference,
    /// Mass flow; SI kg/s.
    MassFlow,
    /// Volume flow at the conditions of the place; SI m3/s.
    VolumeFlow,
    /// Gas flow as a volume at a reference state, which is an amount of substance; SI mol/s.
    StandardFlow,
    /// Flow coefficient of a valve; held as Kv, m3/h of water at 1 bar.
    FlowCoefficient,
    /// Sonic conductance by ISO 6358; SI m3/(s Pa).
    SonicConductance,
    /// Density; SI kg/m3.
    Density,
    /// Velocity; SI m/s.
    Velocity,
    /// Acceleration; SI m/s2.
    Acceleration,
    /// Force; SI N.
    Force,
    /// Energy; SI J.
    Energy,
    /// Power; SI W.
    Power,
    /// Heat flow per area and temperature difference; SI W/(m2 K).
    HeatTransferCoefficient,
    /// Heat flow per temperature difference; SI W/K.
    ThermalConductance,
    /// Heat capacity per mass; SI J/(kg K).
    SpecificHeat,
    /// Heat conductivity; SI W/(m K).
    ThermalConductivity,
    /// Molar mass; SI kg/mol.
    MolarMass,
    /// Dynamic viscosity; SI Pa s.
    Viscosity,
    /// Change of pressure with time; SI Pa/s.
    PressureRate,
    /// Change of temperature with time; SI K/s.
    TemperatureRate,
    /// Angle; SI rad.
    Angle,
    /// Frequency; SI Hz.
    Frequency,
}

impl Dimension {
    /// With its article, as in "a volume".
    #[must_use]
    pub fn name(self) -> &'static str {
        self.facts().0
    }

    /// Units in which it is usually written, the commonest first.
    #[must_use]
    pub fn usual_units(self) -> &'static [&'static str] {
        self.facts().1
    }

    fn facts(self) -> (&'static str, &'static [&'static str]) {
        match self {
            Self::Fraction => ("a number without unit", &[""]),
            Self::Length => ("a length", &["mm", "m", "in"]),
            Self::Area => ("an area", &["mm2", "in2"]),
            Self::Volume => ("a volume", &["L", "mL", "gal"]),
            Self::Mass => ("a mass", &["kg", "g", "lbm"]),
            Self::Time => ("a time", &["s", "ms"]),
            Self::Pressure => ("a pressure", &["bar(g)", "bar(a)", "psig", "psia"]),
            Self::PressureDifference => ("a pressure difference", &["bar", "psi", "kPa"]),
            Self::Temperature => ("a temperature", &["degC", "K", "degF"]),
            Self::TemperatureDifference => ("a temperature difference", &["K", "R"]),
            Self::MassFlow => ("a mass flow", &["kg/s", "g/s", "lbm/s"]),
            Self::VolumeFlow => ("a volume flow", &["L/s", "L/min", "gpm"]),
            Self::StandardFlow => (
                "a gas flow at a reference state",
                &["scfm", "slpm", "Nm3/h"],
            ),
            Self::FlowCoefficient => ("a flow coefficient", &["Cv", "Kv"]),
            Self::SonicConductance => ("a sonic conductance", &["L/s/bar"]),
            Self::Density => ("a density", &["kg/m3", "lbm/ft3"]),
            Self::Velocity => ("a velocity", &["m/s", "ft/s"]),
            Self::Acceleration => ("an acceleration", &["m/s2"]),
            Self::Force => ("a force", &["N", "lbf"]),
            Self::Energy => ("an energy", &["J", "Wh"]),
            Self::Power => ("a power", &["W", "kW"]),
            Self::HeatTransferCoefficient => ("a heat transfer coefficient", &["W/m2K"]),
            Self::ThermalConductance => ("a heat conductance", &["W/K"]),
            Self::SpecificHeat => ("a specific heat", &["J/kgK"]),
            Self::ThermalConductivity => ("a heat conductivity", &["W/mK"]),
            Self::MolarMass => ("a molar mass", &["g/mol"]),
            Self::Viscosity => ("a viscosity", &["mPas", "cP"]),
            Self::PressureRate => ("a rate of pressure", &["bar/s", "psi/s"]),
            Self::TemperatureRate => ("a rate of temperature", &["K/s"]),
            Self::Angle => ("an angle", &["deg", "rad"]),
            Self::Frequency => ("a frequency", &["Hz", "kHz"]),
        }
    }
}
