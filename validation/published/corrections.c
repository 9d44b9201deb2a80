/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much a changed condition moves the capacity: ratios of two steady cycles
 * against published correction factors. */
#include "against.h"
#include "try.h"

static const against compared[] = {
    {"worked_sheet", "hardness_300", "factor", "of capacity", measure_capacity_eq, 1},
    {"michaud_2023", "warm", "factor", "of capacity", measure_capacity_eq, 1},
    {"bulletin_chart", "flow", "factor", "of capacity", measure_capacity_eq, 1},
    {"bulletin_chart", "depth", "factor", "of capacity", measure_capacity_eq, 1},
    {"counter_current", "capacity", "capacity_over_co_current", "of co-current",
     measure_capacity_eq, 1},
    {"gottlieb_2001", "flow", "factor", "of capacity", measure_capacity_eq, 1},
    {"keller_fine_mesh", "ratio", "ratio", "of capacity", measure_capacity_eq, 1}};

static bf_status one(int variant, outcome *out, bf_error *err)
{
    return against_run(&compared[variant], out, err);
}

/* Two sources, three shares of sodium. */
static bf_status sodium(int variant, outcome *out, bf_error *err)
{
    static const against shares[] = {
        {"worked_sheet", "sodium_0.295", "factor", "of capacity", measure_capacity_eq, 1},
        {"bulletin_chart", "sodium_0.36", "factor", "of capacity", measure_capacity_eq, 1},
        {"worked_sheet", "sodium_0.60", "factor", "of capacity", measure_capacity_eq, 1}};
    bf_status status = BF_OK;
    (void)variant;
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        TRY(against_run(&shares[i], out, err));
    }
done:
    return status;
}

const comparison corrections_comparisons[] = {
    {"sodium", sodium, 0}, {"hardness_300", one, 0}, {"warm_water", one, 1},
    {"flow", one, 2},      {"depth", one, 3},        {"counter_current", one, 4},
    {"flow_160", one, 5},  {"fine_mesh", one, 6},    {NULL, NULL, 0}};
