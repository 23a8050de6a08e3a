#!/usr/bin/env python3
"""Minimise the cost of package identify with a general-purpose library.

Makes noisy curves of invented loudspeakers, minimises the same sum of squares
with scipy.optimize.least_squares from scattered starts, and writes curves and
minima to least_squares.json, which the test TestLeastSquares reads. The model
is written from the papers that the package comment cites. Run by hand:

    python3 least_squares.py        (Debian: python3-scipy)
"""

import json
import pathlib

import numpy as np
import scipy
from scipy.optimize import least_squares

SIGMA_MAGNITUDE, SIGMA_PHASE = 0.01, np.pi / 180


def section(s, hz, q, r, creep=0.0):
    u = s / (2 * np.pi * hz)
    return r / (1 + q * u + q / (u * (1 - creep * np.log10(u))))


def parallel(*z):
    return 1 / sum(1 / v for v in z)


COILS = {
    "none": lambda s: 0,
    "inductance": lambda s, le: s * le,
    "ladder": lambda s, l1, *rungs: s * l1 + sum(parallel(s * l, r) for l, r in zip(rungs[::2], rungs[1::2])),
    "power_law": lambda s, k, n: k * s**n,
    "split_power_law": lambda s, kr, xr, ki, xi: kr * abs(s) ** xr + 1j * ki * abs(s) ** xi,
    "semi_inductance": lambda s, leb, le, ke, rss: s * leb + parallel(s * le, ke * np.sqrt(s), rss),
}

# label of the coil, its values, resonances, creep or None, bumps
CASES = {
    "no inductance": ("none", [], [(78, 8.2, 58)], None, []),
    "inductance": ("inductance", [0.6e-3], [(78, 8.2, 58)], 0.09, []),
    "ladder": ("ladder", [0.25e-3, 0.9e-3, 7.5], [(78, 8.2, 58)], None, []),
    "ladder of two": ("ladder", [0.15e-3, 0.9e-3, 4, 0.4e-3, 18], [(78, 8.2, 58)], None, []),
    "power law": ("power_law", [0.03, 0.66], [(78, 8.2, 58)], None, []),
    "split power law": ("split_power_law", [0.004, 0.8, 0.02, 0.68], [(78, 8.2, 58)], None, []),
    "semi-inductance": ("semi_inductance", [0.06e-3, 1.2e-3, 0.08, 60], [(78, 8.2, 58)], 0.09, []),
    "three drivers": ("power_law", [0.03, 0.66], [(55, 6, 21), (98, 5, 26), (210, 4, 18)], None, []),
    "richest": ("semi_inductance", [0.06e-3, 1.2e-3, 0.08, 60], [(27, 6, 31), (81, 7.5, 46)], 0.08, [(1900, 5, 1.1)]),
}


def pack(coil, resonances, creep, bumps, re=6.5):
    """All values as one vector; every one is positive and fitted as its logarithm."""
    creep = [] if creep is None else [creep]
    return np.array([re, *coil, *np.ravel(resonances), *creep, *np.ravel(bumps)], dtype=float)


def impedance(case, v, s):
    label, coil, resonances, creep, bumps = case
    v = list(v)
    take = lambda n: [v.pop(0) for _ in range(n)]
    z = take(1)[0] + COILS[label](s, *take(len(coil)))
    main = [take(3) for _ in resonances]
    creep = 0.0 if creep is None else take(1)[0]
    return z + sum(section(s, *r, creep) for r in main) + sum(section(s, *take(3)) for _ in bumps)


def minimum(case, hz, z, rng):
    s = 2j * np.pi * hz
    def residuals(x):
        d = np.log(impedance(case, np.exp(x), s) / z)
        return np.concatenate([d.real / SIGMA_MAGNITUDE, d.imag / SIGMA_PHASE])
    truth = np.log(pack(*case[1:]))
    best = None
    for start in range(6):
        x0 = truth + rng.normal(scale=0.05 * start, size=truth.size)
        try:
            fit = least_squares(residuals, x0, jac="3-point", x_scale="jac", ftol=1e-15, xtol=1e-15, gtol=1e-15, max_nfev=2000)
        except ValueError:  # a scattered start that overflows
            continue
        if best is None or fit.cost < best.cost:
            best = fit
    return 2 * best.cost, np.exp(best.x)  # scipy's cost is half the sum


def main():
    rng = np.random.default_rng(4)
    hz = np.round(np.geomspace(10, 20000, 160), 4)
    out = {"made_by": f"least_squares.py, scipy {scipy.__version__}, numpy {np.__version__}", "cases": []}
    for name, case in CASES.items():
        z = impedance(case, pack(*case[1:]), 2j * np.pi * hz)
        z = z * (1 + SIGMA_MAGNITUDE * rng.normal(size=hz.size)) * np.exp(1j * SIGMA_PHASE * rng.normal(size=hz.size))
        z = np.round(z, 6)
        cost, values = minimum(case, hz, z, rng)
        print(f"{name:18s} cost {cost:.9f}  values {np.array2string(values, precision=6, max_line_width=200)}")
        out["cases"].append({
            "name": name, "voice_coil": case[0], "rungs": len(case[1]) // 2 if case[0] == "ladder" else 0,
            "resonances": len(case[2]), "creep": case[3] is not None, "bumps": len(case[4]),
            "cost": cost, "re": values[0],
            "hz": hz.tolist(), "resistance": z.real.tolist(), "reactance": z.imag.tolist(),
        })
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(out).replace('{"name"', '\n{"name"') + "\n")


if __name__ == "__main__":
    main()
