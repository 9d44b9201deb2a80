/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed together with iron's source term, which acts in fresh water and is still in brine. */
#ifndef BF_IRON_VESSEL_H
#define BF_IRON_VESSEL_H

#include "brinefront/iron_source.h"
#include "iron/standing.h"

typedef struct bf__vessel {
    bf_bed *bed;
    bf_iron_source *source; /* NULL: no iron anywhere */
    bf_source term;         /* of the source */
    int open;               /* nonzero: the term acts */
} bf__vessel;

/* `feed` NULL: a bed without the term. The selectivity is borrowed; `ions` are its own. */
BF_MUST_CHECK bf_status bf__vessel_create(const bf_bed_spec *bed, const bf_selectivity *selectivity,
                                          const bf_ion_set *ions, const bf_iron_spec *iron,
                                          const bf_iron_water *feed, bf__vessel **out,
                                          bf_error *err);
void bf__vessel_free(bf__vessel *vessel);

/* Let the term act at this velocity. */
BF_MUST_CHECK bf_status bf__vessel_open(bf__vessel *vessel, double velocity_m_per_s, bf_error *err);

/* Deposits of every cell, top first, out of the bed and back. */
BF_MUST_CHECK bf_status bf__vessel_read(const bf__vessel *vessel, bf__deposits *deposits,
                                        bf_error *err);
BF_MUST_CHECK bf_status bf__vessel_write(bf__vessel *vessel, const bf__deposits *deposits,
                                         bf_error *err);

#endif
