/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of what the uncertain parameters do. */
#include "report/sensitivity/sensitivity.h"

#include <math.h>

const bf__column bf__sensitivity_columns[BF__SENSITIVITY_COLUMNS] = {
    BF__COLUMN(NULL, NULL, "", "at low", CAPACITY, "", 9, 1, 3),
    BF__COLUMN(NULL, NULL, "", "at high", CAPACITY, "", 9, 1, 3),
    BF__COLUMN(NULL, "spread_eq_per_L", "", "spread", CAPACITY, "", 9, 1, 3),
};

void bf__sensitivity_values(const bf_fouling_sensitivity *row,
                            double values[BF__SENSITIVITY_COLUMNS])
{
    values[0] = row->takes_part ? row->low.potential_eq_per_m3 : (double)NAN;
    values[1] = row->takes_part ? row->high.potential_eq_per_m3 : (double)NAN;
    values[2] = row->takes_part ? row->spread_eq_per_m3 : (double)NAN;
}
