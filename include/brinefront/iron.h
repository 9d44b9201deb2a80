/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file iron.h
 * What brinefront assumes about iron in a bed: every parameter with its range and with what the
 * number rests on.
 *
 * Nobody has published how a softening bed loses capacity to iron over its cycles. So most of what
 * follows is not measured: it is derived, or set so that known bounds are met ("calibrated"). A
 * result that hangs on such numbers is a range, from `low` to `high`, and says which they are.
 */
#ifndef BRINEFRONT_IRON_H
#define BRINEFRONT_IRON_H

#include "brinefront/resin.h"
#include "brinefront/status.h"

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/** What a number rests on, the strongest first. */
typedef enum bf_iron_basis {
    BF_IRON_BASIS_EXACT,    /**< follows from stoichiometry or a definition */
    BF_IRON_BASIS_MEASURED, /**< somebody measured it, on this or a near system */
    BF_IRON_BASIS_DERIVED,  /**< worked out from measured things, by a theory or by trade figures */
    BF_IRON_BASIS_CALIBRATED /**< set by judgement so that results stay inside known bounds */
} bf_iron_basis;

/** "exact", "measured", "derived", "calibrated". */
BF_API const char *bf_iron_basis_word(bf_iron_basis basis);

/** kH of "mol2 L-2 atm-1 min-1" in mol2 m-6 Pa-1 s-1. */
#define BF_IRON_SI_PER_KH (1e6 / 101325.0 / 60.0)
#define BF_IRON_S_PER_DAY 86400.0

/**
 * X(field with its unit, default, low, high, basis, meaning, source)
 *
 * One row a parameter: the struct, its defaults, its check and its printed table are made of it.
 * Deposits are counted as kg of Fe per m3 of settled bed, which is g/L.
 */
#define BF_IRON_PARAMETER_TABLE(X)                                                                 \
    X(oxidation_mol2_per_m6_Pa_s, 2.0e-15 * BF_IRON_SI_PER_KH, 1.5e-15 * BF_IRON_SI_PER_KH,        \
      8.0e-15 * BF_IRON_SI_PER_KH, BF_IRON_BASIS_MEASURED,                                         \
      "kH at 22 C of -d[Fe]/dt = kH [Fe] pO2/{H}^2",                                               \
      "Davison & Seed 1983, natural fresh waters; upper end Stumm & Lee 1961 (from memory)")       \
    X(oxidation_activation_J_per_mol, 96e3, 60e3, 140e3, BF_IRON_BASIS_MEASURED,                   \
      "activation energy of kH at fixed pH",                                                       \
      "Stumm & Lee 1961 (from memory); the published laws disagree by the range")                  \
    X(surface_access, 0.01, 1e-3, 0.1, BF_IRON_BASIS_CALIBRATED,                                   \
      "share of the ferric deposit that catalyses as a fresh suspension does", "no measurement")   \
    X(iron_over_magnesium, BF_IRON_OVER_MAGNESIUM, 0.97, 1.07, BF_IRON_BASIS_MEASURED,             \
      "selectivity of Fe over that of Mg", "resin affinity tables (from memory)")                  \
    X(manganese_over_magnesium, BF_MANGANESE_OVER_MAGNESIUM, 0.90, 1.00, BF_IRON_BASIS_MEASURED,   \
      "selectivity of Mn over that of Mg", "resin affinity tables (from memory)")                  \
    X(filter_per_m, 0.9, 0.14, 3.0, BF_IRON_BASIS_DERIVED,                                         \
      "filter coefficient for 0.6 mm beads at 12 m/h",                                             \
      "Meyers 2020, 10 to 90 % removal by resin beds; clean-bed filtration theory")                \
    X(filter_size_exponent, 2.0, 1.7, 2.6, BF_IRON_BASIS_DERIVED,                                  \
      "m: the coefficient falls with bead diameter to this power",                                 \
      "clean-bed filtration theory, floc of 0.5 to 10 um")                                         \
    X(filter_velocity_exponent, 0.5, 0.2, 0.6, BF_IRON_BASIS_DERIVED,                              \
      "n: the coefficient falls with velocity to this power",                                      \
      "clean-bed filtration theory, floc of 0.5 to 10 um")                                         \
    X(ageing_factor, 1.0, 0.1, 10.0, BF_IRON_BASIS_CALIBRATED,                                     \
      "multiplier of the ageing rate of exchanged iron",                                           \
      "hypothesis of this project (Donnan); no measurement")                                       \
    X(bead_water_eq_per_m3, 6400.0, 5500.0, 6500.0, BF_IRON_BASIS_DERIVED,                         \
      "fixed charge per volume of water inside the bead",                                          \
      "2 eq/L of bed over 0.62 of bead and half to 0.59 of that water")                            \
    X(catalysis_kg_per_m3, 5.0, 1.0, 20.0, BF_IRON_BASIS_CALIBRATED,                               \
      "bound iron that doubles the ageing rate", "no measurement")                                 \
    X(brine_precipitation, 0.01, 0.0, 0.05, BF_IRON_BASIS_DERIVED,                                 \
      "share of exchanged iron precipitated by a regeneration, where the brine's pH and oxygen "   \
      "are not stated",                                                                            \
      "the ageing law in brine at pH 7 to 7.5 over an hour")                                       \
    X(brine_removal, 0.0, 0.0, 0.01, BF_IRON_BASIS_DERIVED,                                        \
      "share of bound iron that plain brine takes off",                                            \
      "trade sources: brine does not effectively remove oxidised iron")                            \
    X(binding_per_s, 0.05 / BF_IRON_S_PER_DAY, 0.01 / BF_IRON_S_PER_DAY, 0.2 / BF_IRON_S_PER_DAY,  \
      BF_IRON_BASIS_CALIBRATED, "rate at which loose deposit becomes bound", "no measurement")     \
    X(backwash_per_s, 0.15 / 60.0, 0.05 / 60.0, 0.3 / 60.0, BF_IRON_BASIS_CALIBRATED,              \
      "rate at which a backwash of 50 % expansion takes off loose deposit",                        \
      "trade sources: most but not all is removed")                                                \
    X(sites_eq_per_mol, 1.0, 0.5, 3.0, BF_IRON_BASIS_CALIBRATED,                                   \
      "beta: sites blocked by bound iron",                                                         \
      "3 would be all iron as Fe3+ on sites, 0 neutral oxide beside them")                         \
    X(shell_kg_per_m3, 300.0, 100.0, 1000.0, BF_IRON_BASIS_CALIBRATED,                             \
      "iron in the deposit that coats a bead", "no measurement")                                   \
    X(shell_diffusivity_ratio, 0.1, 0.03, 0.3, BF_IRON_BASIS_CALIBRATED,                           \
      "diffusivity in that coat over that in water", "no measurement")                             \
    X(shell_share, 0.5, 0.2, 1.0, BF_IRON_BASIS_CALIBRATED,                                        \
      "share of the bound iron that lies outside the bead", "no measurement")                      \
    X(bead_blocking_kg_per_m3, 10.0, 3.0, 30.0, BF_IRON_BASIS_CALIBRATED,                          \
      "bound iron that halves diffusion in the bead", "no measurement")                            \
    X(floc_kg_per_m3, 50.0, 20.0, 100.0, BF_IRON_BASIS_CALIBRATED,                                 \
      "iron in the loose deposit that fills the void", "no measurement")                           \
    X(dithionite_use, 0.35, 0.2, 0.6, BF_IRON_BASIS_CALIBRATED,                                    \
      "share of the dithionite that reduces iron", "no measurement")                               \
    X(reduction_per_s, 8.93e-4, 8.93e-4 / 3.0, 8.93e-4 * 3.0, BF_IRON_BASIS_DERIVED,               \
      "first rate of reductive dissolution at full strength: 90 % in 30 min",                      \
      "Mehra & Jackson 1960, scaled")                                                              \
    X(reduction_aged, 0.3, 0.1, 0.9, BF_IRON_BASIS_DERIVED, "that rate for aged oxide over fresh", \
      "Mehra & Jackson 1960: goethite needs two or three treatments")                              \
    X(reduction_bisulfite, 0.1, 0.03, 0.3, BF_IRON_BASIS_CALIBRATED,                               \
      "that rate for bisulfite over dithionite", "much slower (from memory); no measurement")      \
    X(moisture_new, 0.46, 0.44, 0.48, BF_IRON_BASIS_MEASURED,                                      \
      "moisture of new 8 % gel resin, Na form", "resin makers' sheets")                            \
    X(moisture_m3_per_kg, 0.001, 0.0005, 0.002, BF_IRON_BASIS_DERIVED,                             \
      "rise of moisture per kg of chlorine and m3 of bed (0.1 points per g/L)",                    \
      "trade figures of resin life")                                                               \
    X(chloramine_weight, 0.5, 0.0, 1.0, BF_IRON_BASIS_DERIVED,                                     \
      "damage by chloramine over that by as much free chlorine",                                   \
      "trade: about half, in ambiguous words; the range is all that is possible")                  \
    X(chlorine_catalysis_kg_per_m3, 5.0, 2.0, 20.0, BF_IRON_BASIS_CALIBRATED,                      \
      "bound iron that doubles the damage by chlorine", "trade: iron speeds it; no figure")

/** The parameters; start from bf_iron_spec_default(). */
typedef struct bf_iron_spec {
#define BF_IRON_FIELD(field, value, low, high, basis, meaning, source) double field;
    BF_IRON_PARAMETER_TABLE(BF_IRON_FIELD)
#undef BF_IRON_FIELD
} bf_iron_spec;

BF_API bf_iron_spec bf_iron_spec_default(void);

/** @return BF_OK; BF_E_RANGE naming the first parameter outside its range. */
BF_API BF_MUST_CHECK bf_status bf_iron_spec_check(const bf_iron_spec *spec, bf_error *err);

/** One row of the table, for printing and for running a range. */
typedef struct bf_iron_parameter {
    const char *name; /**< the field, unit included */
    double value;     /**< default */
    double low, high;
    bf_iron_basis basis;
    const char *meaning;
    const char *source;
} bf_iron_parameter;

BF_API size_t bf_iron_parameter_count(void);
/** @param index  below bf_iron_parameter_count() */
BF_API bf_iron_parameter bf_iron_parameter_get(size_t index);
/** Read and write a spec by row of the table. */
BF_API double bf_iron_spec_get(const bf_iron_spec *spec, size_t index);
BF_API void bf_iron_spec_set(bf_iron_spec *spec, size_t index, double value);

#ifdef __cplusplus
}
#endif
#endif
