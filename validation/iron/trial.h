/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed that the targets of iron were written for: one cubic foot that treats 300 gal/d, and
 * water of 20 gpg with 3 mg/L of iron. Its conditions stand in source.md, assumed once. */
#ifndef BF_VALIDATION_TRIAL_H
#define BF_VALIDATION_TRIAL_H

#include "outcome.h"

#include "brinefront/campaign.h"

/** 20 gpg, 3 mg/L of iron, pH 7.5, 1 mg/L of oxygen; every third day regenerated; 60 cycles. */
BF_MUST_CHECK bf_status trial_spec(double dose_lb_per_ft3, bf_campaign_spec *out, bf_error *err);

/** Another water of the same 12 C, 4 meq/L of alkalinity and Ca:Mg of 2. */
BF_MUST_CHECK bf_status trial_water(bf_campaign_spec *spec, double hardness_gpg,
                                    double iron_mg_per_L, double pH, double oxygen_mg_per_L,
                                    bf_error *err);

/** Superficial velocity of so many bed volumes an hour. */
double trial_pace(double bed_volumes_per_h);

/** Run all cycles. *cycles is yours, to be freed, also after a failure.
 *  @return as bf_campaign_run(); BF_E_RANGE where the bed was spent before its last cycle */
BF_MUST_CHECK bf_status trial_run(const bf_campaign_spec *spec, bf_campaign_cycle **cycles,
                                  bf_error *err);

/** The last cycle alone. */
BF_MUST_CHECK bf_status trial_last(const bf_campaign_spec *spec, bf_campaign_cycle *last,
                                   bf_error *err);

/** Add a number beside a target: "2.0", ">= 2", "<= 20", "1.15 to 1.6". */
void trial_add(outcome *result, const char *point, const char *target, const char *unit,
               double computed);

/** first/second, for a target that says no more than which is larger: what changes nothing at all
 *  has no direction, so equal values give NAN, which passes nothing. */
double trial_ratio(double first, double second);

#endif
