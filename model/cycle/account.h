/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the steps of a cycle come to, for whoever runs them otherwise than one bed after the other.
 */
#ifndef BF_CYCLE_ACCOUNT_H
#define BF_CYCLE_ACCOUNT_H

#include "brinefront/cycle.h"

/* Outcome, capacity, leakage, water, salt, time and balance from out->step; every other field of
 * *out is to be zero. */
void bf__cycle_account(const bf_recipe *recipe, bf_cycle_result *out);

/* Bed volumes that a service lasts at the most. */
double bf__longest_service(const bf_step *step, const bf_site *site);

/* Two stretches of one run as a whole: the second goes on where the first ended. */
void bf__passage_join(const bf_passage *first, const bf_passage *second, bf_passage *whole);

#endif
