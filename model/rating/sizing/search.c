/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every search shares: a rating that is tried again and again, and what becomes of the tries. */
#include "rating/sizing/search.h"

#include <math.h>

const char *bf_binding_words(bf_binding binding)
{
    switch (binding) {
    case BF_BINDING_NONE: return "none";
    case BF_BINDING_CAPACITY: return "capacity";
    case BF_BINDING_LEAKAGE: return "leakage";
    case BF_BINDING_INTERVAL: return "interval between regenerations";
    case BF_BINDING_FLOW: return "flow";
    case BF_BINDING_SIZE: return "end of the range looked at";
    case BF_BINDING_CYCLE: return "no steady cycle to the end point";
    case BF_BINDING_STOPPED: return "stopped before anything was found";
    }
    return "unknown";
}

bf_binding bf__binding_of(const bf_dose_point *point, bf_binding where_rated)
{
    switch (point->steady.cycle.outcome) {
    case BF_RATED: return where_rated;
    case BF_LEAKS_FROM_THE_START: return BF_BINDING_LEAKAGE;
    case BF_END_NOT_REACHED:
    case BF_NOT_STEADY:
    case BF_NOT_COMPUTED: break;
    }
    return BF_BINDING_CYCLE;
}

void bf__sizing_start(const bf_rating_spec *rating, bf_sizing *out)
{
    *out = (bf_sizing){.answer = (double)NAN,
                       .nearest = (double)NAN,
                       .days = (double)NAN,
                       .salt_kg_per_year = (double)NAN,
                       .practical_ratio = (double)NAN,
                       .bed = rating->bed};
}

bf_status bf__sizing_check_above_zero(const char *where, const char *what, double value,
                                      const char *unit, bf_error *err)
{
    if (value > 0.0 && isfinite(value)) {
        return BF_OK;
    }
    return bf_error_set(err, BF_E_RANGE, where, "%s is %g %s; accepted are values above zero", what,
                        value, unit);
}

static bf_status check_spec(const bf_sizing_spec *spec, bf_error *err)
{
    if (spec == NULL || (spec->quantile >= 0.0 && spec->quantile <= 0.5)) {
        return BF_OK; /* samples are checked with the band */
    }
    return bf_error_set(err, BF_E_RANGE, "bf_sizing_spec",
                        "the quantile of the practical rating is %g; accepted are above 0 up to "
                        "0.5",
                        spec->quantile);
}

bf_status bf__search_open(const char *where, const bf_rating_spec *rating,
                          const bf_sizing_spec *spec, double dose_kg_per_m3, bf__try *rate,
                          void *context, bf__search *out, bf_error *err)
{
    bf_rating_spec dosed;
    *out = (bf__search){.rating = rating,
                        .spec = spec,
                        .ratio = 1.0,
                        .ratio_of_least = (double)NAN,
                        .least = (double)NAN};
    bf_status status = check_spec(spec, err);
    if (status == BF_OK) {
        status = bf__dosed_spec(where, rating, &dose_kg_per_m3, 1, &dosed, err);
    }
    if (status == BF_OK) {
        status = bf_rating_selectivity(rating, &out->selectivity, err);
    }
    if (status == BF_OK) {
        status = bf__probe_create(rate, context, spec == NULL ? (bf_watch){0} : spec->watch,
                                  &out->probe, err);
    }
    return status;
}

void bf__search_close(bf__search *search)
{
    bf__probe_free(search->probe);
    bf_selectivity_free(search->selectivity);
}

void bf__search_take(const bf__search *search, bf_status status, bf_binding decided,
                     bf_binding forbids, bf_sizing *out)
{
    const bf__probe *probe = search->probe;
    out->ratings = probe->tries;
    out->practical_ratio = search->ratio_of_least;
    if (!isnan(probe->enough_x)) {
        out->decided = decided;
        out->answer = probe->enough_x;
        out->point = probe->enough;
    } else {
        out->point = probe->highest;
        out->binding =
            status == BF_OK ? bf__binding_of(&probe->highest, forbids) : BF_BINDING_STOPPED;
    }
}
