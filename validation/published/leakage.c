/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mean leakage at the steady cycle against what is published of it: one value,
 * the rest limits. */
#include "against.h"

static const against compared[] = {
    {"michaud_2010", "leakage", "leakage_mg_per_L_CaCO3", "mg/L CaCO3", measure_leakage_mg, 0},
    {"c100_sheet", "share_10_lb", "leakage_percent_of_feed", "% of feed", measure_leakage_share, 0},
    {"c100_sheet", "share_4_lb", "leakage_percent_of_feed", "% of feed", measure_leakage_share, 0},
    {"c100_sheet", "below_1_mg", "leakage_mg_per_L_CaCO3", "mg/L CaCO3", measure_leakage_mg, 0},
    {"davis_2010", "leakage_10_lb", "leakage_mg_per_L_CaCO3", "mg/L CaCO3", measure_leakage_mg, 0},
    {"davis_2010", "leakage_5_lb", "leakage_mg_per_L_CaCO3", "mg/L CaCO3", measure_leakage_mg, 0},
    {"low_doses", "leakage", "leakage_mg_per_L_CaCO3", "mg/L CaCO3", measure_leakage_mg, 0},
    {"counter_current", "leakage", "leakage_over_co_current", "of co-current", measure_leakage_mg,
     1}};

static bf_status one(int variant, outcome *out, bf_error *err)
{
    return against_run(&compared[variant], out, err);
}

const comparison leakage_comparisons[] = {{"michaud_2010", one, 0},
                                          {"c100_sheet_10_lb", one, 1},
                                          {"c100_sheet_4_lb", one, 2},
                                          {"c100_sheet_not_below_1_mg", one, 3},
                                          {"davis_2010_10_lb", one, 4},
                                          {"davis_2010_5_lb", one, 5},
                                          {"low_doses", one, 6},
                                          {"counter_current", one, 7},
                                          {NULL, NULL, 0}};
