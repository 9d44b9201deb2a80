/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The closed solutions, as integrals and series that GSL sums, and the one-bead
 * reference. */
#include "closed_forms.h"

#include <complex.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_sf_bessel.h>
#include <gsl/gsl_sf_erf.h>
#include <math.h>

enum { PIECES = 20000 };

/* Adaptive Gauss-Kronrod to 1e-11, absolute; what oscillates is cut into pieces
 * first. */
static double integral(double (*f)(double, void *), void *context, double lower, double upper,
                       size_t pieces)
{
    gsl_integration_workspace *work = gsl_integration_workspace_alloc(PIECES);
    gsl_function function = {.function = f, .params = context};
    double sum = work != NULL ? 0.0 : (double)NAN;
    for (size_t k = 0; work != NULL && k < pieces; k++) {
        double left = lower + (upper - lower) * (double)k / (double)pieces;
        double right = lower + (upper - lower) * (double)(k + 1) / (double)pieces;
        double part = 0.0;
        double error = 0.0;
        int flag = gsl_integration_qag(&function, left, right, 1e-11 / (double)pieces, 1e-11,
                                       PIECES, GSL_INTEG_GAUSS31, work, &part, &error);
        /* Asked for more than rounding allows, it says so and returns its best. */
        sum += flag == GSL_SUCCESS || flag == GSL_EROUND ? part : (double)NAN;
    }
    if (work != NULL) {
        gsl_integration_workspace_free(work);
    }
    return sum;
}

typedef struct two {
    double a, b, c;
} two;

static double brenner_integrand(double w, void *context)
{
    const two *both = context;
    double pe = both->a;
    double complex a = csqrt(1.0 + 4.0 * CMPLX(0.0, w) / pe);
    double complex g = 4.0 * a * cexp(0.5 * pe * (1.0 - a)) /
                       ((1.0 + a) * (1.0 + a) - (1.0 - a) * (1.0 - a) * cexp(-a * pe));
    return cimag(g * cexp(CMPLX(0.0, w * both->b))) / w;
}

double closed_brenner(double peclet, double voids)
{
    two both = {.a = peclet, .b = voids};
    /* |G| falls as exp(Pe/2 - sqrt(Pe w/2)): below 1e-16 from here on. */
    double most = 2.0 * pow(0.5 * peclet + 40.0, 2.0) / peclet;
    size_t pieces = 1 + (size_t)(most * (1.0 + voids) / 20.0);
    return 0.5 + integral(brenner_integrand, &both, 1e-14, most, pieces) / M_PI;
}

double closed_ogata_banks(double peclet, double voids)
{
    double spread = 2.0 * sqrt(voids / peclet);
    return 0.5 * (gsl_sf_erfc((1.0 - voids) / spread) +
                  exp(peclet + gsl_sf_log_erfc((1.0 + voids) / spread)));
}

static double j_integrand(double t, void *context)
{
    double y = *(const double *)context;
    double apart = sqrt(y) - sqrt(t);
    return exp(-apart * apart) * gsl_sf_bessel_I0_scaled(2.0 * sqrt(y * t));
}

double closed_j(double x, double y)
{
    return 1.0 - integral(j_integrand, &y, 0.0, x, 8);
}

double closed_thomas(double r, double units, double throughput)
{
    double passed = closed_j(r * units, units * throughput);
    double content = 1.0 - closed_j(units, r * units * throughput);
    return passed / (passed + content * exp((r - 1.0) * units * (throughput - 1.0)));
}

static double rosen_integrand(double l, void *context)
{
    const two *both = context;
    double complex w = CMPLX(l, l);
    double complex decay = cexp(-2.0 * w);
    double complex g = cabs(w) < 1e-3 ? w * w / 3.0 : w * (1.0 + decay) / (1.0 - decay) - 1.0;
    double complex h = g / (1.0 + both->a * g);
    return exp(-both->b * creal(h)) * sin(both->c * l * l - both->b * cimag(h)) / l;
}

double closed_rosen(double nu, double x, double y)
{
    two both = {.a = nu, .b = x, .c = y};
    /* H1 grows as l - 1, or to 1/nu, where exp(-X/nu) must be small: X/nu >= 30
   * is required. */
    double most = nu > 0.0 ? 60.0 : 1.0 + 40.0 / x;
    size_t pieces = 4 + (size_t)(y * most * most / 20.0);
    if (nu > 0.0 && x / nu < 30.0) {
        return (double)NAN;
    }
    return 0.5 + integral(rosen_integrand, &both, 1e-12, most, pieces) * 2.0 / M_PI;
}

double closed_boyd(double dt_over_r2)
{
    double sum = 0.0;
    for (int n = 400; n >= 1; n--) {
        sum += exp(-(double)(n * n) * M_PI * M_PI * dt_over_r2) / (double)(n * n);
    }
    return 1.0 - 6.0 / (M_PI * M_PI) * sum;
}

double closed_pattern_film(double r, double x1, double x2)
{
    return (log(x2 / x1) + r * log((1.0 - x1) / (1.0 - x2))) / (1.0 - r);
}

double closed_pattern_driving_force(double r, double x1, double x2)
{
    return (r * log(x2 / x1) + log((1.0 - x1) / (1.0 - x2))) / (1.0 - r);
}

double closed_mass_action(double l, double x)
{
    double a = l * x / ((1.0 - x) * (1.0 - x));
    /* The root in (0, 1), divided through so that nothing cancels; x = 1 gives 1.
   */
    return x < 1.0 ? 2.0 * a / (2.0 * a + 1.0 + sqrt(4.0 * a + 1.0)) : 1.0;
}

double closed_mass_action_slope(double l, double x)
{
    double y = closed_mass_action(l, x);
    return l * (1.0 + x) * pow((1.0 - y) / (1.0 - x), 3.0) / (1.0 + y);
}

/* ---- Nernst-Planck
 * -----------------------------------------------------------------------------
 * dy/dt = r^-2 d/dr (r^2 dP/dr), P' = D_AB(y) = D_A D_B (p + q y)/(s + t y), y
 * of what enters.
 */
enum { RINGS = 500, STEPS = 3000 };

typedef struct pair {
    double p, q, s, t, both;
} pair;

static double interdiffusion(const pair *both, double y)
{
    return both->both * (both->p + both->q * y) / (both->s + both->t * y);
}

static double potential(const pair *both, double y)
{
    if (both->t == 0.0) {
        return both->both * (both->p * y + 0.5 * both->q * y * y) / both->s;
    }
    return both->both *
           (both->q * y + (both->p - both->q * both->s / both->t) * log(both->s + both->t * y)) /
           both->t;
}

typedef struct ball {
    pair exchange;
    double volume[RINGS], conductance[RINGS]; /* of the ring; of its outer face */
    double y[RINGS];
} ball;

/* Net inflow of ring k over its volume. */
static double inflow(const ball *bead, const double *y, size_t k)
{
    double level = potential(&bead->exchange, y[k]);
    double beyond = potential(&bead->exchange, k + 1 < RINGS ? y[k + 1] : 1.0);
    double outer = bead->conductance[k] * (beyond - level);
    double inner =
        k > 0 ? bead->conductance[k - 1] * (level - potential(&bead->exchange, y[k - 1])) : 0.0;
    return (outer - inner) / bead->volume[k];
}

/* y - h f(y) = side by Newton, f tridiagonal. @return 0 when it converged */
static int solve(const ball *bead, double h, const double *side, double *y)
{
    for (int pass = 0; pass < 20; pass++) {
        double upper[RINGS];
        double change[RINGS];
        double most = 0.0;
        for (size_t k = 0; k < RINGS; k++) {
            double scale = h / bead->volume[k];
            double out = bead->conductance[k] * scale;
            double inflow_share = k > 0 ? bead->conductance[k - 1] * scale : 0.0;
            double below = k > 0 ? -inflow_share * interdiffusion(&bead->exchange, y[k - 1]) : 0.0;
            double own = 1.0 + (inflow_share + out) * interdiffusion(&bead->exchange, y[k]);
            double above = k + 1 < RINGS ? -out * interdiffusion(&bead->exchange, y[k + 1]) : 0.0;
            double rest = side[k] - y[k] + h * inflow(bead, y, k);
            double pivot = own - (k > 0 ? below * upper[k - 1] : 0.0);
            upper[k] = above / pivot;
            change[k] = (rest - (k > 0 ? below * change[k - 1] : 0.0)) / pivot;
        }
        for (size_t k = RINGS; k-- > 0;) {
            change[k] -= k + 1 < RINGS ? upper[k] * change[k + 1] : 0.0;
            most = fmax(most, fabs(change[k]));
        }
        for (size_t k = 0; k < RINGS; k++) {
            /* Iterates may overshoot after the jump; the solution itself stays within
       * 0 and 1. */
            y[k] = fmin(fmax(y[k] + change[k], -0.05), 1.05);
        }
        if (most < 1e-12) {
            return 0;
        }
    }
    return 1;
}

/* R. E. Bank et al., IEEE Trans. Electron Devices 32 (1985) 1992: trapezoids
 * over the first part, the second backward difference over the whole. */
static int step(ball *bead, double h, int first)
{
    if (first) { /* from a jump: one step of the backward Euler rule */
        double start[RINGS];
        for (size_t k = 0; k < RINGS; k++) {
            start[k] = bead->y[k];
        }
        return solve(bead, h, start, bead->y);
    }
    const double part = 2.0 - M_SQRT2;
    double side[RINGS];
    double middle[RINGS];
    for (size_t k = 0; k < RINGS; k++) {
        side[k] = bead->y[k] + 0.5 * part * h * inflow(bead, bead->y, k);
        middle[k] = bead->y[k];
    }
    int flag = solve(bead, 0.5 * part * h, side, middle);
    for (size_t k = 0; k < RINGS; k++) {
        side[k] = (middle[k] - (1.0 - part) * (1.0 - part) * bead->y[k]) / (part * (2.0 - part));
        bead->y[k] = middle[k];
    }
    return flag | solve(bead, h * (1.0 - part) / (2.0 - part), side, bead->y);
}

int numeric_nernst_planck(double ratio, double z_leaving, double z_entering, size_t count,
                          const double *time, double *uptake)
{
    const double leaving = 1.0;
    const double entering = 1.0 / ratio;
    ball bead = {.exchange = {.p = z_leaving,
                              .q = z_entering - z_leaving,
                              .s = z_leaving * leaving,
                              .t = z_entering * entering - z_leaving * leaving,
                              .both = leaving * entering}};
    double face[RINGS + 1];
    for (size_t k = 0; k <= RINGS; k++) { /* fine at the surface */
        face[k] = sin(0.5 * M_PI * (double)k / RINGS);
    }
    for (size_t k = 0; k < RINGS; k++) {
        double middle = 0.5 * (face[k] + face[k + 1]);
        double next = k + 1 < RINGS ? 0.5 * (face[k + 1] + face[k + 2]) : 1.0;
        bead.volume[k] = (pow(face[k + 1], 3.0) - pow(face[k], 3.0)) / 3.0;
        bead.conductance[k] = face[k + 1] * face[k + 1] / (next - middle);
    }
    size_t done = 0;
    int flag = 0;
    for (size_t i = 0; i < count && flag == 0; i++) {
        /* Steps grow as the front's age does: time ~ (step number)^2 */
        size_t until = (size_t)ceil(STEPS * sqrt(time[i] / time[count - 1]));
        double from_time = i > 0 ? time[i - 1] : 0.0;
        double a = (double)(done * done);
        double span = (double)(until * until) - a;
        double before = from_time;
        for (size_t s = done + 1; s <= until && flag == 0; s++) {
            double now = from_time + (time[i] - from_time) * ((double)(s * s) - a) / span;
            flag = step(&bead, now - before, s <= 20);
            before = now;
        }
        done = until;
        uptake[i] = 0.0;
        for (size_t k = 0; k < RINGS; k++) {
            uptake[i] += 3.0 * bead.volume[k] * bead.y[k];
        }
    }
    return flag;
}
