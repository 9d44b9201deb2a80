#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A softening cycle solved a second time, from the equations alone, with SciPy.

Nothing of the C program is used, called or translated here. Run by hand (Python 3, NumPy, SciPy):

    python3 cycle.py                 writes bulletin_500.csv beside this file (half a minute)
    python3 cycle.py --check         the same, and repeats each service with solve_ivp
    python3 cycle.py --equilibrium   prints the activity table only

With SHELLS = 16 below (10 lb/ft3, RTOL 1e-5): 1300.78 eq/m3, mean leakage 2.1300 mg/L as CaCO3.

Equations (eq = equivalents, y = equivalent fraction in the bead, z = charge)
---------------------------------------------------------------------------
Bed, along the depth, for the normality C (no exchange) and for c of Ca and of Mg:

    eps dc/dt = -u dc/dz + eps D_L d2c/dz2 - (1 - eps)(3/R) J
    inlet (Danckwerts)   u c - eps D_L dc/dz = u c_in        outlet   dc/dz = 0

Above the bed half a bed volume of water. What is heavier falls into it and stirs it; what is
lighter lies on it and pushes it out:

    brine                      h dc_in/dt = u (c_feed - c_in)
    rinses after the brine     c_in = what stands there for h/u, then c_feed

Service follows on feed water: both laws are the same there.

Film, per bead area:  J = k_f (c - c*),   Sh = k_f d/D = (1.09/eps) (Re Sc)^(1/3), Re = rho u d/mu
on the superficial velocity (Wilson & Geankoplis 1966). D_L = u d/(0.2 + 0.011 Re^0.48) (Chung &
Wen 1968).

Surface of the bead, c* in equilibrium with the outermost shell (Gaines & Thomas, activities):

    y_i a_Na^2/(y_Na^2 a_i) = K_i      =>      x_i = a_i y_i r^2,   x_Na = y_Na r
    a_i = 2 C R_i/(K_i w),   (sum a_i y_i) r^2 + y_Na r = 1,   c*_i = x_i C

with C in eq/L, w in kg of water per litre of solution and R_i = gamma_Na^2/gamma_i of trace i in
NaCl of normality C, by Pitzer's equations with the unsymmetrical mixing term by quadrature.

Bead, M shells of equal volume, flux through the face between two shells (Nernst & Planck, no net
current, no co-ion), Q_b = Q/(1 - eps) the capacity of the bead itself:

    N_i = -Q_b D_i (dy_i/dr + z_i y_i psi),   psi = -(sum_k D_k dy_k/dr)/(sum_k z_k D_k y_k)

The gradient runs between nodes: of the outermost shell on the surface, of an inner shell at the
middle of its radii, of the core at 0.75 of its radius. y at a face is the mean of its two shells,
and no mobility is negative.

Space: finite volumes, upwind with van Leer's limiter. What the equations leave open is chosen as:
the first cell sees the inlet concentration as its upwind neighbour, the last cell leaves with its
own mean. Time: VODE's BDF with a banded matrix, cells major; --check: SciPy's own BDF with the
sparsity of the matrix.

Sources of the constants: resin as in the case (K 18 and 11.6 mol/kg; bead diffusivities and
activation energies); ions in water USGS TM 6-A43; Pitzer parameters Harvie, Moller & Weare 1984
(USGS TM 6-A43); brine Laliberte 2009; dielectric constant Malmberg & Maryott 1956 (J. Res. NBS 56,
1; coefficients from memory), used only for the ratio A_phi(T)/A_phi(25 C).
"""
import argparse
import math
import os
import sys
import time

import numpy as np
import scipy
from scipy.integrate import ode, quad, solve_ivp
from scipy.interpolate import CubicSpline, PchipInterpolator
from scipy.optimize import brentq
from scipy.sparse import lil_matrix

# The case, bulletin_60x4.yaml ------------------------------------------------------------------
CELLS = 60
SHELLS = 4
TEMPERATURE_C = 20.0
DEPTH_M = 0.76
FREEBOARD_M = 0.5 * DEPTH_M
MG_CACO3_PER_MEQ = 100.087 / 2.0
FEED_HARDNESS = 500.0 / MG_CACO3_PER_MEQ
FEED_NA = 2.0
FEED = np.array([FEED_HARDNESS + FEED_NA, FEED_HARDNESS * 2 / 3, FEED_HARDNESS / 3])  # C, Ca, Mg
END_POINT = 17.1 / MG_CACO3_PER_MEQ
LB_PER_FT3 = 0.45359237 / 0.3048 ** 3
DOSES_LB_PER_FT3 = (5.0, 10.0)
BRINE_MASS_FRACTION = 0.10
NACL_G_PER_EQ = 58.44
SERVICE_BV_PER_H, BRINE_BV_PER_H, SLOW_BV_PER_H, FAST_BV_PER_H = 20.0, 4.0, 4.0, 12.0
RINSE_BV = 2.0

# The resin and the ions; order Ca, Mg, Na ------------------------------------------------------
Q = 2000.0  # eq per m3 of bed
EPS = 0.38
BEAD_M = 0.6e-3
RADIUS_M = BEAD_M / 2
K_MOL_PER_KG = np.array([18.0, 11.6])
CHARGE = np.array([2.0, 2.0, 1.0])
D_BEAD_25 = np.array([1.0e-11, 1.0e-11, 9.4e-11])
E_BEAD = np.array([30e3, 30e3, 25e3])
D_WATER_25 = np.array([0.793e-9, 0.705e-9])
GAS_CONSTANT = 8.314462618
KELVIN = TEMPERATURE_C + 273.15
D_BEAD = D_BEAD_25 * np.exp(-E_BEAD / GAS_CONSTANT * (1 / KELVIN - 1 / 298.15))

RTOL = 1e-6
ATOL_PORE, ATOL_SHELL, ATOL_OUT = 1e-7, 1e-8, 1e-4


# Water and brine -------------------------------------------------------------------------------
def water_density(t):
    """kg/m3 at t in C (Kell)."""
    top = ((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 0.0079870401) * t
           + 16.945176) * t + 999.83952
    return top / (1 + 0.01687985 * t)


def water_viscosity(t):
    """Pa s (Laliberte)."""
    return 1e-3 * (t + 246) / ((0.05594 * t + 5.2842) * t + 137.37)


def brine_density(w, t):
    c0, c1, c2, c3, c4 = (-0.00324112223655149, 0.0636354335906616, 1.01371399467365,
                          0.0145951015210159, 3317.34854426537)
    rho_salt = (c0 * w + c1) * math.exp(1e-6 * (t + c4) ** 2) / (w + c2 + c3 * t)
    return 1 / ((1 - w) / water_density(t) + w / rho_salt)


def brine_viscosity(w, t):
    v1, v2, v3, v4, v5, v6 = (16.221788633396, 1.32293086770011, 1.48485985010431,
                              0.00746912559657377, 30.7802007540575, 2.05826852322558)
    mu_salt = math.exp((v1 * w ** v2 + v3) / (v4 * t + 1)) / (v5 * w ** v6 + 1)
    return 1e-3 * (1e3 * water_viscosity(t)) ** (1 - w) * mu_salt ** w


def mass_fraction_of(normality):
    """NaCl mass fraction of a brine of so many eq/L."""
    if normality <= 0:
        return 0.0
    return brentq(lambda w: brine_density(w, TEMPERATURE_C) * w / NACL_G_PER_EQ - normality,
                  0.0, 0.27, xtol=1e-15)


# Activity (Pitzer) -----------------------------------------------------------------------------
def a_phi(t):
    """Debye-Hueckel slope: 0.3915 at 25 C, elsewhere with sqrt(rho)/(eps_r T)^1.5."""
    def shape(tc):
        eps_r = 87.740 - 0.40008 * tc + 9.398e-4 * tc ** 2 - 1.410e-6 * tc ** 3
        return math.sqrt(water_density(tc)) / (eps_r * (tc + 273.15)) ** 1.5
    return 0.3915 * shape(t) / shape(25.0)


def pitzer_j(x):
    """J(x) = x/4 - 1 + (1/x) int_0^inf (1 - exp(-(x/y) e^-y)) y^2 dy."""
    value = quad(lambda y: -math.expm1(-(x / y) * math.exp(-y)) * y * y, 0, 60, epsabs=1e-13,
                 epsrel=1e-12, limit=400)[0]
    return x / 4 - 1 + value / x


def e_theta(z1, z2, strength, a):
    """Unsymmetrical mixing of two ions of one sign."""
    def x(zi, zj):
        return 6 * zi * zj * a * math.sqrt(strength)
    j = pitzer_j(x(z1, z2)) - pitzer_j(x(z1, z1)) / 2 - pitzer_j(x(z2, z2)) / 2
    return z1 * z2 / (4 * strength) * j


# beta0, beta1, C_phi with Cl; theta with Na, psi with Na and Cl
PITZER_NA = (0.0765, 0.2664, 0.00127)
PITZER_M = {"Ca": (0.3159, 1.614, -0.00034, 0.07, -0.007),
            "Mg": (0.35235, 1.6815, 0.00519, 0.07, -0.012)}


def activity_ratio(ion, m, t):
    """gamma_Na^2/gamma_ion of a trace of the divalent ion in NaCl of molality m."""
    a, b, alpha = a_phi(t), 1.2, 2.0
    root = math.sqrt(m)
    arg = alpha * root
    g = 2 * (1 - (1 + arg) * math.exp(-arg)) / arg ** 2
    g_slope = -2 * (1 - (1 + arg + arg ** 2 / 2) * math.exp(-arg)) / arg ** 2
    b0, b1, c_phi = PITZER_NA
    m0, m1, m_phi, theta, psi = PITZER_M[ion]
    c_na, c_m = c_phi / 2, m_phi / (2 * math.sqrt(2))
    f = -a * (root / (1 + b * root) + 2 / b * math.log(1 + b * root)) + m * m * b1 * g_slope / m
    z_sum = 2 * m
    ln_na = f + m * (2 * (b0 + b1 * g) + z_sum * c_na) + m * m * c_na
    phi = theta + e_theta(1, 2, m, a)
    ln_m = (4 * f + m * (2 * (m0 + m1 * g) + z_sum * c_m) + m * (2 * phi + m * psi)
            + 2 * m * m * c_na)
    return math.exp(2 * ln_na - ln_m)


def exchange_table():
    """Spline of R_i/w against sqrt(C), C in eq/L."""
    roots = np.linspace(0.03, 1.5, 160)
    rows = []
    for s in roots:
        w = mass_fraction_of(s * s)
        water = brine_density(w, TEMPERATURE_C) * (1 - w) / 1000
        m = s * s / water
        rows.append([activity_ratio("Ca", m, TEMPERATURE_C) / water,
                     activity_ratio("Mg", m, TEMPERATURE_C) / water])
    return CubicSpline(roots, np.array(rows))


# The bead --------------------------------------------------------------------------------------
FACE = RADIUS_M * (np.arange(0, SHELLS + 1) / SHELLS) ** (1 / 3)
NODE = (FACE[:-1] + FACE[1:]) / 2
NODE[0] = 0.75 * FACE[1]
NODE[-1] = RADIUS_M
STEP = np.diff(NODE)
AREA_OVER_VOLUME = 3 * SHELLS * FACE[1:-1] ** 2 / RADIUS_M ** 3  # of an inner face, per shell
SURFACE_OVER_VOLUME = 3 * SHELLS / RADIUS_M
Q_BEAD = Q / (1 - EPS)

# State: freeboard (C, Ca, Mg), cells (C, Ca, Mg, y_Ca core..outer, y_Mg core..outer), amounts
# that left (C, Ca, Mg) in eq per m2 of bed.
NV = 3 + 2 * SHELLS
SIZE = 3 + CELLS * NV + 3
DZ = DEPTH_M / CELLS


class Flow:
    """One stretch of flow down the bed: coefficients and right-hand side."""

    def __init__(self, table, bv_per_h, feed, salt_mass_fraction=0.0):
        self.table = table
        self.feed = np.asarray(feed, float)
        self.inlet = None  # of the bed, while layers pass; None: the stirred freeboard
        self.u = bv_per_h * DEPTH_M / 3600
        rho = brine_density(salt_mass_fraction, TEMPERATURE_C)
        mu = brine_viscosity(salt_mass_fraction, TEMPERATURE_C)
        reynolds = rho * self.u * BEAD_M / mu
        diffusivity = D_WATER_25 * KELVIN / 298.15 * water_viscosity(25.0) / mu
        schmidt = mu / (rho * diffusivity)
        sherwood = 1.09 / EPS * (reynolds * schmidt) ** (1 / 3)
        self.film = sherwood * diffusivity / BEAD_M
        self.dispersion = self.u * BEAD_M / (0.2 + 0.011 * reynolds ** 0.48)

    def rate(self, _t, state):
        out = np.empty_like(state)
        top = state[:3] if self.inlet is None else self.inlet
        cell = state[3:-3].reshape(CELLS, NV)
        slope = out[3:-3].reshape(CELLS, NV)
        out[:3] = self.u * (self.feed - state[:3]) / FREEBOARD_M if self.inlet is None else 0

        water = cell[:, :3]
        padded = np.vstack((top, water, water[-1:]))
        step = np.diff(padded, axis=0)
        behind, ahead = step[:-1], step[1:]
        product = behind * ahead
        total = behind + ahead
        half = np.where(product > 0, product / np.where(total == 0, 1, total), 0)
        flux = np.empty((CELLS + 1, 3))
        flux[0] = self.u * top
        flux[1:] = self.u * (water + half)
        flux[1:-1] -= EPS * self.dispersion * (water[1:] - water[:-1]) / DZ
        slope[:, :3] = (flux[:-1] - flux[1:]) / (DZ * EPS)
        out[-3:] = flux[-1]

        normality = water[:, 0] / 1000  # eq/L
        y = cell[:, 3:].reshape(CELLS, 2, SHELLS)
        outer = y[:, :, -1]
        a = 2 * normality[:, None] * self.table(np.sqrt(np.abs(normality))) / K_MOL_PER_KG
        b = 1 - outer.sum(axis=1)
        r = 2 / (b + np.sqrt(b * b + 4 * (a * outer).sum(axis=1)))
        surface = a * outer * (r * r)[:, None] * water[:, :1]
        uptake = self.film * (water[:, 1:] - surface)
        slope[:, 1:3] -= (1 - EPS) / EPS * 3 / RADIUS_M * uptake

        full = np.concatenate((y, 1 - y.sum(axis=1, keepdims=True)), axis=1)
        gradient = D_BEAD[:, None] * np.diff(full, axis=2) / STEP
        mean = (full[:, :, 1:] + full[:, :, :-1]) / 2
        mobility = (CHARGE * D_BEAD)[:, None] * np.maximum(mean, 0)
        psi = -gradient.sum(axis=1) / mobility.sum(axis=1)
        passing = -(gradient[:, :2] + mobility[:, :2] * psi[:, None, :]) * AREA_OVER_VOLUME
        dy = np.zeros_like(y)
        dy[:, :, :-1] -= passing
        dy[:, :, 1:] += passing
        dy[:, :, -1] += SURFACE_OVER_VOLUME * uptake / Q_BEAD
        slope[:, 3:] = dy.reshape(CELLS, -1)
        return out


def tolerances():
    atol = np.empty(SIZE)
    atol[:3] = ATOL_PORE
    atol[-3:] = ATOL_OUT
    cell = atol[3:-3].reshape(CELLS, NV)
    cell[:, :3] = ATOL_PORE
    cell[:, 3:] = ATOL_SHELL
    return atol


def sparsity():
    """Where the matrix of the right-hand side may be nonzero (for solve_ivp)."""
    s = lil_matrix((SIZE, SIZE), dtype=int)
    for k in range(3):
        s[k, k] = 1
        last = 3 + (CELLS - 1) * NV + k
        s[SIZE - 3 + k, last] = 1
    for j in range(CELLS):
        first = 3 + j * NV
        s[first:first + NV, first:first + NV] = 1
        for k in range(3):
            for other in (j - 2, j - 1, j + 1):
                if other >= CELLS:
                    continue
                s[first + k, 3 + other * NV + k if other >= 0 else k] = 1
    return s.tocsr()


class Vode:
    """VODE on one flow, from a state, asked for states at rising times."""
    name = "scipy.integrate.ode vode bdf, banded"

    def __init__(self, flow, state):
        self.solver = ode(flow.rate).set_integrator(
            "vode", method="bdf", lband=2 * NV, uband=NV, rtol=RTOL, atol=tolerances(),
            nsteps=500000)
        self.solver.set_initial_value(state, 0.0)

    def to(self, t):
        value = self.solver.integrate(t)
        if not self.solver.successful():
            raise RuntimeError("vode gave up at %g s" % t)
        return value.copy()


class SolveIvp:
    """SciPy's own BDF on one flow, same interface."""
    name = "scipy.integrate.solve_ivp BDF, jac_sparsity"
    pattern = None

    def __init__(self, flow, state):
        if SolveIvp.pattern is None:
            SolveIvp.pattern = sparsity()
        self.flow, self.state, self.t = flow, state, 0.0
        self.first = None

    def to(self, t):
        found = solve_ivp(self.flow.rate, (self.t, t), self.state, method="BDF", rtol=RTOL,
                          atol=tolerances(), jac_sparsity=SolveIvp.pattern, first_step=self.first)
        if not found.success:
            raise RuntimeError(found.message)
        if len(found.t) > 1:
            self.first = min(found.t[-1] - found.t[-2], t - self.t)
        self.t, self.state = t, found.y[:, -1]
        return self.state.copy()


def clear_out(state):
    state = state.copy()
    state[-3:] = 0
    return state


def effluent(state):
    return state[3 + (CELLS - 1) * NV:][:3]


def run_fixed(solver, flow, state, bed_volumes):
    state = clear_out(state)
    longest = bed_volumes * DEPTH_M / flow.u
    if not flow.feed[0] < state[0] - 1e-9:
        return solver(flow, state).to(longest)
    late = FREEBOARD_M / flow.u
    if late > longest:
        raise RuntimeError("a rinse of less than the freeboard leaves layers, which are not kept")
    flow.inlet = state[:3].copy()
    state = solver(flow, state).to(late)
    flow.inlet = flow.feed
    state[:3] = flow.feed
    state = solver(flow, state).to(longest - late)
    flow.inlet = None
    return state


def run_service(solver, flow, state):
    """To the end point. Returns the state there and the curve (BV, Ca, Mg, C) on a grid."""
    bv = 3600.0 / SERVICE_BV_PER_H
    grid = np.concatenate((np.linspace(0, 2, 21)[1:], np.arange(3, 400)))
    machine = solver(flow, clear_out(state))
    rows, armed = [], False
    before, before_bv = clear_out(state), 0.0
    for v in grid:
        now = machine.to(v * bv)
        c = effluent(now)
        rows.append((v, c[1], c[2], c[0]))
        hardness = c[1] + c[2]
        if armed and hardness >= END_POINT:
            break
        armed = armed or hardness < END_POINT
        before, before_bv = now, v
    else:
        raise RuntimeError("the end point was not reached")
    # Again over the last interval, finely, from the last state below the end point.
    rows.pop()
    machine = solver(flow, before)
    fine = np.linspace(0, v - before_bv, 41)[1:]
    curve = [(0.0, effluent(before), before)]
    for f in fine:
        now = machine.to(f * bv)
        curve.append((f, effluent(now), now))
    h = PchipInterpolator([p[0] for p in curve], [p[1][1] + p[1][2] for p in curve])
    end = brentq(lambda f: float(h(f)) - END_POINT, 0, fine[-1])
    last = solver(flow, before).to(end * bv)
    for f, c, _ in curve[1::4]:
        if f < end:
            rows.append((before_bv + f, c[1], c[2], c[0]))
    c = effluent(last)
    rows.append((before_bv + end, c[1], c[2], c[0]))
    return last, rows, before_bv + end


def holdings(state):
    """Ca and Mg in bed and freeboard, eq per m2."""
    cell = state[3:-3].reshape(CELLS, NV)
    y = cell[:, 3:].reshape(CELLS, 2, SHELLS)
    return (state[1:3] * FREEBOARD_M + EPS * DZ * cell[:, 1:3].sum(axis=0)
            + Q * DZ * y.mean(axis=2).sum(axis=0))


def steady_cycle(table, dose_lb, solver=Vode, start=None, most=30, log=sys.stderr):
    """Repeat the cycle until its capacity and its mean leakage stand still."""
    dose = dose_lb * LB_PER_FT3
    w = BRINE_MASS_FRACTION
    rho = brine_density(w, TEMPERATURE_C)
    soft = FEED[0]
    make_up = rho * (1 - w) / water_density(TEMPERATURE_C)  # m3 of soft water per m3 of brine
    brine_feed = [1000 * rho * w / NACL_G_PER_EQ + soft * make_up, 0, 0]
    brine_bv = dose / (rho * w)
    service = Flow(table, SERVICE_BV_PER_H, FEED)
    brine = Flow(table, BRINE_BV_PER_H, brine_feed, w)
    slow = Flow(table, SLOW_BV_PER_H, FEED)
    fast = Flow(table, FAST_BV_PER_H, FEED)
    if start is None:
        start = np.zeros(SIZE)
        start[:3] = FEED
        cell = start[3:-3].reshape(CELLS, NV)
        cell[:, :3] = FEED * [1, 1e-3, 1e-3]
        cell[:, 3:] = np.repeat([0.2, 0.1], SHELLS) * np.linspace(0.3, 1.7, CELLS)[:, None]
    state, last, change = start, None, None
    for cycle in range(most):
        begin = time.time()
        end, rows, bv = run_service(solver, service, state)
        left = end[-3:]
        entered = bv * DEPTH_M * FEED
        capacity = (entered[1:] - left[1:]).sum() / DEPTH_M
        leakage = left[1:].sum() / (bv * DEPTH_M)
        balance = np.abs(entered[1:] - left[1:] - holdings(end) + holdings(state)).max() / DEPTH_M
        result = {"dose": dose_lb, "capacity": capacity, "bv": bv, "leakage": leakage,
                  "rows": rows, "cycles": cycle + 1, "balance": balance, "start": state}
        print("%s %g lb/ft3 cycle %d: capacity %.4f eq/m3, %.4f BV, mean %.5f mg/L, balance %.1e, "
              "%.0f s" % (solver.__name__, dose_lb, cycle + 1, capacity, bv,
                          leakage * MG_CACO3_PER_MEQ, balance, time.time() - begin),
              file=log, flush=True)
        if last is not None:
            # The leakage settles last, and the first changes shrink irregularly: two changes in a
            # row must be small.
            new_change = max(abs(capacity / last[0] - 1), abs(leakage / last[1] - 1) / 10)
            result["left"] = new_change
            if change is not None and max(change, new_change) < 1e-5:
                return result
            change = new_change
        last = capacity, leakage
        state = run_fixed(solver, brine, end, brine_bv)
        state = run_fixed(solver, slow, state, RINSE_BV)
        state = run_fixed(solver, fast, state, RINSE_BV)
    raise RuntimeError("no steady cycle at %g lb/ft3" % dose_lb)


def write(path, results, checks):
    lines = ["# SPDX-License-Identifier: GPL-3.0-or-later",
             "# Independent solution by cycle.py of bulletin_60x4.yaml: the cyclic steady state.",
             "# cells: %d, shells: %d, temperature: %g C" % (CELLS, SHELLS, TEMPERATURE_C),
             "# solver: %s, rtol %g, atol %g eq/m3 pore water, %g shell fraction"
             % (Vode.name, RTOL, ATOL_PORE, ATOL_SHELL),
             "# versions: Python %s, NumPy %s, SciPy %s"
             % (sys.version.split()[0], np.__version__, scipy.__version__)]
    for r in results:
        lines.append("# dose %g lb/ft3: %d cycles, last change %.1e of the capacity "
                     "and a tenth of that of the mean leakage, balance to %.1e eq/m3"
                     % (r["dose"], r["cycles"], r["left"], r["balance"]))
    for line in checks:
        lines.append("# " + line)
    lines.append("kind,dose_lb_per_ft3,volume_BV,hardness_mg_per_L_CaCO3,Ca_meq_per_L,Mg_meq_per_L,"
                 "normality_meq_per_L,capacity_eq_per_m3")
    for r in results:
        lines.append("mean,%g,%.6f,%.6f,,,,%.5f"
                     % (r["dose"], r["bv"], r["leakage"] * MG_CACO3_PER_MEQ, r["capacity"]))
        for v, ca, mg, c in r["rows"]:
            lines.append("curve,%g,%.6f,%.6f,%.8g,%.8g,%.8g,"
                         % (r["dose"], v, (ca + mg) * MG_CACO3_PER_MEQ, ca, mg, c))
    with open(path, "w", encoding="ascii") as stream:
        stream.write("\n".join(lines) + "\n")


def main():
    parser = argparse.ArgumentParser(description="Independent solution of bulletin_60x4.yaml.")
    parser.add_argument("--check", action="store_true", help="repeat one cycle with solve_ivp")
    parser.add_argument("--equilibrium", action="store_true", help="print the activity table only")
    parser.add_argument("-o", "--output", default=os.path.join(
        os.path.dirname(os.path.abspath(__file__)), "bulletin_500.csv"))
    options = parser.parse_args()
    if options.equilibrium:
        print("m NaCl, R_Ca, R_Mg at 25 C; A_phi(20 C) = %.5f" % a_phi(20))
        for m in (0.001, 0.01, 0.1, 1, 2, 3, 4, 5, 6):
            print("%g %.4f %.4f" % (m, activity_ratio("Ca", m, 25), activity_ratio("Mg", m, 25)))
        return
    table = exchange_table()
    results = [steady_cycle(table, dose) for dose in DOSES_LB_PER_FT3]
    checks = []
    if options.check:
        for r in results:
            again, rows, bv = run_service(SolveIvp, Flow(table, SERVICE_BV_PER_H, FEED), r["start"])
            capacity = (bv * DEPTH_M * FEED[1:] - again[-2:]).sum() / DEPTH_M
            mean = again[-2:].sum() / (bv * DEPTH_M)
            checks.append("check with %s: %g lb/ft3 service: capacity %+.1e, mean leakage %+.1e "
                          "relative" % (SolveIvp.name, r["dose"], capacity / r["capacity"] - 1,
                                        mean / r["leakage"] - 1))
            print(checks[-1])
    write(options.output, results, checks)


if __name__ == "__main__":
    main()
