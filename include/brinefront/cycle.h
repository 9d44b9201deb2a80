/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file cycle.h
 * The cycle of a softening bed as a list of steps, and the cyclic steady state that a rating is a
 * property of: the bed after the cycle equals the bed before it.
 */
#ifndef BRINEFRONT_CYCLE_H
#define BRINEFRONT_CYCLE_H

#include "brinefront/bed.h"
#include "brinefront/brine.h"
#include "brinefront/water.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Which water a step takes. */
typedef enum bf_supply {
    BF_SUPPLY_RAW,  /**< the feed */
    BF_SUPPLY_SOFT, /**< the feed with its divalent ions replaced by sodium */
    BF_SUPPLY_SEA   /**< sea water of the reference composition, for brine steps */
} bf_supply;

/** Dissolved salts of sea water, kg per m3 and kg per kg, and its cations in eq/m3 by
 * bf_site_supply(). Reference composition of salinity 35.165 g/kg at 20 C. Source: Millero et al.,
 * Deep-Sea Res. I 55 (2008) 50, Table 4. */
BF_API double bf_sea_salt_kg_per_m3(void);
BF_API double bf_sea_salt_kg_per_kg(void);

/** What every step of a cycle finds around it. */
typedef struct bf_site {
    bf_water water; /**< the feed */
    double depth_m; /**< settled bed depth */
    bf_resin resin; /**< bead size and density, for bed expansion */
} bf_site;

/** The cations of a supply, one per bf_ion, eq/m3. */
BF_API void bf_site_supply(const bf_site *site, bf_supply supply, double eq_per_m3[BF_ION_COUNT]);

typedef struct bf_step bf_step;

/** What one step did. Volumes in bed volumes, amounts per m3 of bed. */
typedef struct bf_step_result {
    const char *name;
    double duration_s;
    double bed_volumes;       /**< of liquid that entered the vessel */
    double water_bed_volumes; /**< of water the step takes; the water of the brine included */
    double salt_kg_per_m3;
    bf_passage passage; /**< zero for a step that does not touch the bed */
    double depth_ratio; /**< backwash: depth over settled depth; else 1 */
    /** Service: the part up to the counted end point. */
    bf_passage counted;
} bf_step_result;

/** What a step takes, known before it runs. Volumes in bed volumes; NAN: only its run tells. */
typedef struct bf_step_needs {
    double duration_s;
    double liquid_bed_volumes; /**< that enters the vessel; of a refill: that goes to the salt */
    double
        water_bed_volumes; /**< fresh water: that of the brine, and what holds the bed down too */
    double salt_kg_per_m3;
    double drain_m_per_s;      /**< what goes to the drain while it runs, per cross-section */
    double brine_bed_volumes;  /**< that leaves the salt: saturated brine; or sea water */
    double refill_bed_volumes; /**< water put to the salt for it */
} bf_step_needs;

/** What a step is for. Whoever treats steps differently asks for this, not for one type, so that
 * another step of the same role is treated alike. */
typedef enum bf_step_role {
    BF_ROLE_SERVICE,    /**< softens; a recipe has one, and it comes first */
    BF_ROLE_EXHAUST,    /**< loads the bed further; it belongs to the service */
    BF_ROLE_BACKWASH,   /**< lifts the bed */
    BF_ROLE_BRINE,      /**< brings salt */
    BF_ROLE_SLOW_RINSE, /**< pushes the brine on through the bed */
    BF_ROLE_FAST_RINSE, /**< washes out what is left of it */
    BF_ROLE_HOLD,       /**< nothing flows */
    BF_ROLE_REFILL      /**< puts water to the salt; does not touch the bed */
} bf_step_role;

/** What stays the same in a bed of another depth, or where water flows faster than the mean. */
typedef enum bf_step_scaling {
    BF_SCALES_WITH_BED, /**< bed volumes an hour: velocity goes with the depth */
    BF_SCALES_WITH_AREA /**< the velocity itself, which is what lifts the beads */
} bf_step_scaling;

/** Fields of bf_step that a type reads. A case that states another for it is told so. */
enum {
    BF_STEP_VELOCITY = 1,
    BF_STEP_VOLUME = 2,
    BF_STEP_TIME = 4,
    BF_STEP_SUPPLY = 8,
    BF_STEP_DIRECTION = 16,
    BF_STEP_STRENGTH = 32,
    BF_STEP_DOSE = 64,
    BF_STEP_MIXING = 128
};

/** A type of step: all that is known of it. Other layers, and callers, define their own. */
typedef struct bf_step_type {
    const char *name; /**< as reports print it */
    const char *word; /**< as regeneration.steps asks for it */
    bf_step_role role;
    bf_step_scaling scaling;
    unsigned fields; /**< BF_STEP_VELOCITY | ... */
    bf_status (*check)(const bf_step *step, bf_error *err);
    /** What it takes on a site. run() does just that; sheets of needs ask without running. */
    bf_status (*needs)(const bf_step *step, const bf_site *site, bf_step_needs *out, bf_error *err);
    bf_status (*run)(const bf_step *step, const bf_site *site, bf_bed *bed, bf_step_result *out,
                     bf_error *err);
    /** Make the step one of `parts` equal parts of itself. NULL: it runs only whole. */
    void (*divide)(bf_step *step, double parts);
} bf_step_type;

/** Nonzero: belongs to the service, whatever it does to the bed: it is no regeneration water, salt
 * or time, the capacity is counted without it, and an exhausted bed is made ready without it. */
BF_API int bf_step_serves(const bf_step *step);

/** Nonzero: brine is in the bed, or on its way through it: brine, hold and slow rinse. */
BF_API int bf_step_is_brining(const bf_step *step);

/** The types that a case can ask for by their word. A new one is a file of its own and a row here. */
#define BF_STEP_TABLE(FIRST, ROW)                                                                  \
    FIRST(backwash) ROW(brine) ROW(hold) ROW(slow_rinse) ROW(fast_rinse) ROW(refill)
#define BF_STEP_FIRST_WORD(word) #word
#define BF_STEP_NEXT_WORD(word) " " #word
/** "backwash brine ...": the words of regeneration.steps. */
#define BF_STEP_WORDS BF_STEP_TABLE(BF_STEP_FIRST_WORD, BF_STEP_NEXT_WORD)

/** @return the type of a word of regeneration.steps, or NULL */
BF_API const bf_step_type *bf_step_type_find(const char *word);

/** Service, flow down or up: to the end point, or to `bed_volumes`; counts to the end point and
 * goes on to `stop_hardness_eq_per_m3` where that is given. */
BF_API extern const bf_step_type bf_step_service;
/** Upward flow that lifts the bed (expansion by Richardson & Zaki) and mixes the resin by
 *  `mix_share` at its end. The water that passes exchanges with the resin as in a settled bed. */
BF_API extern const bf_step_type bf_step_backwash;
/** `dose_kg_per_m3` of salt as brine of `mass_fraction`, made with `supply`; or, where the supply
 * is sea water, as much sea water as holds that mass of salts. */
BF_API extern const bf_step_type bf_step_brine;
BF_API extern const bf_step_type bf_step_slow_rinse;
BF_API extern const bf_step_type bf_step_fast_rinse;
/** Liquid stands in the bed for `duration_s`. */
BF_API extern const bf_step_type bf_step_hold;
/** Water put to the salt for the next brine, as much as its dose saturates; the rest of the brine's
 * water dilutes it on its way to the bed. Takes time, does not touch the bed; all of the water
 * counts with the brine. */
BF_API extern const bf_step_type bf_step_refill;

struct bf_step {
    const bf_step_type *type;
    bf_direction direction;
    bf_supply supply;
    double velocity_m_per_s; /**< superficial, > 0 */
    double bed_volumes;      /**< > 0; service: the longest, NAN for no limit of the user's own */
    double duration_s;       /**< hold only */
    double end_hardness_eq_per_m3;  /**< service: counted end point; NAN: none */
    double stop_hardness_eq_per_m3; /**< service: goes on to this one; NAN: stops when counted */
    bf_salt salt;                   /**< brine, refill */
    double dose_kg_per_m3;          /**< brine, refill: salt per m3 of bed */
    double mass_fraction;           /**< brine: strength as it enters the bed */
    double mix_share;               /**< backwash: 0 none .. 1 fully mixed */
    /** Upward steps: water let in above the bed at this velocity to hold it down; it leaves with
     * the flow through a collector in the bed's top and costs water, nothing else. 0: none. */
    double blocking_velocity_m_per_s;
    void *context; /**< for types defined elsewhere */
    /** Sees what leaves the vessel, after every step in time; may be NULL. */
    void (*observe)(void *observer, const bf_step *step, const bf_moment *moment);
    /** Sees the bed when the step has ended; may be NULL. */
    void (*finish)(void *observer, const bf_step *step, const bf_step_result *result,
                   const bf_bed *bed);
    void *observer;
};

/** The most steps of a recipe. */
enum { BF_RECIPE_STEPS = 24 };

/** The steps of one cycle in order, service first. */
typedef struct bf_recipe {
    bf_step step[BF_RECIPE_STEPS];
    size_t count;
} bf_recipe;

/** The first step of a role; NULL where there is none. */
BF_API const bf_step *bf_recipe_find(const bf_recipe *recipe, bf_step_role role);

/** @return BF_OK; BF_E_RANGE naming the step; a recipe needs exactly one service, first in line. */
BF_API BF_MUST_CHECK bf_status bf_recipe_check(const bf_recipe *recipe, bf_error *err);

/** Every cation that takes part in a recipe on a water: its own, that of each brine's salt, those
 *  of sea water. @param water_eq_per_m3 one per bf_ion */
BF_API bf_ion_set bf_recipe_ions(const bf_recipe *recipe,
                                 const double water_eq_per_m3[BF_ION_COUNT]);

/** Set the dose of every brine step (and of the refill): the total is shared as the steps share it
 * now; default: equally. */
BF_API void bf_recipe_set_dose(bf_recipe *recipe, double dose_kg_per_m3);

/** Total salt of a cycle per m3 of bed, and the equivalents in it. */
BF_API double bf_recipe_dose_kg_per_m3(const bf_recipe *recipe);
BF_API double bf_recipe_dose_eq_per_m3(const bf_recipe *recipe);

/** What came of the service of a cycle. */
typedef enum bf_outcome {
    BF_RATED,                /**< the end point was reached from below */
    BF_LEAKS_FROM_THE_START, /**< after half a bed volume the effluent is above the end point */
    BF_END_NOT_REACHED,      /**< the longest service ended first */
    BF_NOT_STEADY,           /**< cycles went on differing */
    BF_NOT_COMPUTED          /**< the computation was stopped before it came to this one */
} bf_outcome;

/** "rated", "leaks from the start", ... in words a table can carry. */
BF_API const char *bf_outcome_words(bf_outcome outcome);

typedef struct bf_cycle_result {
    size_t step_count;
    bf_step_result step[BF_RECIPE_STEPS];
    bf_outcome outcome;
    double capacity_eq_per_m3;      /**< hardness taken up to the counted end point */
    double leakage_mean_eq_per_m3;  /**< mean effluent hardness up to there */
    double leakage_first_eq_per_m3; /**< after half a bed volume */
    double leakage_low_eq_per_m3;   /**< lowest */
    double throughput_bed_volumes;  /**< to the counted end point */
    double water_bed_volumes;       /**< all regeneration water */
    double salt_kg_per_m3;
    double regeneration_s; /**< all steps but those that serve */
    double balance_error;  /**< largest |in - out - stored| of a step over the capacity */
} bf_cycle_result;

/** Run every step but those that serve: what makes a bed that starts exhausted ready for its first
 *  run. */
BF_API BF_MUST_CHECK bf_status bf_cycle_regenerate(const bf_recipe *recipe, const bf_site *site,
                                                   bf_bed *bed, bf_error *err);

/** Run one cycle on the bed as it stands. */
BF_API BF_MUST_CHECK bf_status bf_cycle_run(const bf_recipe *recipe, const bf_site *site,
                                            bf_bed *bed, bf_cycle_result *out, bf_error *err);

typedef struct bf_steady_spec {
    size_t most_cycles;        /**< 2 .. 10000 */
    double capacity_tolerance; /**< relative error allowed in capacity, 1e-8 .. 0.1 */
    double leakage_tolerance;  /**< relative error allowed in mean leakage, 1e-8 .. 1 */
} bf_steady_spec;

/** 200 cycles, capacity to 2e-4, leakage to 5e-3. */
BF_API bf_steady_spec bf_steady_spec_default(void);

typedef struct bf_steady_result {
    bf_cycle_result cycle; /**< the last */
    size_t cycles;
    double capacity_error; /**< estimated relative distance from the steady state */
    double leakage_error;
} bf_steady_result;

/**
 * Repeat the cycle until capacity and leakage stand still.
 *
 * With change d_k between cycles and observed contraction q = d_k/d_(k-1), what is still to come is
 * about d_k q/(1 - q); that estimate, not d_k, is compared with the tolerance. A recipe that does
 * not settle ends as BF_NOT_STEADY, which is a result, not an error.
 */
BF_API BF_MUST_CHECK bf_status bf_steady_run(const bf_recipe *recipe, const bf_site *site,
                                             const bf_steady_spec *spec, bf_bed *bed,
                                             bf_steady_result *out, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
