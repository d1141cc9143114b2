"""States of every fluid by CoolProp: what the fluid cases of VALIDATION.md expect.

    python3 fluid_states.py > fluid_states.json

For each fluid random single-phase states, even in ln p and ln T over the range of its tables, and states of
saturation from the triple point to 0.99 critical temperatures. Transport only where the library has a correlation.
"""

import json
import math
import platform
import random
import sys

import CoolProp
from CoolProp import AbstractState
from CoolProp.CoolProp import PropsSI
from properties import FLUIDS

STATES, PAIRS = 60, 12
# What the library has no correlation for.
NO_TRANSPORT = {"nitrous oxide"}
PSEUDO_PURE = {"air"}


def digits(value):
    return float(f"{value:.16g}")


def transport(name, state):
    """Viscosity and conductivity, or nothing where the library gives no number."""
    if name in NO_TRANSPORT:
        return [None, None]
    try:
        pair = [state.viscosity(), state.conductivity()]
    except ValueError:
        return [None, None]
    return [digits(v) if math.isfinite(v) and v > 0 else None for v in pair]


def states(name, peer, t_low, t_high, p_low, p_high):
    source = random.Random(name)
    # The stable density first; then the equation without a phase search, exactly at it.
    stable, plain = (AbstractState("HEOS", peer) for _ in range(2))
    plain.specify_phase(CoolProp.iphase_gas)
    while True:
        t = math.exp(source.uniform(math.log(t_low), math.log(t_high)))
        p = math.exp(source.uniform(math.log(p_low), math.log(p_high)))
        try:
            stable.update(CoolProp.PT_INPUTS, p, t)
        except ValueError:  # frozen, or between the curves of air
            continue
        rho = stable.rhomass()
        plain.update(CoolProp.DmassT_INPUTS, rho, t)
        caloric = (plain.umass(), plain.hmass(), plain.smass(), plain.cvmass(), plain.cpmass(), plain.speed_sound())
        yield [*map(digits, (plain.p(), t, rho, *caloric)), *transport(name, stable)]


def saturation(peer):
    state, plain = (AbstractState("HEOS", peer) for _ in range(2))
    plain.specify_phase(CoolProp.iphase_gas)
    low, high = state.Tmin(), 0.99 * state.T_critical()
    for i in range(PAIRS):
        t = low + (high - low) * (i + 0.5) / PAIRS
        state.update(CoolProp.QT_INPUTS, 0.0, t)
        liquid, h, sigma = state.rhomass(), state.hmass(), PropsSI("I", "T", t, "Q", 0, peer)
        state.update(CoolProp.QT_INPUTS, 1.0, t)
        vapour = state.rhomass()
        # The pressure that the library hands out comes from a fit; this one is the equation's own.
        plain.update(CoolProp.DmassT_INPUTS, vapour, t)
        yield [*map(digits, (t, plain.p(), liquid, vapour, state.hmass() - h, sigma))]


def fluid(name):
    peer, *range_ = FLUIDS[name]
    rows = states(name, peer, *range_)
    return {
        "name": name,
        "range": range_,
        "states": [next(rows) for _ in range(STATES)],
        "saturation": [] if name in PSEUDO_PURE else list(saturation(peer)),
    }


def main():
    provenance = {"written_by": "fluid_states.py", "python": platform.python_version(), "coolprop": CoolProp.__version__}
    fluids = [fluid(name) for name in FLUIDS]
    out = ['{', f' "provenance": {json.dumps(provenance)},', ' "fluids": [']
    for i, one in enumerate(fluids):
        body = [f'   "{key}": [\n    ' + ",\n    ".join(map(json.dumps, one[key])) + "\n   ]" for key in ("states", "saturation")]
        head = f'   "name": {json.dumps(one["name"])},\n   "range": {json.dumps(one["range"])}'
        out.append("  {\n" + ",\n".join([head, *body]) + "\n  }" + ("," if i + 1 < len(fluids) else ""))
    sys.stdout.write("\n".join(out + [" ]", "}", ""]))


if __name__ == "__main__":
    main()
