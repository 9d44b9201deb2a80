/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The slopes of the right-hand side, kept by structure instead of as one matrix. */
#ifndef BF_BED_JACOBIAN_H
#define BF_BED_JACOBIAN_H

#include "bed/column.h"
#include "bed/exchange.h"
#include "bed/transport.h"

typedef struct bf__jacobian {
    bf__transport_slope *transport;               /* 1 + E: C, then each ion */
    bf__exchange_slope exchange[BF__MAX_CLASSES]; /* of S of each class of bead sizes */
    double *face_by_inner;                        /* M-1 faces x E x E rows, already times w */
    double *face_by_outer;
    double **source; /* (E+L) x (1+E+L) rows, see bf_source; NULL without sources */
    double *memory;
} bf__jacobian;

BF_MUST_CHECK bf_status bf__jacobian_create(const bf__layout *layout, int with_sources,
                                            bf__jacobian **out, bf_error *err);
void bf__jacobian_free(bf__jacobian *jacobian);

/* Evaluate all slopes at a state. @return as bf__column_rate(). */
int bf__jacobian_evaluate(bf__jacobian *jacobian, const bf__column *column, double time_s,
                          const double *state);

#endif
