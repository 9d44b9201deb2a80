/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Advection and dispersion of one quantity along the bed, conservative finite volumes.
 *
 *     dc_k/dt = (F_(k-1/2) - F_(k+1/2))
 *     F_(k+1/2) = v (c_k + h(a_k, b_k)) - d (c_(k+1) - c_k)
 *     a_k = c_k - c_(k-1),  b_k = c_(k+1) - c_k,  h(a, b) = a b/(a + b) where a b > 0, else 0
 *     dh/da = (b/(a+b))^2,  dh/db = (a/(a+b))^2
 *
 * v = u/(eps dz), d = D_L/dz2, both 1/s; cells in order of flow. 2 h is van Leer's limited slope:
 * of second order where c is smooth, never overshooting at a front.
 *
 * Inlet (Danckwerts): what flows in is v c_in, advection and dispersion together. The value at the
 * inlet face follows from it, c_f = (v c_in + 2 d c_0)/(v + 2 d), and gives the first cell its
 * gradient over half a cell: a_0 = 2 (c_0 - c_f) = theta (c_0 - c_in), theta = 2 v/(v + 2 d).
 * Outlet: zero gradient, so h = 0 and no dispersion leaves: F = v c_(n-1).
 *
 * Order: 2 in space on smooth profiles, 2/3 in L1 on a square front. The last cell stands for the
 * outlet itself.
 * Source: van Leer, J. Comput. Phys. 14 (1974) 361; Danckwerts, Chem. Eng. Sci. 2 (1953) 1.
 */
#include "bed/transport.h"

#include "base/hot.h"
double bf__transport_inlet_weight(double advance_per_s, double spread_per_s)
{
    return advance_per_s > 0.0 ? 2.0 * advance_per_s / (advance_per_s + 2.0 * spread_per_s) : 0.0;
}

static inline double half_slope(double a, double b)
{
    double product = a * b;
    return product > 0.0 ? product / (a + b) : 0.0;
}

BF__HOT void bf__transport_rate(const bf__stream *stream, size_t n, double inlet, const double *c,
                                double *face, double *rate)
{
    const double v = stream->advance_per_s;
    const double d = stream->spread_per_s;
    const double *restrict input = c;
    double *restrict flux = face; /* flux[k] leaves cell k */
    double *restrict out = rate;
    flux[0] = v * (input[0] +
                   half_slope(stream->inlet_weight * (input[0] - inlet), input[1] - input[0])) -
              d * (input[1] - input[0]);
    for (size_t k = 1; k + 1 < n; k++) {
        double a = input[k] - input[k - 1];
        double b = input[k + 1] - input[k];
        double product = a * b;
        double sum = a + b;
        double half = product > 0.0 ? product / sum : 0.0;
        flux[k] = v * (input[k] + half) - d * b;
    }
    flux[n - 1] = v * input[n - 1];
    out[0] = v * inlet - flux[0];
    for (size_t k = 1; k < n; k++) {
        out[k] = flux[k - 1] - flux[k];
    }
}

BF__HOT void bf__transport_slope_of(const bf__stream *stream, size_t n, double inlet,
                                    const double *c, bf__transport_slope *slope)
{
    const double v = stream->advance_per_s;
    const double d = stream->spread_per_s;
    double *restrict second_before = slope->second_before;
    double *restrict before = slope->before;
    double *restrict own = slope->own;
    double *restrict after = slope->after;
    /* First pass: slopes of the flux that leaves cell k, by c_(k-1), c_k, c_(k+1). */
    for (size_t k = 0; k < n; k++) {
        double lever = k == 0 ? stream->inlet_weight : 1.0;
        double a = k == 0 ? lever * (c[0] - inlet) : c[k] - c[k - 1];
        double b = k + 1 < n ? c[k + 1] - c[k] : 0.0;
        double by_a = 0.0;
        double by_b = 0.0;
        if (a * b > 0.0) {
            double share = b / (a + b);
            by_a = share * share;
            by_b = (1.0 - share) * (1.0 - share);
        }
        double out = k + 1 < n ? d : 0.0;
        before[k] = -v * lever * by_a;
        own[k] = v * (1.0 + lever * by_a - by_b) + out;
        after[k] = v * by_b - out;
    }
    /* Second pass, from the outlet: what enters cell k less what leaves it. */
    double by_inlet = before[0];
    for (size_t k = n; k-- > 0;) {
        double leaves_before = before[k];
        double leaves_own = own[k];
        double leaves_after = after[k];
        second_before[k] = k >= 1 ? before[k - 1] : 0.0;
        before[k] = (k >= 1 ? own[k - 1] : 0.0) - leaves_before;
        own[k] = (k >= 1 ? after[k - 1] : 0.0) - leaves_own;
        after[k] = -leaves_after;
    }
    slope->by_inlet[0] = v - by_inlet;
    slope->by_inlet[1] = n > 1 ? by_inlet : 0.0;
    /* The inlet stands where a cell before the first would: those columns are in by_inlet. */
    before[0] = 0.0;
    if (n > 1) {
        second_before[1] = 0.0;
    }
}
