/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of single steps share: a small rig, a step run on it, two passages compared. */
#ifndef BF_TESTS_CYCLE_STEP_RIG_H
#define BF_TESTS_CYCLE_STEP_RIG_H

#include "rig.h"

/* Small: what is tested here does not depend on the grid. */
enum { CELLS = 24, SHELLS = 3 };

static inline rig with_water(const bf_water *water, bf_salt salt)
{
    bf_error err = {0};
    rig r;
    assert_ok(rig_open(&r, water, salt, 0.38, CELLS, SHELLS, &err));
    return r;
}

static inline rig common_rig(void)
{
    bf_error err = {0};
    bf_water water;
    assert_ok(rig_water(413.0, 2.37, NULL, &water, &err));
    return with_water(&water, BF_SALT_NACL);
}

/* Another bed like that of the rig, in the same state. */
static inline bf_bed *twin(const rig *r)
{
    bf_error err = {0};
    bf_bed *bed = NULL;
    assert_ok(bf_bed_create(&r->spec, r->selectivity, &bed, &err));
    assert_ok(bf_bed_copy(bed, r->bed, &err));
    return bed;
}

static inline bf_step_result run(const bf_step *step, const bf_site *site, bf_bed *bed)
{
    bf_error err = {0};
    bf_step_result result;
    assert_ok(step->type->check(step, &err));
    assert_ok(step->type->run(step, site, bed, &result, &err));
    ck_assert_str_eq(result.name, step->type->name);
    return result;
}

/* Every figure of two passages is the same, bit for bit. */
static inline void assert_same_passage(const bf_passage *a, const bf_passage *b)
{
    ck_assert_int_eq(a->reached_end_hardness, b->reached_end_hardness);
    ck_assert_int_eq(a->steps, b->steps);
    ck_assert(a->duration_s == b->duration_s);
    ck_assert(a->bed_volumes == b->bed_volumes);
    ck_assert(a->hardness_first_eq_per_m3 == b->hardness_first_eq_per_m3);
    ck_assert(a->hardness_low_eq_per_m3 == b->hardness_low_eq_per_m3);
    ck_assert(a->hardness_last_eq_per_m3 == b->hardness_last_eq_per_m3);
    ck_assert(a->imbalance_eq_per_m3 == b->imbalance_eq_per_m3);
    ck_assert_mem_eq(a->in_eq_per_m3, b->in_eq_per_m3, sizeof a->in_eq_per_m3);
    ck_assert_mem_eq(a->out_eq_per_m3, b->out_eq_per_m3, sizeof a->out_eq_per_m3);
    ck_assert_mem_eq(a->stored_eq_per_m3, b->stored_eq_per_m3, sizeof a->stored_eq_per_m3);
}

static inline bf_step refill_for(double dose_kg_per_m3)
{
    bf_step refill = rig_brine(1.0);
    refill.type = &bf_step_refill;
    refill.dose_kg_per_m3 = dose_kg_per_m3;
    return refill;
}

static inline bf_step hold_for(double duration_s)
{
    return (bf_step){.type = &bf_step_hold, .duration_s = duration_s};
}

/* Equivalents of an ion in resin and pore water, per m3 of bed. */
static inline double content(const rig *r, bf_ion ion)
{
    bf_holding holding = bf_bed_holding(r->bed);
    return r->spec.resin.total_capacity_eq_per_m3 * holding.resin_fraction[ion] +
           r->spec.resin.void_fraction * holding.pore_eq_per_m3[ion];
}

#endif
