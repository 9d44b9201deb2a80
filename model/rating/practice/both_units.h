/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quantity said in both unit systems, for a sentence whose reader is not known: "3.407 m3/h (15
 * gpm)". */
#ifndef BF_RATING_PRACTICE_BOTH_UNITS_H
#define BF_RATING_PRACTICE_BOTH_UNITS_H

#include "base/quantities.h"

typedef struct bf__words {
    char text[64];
} bf__words;

/* To four digits; once where both systems have one unit. */
bf__words bf__both(bf__quantity quantity, double si);

/* The same rounded down: what is said holds. */
bf__words bf__both_at_most(bf__quantity quantity, double si);

#endif
