/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Effluent brine as somebody with a hydrometer in the drain reads it. */
#ifndef BF_REPORT_CYCLE_ELUTION_H
#define BF_REPORT_CYCLE_ELUTION_H

#include "brinefront/brine.h"

typedef struct bf__elution {
    double mass_fraction;     /* as plain brine of the same normality */
    double specific_gravity;  /* density over that of water at the same temperature */
    double salometer_degrees; /* 100 is saturated at this temperature */
} bf__elution;

/* Beyond saturation, or outside the range of the brine tables, everything is NAN. */
bf__elution bf__elution_read(bf_salt salt, double normality_eq_per_m3, double temperature_K);

#endif
