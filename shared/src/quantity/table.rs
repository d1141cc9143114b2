//! The units of the trade.
//!
//! Factors are exact by definition (international yard and pound agreement of 1959, SI
//! brochure, NIST SP 811 appendix B) unless a comment says otherwise. Reference states of
//! volume-named gas flows are given as notes, because the names alone leave them open.

use super::dimension::Dimension::{self, *};
use super::unit::Unit;

/// Molar gas constant, J/(mol K); exact since the SI of 2019.
const R: f64 = 8.314_462_618_153_24;
const ATM: f64 = 101_325.0;
const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const FT3: f64 = FOOT * FOOT * FOOT;
const POUND: f64 = 0.453_592_37;
const G: f64 = 9.806_65;
const LBF: f64 = POUND * G;
const PSI: f64 = LBF / (INCH * INCH);
/// US gallon: 231 cubic inches.
const GALLON: f64 = 231.0 * INCH * INCH * INCH;
/// International table British thermal unit.
const BTU: f64 = 1_055.055_852_62;
const ICE_K: f64 = 273.15;
const FAHRENHEIT_ZERO_K: f64 = 459.67 / 1.8;
const SIXTY_F_K: f64 = FAHRENHEIT_ZERO_K + 60.0 / 1.8;

/// Amount of gas in a cubic metre at one atmosphere and `t_k`, as a perfect gas by
/// definition; mol/m3.
const fn mol_per_m3(t_k: f64) -> f64 {
    ATM / (R * t_k)
}

const fn unit(
    symbol: &'static str,
    aliases: &'static [&'static str],
    dimension: Dimension,
    factor: f64,
) -> Unit {
    noted(symbol, aliases, dimension, factor, "")
}

const fn noted(
    symbol: &'static str,
    aliases: &'static [&'static str],
    dimension: Dimension,
    factor: f64,
    note: &'static str,
) -> Unit {
    Unit {
        symbol,
        aliases,
        dimension,
        factor,
        zero: 0.0,
        note,
    }
}

const fn scale(
    symbol: &'static str,
    aliases: &'static [&'static str],
    factor: f64,
    zero: f64,
) -> Unit {
    Unit {
        symbol,
        aliases,
        dimension: Temperature,
        factor,
        zero,
        note: "",
    }
}

const ISO_6358: &str = "volume at 20 °C, 1 bar(a), 65 % relative humidity (ISO 6358)";
const NORMAL: &str = "at 0 °C, 1.01325 bar(a) (DIN 1343)";
const STANDARD_L: &str = "at 0 °C, 1.01325 bar(a), as mass flow controllers count it";
const STANDARD_FT3: &str = "at 60 °F, 14.696 psia, as gas suppliers count it";
const STANDARD_M3: &str = "at 15 °C, 1.01325 bar(a) (ISO 13443)";
const WATER_4C: &str = "conventional column of water at 4 °C";
const MERCURY_0C: &str = "conventional column of mercury at 0 °C";

/// All units.
#[rustfmt::skip]
pub static UNITS: &[Unit] = &[
    unit("1", &[""], Fraction, 1.0),
    unit("%", &["percent"], Fraction, 0.01),

    unit("m", &["meter", "metre"], Length, 1.0),
    unit("cm", &[], Length, 1e-2),
    unit("mm", &[], Length, 1e-3),
    unit("um", &["micron"], Length, 1e-6),
    unit("km", &[], Length, 1e3),
    unit("in", &["inch"], Length, INCH),
    unit("ft", &["foot", "feet"], Length, FOOT),

    unit("m2", &[], Area, 1.0),
    unit("cm2", &[], Area, 1e-4),
    unit("mm2", &[], Area, 1e-6),
    unit("in2", &["sqin"], Area, INCH * INCH),
    unit("ft2", &["sqft"], Area, FOOT * FOOT),

    unit("m3", &[], Volume, 1.0),
    unit("L", &["l", "dm3", "liter", "litre"], Volume, 1e-3),
    unit("mL", &["ml", "cm3", "cc"], Volume, 1e-6),
    unit("mm3", &[], Volume, 1e-9),
    unit("in3", &["cuin"], Volume, INCH * INCH * INCH),
    unit("ft3", &["cuft"], Volume, FT3),
    noted("gal", &["USgal"], Volume, GALLON, "US gallon"),

    unit("kg", &[], Mass, 1.0),
    unit("g", &[], Mass, 1e-3),
    unit("mg", &[], Mass, 1e-6),
    unit("t", &["tonne"], Mass, 1e3),
    unit("lbm", &["lb"], Mass, POUND),
    unit("oz", &[], Mass, POUND / 16.0),

    unit("s", &["sec"], Time, 1.0),
    unit("ms", &["msec"], Time, 1e-3),
    unit("us", &["usec"], Time, 1e-6),
    unit("min", &[], Time, 60.0),
    unit("h", &["hr"], Time, 3600.0),

    scale("K", &["kelvin"], 1.0, 0.0),
    scale("R", &["degR", "rankine"], 1.0 / 1.8, 0.0),
    scale("degC", &["celsius"], 1.0, ICE_K),
    scale("degF", &["fahrenheit"], 1.0 / 1.8, FAHRENHEIT_ZERO_K),

    unit("Pa", &[], PressureDifference, 1.0),
    unit("hPa", &[], PressureDifference, 1e2),
    unit("kPa", &[], PressureDifference, 1e3),
    unit("MPa", &[], PressureDifference, 1e6),
    unit("GPa", &[], PressureDifference, 1e9),
    unit("bar", &[], PressureDifference, 1e5),
    unit("mbar", &[], PressureDifference, 1e2),
    unit("psi", &["lbf/in2"], PressureDifference, PSI),
    unit("ksi", &[], PressureDifference, 1e3 * PSI),
    unit("atm", &[], PressureDifference, ATM),
    unit("torr", &["Torr"], PressureDifference, ATM / 760.0),
    noted("mmHg", &[], PressureDifference, 133.322_387_415, MERCURY_0C),
    noted("inHg", &[], PressureDifference, 3_386.388_640_341, MERCURY_0C),
    noted("inH2O", &["inWC"], PressureDifference, 249.088_91, WATER_4C),
    noted("mmH2O", &[], PressureDifference, G, WATER_4C),
    unit("kgf/cm2", &["kg/cm2"], PressureDifference, G * 1e4),

    unit("kg/s", &[], MassFlow, 1.0),
    unit("g/s", &[], MassFlow, 1e-3),
    unit("mg/s", &[], MassFlow, 1e-6),
    unit("kg/min", &[], MassFlow, 1.0 / 60.0),
    unit("kg/h", &["kg/hr"], MassFlow, 1.0 / 3600.0),
    unit("lbm/s", &["lb/s", "pps"], MassFlow, POUND),
    unit("lbm/min", &["lb/min"], MassFlow, POUND / 60.0),
    unit("lbm/h", &["lb/h", "lbm/hr", "lb/hr"], MassFlow, POUND / 3600.0),

    unit("m3/s", &[], VolumeFlow, 1.0),
    unit("m3/h", &["m3/hr"], VolumeFlow, 1.0 / 3600.0),
    unit("L/s", &["l/s", "lps"], VolumeFlow, 1e-3),
    unit("L/min", &["l/min", "lpm", "LPM"], VolumeFlow, 1e-3 / 60.0),
    unit("mL/s", &["ml/s", "cm3/s", "cc/s"], VolumeFlow, 1e-6),
    unit("mL/min", &["ml/min", "cm3/min", "cc/min"], VolumeFlow, 1e-6 / 60.0),
    noted("gpm", &["gal/min", "GPM"], VolumeFlow, GALLON / 60.0, "US gallon"),
    unit("ft3/s", &["cfs"], VolumeFlow, FT3),
    unit("ft3/min", &["cfm", "acfm"], VolumeFlow, FT3 / 60.0),
    unit("in3/s", &[], VolumeFlow, INCH * INCH * INCH),

    unit("mol/s", &[], StandardFlow, 1.0),
    noted("scfm", &["SCFM"], StandardFlow, FT3 * mol_per_m3(SIXTY_F_K) / 60.0, STANDARD_FT3),
    noted("scfh", &["SCFH"], StandardFlow, FT3 * mol_per_m3(SIXTY_F_K) / 3600.0, STANDARD_FT3),
    noted("slpm", &["SLPM", "sL/min"], StandardFlow, 1e-3 * mol_per_m3(ICE_K) / 60.0, STANDARD_L),
    noted("sccm", &["SCCM"], StandardFlow, 1e-6 * mol_per_m3(ICE_K) / 60.0, STANDARD_L),
    noted("Nm3/h", &["Nm3/hr"], StandardFlow, mol_per_m3(ICE_K) / 3600.0, NORMAL),
    noted("NL/min", &["Nl/min"], StandardFlow, 1e-3 * mol_per_m3(ICE_K) / 60.0, NORMAL),
    noted("Sm3/h", &["Sm3/hr"], StandardFlow, mol_per_m3(ICE_K + 15.0) / 3600.0, STANDARD_M3),

    noted("Kv", &["kv"], FlowCoefficient, 1.0, "m3/h of water at 1 bar (IEC 60534)"),
    // IEC 60534-1 gives 1 Kv = 1.156 Cv, the trade 1 Cv = 0.865 Kv; they agree to 6e-5.
    noted("Cv", &["cv", "CV"], FlowCoefficient, 0.865, "US gallons per minute of water at 1 psi"),
    noted("L/s/bar", &["L/(sbar)", "l/s/bar", "dm3/s/bar", "dm3/(sbar)"], SonicConductance, 1e-8, ISO_6358),
    noted("m3/s/Pa", &["m3/(sPa)"], SonicConductance, 1.0, ISO_6358),

    unit("kg/m3", &[], Density, 1.0),
    unit("g/cm3", &["g/mL", "g/ml", "kg/L", "kg/l"], Density, 1e3),
    unit("lbm/ft3", &["lb/ft3"], Density, POUND / FT3),
    unit("lbm/in3", &["lb/in3"], Density, POUND / (INCH * INCH * INCH)),

    unit("m/s", &[], Velocity, 1.0),
    unit("ft/s", &["fps"], Velocity, FOOT),
    unit("m/s2", &[], Acceleration, 1.0),
    unit("ft/s2", &[], Acceleration, FOOT),

    unit("N", &[], Force, 1.0),
    unit("kN", &[], Force, 1e3),
    unit("lbf", &[], Force, LBF),
    unit("kgf", &[], Force, G),

    unit("J", &[], Energy, 1.0),
    unit("kJ", &[], Energy, 1e3),
    unit("MJ", &[], Energy, 1e6),
    unit("Wh", &[], Energy, 3600.0),
    unit("kWh", &[], Energy, 3.6e6),
    noted("BTU", &["Btu"], Energy, BTU, "international table"),
    unit("W", &[], Power, 1.0),
    unit("kW", &[], Power, 1e3),
    noted("BTU/h", &["Btu/h", "BTU/hr", "Btu/hr"], Power, BTU / 3600.0, "international table"),

    unit("W/m2K", &["W/(m2K)", "W/m2/K"], HeatTransferCoefficient, 1.0),
    unit("kW/m2K", &["kW/(m2K)", "kW/m2/K"], HeatTransferCoefficient, 1e3),
    unit("BTU/hft2F", &["BTU/(hft2degF)", "BTU/hr/ft2/degF", "BTU/h/ft2/degF", "Btu/hft2F"],
        HeatTransferCoefficient, BTU * 1.8 / (3600.0 * FOOT * FOOT)),
    unit("W/K", &[], ThermalConductance, 1.0),
    unit("kW/K", &[], ThermalConductance, 1e3),
    unit("J/kgK", &["J/(kgK)", "J/kg/K"], SpecificHeat, 1.0),
    unit("kJ/kgK", &["kJ/(kgK)", "kJ/kg/K"], SpecificHeat, 1e3),
    unit("BTU/lbmF", &["BTU/(lbmdegF)", "BTU/lb/F", "BTU/lbmR"], SpecificHeat, BTU * 1.8 / POUND),
    unit("W/mK", &["W/(mK)", "W/m/K"], ThermalConductivity, 1.0),

    unit("kg/mol", &[], MolarMass, 1.0),
    unit("g/mol", &["kg/kmol", "lbm/lbmol"], MolarMass, 1e-3),
    unit("Pas", &["Pa-s"], Viscosity, 1.0),
    unit("mPas", &["mPa-s"], Viscosity, 1e-3),
    unit("cP", &[], Viscosity, 1e-3),

    unit("Pa/s", &[], PressureRate, 1.0),
    unit("kPa/s", &[], PressureRate, 1e3),
    unit("MPa/s", &[], PressureRate, 1e6),
    unit("bar/s", &[], PressureRate, 1e5),
    unit("bar/min", &[], PressureRate, 1e5 / 60.0),
    unit("psi/s", &[], PressureRate, PSI),
    unit("psi/min", &[], PressureRate, PSI / 60.0),
    unit("K/s", &[], TemperatureRate, 1.0),
    unit("K/min", &[], TemperatureRate, 1.0 / 60.0),

    unit("rad", &[], Angle, 1.0),
    unit("deg", &[], Angle, std::f64::consts::PI / 180.0),
    unit("Hz", &[], Frequency, 1.0),
    unit("kHz", &[], Frequency, 1e3),
];
