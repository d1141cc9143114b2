#!/usr/bin/env python3
"""Write `fluids/data/pairs.json`: constants of binary mixtures, and `PAIRS.md`, where they come from.

The reducing constants are read from the PyPI package CoolProp
(`get_mixture_binary_pair_data`). Its interface does not hand out the departure functions: these
stand below, as its library lists them, and are held against its mixture model before anything
is written. Users never run this. `--check` tells whether the files are fresh.
"""

import hashlib
import itertools
import json
import math
import pathlib
import sys

import CoolProp.CoolProp as CP
import departures

DATA = pathlib.Path(__file__).resolve().parent.parent / "data"

FLUIDS = {
    "nitrogen": "Nitrogen",
    "helium": "Helium",
    "argon": "Argon",
    "oxygen": "Oxygen",
    "water": "Water",
    "ethanol": "Ethanol",
    "carbon dioxide": "CarbonDioxide",
    "methane": "Methane",
    "nitrous oxide": "NitrousOxide",
    "parahydrogen": "ParaHydrogen",
    "hydrogen": "Hydrogen",
    "propane": "n-Propane",
    "methanol": "Methanol",
    "n-dodecane": "n-Dodecane",
}

PAPERS = {
    "Kunz-JCED-2012": "Kunz, Wagner, J. Chem. Eng. Data 57 (2012) 3032 (GERG-2008)",
    "Gernert-Thesis-2013": "Gernert, doctoral thesis, Ruhr-Universitaet Bochum (2013); Gernert, Span, J. Chem. Thermodyn. 93 (2016) 274",
    "Bell-JCED-2016": "Bell, Lemmon, J. Chem. Eng. Data 61 (2016) 3752",
    "Tkaczuk-JPCRD-2020": "Tkaczuk, Bell, Lemmon, Luchier, Millet, J. Phys. Chem. Ref. Data 49 (2020) 023101",
}

DEPARTURES = {name: departures.rows(name) for name in departures.PUBLISHED}

# No published constants, but a stand-in that is nearer than none: air is 78 % nitrogen, the two forms of
# hydrogen differ by the spin of their nuclei, nitrous oxide and carbon dioxide are alike in mass and size.
STAND_INS = {
    "air": ("nitrogen", ("helium", "water", "ethanol", "carbon dioxide", "methane", "hydrogen", "propane")),
    "parahydrogen": ("hydrogen", ("nitrogen", "methane", "carbon dioxide", "propane")),
    "nitrous oxide": ("carbon dioxide", ("nitrogen", "helium", "argon", "oxygen")),
}

# The package names no paper that may be passed on.
LEFT_OUT = {("water", "ethanol")}


def number(pair, key):
    cas = [CP.get_fluid_param_string(FLUIDS[name], "CAS") for name in pair]
    return CP.get_mixture_binary_pair_data(*cas, key)


def published(one, two):
    """The constants in the order of components in which the package keeps them."""
    for pair in ((one, two), (two, one)):
        try:
            beta_t = float(number(pair, "betaT"))
        except ValueError:
            continue
        try:
            function = number(pair, "function")
        except ValueError:
            function = None
        entry = {
            "species": list(pair),
            "beta_t": beta_t,
            "gamma_t": float(number(pair, "gammaT")),
            "beta_v": float(number(pair, "betaV")),
            "gamma_v": float(number(pair, "gammaV")),
            "factor": float(number(pair, "F")),
            "departure": function,
            "source": PAPERS[number(pair, "BibTeX")],
        }
        assert (function in DEPARTURES) == (entry["factor"] != 0.0), entry
        return entry
    return None


def departure(terms, delta, tau):
    power = sum(n * delta**d * tau**t * (math.exp(-(delta**l)) if l else 1.0) for n, d, t, l in terms.get("power", []))
    gaussian = (
        n * delta**d * tau**t * math.exp(-eta * (delta - eps) ** 2 - beta * (tau - gamma) ** 2)
        for n, d, t, eta, eps, beta, gamma in terms.get("gaussian", [])
    )
    exponential = (
        n * delta**d * tau**t * math.exp(-gd * delta**ld - gt * tau**lt)
        for n, d, t, gd, ld, gt, lt in terms.get("exponential", [])
    )
    return power + sum(gaussian) + sum(exponential)


def verify(entry):
    """Residual energy of the package's mixture less that of its parts is the departure."""
    x = [0.3, 0.7]
    names = [FLUIDS[s] for s in entry["species"]]
    mixture = CP.AbstractState("HEOS", "&".join(names))
    mixture.set_mole_fractions(x)
    mixture.specify_phase(CP.iphase_gas)
    mixture.update(CP.DmolarT_INPUTS, 3000.0, 400.0)
    delta, tau = mixture.delta(), mixture.tau()
    parts = 0.0
    for name, share in zip(names, x):
        part = CP.AbstractState("HEOS", name)
        part.specify_phase(CP.iphase_gas)
        part.update(CP.DmolarT_INPUTS, delta * part.rhomolar_reducing(), part.T_reducing() / tau)
        parts += share * part.alphar()
    got = x[0] * x[1] * entry["factor"] * departure(DEPARTURES[entry["departure"]], delta, tau)
    assert abs(mixture.alphar() - parts - got) < 1e-12, entry["species"]


def collect():
    pairs = []
    for pair in itertools.combinations(FLUIDS, 2):
        entry = None if pair in LEFT_OUT else published(*pair)
        if entry is None:
            continue
        if all(entry[k] == 1.0 for k in ("beta_t", "gamma_t", "beta_v", "gamma_v")):
            continue  # all ones is how the paper writes "no data"
        if entry["departure"]:
            verify(entry)
        pairs.append(entry)
    by_name = {tuple(sorted(p["species"])): p for p in pairs}
    for name, (likeness, others) in STAND_INS.items():
        for other in others:
            known = by_name[tuple(sorted((likeness, other)))]
            species = [name if s == likeness else s for s in known["species"]]
            pairs.append({**known, "species": species, "stand_in": f"{likeness} + {other}"})
    return {"pairs": pairs, "departures": DEPARTURES}


def text(data):
    rows = ",\n".join("  " + json.dumps(p) for p in data["pairs"])
    departures = ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in data["departures"].items())
    return '{\n "pairs": [\n' + rows + '\n ],\n "departures": {\n' + departures + "\n }\n}\n"


PAGE = """# Where the mixture constants come from

Written by `fluids/generator/pairs.py` from the PyPI package CoolProp {version}; do not edit by hand.
First half of the SHA-256 of `pairs.json`: `{digest}`.

| pair | source of the reducing constants and the departure function |
|---|---|
{rows}

- Reducing functions of Kunz and Wagner: see `fluids/src/mixture/reducing.rs`.
- The departure functions stand in `fluids/generator/departures.py` as the package's library lists them, and are
  checked against its mixture model to 1e-12. Those of GERG-2008 are rewritten with completed squares.
- Where "of" stands, the pair has no constants of its own and takes those of another: air those of nitrogen, which makes
  78 % of it, parahydrogen those of hydrogen, nitrous oxide those of carbon dioxide. Every run says so.
- A pair that is not listed mixes by the Lorentz-Berthelot rule (all constants one); every run that
  holds such a pair says so. Published "constants" that are all one (helium with oxygen, propane or
  hydrogen, and others of GERG-2008) say the same and are not listed.
"""


def main():
    data = collect()
    body = text(data)
    rows = "\n".join(
        f"| {' + '.join(p['species'])} | {p['source']}" + (f" (of {p['stand_in']})" if "stand_in" in p else "") + " |"
        for p in data["pairs"]
    )
    digest = hashlib.sha256(body.encode()).hexdigest()[:16]
    page = PAGE.format(version=CP.get_global_param_string("version"), digest=digest, rows=rows)
    wanted = {DATA / "pairs.json": body, DATA / "PAIRS.md": page}
    if "--check" in sys.argv:
        stale = [p.name for p, t in wanted.items() if not p.exists() or p.read_text() != t]
        sys.exit(f"stale: {', '.join(stale)}" if stale else 0)
    for path, content in wanted.items():
        path.write_text(content)


if __name__ == "__main__":
    main()
