/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water above the bed.
 *
 *     stirs    dC_f/dt = (u/H)(C_in - C_f)              what leaves is C_f: an exponential
 *     layers   C_out(t) = C_f(depth H - u t), t < H/u; then C_in      what leaves is late by H/u
 *
 * Which of them holds is for density to say. Water that is heavier than what it enters from above
 * falls through it as a plume and turns it over; water that is lighter lies on it and pushes it out
 * below. From below it is the other way round. Where the difference is too small for the flow,
 *
 *     Ri = g beta |C_in - C_f| H/u^2 < 1,
 *
 * the flow itself stirs: nothing of weight hangs on it, since both waters are then nearly the same.
 *
 * C normality eq/m3, C_f its mean above the bed, H height of the freeboard m, u superficial velocity
 * m/s, g m/s2, beta relative rise of density with normality m3/eq. The salts of spent brine count as
 * NaCl; calcium chloride adds a tenth more to the density, per equivalent (Laliberte 2009).
 * Temperatures of inlet and freeboard are taken as one.
 *
 * A flow keeps its law from its beginning to its end. Layers do not mix into one another: jets of a
 * distributor stir the uppermost hand's breadth, which is left out.
 * Sources, derivation, size of what is left out: docs/decisions/freeboard.md.
 */
#include "bed/freeboard.h"

#include "brinefront/convert.h"

#include <math.h>
#include <string.h>

/* (1070.8 - 998.2)/998.2 at 1831.7 eq/m3: NaCl of 10 % at 20 C (Laliberte 2009). */
static const double density_rise_m3_per_eq = 3.97e-5;

/* A layer thinner than this share of the height passes too soon for an integration: it joins its
 * neighbour. A numerical choice. */
static const double sliver = 1e-9;

bf__freeboard_way bf__freeboard_meets(const bf__freeboard_meeting *meeting,
                                      const bf__layout *layout, const double *state)
{
    if (meeting->law == BF_FREEBOARD_STIRRED) {
        return BF__FREEBOARD_STIRS;
    }
    const double *water;
    const int layered = bf__freeboard_lowest(layout, state, &water) < 1.0;
    const double excess = meeting->inlet_normality - state[bf__layout_freeboard(layout)];
    const double u = meeting->velocity_m_per_s;
    const double buoyancy =
        BF_GRAVITY_M_PER_S2 * density_rise_m3_per_eq * fabs(excess) * meeting->height_m;
    if (!(buoyancy >= u * u)) {
        return layered ? BF__FREEBOARD_LAYERS : BF__FREEBOARD_STIRS;
    }
    const int falls = meeting->direction == BF_FLOW_DOWN && excess > 0.0;
    const int rises = meeting->direction == BF_FLOW_UP && excess < 0.0;
    return falls || rises ? BF__FREEBOARD_STIRS : BF__FREEBOARD_LAYERS;
}

/* ---- layers: share | C | c_1 .. c_E, top first; a share of 0 ends them ------------------------- */

static size_t count_layers(const bf__layout *layout, const double *state)
{
    size_t count = 0;
    while (count < BF__LAYERS && state[bf__layout_layer(layout, count)] > 0.0) {
        count++;
    }
    return count;
}

static void set_mean(const bf__layout *layout, double *state)
{
    double *mean = state + bf__layout_freeboard(layout);
    const size_t count = count_layers(layout, state);
    for (size_t q = 0; q <= layout->ions; q++) {
        mean[q] = 0.0;
        for (size_t l = 0; l < count; l++) {
            const double *layer = state + bf__layout_layer(layout, l);
            mean[q] += layer[0] * layer[1 + q];
        }
    }
}

void bf__freeboard_stir(const bf__layout *layout, double *state)
{
    double *layer = state + bf__layout_layer(layout, 0);
    memset(layer, 0, BF__LAYERS * bf__layout_layer_length(layout) * sizeof *layer);
    layer[0] = 1.0;
    memcpy(layer + 1, state + bf__layout_freeboard(layout), (1 + layout->ions) * sizeof *layer);
}

double bf__freeboard_lowest(const bf__layout *layout, const double *state, const double **water)
{
    const size_t count = count_layers(layout, state);
    const double *layer = state + bf__layout_layer(layout, count - 1);
    *water = layer + 1;
    return layer[0];
}

const double *bf__freeboard_find(const bf__layout *layout, const double *state, double depth)
{
    const size_t count = count_layers(layout, state);
    double above = 0.0;
    size_t l = 0;
    for (; l + 1 < count; l++) {
        above += state[bf__layout_layer(layout, l)];
        if (depth < above) {
            break;
        }
    }
    return state + bf__layout_layer(layout, l) + 1;
}

/* Layer l and the one below it become one. */
static void join(const bf__layout *layout, double *state, size_t l, size_t count)
{
    const size_t length = bf__layout_layer_length(layout);
    double *upper = state + bf__layout_layer(layout, l);
    double *lower = state + bf__layout_layer(layout, l + 1);
    const double whole = upper[0] + lower[0];
    for (size_t q = 1; q < length; q++) {
        upper[q] += (lower[q] - upper[q]) * lower[0] / whole; /* exact where they are the same */
    }
    upper[0] = whole;
    memmove(lower, lower + length, (count - l - 2) * length * sizeof *lower);
    memset(state + bf__layout_layer(layout, count - 1), 0, length * sizeof *lower);
}

/* Neighbours of one composition become one layer; where there is no room for another, the two that
 * differ least in salt do. */
static size_t make_room(const bf__layout *layout, double *state)
{
    size_t count = count_layers(layout, state);
    for (size_t l = 0; l + 1 < count;) {
        const double *upper = state + bf__layout_layer(layout, l) + 1;
        const double *lower = state + bf__layout_layer(layout, l + 1) + 1;
        if (memcmp(upper, lower, (1 + layout->ions) * sizeof *upper) == 0) {
            join(layout, state, l, count);
            count--;
        } else {
            l++;
        }
    }
    if (count == BF__LAYERS) {
        size_t nearest = 0;
        double least = INFINITY;
        for (size_t l = 0; l + 1 < count; l++) {
            const double *upper = state + bf__layout_layer(layout, l);
            const double *lower = state + bf__layout_layer(layout, l + 1);
            const double moved =
                fabs(upper[1] - lower[1]) * upper[0] * lower[0] / (upper[0] + lower[0]);
            if (moved < least) {
                least = moved;
                nearest = l;
            }
        }
        join(layout, state, nearest, count);
        count--;
    }
    return count;
}

/* Take a share away at one end, from layer `count - 1` upward or from layer 0 downward. */
static size_t take(const bf__layout *layout, double *state, size_t count, int top, double share)
{
    const size_t length = bf__layout_layer_length(layout);
    while (count > 0 && share > 0.0) {
        double *layer = state + bf__layout_layer(layout, top ? 0 : count - 1);
        if (layer[0] > share) {
            layer[0] -= share;
            if (layer[0] < sliver && count > 1) {
                join(layout, state, top ? 0 : count - 2, count);
                count--;
            }
            break;
        }
        share -= layer[0];
        if (top) {
            memmove(layer, layer + length, (count - 1) * length * sizeof *layer);
        }
        count--;
        memset(state + bf__layout_layer(layout, count), 0, length * sizeof *layer);
    }
    return count;
}

/* Rounding must not leave a gap, or the bed would run dry of layers. */
static void fill_up(const bf__layout *layout, double *state, size_t entered)
{
    double sum = 0.0;
    const size_t count = count_layers(layout, state);
    for (size_t l = 0; l < count; l++) {
        sum += l == entered ? 0.0 : state[bf__layout_layer(layout, l)];
    }
    state[bf__layout_layer(layout, entered)] = 1.0 - sum;
    set_mean(layout, state);
}

void bf__freeboard_enter_top(const bf__layout *layout, double *state, double share,
                             const double *water)
{
    const size_t length = bf__layout_layer_length(layout);
    size_t count = make_room(layout, state);
    double *layer = state + bf__layout_layer(layout, 0);
    count = take(layout, state, count, 0, share);
    memmove(layer + length, layer, count * length * sizeof *layer);
    layer[0] = share;
    memcpy(layer + 1, water, (1 + layout->ions) * sizeof *water);
    fill_up(layout, state, 0);
}

void bf__freeboard_enter_foot(const bf__layout *layout, double *state, double share,
                              const double *water)
{
    size_t count = make_room(layout, state);
    count = take(layout, state, count, 1, share);
    double *layer = state + bf__layout_layer(layout, count);
    layer[0] = share;
    memcpy(layer + 1, water, (1 + layout->ions) * sizeof *water);
    fill_up(layout, state, count);
}
