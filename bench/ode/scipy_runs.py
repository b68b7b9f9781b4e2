"""Times SciPy's integrators on the reference cures, for compare.sh."""
import json
import statistics
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

GAS = 8.314462618


def main(parameters, reference):
    p, ref = json.load(open(parameters)), json.load(open(reference))["results"]
    q = p["kinetics"]
    a1, e1, a2, e2, m, n = (q[k] for k in ("A1_per_s", "E1_J_per_mol", "A2_per_s", "E2_J_per_mol", "m", "n"))
    rise = q["H_J_per_kg"] / q["cp_J_per_kgK"]
    for method in ("RK45", "LSODA", "Radau"):
        for tol in (1e-6, 1e-9):
            for c, r in zip(p["cases"], ref):
                loss = c["h_W_per_m2K"] * c["S_over_V_per_m"] / (q["rho_kg_per_m3"] * q["cp_J_per_kgK"])
                ta = c["Ta_K"]

                def f(t, y):
                    a = min(max(y[0], 0.0), 1.0)
                    rt = GAS * y[1]
                    rate = (a1 * np.exp(-e1 / rt) + a2 * np.exp(-e2 / rt) * a**m) * (1 - a) ** n
                    return [rate, rise * rate - loss * (y[1] - ta)]

                gel = lambda t, y: y[0] - p["alpha_gel"]
                peak = lambda t, y: f(t, y)[1]
                gel.direction, peak.direction = 1, -1
                times = []
                for _ in range(5):
                    start = time.perf_counter()
                    s = solve_ivp(f, (0, c["t_end_s"]), [0.0, c["T0_K"]], method=method, rtol=tol, atol=[tol * 1e-3, tol], events=[gel, peak])
                    times.append(1e6 * (time.perf_counter() - start))
                hot, at = max((y[1], t) for t, y in zip(s.t_events[1], s.y_events[1]))
                worst = max(abs(s.t_events[0][0] / r["t_gel_s"] - 1), abs(hot / r["T_peak_K"] - 1), abs(at / r["t_peak_s"] - 1))
                print(f"scipy-{method} {tol:g} {c['name']} {statistics.median(times):.1f} {worst:.1e}", flush=True)


main(*sys.argv[1:])
