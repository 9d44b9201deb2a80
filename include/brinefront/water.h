/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file water.h
 * A water analysis: what the laboratory sheet states, and the complete water that follows from it.
 */
#ifndef BRINEFRONT_WATER_H
#define BRINEFRONT_WATER_H

#include "brinefront/ions.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What somebody states about a water. NAN means: not stated. */
typedef struct bf_water_analysis {
    double hardness_eq_per_m3;   /**< Ca + Mg; > 0 */
    double calcium_to_magnesium; /**< ratio by equivalents, > 0 */
    double
        ion_eq_per_m3[BF_ION_COUNT];   /**< each ion that was analysed; HCO3 holds the alkalinity */
    double dissolved_solids_kg_per_m3; /**< total dissolved solids, dried */
    double conductivity_S_per_m;       /**< at 25 C */
    double temperature_K;              /**< 273.15 .. 323.15; default 293.15 */
    double pH;                         /**< 4 .. 11; default 7.5 */
} bf_water_analysis;

/** A complete, electroneutral water. */
typedef struct bf_water {
    double ion_eq_per_m3[BF_ION_COUNT];
    double hardness_eq_per_m3;  /**< Ca + Mg (+ Sr + Ba where analysed) */
    double normality_eq_per_m3; /**< sum of cations = sum of anions */
    double temperature_K;
    double pH;
    double imbalance; /**< (cations - anions)/(cations + anions) as analysed, before filling; NAN
                           where the analysis was too short to tell */
} bf_water;

/** Nothing stated: every field NAN. */
BF_API bf_water_analysis bf_water_analysis_default(void);

/**
 * Complete an analysis by rule, saying in notes what was assumed or deduced (where: a key such as
 * "water.sodium"):
 *  1. Ca and Mg from hardness and ratio, from one of them and hardness, or stated; the ratio where
 *     nothing says is 2 by equivalents.
 *  2. Na where not stated: from the anions when all of alkalinity, chloride and sulfate are stated;
 *     else from dissolved solids, or from conductivity at 0.65 mg/L per uS/cm; else 2 eq/m3.
 *  3. What the anions are then short of is chloride; where chloride was stated, alkalinity; where
 *     that was stated too, sulfate. Where all ions are stated and do not balance, Na (cations
 *     short) or Cl (anions short) fills, and the imbalance is kept and noted.
 *  4. Other ions that are not stated are absent. H+ is left out (ion_eq_per_m3[BF_ION_H] is 0 in
 *     `out`). Fe and Mn count as dissolved and divalent, with a caution.
 *
 * @param notes  may be NULL
 * @return BF_OK; BF_E_RANGE for no hardness at all, a negative, non-finite or impossible value,
 *         contradicting statements (hardness and Ca + Mg, or ratio and Ca, Mg, differing by more
 *         than 2 %), an imbalance above 10 %; `out` is untouched then
 *
 * Source of each rule: water.c. Tested in tests/water/test_water.c.
 */
BF_API BF_MUST_CHECK bf_status bf_water_complete(const bf_water_analysis *analysis, bf_water *out,
                                                 bf_notes *notes, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
