/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file salt.h
 * The salts that regenerate, and how strong a brine of each can be.
 */
#ifndef BRINEFRONT_SALT_H
#define BRINEFRONT_SALT_H

#include "brinefront/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum bf_salt { BF_SALT_NACL, BF_SALT_KCL, BF_SALT_COUNT } bf_salt;

/** Grams per equivalent of salt: 58.44 (NaCl), 74.55 (KCl). */
BF_API double bf_salt_equivalent_mass_g_per_eq(bf_salt salt);

/** "NaCl", "KCl". */
BF_API const char *bf_salt_symbol(bf_salt salt);

/**
 * Mass fraction of a saturated brine, kg salt per kg solution.
 *
 * @param temperature_K  273.15 .. 373.15
 * @return BF_OK; BF_E_RANGE outside
 *
 * Monotone and with a continuous slope between the points of the tables, which it reproduces.
 * Source: NaCl: Salt Institute table (26.29 % at 0 C, 26.45 % at 21.11 C; between 0 and 0.1 C the
 * solid is NaCl.2H2O). KCl: CRC Handbook, from memory (21.74 % at 0 C, 25.39 % at 20 C).
 * Tested in tests/water/test_brine.c.
 */
BF_API BF_MUST_CHECK bf_status bf_brine_saturation(bf_salt salt, double temperature_K,
                                                   double *mass_fraction, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
