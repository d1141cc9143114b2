"""The demonstration stand in SciPy and CoolProp.

The equations of docs/theory.md (numbers in brackets) for one regulated water run, written the
way one writes such a thing in Python: `solve_ivp` with terminal events, CoolProp for every gas
state. Nothing is shared with the Rust program but the theory and the numbers of
`demonstration.json`, which the Rust program writes from the stand file.

Gases: pure volumes by CoolProp's Helmholtz equation and its (D, U) flash; the ullage by
CoolProp's multi-fluid mixture of nitrogen and water, T from a Newton iteration on u(D, T).
Transport properties of the ullage are those of nitrogen at the total density: CoolProp has none
for mixtures, and the vapour is 2 % of the moles at the start, 0.1 % under pressure.
The liquid, tabulated once: CoolProp's water at one pressure. Walls: their table of cp.

    python3 regulated_run.py [--method BDF|Radau|LSODA] [--rtol 1e-5] [--repeat N]

prints figures as JSON on stdout, wall time and work on stderr. `demonstration_reference.json` is

    python3 regulated_run.py --method Radau --rtol 1e-7 > demonstration_reference.json
"""

import argparse
import json
import pathlib
import platform
import sys
import time

import CoolProp
import numpy as np
import scipy
from CoolProp import AbstractState
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline, PchipInterpolator
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).parent
SQRT_EPS_PA = 100.0  # (2.4)
SHUT_FRACTION = 1e-3  # (4.6)
SEAT = 1e-5  # (2.6)
AREA_PER_KV = 1 / 3600 / np.sqrt(2e5 / 1000)  # (2.2)
TIMES_S = [0.5, 2, 4.99, 5.5, 6, 8, 9.5, 11, 13, 15, 16.5, 17.5, 18.5, 20, 25]

# Places in the state vector.
(BOTTLE_M, BOTTLE_U, BOTTLE_WALL, LINE_M, LINE_U, REGULATOR, CHECK, NITROGEN, VAPOUR, GAS_U,
 DRY_WALL, LIQUID, LIQUID_T, FLOW) = range(14)


class PureGas:
    """A gas volume that holds nitrogen only."""

    def __init__(self, volume):
        self.volume = volume
        self.state = AbstractState("HEOS", "Nitrogen")
        self.state.specify_phase(CoolProp.iphase_gas)  # spares the flash its search for a phase

    def start(self, p, t):
        self.state.update(CoolProp.PT_INPUTS, p, t)
        mass = self.state.rhomass() * self.volume
        return mass, mass * self.state.umass()

    def update(self, mass, energy):
        state = self.state
        state.update(CoolProp.DmassUmass_INPUTS, mass / self.volume, energy / mass)
        # The flash stops at 1e-10, which spoils the solver's difference quotients.
        t = state.T() + (energy / mass - state.umass()) / state.cvmass()
        state.update(CoolProp.DmassT_INPUTS, mass / self.volume, t)
        return state


class Ullage:
    """Nitrogen and water vapour."""

    def __init__(self):
        self.mixture = AbstractState("HEOS", "Nitrogen&Water")
        self.mixture.specify_phase(CoolProp.iphase_gas)
        self.molar_mass = np.array([AbstractState("HEOS", n).molar_mass() for n in ("Nitrogen", "Water")])
        self.t = 300.0

    def set_composition(self, masses):
        moles = np.asarray(masses) / self.molar_mass
        self.mixture.set_mole_fractions(moles / moles.sum())

    def start(self, p, t, vapour_fraction, volume):
        self.mixture.set_mole_fractions([1 - vapour_fraction, vapour_fraction])
        self.mixture.update(CoolProp.PT_INPUTS, p, t)
        moles = self.mixture.rhomolar() * volume * np.array([1 - vapour_fraction, vapour_fraction])
        mass = moles * self.molar_mass
        return mass[0], mass[1], mass.sum() * self.mixture.umass()

    def update(self, masses, energy, volume):
        self.set_composition(masses)
        mass = masses[0] + masses[1]
        for _ in range(20):
            self.mixture.update(CoolProp.DmassT_INPUTS, mass / volume, self.t)
            step = (energy / mass - self.mixture.umass()) / self.mixture.cvmass()
            self.t += step
            if abs(step) < 1e-9 * self.t:
                break
        return self.mixture


class Water:
    """Liquid at one pressure, and what its vapour is: one spline of temperature."""

    DENSITY, ENERGY, VISCOSITY, SATURATED_VAPOUR, VAPOUR_ENTHALPY, THROAT_PRESSURE = range(6)

    def __init__(self, pressure):
        liquid, vapour = AbstractState("HEOS", "Water"), AbstractState("HEOS", "Water")
        temperatures = np.linspace(274.0, 330.0, 113)
        rows = []
        for t in temperatures:
            liquid.update(CoolProp.PT_INPUTS, pressure, t)
            vapour.update(CoolProp.QT_INPUTS, 1, t)
            saturated = vapour.rhomass()
            throat = vapour.p() * (0.96 - 0.28 * np.sqrt(vapour.p() / vapour.p_critical()))  # (4.8)
            vapour.update(CoolProp.DmassT_INPUTS, 1e-9, t)
            rows.append([liquid.rhomass(), liquid.umass(), liquid.viscosity(), saturated, vapour.hmass(), throat])
        self.at = CubicSpline(temperatures, rows)
        self.slope = self.at.derivative()


class Metal:
    """Heat capacity by its table, energy by the integral."""

    def __init__(self, points):
        t, c = np.array(points).T
        self.c = PchipInterpolator(t, c)
        self.u = self.c.antiderivative()


class Tank:
    """Upright cylinder with 2:1 elliptical ends: half-spheroids R, R, R/2 (5.1)."""

    def __init__(self, volume, diameter):
        r = diameter / 2
        b = r / 2
        self.volume = volume
        straight = (volume - 4 / 3 * np.pi * r * r * b) / (np.pi * r * r)
        k = np.sqrt((r * r - b * b)) / b**2

        def zone(z):  # wall between mid-plane of the spheroid and a height z above it
            return np.pi * r * (z * np.sqrt(1 + (k * z) ** 2) + np.arcsinh(k * z) / k)

        def cap(z):  # volume between the mid-plane and z
            return np.pi * r * r * (z - z**3 / (3 * b * b))

        height = 2 * b + straight
        h = height * 0.5 * (1 - np.cos(np.linspace(0, np.pi, 1501)))
        low, high = np.minimum(h - b, 0), np.maximum(h - b - straight, 0)
        middle = np.clip(h - b, 0, straight)
        v = cap(low) - cap(-b) + np.pi * r * r * middle + cap(high)
        wall = zone(low) - zone(-b) + 2 * np.pi * r * middle + zone(high)
        surface = np.pi * r * r * (1 - ((low + high) / b) ** 2)
        self.wall_area = wall[-1]
        self.at = CubicSpline(v[1:], np.array([h, wall, surface]).T[1:])
        self.slope = self.at.derivative()


def regular_root(dp):
    return dp / (dp * dp + SQRT_EPS_PA**2) ** 0.25


def gas_valve(kv, xt, k, density, p, p_back):
    """(2.2), either way is refused: gas runs forward here."""
    dp = p - p_back
    if dp <= 0:
        return 0.0
    choked = k / 1.4 * xt * p
    dp = min(dp, choked)
    return kv * AREA_PER_KV * (1 - dp / (3 * choked)) * np.sqrt(2 * density) * regular_root(dp)


def heat_capacity_ratio(state):
    cp = state.cp0mass()
    return cp / (cp - state.gas_constant() / state.molar_mass())


class Film:
    """(3.1), (3.2)."""

    def __init__(self, state, density, t, gravity):
        self.t, self.gravity = t, gravity
        mu, self.conductivity, cp = state.viscosity(), state.conductivity(), state.cpmass()
        self.prandtl = mu * cp / self.conductivity
        self.group = density**2 * state.isobaric_expansion_coefficient() * cp / (mu * self.conductivity)

    def rayleigh(self, surface_t, length):
        return self.group * self.gravity * np.hypot(self.t - surface_t, 0.1) * length**3

    def wall(self, surface_t, length):
        shape = (1 + (0.492 / self.prandtl) ** (9 / 16)) ** (8 / 27)
        nu = (0.825 + 0.387 * self.rayleigh(surface_t, length) ** (1 / 6) / shape) ** 2
        return nu * self.conductivity / length

    def level(self, surface_t, length):
        ra = self.rayleigh(surface_t, length)
        warm = 0.5 * (1 + np.tanh(self.t - surface_t))
        nu = 0.27 * ra**0.25 * warm + 0.15 * ra ** (1 / 3) * (1 - warm)
        return nu * self.conductivity / length


class Stand:
    def __init__(self, p):
        self.p = p
        around = p["surroundings"]
        self.ambient_p, self.ambient_t, self.g = (around[k] for k in ("pressure_pa", "temperature_k", "gravity_m_s2"))
        self.bottle, self.line = PureGas(p["bottle"]["volume_m3"]), PureGas(p["plenum"]["volume_m3"])
        self.ullage, self.nitrogen = Ullage(), AbstractState("HEOS", "Nitrogen")
        self.water = Water(p["tank"]["liquid_pressure_pa"])
        self.tank = Tank(p["tank"]["volume_m3"], p["tank"]["diameter_m"])
        self.bottle_metal = Metal(p["bottle"]["wall"]["heat_capacity_j_kg_k"])
        self.tank_metal = Metal(p["tank"]["wall"]["heat_capacity_j_kg_k"])
        self.trim = PchipInterpolator(*np.array(p["valve"]["characteristic"]).T)
        self.seated, self.shut, self.motion = True, True, None

    def start(self):
        b, line, t = self.p["bottle"], self.p["plenum"], self.p["tank"]
        y = np.zeros(14)
        y[BOTTLE_M], y[BOTTLE_U] = self.bottle.start(b["pressure_pa"], b["temperature_k"])
        y[BOTTLE_WALL] = b["wall"]["temperature_k"]
        y[LINE_M], y[LINE_U] = self.line.start(line["pressure_pa"], line["temperature_k"])
        y[LIQUID_T] = t["liquid_temperature_k"]
        y[LIQUID] = t["liquid_volume_m3"] * self.water.at(y[LIQUID_T])[Water.DENSITY]
        y[DRY_WALL] = t["wall"]["temperature_k"]
        ullage = self.tank.volume - t["liquid_volume_m3"]
        y[NITROGEN], y[VAPOUR], y[GAS_U] = self.ullage.start(
            t["pressure_pa"], t["temperature_k"], t["vapour_mole_fraction"], ullage)
        return y

    # Valve: a motion is (travel before, travel after, begins, lasts).

    def opening(self, t):
        before, after, begins, lasts = self.motion
        travel = before + (after - before) * np.clip((t - begins) / lasts, 0, 1)
        return float(self.trim(travel))

    def rates(self, t, y):
        return self.look(t, y)[0]

    def look(self, t, y):
        """Rates and what is seen on the way."""
        p, dy = self.p, np.zeros(14)

        # Potentials.
        bottle = self.bottle.update(y[BOTTLE_M], y[BOTTLE_U])
        line = self.line.update(y[LINE_M], y[LINE_U])
        water, water_slope = self.water.at(y[LIQUID_T]), self.water.slope(y[LIQUID_T])
        density, v = water[Water.DENSITY], 1 / water[Water.DENSITY]
        liquid = max(y[LIQUID], 0.1)  # a trial step may look below the tank's bottom
        liquid_volume = liquid * v
        level, wet_area, surface = self.tank.at(liquid_volume)
        ullage_volume = self.tank.volume - liquid_volume
        gas = self.ullage.update(y[NITROGEN : VAPOUR + 1], y[GAS_U], ullage_volume)
        gas_t, gas_p = self.ullage.t, gas.p()

        # Regulator (2.5) and check valve (2.6).
        reg, check = p["regulator"], p["check_valve"]
        lock_up = reg["lock_up_pa"] + reg["supply_effect"] * (reg["reference_supply_pa"] - bottle.p())
        demand = (lock_up - line.p()) / reg["droop_pa"]
        dy[REGULATOR] = (min(max(demand, 0), 1) - y[REGULATOR]) / reg["response_s"]
        difference = line.p() - gas_p
        wanted = (difference - check["reseat_pa"]) / (check["full_open_pa"] - check["reseat_pa"])
        wanted = 0 if self.seated else min(max(wanted, 0), 1)
        dy[CHECK] = (wanted - y[CHECK]) / check["response_s"]
        k = heat_capacity_ratio(bottle)
        supply = y[REGULATOR] * gas_valve(reg["kv_m3_h"], reg["xt"], k, bottle.rhomass(), bottle.p(), line.p())
        k = heat_capacity_ratio(line)
        feed = y[CHECK] * gas_valve(check["kv_m3_h"], check["xt"], k, line.rhomass(), line.p(), gas_p)

        # Bottle and plenum (1.2), bottle wall (3.3).
        wall = p["bottle"]["wall"]
        film = Film(bottle, bottle.rhomass(), bottle.T(), self.g)
        h = wall["inside_multiplier"] * film.wall(y[BOTTLE_WALL], wall["height_m"])
        heat = h * wall["area_m2"] * (y[BOTTLE_WALL] - bottle.T())
        lost = wall["outside_w_m2_k"] * wall["area_m2"] * (y[BOTTLE_WALL] - self.ambient_t)
        dy[BOTTLE_M], dy[BOTTLE_U] = -supply, heat - supply * bottle.hmass()
        dy[BOTTLE_WALL] = (-heat - lost) / (wall["mass_kg"] * self.bottle_metal.c(y[BOTTLE_WALL]))
        dy[LINE_M], dy[LINE_U] = supply - feed, supply * bottle.hmass() - feed * line.hmass()

        # Liquid column (4.1)-(4.3).
        flow = 0.0 if self.shut else y[FLOW]
        pipe = p["line"]
        area = np.pi / 4 * pipe["bore_m"] ** 2
        velocity = flow / (density * area)
        reynolds = abs(velocity) * pipe["bore_m"] * density / water[Water.VISCOSITY]
        loss = (friction(reynolds, pipe["roughness_m"] / pipe["bore_m"]) * pipe["length_m"] / pipe["bore_m"]
                + pipe["minor_loss"]) * density * velocity * abs(velocity) / 2
        if not self.shut:
            opening = max(self.opening(t), SHUT_FRACTION)
            through = [flow * abs(flow) / (2 * density * cda**2)
                       for cda in (opening * p["valve"]["kv_m3_h"] * AREA_PER_KV, p["orifice"]["area_m2"])]
            loss += sum(through)
            if flow > 0:  # choked in the valve (4.8)
                deeper = through[0] * (p["valve"]["recovery"] ** -2 - 1)
                loss += max(0.0, deeper + water[Water.THROAT_PRESSURE] - self.ambient_p - through[1])
            drive = gas_p + density * self.g * (level - pipe["rise_m"]) - self.ambient_p
            dy[FLOW] = (drive - loss) / (pipe["length_m"] / area)

        # Tank (5.3)-(5.5).
        wall = p["tank"]["wall"]
        nitrogen = self.nitrogen
        nitrogen.update(CoolProp.DmassT_INPUTS, gas.rhomass(), gas_t)
        film = Film(nitrogen, gas.rhomass(), gas_t, self.g)
        conductance = p["tank"]["interface_multiplier"] * surface * film.level(
            y[LIQUID_T], np.sqrt(4 * surface / np.pi))
        to_liquid = conductance * (gas_t - y[LIQUID_T])
        dry_area = self.tank.wall_area - wet_area
        h = wall["inside_multiplier"] * film.wall(y[DRY_WALL], wall["height_m"])
        to_wall = h * dry_area * (gas_t - y[DRY_WALL])
        k = heat_capacity_ratio(gas)
        evaporated = conductance * gas_t * (k - 1) / (k * gas_p) * (
            water[Water.SATURATED_VAPOUR] - y[VAPOUR] / ullage_volume)
        vapour_h = water[Water.VAPOUR_ENTHALPY]

        outside = wall["outside_w_m2_k"]
        per_area = wall["mass_kg"] / self.tank.wall_area
        v_slope = -water_slope[Water.DENSITY] * v * v
        # (5.3) with E_l = m u + M_wet u_w differentiated: what leaves cancels but for enthalpy.
        capacity = (liquid * (water_slope[Water.ENERGY] + gas_p * v_slope)
                    + wet_area * per_area * self.tank_metal.c(y[LIQUID_T]))
        heat = to_liquid - outside * wet_area * (y[LIQUID_T] - self.ambient_t)
        dy[LIQUID_T] = (heat - evaporated * (vapour_h - water[Water.ENERGY] - gas_p * v)) / capacity
        dy[LIQUID] = -flow - evaporated
        liquid_volume_rate = dy[LIQUID] * v + liquid * v_slope * dy[LIQUID_T]
        uncovered = -per_area * self.tank.slope(liquid_volume)[1] * liquid_volume_rate
        heat = to_wall - outside * dry_area * (y[DRY_WALL] - self.ambient_t)
        if uncovered > 0:
            heat += uncovered * (self.tank_metal.u(y[LIQUID_T]) - self.tank_metal.u(y[DRY_WALL]))
        dy[DRY_WALL] = heat / (dry_area * per_area * self.tank_metal.c(y[DRY_WALL]))
        dy[NITROGEN], dy[VAPOUR] = feed, evaporated
        dy[GAS_U] = (feed * line.hmass() + evaporated * vapour_h - to_wall - to_liquid
                     + gas_p * liquid_volume_rate)

        seen = {
            "supply.pressure_pa": bottle.p(), "supply.temperature_k": bottle.T(),
            "supply.gas_mass_kg": y[BOTTLE_M], "supply.wall_temperature_k": y[BOTTLE_WALL],
            "press_line.pressure_pa": line.p(), "press_line.temperature_k": line.T(),
            "press.mass_flow_kg_s": supply, "press.lift_1": y[REGULATOR],
            "fuel.pressure_pa": gas_p, "fuel.ullage_temperature_k": gas_t,
            "fuel.gas_mass_kg": y[NITROGEN] + y[VAPOUR], "fuel.vapour_mass_kg": y[VAPOUR],
            "fuel.liquid_mass_kg": y[LIQUID], "fuel.liquid_temperature_k": y[LIQUID_T],
            "fuel.wall_temperature_k": y[DRY_WALL], "fuel.level_m": level,
            "run.mass_flow_kg_s": flow,
        }
        return dy, {name: float(value) for name, value in seen.items()}, (difference, demand)


def friction(reynolds, roughness):
    """(4.2)."""
    if reynolds <= 2000:
        return 64 / max(reynolds, 1e-3)
    haaland = (-1.8 * np.log10((roughness / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2
    if reynolds >= 4000:
        return haaland
    s = reynolds / 2000 - 1
    s = s * s * (3 - 2 * s)
    return (1 - s) * 64 / reynolds + s * haaland


def event(function, direction=1):
    function.terminal, function.direction = True, direction
    return function


class Run:
    """Segments between commands and events."""

    def __init__(self, stand, method, rtol):
        self.stand, self.method, self.rtol = stand, method, rtol
        self.t, self.y = 0.0, stand.start()
        self.atol = rtol * np.maximum(np.abs(self.y), [0.01, 1e3, 1, 1e-4, 30, 1e-2, 1e-2, 1e-3, 1e-5, 100, 1, 0.1, 1, 0.1])
        self.figures, self.events, self.evaluations = {}, {}, 0
        self.times = list(TIMES_S)

    def go(self, until):
        """To a time or to the first of the events that switch; answers the event's name."""
        stand, check = self.stand, self.stand.p["check_valve"]
        close_at = stand.p["sequence"]["close_below_kg"]
        watched = {
            "check off its seat": event(lambda t, y: self.difference(t, y) - check["cracking_pa"]),
            "check seated": event(lambda t, y: min(SEAT - y[CHECK], check["reseat_pa"] - self.difference(t, y))),
            "close": event(lambda t, y: close_at - y[LIQUID]),
        }
        names = ["check off its seat" if stand.seated else "check seated"]
        if "commanded shut" not in self.events:
            names.append("close")

        def regulation(t, y):
            return stand.look(t, y)[2][1] - 1

        regulation.direction = 1
        while self.t < until:
            found = solve_ivp(stand.rates, (self.t, until), self.y, method=self.method, rtol=self.rtol,
                              atol=self.atol, dense_output=True, events=[*(watched[n] for n in names), regulation])
            if not found.success:
                raise RuntimeError(found.message)
            self.evaluations += found.nfev
            if len(found.t_events[-1]) and not stand.shut:
                self.events.setdefault("regulation lost", float(found.t_events[-1][0]))
            while self.times and self.times[0] <= found.t[-1]:
                at = self.times.pop(0)
                self.figures[at] = stand.look(at, found.sol(at))[1]
            self.t, self.y = found.t[-1], found.y[:, -1]
            for name, when in zip(names, found.t_events):
                if len(when):
                    return name
        return None

    def difference(self, t, y):
        # Cheaper than all of `look`: two pressures.
        line = self.stand.line.update(y[LINE_M], y[LINE_U])
        volume = self.stand.tank.volume - y[LIQUID] / self.stand.water.at(y[LIQUID_T])[Water.DENSITY]
        return line.p() - self.stand.ullage.update(y[NITROGEN : VAPOUR + 1], y[GAS_U], volume).p()

    def through(self, until):
        """To a time, switching on the way; stops at the close command."""
        while self.t < until:
            name = self.go(until)
            if name == "close":
                self.events["commanded shut"] = float(self.t)
                return
            if name:
                self.stand.seated = not self.stand.seated
                self.events.setdefault(name, float(self.t))

    def passing(self):
        """When the valve's opening passes the fraction that counts as shut."""
        _, _, begins, lasts = self.stand.motion
        return brentq(lambda t: self.stand.opening(t) - SHUT_FRACTION, begins, begins + lasts, xtol=1e-13)

    def carry(self):
        p = self.stand.p
        valve = p["valve"]
        self.through(p["sequence"]["open_at_s"])
        self.stand.motion = (0, 1, self.t + valve["delay_s"], valve["opening_s"])
        self.through(self.passing())
        self.stand.shut = False
        self.through(sum(self.stand.motion[2:]))
        self.through(p["run"]["until_s"])
        self.through(self.t + valve["delay_s"])
        self.stand.motion = (1, 0, self.t, valve["closing_s"])
        self.through(self.passing())
        self.stand.shut, self.y[FLOW] = True, 0.0
        self.through(p["run"]["until_s"])


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--parameters", default=HERE / "demonstration.json")
    parser.add_argument("--method", default="BDF", choices=["LSODA", "BDF", "Radau"])
    parser.add_argument("--rtol", type=float, default=1e-5)
    parser.add_argument("--repeat", type=int, default=1)
    options = parser.parse_args()
    parameters = json.loads(pathlib.Path(options.parameters).read_text())
    for _ in range(options.repeat):
        stand = Stand(parameters)  # tables are not counted: a user builds them once
        run = Run(stand, options.method, options.rtol)
        began = time.perf_counter()
        run.carry()
        print(f"wall_s {time.perf_counter() - began:.6f} evaluations {run.evaluations}", file=sys.stderr)
    columns = {name: [run.figures[t][name] for t in TIMES_S] for name in run.figures[TIMES_S[0]]}
    provenance = {
        "written_by": "regulated_run.py", "method": f"scipy.integrate.solve_ivp, {options.method}",
        "rtol": options.rtol, "python": platform.python_version(), "scipy": scipy.__version__,
        "numpy": np.__version__, "coolprop": CoolProp.__version__,
    }
    json.dump({"provenance": provenance, "parameters": parameters, "events_s": run.events,
               "times_s": TIMES_S, "columns": columns}, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
