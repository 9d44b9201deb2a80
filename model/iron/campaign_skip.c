/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cycles that hardly differ, skipped: a multirate scheme.
 *
 *     pace      g_n = S_(n) - S_(n-1)            what a simulated cycle adds to a slow quantity
 *     trend     g' = (g_n - g_m)/(n - m)         from the pace measured before, after cycle m
 *     skip N    S += N g + N(N+1)/2 g'           then two cycles are simulated, the second measured
 *     error     e = N/2 |g_new - (g + (n' - n) g')|, mean over the cells
 *     accepted  e <= tolerance N |g| + a little; else all is taken back and half as many are tried
 *     next      N sqrt(0.8/(e/allowed)), between half and twice, at most a quarter of a year
 *
 * Slow quantities S: bound iron of every cell, moisture, and every account, so that the accounts
 * close over skipped cycles as they do over simulated ones: each is a linear combination of cycles
 * that close. Loose deposit is nearly at its end after a cycle or two, since backwash and binding
 * leave a share rho of it: g (rho + rho^2 + .. + rho^N) in place of N g, the rest counted with the
 * waste. So is what the exchanged iron of a measured cycle still gains or loses, as the bed itself
 * stays as it is: it follows its deposits within the two cycles. Nothing is skipped before six
 * cycles have run on one water since the bed was laid or cleaned, nor over a cleaning or a change
 * of season.
 *
 * Verified against every cycle simulated: tests/iron/test_campaign_skip.c.
 */
#include "iron/campaign_state.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Chosen by judgement, no source: what they let a year be off by is held by the test named above.
 * After a skip the first cycle still carries its jump, so that the second is measured. */
enum { SETTLED = 6, SETTLE = 2, FIRST_STRIDE = 4, LEAST_STRIDE = 2 };
static const double most_skip_days = 91.0;   /* a quarter of a year */
static const double least_room_cycles = 8.0; /* of a skip, where a quarter has fewer */
static const double steady_share = 0.05;     /* of a pace: the most it changes between two cycles */
static const double aim = 0.8;               /* of the error allowed, for the next stride */

/* Numerical choice: what is smaller is not worth a simulated cycle. */
static const double little_mol_per_m3 = 1e-3; /* of iron: a two-millionth of the sites */
static const double little_moisture = 1e-7;   /* of 0.46 */

/* ---- accounts as vectors --------------------------------------------------------------------- */

/* a x + y of two accounts. `held`, `loose` and `bound` are stock, taken later; what `held` moves
 * goes to the waste. */
static void add_account(bf_campaign_account *y, double a, const bf_campaign_account *x)
{
    y->in += a * x->in;
    y->product += a * x->product;
    y->waste += a * (x->waste + x->held);
    y->cleaned += a * x->cleaned;
}

static bf_campaign_account less(const bf_campaign_account *a, const bf_campaign_account *b)
{
    return (bf_campaign_account){.in = a->in - b->in,
                                 .product = a->product - b->product,
                                 .waste = a->waste - b->waste,
                                 .cleaned = a->cleaned - b->cleaned,
                                 .held = a->held - b->held};
}

/* ---- pace ------------------------------------------------------------------------------------ */

/* Deposits of all cells, bound then loose. */
static bf_status read_deposits(bf_campaign *c, double *values, bf_error *err)
{
    const size_t n = c->deposits.cells;
    if (!c->with_iron) {
        memset(values, 0, 2 * n * sizeof *values);
        return BF_OK;
    }
    bf_status status = bf__campaign_read_deposits(c, err);
    memcpy(values, c->deposits.bound, n * sizeof *values);
    memcpy(values + n, c->deposits.loose, n * sizeof *values);
    return status;
}

/* Simulate a cycle and measure its pace into c->pace. */
static bf_status measure(bf_campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    const size_t n = c->deposits.cells;
    const bf__campaign_now before = c->now;
    bf_status status = bf__campaign_take_stock(c, err); /* `held` of now */
    const bf_campaign_account iron = c->now.iron;
    const bf_campaign_account manganese = c->now.manganese;
    status = status == BF_OK ? read_deposits(c, c->pace, err) : status;
    status = status == BF_OK ? bf__campaign_cycle(c, out, err) : status;
    if (status != BF_OK) {
        return status;
    }
    c->now.pace = (bf__campaign_pace){.moisture = c->now.moisture - before.moisture,
                                      .iron = less(&c->now.iron, &iron),
                                      .manganese = less(&c->now.manganese, &manganese)};
    c->now.pace_cycle = c->now.cycles;
    status = c->with_iron ? bf__campaign_read_deposits(c, err) : BF_OK;
    for (size_t k = 0; k < n && c->with_iron; k++) {
        c->pace[k] = c->deposits.bound[k] - c->pace[k];
        c->pace[n + k] = c->deposits.loose[k] - c->pace[n + k];
    }
    return status;
}

/* What was measured last is now what was measured before. */
static void shift(bf_campaign *c)
{
    bf__campaign_now *now = &c->now;
    memcpy(c->pace_before, c->pace, 2 * c->deposits.cells * sizeof *c->pace);
    now->pace_before = now->pace;
    now->pace_cycle_before = now->pace_cycle;
    now->paces = now->paces < 2 ? now->paces + 1 : 2;
}

/* Weight of the trend: 1/(n - m); none from cycles so close that their noise would be the trend. */
static double trend_weight(const bf__campaign_now *now)
{
    const size_t span = now->pace_cycle - now->pace_cycle_before;
    return now->paces < 2 || span < FIRST_STRIDE ? 0.0 : 1.0 / (double)span;
}

/* ---- a stride -------------------------------------------------------------------------------- */

/* Cycles' worth of its pace that loose deposit moves in `count`: a cycle keeps the share rho of it,
 * so that it is near its end soon, 1 + rho + rho^2 + .. */
static double loose_steps(const bf_campaign *c, double count)
{
    const double rho = c->now.loose_kept * exp(-c->spec.iron.binding_per_s * BF_IRON_S_PER_DAY *
                                               bf_campaign_days(&c->spec));
    /* 1e-9: numerical choice, closer to 1 the quotient loses its digits. */
    return rho < 1.0 - 1e-9 ? rho * (1.0 - pow(rho, count)) / (1.0 - rho) : count;
}

/* Add `count` cycles of the pace and its trend to all that is slow. */
static bf_status skip(bf_campaign *c, size_t count, bf_error *err)
{
    bf__campaign_now *now = &c->now;
    const size_t n = c->deposits.cells;
    const double steps = (double)count;
    const double bend = 0.5 * steps * (steps + 1.0) * trend_weight(now);
    const double loose = loose_steps(c, steps);
    bf_status status = c->with_iron ? bf__campaign_read_deposits(c, err) : BF_OK;
    double washed = 0.0; /* loose deposit that the paces of the accounts take to be still there */
    for (size_t k = 0; k < n && c->with_iron; k++) {
        const double before = c->deposits.loose[k];
        c->deposits.bound[k] += steps * c->pace[k] + bend * (c->pace[k] - c->pace_before[k]);
        washed += fmin(c->deposits.bound[k], 0.0); /* none can be less than none */
        c->deposits.bound[k] = fmax(c->deposits.bound[k], 0.0);
        c->deposits.loose[k] = fmax(before + loose * c->pace[n + k], 0.0);
        washed += steps * c->pace[n + k] + bend * (c->pace[n + k] - c->pace_before[n + k]) -
                  (c->deposits.loose[k] - before);
    }
    add_account(&now->iron, steps + bend, &now->pace.iron);
    add_account(&now->manganese, steps + bend, &now->pace.manganese);
    if (bend > 0.0) {
        add_account(&now->iron, -bend, &now->pace_before.iron);
        add_account(&now->manganese, -bend, &now->pace_before.manganese);
    }
    now->iron.waste += washed / (double)n;
    now->moisture +=
        steps * now->pace.moisture + bend * (now->pace.moisture - now->pace_before.moisture);
    now->cycles += count;
    if (status == BF_OK && c->with_iron) {
        status = bf__campaign_write_deposits(c, err);
    }
    now->bound_kg_per_m3 =
        c->with_iron ? bf__iron_kg_per_mol() * bf__mean_of(c->deposits.bound, n) : 0.0;
    return status == BF_OK && c->fouls ? bf__campaign_renew(c, err) : status;
}

/* How far a skip was off, over what is allowed; c->pace is what came, `old` what was measured
 * before the skip, `trend` the share of its change to expect. @param error  out: mol per m3 */
static double misjudged(const bf_campaign *c, const bf__campaign_pace *pace, const double *old,
                        const double *older, double expected, size_t count,
                        const bf__campaign_pace *older_pace, double *error_mol_per_m3)
{
    const size_t n = c->deposits.cells;
    const double steps = (double)count;
    double off = 0.0;
    double gain = 0.0;
    for (size_t k = 0; k < n; k++) {
        off += fabs(c->pace[k] - old[k] - expected * (old[k] - older[k]));
        gain += fabs(steps * old[k]);
    }
    *error_mol_per_m3 = 0.5 * steps * off / (double)n;
    const double allowed = c->spec.skip_tolerance * gain / (double)n + little_mol_per_m3;
    const double moisture = fabs(c->now.pace.moisture - pace->moisture -
                                 expected * (pace->moisture - older_pace->moisture));
    const double moisture_allowed =
        c->spec.skip_tolerance * fabs(steps * pace->moisture) + little_moisture;
    return fmax(*error_mol_per_m3 / allowed, 0.5 * steps * moisture / moisture_allowed);
}

/* Cycles that may be skipped before something happens that must be simulated. */
static size_t room(const bf_campaign *c)
{
    const bf_campaign_spec *spec = &c->spec;
    const bf__campaign_now *now = &c->now;
    const double days = bf_campaign_days(spec);
    const int cleans = c->with_iron && spec->cleaning.every_days > 0.0;
    const size_t left = spec->cycles - now->cycles;
    const size_t most = (size_t)fmax(least_room_cycles, most_skip_days / days) + SETTLE;
    size_t quiet = 0;
    while (quiet < left && quiet < most) {
        const double begin = days * (double)(now->cycles + quiet);
        const double end = days * (double)(now->cycles + quiet + 1);
        if ((cleans && end >= now->next_cleaning_day) ||
            bf_campaign_season_index(spec, begin) != now->season) {
            break;
        }
        quiet++;
    }
    return quiet > SETTLE ? quiet - SETTLE : 0;
}

/* Two paces that follow each other agree well enough to begin with. */
static int is_steady(const bf_campaign *c)
{
    const bf__campaign_now *now = &c->now;
    if (now->alike < SETTLED || now->paces < 2) {
        return 0;
    }
    double off = 0.0;
    double sum = 0.0;
    for (size_t k = 0; k < c->deposits.cells; k++) {
        off += fabs(c->pace[k] - c->pace_before[k]);
        sum += fabs(c->pace[k]);
    }
    return off <= steady_share * sum + little_mol_per_m3;
}

/* What is needed to take a skip back. */
typedef struct saved_state {
    unsigned char *bytes;
    size_t length;
    double *old, *older; /* paces */
} saved_state;

static bf_status save_state(const bf_campaign *c, saved_state *saved, bf_error *err)
{
    const size_t paces = 4 * c->deposits.cells * sizeof(double);
    saved->length = bf_campaign_snapshot_size(c);
    saved->bytes = malloc(saved->length + paces);
    if (saved->bytes == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_campaign_next", "no memory to skip cycles");
    }
    bf_campaign_snapshot(c, saved->bytes);
    saved->old =
        (double *)(void *)(saved->bytes + saved->length); /* the length is of whole doubles */
    saved->older = saved->old + 2 * c->deposits.cells;
    memcpy(saved->old, c->pace, paces / 2);
    memcpy(saved->older, c->pace_before, paces / 2);
    return BF_OK;
}

/* Try to skip `count` cycles. @param accepted  out: nonzero where it held; else all is as before */
static bf_status try_skip(bf_campaign *c, size_t count, bf_campaign_cycle *out, int *accepted,
                          bf_error *err)
{
    saved_state saved = {0};
    const bf__campaign_now before = c->now;
    double error = 0.0;
    double ratio = 0.0;
    *accepted = 0;
    bf_status status = save_state(c, &saved, err);
    status = status == BF_OK ? skip(c, count, err) : status;
    for (int s = 0; s < SETTLE && status == BF_OK && !c->now.spent; s++) {
        c->unrecorded = s + 1 < SETTLE;
        status = measure(c, out, err);
        c->unrecorded = 0;
    }
    if (status == BF_OK && !c->now.spent) {
        const double expected =
            trend_weight(&before) * (double)(c->now.pace_cycle - before.pace_cycle);
        ratio = misjudged(c, &before.pace, saved.old, saved.older, expected, count,
                          &before.pace_before, &error);
        *accepted = ratio <= 1.0;
    }
    if (status == BF_OK && *accepted) {
        const double next = (double)count * fmin(fmax(sqrt(aim / fmax(ratio, 1e-9)), 0.5), 2.0);
        c->now.stride = (size_t)next;
        c->now.skip_error_mol_per_m3 += error;
        out->skipped = count + SETTLE - 1;
        out->skip_error_kg_per_m3 = bf__iron_kg_per_mol() * c->now.skip_error_mol_per_m3;
        memcpy(c->pace_before, saved.old, 2 * c->deposits.cells * sizeof(double));
        c->now.pace_before = before.pace;
        c->now.pace_cycle_before = before.pace_cycle;
        c->now.paces = 2;
    } else if (status == BF_OK) {
        status = bf_campaign_restore(c, saved.bytes, saved.length, err);
        c->now.stride = count / 2;
    }
    free(saved.bytes);
    return status;
}

bf_status bf__campaign_stride(bf_campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    bf__campaign_now *now = &c->now;
    if (now->stride == 0 && is_steady(c)) {
        now->stride = FIRST_STRIDE;
    }
    while (now->stride >= LEAST_STRIDE && room(c) >= LEAST_STRIDE) {
        const size_t most = room(c);
        int accepted;
        bf_status status =
            try_skip(c, now->stride < most ? now->stride : most, out, &accepted, err);
        if (status != BF_OK || accepted) {
            return status;
        }
    }
    if (now->stride < LEAST_STRIDE) {
        now->stride = 0; /* tried again when it looks steady */
        now->alike = now->alike < SETTLED ? now->alike : SETTLED - 2;
    }
    shift(c);
    return measure(c, out, err);
}
