/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A polynomial that stands for a function known at some points only. */
#ifndef BF_RATING_BAND_SURROGATE_H
#define BF_RATING_BAND_SURROGATE_H

#include "brinefront/status.h"

/* One term: a Legendre polynomial of one dimension, or the product of two of different ones. */
typedef struct bf__term {
    unsigned short dimension[2], order[2]; /* order 0: that factor is not there */
} bf__term;

typedef struct bf__surrogate {
    size_t count; /* points */
    size_t terms; /* the constant not counted */
    bf__term *term;
    double *design; /* `count` rows of 1 and every term's value: terms + 1 columns */
    double explained;
} bf__surrogate;

/* Choose terms for `value` at `position` (rows of `dimensions`, 0 .. 1), at least one. The points
 * are at least 8 and the values differ. @return BF_OK; BF_E_MEMORY */
BF_MUST_CHECK bf_status bf__surrogate_create(const double *position, const double *value,
                                             size_t count, size_t dimensions, bf__surrogate *out,
                                             bf_error *err);
void bf__surrogate_free(bf__surrogate *surrogate); /* of what it holds */

/* Coefficients of least squares, `columns` of them. `matrix` (rows of `columns`) is overwritten.
 * `work` holds rows + columns doubles.
 * @return 0; 1 where the columns depend on each other, as they do where rows are fewer */
int bf__least_squares(size_t rows, size_t columns, double *matrix, const double *value,
                      double *work, double *coefficient);

#endif
