/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating's practical capacity, for searches: the capacity times quantile over centre of a band.
 */
#ifndef BF_RATING_SIZING_PRACTICAL_H
#define BF_RATING_SIZING_PRACTICAL_H

#include "brinefront/sizing.h"

/* What a search for practical ratings remembers beside its probe. */
typedef struct bf__practical {
    const bf_practical *how; /* NULL: ratings count as they are */
    double ratio;            /* of the last band; 1 before there is one */
    double ratio_of_least;   /* of the least x that was enough; NAN before there is one */
    double least;
} bf__practical;

bf__practical bf__practical_start(const bf_practical *how);
BF_MUST_CHECK bf_status bf__practical_check(const bf_practical *how, bf_error *err);

/* From the value of a rating, a logarithm that is above zero where it is more than enough, to that
 * of the practical one; NAN where the quantile falls among samples without a rating. A band is
 * computed where the rating itself is about enough; below, the last ratio serves. */
BF_MUST_CHECK bf_status bf__practical_value(bf__practical *of, const bf_rating_spec *rating,
                                            double x, double dose_kg_per_m3, double *value,
                                            bf_error *err);

#endif
