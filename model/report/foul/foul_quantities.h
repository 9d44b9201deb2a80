/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report tells of a bed month by month: one list for its tables, CSV and JSON. */
#ifndef BF_REPORT_FOUL_FOUL_QUANTITIES_H
#define BF_REPORT_FOUL_FOUL_QUANTITIES_H

#include "report/foul/foul_rows.h"
#include "report/page/columns.h"

/* Where a number comes from: a bf_campaign_quantity, or one of these, which follow from one. */
enum {
    BF__FOUL_CAPACITY_OF_NEW = BF_CAMPAIGN_QUANTITIES, /* over the first that is known */
    BF__FOUL_SITES_OF_NEW,
    BF__FOUL_PRESSURE_DROP /* Pa */
};

/* When a table shows a quantity; CSV and JSON have all. */
typedef enum bf__foul_need {
    BF__FOUL_ALWAYS,
    BF__FOUL_WITH_IRON,
    BF__FOUL_WITH_IRON_AND_ALKALINITY,
    BF__FOUL_WITH_MANGANESE,
    BF__FOUL_WITH_CHLORINE
} bf__foul_need;

typedef struct bf__foul_quantity {
    bf__column column;
    int source;
    bf__foul_need need;
    int stays;             /* in the table of what stays in the bed, not of what it gives */
    int range_width;       /* of a column with the range beside it; 0: none */
    int range_decimals[2]; /* by bf_unit_system */
} bf__foul_quantity;

extern const bf__foul_quantity bf__foul_quantities[];
extern const size_t bf__foul_quantity_count;

/* A quantity of the list at a day, as a row shows it. */
bf__span bf__foul_value(const bf_foul_report *report, const bf__foul_quantity *quantity,
                        double day);

#endif
