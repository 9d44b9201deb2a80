#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The cycle of cycle.py with beads of several sizes in one pore water.

Each cell holds K classes of beads, each with its own film, radius and shells, and all of them exchange
with the same pore water:

    eps dc/dt = ... - sum_k (1 - eps) v_k (6/d_k) k_f,k (c - c*_k)

v_k is the class's share of the bead volume, d_k its diameter, k_f,k Wilson & Geankoplis on d_k. Axial
dispersion stays on the surface mean. Sizes are lognormal by volume, cut in two ways, both with the
0.6 mm of cycle.py as the surface mean of all:

    parts   of equal volume, each at its own surface mean
            sigma = ln(UC)/(z60 - z10) = ln(UC)/1.5349,   1/d_k = (K/d32) [Phi(b_k + s) - Phi(a_k + s)]
    nodes   of Gauss-Hermite, as the program has them: the same beads in both

UC is the uniformity coefficient d60/d10 by volume; a_k, b_k are the class's quantiles as standard
normal deviates. Run by hand (Python 3, NumPy, SciPy; some 40 minutes): python3 bead_classes.py
writes bead_classes.csv beside this file.
"""
import math
import os
import sys

import numpy as np
import scipy
from scipy.special import ndtr, ndtri

import cycle

SPAN = ndtri(0.6) - ndtri(0.1)
CASES = ((1.0, 1, "parts"), (1.6, 3, "parts"), (1.6, 5, "parts"), (1.9, 5, "parts"),
         (1.6, 3, "nodes"))  # uniformity coefficient, classes, cut
DOSES = (6.0, 10.0, 15.0)
cycle.RTOL = 1e-5


def nodes(uniformity, classes):
    """Diameters and shares of the volume."""
    x, w = np.polynomial.hermite_e.hermegauss(classes)
    d = np.exp(math.log(uniformity) / SPAN * x)
    w = w / w.sum()
    return cycle.BEAD_M * d * (w / d).sum(), w


def parts(uniformity, classes):
    """Diameters and shares of the volume."""
    sigma = math.log(uniformity) / SPAN
    edge = ndtri(np.arange(classes + 1) / classes)
    # Deviates of the volume median's lognormal; weighting by 1/d moves them by +sigma.
    share = np.diff(ndtr(edge + sigma))
    return cycle.BEAD_M / (classes * share), np.full(classes, 1 / classes)


class Flow(cycle.Flow):
    """Right-hand side with K classes."""
    bead_m = share = None

    def __init__(self, table, bv_per_h, feed, salt_mass_fraction=0.0):
        super().__init__(table, bv_per_h, feed, salt_mass_fraction)
        d = type(self).bead_m
        self.k = len(d)
        self.radius = d / 2
        # k_f goes as d to the power of -2/3.
        self.films = self.film[None, :] * (cycle.BEAD_M / d[:, None]) ** (2 / 3)
        self.step = cycle.STEP[None, :] * (d / cycle.BEAD_M)[:, None]
        self.inner = cycle.AREA_OVER_VOLUME[None, :] * (cycle.BEAD_M / d)[:, None]
        self.surface = cycle.SURFACE_OVER_VOLUME * cycle.BEAD_M / d

    def rate(self, _t, state):
        cells, shells, eps = cycle.CELLS, cycle.SHELLS, cycle.EPS
        out = np.empty_like(state)
        top = state[:3] if self.inlet is None else self.inlet
        cell = state[3:-3].reshape(cells, cycle.NV)
        slope = out[3:-3].reshape(cells, cycle.NV)
        out[:3] = (self.u * (self.feed - state[:3]) / cycle.FREEBOARD_M
                   if self.inlet is None else 0)

        water = cell[:, :3]
        step = np.diff(np.vstack((top, water, water[-1:])), axis=0)
        behind, ahead = step[:-1], step[1:]
        product = behind * ahead
        total = behind + ahead
        half = np.where(product > 0, product / np.where(total == 0, 1, total), 0)
        flux = np.empty((cells + 1, 3))
        flux[0] = self.u * top
        flux[1:] = self.u * (water + half)
        flux[1:-1] -= eps * self.dispersion * (water[1:] - water[:-1]) / cycle.DZ
        slope[:, :3] = (flux[:-1] - flux[1:]) / (cycle.DZ * eps)
        out[-3:] = flux[-1]

        normality = water[:, 0] / 1000
        y = cell[:, 3:].reshape(cells, self.k, 2, shells)
        outer = y[:, :, :, -1]
        a = 2 * normality[:, None] * self.table(np.sqrt(np.abs(normality))) / cycle.K_MOL_PER_KG
        a = a[:, None, :]
        b = 1 - outer.sum(axis=2)
        r = 2 / (b + np.sqrt(b * b + 4 * (a * outer).sum(axis=2)))
        at_surface = a * outer * (r * r)[:, :, None] * water[:, None, :1]
        uptake = self.films * (water[:, None, 1:] - at_surface)
        area = 3 * (1 - eps) * type(self).share / self.radius
        slope[:, 1:3] -= (area[:, None] * uptake).sum(axis=1) / eps

        full = np.concatenate((y, 1 - y.sum(axis=2, keepdims=True)), axis=2)
        gradient = cycle.D_BEAD[:, None] * np.diff(full, axis=3) / self.step[:, None, :]
        mean = (full[..., 1:] + full[..., :-1]) / 2
        mobility = (cycle.CHARGE * cycle.D_BEAD)[:, None] * np.maximum(mean, 0)
        psi = -gradient.sum(axis=2) / mobility.sum(axis=2)
        passing = -(gradient[:, :, :2] + mobility[:, :, :2] * psi[:, :, None, :])
        passing = passing * self.inner[:, None, :]
        dy = np.zeros_like(y)
        dy[..., :-1] -= passing
        dy[..., 1:] += passing
        dy[..., -1] += self.surface[:, None] * uptake / cycle.Q_BEAD
        slope[:, 3:] = dy.reshape(cells, -1)
        return out


def holdings(state):
    cell = state[3:-3].reshape(cycle.CELLS, cycle.NV)
    y = cell[:, 3:].reshape(cycle.CELLS, -1, 2, cycle.SHELLS)
    return (state[1:3] * cycle.FREEBOARD_M + cycle.EPS * cycle.DZ * cell[:, 1:3].sum(axis=0)
            + cycle.Q * cycle.DZ * (Flow.share[:, None] * y.mean(axis=3)).sum(axis=(0, 1)))


def main():
    plain = cycle.Flow
    table = cycle.exchange_table()
    cycle.holdings = holdings
    lines = ["# SPDX-License-Identifier: GPL-3.0-or-later",
             "# Beads of several sizes in one pore water, by bead_classes.py; conditions of "
             "bulletin_60x4.yaml.",
             "# cells: %d, shells: %d, rtol %g; Python %s, NumPy %s, SciPy %s"
             % (cycle.CELLS, cycle.SHELLS, cycle.RTOL, sys.version.split()[0], np.__version__,
                scipy.__version__),
             "uniformity_coefficient,classes,cut,dose_lb_per_ft3,capacity_eq_per_m3,"
             "leakage_mean_mg_per_L_CaCO3,diameters_mm"]
    for uniformity, classes, cut in CASES:
        d, Flow.share = {"parts": parts, "nodes": nodes}[cut](uniformity, classes)
        Flow.bead_m = d
        cycle.Flow = Flow
        cycle.NV = 3 + 2 * cycle.SHELLS * classes
        cycle.SIZE = 3 + cycle.CELLS * cycle.NV + 3
        for dose in DOSES:
            start = np.zeros(cycle.SIZE)
            start[:3] = cycle.FEED
            cell = start[3:-3].reshape(cycle.CELLS, cycle.NV)
            cell[:, :3] = cycle.FEED * [1, 1e-3, 1e-3]
            profile = np.linspace(0.3, 1.7, cycle.CELLS)[:, None]
            cell[:, 3:] = np.tile(np.repeat([0.2, 0.1], cycle.SHELLS), classes) * profile
            r = cycle.steady_cycle(table, dose, start=start)
            lines.append("%g,%d,%s,%g,%.3f,%.5f,%s" % (
                uniformity, classes, cut, dose, r["capacity"],
                r["leakage"] * cycle.MG_CACO3_PER_MEQ, " ".join("%.4f" % (1e3 * v) for v in d)))
            print(lines[-1], flush=True)
    cycle.Flow = plain
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), "bead_classes.csv")
    with open(path, "w", encoding="ascii") as stream:
        stream.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
