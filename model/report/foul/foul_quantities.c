/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report tells of a bed month by month. */
#include "report/foul/foul_quantities.h"

#include <math.h>

enum { GIVES, STAYS }; /* in the table of what the bed gives, or of what stays in it */

#define QUANTITY(us_name, si_name, upper, lower, what, wide, us, si, from, when, table, range,     \
                 us_range, si_range)                                                               \
    {                                                                                              \
        BF__COLUMN(us_name, si_name, upper, lower, what, "", wide, us, si), from, BF__FOUL_##when, \
            table, range,                                                                          \
        {                                                                                          \
            us_range, si_range                                                                     \
        }                                                                                          \
    }

const bf__foul_quantity bf__foul_quantities[] = {
    QUANTITY("capacity_kgr_per_ft3", "capacity_eq_per_L", "", "capacity", CAPACITY, 10, 1, 3,
             BF_CAMPAIGN_POTENTIAL, ALWAYS, GIVES, 15, 1, 2),
    QUANTITY(NULL, NULL, "of", "new", SHARE, 6, 0, 0, BF__FOUL_CAPACITY_OF_NEW, ALWAYS, GIVES, 0, 0,
             0),
    QUANTITY(NULL, "hardness_mg_per_L_CaCO3", "hardness", "mean", LEAKAGE, 10, 2, 2,
             BF_CAMPAIGN_HARDNESS, ALWAYS, GIVES, 0, 0, 0),
    QUANTITY(NULL, "iron_mg_per_L", "iron", "mean", METAL, 8, 3, 3, BF_CAMPAIGN_IRON, WITH_IRON,
             GIVES, 0, 0, 0),
    QUANTITY(NULL, "manganese_mg_per_L", "manganese", "mean", METAL, 11, 3, 3,
             BF_CAMPAIGN_MANGANESE, WITH_MANGANESE, GIVES, 0, 0, 0),
    QUANTITY(NULL, NULL, "pressure", "drop", PRESSURE, 10, 2, 1, BF__FOUL_PRESSURE_DROP, ALWAYS,
             GIVES, 0, 0, 0),
    QUANTITY(NULL, "pressure_drop_per_clean", "times", "clean", PLAIN, 8, 2, 2,
             BF_CAMPAIGN_PRESSURE, ALWAYS, GIVES, 0, 0, 0),
    QUANTITY(NULL, "loose_iron_g_per_L_bed", "", "loose", DEPOSIT, 9, 1, 3, BF_CAMPAIGN_LOOSE,
             ALWAYS, STAYS, 0, 0, 0),
    QUANTITY("bound_iron_g_per_ft3_bed", "bound_iron_g_per_L_bed", "", "bound", DEPOSIT, 9, 1, 3,
             BF_CAMPAIGN_BOUND, ALWAYS, STAYS, 18, 1, 3),
    QUANTITY(NULL, "bound_iron_top_tenth_g_per_L_bed", "bound in", "top tenth", DEPOSIT, 11, 1, 3,
             BF_CAMPAIGN_BOUND_TOP, ALWAYS, STAYS, 0, 0, 0),
    QUANTITY(NULL, "retention_percent", "kept", "of iron", SHARE, 9, 1, 1, BF_CAMPAIGN_RETENTION,
             WITH_IRON, STAYS, 0, 0, 0),
    QUANTITY(NULL, NULL, "sites", "of new", SHARE, 8, 1, 1, BF__FOUL_SITES_OF_NEW, ALWAYS, STAYS, 0,
             0, 0),
    QUANTITY(NULL, "resin_capacity_eq_per_L", "", "", CAPACITY, 0, 0, 0, BF_CAMPAIGN_CAPACITY,
             ALWAYS, STAYS, 0, 0, 0),
    QUANTITY(NULL, "alkalinity_lowest_meq_per_L", "alkalinity", "lowest", ALKALINITY, 12, 2, 2,
             BF_CAMPAIGN_ALKALINITY, WITH_IRON_AND_ALKALINITY, STAYS, 0, 0, 0),
    QUANTITY(NULL, "moisture_percent", "", "moisture", SHARE, 10, 1, 1, BF_CAMPAIGN_MOISTURE,
             WITH_CHLORINE, STAYS, 0, 0, 0),
};
const size_t bf__foul_quantity_count = sizeof bf__foul_quantities / sizeof *bf__foul_quantities;

bf__span bf__foul_value(const bf_foul_report *report, const bf__foul_quantity *quantity, double day)
{
    const bf_campaign_cycle *first = bf__years_first_known(report->series);
    switch (quantity->source) {
    case BF__FOUL_CAPACITY_OF_NEW:
        return bf__span_times(bf__foul_row_span(report, BF_CAMPAIGN_POTENTIAL, day),
                              first != NULL ? 1.0 / first->potential_eq_per_m3 : (double)NAN);
    case BF__FOUL_SITES_OF_NEW:
        return bf__span_times(bf__foul_row_span(report, BF_CAMPAIGN_CAPACITY, day),
                              1.0 / report->spec->bed.resin.total_capacity_eq_per_m3);
    case BF__FOUL_PRESSURE_DROP:
        return bf__span_times(bf__foul_row_span(report, BF_CAMPAIGN_PRESSURE, day),
                              bf__campaign_clean_drop_Pa(report->spec, day));
    default: return bf__foul_row_span(report, (bf_campaign_quantity)quantity->source, day);
    }
}
