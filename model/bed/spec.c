/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The specification of a bed: its defaults, and the ranges the model covers. */
#include "bed/column.h"
#include "brinefront/convert.h"
#include "resin/bead.h"
#include "resin/bead_sizes.h"

#include <math.h>

static size_t classes_of(const bf_bed_spec *spec)
{
    return spec->resin.uniformity_coefficient > 1.0 ? spec->bead_classes : 1;
}

bf__beads bf__beads_of(const bf_bed_spec *spec)
{
    bf__beads beads = {.classes = classes_of(spec)};
    beads.shells = beads.classes * spec->shells;
    bf__bead_sizes(&spec->resin, beads.classes, beads.diameter_m, beads.share);
    for (size_t grade = 0; grade < beads.classes; grade++) {
        double *volume = beads.shell_volume + grade * spec->shells;
        double *weight = beads.face_weight + grade * spec->shells;
        bf__bead_ladder(spec->shell_law, spec->shells, beads.diameter_m[grade], volume, weight);
        for (size_t m = 0; m < spec->shells; m++) {
            volume[m] *= beads.share[grade];
            weight[m] *= beads.share[grade];
        }
    }
    return beads;
}

bf_bed_spec bf_bed_spec_default(void)
{
    bf_bed_spec spec = {
        .diameter_m = 0.26,
        .depth_m = 0.76,
        .freeboard_m = 0.38,
        .freeboard_law = BF_FREEBOARD_BY_DENSITY,
        .temperature_K = 293.15,
        .resin = bf_resin_gel_8(),
        .rate_law = BF_RATE_FILM_AND_BEAD,
        .film_law = BF_FILM_WILSON_GEANKOPLIS,
        .film_m_per_s = NAN,
        .dispersion_m2_per_s = NAN,
        .dispersion_factor = 1.0,
        .cells = 120,
        .shells = 3,
        .bead_classes = 2,
        .shell_law = BF_SHELLS_MATCHED,
        .relative_tolerance = 5e-4,
        .hardness_tolerance_eq_per_m3 = 1e-5,
    };
    return spec;
}

static bf_status check_between(double value, double low, double high, const char *what,
                               const char *unit, bf_error *err)
{
    if (!(value >= low && value <= high)) {
        return bf_error_set(err, BF_E_RANGE, "bed", "%s is %g%s%s; the model covers %g to %g%s%s",
                            what, value, *unit ? " " : "", unit, low, high, *unit ? " " : "", unit);
    }
    return BF_OK;
}

static int has_uniform_bead(bf_rate_law law)
{
    return law != BF_RATE_FILM_AND_BEAD && law != BF_RATE_BEAD;
}

static bf_status check_ranges(const bf_bed_spec *spec, bf_error *err)
{
    const struct {
        double value, low, high;
        const char *what, *unit;
    } ranges[] = {
        {spec->diameter_m, 0.01, 10.0, "vessel diameter", "m"},
        {spec->depth_m, 0.01, 10.0, "bed depth", "m"},
        {spec->freeboard_m, 0.0, 10.0, "freeboard height", "m"},
        {spec->temperature_K, 273.15, 323.15, "temperature", "K"},
        {spec->dispersion_factor, 0.1, 10.0, "factor on dispersion", ""},
        {(double)spec->cells, 4.0, 4096.0, "number of cells", ""},
        {(double)spec->shells, 1.0, BF__BEAD_SHELLS_MAX, "number of shells", ""},
        {(double)spec->bead_classes, 1.0, BF_BEAD_CLASSES, "number of bead classes", ""},
        {spec->relative_tolerance, 1e-10, 1e-2, "relative tolerance", ""},
        {spec->hardness_tolerance_eq_per_m3, 1e-9, 1e-2, "hardness tolerance", "eq/m3"},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        bf_status status = check_between(ranges[i].value, ranges[i].low, ranges[i].high,
                                         ranges[i].what, ranges[i].unit, err);
        if (status != BF_OK) {
            return status;
        }
    }
    return BF_OK;
}

static bf_status check_rates(const bf_bed_spec *spec, bf_error *err)
{
    if (!isnan(spec->film_m_per_s) && !(spec->film_m_per_s > 0.0 && isfinite(spec->film_m_per_s))) {
        return bf_error_set(err, BF_E_RANGE, "bed",
                            "film coefficient is %g m/s; it must be above zero, or NAN for the "
                            "correlation",
                            spec->film_m_per_s);
    }
    if (!(spec->coat_m >= 0.0 && isfinite(spec->coat_m))) {
        return bf_error_set(
            err, BF_E_RANGE, "bed",
            "the coat on the beads is worth %g m of water; it must be zero or above", spec->coat_m);
    }
    if (!isnan(spec->dispersion_m2_per_s) &&
        !(spec->dispersion_m2_per_s >= 0.0 && isfinite(spec->dispersion_m2_per_s))) {
        return bf_error_set(err, BF_E_RANGE, "bed",
                            "dispersion is %g m2/s; it must be zero or above, or NAN for the "
                            "correlation",
                            spec->dispersion_m2_per_s);
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double k = spec->rate_constant_per_s[i];
        if (!(k >= 0.0 && isfinite(k))) {
            return bf_error_set(err, BF_E_RANGE, "bed",
                                "the rate constant of %s is %g 1/s; it must be zero or above",
                                bf_ion_get((bf_ion)i)->name, k);
        }
    }
    return BF_OK;
}

/* Rate law and solver, and what the law asks of the beads. */
static bf_status check_laws(const bf_bed_spec *spec, bf_error *err)
{
    if (spec->rate_law < BF_RATE_FILM_AND_BEAD || spec->rate_law > BF_RATE_EQUILIBRIUM) {
        return bf_error_set(err, BF_E_RANGE, "bed", "no rate law has the number %d",
                            (int)spec->rate_law);
    }
    if (spec->solver != BF_SOLVER_BLOCK && spec->solver != BF_SOLVER_BANDED) {
        return bf_error_set(err, BF_E_RANGE, "bed", "no solver has the number %d",
                            (int)spec->solver);
    }
    if (has_uniform_bead(spec->rate_law) && spec->shells != 1) {
        return bf_error_set(err, BF_E_RANGE, "bed",
                            "%zu shells with a rate law whose bead is uniform; set 1 shell",
                            spec->shells);
    }
    const size_t classes = classes_of(spec);
    if (classes > 1 && spec->rate_law != BF_RATE_FILM_AND_BEAD && spec->rate_law != BF_RATE_FILM &&
        spec->rate_law != BF_RATE_BEAD) {
        return bf_error_set(err, BF_E_RANGE, "bed",
                            "a uniformity coefficient of %g with a rate law that knows beads of "
                            "one size; set it to 1",
                            spec->resin.uniformity_coefficient);
    }
    if (classes * spec->shells > BF__MAX_SHELLS) {
        return bf_error_set(err, BF_E_RANGE, "bed",
                            "%zu shells in each of %zu classes of beads; there is room for %d in "
                            "all",
                            spec->shells, classes, BF__MAX_SHELLS);
    }
    return BF_OK;
}

static bf_status check_sources(const bf_bed_spec *spec, bf_error *err)
{
    size_t locals = 0;
    for (size_t s = 0; s < spec->source_count; s++) {
        const bf_source *source = &spec->sources[s];
        locals += source->local_count;
        if (source->rate == NULL || (source->local_count > 0 && !(source->local_tolerance > 0.0))) {
            return bf_error_set(err, BF_E_RANGE, "bed",
                                "source \"%s\" has no rate or no tolerance for its local states",
                                source->name);
        }
    }
    if (locals > BF__MAX_LOCALS) {
        return bf_error_set(err, BF_E_RANGE, "bed", "%zu local states; there is room for %d",
                            locals, BF__MAX_LOCALS);
    }
    return BF_OK;
}

bf_status bf_bed_spec_check(const bf_bed_spec *spec, bf_error *err)
{
    bf_status status = check_ranges(spec, err);
    if (status == BF_OK) {
        status = check_rates(spec, err);
    }
    if (status == BF_OK) {
        status = check_laws(spec, err);
    }
    if (status == BF_OK) {
        status = check_sources(spec, err);
    }
    return status == BF_OK ? bf_resin_check(&spec->resin, err) : status;
}

double bf_bed_area_m2(const bf_bed_spec *spec)
{
    return 0.25 * BF_PI * spec->diameter_m * spec->diameter_m;
}

double bf_bed_volume_m3(const bf_bed_spec *spec)
{
    return bf_bed_area_m2(spec) * spec->depth_m;
}
