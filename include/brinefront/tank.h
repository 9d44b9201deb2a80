/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file tank.h
 * The vessel around a bed: what fits, what flows at which pressure, what lifts in backwash, and how
 * long a regeneration takes. Nothing here is simulated: geometry and correlations (hydraulics.h).
 */
#ifndef BRINEFRONT_TANK_H
#define BRINEFRONT_TANK_H

#include "brinefront/dose_curve.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- sizes ----------------------------------------------------------------------------------- */

/** A common size, by its dimensions. */
typedef struct bf_tank_size {
    const char *name;                   /**< diameter by height in inches: "10x54" */
    double diameter_m, height_m;        /**< nominal; inside, a vessel has a little less of both */
    double resin_low_m3, resin_high_m3; /**< usual filling; common practice, no source */
} bf_tank_size;

BF_API size_t bf_tank_size_count(void);
BF_API bf_tank_size bf_tank_size_get(size_t index);

/** Find a size by its name. @return BF_OK; BF_E_INPUT with the accepted names. */
BF_API BF_MUST_CHECK bf_status bf_tank_size_find(const char *name, bf_tank_size *out,
                                                 bf_error *err);

/* ---- the vessel ------------------------------------------------------------------------------ */

/** A vessel and what is asked of it; start from bf_tank_spec_default(). NAN: not asked. */
typedef struct bf_tank_spec {
    double diameter_m;     /**< inside, 0.01 .. 10; NAN: that of the bed */
    double height_m;       /**< inside, foot of the filling to the top of the freeboard, 0.05 .. 20;
                                NAN: underbedding, bed and the bed's own freeboard */
    double underbedding_m; /**< gravel below the resin, 0 .. 2; counts as no resistance */
    /** Pressure lost outside the bed, at a flow; it grows with the square of the flow. Both of a
     *  pair or none. */
    double valve_Pa, valve_m3_per_s;
    double distributor_Pa, distributor_m3_per_s;
    double pressure_limit_Pa;               /**< over bed and fittings in service, > 0 */
    double velocity_limit_m_per_s;          /**< superficial, in service */
    double bed_volumes_per_h_limit;         /**< in service */
    double peak_m3_per_s, average_m3_per_s; /**< what the user draws */
    double wanted_rise;                     /**< in backwash, over settled depth, 0.1 .. 1.5 */
    /** Rise of the resin from exhausted to regenerated, 0 .. 0.2, on top of the bed's stated depth:
     *  on the safe side, for a depth may have been taken of an exhausted bed. 0 where it is that of
     *  resin as delivered, in sodium form, which never stands higher. */
    double swelling;
    double coldest_K, warmest_K; /**< of the year, 273.15 .. 323.15; NAN: that of the water */
    double drain_m3_per_s;       /**< what the drain takes; NAN: anything */
} bf_tank_spec;

/** Limits of 15 psi, 15 gpm/ft2 (36.7 m/h) and 40 BV/h, 50 % rise, 7 % swelling; no vessel but
 * the bed's own, no fittings, no draw. Sources in tank.c. */
BF_API bf_tank_spec bf_tank_spec_default(void);

/** 7 gpm/ft2 (17 m/h): what Ten States Standards allow a public supply, as codified in
 *  12VAC5-590-900. Told beside the rated flow, and no limit of it: docs/decisions/limits.md. */
BF_API double bf_tank_public_supply_m_per_s(void);

/** @return BF_OK; BF_E_RANGE naming the first field outside its range. */
BF_API BF_MUST_CHECK bf_status bf_tank_spec_check(const bf_tank_spec *tank, bf_error *err);

/** Put a volume of resin into a vessel of stated diameter and height: sets diameter, depth and
 * freeboard of the bed. Recipes hold velocities: make them afterwards where a flow was stated per
 * bed volume or as a volume.
 *  @return BF_OK; BF_E_RANGE for no stated vessel, or resin that does not fit, with what does */
BF_API BF_MUST_CHECK bf_status bf_tank_fill(const bf_tank_spec *tank, double resin_m3,
                                            bf_bed_spec *bed, bf_error *err);

/** Pressure over bed and fittings at a flow >= 0, Pa (Ergun on the beads' Sauter mean; fittings by
 *  the square). */
BF_API BF_MUST_CHECK bf_status bf_tank_pressure_Pa(const bf_tank_spec *tank, const bf_bed_spec *bed,
                                                   double flow_m3_per_s, double temperature_K,
                                                   double *pressure_Pa, bf_error *err);

/* ---- backwash -------------------------------------------------------------------------------- */

/**
 * Rise of a bed's depth over its settled depth, each class of bead sizes lifted by itself
 * (Richardson & Zaki), the depths added (serial model): sum of share_k H_k/H_0,k - 1.
 *
 * @return the rise, >= 0; INFINITY where the velocity carries the smallest class away
 * One class, or beads of one size: bf_bed_depth_ratio() - 1. Source and assumptions: backwash.c.
 */
BF_API double bf_graded_rise(const bf_fluid *water, const bf_resin *resin, size_t bead_classes,
                             double velocity_m_per_s);

/** The inverse: the superficial velocity that lifts the bed by `rise` > 0, m/s. */
BF_API double bf_graded_velocity_m_per_s(const bf_fluid *water, const bf_resin *resin,
                                         size_t bead_classes, double rise);

/** Backwash at one temperature. */
typedef struct bf_tank_backwash {
    double temperature_K;
    double flow_m3_per_s;         /**< for the wanted rise; NAN: none wanted */
    double rise;                  /**< by the recipe's own backwash flow; NAN without a backwash */
    double carries_away_m3_per_s; /**< flow at which the lifted bed reaches the top of the vessel,
                                       its smallest beads first */
} bf_tank_backwash;

/* ---- what follows ---------------------------------------------------------------------------- */

/** What holds a flow back. */
typedef enum bf_tank_limit {
    BF_TANK_PRESSURE,
    BF_TANK_VELOCITY,
    BF_TANK_BED_VOLUMES,
    BF_TANK_LIMITS
} bf_tank_limit;
/** "pressure drop", "velocity", "bed volumes an hour". */
BF_API const char *bf_tank_limit_words(bf_tank_limit limit);

/** All that follows from vessel, bed and recipe. */
typedef struct bf_tank_sheet {
    double area_m2, resin_m3, bed_depth_m;
    double freeboard_m; /**< above the resin as it was filled in */
    double room; /**< rise that the freeboard holds over settled depth, the resin swollen; below
                      zero where not even the swollen resin fits */
    double limit_m3_per_s[BF_TANK_LIMITS]; /**< flow at which each is reached; NAN: not asked */
    bf_tank_limit limited_by;
    double rated_m3_per_s;                /**< the least of them */
    double rated_Pa, peak_Pa, average_Pa; /**< bed and fittings; NAN where the flow is not stated */
    double bed_rated_Pa;                  /**< bed alone */
    double cold_rated_Pa, warm_rated_Pa;  /**< at rated flow in coldest and warmest water */
    bf_tank_backwash cold, warm;
    double one_flow_rise;  /**< rise in the coldest water of the flow that gives the wanted one in
                                the warmest: a fixed flow serves the year where this is no more than
                                `room`; NAN: none wanted */
    int backwash_fits;     /**< nonzero: the wanted rise and the recipe's own stay in the
                                vessel in the coldest water */
    double drain_m3_per_s; /**< largest flow of any step of regeneration to the drain */
    double step_s[BF_RECIPE_STEPS]; /**< of the recipe at its dose; 0 for steps that serve */
    double regeneration_s;
    double regeneration_m3;     /**< all water of it, as the cycle counts it */
    double brine_m3, refill_m3; /**< saturated brine that holds the dose, water put to the salt for
                                     it; sea water: what is pumped, and none */
    double saturate_s;          /**< for the salt to dissolve; trade: up to 3 h */
} bf_tank_sheet;

/**
 * @return BF_OK; BF_E_RANGE where the resin does not fit, where the recipe's backwash or the wanted
 *         one (of a recipe that has a backwash) finds no room, where a step gives more than the
 *         drain takes, or where peak, average or service flow breaks the limit of pressure: each
 *         with the limit and the nearest value that holds. The sheet is filled all the same, but
 *         where the resin does not fit or specs are wrong in themselves. Else what
 *         bf_rating_spec_check() returns.
 */
BF_API BF_MUST_CHECK bf_status bf_tank_sheet_of(const bf_tank_spec *tank,
                                                const bf_rating_spec *rating, bf_tank_sheet *out,
                                                bf_error *err);

/** Add a BF_NOTE_CAUTION for every flow that is asked for, peak, average and service, and passes
 *  the limit of velocity or of bed volumes; and for seasons that leave out the water's own
 *  temperature. */
BF_API void bf_tank_notes(const bf_tank_spec *tank, const bf_rating_spec *rating,
                          const bf_tank_sheet *sheet, bf_notes *notes);

/* ---- in pieces ------------------------------------------------------------------------------- */

/** Share of the water that passes the valve unsoftened, for a wanted hardness of the blend.
 *  @return BF_OK; BF_E_RANGE unless 0 <= leakage <= wanted <= feed, leakage < feed */
BF_API BF_MUST_CHECK bf_status bf_blend_share(double feed_eq_per_m3, double leakage_eq_per_m3,
                                              double wanted_eq_per_m3, double *share,
                                              bf_error *err);

/** Salt that the last rinse of a regeneration leaves in the water of bed and freeboard, eq per m3
 *  of bed: what they hold more than before its first step. It comes with the first softened water.
 *  @param recipe  of the cycle */
BF_API double bf_salt_left_eq_per_m3(const bf_recipe *recipe, const bf_cycle_result *cycle);

/** A bed counted in pieces: what the trade rates. NAN without a rating, but for the salt. */
typedef struct bf_tank_rating {
    double capacity_kg; /**< hardness as CaCO3 */
    double salt_kg;
    double efficiency_kg_per_kg; /**< hardness as CaCO3 per salt */
    double water_m3;             /**< softened in a run */
    double waste_m3_per_kg;      /**< regeneration water per hardness as CaCO3 */
} bf_tank_rating;
BF_API bf_tank_rating bf_tank_rating_of(const bf_rating_spec *rating, const bf_dose_point *point);

#ifdef __cplusplus
}
#endif
#endif
