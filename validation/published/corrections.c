/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much a changed condition moves the capacity: ratios of two steady cycles against published
 * correction factors. */
#include "against.h"

static const against compared[] = {
    {"worked_sheet", "sodium_0.295", "factor", "of capacity", measure_capacity_eq, 1},
    {"bulletin_chart", "sodium_0.36", "factor", "of capacity", measure_capacity_eq, 1},
    {"worked_sheet", "sodium_0.60", "factor", "of capacity", measure_capacity_eq, 1},
    {"worked_sheet", "hardness_300", "factor", "of capacity", measure_capacity_eq, 1},
    {"michaud_2023", "warm", "factor", "of capacity", measure_capacity_eq, 1},
    {"bulletin_chart", "flow", "factor", "of capacity", measure_capacity_eq, 1},
    {"bulletin_chart", "depth", "factor", "of capacity", measure_capacity_eq, 1},
    {"counter_current", "capacity", "capacity_over_co_current", "of co-current",
     measure_capacity_eq, 1}};

static bf_status one(int variant, outcome *out, bf_error *err)
{
    return against_run(&compared[variant], out, err);
}

const comparison corrections_comparisons[] = {
    {"sodium_0.295", one, 0}, {"sodium_0.36", one, 1},     {"sodium_0.60", one, 2},
    {"hardness_300", one, 3}, {"warm_water", one, 4},      {"flow", one, 5},
    {"depth", one, 6},        {"counter_current", one, 7}, {NULL, NULL, 0}};
