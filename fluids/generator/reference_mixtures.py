#!/usr/bin/env python3
"""Write `fluids/tests/data/mixtures.json`: mixture states by the PyPI package CoolProp.

The gas constants stay those of the pure equations, as in this crate (the package would put the
same one to all by default, which shifts pressures by up to 1e-5).
"""

import json
import math
import pathlib

import CoolProp.CoolProp as CP

CP.set_config_bool(CP.NORMALIZE_GAS_CONSTANTS, False)
OUT = pathlib.Path(__file__).resolve().parent.parent / "tests" / "data" / "mixtures.json"
NAMES = {n.lower(): n for n in ("Nitrogen", "Helium", "Argon", "Oxygen", "Water", "Ethanol", "Methane", "Hydrogen")}
NAMES |= {"carbon dioxide": "CarbonDioxide", "propane": "n-Propane", "nitrous oxide": "NitrousOxide"}

CASES = [
    (("nitrogen", "helium"), (0.7, 0.3)),
    (("nitrogen", "argon"), (0.5, 0.5)),
    (("nitrogen", "oxygen"), (0.79, 0.21)),
    (("nitrogen", "water"), (0.97, 0.03)),
    (("nitrogen", "ethanol"), (0.98, 0.02)),
    (("helium", "argon"), (0.4, 0.6)),
    (("helium", "water"), (0.995, 0.005)),
    (("oxygen", "water"), (0.9, 0.1)),
    (("nitrogen", "oxygen", "argon", "water"), (0.76, 0.21, 0.01, 0.02)),
    (("nitrogen", "carbon dioxide"), (0.6, 0.4)),
    (("nitrogen", "methane"), (0.3, 0.7)),
    (("helium", "methane"), (0.9, 0.1)),
    (("argon", "carbon dioxide"), (0.5, 0.5)),
    (("argon", "carbon dioxide", "water"), (0.7, 0.28, 0.02)),
    (("methane", "hydrogen", "carbon dioxide"), (0.5, 0.3, 0.2)),
    (("helium", "propane"), (0.9, 0.1)),
    (("methane", "nitrous oxide"), (0.7, 0.3)),
    (("nitrogen", "helium", "oxygen", "argon", "water"), (0.5, 0.3, 0.1, 0.05, 0.05)),
]
STATES = [(250.0, 40.0), (300.0, 1000.0), (300.0, 8000.0), (450.0, 5000.0), (600.0, 12000.0)]  # K, mol/m3


def entropy_shift(species):
    """In a mixture the package counts helium's entropy from its critical instead of its reducing
    density, which differ by 4 %: a constant, taken back here so that mixtures join their parts."""
    data = json.loads(CP.get_fluid_param_string(NAMES[species], "JSON"))[0]
    reducing, critical = data["EOS"][0]["STATES"]["reducing"], data["STATES"]["critical"]
    return data["EOS"][0]["gas_constant"] * math.log(reducing["rhomolar"] / critical["rhomolar"])


def rows():
    for species, x in CASES:
        state = CP.AbstractState("HEOS", "&".join(NAMES[s] for s in species))
        state.set_mole_fractions(list(x))
        state.specify_phase(CP.iphase_gas)
        shift = sum(share * entropy_shift(s) for s, share in zip(species, x))
        for t, n in STATES:
            state.update(CP.DmolarT_INPUTS, n, t)
            yield {
                "species": species,
                "mole_fractions": x,
                "temperature_k": t,
                "density_mol_m3": n,
                "pressure_pa": state.p(),
                "energy_j_m3": state.umolar() * n,
                "entropy_j_m3_k": (state.smolar() + shift) * n,
                "cp_j_mol_k": state.cpmolar(),
                "sound_speed_m_s": state.speed_sound(),
            }


body = ",\n".join(json.dumps(row) for row in rows())
OUT.write_text("[\n" + body + "\n]\n")
