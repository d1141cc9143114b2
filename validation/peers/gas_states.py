"""End states of gases by CoolProp: what the gas cases of VALIDATION.md expect.

    python3 gas_states.py > gas_states.json

- discharge: an adiabatic vessel at 300 K falls from 200 to 20 bar(a): the gas left in it follows
  an isentrope.
- filling: an evacuated adiabatic vessel is filled from a line until it has the line's pressure:
  its energy is the line's enthalpy.
- throttling: constant enthalpy.
- nozzle: G = max over p >= p_back of rho(p, s0) sqrt(2 (h0 - h(p, s0))), and with it
  C* = G sqrt(R T0)/p0.
"""

import json
import platform
import sys

import CoolProp
import numpy as np
import scipy
from CoolProp import AbstractState
from scipy.optimize import brentq, minimize_scalar


def gas(name):
    return AbstractState("HEOS", name)


def discharge(name, t0, p0, p1):
    state = gas(name)
    state.update(CoolProp.PT_INPUTS, p0, t0)
    before = state.rhomass()
    state.update(CoolProp.PSmass_INPUTS, p1, state.smass())
    return {"gas": name.lower(), "temperature_k": state.T(), "mass_fraction_left": state.rhomass() / before}


def filling(name, p, t_line):
    state = gas(name)
    state.update(CoolProp.PT_INPUTS, p, t_line)
    enthalpy = state.hmass()

    def surplus(t):
        state.update(CoolProp.PT_INPUTS, p, t)
        return state.umass() - enthalpy

    return {"gas": name.lower(), "pressure_pa": p, "temperature_k": brentq(surplus, t_line, 3 * t_line, xtol=1e-9)}


def throttling(name, t0, p0, p1):
    state = gas(name)
    state.update(CoolProp.PT_INPUTS, p0, t0)
    state.update(CoolProp.HmassP_INPUTS, state.hmass(), p1)
    return {"gas": name.lower(), "temperature_k": state.T()}


def nozzle(name, p0, t0, back):
    state = gas(name)
    state.update(CoolProp.PT_INPUTS, p0, t0)
    h0, s0 = state.hmass(), state.smass()
    gas_constant = state.gas_constant() / state.molar_mass()

    def flux(p):
        state.update(CoolProp.PSmass_INPUTS, p, s0)
        return state.rhomass() * np.sqrt(max(2 * (h0 - state.hmass()), 0))

    throat = minimize_scalar(lambda x: -flux(x * p0), bounds=(0.3, 0.7), method="bounded", options={"xatol": 1e-9})
    return {
        "gas": name.lower(), "pressure_pa": p0, "temperature_k": t0,
        "critical_flow_function": -throat.fun * np.sqrt(gas_constant * t0) / p0,
        "critical_ratio": throat.x,
        "subsonic": [{"back_ratio": r, "flux_kg_m2_s": flux(r * p0)} for r in back],
    }


def main():
    answer = {
        "provenance": {"written_by": "gas_states.py", "python": platform.python_version(),
                       "coolprop": CoolProp.__version__, "scipy": scipy.__version__, "numpy": np.__version__},
        "discharge": [discharge(n, 300.0, 200e5, 20e5) for n in ("Nitrogen", "Helium")],
        "filling": [filling(n, p, 293.15) for n in ("Nitrogen", "Helium") for p in (200e5, 10e5)],
        "steam": filling("Water", 1e6, 573.15),
        "throttling": [throttling(n, 300.0, 200e5, 30e5) for n in ("Nitrogen", "Helium")],
        "nozzle": [nozzle(n, p, 300.0, (0.6, 0.8, 0.95)) for n in ("Nitrogen", "Helium", "Oxygen")
                   for p in (10e5, 50e5, 200e5, 300e5)],
    }
    json.dump(answer, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
