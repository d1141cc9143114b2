#!/usr/bin/env python3
"""Write `fluids/tests/data/liquids.json`: liquids along isobars by the PyPI package CoolProp."""

import json
import pathlib

import CoolProp.CoolProp as CP

OUT = pathlib.Path(__file__).resolve().parent.parent / "tests" / "data" / "liquids.json"
CASES = [
    ("water", "Water", 101325.0, [274.0, 277.13, 293.15, 323.6, 371.0]),
    ("water", "Water", 40e5, [275.0, 293.15, 350.2, 450.0, 520.0]),
    ("ethanol", "Ethanol", 2e5, [180.0, 250.3, 293.15, 340.0, 368.0]),
    ("ethanol", "Ethanol", 100e5, [200.0, 293.15, 400.0, 460.0]),
]


def rows():
    for name, package_name, pressure, temperatures in CASES:
        state = CP.AbstractState("HEOS", package_name)
        for t in temperatures:
            state.update(CP.PT_INPUTS, pressure, t)
            saturated = CP.AbstractState("HEOS", package_name)
            saturated.update(CP.QT_INPUTS, 1.0, t)
            yield {
                "fluid": name,
                "pressure_pa": pressure,
                "temperature_k": t,
                "density_kg_m3": state.rhomass(),
                "energy_j_kg": state.umass(),
                # du/dT along the isobar: cp - p dv/dT.
                "heat_capacity_j_kg_k": state.first_partial_deriv(CP.iUmass, CP.iT, CP.iP),
                "expansivity_1_k": state.isobaric_expansion_coefficient(),
                "viscosity_pa_s": state.viscosity(),
                "conductivity_w_m_k": state.conductivity(),
                "sound_speed_m_s": state.speed_sound(),
                "vapour_pressure_pa": saturated.p(),
                "vapour_density_kg_m3": saturated.rhomass(),
            }


OUT.write_text("[\n" + ",\n".join(json.dumps(r) for r in rows()) + "\n]\n")
