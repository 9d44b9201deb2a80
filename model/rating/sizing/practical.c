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
#include "rating/sizing/practical.h"

#include "brinefront/band.h"

#include <math.h>

bf__practical bf__practical_start(const bf_practical *how)
{
    return (bf__practical){
        .how = how, .ratio = 1.0, .ratio_of_least = (double)NAN, .least = (double)NAN};
}

bf_status bf__practical_check(const bf_practical *how, bf_error *err)
{
    if (how == NULL || (how->quantile > 0.0 && how->quantile <= 0.5)) {
        return BF_OK; /* samples are checked with the band */
    }
    return bf_error_set(err, BF_E_RANGE, "bf_practical",
                        "the quantile of the practical rating is %g; accepted are above 0 up to "
                        "0.5",
                        how->quantile);
}

static bf_status ratio_at(const bf_practical *how, const bf_rating_spec *rating,
                          double dose_kg_per_m3, double *ratio, bf_error *err)
{
    bf_band *band = NULL;
    bf_band_spec spec = bf_band_spec_for(rating);
    spec.samples = how->samples;
    spec.dose_kg_per_m3 = dose_kg_per_m3;
    spec.threads = how->threads;
    spec.watch = how->watch;
    bf_status status = bf_band_create(rating, &spec, &band, err);
    if (status == BF_OK) {
        *ratio = bf_band_quantile(band, BF_BAND_CAPACITY, how->quantile) /
                 bf_band_central(band, BF_BAND_CAPACITY);
    }
    bf_band_free(band);
    return status;
}

bf_status bf__practical_value(bf__practical *of, const bf_rating_spec *rating, double x,
                              double dose_kg_per_m3, double *value, bf_error *err)
{
    const double noise = 5e-4; /* of a rating, as in probe.c */
    if (of->how == NULL || isnan(*value)) {
        return BF_OK;
    }
    if (*value < -noise) { /* not even the rating is enough */
        *value += log(of->ratio);
        return BF_OK;
    }
    double ratio = 0.0;
    bf_status status = ratio_at(of->how, rating, dose_kg_per_m3, &ratio, err);
    if (status != BF_OK) {
        return status;
    }
    *value = ratio > 0.0 ? *value + log(ratio) : (double)NAN;
    of->ratio = ratio > 0.0 ? ratio : of->ratio;
    if (*value >= -noise && !(x >= of->least)) {
        of->least = x;
        of->ratio_of_least = ratio;
    }
    return BF_OK;
}
