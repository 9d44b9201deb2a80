/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small square matrices, one for every cell, inverted and multiplied for all cells at once.
 *
 * Element (i, j) of all cells stands in one row, [(i * order + j) * stride + cell], so that the
 * inner loop runs along cells and the compiler vectorises it. They are functions in a header
 * because they live in the solver's hot functions and are compiled with them for each kind of
 * machine.
 *
 * No pivoting: the matrices are I plus gamma times rates that only mix or drain.
 */
#ifndef BF_BED_SMALL_BLOCKS_H
#define BF_BED_SMALL_BLOCKS_H

#include <math.h>
#include <stddef.h>
#include <string.h>

/* In-place inverse by Gauss-Jordan without pivoting; of order 2 by Cramer. */
static inline void bf__blocks_invert(size_t order, size_t n, size_t stride, double *matrix)
{
    if (order == 2) {
        double *restrict a = matrix;
        double *restrict b = matrix + stride;
        double *restrict c = matrix + 2 * stride;
        double *restrict d = matrix + 3 * stride;
        for (size_t p = 0; p < n; p++) {
            double per_determinant = 1.0 / (a[p] * d[p] - b[p] * c[p]);
            double first = a[p];
            a[p] = d[p] * per_determinant;
            b[p] *= -per_determinant;
            c[p] *= -per_determinant;
            d[p] = first * per_determinant;
        }
        return;
    }
    for (size_t k = 0; k < order; k++) {
        double *restrict pivot = matrix + (k * order + k) * stride;
        for (size_t p = 0; p < n; p++) {
            pivot[p] = 1.0 / pivot[p];
        }
        for (size_t j = 0; j < order; j++) {
            if (j != k) {
                double *restrict row = matrix + (k * order + j) * stride;
                for (size_t p = 0; p < n; p++) {
                    row[p] *= pivot[p];
                }
            }
        }
        for (size_t i = 0; i < order; i++) {
            if (i == k) {
                continue;
            }
            double *restrict factor = matrix + (i * order + k) * stride;
            for (size_t j = 0; j < order; j++) {
                if (j != k) {
                    double *restrict out = matrix + (i * order + j) * stride;
                    const double *restrict input = matrix + (k * order + j) * stride;
                    for (size_t p = 0; p < n; p++) {
                        out[p] -= factor[p] * input[p];
                    }
                }
            }
            for (size_t p = 0; p < n; p++) {
                factor[p] *= -pivot[p];
            }
        }
    }
}

/* c = a b (+ c when accumulating with weight): c (r x s), a (r x t), b (t x s). */
static inline void bf__blocks_multiply(size_t r, size_t t, size_t s, size_t n, size_t stride,
                                       double weight, const double *a, const double *b,
                                       int accumulate, double *c)
{
    for (size_t i = 0; i < r; i++) {
        for (size_t j = 0; j < s; j++) {
            double *restrict out = c + (i * s + j) * stride;
            const double *restrict a0 = a + i * t * stride;
            const double *restrict b0 = b + j * stride;
            /* The usual orders in one pass: every row is loaded and stored once. */
            if (t == 2) {
                const double *restrict a1 = a0 + stride;
                const double *restrict b1 = b0 + s * stride;
                if (accumulate) {
                    for (size_t p = 0; p < n; p++) {
                        out[p] += weight * (a0[p] * b0[p] + a1[p] * b1[p]);
                    }
                } else {
                    for (size_t p = 0; p < n; p++) {
                        out[p] = weight * (a0[p] * b0[p] + a1[p] * b1[p]);
                    }
                }
                continue;
            }
            if (accumulate) {
                for (size_t p = 0; p < n; p++) {
                    out[p] += weight * (a0[p] * b0[p]);
                }
            } else {
                for (size_t p = 0; p < n; p++) {
                    out[p] = weight * (a0[p] * b0[p]);
                }
            }
            for (size_t done = 1; done < t; done++) {
                const double *restrict left = a0 + done * stride;
                const double *restrict right = b0 + done * s * stride;
                for (size_t p = 0; p < n; p++) {
                    out[p] += weight * (left[p] * right[p]);
                }
            }
        }
    }
}

/* One E x E block, cell-first. `order` is a constant at every call but the last, so that the
 * compiler unrolls the loops. */
static inline double bf__block_invert(size_t order, double *a)
{
    if (order == 2) { /* one division instead of two, one after the other */
        double per_determinant = 1.0 / (a[0] * a[3] - a[1] * a[2]);
        double first = a[0];
        a[0] = a[3] * per_determinant;
        a[1] *= -per_determinant;
        a[2] *= -per_determinant;
        a[3] = first * per_determinant;
        return isfinite(per_determinant) ? 1.0 : 0.0;
    }
    double sound = 1.0;
    for (size_t k = 0; k < order; k++) {
        double pivot = 1.0 / a[k * order + k];
        sound *= isfinite(pivot) ? 1.0 : 0.0;
        a[k * order + k] = pivot;
        for (size_t j = 0; j < order; j++) {
            if (j != k) {
                a[k * order + j] *= pivot;
            }
        }
        for (size_t i = 0; i < order; i++) {
            if (i != k) {
                double factor = a[i * order + k];
                for (size_t j = 0; j < order; j++) {
                    if (j != k) {
                        a[i * order + j] -= factor * a[k * order + j];
                    }
                }
                a[i * order + k] = -factor * pivot;
            }
        }
    }
    return sound;
}

#endif
