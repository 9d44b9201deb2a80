/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where iron and manganese went: what the bed's integrals and the steps between runs move, counted
 * mol by mol. */
#include "iron/campaign_state.h"

#include "bed/alter.h"

#include <string.h>

/* Iron that left suspended since the last call, mol per m3 of bed. */
static bf_status take_suspended(bf_campaign *c, double *suspended, bf_error *err)
{
    *suspended = 0.0;
    if (!c->with_iron) {
        return BF_OK;
    }
    double *values = c->oxygen; /* free between draws */
    bf_status status = bf_bed_local(c->iron_bed->bed, BF_IRON_SUSPENDED_OUT, values, err);
    *suspended = bf__mean_of(values, c->deposits.cells);
    memset(values, 0, c->deposits.cells * sizeof *values);
    const size_t accounts[] = {BF_IRON_OXYGEN_OUT, BF_IRON_SUSPENDED_OUT, BF_IRON_ALKALINITY_OUT};
    for (size_t a = 0; a < 3 && status == BF_OK; a++) {
        status = bf_bed_set_local(c->iron_bed->bed, accounts[a], values, err);
    }
    return status;
}

bf_status bf__campaign_book(bf_campaign *c, const bf_step *step, const bf_passage *passage,
                            int product, double *suspended, bf_error *err)
{
    bf_status status = take_suspended(c, suspended, err);
    const double floc_in =
        step->supply == BF_SUPPLY_RAW
            ? 1e-3 * c->feed.colloidal_iron_g_per_m3 / bf__iron_kg_per_mol() * passage->bed_volumes
            : 0.0;
    if (!c->iron_bed->open) {
        *suspended = floc_in; /* it passes */
    }
    const double iron_out = 0.5 * passage->out_eq_per_m3[BF_ION_FE] + *suspended;
    const double manganese_out = 0.5 * passage->out_eq_per_m3[BF_ION_MN];
    c->now.iron.in += 0.5 * passage->in_eq_per_m3[BF_ION_FE] + floc_in;
    c->now.manganese.in += 0.5 * passage->in_eq_per_m3[BF_ION_MN];
    *(product ? &c->now.iron.product : &c->now.iron.waste) += iron_out;
    *(product ? &c->now.manganese.product : &c->now.manganese.waste) += manganese_out;
    return status;
}

bf_status bf__campaign_take_stock(bf_campaign *c, bf_error *err)
{
    double held[BF_ION_COUNT];
    bf__bed_held(c->iron_bed->bed, held);
    c->now.iron.held = 0.5 * held[BF_ION_FE];
    c->now.manganese.held = 0.5 * held[BF_ION_MN];
    bf_status status = c->with_iron ? bf__campaign_read_deposits(c, err) : BF_OK;
    c->now.iron.loose = bf__mean_of(c->deposits.loose, c->deposits.cells);
    c->now.iron.bound = bf__mean_of(c->deposits.bound, c->deposits.cells);
    return status;
}
