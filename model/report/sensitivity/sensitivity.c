/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of what the uncertain parameters do. */
#include "report/sensitivity/sensitivity.h"

#include <math.h>

const bf__column bf__sensitivity_columns[BF__SENSITIVITY_COLUMNS] = {
    {.head = {NULL, "at low"}, .kind = BF__QUANTITY_CAPACITY, .width = 9, .decimals = {1, 3}},
    {.head = {NULL, "at high"}, .kind = BF__QUANTITY_CAPACITY, .width = 9, .decimals = {1, 3}},
    {.name = {NULL, "spread_eq_per_L"},
     .head = {NULL, "spread"},
     .kind = BF__QUANTITY_CAPACITY,
     .width = 9,
     .decimals = {1, 3}},
};

void bf__sensitivity_values(const bf_fouling_sensitivity *row,
                            double values[BF__SENSITIVITY_COLUMNS])
{
    values[0] = row->takes_part ? row->low.potential_eq_per_m3 : (double)NAN;
    values[1] = row->takes_part ? row->high.potential_eq_per_m3 : (double)NAN;
    values[2] = row->takes_part ? row->spread_eq_per_m3 : (double)NAN;
}
