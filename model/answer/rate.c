/* SPDX-License-Identifier: GPL-3.0-or-later */
/* rate: capacity, leakage and salt efficiency against salt dose; with a tank its rating sheet. */
#include "answer/frame.h"

#include <stdlib.h>

typedef struct work {
    bf_dose_point *points;
    bf_grid_estimate grid;
    bf_overlay overlay;
    bf_dose_point *overlay_points;
    bf_tank_study study;
} work;

static const bf_option options[] = {
    {.name = "doses",
     .kind = BF_OPTION_WORDS,
     .value = "LIST",
     .help = "doses in place of the case's, such as \"3, 6, 10 lb/ft3\"",
     .fallback = "the case's"},
    {.name = "overlay",
     .kind = BF_OPTION_TABLE,
     .value = "FILE",
     .help = "lay a table of your own over the curve: comma-separated values with the head \"dose "
             "[lb/ft3], capacity [kgr/ft3]\""},
    BF__OPTION_SAMPLES("of a tank: samples of the uncertain constants for each band, 16 to 65536",
                       "the case's"),
    BF__OPTION_UNITS,
    BF__OPTION_FORMAT("table csv json"),
    BF__OPTION_SOLVER,
    BF__OPTION_THREADS,
};

static bf_status compute_curve(bf__frame *frame, work *w, bf_error *err)
{
    const bf_case *input = frame->input[0].input;
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = input->dose_kg_per_m3,
                                      .count = input->dose_count,
                                      .threads = frame->threads,
                                      .estimate_grid = 1,
                                      .watch = frame->question->watch};
    bf_status status = bf_dose_curve(&input->rating, &curve, w->points, &w->grid, err);
    frame->is_partial = status == BF_E_STOPPED;
    return status;
}

/* The tank's study; the case then shows what was rated, which may be a published test. */
static bf_status compute_sheet(bf__frame *frame, work *w, bf_error *err)
{
    bf_case *input = frame->input[0].input;
    const bf_case_tank *tank = &input->tank;
    const size_t samples = bf__option_count(frame, "samples");
    const bf_tank_study_spec spec = {.rating = &input->rating,
                                     .tank = &tank->spec,
                                     .protocol = tank->protocol,
                                     .quantile = tank->quantile,
                                     .samples = samples > 0 ? samples : tank->samples,
                                     .blend_eq_per_m3 = tank->blend_eq_per_m3,
                                     .uneven = tank->uneven,
                                     .stagnation = tank->stagnation,
                                     .dose_kg_per_m3 = input->dose_kg_per_m3,
                                     .count = input->dose_count,
                                     .threads = frame->threads,
                                     .watch = frame->question->watch};
    bf_status status = bf_tank_study_run(&spec, &w->study, frame->input[0].notes, err);
    frame->is_partial = status == BF_E_STOPPED;
    if (status == BF_OK || frame->is_partial) {
        input->rating = w->study.rating;
        w->grid = w->study.grid;
        for (size_t d = 0; d < input->dose_count; d++) {
            w->points[d] = w->study.dose[d].point;
        }
    }
    return status;
}

static bf_status read_overlay(bf__frame *frame, const bf_text *table, work *w, bf_error *err)
{
    const bf__case *own = &frame->input[0];
    bf__wrong_text(frame, table, own->notes);
    bf_status status = bf_overlay_read_text(table->text, table->length, table->name, own->input,
                                            &w->overlay, own->notes, err);
    bf__wrong_text(frame, status == BF_OK ? NULL : table, own->notes);
    return status;
}

static bf_status compute_overlay(bf__frame *frame, work *w, bf_error *err)
{
    double dose[BF_CASE_DOSES];
    for (size_t r = 0; r < w->overlay.count; r++) {
        dose[r] = w->overlay.row[r].dose_kg_per_m3;
    }
    w->overlay_points = calloc(w->overlay.count, sizeof *w->overlay_points);
    if (w->overlay_points == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "rate", "no memory");
    }
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = dose,
                                      .count = w->overlay.count,
                                      .threads = frame->threads,
                                      .watch = frame->question->watch};
    return bf_dose_curve(&frame->input[0].input->rating, &curve, w->overlay_points, NULL, err);
}

static bf_status compute(bf__frame *frame, bf_error *err)
{
    work *w = frame->work;
    const bf_case *input = frame->input[0].input;
    const bf_text *table = bf__option_table(frame, "overlay");
    bf_status status = BF_OK;
    if (bf__option(frame, "samples") != NULL && !input->tank.is_stated) {
        status = bf_error_set(err, BF_E_INPUT, "--samples",
                              "--samples is of the band of a tank, and the case has none: add a "
                              "section `tank`, such as \"tank: {size: 10x54}\"");
    }
    if (status == BF_OK && table != NULL) {
        status = read_overlay(frame, table, w, err);
    }
    if (status == BF_OK) {
        w->points = calloc(input->dose_count, sizeof *w->points);
        status = w->points == NULL ? bf_error_set(err, BF_E_MEMORY, "rate", "no memory") : BF_OK;
    }
    if (status == BF_OK) {
        status =
            input->tank.is_stated ? compute_sheet(frame, w, err) : compute_curve(frame, w, err);
    }
    return status == BF_OK && table != NULL ? compute_overlay(frame, w, err) : status;
}

static bf_status print(const bf__frame *frame, FILE *out, bf_error *err)
{
    const work *w = frame->work;
    const bf_case *input = frame->input[0].input;
    const bf_rate_report report = {.page = bf__page(frame, 0),
                                   .points = w->points,
                                   .count = input->dose_count,
                                   .grid = w->grid,
                                   .study = input->tank.is_stated ? &w->study : NULL,
                                   .tank = &input->tank,
                                   .overlay = w->overlay_points != NULL ? &w->overlay : NULL,
                                   .overlay_points = w->overlay_points};
    return BF__PRINT(rate, frame->form, &report, out, err);
}

static void release(bf__frame *frame)
{
    work *w = frame->work;
    bf_tank_study_free(&w->study);
    free(w->overlay_points);
    free(w->points);
}

const bf__command bf__command_rate = {
    .about = {.name = "rate",
              .summary = "capacity, leakage and salt efficiency against salt dose",
              .description = "Capacity, leakage and salt efficiency of the bed of CASE at a list "
                             "of salt doses, each at its cyclic steady state.",
              .least_cases = 1,
              .most_cases = 1,
              .option = options,
              .option_count = sizeof options / sizeof *options},
    .work_bytes = sizeof(work),
    .leaves_protocol = 1, /* the study of the tank applies it */
    .compute = compute,
    .print = print,
    .release = release};
