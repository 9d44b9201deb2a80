/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether vessel, bed and recipe go together, told from the sheet. */
#ifndef BF_RATING_TANK_TANK_FIT_H
#define BF_RATING_TANK_TANK_FIT_H

#include "brinefront/tank.h"

/* The fastest backwash of a recipe; NULL without one. */
const bf_step *bf__tank_backwash_of(const bf_recipe *recipe);

/* @return BF_OK; BF_E_RANGE where the resin does not fit */
BF_MUST_CHECK bf_status bf__tank_fit_resin(const bf_tank_spec *tank, const bf_rating_spec *rating,
                                           const bf_tank_sheet *sheet, bf_error *err);

/* All the rest, first come first told; sets backwash_fits. */
BF_MUST_CHECK bf_status bf__tank_fit(const bf_tank_spec *tank, const bf_rating_spec *rating,
                                     bf_tank_sheet *sheet, bf_error *err);

#endif
