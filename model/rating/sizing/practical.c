/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Searches for what the unfavourable share of a band still does.
 *
 *     practical capacity = capacity * q/c
 *
 * capacity of the rating on its own grid, q the quantile of the band's samples and c its case as it
 * stands, both on the band's grid carried to the rating's (band.c). The same points of Sobol's
 * sequence serve every try, so that the practical capacity is as smooth in dose and size as the
 * rating is. The water of a run is the capacity over the hardness that is taken out of it, and
 * goes with it (leakage changes it by less than a thousandth).
 */
#include "brinefront/band.h"
#include "rating/sizing/search.h"

#include <math.h>

static bf_status ratio_at(const bf__search *search, const bf_rating_spec *rating,
                          double dose_kg_per_m3, double *ratio, bf_error *err)
{
    bf_band *band = NULL;
    bf_band_spec spec = bf_band_spec_for(rating);
    spec.samples = search->spec->samples;
    spec.dose_kg_per_m3 = dose_kg_per_m3;
    spec.threads = search->spec->threads;
    spec.watch = bf__probe_watch(search->probe);
    bf_status status = bf_band_create(rating, &spec, &band, err);
    if (status == BF_OK) {
        *ratio = bf_band_quantile(band, BF_BAND_CAPACITY, search->spec->quantile) /
                 bf_band_central(band, BF_BAND_CAPACITY);
    }
    bf_band_free(band);
    return status;
}

bf_status bf__practical_value(bf__search *search, const bf_rating_spec *rating, double x,
                              double dose_kg_per_m3, double *value, bf_error *err)
{
    const double noise = 5e-4; /* of a rating, as in probe.c */
    if (search->spec == NULL || search->spec->quantile == 0.0 || isnan(*value)) {
        return BF_OK;
    }
    if (*value < -noise) { /* not even the rating is enough */
        *value += log(search->ratio);
        return BF_OK;
    }
    double ratio = 0.0;
    bf_status status = ratio_at(search, rating, dose_kg_per_m3, &ratio, err);
    if (status != BF_OK) {
        return status;
    }
    *value = ratio > 0.0 ? *value + log(ratio) : (double)NAN;
    search->ratio = ratio > 0.0 ? ratio : search->ratio;
    if (*value >= -noise && !(x >= search->least)) {
        search->least = x;
        search->ratio_of_least = ratio;
    }
    return BF_OK;
}
