/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A column of resin: its making, its state between runs, a look inside. Runs are in run.c.
 *
 * Between runs the state is kept with the top cell first.
 */
#include "brinefront/bed.h"

#include "bed/alter.h"
#include "bed/balance.h"
#include "bed/freeboard.h"
#include "bed/parts.h"
#include "resin/selectivity.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- life ------------------------------------------------------------------------------------ */

/* Absolute tolerances by kind of state. Pore-water hardness has its own (leakage is thousands of
 * times smaller than the brine in the same cell); a resin fraction off by 1e-6 moves the water it
 * stands in by less than that; the effluent integrals follow from the rest and are not controlled.
 */
static void set_tolerances(const bf_bed_spec *spec, const bf_ion_set *ions,
                           const bf__layout *layout, double *tolerance)
{
    const double fraction = 1e-6;
    const double salt_eq_per_m3 = 1000.0 * spec->hardness_tolerance_eq_per_m3;
    const double uncontrolled = 1e30;
    double ion_tolerance[BF__MAX_IONS];
    for (size_t i = 0; i < layout->ions; i++) {
        ion_tolerance[i] = bf_ion_get(ions->ion[i])->charge == 2
                               ? spec->hardness_tolerance_eq_per_m3
                               : 1000.0 * spec->hardness_tolerance_eq_per_m3;
    }
    for (size_t p = 0; p < bf__layout_length(layout); p++) {
        tolerance[p] = fraction;
    }
    for (size_t p = 0; p < layout->stride; p++) {
        tolerance[p] = salt_eq_per_m3;
        for (size_t i = 0; i < layout->ions; i++) {
            tolerance[bf__layout_pore(layout, i) + p] = ion_tolerance[i];
        }
    }
    size_t local = 0;
    for (size_t s = 0; s < spec->source_count; s++) {
        for (size_t l = 0; l < spec->sources[s].local_count; l++, local++) {
            for (size_t p = 0; p < layout->stride; p++) {
                tolerance[bf__layout_local(layout, local) + p] = spec->sources[s].local_tolerance;
            }
        }
    }
    for (size_t q = 0; q <= layout->ions; q++) {
        tolerance[bf__layout_freeboard(layout) + q] =
            q == 0 ? salt_eq_per_m3 : ion_tolerance[q - 1];
        tolerance[bf__layout_effluent(layout) + q] = uncontrolled;
    }
}

static void set_constants(bf_bed *bed)
{
    const bf_bed_spec *spec = &bed->spec;
    bf__column *column = &bed->column;
    const size_t e = column->layout.ions;
    column->rate_law = spec->rate_law;
    column->void_fraction = spec->resin.void_fraction;
    column->total_capacity_eq_per_m3 = spec->resin.total_capacity_eq_per_m3;
    for (size_t i = 0; i <= e; i++) {
        bf_ion ion = i < e ? column->ions->ion[i] : BF_ION_NA;
        column->diffusivity[i] =
            bf_resin_diffusivity_m2_per_s(&spec->resin, ion, spec->temperature_K);
        column->charge[i] = (double)bf_ion_get(ion)->charge;
        if (i < e) {
            column->is_hardness[i] = bf_ion_is_hardness(ion) ? 1.0 : 0.0;
        }
    }
    column->shell_volume = bed->beads.shell_volume;
    column->face_weight = bed->beads.face_weight;
    bed->freeboard_ratio = spec->freeboard_m / spec->depth_m;
    for (size_t k = 0; k < spec->cells; k++) {
        double depth = ((double)k + 0.5) / (double)spec->cells * spec->depth_m;
        bed->depth_m[k] = depth;
        bed->depth_m[2 * spec->cells - 1 - k] = depth;
    }
}

bf_status bf__bed_solve_by(bf_bed *bed, const bf__newton_kind *kind, bf_error *err)
{
    const bf_bed_spec *spec = &bed->spec;
    const bf__layout *layout = &bed->column.layout;
    double *tolerance = calloc(bf__layout_length(layout), sizeof(double));
    if (tolerance == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for a bed");
    }
    bf__integrator_free(bed->integrator);
    bed->integrator = NULL;
    set_tolerances(spec, bed->column.ions, layout, tolerance);
    bf_status status =
        bf__integrator_create(kind, layout, spec->source_count > 0, spec->relative_tolerance,
                              tolerance, &bed->integrator, err);
    free(tolerance);
    return status;
}

/* Layout and memory of a bed, whose selectivity is set. @return zero where memory is short */
static int allocate(bf_bed *bed, const bf_bed_spec *spec)
{
    bf__column *column = &bed->column;
    bf__layout *layout = &column->layout;
    layout->cells = spec->cells;
    layout->stride = bf__layout_stride(spec->cells);
    layout->ions = column->ions->count;
    bed->beads = bf__beads_of(spec);
    layout->classes = bed->beads.classes;
    layout->shells = bed->beads.shells;
    for (size_t s = 0; s < spec->source_count; s++) {
        layout->locals += spec->sources[s].local_count;
    }
    const size_t kept = bf__layout_kept(layout);
    bed->state = calloc(kept, sizeof(double));
    bed->trial = calloc(kept, sizeof(double));
    bed->depth_m = calloc(2 * spec->cells, sizeof(double));
    bed->sources = calloc(spec->source_count + 1, sizeof *bed->sources);
    column->work = calloc(bf__column_work_size(layout), sizeof(double));
    return bed->state != NULL && bed->trial != NULL && bed->depth_m != NULL &&
           bed->sources != NULL && column->work != NULL;
}

bf_status bf_bed_create(const bf_bed_spec *spec, const bf_selectivity *selectivity, bf_bed **out,
                        bf_error *err)
{
    *out = NULL;
    bf_status status = bf_bed_spec_check(spec, err);
    if (status != BF_OK) {
        return status;
    }
    if (spec->rate_law == BF_RATE_REACTION &&
        bf__selectivity_law(selectivity) != BF_EQUILIBRIUM_SEPARATION_FACTOR) {
        return bf_error_set(err, BF_E_RANGE, "bed",
                            "reaction kinetics need an equilibrium of constant separation factor");
    }
    bf_bed *bed = calloc(1, sizeof *bed);
    if (bed == NULL) {
        goto no_memory;
    }
    bed->spec = *spec;
    bf__column *column = &bed->column;
    column->selectivity = selectivity;
    column->ions = bf__selectivity_ions(selectivity);
    if (!allocate(bed, spec)) {
        goto no_memory;
    }
    for (size_t s = 0; s < spec->source_count; s++) {
        bed->sources[s] = spec->sources[s];
    }
    bed->spec.sources = bed->sources;
    column->sources = bed->sources;
    column->source_count = spec->source_count;
    set_constants(bed);
    status = bf__bed_solve_by(
        bed, spec->solver == BF_SOLVER_BANDED ? &bf__newton_banded : &bf__newton_block, err);
    if (status == BF_OK) {
        double sodium[BF_ION_COUNT] = {[BF_ION_NA] = 1.0};
        status = bf_bed_fill(bed, NULL, sodium, err);
    }
    if (status == BF_OK) {
        *out = bed;
        bed = NULL;
    }
    goto done;
no_memory:
    status = bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for a bed");
done:
    bf_bed_free(bed);
    return status;
}

void bf_bed_free(bf_bed *bed)
{
    if (bed != NULL) {
        bf__integrator_free(bed->integrator);
        free(bed->state);
        free(bed->trial);
        free(bed->depth_m);
        free(bed->sources);
        free(bed->column.work);
        free(bed);
    }
}

/* ---- state ----------------------------------------------------------------------------------- */

double bf__bed_normality(const double *eq_per_m3)
{
    double sum = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        sum += eq_per_m3[i];
    }
    return sum;
}

bf_status bf__bed_check_tracked(const bf_bed *bed, const char *where, const double *eq_per_m3,
                                bf_error *err)
{
    const bf_ion_set *ions = bed->column.ions;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        bf_ion ion = (bf_ion)i;
        if (ion != BF_ION_NA && eq_per_m3[i] > 0.0 && bf_ion_set_index(ions, ion) == ions->count) {
            return bf_error_set(err, BF_E_RANGE, where,
                                "%s is in the water but not among the ions the bed tracks; add it "
                                "to the ion set",
                                bf_ion_get(ion)->name);
        }
    }
    return BF_OK;
}

void bf__bed_spread_out(const bf__column *column, const double *tracked, double *per_ion)
{
    memset(per_ion, 0, BF_ION_COUNT * sizeof *per_ion);
    double rest = tracked[0];
    for (size_t i = 0; i < column->layout.ions; i++) {
        per_ion[column->ions->ion[i]] = tracked[1 + i];
        rest -= tracked[1 + i];
    }
    per_ion[BF_ION_NA] = rest;
}

bf_status bf_bed_fill(bf_bed *bed, const double *resin_fraction, const double *water_eq_per_m3,
                      bf_error *err)
{
    const bf__column *column = &bed->column;
    const bf__layout *layout = &column->layout;
    double normality = bf__bed_normality(water_eq_per_m3);
    if (!(normality > 0.0 && isfinite(normality))) {
        return bf_error_set(err, BF_E_RANGE, "bf_bed_fill",
                            "the water's normality is %g eq/m3; it must be above zero", normality);
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (!(water_eq_per_m3[i] >= 0.0)) {
            return bf_error_set(err, BF_E_RANGE, "bf_bed_fill",
                                "the water's %s is %g eq/m3; it must be zero or above",
                                bf_ion_get((bf_ion)i)->name, water_eq_per_m3[i]);
        }
    }
    bf_status status = bf__bed_check_tracked(bed, "bf_bed_fill", water_eq_per_m3, err);
    if (status != BF_OK) {
        return status;
    }
    double sum = 0.0;
    for (size_t i = 0; i < layout->ions && resin_fraction != NULL; i++) {
        double fraction = resin_fraction[column->ions->ion[i]];
        sum += fraction;
        if (!(fraction >= 0.0 && fraction <= 1.0 && sum <= 1.0 + 1e-9)) {
            return bf_error_set(err, BF_E_RANGE, "bf_bed_fill",
                                "resin fraction of %s is %g; fractions lie between 0 and 1 and add "
                                "up to at most 1",
                                bf_ion_get(column->ions->ion[i])->name, fraction);
        }
    }
    for (size_t k = 0; k < layout->cells; k++) {
        bed->state[k] = normality;
        for (size_t i = 0; i < layout->ions; i++) {
            bf_ion ion = column->ions->ion[i];
            bed->state[bf__layout_pore(layout, i) + k] = water_eq_per_m3[ion];
            for (size_t m = 0; m < layout->shells; m++) {
                bed->state[bf__layout_shell(layout, m, i) + k] =
                    resin_fraction != NULL ? resin_fraction[ion] : 0.0;
            }
        }
    }
    double *freeboard = bed->state + bf__layout_freeboard(layout);
    freeboard[0] = normality;
    for (size_t i = 0; i < layout->ions; i++) {
        freeboard[1 + i] = water_eq_per_m3[column->ions->ion[i]];
    }
    bf__freeboard_stir(layout, bed->state);
    return BF_OK;
}

void bf_bed_mix(bf_bed *bed, double share)
{
    const bf__layout *layout = &bed->column.layout;
    for (size_t row = 0; row < layout->shells * layout->ions; row++) {
        double *y = bed->state + bf__layout_shell(layout, 0, 0) + bf__layout_row(layout, row);
        double mean = 0.0;
        for (size_t k = 0; k < layout->cells; k++) {
            mean += y[k];
        }
        mean /= (double)layout->cells;
        for (size_t k = 0; k < layout->cells; k++) {
            y[k] += share * (mean - y[k]);
        }
    }
}

static int same_quantities(const bf__layout *a, const bf__layout *b)
{
    return a->shells == b->shells && a->classes == b->classes && a->ions == b->ions &&
           a->locals == b->locals;
}

static int same_shape(const bf_bed *a, const bf_bed *b)
{
    return a->column.layout.cells == b->column.layout.cells &&
           same_quantities(&a->column.layout, &b->column.layout);
}

bf_status bf_bed_copy(bf_bed *out, const bf_bed *input, bf_error *err)
{
    if (!same_shape(out, input)) {
        return bf_error_set(err, BF_E_RANGE, "bf_bed_copy",
                            "the two beds differ in cells, shells, ions or local states");
    }
    memcpy(out->state, input->state, bf__layout_kept(&out->column.layout) * sizeof(double));
    return BF_OK;
}

/* Linear between the middles of the cells, level beyond the first and the last. */
static void resample_row(size_t n, const double *input, size_t m, double *out)
{
    for (size_t k = 0; k < m; k++) {
        double place = ((double)k + 0.5) * (double)n / (double)m - 0.5;
        double inside = fmin(fmax(place, 0.0), (double)(n - 1));
        size_t left = (size_t)inside < n - 2 ? (size_t)inside : n - 2;
        double share = inside - (double)left;
        out[k] = (1.0 - share) * input[left] + share * input[left + 1];
    }
}

bf_status bf_bed_resample(bf_bed *out, const bf_bed *input, bf_error *err)
{
    const bf__layout *x = &out->column.layout;
    const bf__layout *y = &input->column.layout;
    if (!same_quantities(x, y)) {
        return bf_error_set(err, BF_E_RANGE, "bf_bed_resample",
                            "the two beds differ in shells, ions or local states");
    }
    for (size_t row = 0; row < bf__layout_rows(x); row++) {
        resample_row(y->cells, input->state + bf__layout_row(y, row), x->cells,
                     out->state + bf__layout_row(x, row));
    }
    memcpy(out->state + bf__layout_freeboard(x), input->state + bf__layout_freeboard(y),
           (bf__layout_kept(x) - bf__layout_freeboard(x)) * sizeof(double));
    return BF_OK;
}

double bf_bed_distance(const bf_bed *a, const bf_bed *b)
{
    if (!same_shape(a, b)) {
        return NAN;
    }
    const bf__layout *layout = &a->column.layout;
    double sum = 0.0;
    for (size_t row = 0; row < layout->shells * layout->ions; row++) {
        size_t start = bf__layout_shell(layout, 0, 0) + bf__layout_row(layout, row);
        double volume = a->column.shell_volume[row / layout->ions];
        for (size_t k = 0; k < layout->cells; k++) {
            sum += volume * fabs(a->state[start + k] - b->state[start + k]);
        }
    }
    return sum / (double)(layout->ions * layout->cells);
}

/* ---- looking inside -------------------------------------------------------------------------- */

bf_holding bf_bed_holding(const bf_bed *bed)
{
    const bf__column *column = &bed->column;
    const bf__layout *layout = &column->layout;
    double resin[1 + BF__MAX_IONS] = {1.0};
    double pore[1 + BF__MAX_IONS] = {0};
    const double cells = (double)layout->cells;
    for (size_t k = 0; k < layout->cells; k++) {
        for (size_t q = 0; q <= layout->ions; q++) {
            pore[q] += bed->state[bf__layout_row(layout, q) + k] / cells;
        }
        for (size_t row = 0; row < layout->shells * layout->ions; row++) {
            resin[1 + row % layout->ions] +=
                column->shell_volume[row / layout->ions] *
                bed->state[bf__layout_shell(layout, 0, 0) + bf__layout_row(layout, row) + k] /
                cells;
        }
    }
    bf_holding holding;
    bf__bed_spread_out(column, resin, holding.resin_fraction);
    bf__bed_spread_out(column, pore, holding.pore_eq_per_m3);
    return holding;
}

void bf_bed_profile(const bf_bed *bed, bf_ion ion, double *resin_fraction, double *pore_eq_per_m3)
{
    const bf__column *column = &bed->column;
    const bf__layout *layout = &column->layout;
    for (size_t k = 0; k < layout->cells; k++) {
        double pore[1 + BF__MAX_IONS];
        double resin[1 + BF__MAX_IONS] = {1.0};
        double per_ion[BF_ION_COUNT];
        for (size_t q = 0; q <= layout->ions; q++) {
            pore[q] = bed->state[bf__layout_row(layout, q) + k];
        }
        for (size_t row = 0; row < layout->shells * layout->ions; row++) {
            resin[1 + row % layout->ions] +=
                column->shell_volume[row / layout->ions] *
                bed->state[bf__layout_shell(layout, 0, 0) + bf__layout_row(layout, row) + k];
        }
        if (resin_fraction != NULL) {
            bf__bed_spread_out(column, resin, per_ion);
            resin_fraction[k] = per_ion[ion];
        }
        if (pore_eq_per_m3 != NULL) {
            bf__bed_spread_out(column, pore, per_ion);
            pore_eq_per_m3[k] = per_ion[ion];
        }
    }
}

size_t bf_bed_cell_count(const bf_bed *bed)
{
    return bed->column.layout.cells;
}

static bf_status check_local(const bf_bed *bed, size_t local, bf_error *err)
{
    if (local >= bed->column.layout.locals) {
        return bf_error_set(err, BF_E_RANGE, "bf_bed_local",
                            "local state %zu of a bed that has %zu", local,
                            bed->column.layout.locals);
    }
    return BF_OK;
}

bf_status bf_bed_local(const bf_bed *bed, size_t local, double *values, bf_error *err)
{
    bf_status status = check_local(bed, local, err);
    if (status == BF_OK) {
        memcpy(values, bed->state + bf__layout_local(&bed->column.layout, local),
               bed->column.layout.cells * sizeof *values);
    }
    return status;
}

bf_status bf_bed_set_local(bf_bed *bed, size_t local, const double *values, bf_error *err)
{
    bf_status status = check_local(bed, local, err);
    if (status == BF_OK) {
        memcpy(bed->state + bf__layout_local(&bed->column.layout, local), values,
               bed->column.layout.cells * sizeof *values);
    }
    return status;
}

const bf__column *bf__bed_column(const bf_bed *bed)
{
    return &bed->column;
}

double *bf__bed_state(bf_bed *bed)
{
    return bed->state;
}

void bf__bed_held(const bf_bed *bed, double held_eq_per_m3[BF_ION_COUNT])
{
    double held[1 + BF__MAX_IONS];
    bf__balance_held(&bed->column, bed->freeboard_ratio, bed->state, held);
    held[0] += bed->column.total_capacity_eq_per_m3; /* what the resin holds, sodium included */
    bf__bed_spread_out(&bed->column, held, held_eq_per_m3);
}
