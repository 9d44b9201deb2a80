/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Years of a bed made up by hand, so that every figure of a report is known without an engine. */
#ifndef BF_TESTS_YEARS_H
#define BF_TESTS_YEARS_H

#include "brinefront/convert.h"
#include "brinefront/report.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const years_case =
    "title: A well (invented)\n"
    "water: {hardness: 20 gpg, iron: 3 mg/L, manganese: 0.4 mg/L, "
    "alkalinity: 250 mg/L as CaCO3, temperature: 54 F, pH: 7.5}\n"
    "bed: {diameter: 10 in, depth: 30 in}\n"
    "resin: {bead_diameter: 0.6 mm, uniformity_coefficient: 1}\n"
    "service: {flow: 5 gpm, end_point: 1 gpg}\n"
    "regeneration: {doses: [10 lb/ft3]}\n";

typedef struct years {
    bf_case input;
    bf_campaign_spec spec;
    bf_campaign_series series[BF_FOULING_SERIES];
    bf_notes *notes;
} years;

/* A campaign of the case: each three days, `cycles` of them. */
static inline void years_set_up(years *y, size_t cycles)
{
    bf_error err = {0};
    assert_ok(bf_notes_create(&y->notes, &err));
    assert_ok(
        bf_case_read_text(years_case, strlen(years_case), "years", &y->input, y->notes, &err));
    bf_campaign_spec *spec = &y->spec;
    *spec = bf_campaign_spec_default();
    spec->water = y->input.rating.water;
    spec->bed = y->input.rating.bed;
    spec->bed.cells = 30;
    spec->bed.shells = 2;
    spec->recipe = y->input.rating.recipe;
    bf_recipe_set_dose(&spec->recipe, y->input.dose_kg_per_m3[0]);
    spec->water_m3_per_day = 300.0 * BF_M3_PER_GAL;
    spec->cycles = cycles;
    y->input.campaign = (bf_case_campaign){.is_stated = 1,
                                           .spec = *spec,
                                           .duration_days = 3.0 * (double)cycles,
                                           .needed_eq_per_m3 = 22.0 * BF_EQ_PER_M3_PER_KGR_PER_FT3};
    memset(y->series, 0, sizeof y->series);
}

/* A series in straight lines: a tenth of its cycles simulated, capacity from 26 kgr/ft3 down by
 * `loss` of itself over the campaign, bound iron up to `bound` kg/m3. */
static inline void years_fill(years *y, size_t which, double loss, double bound)
{
    enum { STEP = 10 };
    bf_campaign_series *series = &y->series[which];
    const size_t count = y->spec.cycles / STEP;
    const double iron_mol = 1e3 / 55.845; /* per kg */
    series->cycle = calloc(count, sizeof *series->cycle);
    ck_assert_ptr_nonnull(series->cycle);
    series->count = count;
    series->state = BF_CAMPAIGN_COMPLETE;
    for (size_t c = 0; c < count; c++) {
        const double share = (double)(c + 1) / (double)count;
        bf_campaign_cycle *cycle = &series->cycle[c];
        *cycle = (bf_campaign_cycle){
            .cycle = STEP * (c + 1),
            .skipped = STEP - 1,
            .day = 3.0 * (double)(STEP * (c + 1)),
            .service_bed_volumes = bf_campaign_bed_volumes(&y->spec),
            .hardness_mean_eq_per_m3 = 0.02 + 0.2 * loss * share,
            .hardness_last_eq_per_m3 = 0.05 + 4.0 * loss * share,
            .iron_mean_g_per_m3 = 0.02 + 0.8 * loss * share,
            .manganese_mean_g_per_m3 = 0.001 + 0.02 * share,
            .loose_kg_per_m3 = 0.2 * share,
            .loose_top_kg_per_m3 = 0.6 * share,
            .bound_kg_per_m3 = bound * share,
            .bound_top_kg_per_m3 = 2.0 * bound * share,
            .retention = 0.01 * bound,
            .pressure_ratio = 1.0 + 2.0 * share,
            .total_capacity_eq_per_m3 =
                y->spec.bed.resin.total_capacity_eq_per_m3 * (1.0 - 0.5 * loss * share),
            .moisture = 0.46,
            .potential_eq_per_m3 = 26.0 * BF_EQ_PER_M3_PER_KGR_PER_FT3 * (1.0 - loss * share),
            .alkalinity_low_eq_per_m3 = 4.7,
            .salt_kg_per_m3 = y->input.dose_kg_per_m3[0],
            .water_bed_volumes = 8.0,
            .skip_error_kg_per_m3 = 0.004 * bound * share,
            .iron = {.in = 100.0 * bound * share * iron_mol,
                     .product = 1.0 * bound * share * iron_mol,
                     .waste = 97.0 * bound * share * iron_mol,
                     .held = 0.8 * bound * share * iron_mol,
                     .loose = 0.2 * bound * share * iron_mol,
                     .bound = bound * share * iron_mol},
            .manganese = {.in = 900.0 * share, .waste = 880.0 * share, .held = 20.0 * share},
        };
    }
}

static inline bf_foul_report years_report(const years *y)
{
    return (bf_foul_report){.page = bf_page_of_case(&y->input, y->notes, BF_UNITS_US),
                            .campaign = &y->input.campaign,
                            .spec = &y->spec,
                            .series = y->series};
}

static inline void years_tear_down(years *y)
{
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        bf_campaign_series_free(&y->series[s]);
    }
    bf_notes_free(y->notes);
}

/* ---- pages ----------------------------------------------------------------------------------- */

/* A text holds a part, or does not, whatever blanks and line ends stand between its words. */
static inline int holds(const char *text, const char *part)
{
    for (; *text != '\0'; text++) {
        const char *t = text;
        const char *p = part;
        while (*p != '\0' && *t != '\0') {
            if (*p == ' ' && (*t == ' ' || *t == '\n')) {
                t += strspn(t, " \n");
                p += strspn(p, " ");
            } else if (*p == *t) {
                t++;
                p++;
            } else {
                break;
            }
        }
        if (*p == '\0') {
            return 1;
        }
    }
    return 0;
}

#define assert_holds(text, part)                                                                   \
    ck_assert_msg(holds(text, part), "no \"%s\" in\n%.2500s", part, text)
#define assert_lacks(text, part) ck_assert_msg(!holds(text, part), "\"%s\" in\n%.2500s", part, text)

static inline void assert_fits(const char *text, size_t most)
{
    while (*text != '\0') {
        size_t width = strcspn(text, "\n");
        ck_assert_msg(width <= most, "%zu columns: %.*s", width, (int)width, text);
        text += width + (text[width] == '\n' ? 1 : 0);
    }
}

#endif
