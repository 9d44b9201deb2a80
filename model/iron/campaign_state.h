/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign from inside: what its parts work on.
 *
 *     campaign_bed.c           the bed, and the resin it is made of next; create and free
 *     campaign_service.c       draws and stagnation
 *     campaign_regeneration.c  cleaning, brine in slices, backwash
 *     campaign_skip.c          cycles that hardly differ
 *     campaign_snapshot.c      the whole state as bytes
 *     campaign_fingerprint.c   the number that tells a spec from others
 *     campaign_cycle.c         one cycle
 *     campaign.c               one cycle after the other
 */
#ifndef BF_IRON_CAMPAIGN_STATE_H
#define BF_IRON_CAMPAIGN_STATE_H

#include "brinefront/campaign.h"
#include "iron/iron_bed.h"

/* What one cycle adds to the slow quantities. Bound and loose iron of each cell are kept
 * apart. */
typedef struct bf__campaign_pace {
    double moisture;
    bf_campaign_account iron, manganese; /* differences */
} bf__campaign_pace;

/* All that changes from cycle to cycle, but for the bed itself and the arrays. */
typedef struct bf__campaign_now {
    size_t cycles; /* behind it, skipped ones too */
    size_t season;
    size_t spent;                /* nonzero: no bed any more */
    double bound_kg_per_m3;      /* that the resin of now was made for */
    double moisture;             /* of the resin */
    double next_cleaning_day;    /* after this day the next regeneration cleans */
    double dissolved_mol_per_m3; /* by all cleanings */
    double loose_kept;           /* share of loose deposit that the backwash of a cycle leaves */
    size_t potential_due;        /* cycles after which the next is measured; 0: never */
    bf_campaign_account iron, manganese;
    /* skipping */
    size_t alike;                         /* cycles simulated since water or bed were changed */
    size_t paces;                         /* how many of the two paces below are known */
    size_t pace_cycle, pace_cycle_before; /* after which they were measured */
    size_t stride;                        /* cycles to skip next; 0: not chosen yet */
    bf__campaign_pace pace, pace_before;
    double skip_error_mol_per_m3;
} bf__campaign_now;

struct bf_campaign {
    bf_campaign_spec spec;
    unsigned long fingerprint; /* of the spec */
    /* of the season */
    bf_water water; /* as it reaches the bed */
    bf_iron_water feed;
    bf_fluid fluid;
    double pressure_clean_Pa_per_m;
    bf_selectivity *selectivity;

    bf_site site;
    bf_bed_spec bed_spec; /* as the bed is now */
    bf_recipe recipe;     /* service: one draw */
    bf_recipe plain;      /* service: the whole volume */
    size_t draws;
    double stagnation_s;
    int with_iron;  /* iron or deposit: the source takes part */
    int fouls;      /* the resin changes */
    int unrecorded; /* the cycle under way leaves no record: it needs no potential */
    bf__iron_bed *iron_bed;

    double *memory;
    bf__deposits deposits; /* filled from the bed where they are worked on */
    double *oxygen;        /* of cells */
    double *pace;          /* deposits that a cycle adds: bound of all cells, then loose */
    double *pace_before;
    bf__campaign_now now;
};

/* Sums over one service. Amounts are per m3 of bed. */
typedef struct bf__service {
    double bed_volumes, hardness, hardness_last, iron, suspended, manganese, alkalinity_low;
    double pressure_ratio;
} bf__service;

static inline double bf__iron_kg_per_mol(void)
{
    return 1e-3 * bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
}

static inline double bf__mean_of(const double *values, size_t count)
{
    double sum = 0.0;
    for (size_t k = 0; k < count; k++) {
        sum += values[k];
    }
    return sum / (double)count;
}

/* ---- campaign_bed.c -------------------------------------------------------------------------- */

/* A bed of the resin as it is now, empty of everything. */
BF_MUST_CHECK bf_status bf__campaign_make_bed(const bf_campaign *c, bf__iron_bed **out,
                                              bf_error *err);
/* The resin as bound iron (now.bound_kg_per_m3) and chlorine leave it; whether a bed can be made of
 * it. */
int bf__campaign_respecify(bf_campaign *c);
/* Put the state into a bed of the resin as it is now; marks the campaign spent where none can be
 * made. */
BF_MUST_CHECK bf_status bf__campaign_renew(bf_campaign *c, bf_error *err);
/* Water, equilibrium and bed of a season. */
BF_MUST_CHECK bf_status bf__campaign_enter_season(bf_campaign *c, size_t season, bf_error *err);

BF_MUST_CHECK bf_status bf__campaign_read_deposits(bf_campaign *c, bf_error *err);
BF_MUST_CHECK bf_status bf__campaign_write_deposits(bf_campaign *c, bf_error *err);

/* ---- campaign_accounts.c --------------------------------------------------------------------- */

/* A passage into the accounts; `product` or waste. @param suspended  out: mol per m3 of bed */
BF_MUST_CHECK bf_status bf__campaign_book(bf_campaign *c, const bf_step *step,
                                          const bf_passage *passage, int product, double *suspended,
                                          bf_error *err);
/* What bed and deposits hold, into the accounts. */
BF_MUST_CHECK bf_status bf__campaign_take_stock(bf_campaign *c, bf_error *err);

/* ---- parts of a cycle ------------------------------------------------------------------------ */

BF_MUST_CHECK bf_status bf__campaign_serve(bf_campaign *c, bf__service *service, bf_error *err);
BF_MUST_CHECK bf_status bf__campaign_regenerate(bf_campaign *c, bf_campaign_cycle *out,
                                                bf_error *err);
/* Hardness to the end point if the next service went on, into `out`. */
BF_MUST_CHECK bf_status bf__campaign_potential(const bf_campaign *c, bf_campaign_cycle *out,
                                               bf_error *err);
/* One cycle, whatever comes before it. */
BF_MUST_CHECK bf_status bf__campaign_cycle(bf_campaign *c, bf_campaign_cycle *out, bf_error *err);

/* Acid through the bed and soaking in it; what it dissolves leaves with it. In acid.c.
 * @param removed_mol_per_m3  out: iron off the bed, mean */
BF_MUST_CHECK bf_status bf__campaign_acid(bf_campaign *c, double *removed_mol_per_m3,
                                          bf_error *err);

/* Skip what hardly differs and simulate the cycle after it; where nothing may be skipped, only
 * that. */
BF_MUST_CHECK bf_status bf__campaign_stride(bf_campaign *c, bf_campaign_cycle *out, bf_error *err);

#endif
