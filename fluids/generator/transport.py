#!/usr/bin/env python3
"""Write `fluids/data/transport/<fluid>.json` and `TRANSPORT.md`: viscosity and conductivity.

The PyPI package CoolProp evaluates the published correlations; this script tables them.
Gases stand over (density, ln T), without the critical enhancement of the conductivity, which the
crate adds by its formula. Liquids stand over (T, root of pressure above saturation), their vapours as
dilute gases over T. Users never run this. `--check` tells whether the files are fresh.
"""

import hashlib
import json
import math
import pathlib
import sys

import CoolProp.CoolProp as CP
import numpy as np
from generate import file_name

DATA = pathlib.Path(__file__).resolve().parent.parent / "data" / "transport"

# Package name, coldest and hottest temperature (K), highest density (kg/m3), intervals of both.
GASES = {
    "nitrogen": ("Nitrogen", 63.151, 1000.0, 950.0, 36, 24),
    "helium": ("Helium", 12.0, 1000.0, 230.0, 24, 32),
    "argon": ("Argon", 83.806, 1000.0, 1550.0, 24, 24),
    "oxygen": ("Oxygen", 54.361, 1000.0, 1350.0, 28, 24),
    "air": ("Air", 59.75, 1000.0, 1000.0, 36, 24),
    "carbon dioxide": ("CarbonDioxide", 216.592, 1000.0, 1350.0, 36, 24),
    "methane": ("Methane", 90.6941, 620.0, 540.0, 36, 24),
    "parahydrogen": ("ParaHydrogen", 13.8033, 1000.0, 120.0, 36, 32),
    "hydrogen": ("Hydrogen", 13.957, 1000.0, 120.0, 36, 32),
    "propane": ("n-Propane", 130.0, 650.0, 800.0, 48, 32),
}
# Package name, coldest and hottest liquid (K), intervals; coldest and hottest vapour (K), intervals.
LIQUIDS = {
    "water": ("Water", (273.16, 590.0, 32), (150.0, 1000.0, 40)),
    "ethanol": ("Ethanol", (159.1, 470.0, 48), (159.0, 650.0, 40)),
    "methanol": ("Methanol", (175.61, 465.0, 48), (175.61, 620.0, 40)),
    "n-dodecane": ("n-Dodecane", (263.6, 600.0, 40), (263.6, 700.0, 40)),
}
EXCESS_PA, EXCESS_INTERVALS = 100e6, 10

PAPERS = {
    "Lemmon-IJT-2004": "Lemmon, Jacobsen, Int. J. Thermophys. 25 (2004) 21",
    "Arp-NIST-1998": "Arp, McCarty, Friend, NIST Technical Note 1334 (1998)",
    "Hands-CRYO-1981": "Hands, Arp, Cryogenics 21 (1981) 697",
    "Huber-JPCRD-2009": "Huber et al., J. Phys. Chem. Ref. Data 38 (2009) 101 (IAPWS 2008)",
    "Huber-JPCRD-2012": "Huber et al., J. Phys. Chem. Ref. Data 41 (2012) 033102 (IAPWS 2011)",
    "Kiselev-IECR-2005": "Kiselev, Ely, Abdulagatov, Huber, Ind. Eng. Chem. Res. 44 (2005) 6916",
    "Laesecke-JPCRD-2017-CO2": "Laesecke, Muzny, J. Phys. Chem. Ref. Data 46 (2017) 013107",
    "Huber-JPCRD-2016-CO2": "Huber, Sykioti, Assael, Perkins, J. Phys. Chem. Ref. Data 45 (2016) 013102",
    "QuinonesCisneros-JPCB-2006": "Quinones-Cisneros, Deiters, J. Phys. Chem. B 110 (2006) 12820",
    "Friend-JPCRD-1989": "Friend, Ely, Ingham, J. Phys. Chem. Ref. Data 18 (1989) 583",
    "Muzny-JCED-2013": "Muzny, Huber, Kazakov, J. Chem. Eng. Data 58 (2013) 969",
    "Assael-JPCRD-2011-Hydrogen": "Assael, Assael, Huber, Perkins, Takata, J. Phys. Chem. Ref. Data 40 (2011) 033101",
    "Vogel-JPCRD-1998": "Vogel, Kuechenmeister, Bich, Laesecke, J. Phys. Chem. Ref. Data 27 (1998) 947",
    "Marsh-JCED-2002": "Marsh, Perkins, Ramires, J. Chem. Eng. Data 47 (2002) 932",
    "Xiang-JPCRD-2006": "Xiang, Laesecke, Huber, J. Phys. Chem. Ref. Data 35 (2006) 1597",
    "Sykioti-JPCRD-2013-Methanol": "Sykioti, Assael, Huber, Perkins, J. Phys. Chem. Ref. Data 42 (2013) 043101",
    "Huber-EF-2004": "Huber, Laesecke, Perkins, Energy Fuels 18 (2004) 968",
    "Assael-JPCRD-2013-Ethanol": "Assael, Sykioti, Huber, Perkins, J. Phys. Chem. Ref. Data 42 (2013) 023102",
}


def steps(start, end, intervals):
    return [start + (end - start) * i / intervals for i in range(intervals + 1)]


def digits(value):
    assert math.isfinite(value) and value > 0.0
    return float(f"{value:.6g}")


def state(package_name, density, t):
    s = CP.AbstractState("HEOS", package_name)
    s.specify_phase(CP.iphase_gas)
    s.update(CP.DmassT_INPUTS, max(density, 1e-9), t)
    return s


def background(s, package_name):
    """Conductivity without its critical enhancement (the helium formula has none above 12 K)."""
    if package_name == "Helium":
        return s.conductivity()
    if package_name == "Methane":
        return without_peak(s, package_name)
    parts = s.conductivity_contributions()
    return parts["dilute"] + parts["initial_density"] + parts["residual"]


def without_peak(s, package_name):
    """For methane the package gives only the sum, and no number in unstable states: around the critical
    point and between the phases ln k goes straight over density from the thin to the dense side."""
    ends = between_phases(s, package_name)
    if s.T() > 1.25 * s.T_reducing():
        return s.conductivity()
    thin, dense = 0.3 * s.rhomass_reducing(), 1.7 * s.rhomass_reducing()
    ends = (min(thin, ends[0]), max(dense, ends[1])) if ends else (thin, dense)
    return bridged(s, package_name, ends, lambda end: end.conductivity())


# Below these temperatures (K) the correlation of viscosity falls below zero somewhere between the phases.
UNSTABLE_BELOW_K = {"Methane": math.inf, "ParaHydrogen": 14.5, "Hydrogen": 14.5}


def viscosity(s, package_name):
    ends = between_phases(s, package_name) if s.T() < UNSTABLE_BELOW_K.get(package_name, 0.0) else None
    return bridged(s, package_name, ends, lambda end: end.viscosity()) if ends else s.viscosity()


def between_phases(s, package_name):
    """Densities between which a state is no stable vapour or liquid at its temperature."""
    if s.T() >= s.T_reducing():
        return None
    other = CP.AbstractState("HEOS", package_name)
    other.update(CP.QT_INPUTS, 0.0, max(s.T(), other.Tmin()))
    thin, dense = other.saturated_vapor_keyed_output(CP.iDmass), other.saturated_liquid_keyed_output(CP.iDmass)
    # The liquid side goes on a little way between the phases, so that the kink lies beside the liquid.
    return thin, min(dense, max(0.9 * dense, 1.9 * other.rhomass_reducing()))


def bridged(s, package_name, ends, value):
    """A property of a state; between two densities its logarithm goes straight."""
    (thin, dense), density, t = ends, s.rhomass(), s.T()
    if not thin < density < dense:
        return value(s)
    logs = [math.log(value(state(package_name, rho, t))) for rho in (thin, dense)]
    return math.exp(logs[0] + (logs[1] - logs[0]) * (density - thin) / (dense - thin))


def transport_json(package_name):
    return json.loads(CP.get_fluid_param_string(package_name, "JSON"))[0]["TRANSPORT"]


def sources(package_name):
    data = transport_json(package_name)
    return {kind: PAPERS[data[kind]["BibTeX"]] for kind in ("viscosity", "conductivity")}


def critical(package_name):
    """Constants of the crossover formula; those the file leaves out are the package's defaults."""
    term = transport_json(package_name)["conductivity"].get("critical")
    if term is None:
        return None
    assert term["type"] == "simplified_Olchowy_Sengers"
    return {
        "amplitude": term["R0"],
        "gamma": term.get("gamma", 1.239),
        "nu": 0.63,
        "big_gamma": term["GAMMA"],
        "xi0_m": term["zeta0"],
        "cutoff_1_m": term["qD"],
        "reference_k": term.get("T_ref", 1.5 * CP.PropsSI("Tcrit", package_name)),
    }


def gas(package_name, low, high, density_max, across, along):
    logs = steps(math.log(low), math.log(high), along)
    rows = []
    for density in steps(0.0, density_max, across):
        states = [state(package_name, density, math.exp(log)) for log in logs]
        rows.append([[digits(viscosity(s, package_name)), digits(background(s, package_name))] for s in states])
    return {
        "source": sources(package_name),
        "gas": {
            "density_max_kg_m3": density_max,
            "t_min_k": low,
            "t_max_k": high,
            "rows": rows,
            "critical": critical(package_name),
        },
    }


# Nitrous oxide has no wide-range correlation here. Its thin gas and its saturated liquid follow published
# curves over temperature; between them and into the compressed liquid it follows carbon dioxide at
# corresponding states, whose molecule is as heavy and nearly as large.
NITROUS_OXIDE = {
    "source": {
        "viscosity": "gas and saturated liquid: Perry's Chemical Engineers' Handbook, 8th ed. (2008), tables 2-312 "
        "and 2-313, as the PyPI package chemicals 1.5.2 lists them; density by corresponding states with carbon dioxide",
        "conductivity": "gas: the same handbook, table 2-314; saturated liquid: polynomial of (1 - T/Tc)^(1/3) of "
        "ESDU data item 91022 (from memory); density by corresponding states with carbon dioxide",
    },
    "t_min_k": 182.33,
    "t_max_k": 520.0,
    "density_max_kg_m3": 1400.0,
    "intervals": (36, 24),
}


def nitrous_gas(t):
    return 2.115e-6 * t**0.4642 / (1 + 305.7 / t), 1.096e-3 * t**0.667 / (1 + 540 / t)


def nitrous_liquid(t):
    x = 1 - t / 309.57
    viscosity = math.exp(19.329 - 381.68 / t - 4.8618 * math.log(t))
    return viscosity, 0.07235 * (1 + 1.5 * x ** (1 / 3) - 3.5 * x ** (2 / 3) + 4.5 * x)


def nitrous_oxide():
    """Excess over the thin gas, from carbon dioxide, times what it takes to meet the saturated liquid of the
    same density: one near the critical density, constant where the liquid is colder than the curves reach."""
    own, other = (CP.AbstractState("HEOS", name) for name in ("NitrousOxide", "CarbonDioxide"))
    t_ratio = own.T_reducing() / other.T_reducing()
    n_ratio = own.rhomolar_reducing() / other.rhomolar_reducing()
    scale = n_ratio ** (2 / 3) * math.sqrt(t_ratio)

    def excess(density, t):
        moles = density / own.molar_mass() / n_ratio
        dense, thin = (state("CarbonDioxide", rho * other.molar_mass(), t / t_ratio) for rho in (moles, 0.0))
        pair = dense.viscosity() - thin.viscosity(), background(dense, "CarbonDioxide") - background(thin, "CarbonDioxide")
        return [scale * e for e in pair]

    densities, factors = [own.rhomass_reducing()], [[1.0, 1.0]]
    for t in (285.0, 275.0, 265.0, 255.0, 245.0, 235.0, 225.0, 215.0, 210.0):
        own.update(CP.QT_INPUTS, 0.0, t)
        densities.append(own.rhomass())
        terms = zip(nitrous_liquid(t), nitrous_gas(t), excess(own.rhomass(), t))
        factors.append([(liquid - thin) / over for liquid, thin, over in terms])

    def pair(density, t):
        shape = [np.interp(density, densities, [f[k] for f in factors]) for k in (0, 1)]
        return [digits(g + f * e) for g, f, e in zip(nitrous_gas(t), shape, excess(density, t))]

    low, high, most = NITROUS_OXIDE["t_min_k"], NITROUS_OXIDE["t_max_k"], NITROUS_OXIDE["density_max_kg_m3"]
    across, along = NITROUS_OXIDE["intervals"]
    logs = steps(math.log(low), math.log(high), along)
    rows = [[pair(density, math.exp(log)) for log in logs] for density in steps(0.0, most, across)]
    term = critical("CarbonDioxide")
    term["reference_k"] *= t_ratio
    body = {"density_max_kg_m3": most, "t_min_k": low, "t_max_k": high, "rows": rows, "critical": term}
    return {"source": NITROUS_OXIDE["source"], "gas": body}


def dilute(package_name, t):
    """Viscosity and conductivity of the thin vapour. Below the triple point, where the
    correlations were not made for it, both go on as the powers of T that they follow there."""
    triple = CP.PropsSI("Ttriple", package_name)
    s = state(package_name, 1e-6, max(t, triple))
    values = [s.viscosity(), s.conductivity()]
    if t < triple:
        warmer = state(package_name, 1e-6, 1.01 * triple)
        slopes = [math.log(w / v) / math.log(1.01) for w, v in zip((warmer.viscosity(), warmer.conductivity()), values)]
        values = [v * (t / triple) ** slope for v, slope in zip(values, slopes)]
    return [digits(v) for v in values]


def liquid(package_name, liquid_range, vapour_range):
    rows = []
    s = CP.AbstractState("HEOS", package_name)
    for t in steps(*liquid_range):
        s.unspecify_phase()
        s.update(CP.QT_INPUTS, 0.0, t)
        saturation = s.p()
        row = [[digits(s.viscosity()), digits(s.conductivity())]]
        s.specify_phase(CP.iphase_liquid)
        for root in steps(0.0, 1.0, EXCESS_INTERVALS)[1:]:
            s.update(CP.PT_INPUTS, saturation + EXCESS_PA * root**2, t)
            row.append([digits(s.viscosity()), digits(s.conductivity())])
        rows.append(row)
    vapours = [dilute(package_name, t) for t in steps(*vapour_range)]
    return {
        "source": sources(package_name),
        "liquid": {"t_min_k": liquid_range[0], "t_max_k": liquid_range[1], "excess_max_pa": EXCESS_PA, "rows": rows},
        "vapour": {
            "t_min_k": vapour_range[0],
            "t_max_k": vapour_range[1],
            "rows": vapours,
        },
    }


def text(data):
    def compact(value):
        return json.dumps(value, separators=(",", ":"))

    parts = [f' "source": {json.dumps(data["source"])}']
    for key in ("gas", "liquid", "vapour"):
        if key in data:
            rest = {k: v for k, v in data[key].items() if k != "rows"}
            rows = ",\n".join("  " + compact(row) for row in data[key]["rows"])
            parts.append(f' "{key}": {json.dumps(rest)[:-1]}, "rows": [\n{rows}\n ]}}')
    return "{\n" + ",\n".join(parts) + "\n}\n"


PAGE = """# Where viscosity and conductivity come from

Written by `fluids/generator/transport.py` from the PyPI package CoolProp {version}; do not edit by hand.
The hash is the first half of the file's SHA-256.

| file | viscosity | conductivity | hash |
|---|---|---|---|
{rows}

- A gas: rows of density from zero, in each row temperatures at even steps of ln T; a pair is
  viscosity (Pa s) and conductivity without critical enhancement (W/(m K)). Between them stand bicubic
  splines of the logarithms. Largest error against the correlation over stable states up to 1000 bar:
  {errors}.
- The critical enhancement of the other gases is the simplified Olchowy-Sengers form
  in the constants of their paper, evaluated with this crate's equation of state.
- Methane's table leaves the critical peak out, and carries none: between 0.3 and 1.7 critical densities, below
  1.25 critical temperatures its conductivity is that of the neighbourhood.
- Nitrous oxide: both sources of its saturated liquid's viscosity that the package lists (the handbook above and
  VDI Heat Atlas) agree to 2 % from 190 to 303 K; compressed liquid 10 %, dense gas 10 %, conductivity of the liquid 10 %
  (estimated). Its critical enhancement has carbon dioxide's constants.
- Between the phases the viscosity of methane, and of hydrogen below 14.5 K, is bridged in logarithms, because the
  correlation falls below zero there.
- Helium: the viscosity correlation has a step of 1 % at 100 K, which the spline smooths over some
  kelvins.
- A liquid: rows of temperature, in each row pressures from saturation up, at even steps of the root of
  what they exceed it by. A vapour: dilute, over
  temperature at even steps; below the triple point it goes on as a power of T.
"""


def spline_error(data, package_name):
    """Largest error of a bicubic spline through a gas table, against the package."""
    from scipy.interpolate import RectBivariateSpline

    table = data["gas"]
    rows = np.log(np.array(table["rows"]))
    density = np.linspace(0.0, table["density_max_kg_m3"], rows.shape[0])
    logs = np.linspace(math.log(table["t_min_k"]), math.log(table["t_max_k"]), rows.shape[1])
    splines = [RectBivariateSpline(density, logs, rows[:, :, k], s=0) for k in (0, 1)]
    random, worst = np.random.default_rng(1), 0.0
    for _ in range(2000):
        t, rho = math.exp(random.uniform(logs[0], logs[-1])), random.uniform(0.0, density[-1])
        s = state(package_name, rho, t)
        stable = 0.0 < s.p() < 1e8 and s.first_partial_deriv(CP.iP, CP.iDmass, CP.iT) > 0.0
        ends = between_phases(s, package_name) if package_name != "Air" else None
        stable = stable and not (ends and ends[0] < rho < ends[1])
        if not stable or (package_name == "Helium" and 90.0 < t < 115.0):
            continue
        for spline, exact in zip(splines, (viscosity(s, package_name), background(s, package_name))):
            worst = max(worst, abs(math.exp(spline(rho, math.log(t))[0, 0]) / exact - 1.0))
    return worst


def main():
    tables = {name: gas(*args) for name, args in GASES.items()}
    errors = {name: spline_error(tables[name], GASES[name][0]) for name in GASES}
    tables |= {name: liquid(*args) for name, args in LIQUIDS.items()}
    tables["nitrous oxide"] = nitrous_oxide()
    files = {DATA / file_name(name): text(data) for name, data in tables.items()}
    rows = "\n".join(
        f"| `{path.name}` | {data['source']['viscosity']} | {data['source']['conductivity']} "
        f"| `{hashlib.sha256(body.encode()).hexdigest()[:16]}` |"
        for (path, body), data in zip(files.items(), tables.values())
    )
    version = CP.get_global_param_string("version")
    files[DATA / "TRANSPORT.md"] = PAGE.format(version=version, rows=rows, errors=", ".join(f"{name} {error:.2%}" for name, error in errors.items()))
    if "--check" in sys.argv:
        stale = [p.name for p, t in files.items() if not p.exists() or p.read_text() != t]
        sys.exit(f"stale: {', '.join(stale)}" if stale else 0)
    DATA.mkdir(exist_ok=True)
    for path, body in files.items():
        path.write_text(body)


if __name__ == "__main__":
    main()
