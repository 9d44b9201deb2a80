/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed together with iron's source term, which acts in fresh water and is still in brine. */
#ifndef BF_IRON_IRON_BED_H
#define BF_IRON_IRON_BED_H

#include "brinefront/iron_source.h"
#include "iron/stagnation.h"

typedef struct bf__iron_bed {
    bf_bed *bed;
    bf_iron_source *source; /* NULL: no iron anywhere */
    bf_source term;         /* of the source */
    int open;               /* nonzero: the term acts */
} bf__iron_bed;

/* `feed` NULL: a bed without the term. The selectivity is borrowed; `ions` are its own. */
BF_MUST_CHECK bf_status bf__iron_bed_create(const bf_bed_spec *bed,
                                            const bf_selectivity *selectivity,
                                            const bf_ion_set *ions, const bf_iron_spec *iron,
                                            const bf_iron_water *feed, bf__iron_bed **out,
                                            bf_error *err);
void bf__iron_bed_free(bf__iron_bed *iron_bed);

/* Let the term act at this velocity. */
BF_MUST_CHECK bf_status bf__iron_bed_open(bf__iron_bed *iron_bed, double velocity_m_per_s,
                                          bf_error *err);

/* Deposits of every cell, top first, out of the bed and back. */
BF_MUST_CHECK bf_status bf__iron_bed_read(const bf__iron_bed *iron_bed, bf__deposits *deposits,
                                          bf_error *err);
BF_MUST_CHECK bf_status bf__iron_bed_write(bf__iron_bed *iron_bed, const bf__deposits *deposits,
                                           bf_error *err);

#endif
