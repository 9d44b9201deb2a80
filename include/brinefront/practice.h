/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file practice.h
 * Where a bed and its regeneration stand against published ranges of practice. A note is not an
 * error: practice has reasons that a model does not see, and limits that a bed may sensibly leave.
 */
#ifndef BRINEFRONT_PRACTICE_H
#define BRINEFRONT_PRACTICE_H

#include "brinefront/dose_curve.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What follows from a specification before anything is simulated. */
typedef struct bf_deduced {
    double area_m2;
    double resin_m3;
    double empty_bed_contact_s;  /**< of service */
    double service_pressure_Pa;  /**< pressure drop of the settled clean bed in service (Ergun) */
    double backwash_depth_ratio; /**< depth over settled depth; NAN without a backwash */
    double brine_normality_eq_per_m3;
    double brine_density_kg_per_m3;
    double brine_saturation;                /**< share of saturation */
    double brine_bed_volumes_per_kg_per_m3; /**< brine volume per dose */
    double brine_s_per_kg_per_m3;           /**< time the brine takes per dose */
    double salt_to_hold_all_kg_per_m3;      /**< dose whose equivalents fill the bed once */
} bf_deduced;

/** @return BF_OK; what bf_rating_spec_check() returns */
BF_API BF_MUST_CHECK bf_status bf_deduce(const bf_rating_spec *spec, bf_deduced *out,
                                         bf_error *err);

/** Add a BF_NOTE_CAUTION for everything outside practice: value, range and source of the range, in
 *  both unit systems. Ranges and sources: practice.c.
 *  @param dose_kg_per_m3  the doses asked for */
BF_API BF_MUST_CHECK bf_status bf_practice_notes(const bf_rating_spec *spec,
                                                 const double *dose_kg_per_m3, size_t dose_count,
                                                 bf_notes *notes, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
