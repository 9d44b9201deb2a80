/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of water through a bed: what the flow fixes, the law of the water above the bed, the balance.
 *
 *     stirred freeboard      one integration, the freeboard a state of it
 *     layers, flow down      one integration a layer: the bed takes the lowest until it is used up
 *     layers, flow up        one integration of the bed alone; what leaves the vessel is late (late.h)
 *
 * The state is turned over for a run upward, so that all below sees water enter at cell 0.
 */
#include "brinefront/bed.h"

#include "bed/balance.h"
#include "bed/freeboard.h"
#include "bed/late.h"
#include "bed/parts.h"
#include "bed/transport.h"
#include "brinefront/hydraulics.h"

#include <math.h>
#include <string.h>

/* Laws that mean "at once" are given this many times the rate they must outrun: a numerical
 * choice: what is left of the resistance is a ten-thousandth. */
static const double unhindered = 1e4;

static bf_status check_flow(const bf_bed *bed, const bf_flow *flow, bf_error *err)
{
    const char *where = "bf_bed_run";
    double normality = bf__bed_normality(flow->inlet_eq_per_m3);
    if (!(flow->velocity_m_per_s >= 0.0 && flow->velocity_m_per_s <= 1.0)) {
        return bf_error_set(err, BF_E_RANGE, where, "velocity is %g m/s; accepted are 0 to 1 m/s",
                            flow->velocity_m_per_s);
    }
    if (!(flow->duration_s > 0.0 && isfinite(flow->duration_s))) {
        return bf_error_set(err, BF_E_RANGE, where, "duration is %g s; it must be above zero",
                            flow->duration_s);
    }
    if (!(normality > 0.0 && isfinite(normality))) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "the inlet's normality is %g eq/m3; it must be above zero", normality);
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (!(flow->inlet_eq_per_m3[i] >= 0.0)) {
            return bf_error_set(err, BF_E_RANGE, where,
                                "the inlet's %s is %g eq/m3; it must be zero or above",
                                bf_ion_get((bf_ion)i)->name, flow->inlet_eq_per_m3[i]);
        }
    }
    if (!(flow->fluid.density_kg_per_m3 > 0.0 && flow->fluid.viscosity_Pa_s > 0.0)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "density %g kg/m3 and viscosity %g Pa s must be above zero",
                            flow->fluid.density_kg_per_m3, flow->fluid.viscosity_Pa_s);
    }
    return bf__bed_check_tracked(bed, where, flow->inlet_eq_per_m3, err);
}

/* h of ion i: how much of what the pore water is off equilibrium crosses over, 1/s per m3 of bed.
 */
static double transfer_of(const bf_bed *bed, const bf_flow *flow, size_t grade, bf_ion ion)
{
    const bf_bed_spec *spec = &bed->spec;
    const double diameter = bed->beads.diameter_m[grade];
    const double void_fraction = spec->resin.void_fraction;
    if (spec->rate_law == BF_RATE_LINEAR_DRIVING_FORCE || spec->rate_law == BF_RATE_REACTION) {
        return spec->rate_constant_per_s[ion];
    }
    if (spec->rate_law == BF_RATE_EQUILIBRIUM) {
        double cell_m = spec->depth_m / (double)spec->cells;
        return unhindered * (flow->velocity_m_per_s > 0.0 ? flow->velocity_m_per_s / cell_m : 1.0);
    }
    double film = spec->film_m_per_s;
    double diffusivity =
        bf_ion_diffusivity_m2_per_s(ion, spec->temperature_K, flow->fluid.viscosity_Pa_s);
    if (isnan(film)) {
        film = bf_film_coefficient_m_per_s(spec->film_law, &flow->fluid, flow->velocity_m_per_s,
                                           diameter, void_fraction, diffusivity);
        /* Standing water still diffuses: a sphere alone in it has Sh = 2. */
        film = fmax(film, 2.0 * diffusivity / diameter);
    }
    if (spec->coat_m > 0.0) {
        film = 1.0 / (1.0 / film + spec->coat_m / diffusivity);
    }
    double area_per_bed = bed->beads.share[grade] * 6.0 * (1.0 - void_fraction) / diameter;
    return film * area_per_bed * (spec->rate_law == BF_RATE_BEAD ? unhindered : 1.0);
}

static int has_freeboard(const bf_bed *bed, const bf_flow *flow)
{
    return bed->spec.freeboard_m > 0.0 && !flow->bypass_freeboard;
}

/* What enters the bed, or the freeboard before it: C, c_1 .. c_E. */
static void set_inlet(bf__column *column, const double *water)
{
    column->inlet_normality = water[0];
    memcpy(column->inlet, water + 1, column->layout.ions * sizeof *water);
}

static void gather(const bf__column *column, const double *per_ion, double *tracked)
{
    tracked[0] = bf__bed_normality(per_ion);
    for (size_t i = 0; i < column->layout.ions; i++) {
        tracked[1 + i] = per_ion[column->ions->ion[i]];
    }
}

static void set_run(bf_bed *bed, const bf_flow *flow)
{
    const bf_bed_spec *spec = &bed->spec;
    bf__column *column = &bed->column;
    const double u = flow->velocity_m_per_s;
    const double cell_m = spec->depth_m / (double)spec->cells;
    double dispersion = spec->dispersion_m2_per_s;
    if (isnan(dispersion)) {
        dispersion = u > 0.0
                         ? spec->dispersion_factor *
                               bf_dispersion_m2_per_s(&flow->fluid, u, spec->resin.bead_diameter_m)
                         : 0.0;
    }
    column->advance_per_s = u / (spec->resin.void_fraction * cell_m);
    column->spread_per_s = dispersion / (cell_m * cell_m);
    column->inlet_weight = bf__transport_inlet_weight(column->advance_per_s, column->spread_per_s);
    column->bed_volumes_per_s = u / spec->depth_m;
    column->freeboard = !has_freeboard(bed, flow)         ? BF__FREEBOARD_NONE
                        : flow->direction == BF_FLOW_DOWN ? BF__FREEBOARD_BEFORE
                                                          : BF__FREEBOARD_BEHIND;
    column->flush_per_s = spec->freeboard_m > 0.0 ? u / spec->freeboard_m : 0.0;
    for (size_t i = 0; i < column->layout.ions; i++) {
        bf_ion ion = column->ions->ion[i];
        for (size_t grade = 0; grade < column->layout.classes; grade++) {
            column->transfer_per_s[grade][i] = transfer_of(bed, flow, grade, ion);
        }
    }
    column->depth_m = bed->depth_m + (flow->direction == BF_FLOW_UP ? spec->cells : 0);
}

/* Copy the state with the order of the cells turned over or not. */
static void turn(const bf__layout *layout, int over, const double *input, double *out)
{
    memcpy(out, input, bf__layout_kept(layout) * sizeof *out);
    for (size_t row = 0; over && row < bf__layout_rows(layout); row++) {
        for (size_t k = 0; k < layout->cells; k++) {
            out[bf__layout_row(layout, row) + k] =
                input[bf__layout_row(layout, row) + layout->cells - 1 - k];
        }
    }
}

/* ---- what an observer sees -------------------------------------------------------------------- */

typedef struct watcher {
    const bf_bed *bed;
    const bf_flow *flow;
} watcher;

static void tell(const watcher *watched, double time_s, const double *tracked)
{
    const bf__column *column = &watched->bed->column;
    double effluent[BF_ION_COUNT];
    bf__bed_spread_out(column, tracked, effluent);
    bf_moment moment = {.time_s = time_s,
                        .bed_volumes = time_s * column->bed_volumes_per_s,
                        .effluent_eq_per_m3 = effluent,
                        .hardness_eq_per_m3 = bf__column_hardness(column, tracked),
                        .normality_eq_per_m3 = tracked[0]};
    watched->flow->observe(watched->flow->context, &moment);
}

static void watch(void *context, double time_s, const double *state)
{
    const watcher *watched = context;
    double tracked[1 + BF__MAX_IONS];
    bf__column_effluent(&watched->bed->column, state, tracked);
    tell(watched, time_s, tracked);
}

/* ---- the ways through -------------------------------------------------------------------------- */

/* One integration, whatever the freeboard is to it. */
static bf_status integrate(bf_bed *bed, const bf_flow *flow, bf__integration *run, bf_error *err)
{
    watcher watched = {.bed = bed, .flow = flow};
    return bf__integrator_run(bed->integrator, &bed->column, bed->trial, run,
                              flow->observe != NULL ? watch : NULL, &watched, err);
}

/* What is left of a run after its last layer, when all that is left is rounding: CVODE cannot start
 * over less than a few bits of the time. */
static const double rounding = 1e-12;

/* Down, layer by layer: the lowest is what the bed takes, what enters lies on top. */
static bf_status run_layers_down(bf_bed *bed, const bf_flow *flow, bf__integration *run,
                                 bf_error *err)
{
    const bf__layout *layout = &bed->column.layout;
    const double height_per_s = bed->column.flush_per_s;
    const double longest_s = run->duration_s;
    double enters[1 + BF__MAX_IONS];
    gather(&bed->column, flow->inlet_eq_per_m3, enters);
    bed->column.freeboard = BF__FREEBOARD_NONE;
    bf__integration whole = *run;
    whole.duration_s = 0.0;
    whole.hardness_first_eq_per_m3 = NAN;
    whole.hardness_low_eq_per_m3 = INFINITY;
    whole.steps = 0;
    bf_status status = BF_OK;
    while (status == BF_OK && longest_s - whole.duration_s > rounding * longest_s &&
           !whole.reached_end_hardness) {
        const double *water;
        const double share = bf__freeboard_lowest(layout, bed->trial, &water);
        const double left_s = longest_s - whole.duration_s;
        const int is_last =
            share >= 1.0 && memcmp(water, enters, (1 + layout->ions) * sizeof *water) == 0;
        const int uses_up = !is_last && share / height_per_s <= left_s;
        bf__integration part = *run;
        part.start_s = whole.duration_s;
        part.duration_s = uses_up ? share / height_per_s : left_s;
        set_inlet(&bed->column, water);
        status = integrate(bed, flow, &part, err);
        if (status != BF_OK) {
            break;
        }
        const int stopped = part.reached_end_hardness;
        const double passed = uses_up && !stopped ? share : part.duration_s * height_per_s;
        if (!is_last && passed > 0.0) {
            bf__freeboard_enter_top(layout, bed->trial, fmin(passed, 1.0), enters);
        }
        whole.duration_s = stopped || uses_up ? whole.duration_s + part.duration_s : longest_s;
        whole.reached_end_hardness = stopped;
        whole.hardness_last_eq_per_m3 = part.hardness_last_eq_per_m3;
        whole.hardness_low_eq_per_m3 =
            fmin(whole.hardness_low_eq_per_m3, part.hardness_low_eq_per_m3);
        whole.steps += part.steps;
        if (isnan(whole.hardness_first_eq_per_m3)) {
            whole.hardness_first_eq_per_m3 = part.hardness_first_eq_per_m3;
        }
    }
    if (!whole.reached_end_hardness) {
        whole.duration_s = longest_s;
    }
    set_inlet(&bed->column, enters);
    *run = whole;
    return status;
}

/* Up: the bed runs as if nothing stood above it; what leaves it pushes the layers out. */
static bf_status run_layers_up(bf_bed *bed, const bf_flow *flow, bf__integration *run,
                               bf_error *err)
{
    bed->column.freeboard = BF__FREEBOARD_NONE;
    bf__late *late = NULL;
    bf_status status = bf__late_create(&bed->column, bed->freeboard_ratio, bed->trial, &late, err);
    if (status == BF_OK) {
        status = bf__integrator_run(bed->integrator, &bed->column, bed->trial, run, bf__late_watch,
                                    late, err);
    }
    if (status == BF_OK) {
        status = bf__late_finish(late, bed->trial, err);
    }
    if (status == BF_OK) {
        watcher watched = {.bed = bed, .flow = flow};
        double tracked[1 + BF__MAX_IONS];
        run->hardness_first_eq_per_m3 = NAN;
        run->hardness_low_eq_per_m3 = INFINITY;
        for (size_t m = 0; m < bf__late_count(late); m++) {
            const double time_s = bf__late_moment(late, m, tracked);
            const double hardness = bf__column_hardness(&bed->column, tracked);
            run->hardness_low_eq_per_m3 = fmin(run->hardness_low_eq_per_m3, hardness);
            run->hardness_last_eq_per_m3 = hardness;
            if (m > 0 && flow->observe != NULL) {
                tell(&watched, time_s, tracked);
            }
        }
        if (run->first_at_s <= run->duration_s) {
            bf__late_effluent(late, run->first_at_s, tracked);
            run->hardness_first_eq_per_m3 = bf__column_hardness(&bed->column, tracked);
        }
    }
    bf__late_free(late);
    return status;
}

/* Choose the law, run, and leave the freeboard as it then stands. */
static bf_status run_through(bf_bed *bed, const bf_flow *flow, bf__integration *run, bf_error *err)
{
    const bf__layout *layout = &bed->column.layout;
    if (!has_freeboard(bed, flow) || flow->velocity_m_per_s <= 0.0) {
        return integrate(bed, flow, run, err); /* nothing passes the freeboard */
    }
    const bf__freeboard_meeting meeting = {.law = bed->spec.freeboard_law,
                                           .direction = flow->direction,
                                           .velocity_m_per_s = flow->velocity_m_per_s,
                                           .height_m = bed->spec.freeboard_m,
                                           .inlet_normality = bed->column.inlet_normality};
    const bf__freeboard_way way = bf__freeboard_meets(&meeting, layout, bed->trial);
    if (way == BF__FREEBOARD_LAYERS && flow->direction == BF_FLOW_DOWN) {
        return run_layers_down(bed, flow, run, err);
    }
    /* An end point is looked for in what leaves the vessel at every moment, which layers make late. */
    if (way == BF__FREEBOARD_LAYERS && isnan(flow->end_hardness_eq_per_m3)) {
        return run_layers_up(bed, flow, run, err);
    }
    bf_status status = integrate(bed, flow, run, err);
    bf__freeboard_stir(layout, bed->trial);
    return status;
}

bf_status bf_bed_run(bf_bed *bed, const bf_flow *flow, bf_passage *out, bf_error *err)
{
    bf_status status = check_flow(bed, flow, err);
    if (status != BF_OK) {
        return status;
    }
    bf__column *column = &bed->column;
    const bf__layout *layout = &column->layout;
    const int upward = flow->direction == BF_FLOW_UP;
    double enters[1 + BF__MAX_IONS];
    set_run(bed, flow);
    gather(column, flow->inlet_eq_per_m3, enters);
    set_inlet(column, enters);
    turn(layout, upward, bed->state, bed->trial);
    memset(bed->trial + bf__layout_effluent(layout), 0, (1 + layout->ions) * sizeof(double));
    double before[1 + BF__MAX_IONS];
    double after[1 + BF__MAX_IONS];
    bf__balance_held(column, bed->freeboard_ratio, bed->trial, before);

    bf__integration run = {.duration_s = flow->duration_s,
                           .end_hardness_eq_per_m3 = flow->end_hardness_eq_per_m3,
                           .first_at_s = column->bed_volumes_per_s > 0.0
                                             ? 0.5 / column->bed_volumes_per_s
                                             : (double)INFINITY};
    status = run_through(bed, flow, &run, err);
    if (status != BF_OK) {
        return status;
    }
    bf__balance_held(column, bed->freeboard_ratio, bed->trial, after);

    memset(out, 0, sizeof *out);
    out->duration_s = run.duration_s;
    out->bed_volumes = run.duration_s * column->bed_volumes_per_s;
    out->reached_end_hardness = run.reached_end_hardness;
    out->hardness_first_eq_per_m3 = run.hardness_first_eq_per_m3;
    out->hardness_low_eq_per_m3 = run.hardness_low_eq_per_m3;
    out->hardness_last_eq_per_m3 = run.hardness_last_eq_per_m3;
    out->steps = run.steps;
    double change[1 + BF__MAX_IONS];
    double entered[1 + BF__MAX_IONS];
    for (size_t q = 0; q <= layout->ions; q++) {
        change[q] = after[q] - before[q];
        entered[q] = out->bed_volumes * enters[q];
    }
    bf__bed_spread_out(column, entered, out->in_eq_per_m3);
    bf__bed_spread_out(column, bed->trial + bf__layout_effluent(layout), out->out_eq_per_m3);
    bf__bed_spread_out(column, change, out->stored_eq_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double left_over = out->in_eq_per_m3[i] - out->out_eq_per_m3[i] - out->stored_eq_per_m3[i];
        out->imbalance_eq_per_m3 = fmax(out->imbalance_eq_per_m3, fabs(left_over));
    }
    turn(layout, upward, bed->trial, bed->state);
    return BF_OK;
}
