/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of an answer of size. */
#include "report/size/size_columns.h"

#include "brinefront/convert.h"

#include <math.h>
#include <string.h>

const bf__column bf__size_columns[BF__SIZE_COLUMNS] = {
    BF__COLUMN("dose_lb_per_ft3", "dose_g_per_L", "", "", DOSE, "", 0, 0, 0),
    [BF__SIZE_RESIN] = BF__COLUMN("resin_ft3", "resin_L", "", "", RESIN, "", 0, 0, 0),
    BF__COLUMN(NULL, "diameter_m", "", "", LENGTH, "", 0, 0, 0),
    BF__COLUMN(NULL, "depth_m", "", "", LENGTH, "", 0, 0, 0),
    [BF__SIZE_DAYS] = BF__COLUMN(NULL, "days", "", "", PLAIN, "", 0, 0, 0),
    BF__COLUMN(NULL, "salt_kg_per_year", "", "", MASS, "", 0, 0, 0),
    BF__COLUMN("capacity_kgr_per_ft3", "capacity_eq_per_L", "", "", CAPACITY, "", 0, 0, 0),
    BF__COLUMN("salt_efficiency_gr_per_lb", NULL, "", "", EFFICIENCY, "", 0, 0, 0),
    BF__COLUMN(NULL, "leakage_mean_mg_per_L_CaCO3", "", "", LEAKAGE, "", 0, 0, 0),
    BF__COLUMN(NULL, "leakage_first_mg_per_L_CaCO3", "", "", LEAKAGE, "", 0, 0, 0),
    BF__COLUMN(NULL, "throughput_BV", "", "", BED_VOLUMES, "", 0, 0, 0),
    BF__COLUMN(NULL, "regeneration_water_BV", "", "", BED_VOLUMES, "", 0, 0, 0),
    BF__COLUMN(NULL, "practical_ratio", "", "", PLAIN, "", 0, 0, 0),
};

void bf__size_values(const bf_sizing *found, double values[BF__SIZE_COLUMNS])
{
    const bf_cycle_result *cycle = &found->point.steady.cycle;
    const double rated = found->ratings > 0 && cycle->outcome == BF_RATED ? 1.0 : (double)NAN;
    const double dose = found->ratings > 0 ? found->point.dose_kg_per_m3 : (double)NAN;
    const double capacity = rated * cycle->capacity_eq_per_m3;
    const double row[BF__SIZE_COLUMNS] = {dose,
                                          bf_bed_volume_m3(&found->bed),
                                          found->bed.diameter_m,
                                          found->bed.depth_m,
                                          found->days,
                                          found->salt_kg_per_year,
                                          capacity,
                                          capacity * 1e-3 * BF_G_CACO3_PER_EQ / dose,
                                          rated * cycle->leakage_mean_eq_per_m3,
                                          rated * cycle->leakage_first_eq_per_m3,
                                          rated * cycle->throughput_bed_volumes,
                                          rated * cycle->water_bed_volumes,
                                          found->practical_ratio};
    memcpy(values, row, sizeof row);
}
