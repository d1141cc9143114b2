#!/usr/bin/env python3
"""Write `fluids/tests/data/transport.json`: transport and film properties by the PyPI package CoolProp."""

import json
import pathlib
import random

import CoolProp.CoolProp as CP

OUT = pathlib.Path(__file__).resolve().parent.parent / "tests" / "data" / "transport.json"
# Package name, coldest and hottest state (K), highest pressure (Pa).
GASES = {
    "nitrogen": ("Nitrogen", 80.0, 700.0, 1e8),
    "helium": ("Helium", 20.0, 700.0, 5e7),
    "argon": ("Argon", 95.0, 700.0, 1e8),
    "oxygen": ("Oxygen", 80.0, 600.0, 6e7),
    "air": ("Air", 80.0, 700.0, 1e8),
    "carbon dioxide": ("CarbonDioxide", 220.0, 700.0, 1e8),
    "methane": ("Methane", 95.0, 600.0, 1e8),
    "parahydrogen": ("ParaHydrogen", 16.0, 700.0, 1e8),
    "hydrogen": ("Hydrogen", 16.0, 700.0, 1e8),
    "propane": ("n-Propane", 135.0, 600.0, 1e8),
}
LIQUIDS = {"water": ("Water", 274.0, 580.0), "ethanol": ("Ethanol", 200.0, 465.0)}
LIQUIDS |= {"methanol": ("Methanol", 180.0, 460.0), "n-dodecane": ("n-Dodecane", 265.0, 590.0)}


def row(name, state):
    cp = state.cpmass()
    beta = state.isobaric_expansion_coefficient()
    mu, k = state.viscosity(), state.conductivity()
    return {
        "fluid": name,
        "temperature_k": state.T(),
        "density_kg_m3": state.rhomass(),
        "pressure_pa": state.p(),
        "reduced": [state.T() / state.T_reducing(), state.rhomass() / state.rhomass_reducing()],
        "viscosity_pa_s": mu,
        "conductivity_w_m_k": k,
        "prandtl": mu * cp / k,
        "rayleigh_group": beta * state.rhomass() ** 2 * cp / (mu * k),
    }


def rows():
    rng = random.Random(1)
    for name, (package_name, low, high, p_max) in GASES.items():
        state = CP.AbstractState("HEOS", package_name)
        for _ in range(40):
            t, p = low * (high / low) ** rng.random(), 1e4 * (p_max / 1e4) ** rng.random()
            try:
                state.update(CP.PT_INPUTS, p, t)
                yield row(name, state)
            except ValueError:
                continue  # a liquid colder than its melting line
    for name, (package_name, low, high) in LIQUIDS.items():
        state = CP.AbstractState("HEOS", package_name)
        for _ in range(25):
            t = rng.uniform(low, high)
            state.update(CP.QT_INPUTS, 0.0, t)
            state.update(CP.PT_INPUTS, state.p() + 10 ** rng.uniform(5.0, 7.9), t)
            yield row(name, state)


OUT.write_text("[\n" + ",\n".join(json.dumps(r) for r in rows()) + "\n]\n")
