#!/usr/bin/env python3
"""Write `fluids/data/liquids.json` and `LIQUIDS.md`: liquids without an equation of state, by correlations.

Each property is a formula over temperature at one atmosphere, tabled at even steps. Users never run this.
`--check` tells whether the files are fresh.
"""

import hashlib
import json
import math
import pathlib
import sys

DATA = pathlib.Path(__file__).resolve().parent.parent / "data"
COLUMNS = ("density_kg_m3", "heat_capacity_j_kg_k", "viscosity_pa_s", "conductivity_w_m_k", "vapour_pressure_pa",
           "sound_speed_m_s", "surface_tension_n_m")
STEP_K = 2.5
PERRY = "Perry's Chemical Engineers' Handbook, 8th ed. (2008), table {}, as the PyPI package chemicals 1.5.2 lists it"
FAHRENHEIT_60_C = (60 - 32) / 1.8


def celsius(t):
    return t - 273.15


class Isopropanol:
    """Formulas of the handbook per kmol; the tables say: estimated error 1 % for density, 3 % vapour pressure."""

    name, molar_mass, t_min, t_max = "isopropanol", 0.0600950, 200.0, 420.0
    about = [
        ("density", PERRY.format("2-32"), "1 %"),
        ("heat capacity", PERRY.format("2-153") + ", from 355 K up the line through its last two kelvins", "3 %"),
        ("viscosity", PERRY.format("2-313") + ", extrapolated beyond 355 K", "5 %"),
        ("conductivity", PERRY.format("2-315"), "5 %"),
        ("vapour pressure", PERRY.format("2-8"), "3 %"),
        ("speed of sound", "1139 m/s at 25 degC, -3.4 m/(s K): from memory", "3 %"),
        ("surface tension", "Jasper, J. Phys. Chem. Ref. Data 1 (1972) 841: 22.9 mN/m at 0 degC, -0.0789 mN/(m K), as the same package lists it", "1 %"),
    ]

    def row(self, t):
        density = 1.1799 / 0.2644 ** (1 + (1 - t / 508.3) ** 0.24653) * self.molar_mass * 1e3
        heat = self.heat(min(t, 355.3)) + max(t - 355.3, 0.0) * (self.heat(355.3) - self.heat(354.3))
        viscosity = math.exp(-8.8918 + 2357.6 / t - 0.91376 * math.log(t))
        pressure = math.exp(96.094 - 8575.4 / t - 10.292 * math.log(t) + 1.6665e-17 * t**6)
        return (density, heat / (self.molar_mass * 1e3), viscosity, 0.20161 - 0.00021529 * t, pressure,
                1139.0 - 3.4 * (t - 298.15), max(22.9e-3 - 0.0789e-3 * celsius(t), 1e-3))

    @staticmethod
    def heat(t):
        return 471710 - 4172.1 * t + 14.745 * t**2 - 0.0144 * t**3


class Heptane:
    """A hydrocarbon with nothing left open, where kerosene's batches differ. From 220 to 400 K the formulas were held
    against the equation of state of Span and Wagner and its transport (PyPI package CoolProp 8): the errors are what
    they differ by, rounded up."""

    name, molar_mass, t_min, t_max = "n-heptane", 0.100202, 220.0, 400.0
    vdi = "VDI Heat Atlas, 2nd ed. (2010), section D3.1, as the PyPI package chemicals 1.5.2 lists it"
    about = [
        ("density", PERRY.format("2-32"), "0.5 %"),
        ("heat capacity", PERRY.format("2-153"), "1.5 %"),
        ("viscosity", vdi, "5 %"),
        ("conductivity", vdi, "2.5 %"),
        ("vapour pressure", vdi, "1.5 %"),
        ("speed of sound", "1130 m/s at 25 degC, -4.1 m/(s K): a line through Span, Wagner, Int. J. Thermophys. 24 (2003) 41", "2 %"),
        ("surface tension", "Jasper, J. Phys. Chem. Ref. Data 1 (1972) 841: 22.1 mN/m at 0 degC, -0.098 mN/(m K), as the same package lists it", "5 %"),
    ]

    def row(self, t):
        molar = 0.61259 / 0.26211 ** (1 + (1 - t / 540.2) ** 0.28141)
        x = 1 - t / 541.23
        pressure = 2.774e6 * math.exp(541.23 / t * (-7.75469 * x + 1.84795 * x**1.5 - 2.80333 * x**2.5 - 3.62418 * x**5))
        ratio = (553.942 - t) / (t - 62.172)
        viscosity = 1.424e-5 * math.exp(2.96002 * ratio ** (1 / 3) + 0.24715 * ratio ** (4 / 3))
        conductivity = 0.2149 - 2.998e-4 * t - 3e-8 * t**2 + 1.03e-10 * t**3 - 1.2e-13 * t**4
        return (molar * self.molar_mass * 1e3, self.heat(1 - t / 540.2) / (self.molar_mass * 1e3), viscosity, conductivity, pressure,
                1130.0 - 4.1 * (t - 298.15), 22.1e-3 - 0.098e-3 * celsius(t))

    @staticmethod
    def heat(x):
        """Equation 114 of the handbook, J/(kmol K)."""
        a, b, c, d = 61.26, 314410.0, 1824.6, -2547.9
        return a * a / x + b - 2 * a * c * x - a * d * x**2 - c * c * x**3 / 3 - c * d * x**4 / 2 - d * d * x**5 / 5


class Kerosene:
    """A jet-type kerosene of 810 kg/m3 at 15 degC. Batches differ: 775 to 840 kg/m3 are within the fuel
    standards, and viscosity with it by a third."""

    name, molar_mass, t_min, t_max = "kerosene", 0.167, 233.15, 473.15
    density_15 = 810.0
    about = [
        ("density", "810 kg/m3 at 15 degC by choice; over temperature by the volume correction of jet fuels of API MPMS "
         "11.1 / ASTM D1250 (K0 = 594.5418, K1 = 0; from memory)", "the batch's, 4 %; over temperature 0.3 %"),
        ("heat capacity", "Cragoe, US Bureau of Standards Misc. Publ. 97 (1929): (1.685 + 0.0034 t)/sqrt(d) kJ/(kg K), t in degC; from memory", "5 %"),
        ("viscosity", "Walther's equation (ASTM D341) through 4.5 mm2/s at -20 degC and 1.35 mm2/s at 40 degC, middle of "
         "the trade's range; from memory", "25 %"),
        ("conductivity", "Cragoe, the same: 0.1172 (1 - 0.00054 t)/d W/(m K); from memory", "10 %"),
        ("vapour pressure", "ln p through 1.4 kPa at 38 degC and one atmosphere at 190 degC, straight over 1/T; from memory", "factor 2"),
        ("speed of sound", "root of modulus over density; modulus by the compressibility of API MPMS 11.2.1M (from memory), "
         "times 1.17 for the isentropic one", "5 %"),
        ("surface tension", "28 mN/m at 20 degC, -0.08 mN/(m K); from memory", "10 %"),
    ]

    def density(self, t):
        alpha, rise = 594.5418 / self.density_15**2, celsius(t) - 15.0
        return self.density_15 * math.exp(-alpha * rise * (1 + 0.8 * alpha * rise))

    def row(self, t):
        c, d = celsius(t), self.density_15 / 999.1
        points = [(253.15, 4.5), (313.15, 1.35)]
        (x1, y1), (x2, y2) = [(math.log10(k), math.log10(math.log10(nu + 0.7))) for k, nu in points]
        height = y1 + (y2 - y1) * (math.log10(t) - x1) / (x2 - x1)
        kinematic = (10 ** (10**height) - 0.7) * 1e-6
        density = self.density(t)
        rho2 = (self.density_15 / 1e3) ** 2
        compressibility = 1e-9 * math.exp(-1.6208 + 0.00021592 * c + 0.87096 / rho2 + 0.0042092 * c / rho2)
        (t1, p1), (t2, p2) = (311.15, 1400.0), (463.15, 101325.0)
        slope = math.log(p2 / p1) / (1 / t1 - 1 / t2)
        return (density, (1685 + 3.4 * c) / math.sqrt(d), kinematic * density, 0.1172 * (1 - 0.00054 * c) / d,
                p1 * math.exp(slope * (1 / t1 - 1 / t)), math.sqrt(1.17 / (compressibility * density)), 28e-3 - 0.08e-3 * (c - 20))


class Peroxide:
    """90 % by mass; the rest is water. It decomposes: nothing here says at what rate."""

    name, molar_mass, t_min, t_max = "hydrogen peroxide 90 %", 0.0312376, 262.15, 343.15
    about = [
        ("density", "1.4144 at 0 degC and 1.3867 g/cm3 at 25 degC, straight: Easton, Mitchell, Wynne-Jones, Trans. Faraday Soc. "
         "48 (1952) 796; from memory", "0.5 %"),
        ("heat capacity", "2.77 kJ/(kg K): Schumb, Satterfield, Wentworth, Hydrogen Peroxide (1955); from memory", "4 %"),
        ("viscosity", "1.87 mPa s at 0 degC and 1.16 mPa s at 25 degC, ln straight over 1/T: the same book; from memory", "5 %"),
        ("conductivity", "0.587 W/(m K) at 25 degC: the same book; from memory", "5 %"),
        ("vapour pressure", "Scatchard, Kavanagh, Ticknor, J. Am. Chem. Soc. 74 (1952) 3715: both vapour pressures and their "
         "activity coefficients (from memory; it gives the boiling point of pure peroxide, 150.2 degC, to 0.1 K)", "5 %"),
        ("speed of sound", "1697 m/s at 25 degC, -1.5 m/(s K); from memory", "3 %"),
        ("surface tension", "79 mN/m at 20 degC, -0.15 mN/(m K); from memory", "3 %"),
    ]

    def row(self, t):
        c = celsius(t)
        slope = math.log(1.87 / 1.16) / (1 / 273.15 - 1 / 298.15)
        viscosity = 1.16e-3 * math.exp(slope * (1 / t - 1 / 298.15))
        return (1414.4 - 1.108 * c, 2770.0, viscosity, 0.587, self.vapour(t), 1697.0 - 1.5 * (c - 25), 79e-3 - 0.15e-3 * (c - 20))

    @staticmethod
    def vapour(t):
        """Sum of both partial pressures: ln gamma by three constants of Redlich and Kister."""
        peroxide, water = 0.9 / 34.0147, 0.1 / 18.0153
        w = water / (peroxide + water)
        rt, b0, b1, b2 = 1.987204 * t, -1017 + 0.97 * t, 85.0, 13.0
        gamma_w = math.exp((1 - w) ** 2 / rt * (b0 + b1 * (1 - 4 * w) + b2 * (1 - 2 * w) * (1 - 6 * w)))
        gamma_p = math.exp(w**2 / rt * (b0 + b1 * (3 - 4 * w) + b2 * (1 - 2 * w) * (5 - 6 * w)))
        pure_p = 133.322 * 10 ** (44.5760 - 4025.3 / t - 12.996 * math.log10(t) + 0.0046055 * t)
        # Water: Antoine's form of Bridgeman and Aldrich's table, 1 to 100 degC.
        pure_w = 133.322 * 10 ** (8.07131 - 1730.63 / (233.426 + celsius(t)))
        return w * gamma_w * pure_w + (1 - w) * gamma_p * pure_p


def liquid(one):
    count = math.ceil((one.t_max - one.t_min) / STEP_K)
    temperatures = [one.t_min + (one.t_max - one.t_min) * i / count for i in range(count + 1)]
    return {
        "name": one.name,
        "molar_mass_kg_mol": one.molar_mass,
        "t_min_k": one.t_min,
        "t_max_k": one.t_max,
        "about": [{"property": p, "source": s, "error": e} for p, s, e in one.about],
        "columns": COLUMNS,
        "rows": [[float(f"{v:.7g}") for v in one.row(t)] for t in temperatures],
    }


def text(liquids):
    parts = []
    for data in liquids:
        head = ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in data.items() if k not in ("rows", "about"))
        about = ",\n".join("   " + json.dumps(a) for a in data["about"])
        rows = ",\n".join("   " + json.dumps(r, separators=(",", ":")) for r in data["rows"])
        parts.append(f' {{\n{head},\n  "about": [\n{about}\n  ],\n  "rows": [\n{rows}\n  ]\n }}')
    return "[\n" + ",\n".join(parts) + "\n]\n"


PAGE = """# Liquids by correlations

Written by `fluids/generator/plain_liquids.py`; do not edit by hand. First half of the SHA-256 of `liquids.json`: `{digest}`.
"From memory" means: recalled from the source named, not read again from a printed copy.
The error is a 95 % half-width, estimated here where the source gives none.

{sections}
Under pressure the density rises by (p - 1 atm)/(rho c^2), the isentropic modulus: up to 50 bar this is wrong by less than
0.1 % of the density. Energy is the integral of the heat capacity from the coldest temperature. The vapour of these
liquids is no species of a gas mixture.
"""


def page(liquids, body):
    sections = []
    for one, data in zip(LIQUIDS, liquids):
        rows = "\n".join(f"| {p} | {s} | {e} |" for p, s, e in one.about)
        about = " ".join((one.__doc__ or "").split())
        sections.append(f"## {data['name']}, {data['t_min_k']:g} to {data['t_max_k']:g} K\n\n{about}\n\n"
                        f"| property | source | error |\n|---|---|---|\n{rows}\n")
    digest = hashlib.sha256(body.encode()).hexdigest()[:16]
    return PAGE.format(digest=digest, sections="\n".join(sections))


LIQUIDS = [Isopropanol(), Heptane(), Kerosene(), Peroxide()]


def main():
    liquids = [liquid(one) for one in LIQUIDS]
    body = text(liquids)
    wanted = {DATA / "liquids.json": body, DATA / "LIQUIDS.md": page(liquids, body)}
    if "--check" in sys.argv:
        stale = [p.name for p, t in wanted.items() if not p.exists() or p.read_text() != t]
        sys.exit(f"stale: {', '.join(stale)}" if stale else 0)
    for path, content in wanted.items():
        path.write_text(content)


if __name__ == "__main__":
    main()
