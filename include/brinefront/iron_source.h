/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file iron_source.h
 * Iron that oxidises and sticks while water runs through a bed: a source term for bf_bed_spec.
 *
 * Oxygen and suspended iron ride with the water. A bed's local states stay in their cell, so these
 * two are not states: they are found cell after cell along the flow, as they are while the water
 * passes (it takes a minute or two, deposits take days). What is left behind is a state.
 */
#ifndef BRINEFRONT_IRON_SOURCE_H
#define BRINEFRONT_IRON_SOURCE_H

#include "brinefront/bed.h"
#include "brinefront/oxidation.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Local states of the source, in order, for bf_bed_local(). mol per m3 of bed; the last three are
 *  accounts, whose mean over the cells is what left the bed since they were last set to zero. */
typedef enum bf_iron_local {
    BF_IRON_LOOSE,          /**< Fe in loose deposit */
    BF_IRON_BOUND,          /**< Fe in bound deposit */
    BF_IRON_OXYGEN_OUT,     /**< O2 that left with the water */
    BF_IRON_SUSPENDED_OUT,  /**< Fe(III) that left with the water */
    BF_IRON_ALKALINITY_OUT, /**< eq of alkalinity that left with the water */
    BF_IRON_LOCALS
} bf_iron_local;

typedef struct bf_iron_source bf_iron_source;

/**
 * Prepare a source term for beds of one spec.
 *
 * @param water  what enters; its temperature and pH hold in the whole bed
 * @param bed    sizes, resin, cells and shells; its own sources are not looked at
 * @param ions   the set that the bed will track; it must hold iron
 * @return BF_OK; BF_E_RANGE from the three checks, or where iron is not tracked; BF_E_MEMORY
 * Ownership: *out is yours; it must outlive the beds that use its term, one thread at a time.
 */
BF_API BF_MUST_CHECK bf_status bf_iron_source_create(const bf_iron_spec *spec,
                                                     const bf_iron_water *water,
                                                     const bf_bed_spec *bed, const bf_ion_set *ions,
                                                     bf_iron_source **out, bf_error *err);
BF_API void bf_iron_source_free(bf_iron_source *source); /* NULL is fine */

/** The term for bf_bed_spec.sources, where it comes first; borrows `source`. */
BF_API bf_source bf_iron_source_term(bf_iron_source *source);

/** State the superficial velocity of the next run: it must be that of the bf_flow.
 *  @return BF_OK; BF_E_RANGE unless it is above zero: water at rest is not covered */
BF_API BF_MUST_CHECK bf_status bf_iron_source_set_velocity(bf_iron_source *source,
                                                           double velocity_m_per_s, bf_error *err);

/** What the water carries out of each cell as the bed is now, top down, for a direction of
 *  flow; NULL arguments are left out. An alkalinity below zero says that the water cannot buffer
 *  what the iron frees, so that the prescribed pH does not hold. */
BF_API BF_MUST_CHECK bf_status bf_iron_source_profile(const bf_iron_source *source,
                                                      const bf_bed *bed, bf_direction direction,
                                                      double *oxygen_mol_per_m3,
                                                      double *suspended_mol_per_m3,
                                                      double *alkalinity_eq_per_m3, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
