/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The points of a band and its indices on a function whose mean and indices are
 * known in closed form,
 *
 *     f = sin a + 7 sin^2 b + 0.1 c^4 sin a,   a, b, c evenly on -pi .. pi
 *     mean 7/2,   variance D = 7^2/8 + 0.1 pi^4/5 + 0.1^2 pi^8/18 + 1/2
 *     alone   (0.1 pi^4/5 + 0.1^2 pi^8/50 + 1/2)/D,   (7^2/8)/D,   0
 *     of a and c together   0.1^2 pi^8 (1/18 - 1/50)/D
 *
 * Source: T. Ishigami and T. Homma, Proc. ISUMA '90 (IEEE, 1990) 398; T. Homma
 * and A. Saltelli, Reliab. Eng. Syst. Saf. 52 (1996) 1 (from memory; the shares
 * above follow by integration).
 */
#include "outcome.h"
#include "try.h"

#include "brinefront/band.h"

#include <math.h>

enum { POINTS = 256, FACTORS = 3 };

/* variant 0: mean; 1: indices alone; 2: total. */
static bf_status ishigami(int variant, outcome *out, bf_error *err)
{
    const double pi = acos(-1.0);
    const double weight = 0.1 * pow(pi, 4.0);
    const double shared = weight * weight * (1.0 / 18.0 - 1.0 / 50.0);
    const double of_a = weight / 5.0 + weight * weight / 50.0 + 0.5;
    const double of_b = 49.0 / 8.0;
    const double all = of_a + of_b + shared;
    const double alone[FACTORS] = {of_a / all, of_b / all, 0.0};
    const double total[FACTORS] = {(of_a + shared) / all, of_b / all, shared / all};
    double position[POINTS * FACTORS];
    double value[POINTS];
    double mean = 0.0;
    double explained;
    bf_sobol_index index[FACTORS];
    bf_status status = BF_OK;
    TRY(bf_sobol_points(POINTS, FACTORS, position, err));
    for (size_t p = 0; p < POINTS; p++) {
        const double a = pi * (2.0 * position[p * FACTORS] - 1.0);
        const double b = pi * (2.0 * position[p * FACTORS + 1] - 1.0);
        const double c = pi * (2.0 * position[p * FACTORS + 2] - 1.0);
        value[p] = sin(a) + 7.0 * sin(b) * sin(b) + 0.1 * pow(c, 4.0) * sin(a);
        mean += value[p] / POINTS;
    }
    if (variant == 0) {
        outcome_add(out, 0.0, mean, 3.5);
        goto done;
    }
    TRY(bf_indices_of(position, value, POINTS, FACTORS, index, &explained, err));
    for (size_t k = 0; k < FACTORS; k++) {
        const size_t factor = index[k].uncertain;
        outcome_add(out, (double)factor, variant == 1 ? index[k].alone : index[k].total,
                    variant == 1 ? alone[factor] : total[factor]);
    }
done:
    return status;
}

const comparison sampling_comparisons[] = {{"ishigami_mean", ishigami, 0},
                                           {"ishigami_alone", ishigami, 1},
                                           {"ishigami_total", ishigami, 2},
                                           {NULL, NULL, 0}};
