#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""CPU seconds of one cycle in SciPy: VODE, BDF, banded, of the independent solution's own equations
(validation/independent/cycle.py, 60 cells, 4 shells), as rows of CSV like those of bench.c.

    scipy_cycle.py RUNS TOLERANCE..

Service runs to 131 bed volumes, near its end point, so that every tolerance integrates the same.
Errors are those of the hardness left behind and of the mean leakage against a tolerance of 1e-8.
"""
import os
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "independent"))
import numpy as np  # noqa: E402
import cycle  # noqa: E402

DOSE_LB, SERVICE_BV = 10.0, 131.0


def flows():
    table = cycle.exchange_table()
    w = cycle.BRINE_MASS_FRACTION
    rho = cycle.brine_density(w, cycle.TEMPERATURE_C)
    soft = cycle.FEED[0]
    make_up = rho * (1 - w) / cycle.water_density(cycle.TEMPERATURE_C)
    brine = [1000 * rho * w / cycle.NACL_G_PER_EQ + soft * make_up, 0, 0]
    brine_bv = DOSE_LB * cycle.LB_PER_FT3 / (rho * w)
    return [(cycle.Flow(table, cycle.SERVICE_BV_PER_H, cycle.FEED), SERVICE_BV),
            (cycle.Flow(table, cycle.BRINE_BV_PER_H, brine, w), brine_bv),
            (cycle.Flow(table, cycle.SLOW_BV_PER_H, cycle.FEED), cycle.RINSE_BV),
            (cycle.Flow(table, cycle.FAST_BV_PER_H, cycle.FEED), cycle.RINSE_BV)]


def one_cycle(state):
    """Seconds, hardness taken up in service and mean leakage, and the state at the end."""
    begin = time.process_time()
    uptake = leaked = None
    for flow, bed_volumes in STEPS:
        state = cycle.run_fixed(cycle.Vode, flow, state, bed_volumes)
        if uptake is None:
            leaked = state[-2:].sum() / (SERVICE_BV * cycle.DEPTH_M)
            uptake = SERVICE_BV * cycle.FEED[1:].sum() - state[-2:].sum() / cycle.DEPTH_M
    return time.process_time() - begin, uptake, leaked, state


def set_tolerance(relative, hardness):
    cycle.RTOL, cycle.ATOL_PORE, cycle.ATOL_SHELL = relative, hardness, 0.1 * hardness


STEPS = flows()


def main():
    runs, tolerances = int(sys.argv[1]), sys.argv[2:]
    state = np.zeros(cycle.SIZE)
    state[:3] = cycle.FEED
    cell = state[3:-3].reshape(cycle.CELLS, cycle.NV)
    cell[:, :3] = cycle.FEED * [1, 1e-3, 1e-3]
    cell[:, 3:] = np.repeat([0.2, 0.1], cycle.SHELLS) * np.linspace(0.3, 1.7,
                                                                    cycle.CELLS)[:, None]
    set_tolerance(1e-5, 1e-6)
    _, _, _, state = one_cycle(state)
    set_tolerance(1e-8, 1e-9)
    _, uptake, leaked, _ = one_cycle(state)
    for tolerance in tolerances:
        set_tolerance(float(tolerance), 1e-5)
        found = [one_cycle(state) for _ in range(runs)]
        seconds = sorted(f[0] for f in found)[runs // 2]
        print("precision,SciPy,installed,%d,%d,2,%s,%.3e,%.3e,,%.6f,"
              % (cycle.CELLS, cycle.SHELLS, tolerance, abs(found[0][1] / uptake - 1),
                 abs(found[0][2] / leaked - 1), seconds), flush=True)


main()
