/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file campaign.h
 * A bed run cycle after cycle on water with iron: what the bed lets through, what stays in it, and
 * what that costs in capacity and pressure.
 *
 * Lumped: deposits, ageing and water at rest are followed cell by cell, but what deposits do to
 * the resin (capacity, film, bead) enters the next cycle as the mean over the bed, since a bed is
 * of one resin. Every result hangs on calibrated parameters (iron.h): it is a range, not a
 * forecast.
 */
#ifndef BRINEFRONT_CAMPAIGN_H
#define BRINEFRONT_CAMPAIGN_H

#include "brinefront/cleaning.h"
#include "brinefront/cycle.h"
#include "brinefront/fouling.h"
#include "brinefront/oxidation.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Most seasons of a year; and fewest sites, eq/m3, of a bed that is not spent. */
enum { BF_CAMPAIGN_SEASONS = 12, BF_CAMPAIGN_LEAST_SITES = 500 };

/** Water of a part of the year. */
typedef struct bf_campaign_season {
    double from_day; /**< of the year, 0 .. 365; until the next season begins, over the new year */
    bf_water water;
    double oxygen_mol_per_m3;
} bf_campaign_season;

/** Taking bound iron off from time to time, before a regeneration. Sodium dithionite and bisulfite
 *  soak the bed; hydrochloric acid flows through it like brine and is brined after twice. */
typedef struct bf_campaign_cleaning {
    double every_days;     /**< before the first regeneration after each multiple; 0: never */
    bf_cleaner agent;      /**< dithionite, bisulfite or hydrochloric acid */
    double dose_kg_per_m3; /**< pure compound, 0 .. 50 of a reductant, 0 .. 300 of acid */
    double duration_s;     /**< of the soak, 0 .. 172800 */
    double pH;             /**< of a reductant's liquid, 3 .. 13 */
    double mass_fraction;  /**< of the acid as it enters, 0.01 .. 0.2 */
    int aged;              /**< nonzero: crystalline oxide, slower to dissolve */
} bf_campaign_cleaning;

/** What a bed lives through; start from bf_campaign_spec_default(). */
typedef struct bf_campaign_spec {
    /** Its Fe is all iron of the water, its pH that of the laws; its alkalinity buffers. */
    bf_water water;
    double oxygen_mol_per_m3; /**< dissolved, where the retention in the pipe begins; 0 .. 0.6 */
    /** In place of water and oxygen, in order of their days; all of one set of ions or less. */
    bf_campaign_season season[BF_CAMPAIGN_SEASONS];
    size_t season_count; /**< 0: the same water all year */
    double start_day;    /**< of the year, 0 .. 365, on which the campaign begins */
    double contact_s;    /**< between well and bed, 0 .. 864000 */
    double ferric_share; /**< of the iron, suspended as it reaches the bed, 0 .. 1; NAN: by
                              contact time, with the oxygen and alkalinity that takes */
    double free_chlorine_g_per_m3; /**< that reaches the resin, as Cl2, 0 .. 20 */
    double chloramine_g_per_m3;    /**< the same, as Cl2, 0 .. 20 */

    bf_bed_spec bed;   /**< new; its temperature is that of the water, its sources must be none */
    bf_recipe recipe;  /**< its service gives velocity, direction and (for potentials) end point */
    bf_iron_spec iron; /**< gives the bed its selectivity for Fe and Mn too */
    double brine_pH;   /**< of brine in the bed, 3 .. 11; NAN: that of the water */
    double brine_oxygen_mol_per_m3; /**< 0 .. 0.6 */
    size_t slices; /**< into which brine, slow rinse and hold are cut, between which iron ages; 1 ..
                        100 */

    double water_m3_per_day;    /**< through the bed, > 0 */
    double service_bed_volumes; /**< between regenerations; NAN: by days */
    double days_between;        /**< regenerations; NAN: by volume. State one of the two */
    double draws_per_day;       /**< the bed runs this many times a day and rests between; > 0 */
    size_t cycles;              /**< 1 .. 100000 */
    bf_campaign_cleaning cleaning;

    bf_iron_deposit deposit; /**< uniform, at the start; 0: a new bed */
    size_t potential_every; /**< after the sixth cycle (the first, where it is less), then each time
                                 so many cycles are behind, and after the last; 0: none */
    /** 0: every cycle is simulated. Else cycles that hardly differ are skipped, as many as leave
     *  the bound iron of each skip within this share of itself; 1e-4 .. 0.1 */
    double skip_tolerance;
} bf_campaign_spec;

/** A cubic foot of the default bed that treats 300 gal/d, three days between regenerations, four
 *  draws a day, 1 mg/L of oxygen, brine at 5 mg/L, six slices, 60 cycles, every one simulated, no
 *  cleaning (113 g per cubic foot of dithionite for 30 minutes at pH 7 where a case cleans; acid
 *  at 10 %). Water and recipe are empty: set them. Common practice, no source. */
BF_API bf_campaign_spec bf_campaign_spec_default(void);

/** @return BF_OK; BF_E_RANGE naming the first field outside its range. */
BF_API BF_MUST_CHECK bf_status bf_campaign_spec_check(const bf_campaign_spec *spec, bf_error *err);

/** Season of a day since the campaign began: its row in spec->season; 0 where the water is the same
 *  all year. A cycle has the season in which it begins. */
BF_API size_t bf_campaign_season_index(const bf_campaign_spec *spec, double day);

/** A resin with the selectivity for iron and manganese that the parameters state. */
BF_API bf_resin bf_campaign_resin(const bf_campaign_spec *spec);

/** What reaches the bed after the retention in the pipe, of spec->water or of a season's. Iron that has
 *  oxidised leaves the cations with two charges and takes two of alkalinity.
 *  @param season  NULL: spec->water
 *  @param water  out: without the suspended iron;  @param iron  out: for bf_iron_source_create() */
BF_API BF_MUST_CHECK bf_status bf_campaign_feed(const bf_campaign_spec *spec,
                                                const bf_campaign_season *season, bf_water *water,
                                                bf_iron_water *iron, bf_error *err);

/** Service between regenerations, bed volumes; and days between them. */
BF_API double bf_campaign_bed_volumes(const bf_campaign_spec *spec);
BF_API double bf_campaign_days(const bf_campaign_spec *spec);

/** Where a metal went since the start, mol per m3 of bed. */
typedef struct bf_campaign_account {
    double at_start; /**< deposit that the bed began with */
    double in;       /**< dissolved and suspended, with every step */
    double product;  /**< with the service water, dissolved and suspended */
    double waste;    /**< with every other step */
    double cleaned;  /**< with the cleaning liquid: what found no room on the resin */
    double held;     /**< exchanged and dissolved, in bed and freeboard */
    double loose, bound;
} bf_campaign_account;

/** at_start + in less all the rest, over what came. */
BF_API double bf_campaign_account_error(const bf_campaign_account *account);

/** One cycle: deposits as they are at its end, leakage of its service. */
typedef struct bf_campaign_cycle {
    size_t cycle;   /**< from 1 */
    size_t skipped; /**< just before it */
    double day;     /**< at its end */
    double service_bed_volumes;
    double hardness_mean_eq_per_m3; /**< in the service water */
    double hardness_last_eq_per_m3; /**< as service ends */
    double iron_mean_g_per_m3;      /**< in the service water, dissolved and suspended */
    double suspended_mean_g_per_m3; /**< the suspended part of it */
    double manganese_mean_g_per_m3;
    double iron_heel_eq_per_m3;                  /**< exchanged after regeneration, per m3 of bed */
    double loose_kg_per_m3, loose_top_kg_per_m3; /**< mean, and of the top tenth of the bed */
    double bound_kg_per_m3, bound_top_kg_per_m3;
    double cleaned_kg_per_m3; /**< dissolved by a cleaning in this cycle */
    double retention;         /**< deposits won since the start and iron cleaned off, over iron
                                     that came; NAN before any has */
    double pressure_ratio;    /**< drop over the bed at the end of service over the clean bed's */
    double total_capacity_eq_per_m3; /**< of the resin in the next cycle */
    double moisture;                 /**< of the resin, a fraction */
    double potential_eq_per_m3; /**< hardness to the end point if the next service went on to it; 0
                                     where it leaks more from the start; NAN where none was asked
                                     for */
    bf_outcome potential_outcome;
    double alkalinity_low_eq_per_m3; /**< lowest that left a draw at its end; below zero the water
                                          does not hold its pH. NAN without iron */
    double salt_kg_per_m3;
    double water_bed_volumes;    /**< of regeneration */
    double skip_error_kg_per_m3; /**< of bound iron, estimated, summed over all skips so far */
    bf_campaign_account iron, manganese;
} bf_campaign_cycle;

/** How far a campaign has come. */
typedef enum bf_campaign_state {
    BF_CAMPAIGN_RUNS,
    BF_CAMPAIGN_COMPLETE, /**< all cycles are behind it */
    BF_CAMPAIGN_SPENT     /**< fewer than 500 eq/m3 of sites are left: no bed any more */
} bf_campaign_state;

/** "runs", "complete", "spent". */
BF_API const char *bf_campaign_state_word(bf_campaign_state state);

typedef struct bf_campaign bf_campaign;

/** Lay a new bed, cycle 0. The spec is copied. Ownership: *out is yours, one thread at a time. */
BF_API BF_MUST_CHECK bf_status bf_campaign_create(const bf_campaign_spec *spec, bf_campaign **out,
                                                  bf_error *err);
BF_API void bf_campaign_free(bf_campaign *campaign); /* NULL is fine */
BF_API bf_campaign_state bf_campaign_state_of(const bf_campaign *campaign);

/**
 * Simulate the next cycle; skip before it where the spec lets it. Without iron, deposit and
 * chlorine every cycle is bf_cycle_run() of the recipe with its service by volume, bit for bit.
 *
 * @return BF_OK; BF_E_RANGE when the campaign is complete or spent already; BF_E_MEMORY;
 * BF_E_SOLVER Cost: a cycle runs the bed once a draw, once a slice and once a step.
 */
BF_API BF_MUST_CHECK bf_status bf_campaign_next(bf_campaign *campaign, bf_campaign_cycle *out,
                                                bf_error *err);

/** The whole state as bytes, for going on later with the same bits, by the same build on the same
 *  kind of machine. @param bytes  room for bf_campaign_snapshot_size() */
BF_API size_t bf_campaign_snapshot_size(const bf_campaign *campaign);
BF_API void bf_campaign_snapshot(const bf_campaign *campaign, void *bytes);
/** Put a campaign of the same spec where the bytes say. Anything but BF_OK leaves it as it was.
 *  @return BF_OK; BF_E_RANGE where the bytes are damaged or another campaign's; BF_E_MEMORY */
BF_API BF_MUST_CHECK bf_status bf_campaign_restore(bf_campaign *campaign, const void *bytes,
                                                   size_t length, bf_error *err);

/** A number that differs between specs that differ in any field (CRC-32); addresses of a step
 *  (context, observers) and of source terms do not count. */
BF_API unsigned long bf_campaign_fingerprint(const bf_campaign_spec *spec);

/**
 * Run one from its first cycle to its last.
 *
 * @param cycles  out: room for spec->cycles of them
 * @param done    out: cycles filled in, also on failure
 * @return BF_OK, also where the bed was spent early; as bf_campaign_next()
 */
BF_API BF_MUST_CHECK bf_status bf_campaign_run(const bf_campaign_spec *spec,
                                               bf_campaign_cycle *cycles, size_t *done,
                                               bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
