"""Departure functions of binary mixtures, as the library of the PyPI package CoolProp lists them.

The first `Npower` terms (all, if it is not given) are n delta^d tau^t exp(-delta^l), without the exponential where
l = 0. The others are, in the form of GERG-2008 (Kunz, Wagner 2012), n delta^d tau^t exp(-eta (delta - epsilon)^2 -
beta (delta - gamma)), otherwise Gaussian in delta and tau.
"""

import math

PUBLISHED = {
    "GeneralizedAirWater": {
        "type": "Exponential",
        "Npower": 5,
        "n": [4.0142079, -1.1573939, -7.2102425, -5.3251223, -2.2155867],
        "d": [1, 1, 1, 2, 4],
        "t": [0.547, 0.055, 1.925, 0.552, 1.0],
        "l": [0, 1, 1, 1, 1],
    },
    "Helium-Argon": {
        "type": "Gaussian+Exponential",
        "Npower": 3,
        "n": [-2.643654, -0.347501, 0.201207, 1.171326, 0.216379, 0.56137, 0.18257, 0.017879],
        "d": [1, 2, 3, 1, 1, 2, 3, 4],
        "t": [1.03, 0.288, 0.572, 1.425, 1.987, 0.024, 1.434, 0.27],
        "l": [0, 0, 0, 0, 0, 0, 0, 0],
        "eta": [0.0, 0.0, 0.0, 0.371, 0.081, 0.375, 0.978, 0.971],
        "epsilon": [0.0, 0.0, 0.0, 0.378, 0.741, 0.322, 1.427, 2.088],
        "beta": [0.0, 0.0, 0.0, 0.32, 1.247, 1.152, 0.245, 1.03],
        "gamma": [0.0, 0.0, 0.0, 1.409, 1.709, 0.705, 1.162, 0.869],
    },
    "Nitrogen-CarbonDioxide": {
        "type": "GERG-2008",
        "Npower": 2,
        "n": [0.28661625028399, -0.10919833861247, -1.137403208227, 0.76580544237358, 0.0042638000926819, 0.17673538204534],
        "d": [2, 3, 1, 1, 1, 2],
        "t": [1.85, 1.4, 3.2, 2.5, 8.0, 3.75],
        "eta": [0.0, 0.0, 0.25, 0.25, 0.0, 0.0],
        "epsilon": [0.0, 0.0, 0.5, 0.5, 0.5, 0.5],
        "beta": [0.0, 0.0, 0.75, 1.0, 2.0, 3.0],
        "gamma": [0.0, 0.0, 0.5, 0.5, 0.5, 0.5],
    },
    "Methane-Nitrogen": {
        "type": "GERG-2008",
        "Npower": 2,
        "n": [-0.0098038985517335, 0.00042487270143005, -0.034800214576142, -0.13333813013896, -0.011993694974627, 0.069243379775168, -0.31022508148249, 0.24495491753226, 0.22369816716981],
        "d": [1, 4, 1, 2, 2, 2, 2, 2, 3],
        "t": [0.0, 1.85, 7.85, 5.4, 0.0, 0.75, 2.8, 4.45, 4.25],
        "eta": [0.0, 0.0, 1.0, 1.0, 0.25, 0.0, 0.0, 0.0, 0.0],
        "epsilon": [0.0, 0.0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
        "beta": [0.0, 0.0, 1.0, 1.0, 2.5, 3.0, 3.0, 3.0, 3.0],
        "gamma": [0.0, 0.0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
    },
    "Argon-CarbonDioxide": {
        "type": "GERG-2008",
        "Npower": 2,
        "n": [0.20483577, -0.11465124, -2.31517, 2.3523617, -0.66835959, -0.053016558],
        "d": [2, 3, 1, 1, 1, 2],
        "t": [2.194, 1.743, 2.47, 1.977, 1.207, 0.796],
        "eta": [0.0, 0.0, 0.25, 0.25, 0.0, 0.0],
        "epsilon": [0.0, 0.0, 0.5, 0.5, 0.5, 0.5],
        "beta": [0.0, 0.0, 0.75, 1.0, 1.05, 3.0],
        "gamma": [0.0, 0.0, 0.5, 0.5, 0.5, 0.5],
    },
    "CarbonDioxide-Water": {
        "type": "Exponential",
        "Npower": 8,
        "n": [0.39440467, -1.7634732, 0.14620755, 0.008752232, 2.0349398, -0.09035025, -0.21638854, 0.03961217],
        "d": [1, 1, 3, 0, 2, 3, 1, 5],
        "t": [0.88, 2.932, 2.433, 1.33, 4.416, 5.514, 5.203, 1.0],
        "l": [0, 0, 0, 1, 1, 1, 2, 2],
    },
    "Methane-CarbonDioxide": {
        "type": "GERG-2008",
        "Npower": 3,
        "n": [-0.10859387354942, 0.080228576727389, -0.0093303985115717, 0.040989274005848, -0.24338019772494, 0.23855347281124],
        "d": [1, 2, 3, 1, 2, 3],
        "t": [2.6, 1.95, 0.0, 3.95, 7.95, 8.0],
        "eta": [0.0, 0.0, 0.0, 1.0, 0.5, 0.0],
        "epsilon": [0.0, 0.0, 0.0, 0.5, 0.5, 0.5],
        "beta": [0.0, 0.0, 0.0, 1.0, 2.0, 3.0],
        "gamma": [0.0, 0.0, 0.0, 0.5, 0.5, 0.5],
    },
    "Methane-Hydrogen": {
        "type": "GERG-2008",
        "Npower": 4,
        "n": [-0.25157134971934, -0.0062203841111983, 0.088850315184396, -0.035592212573239],
        "d": [1, 3, 3, 4],
        "t": [2.0, -1.0, 1.75, 1.4],
        "eta": [0.0, 0.0, 0.0, 0.0],
        "epsilon": [0.0, 0.0, 0.0, 0.0],
        "beta": [0.0, 0.0, 0.0, 0.0],
        "gamma": [0.0, 0.0, 0.0, 0.0],
    },
    "Methane-Propane": {
        "type": "GERG-2008",
        "Npower": 5,
        "n": [0.013746429958576, -0.0074425012129552, -0.0045516600213685, -0.0054546603350237, 0.0023682016824471, 0.18007763721438, -0.44773942932486, 0.0193273748882, -0.30632197804624],
        "d": [3, 3, 4, 4, 4, 1, 1, 1, 2],
        "t": [1.85, 3.95, 0.0, 1.85, 3.85, 5.25, 3.85, 0.2, 6.5],
        "eta": [0.0, 0.0, 0.0, 0.0, 0.0, 0.25, 0.25, 0.0, 0.0],
        "epsilon": [0.0, 0.0, 0.0, 0.0, 0.0, 0.5, 0.5, 0.5, 0.5],
        "beta": [0.0, 0.0, 0.0, 0.0, 0.0, 0.75, 1.0, 2.0, 3.0],
        "gamma": [0.0, 0.0, 0.0, 0.0, 0.0, 0.5, 0.5, 0.5, 0.5],
    },
}


def rows(name):
    """As in the fluid files: power [n, d, t, l], gaussian [n, d, t, eta, epsilon, beta, gamma], exponential
    [n, d, t, gd, ld, gt, lt].

    Completing the square turns GERG's exponent -eta (delta - epsilon)^2 - beta (delta - gamma) into a Gaussian of
    delta alone; where eta is zero it is an exponential of delta.
    """
    term = PUBLISHED[name]
    out = {"power": [], "gaussian": [], "exponential": []}
    count = len(term["n"])
    power = count if term["type"] == "Exponential" else term["Npower"]
    columns = [term.get(key, [0] * count) for key in ("n", "d", "t", "l", "eta", "epsilon", "beta", "gamma")]
    for i, (n, d, t, l, eta, epsilon, beta, gamma) in enumerate(zip(*columns)):
        if i < power:
            out["power"].append([n, d, t, l])
        elif term["type"] != "GERG-2008":
            out["gaussian"].append([n, d, t, eta, epsilon, beta, gamma])
        elif eta == 0:
            out["exponential"].append([n * math.exp(beta * gamma), d, t, beta, 1, 0, 0])
        else:
            centre = epsilon - beta / (2 * eta)
            scale = math.exp(eta * (centre**2 - epsilon**2) + beta * gamma)
            out["gaussian"].append([n * scale, d, t, eta, centre, 0, 0])
    return {kind: terms for kind, terms in out.items() if terms}
