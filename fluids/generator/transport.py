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

DATA = pathlib.Path(__file__).resolve().parent.parent / "data" / "transport"

# Package name, coldest and hottest temperature (K), highest density (kg/m3), intervals of both.
GASES = {
    "nitrogen": ("Nitrogen", 63.151, 1000.0, 950.0, 36, 24),
    "helium": ("Helium", 12.0, 1000.0, 230.0, 24, 32),
    "argon": ("Argon", 83.806, 1000.0, 1550.0, 24, 24),
    "oxygen": ("Oxygen", 54.361, 1000.0, 1350.0, 28, 24),
    "air": ("Air", 59.75, 1000.0, 1000.0, 36, 24),
}
# Package name, coldest and hottest liquid (K), intervals; coldest and hottest vapour (K), intervals.
LIQUIDS = {
    "water": ("Water", (273.16, 590.0, 32), (150.0, 1000.0, 40)),
    "ethanol": ("Ethanol", (159.1, 470.0, 48), (159.0, 650.0, 40)),
}
EXCESS_PA, EXCESS_INTERVALS = 100e6, 10

PAPERS = {
    "Lemmon-IJT-2004": "Lemmon, Jacobsen, Int. J. Thermophys. 25 (2004) 21",
    "Arp-NIST-1998": "Arp, McCarty, Friend, NIST Technical Note 1334 (1998)",
    "Hands-CRYO-1981": "Hands, Arp, Cryogenics 21 (1981) 697",
    "Huber-JPCRD-2009": "Huber et al., J. Phys. Chem. Ref. Data 38 (2009) 101 (IAPWS 2008)",
    "Huber-JPCRD-2012": "Huber et al., J. Phys. Chem. Ref. Data 41 (2012) 033102 (IAPWS 2011)",
    "Kiselev-IECR-2005": "Kiselev, Ely, Abdulagatov, Huber, Ind. Eng. Chem. Res. 44 (2005) 6916",
    "Assael-JPCRD-2013-Ethanol": "Assael, Sykioti, Huber, Perkins, J. Phys. Chem. Ref. Data 42 (2013) 023102",
}


def steps(start, end, intervals):
    return [start + (end - start) * i / intervals for i in range(intervals + 1)]


def digits(value):
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
    parts = s.conductivity_contributions()
    return parts["dilute"] + parts["initial_density"] + parts["residual"]


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
        "gamma": term["gamma"],
        "nu": 0.63,
        "big_gamma": term["GAMMA"],
        "xi0_m": term["zeta0"],
        "cutoff_1_m": term["qD"],
        "reference_k": term["T_ref"],
    }


def gas(package_name, low, high, density_max, across, along):
    logs = steps(math.log(low), math.log(high), along)
    rows = []
    for density in steps(0.0, density_max, across):
        states = [state(package_name, density, math.exp(log)) for log in logs]
        rows.append([[digits(s.viscosity()), digits(background(s, package_name))] for s in states])
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
  splines of the logarithms, within {gas_error:.2%} of the correlation over stable states up to 1000 bar.
- The critical enhancement of nitrogen, argon, oxygen and air is the simplified Olchowy-Sengers form
  in the constants of their paper, evaluated with this crate's equation of state.
- Helium: the viscosity correlation has a step of 1 % at 100 K, which the spline smooths over some
  kelvins.
- A liquid: rows of temperature, in each row pressures from saturation up, at even steps of the root of
  what they exceed it by. A vapour: dilute, over
  temperature at even steps; below the triple point it goes on as a power of T.
"""


def spline_error(data, package_name):
    """Largest error of a bicubic spline through a gas table, against the package."""
    import numpy as np
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
        if not stable or (package_name == "Helium" and 90.0 < t < 115.0):
            continue
        for spline, exact in zip(splines, (s.viscosity(), background(s, package_name))):
            worst = max(worst, abs(math.exp(spline(rho, math.log(t))[0, 0]) / exact - 1.0))
    return worst


def main():
    tables = {name: gas(*args) for name, args in GASES.items()}
    error = max(spline_error(tables[name], GASES[name][0]) for name in GASES)
    tables |= {name: liquid(*args) for name, args in LIQUIDS.items()}
    files = {DATA / f"{name}.json": text(data) for name, data in tables.items()}
    rows = "\n".join(
        f"| `{path.name}` | {tables[path.stem]['source']['viscosity']} | {tables[path.stem]['source']['conductivity']} "
        f"| `{hashlib.sha256(body.encode()).hexdigest()[:16]}` |"
        for path, body in files.items()
    )
    version = CP.get_global_param_string("version")
    files[DATA / "TRANSPORT.md"] = PAGE.format(version=version, rows=rows, gas_error=error)
    if "--check" in sys.argv:
        stale = [p.name for p, t in files.items() if not p.exists() or p.read_text() != t]
        sys.exit(f"stale: {', '.join(stale)}" if stale else 0)
    DATA.mkdir(exist_ok=True)
    for path, body in files.items():
        path.write_text(body)


if __name__ == "__main__":
    main()
