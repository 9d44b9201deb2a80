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

/** A common size, by its dimensions. */
typedef struct bf_tank_size {
    const char *name; /**< diameter by height in inches: "10x54" */
    double diameter_m, height_m;
    double resin_low_m3, resin_high_m3; /**< usual filling; common practice, no source */
} bf_tank_size;

BF_API size_t bf_tank_size_count(void);
BF_API bf_tank_size bf_tank_size_get(size_t index);

/** A vessel and what is asked of it; start from bf_tank_spec_default(). NAN: not asked. */
typedef struct bf_tank_spec {
    double diameter_m; /**< inside, 0.01 .. 10 */
    double height_m;   /**< inside, foot of the filling to the top of the freeboard, 0.05 .. 20 */
    double underbedding_m; /**< gravel below the resin, 0 .. 2 */
    /** Pressure lost outside the bed, at a flow; it grows with the square of the flow. */
    double valve_Pa, valve_m3_per_s;
    double distributor_Pa, distributor_m3_per_s;
    double pressure_limit_Pa;               /**< over bed and fittings in service, > 0 */
    double velocity_limit_m_per_s;          /**< superficial, in service */
    double bed_volumes_per_h_limit;         /**< in service */
    double peak_m3_per_s, average_m3_per_s; /**< what the user draws */
    double expansion;            /**< wanted rise in backwash over settled depth, 0.1 .. 1.5 */
    double swelling;             /**< rise of the resin from exhausted to regenerated, 0 .. 0.2 */
    double coldest_K, warmest_K; /**< of the year; NAN: that of the water */
    double drain_m3_per_s;       /**< what the drain takes; NAN: anything */
} bf_tank_spec;

/** Limits of 15 psi and 17 m/h, 40 BV/h, 50 % expansion, 7 % swelling; no vessel.
 *  Sources in tank.c. */
BF_API bf_tank_spec bf_tank_spec_default(void);

/** @return BF_OK; BF_E_RANGE naming the first field outside its range. */
BF_API BF_MUST_CHECK bf_status bf_tank_spec_check(const bf_tank_spec *tank, bf_error *err);

/** What holds a flow back. */
typedef enum bf_tank_limit {
    BF_TANK_PRESSURE,
    BF_TANK_VELOCITY,
    BF_TANK_BED_VOLUMES,
    BF_TANK_LIMITS
} bf_tank_limit;
/** "pressure drop", "velocity", "bed volumes an hour". */
BF_API const char *bf_tank_limit_words(bf_tank_limit limit);

/** Backwash at one temperature. */
typedef struct bf_tank_backwash {
    double temperature_K;
    double flow_m3_per_s; /**< for the wanted expansion */
    double expansion;     /**< rise by the recipe's own backwash flow; NAN without a backwash */
    double carries_away_m3_per_s; /**< flow at which the smallest class of beads rises to the top */
} bf_tank_backwash;

/** All that follows from vessel, bed and recipe. */
typedef struct bf_tank_sheet {
    double area_m2, resin_m3, bed_depth_m, freeboard_m;
    double room; /**< rise that the freeboard holds over settled depth, the resin
                      swollen */
    double limit_m3_per_s[BF_TANK_LIMITS]; /**< flow at which each is reached; NAN: not asked */
    bf_tank_limit limited_by;
    double rated_m3_per_s;                /**< the least of them */
    double rated_Pa, peak_Pa, average_Pa; /**< bed and fittings; NAN where the flow is not stated */
    double bed_rated_Pa;                  /**< bed alone */
    double cold_rated_Pa, warm_rated_Pa;  /**< at rated flow in coldest and warmest water */
    bf_tank_backwash cold, warm;
    int backwash_fits;     /**< nonzero: the wanted expansion and the recipe's own stay in the
                                vessel in the coldest water */
    double drain_m3_per_s; /**< largest flow of any step to the drain */
    double step_s[BF_RECIPE_STEPS]; /**< of the recipe at its dose; service 0 */
    double regeneration_s;
    double regeneration_m3;     /**< all water of it */
    double brine_m3, refill_m3; /**< brine drawn, water put to the salt (saturated brine) */
    double saturate_s;          /**< for the salt to dissolve; trade: up to 3 h */
} bf_tank_sheet;

/** @return BF_OK; BF_E_RANGE where the resin does not fit, where the wanted backwash finds no room,
 * or where peak or average flow breaks a limit: each with the limit and the nearest value that
 *          holds */
BF_API BF_MUST_CHECK bf_status bf_tank_sheet_of(const bf_tank_spec *tank,
                                                const bf_rating_spec *rating, bf_tank_sheet *out,
                                                bf_error *err);

/** Pressure over bed and fittings at a flow, Pa (Ergun; fittings by the square). */
BF_API BF_MUST_CHECK bf_status bf_tank_pressure_Pa(const bf_tank_spec *tank, const bf_bed_spec *bed,
                                                   double flow_m3_per_s, double temperature_K,
                                                   double *pressure_Pa, bf_error *err);

/** Share of the water that passes the valve unsoftened, for a wanted hardness of the blend.
 *  @return BF_OK; BF_E_RANGE unless leakage <= wanted <= feed */
BF_API BF_MUST_CHECK bf_status bf_blend_share(double feed_eq_per_m3, double leakage_eq_per_m3,
                                              double wanted_eq_per_m3, double *share,
                                              bf_error *err);

/** A bed counted in pieces: what the trade rates. */
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
