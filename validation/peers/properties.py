#!/usr/bin/env python3
"""Compares the property engine with the reference library CoolProp (PyPI) and times both.

    python3 validation/peers/properties.py [states per fluid]

Random single-phase states over the stated range are drawn in (p, T), handed to both as
(density, energy) and compared in p and T. Timing: our batches inside the Rust example, the
library's `AbstractState("HEOS").update(DmassUmass_INPUTS, ..)` called from Python, whose own
overhead (some 0.3 us a call) is far below the 20 us and more of the look-up itself.
A pressure's error counts against p + rho R T/1000: in a gas that is p itself, in a liquid p is a
small difference of terms of the size rho R T, and the last bit of u already moves it.
Not needed by users; leaves nothing behind. Exit code 1 if a bar is missed.
"""

import pathlib
import subprocess
import sys
import time

import CoolProp.CoolProp as CP
import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]

# Name here and there, T from .. to (K), p from .. to (Pa): the range of the tables.
FLUIDS = {
    "nitrogen": ("Nitrogen", 63.2, 990.0, 1e4, 100e6),
    "helium": ("Helium", 4.3, 990.0, 1e4, 100e6),
    "argon": ("Argon", 83.9, 690.0, 1e4, 100e6),
    "oxygen": ("Oxygen", 54.4, 990.0, 1e4, 60e6),
    "air": ("Air", 60.0, 990.0, 1e4, 100e6),
    "water": ("Water", 273.2, 990.0, 1e4, 100e6),
    "ethanol": ("Ethanol", 170.0, 640.0, 1e4, 100e6),
    "carbon dioxide": ("CarbonDioxide", 216.7, 990.0, 1e4, 100e6),
    "methane": ("Methane", 90.8, 615.0, 1e4, 100e6),
    "nitrous oxide": ("NitrousOxide", 182.4, 515.0, 1e4, 50e6),
    "parahydrogen": ("ParaHydrogen", 13.9, 990.0, 1e4, 100e6),
    "hydrogen": ("Hydrogen", 14.0, 990.0, 1e4, 100e6),
    "propane": ("n-Propane", 131.0, 640.0, 1e4, 100e6),
    "methanol": ("Methanol", 176.0, 610.0, 1e4, 100e6),
    "n-dodecane": ("n-Dodecane", 264.0, 690.0, 1e4, 100e6),
}
# Liquids whose vapour is a minor part of a gas.
UNTABLED = ("water", "ethanol", "methanol", "n-dodecane")
MODES = ("exact", "polished", "table")
ERROR_BARS = {"exact": 1e-9, "polished": 1e-6}
SPEED_BARS = {"polished": 30.0, "table": 150.0}


def draw(name, count, rng):
    """Rows (density, energy, pressure, temperature, pressure scale) of single-phase states."""
    peer, t_low, t_high, p_low, p_high = FLUIDS[name]
    stable, forced = (CP.AbstractState("HEOS", peer) for _ in range(2))
    # With the phase imposed the library evaluates its equation without a phase search.
    forced.specify_phase(CP.iphase_gas)
    rows = []
    while len(rows) < count:
        t = np.exp(rng.uniform(np.log(t_low), np.log(t_high)))
        p = np.exp(rng.uniform(np.log(p_low), np.log(p_high)))
        try:
            stable.update(CP.PT_INPUTS, p, t)
        except ValueError:  # below the melting line, or between the curves of air
            continue
        forced.update(CP.DmassT_INPUTS, stable.rhomass(), t)
        scale = forced.p() + forced.rhomolar() * forced.gas_constant() * t / 1000
        rows.append((forced.rhomass(), forced.umass(), forced.p(), t, scale))
    return np.array(rows)


def ours(name, states):
    """(p and T in every mode, ns per look-up in every mode)."""
    text = "\n".join(f"{rho!r} {u!r}" for rho, u, *_ in states.tolist())
    command = ["cargo", "run", "-q", "--release", "-p", "fluids", "--example", "lookup_stream", name]
    run = subprocess.run(command, input=text, text=True, capture_output=True, cwd=ROOT, check=True)
    *lines, times = run.stdout.splitlines()
    found = np.array([[float(x) for x in line.split()] for line in lines])
    return found, [float(x) for x in times.split()[1:]]


def peer_nanoseconds(name, states):
    """The library's time for the same look-ups: best of 20 short passes, as ours."""
    state = CP.AbstractState("HEOS", FLUIDS[name][0])
    best = np.inf
    for _ in range(20):
        start, done = time.perf_counter(), 0
        for rho, u in states[:200, :2].tolist():
            try:
                state.update(CP.DmassUmass_INPUTS, rho, u)
                done += 1
            except ValueError:  # its search fails now and then
                pass
        best = min(best, (time.perf_counter() - start) / max(done, 1) * 1e9)
    return best


def report(name, count, rng):
    """Prints one fluid and returns what it missed."""
    states = draw(name, count, rng)
    found, nanoseconds = ours(name, states)
    peer = peer_nanoseconds(name, states)
    missed = []
    for i, mode in enumerate(MODES):
        refused = np.isnan(found[:, 2 * i]).sum()
        pressure = np.abs(found[:, 2 * i] - states[:, 2]) / states[:, 4]
        p, t = np.nanmax(pressure), np.nanmax(np.abs(found[:, 2 * i + 1] / states[:, 3] - 1))
        share = np.nanpercentile(pressure, 90)
        ratio = peer / nanoseconds[i]
        print(
            f"{name:9} {mode:9} p {p:8.1e} (90 %: {share:7.1e})  T {t:8.1e}  refused {refused:3d}  "
            f"{nanoseconds[i]:7.0f} ns  {ratio:6.0f} x"
        )
        if max(p, t) > ERROR_BARS.get(mode, np.inf) or refused:
            missed.append(f"{name} {mode}: error or refusal")
        if ratio < SPEED_BARS.get(mode, 0.0) and name not in UNTABLED:
            missed.append(f"{name} {mode}: {ratio:.0f} x")
    print(f"{name:9} library   {peer:.0f} ns")
    return missed


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    rng = np.random.default_rng(20)
    print(f"CoolProp {CP.get_global_param_string('version')}, {count} states a fluid; largest relative error")
    missed = [item for name in FLUIDS for item in report(name, count, rng)]
    print("missed: " + "; ".join(missed) if missed else "all bars met")
    sys.exit(1 if missed else 0)


if __name__ == "__main__":
    main()
