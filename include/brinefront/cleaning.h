/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file cleaning.h
 * Taking bound iron off a resin: reductants and acids, how much of them, how well, and what can go
 * wrong. Nothing here is advice to mix chemicals; bf_cleaning_safety_get() says why.
 */
#ifndef BRINEFRONT_CLEANING_H
#define BRINEFRONT_CLEANING_H

#include "brinefront/iron.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What bound iron is cleaned with; amounts count the pure compound. */
typedef enum bf_cleaner {
    BF_CLEANER_DITHIONITE,   /**< Na2S2O4: 2 Fe(III) a mol */
    BF_CLEANER_BISULFITE,    /**< NaHSO3: 2 Fe(III) a mol; slow and mild */
    BF_CLEANER_CITRIC,       /**< citric acid, 1 mol a mol of Fe (complex) */
    BF_CLEANER_PHOSPHORIC,   /**< H3PO4, 3 mol a mol of Fe, one H+ each */
    BF_CLEANER_HYDROCHLORIC, /**< HCl, 3 mol a mol of Fe, and one for every site */
    BF_CLEANER_COUNT
} bf_cleaner;

/** "sodium dithionite", ... */
BF_API const char *bf_cleaner_name(bf_cleaner cleaner);

/** Pure reagent that stoichiometry asks for, kg per kg of Fe, sites left out. */
BF_API double bf_cleaner_kg_per_kg_iron(bf_cleaner cleaner);

/** Acid that iron and, for HCl, the sites of the resin take, kg per m3 of bed.
 *  @param capacity_eq_per_m3  of the bed; the other acids are too weak to convert it */
BF_API double bf_cleaning_acid_kg_per_m3(bf_cleaner acid, double capacity_eq_per_m3,
                                         double bound_kg_per_m3);

/** Most iron that a dose of a reductant can take off, all of it at work, kg of Fe per m3 of bed. */
BF_API double bf_cleaning_limit_kg_per_m3(bf_cleaner reductant, double dose_kg_per_m3);

/** How much of its power a reductant has at a pH, 0 .. 1: whole from 6 to 8, a hundredth at 12,
 * none below 4. */
BF_API double bf_cleaning_reductant_window(double pH);

typedef struct bf_reductive_clean {
    bf_cleaner agent;       /**< dithionite or bisulfite */
    double dose_kg_per_m3;  /**< of the pure compound per m3 of bed, 0 .. 50 */
    double duration_s;      /**< of the soak, 0 .. 172800 */
    double pH;              /**< of the cleaning liquid, 3 .. 13 */
    double bound_kg_per_m3; /**< iron there is, 0 .. 1000: a cell may hold far more than the mean */
    int aged;               /**< nonzero: crystalline oxide, slower */
} bf_reductive_clean;

/**
 * Iron that a reductive cleaning dissolves, kg of Fe per m3 of bed.
 *
 *     dS/dt = -k w (R/R0) S^(2/3) S0^(1/3)
 *     R     = R0 - (nu/(eta w)) (S0 - S)
 *
 * w is bf_cleaning_reductant_window(); the other symbols stand in model/iron/cleaning.c.
 *
 * @param removed_kg_per_m3  out; it must be brined off at once, or it oxidises again
 * @return BF_OK; BF_E_RANGE naming the field
 * Tested in tests/iron/test_cleaning.c.
 */
BF_API BF_MUST_CHECK bf_status bf_cleaning_reduce(const bf_iron_spec *spec,
                                                  const bf_reductive_clean *clean,
                                                  double *removed_kg_per_m3, bf_error *err);

/** One thing to know before anybody cleans a resin with chemicals. */
typedef struct bf_safety_fact {
    const char *subject;
    const char *text;   /**< sentences */
    const char *source; /**< or "from memory", "common practice, no source" */
} bf_safety_fact;

BF_API size_t bf_cleaning_safety_count(void);
/** @param index  below bf_cleaning_safety_count() */
BF_API bf_safety_fact bf_cleaning_safety_get(size_t index);

#ifdef __cplusplus
}
#endif
#endif
