/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the strength of a brine does to each ion's equilibrium, tabulated once along one salt. */
#ifndef BF_RESIN_STRENGTH_TABLE_H
#define BF_RESIN_STRENGTH_TABLE_H

#include "brinefront/fluid.h"
#include "brinefront/selectivity.h"

/* 2 R/(K w) per eq/m3 for a divalent ion, G/K for a monovalent one, against the normality. */
typedef struct bf__strength_table bf__strength_table;

/* `constant` holds K, one per bf_ion. Errors of brine and activity; BF_E_MEMORY. */
BF_MUST_CHECK bf_status bf__strength_table_create(const bf_ion_set *ions, const double *constant,
                                                  bf_salt salt, double temperature_K,
                                                  bf__strength_table **out, bf_error *err);
void bf__strength_table_free(bf__strength_table *table);

/* Where each of n points stands in every table: its interval, how far into it, and dt/dC (NULL
 * where no slope will be read). */
typedef struct bf__strength_place {
    double *interval;
    double *inside; /* t, 0 .. 1 */
    double *by_normality;
} bf__strength_place;

void bf__strength_locate(size_t n, const double *normality, bf__strength_place place);

/* The value of ion i of the set at each point, and its slope by C where `slope` is not NULL. */
void bf__strength_read(const bf__strength_table *table, size_t i, size_t n,
                       bf__strength_place place, double *value, double *slope);

#endif
