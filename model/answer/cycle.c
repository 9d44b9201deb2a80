/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle: one cycle looked at from inside. */
#include "answer/frame.h"

enum { CYCLES_FROM_NEW = 6 };

typedef struct work {
    bf_cycle_study study;
} work;

static const bf_option options[] = {
    {.name = "dose",
     .kind = BF_OPTION_WORDS,
     .value = "DOSE",
     .help = "salt dose, such as \"6 lb/ft3\"",
     .fallback = "the middle one of the case's"},
    {.name = "from",
     .kind = BF_OPTION_CHOICE,
     .value = "START",
     .accepted = "steady new",
     .help = "steady: the cycle that repeats itself; new: the first cycles of resin as delivered",
     .fallback = "steady"},
    BF__OPTION_UNITS,
    BF__OPTION_FORMAT("table csv json"),
    BF__OPTION_SOLVER,
};

static bf_status compute(bf__frame *frame, bf_error *err)
{
    work *w = frame->work;
    double dose_kg_per_m3 = 0.0;
    const size_t new_cycles = bf__option_choice(frame, "from") == 0 ? 0 : CYCLES_FROM_NEW;
    bf_status status = bf__one_dose(frame, &dose_kg_per_m3, err);
    return status != BF_OK ? status
                           : bf_cycle_study_run(&frame->input[0].input->rating, dose_kg_per_m3,
                                                new_cycles, &w->study, err);
}

static bf_status print(const bf__frame *frame, FILE *out, bf_error *err)
{
    const work *w = frame->work;
    const bf_cycle_report report = {.page = bf__page(frame, 0), .study = &w->study};
    return BF__PRINT(cycle, frame->form, &report, out, err);
}

static void release(bf__frame *frame)
{
    work *w = frame->work;
    bf_cycle_study_free(&w->study);
}

const bf__command bf__command_cycle = {
    .about = {.name = "cycle",
              .summary = "one cycle from inside: effluent, elution, the bed after each step",
              .description =
                  "One cycle of the bed of CASE: what each step takes and gives, the softened "
                  "water along the run, what the regeneration sends to drain, and the bed after "
                  "each step.",
              .least_cases = 1,
              .most_cases = 1,
              .option = options,
              .option_count = sizeof options / sizeof *options},
    .work_bytes = sizeof(work),
    .compute = compute,
    .print = print,
    .release = release};
