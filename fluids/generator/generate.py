#!/usr/bin/env python3
"""Write the committed coefficient files `fluids/data/<fluid>.json` and their provenance page.

Source: the PyPI package CoolProp, whose function `get_fluid_param_string(name, "JSON")`
lists the published coefficients of a fluid. Users never run this: the files it writes are
committed. Run it after changing it, or with `--check` to see that the files are fresh.
"""

import hashlib
import json
import math
import pathlib
import sys

import CoolProp.CoolProp as CP

VERSION = "1"
HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE.parent / "data"

# Name in the files -> name in CoolProp, range of the table (K, K, Pa; none: exact only).
FLUIDS = {
    "nitrogen": ("Nitrogen", (63.151, 1000.0, 100e6)),
    "helium": ("Helium", (4.3, 1000.0, 100e6)),
    "argon": ("Argon", (83.806, 700.0, 100e6)),
    "oxygen": ("Oxygen", (54.361, 1000.0, 60e6)),
    "air": ("Air", (59.75, 1000.0, 100e6)),
    "water": ("Water", None),
    "ethanol": ("Ethanol", None),
    "carbon dioxide": ("CarbonDioxide", (216.592, 1000.0, 100e6)),
    "methane": ("Methane", (90.6941, 620.0, 100e6)),
    "nitrous oxide": ("NitrousOxide", (182.33, 520.0, 50e6)),
    "parahydrogen": ("ParaHydrogen", (13.8033, 1000.0, 100e6)),
    "hydrogen": ("Hydrogen", (13.957, 1000.0, 100e6)),
    "propane": ("n-Propane", (130.0, 650.0, 100e6)),
    "methanol": ("Methanol", None),
    "n-dodecane": ("n-Dodecane", None),
}


def file_name(name):
    return name.replace(" ", "_") + ".json"



# Origin of each equation. The keys are those of the package's reference list.
PAPERS = {
    "Span-JPCRD-2000": "Span, Lemmon, Jacobsen, Wagner, Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361",
    "OrtizVega-JPCRD-2019": "Ortiz Vega, Hall, Holste, Harvey, Lemmon, equation of state of helium, as the package distributes it (from memory: printed as NIST IR 8474, 2023)",
    "Tegeler-JPCRD-1999": "Tegeler, Span, Wagner, J. Phys. Chem. Ref. Data 28 (1999) 779",
    "Schmidt-FPE-1985,Stewart-JPCRD-1991": "Schmidt, Wagner, Fluid Phase Equilib. 19 (1985) 175; Stewart, Jacobsen, Wagner, J. Phys. Chem. Ref. Data 20 (1991) 917",
    "Lemmon-JPCRD-2000": "Lemmon, Jacobsen, Penoncello, Friend, J. Phys. Chem. Ref. Data 29 (2000) 331 (pseudo-pure air)",
    "Wagner-JPCRD-2002": "Wagner, Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387 (IAPWS-95)",
    "Schroeder-JPCRD-2014": "Schroeder, Penoncello, Schroeder, J. Phys. Chem. Ref. Data 43 (2014) 043102",
    "Datchi-PRB-2000": "Datchi, Loubeyre, LeToullec, Phys. Rev. B 61 (2000) 6535",
    "Younglove-NIST-1982": "Younglove, J. Phys. Chem. Ref. Data 11 (1982) suppl. 1",
    "IAPWS-Melting-2011": "IAPWS R14-08(2011), ice VI branch",
    "Span-JPCRD-1996": "Span, Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509",
    "Setzmann-JPCRD-1991": "Setzmann, Wagner, J. Phys. Chem. Ref. Data 20 (1991) 1061",
    "Abramson-HPR-2011": "Abramson, High Press. Res. 31 (2011) 549",
    "Lemmon-JCED-2006": "Lemmon, Span, J. Chem. Eng. Data 51 (2006) 785",
    "Leachman-JPCRD-2009": "Leachman, Jacobsen, Penoncello, Lemmon, J. Phys. Chem. Ref. Data 38 (2009) 721",
    "Lemmon-JCED-2009": "Lemmon, McLinden, Wagner, J. Chem. Eng. Data 54 (2009) 3141",
    "Reeves-JCP-1964": "Reeves, Scott, Babb, J. Chem. Phys. 40 (1964) 3662",
    "deReuck-BOOK-1993": "de Reuck, Craven, Methanol, International Thermodynamic Tables of the Fluid State 12 (IUPAC, Blackwell, 1993)",
    "Lemmon-EF-2004": "Lemmon, Huber, Energy Fuels 18 (2004) 960",
    "Sun-BBPC-1988": "Sun, ten Seldam, Kortbeek, Trappeniers, Biswas, Ber. Bunsenges. Phys. Chem. 92 (1988) 1226",
}


def ideal(terms, reducing_k):
    """The ideal part: a1 + a2 tau + ln delta + b ln tau + sum n tau^t + sum n ln(c + d e^(theta tau)).

    Every Planck-Einstein spelling becomes [n, theta, c, d]; the offsets of the reference
    state are added to a1 and a2 exactly as the package does.
    """
    lead, log_tau, power, einstein = [0.0, 0.0], 0.0, [], []
    for term in terms:
        kind = term["type"]
        if kind in ("IdealGasHelmholtzLead", "IdealGasHelmholtzEnthalpyEntropyOffset"):
            lead = [lead[0] + term["a1"], lead[1] + term["a2"]]
        elif kind == "IdealGasHelmholtzLogTau":
            log_tau += term["a"]
        elif kind == "IdealGasHelmholtzPower":
            power += [[n, t] for n, t in zip(term["n"], term["t"])]
        elif kind == "IdealGasHelmholtzCP0PolyT":
            # A constant share c of cp0/R, integrated from T0.
            assert term["t"] == [0.0]
            c = term["c"][0]
            tau_0 = term["Tc"] / term["T0"]
            lead = [lead[0] + c - c * math.log(tau_0), lead[1] - c / tau_0]
            log_tau += c
        elif kind == "IdealGasHelmholtzPlanckEinstein":
            einstein += [[n, -t, 1.0, -1.0] for n, t in zip(term["n"], term["t"])]
        elif kind == "IdealGasHelmholtzPlanckEinsteinFunctionT":
            assert term["Tcrit"] == reducing_k
            einstein += [[n, -v / reducing_k, 1.0, -1.0] for n, v in zip(term["n"], term["v"])]
        elif kind == "IdealGasHelmholtzPlanckEinsteinGeneralized":
            einstein += [list(row) for row in zip(term["n"], term["t"], term["c"], term["d"])]
        else:
            raise ValueError(f"unknown ideal term {kind}")
    return {"lead": lead, "log_tau": log_tau, "power": power, "einstein": einstein}


# Kind of term -> name in the files and its columns. A plain exponential has no factor of tau.
COLUMNS = {
    "ResidualHelmholtzPower": ("power", "n d t l"),
    "ResidualHelmholtzGaussian": ("gaussian", "n d t eta epsilon beta gamma"),
    "ResidualHelmholtzExponential": ("exponential", "n d t g l"),
    "ResidualHelmholtzDoubleExponential": ("exponential", "n d t gd ld gt lt"),
    "ResidualHelmholtzNonAnalytic": ("non_analytic", "n a b beta A B C D"),
}


def residual(terms):
    """The residual part, one row a term; see `src/helmholtz/` for the formulas."""
    out = {"power": [], "gaussian": [], "non_analytic": [], "exponential": []}
    for term in terms:
        name, columns = COLUMNS[term["type"]]
        rows = [list(row) for row in zip(*(term[c] for c in columns.split()))]
        if term["type"] == "ResidualHelmholtzExponential":
            out["power"] += [row[:3] + [0.0] for row in rows if row[3] == 0.0]
            rows = [row + [0.0, 0.0] for row in rows if row[3] != 0.0]
        out[name] += rows
    return {name: rows for name, rows in out.items() if rows}


def melting(line, t_min_k):
    """p_melt = p0 + sum a ((T/T0)^c - 1), in one or two rising branches from t_min on."""
    parts = [p for p in line["parts"] if p["T_max"] > max(p["T_min"], t_min_k)]
    if t_min_k > 273:
        parts = parts[-1:]  # water: ice VI, taken from t_min on
    return [melting_part(line, part, t_min_k) for part in parts]


def melting_part(line, part, t_min_k):
    p0 = part["p_0"]
    if line["type"] == "Simon":
        terms = [[part["a"], part["c"]]]
    else:
        terms = [[p0 * a, t] for a, t in zip(part["a"], part["t"])]
    if line["BibTeX"] == "Datchi-PRB-2000":
        p0 = terms[0][0]  # the paper's p = a T^c; the package's p0 has the opposite sign
    low = max(part["T_min"], t_min_k) if part["T_min"] < 273 else t_min_k
    return {"t_min_k": low, "t_max_k": part["T_max"], "t0_k": part["T_0"], "p0_pa": p0, "terms": terms}


def ancillary(a):
    return {
        "scale": a["reducing_value"],
        "t0_k": a["T_r"],
        "exponential": a["type"] != "rhoLnoexp",
        "over_t": a["using_tau_r"],
        "terms": [list(row) for row in zip(a["n"], a["t"])],
    }


def saturation(fluid, eos):
    """The triple point from which the saturation line is followed; for a pseudo-pure fluid
    the published bubble and dew curves, which no Maxwell construction can give."""
    if eos["pseudo_pure"]:
        curves = fluid["ANCILLARIES"]
        keys = {"bubble_pressure": "pL", "dew_pressure": "pV", "bubble_density": "rhoL", "dew_density": "rhoV"}
        return {"pseudo": {name: ancillary(curves[key]) for name, key in keys.items()}}
    liquid, vapour = eos["STATES"]["sat_min_liquid"], eos["STATES"]["sat_min_vapor"]
    return {"pure": {"t_min_k": liquid["T"], "liquid_mol_m3": liquid["rhomolar"], "vapour_mol_m3": vapour["rhomolar"]}}


# The package's curve gives 24 MPa at the triple point, where it must be nothing.
NO_MELTING = {"hydrogen"}


def surface_tension(term):
    """sigma = sum a (1 - T/T0)^n, N/m."""
    assert term["BibTeX"] == "Mulero-JPCRD-2012"
    return {"t0_k": term["Tc"], "terms": [list(row) for row in zip(term["a"], term["n"])]}


def coefficients(name):
    package_name, table = FLUIDS[name]
    fluid = json.loads(CP.get_fluid_param_string(package_name, "JSON"))[0]
    eos = fluid["EOS"][0]
    state = eos["STATES"]["reducing"]
    line = None if name in NO_MELTING else fluid["ANCILLARIES"].get("melting_line")
    return {
        "name": name,
        "molar_mass_kg_mol": eos["molar_mass"],
        "gas_constant_j_mol_k": eos["gas_constant"],
        "reducing": {"t_k": state["T"], "density_mol_m3": state["rhomolar"]},
        "limits": {"t_min_k": eos["Ttriple"], "t_max_k": eos["T_max"], "p_max_pa": eos["p_max"]},
        "saturation": saturation(fluid, eos),
        "melting": melting(line, eos["Ttriple"]) if line else [],
        "surface_tension": None if eos["pseudo_pure"] else surface_tension(fluid["ANCILLARIES"]["surface_tension"]),
        "table": table and {"t_min_k": table[0], "t_max_k": table[1], "p_max_pa": table[2]},
        "ideal": ideal(eos["alpha0"], state["T"]),
        "residual": residual(eos["alphar"]),
        "source": {
            "equation": PAPERS[eos["BibTeX_EOS"]],
            "melting": PAPERS[line["BibTeX"]] if line else None,
        },
    }


def compact(data):
    """One line a key, one line a term: small, and a changed coefficient is one changed line."""
    def value(v, depth):
        if isinstance(v, dict) and depth < 2 and any(isinstance(x, (dict, list)) for x in v.values()):
            pad = " " * (depth + 1)
            inner = ",\n".join(f"{pad}{json.dumps(k)}: {value(x, depth + 1)}" for k, x in v.items())
            return "{\n" + inner + "\n" + " " * depth + "}"
        if isinstance(v, list) and v and isinstance(v[0], list):
            pad = " " * (depth + 1)
            return "[\n" + ",\n".join(pad + json.dumps(x, separators=(",", ":")) for x in v) + "\n" + " " * depth + "]"
        return json.dumps(v)
    return value(data, 0) + "\n"


def provenance(files):
    rows = []
    for name, text in files.items():
        d = json.loads(text)
        digest = hashlib.sha256(text.encode()).hexdigest()
        lim = d["limits"]
        rows.append(
            f"| `{file_name(name)}` | {d['source']['equation']} | {lim['t_min_k']:g} to {lim['t_max_k']:g} K, "
            f"to {lim['p_max_pa'] / 1e6:g} MPa | {d['source']['melting'] or 'none published here'} | `{digest[:16]}` |"
        )
    version = CP.get_global_param_string("version")
    return PAGE.format(version=version, generator=VERSION, rows="\n".join(rows))


PAGE = """# Where the coefficients come from

Written by `fluids/generator/generate.py` (version {generator}) from the PyPI package CoolProp {version};
do not edit the files by hand. The hash is the first half of the file's SHA-256.

| file | equation of state | range | melting line | hash |
|---|---|---|---|---|
{rows}

- The range is the package's. Its upper temperature is often an extrapolation of the paper's own
  (from memory: oxygen 300 K, argon 700 K, nitrogen 1000 K); the ideal-gas part carries it there.
- Each equation keeps the gas constant it was published with.
- Energies and entropies are counted from the package's default reference states (the offsets are
  part of `ideal.lead`): water by IAPWS-95, the others as their files say.
- `triple` of helium is the upper end of the lambda line: below it helium is a superfluid.
- Nitrous oxide, hydrogen and n-dodecane have no melting line here: nothing tells a frozen state from a
  liquid one, but none is colder than the triple point.
- The melting line of water is the branch of ice VI; below 273.16 K nothing is offered.
- Surface tension: Mulero, Cachadina, Parra, J. Phys. Chem. Ref. Data 41 (2012) 043105.
- Air is a pseudo-pure fluid: bubble and dew curves are the published ancillary equations.
"""


def main():
    files = {name: compact(coefficients(name)) for name in FLUIDS}
    wanted = {DATA / file_name(name): text for name, text in files.items()}
    wanted[DATA / "PROVENANCE.md"] = provenance(files)
    if "--check" in sys.argv:
        stale = [p.name for p, text in wanted.items() if not p.exists() or p.read_text() != text]
        sys.exit(f"stale: {', '.join(stale)}" if stale else 0)
    for path, text in wanted.items():
        path.write_text(text)


if __name__ == "__main__":
    main()
