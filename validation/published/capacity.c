/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Capacity against salt dose: the two tables, all other ratings, a textbook's
 * share of the total, the standards' ceiling, and the two base values of worked
 * examples. Steady cycle, film and bead law. */
#include "against.h"
#include "try.h"

static const against single[] = {
    {"resin_bulletin", "capacity", "capacity_kgr_per_ft3", "kgr/ft3", measure_capacity_kgr, 0},
    {"magazine_table", "capacity", "capacity_kgr_per_ft3", "kgr/ft3", measure_capacity_kgr, 0},
    {"all_ratings", "several", "capacity_kgr_per_ft3", "kgr/ft3", measure_capacity_kgr, 0},
    {"all_ratings", "single", "capacity_kgr_per_ft3", "kgr/ft3", measure_capacity_kgr, 0},
    {"design_ceiling", "capacity", "capacity_kgr_per_ft3", "kgr/ft3", measure_capacity_kgr, 0},
    {"bulletin_chart", "capacity", "capacity_g_CaCO3_per_L", "g CaCO3/L", measure_capacity_g, 0},
    {"worked_sheet", "capacity", "capacity_g_CaCO3_per_L", "g CaCO3/L", measure_capacity_g, 0}};

static bf_status one(int variant, outcome *out, bf_error *err)
{
    return against_run(&single[variant], out, err);
}

static bf_status both_tables(int variant, outcome *out, bf_error *err)
{
    bf_status status = BF_OK;
    (void)variant;
    TRY(against_run(&single[0], out, err));
    TRY(against_run(&single[1], out, err));
done:
    return status;
}

/* In % of the total capacity of the resin record. */
static bf_status share_of_total(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_rating_spec rating;
    bf_status status = BF_OK;
    (void)variant;
    TRY(source_read("davis_2010", &data, err));
    TRY(source_rating(data.case_text, &rating, err));
    for (size_t row = 0; (row = source_next(&data, "share_of_total", row)) > 0;) {
        char point[40];
        bf_dose_point result;
        double dose_kg_per_m3 = against_dose(&data, row, point, sizeof point);
        TRY(source_rate(data.case_text, &dose_kg_per_m3, 1, &result, err));
        source_add(out, &data, row, "share_of_total_percent", point, "% of total",
                   100.0 * source_capacity(&result) / rating.bed.resin.total_capacity_eq_per_m3);
    }
done:
    return status;
}

const comparison capacity_comparisons[] = {{"resin_bulletin", one, 0},
                                           {"magazine_table", one, 1},
                                           {"both_tables", both_tables, 0},
                                           {"several_ratings", one, 2},
                                           {"single_ratings", one, 3},
                                           {"design_ceiling", one, 4},
                                           {"bulletin_chart", one, 5},
                                           {"worked_sheet", one, 6},
                                           {"share_of_total", share_of_total, 0},
                                           {NULL, NULL, 0}};
