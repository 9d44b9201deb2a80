/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What CSV and JSON tell of a bed month by month. */
#ifndef BF_REPORT_FOUL_FOUL_QUANTITIES_H
#define BF_REPORT_FOUL_FOUL_QUANTITIES_H

#include "brinefront/fouling_study.h"

typedef struct bf__foul_quantity {
    const char *name; /* with its unit */
    bf_campaign_quantity what;
    double factor; /* from SI to that unit */
} bf__foul_quantity;

enum { BF__FOUL_QUANTITIES = 14 };
extern const bf__foul_quantity bf__foul_quantities[BF__FOUL_QUANTITIES];

#endif
