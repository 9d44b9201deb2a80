/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fouling_effects.h
 * What helps a fouling bed, what hardness to add for its iron, and what its uncertain parameters
 * do: each answered by campaigns, nothing by rule.
 */
#ifndef BRINEFRONT_FOULING_EFFECTS_H
#define BRINEFRONT_FOULING_EFFECTS_H

#include "brinefront/fouling_study.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How a study runs; zeroed is fine. */
typedef struct bf_fouling_run {
    int threads; /**< 0: as many as there are processors; results do not depend on it */
    void (*progress)(void *context, double share); /**< as in bf_campaign_batch; may be NULL */
    void *context;
} bf_fouling_run;

/** The end of a campaign, in the figures that are compared. */
typedef struct bf_fouling_end {
    bf_campaign_state state;
    double day; /**< of the last cycle */
    double potential_new_eq_per_m3,
        potential_eq_per_m3;   /**< hardness to the end point: first, last */
    double capacity_eq_per_m3; /**< total, of the resin */
    double bound_kg_per_m3;
    double hardness_eq_per_m3; /**< mean in the service water of the last cycle */
    double iron_g_per_m3;      /**< the same */
    double pressure_ratio;
    double salt_kg_per_m3_year;    /**< per m3 of bed */
    double water_bed_volumes_year; /**< of regeneration */
} bf_fouling_end;

BF_API bf_fouling_end bf_fouling_end_of(const bf_campaign_spec *spec,
                                        const bf_campaign_series *series);

/* ---- what if --------------------------------------------------------------------------------- */

enum { BF_WHAT_IFS = 12 };

/** One change and what it does. */
typedef struct bf_what_if {
    char change[120]; /**< in words, with what is changed from and to, SI and trade units */
    bf_campaign_spec spec;
    bf_fouling_end end;
    double gain_eq_per_m3; /**< potential at the end over that of the unchanged campaign */
} bf_what_if;

/**
 * Change one thing at a time, run each campaign, and rank what comes out, the most gain first. A
 * change that the case makes already is left out.
 *
 * @param unchanged  out;  @param out  room for BF_WHAT_IFS;  @param count  out
 */
BF_API BF_MUST_CHECK bf_status bf_fouling_what_if(const bf_campaign_spec *spec,
                                                  const bf_fouling_run *run,
                                                  bf_fouling_end *unchanged, bf_what_if *out,
                                                  size_t *count, bf_error *err);

/* ---- compensation ---------------------------------------------------------------------------- */

enum { BF_COMPENSATION_POINTS = 9 };

typedef struct bf_compensation_point {
    double addition_eq_per_g; /**< eq of hardness counted per g of iron */
    double days_between;      /**< regenerations that follow */
    double capacity_loss;     /**< relative, of the potential, at the end */
    bf_fouling_end end;
} bf_compensation_point;

typedef struct bf_compensation {
    bf_compensation_point point[BF_COMPENSATION_POINTS]; /**< additions tried, ascending */
    size_t count;
    double allowed_loss;
    /** The least addition that keeps to it; NAN: none does, and iron must be removed before the
     * bed. */
    double addition_eq_per_g;
    bf_compensation_point at; /**< the campaign at that addition; zero where there is none */
} bf_compensation;

/**
 * Hardness to add per iron so that the bed loses no more than it may: water is counted as hardness
 * + addition x iron, the bed is regenerated when its new potential is used up by that count.
 *
 * @param allowed_loss  of the potential over the campaign, 0.005 .. 0.5
 */
BF_API BF_MUST_CHECK bf_status bf_fouling_compensation(const bf_campaign_spec *spec,
                                                       double allowed_loss,
                                                       const bf_fouling_run *run,
                                                       bf_compensation *out, bf_error *err);

/* ---- sensitivity ----------------------------------------------------------------------------- */

/** One parameter at either end of its range, the others as they are. */
typedef struct bf_fouling_sensitivity {
    size_t parameter; /**< row for bf_iron_parameter_get() */
    int takes_part;   /**< zero: nothing in this campaign asks for it; the ends are not computed */
    bf_fouling_end low, high;
    double spread_eq_per_m3; /**< between the potentials at the end */
} bf_fouling_sensitivity;

/** @param out  room for bf_iron_parameter_count(); sorted, the widest spread first */
BF_API BF_MUST_CHECK bf_status bf_fouling_sensitivities(const bf_campaign_spec *spec,
                                                        const bf_fouling_run *run,
                                                        bf_fouling_end *expected,
                                                        bf_fouling_sensitivity *out, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
