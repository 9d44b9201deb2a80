/* SPDX-License-Identifier: GPL-3.0-or-later */
/* compare: beds side by side. */
#include "answer/frame.h"

#include <stdlib.h>

enum { USUAL_SAMPLES = 64 };

typedef struct work {
    double dose_kg_per_m3[BF_CASE_DOSES * BF__CASES]; /* rows of cases */
    size_t doses;
    size_t samples; /* 0: no band */
    bf_compared_point *points;
} work;

static const bf_option options[] = {
    {.name = "doses",
     .kind = BF_OPTION_WORDS,
     .value = "LIST",
     .help = "doses for all cases, such as \"6, 10 lb/ft3\"",
     .fallback = "those that all cases share, or the middle one of each where they share none"},
    BF__OPTION_SAMPLES("samples of the uncertain constants, 16 to 65536", "64"),
    {.name = "no-band",
     .kind = BF_OPTION_FLAG,
     .help = "ratings alone, which is some twenty times quicker: whether a difference is beyond "
             "what the uncertain constants leave open is not told"},
    BF__OPTION_UNITS,
    BF__OPTION_FORMAT("table csv json"),
    BF__OPTION_THREADS,
};

static bf_status parse(bf__frame *frame, bf_error *err)
{
    return bf__option(frame, "no-band") != NULL && bf__option(frame, "samples") != NULL
               ? bf_error_set(err, BF_E_INPUT, "--samples",
                              "--samples is of the band, which --no-band leaves out")
               : BF_OK;
}

/* A list given is a row a dose for every case: "10 lb" is another dose in another bed. Else what
 * all share, and last the middle one of each. */
static void choose_doses(const bf__frame *frame, work *w)
{
    const size_t cases = frame->cases;
    const double *list[BF__CASES];
    size_t count[BF__CASES];
    double shared[BF_CASE_DOSES];
    for (size_t c = 0; c < cases; c++) {
        list[c] = frame->input[c].input->dose_kg_per_m3;
        count[c] = frame->input[c].input->dose_count;
    }
    const int is_list = bf__option(frame, "doses") != NULL;
    const size_t found = bf_shared_doses(list, count, cases, shared);
    w->doses = is_list ? count[0] : found > 0 ? found : 1;
    for (size_t d = 0; d < w->doses; d++) {
        for (size_t c = 0; c < cases; c++) {
            w->dose_kg_per_m3[d * cases + c] = is_list     ? list[c][d]
                                               : found > 0 ? shared[d]
                                                           : list[c][count[c] / 2];
        }
    }
}

static bf_status compute(bf__frame *frame, bf_error *err)
{
    work *w = frame->work;
    const bf_rating_spec *rating[BF__CASES];
    const size_t samples = bf__option_count(frame, "samples");
    for (size_t c = 0; c < frame->cases; c++) {
        rating[c] = &frame->input[c].input->rating;
    }
    w->samples = bf__option(frame, "no-band") != NULL ? 0 : samples > 0 ? samples : USUAL_SAMPLES;
    choose_doses(frame, w);
    w->points = calloc(w->doses * frame->cases, sizeof *w->points);
    if (w->points == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "compare", "no memory");
    }
    const bf_comparison_spec spec = {.rating = rating,
                                     .beds = frame->cases,
                                     .dose_kg_per_m3 = w->dose_kg_per_m3,
                                     .doses = w->doses,
                                     .samples = w->samples,
                                     .threads = frame->threads,
                                     .watch = frame->question->watch};
    return bf_compare(&spec, w->points, err);
}

static bf_status print(const bf__frame *frame, FILE *out, bf_error *err)
{
    const work *w = frame->work;
    bf_page page[BF__CASES];
    const char *name[BF__CASES];
    for (size_t c = 0; c < frame->cases; c++) {
        page[c] = bf__page(frame, c);
        name[c] = frame->input[c].name;
    }
    const bf_compare_report report = {.page = page,
                                      .name = name,
                                      .cases = frame->cases,
                                      .points = w->points,
                                      .doses = w->doses,
                                      .samples = w->samples};
    return BF__PRINT(compare, frame->form, &report, out, err);
}

static void release(bf__frame *frame)
{
    work *w = frame->work;
    free(w->points);
}

const bf__command bf__command_compare = {
    .about = {.name = "compare",
              .summary = "beds side by side, and what differences lie beyond the band",
              .description =
                  "Beds side by side: what differs between the cases, what each gives, and whether "
                  "the difference to the first is more than the uncertain constants leave open.",
              .least_cases = 2,
              .most_cases = BF__CASES,
              .option = options,
              .option_count = sizeof options / sizeof *options},
    .work_bytes = sizeof(work),
    .parse = parse,
    .compute = compute,
    .print = print,
    .release = release};
