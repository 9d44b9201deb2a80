/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Layers pushed out upward. With b the bed volumes passed and phi the freeboard's volume over the
 * bed's,
 *
 *     c_out(b) = the layers that stood there, the uppermost first    b < phi
 *     c_out(b) = c_bed(b - phi)                                     b >= phi
 *     new layers: the last phi of what left the bed, in slices, the latest lowest
 *     left the vessel = left the bed - phi (mean of the layers now - before)
 *
 * Amounts come from the integrals of the bed's effluent, which are states of the run: slices add up to
 * them to rounding, so the balance closes as it does without a freeboard.
 */
#include "bed/late.h"

#include "bed/freeboard.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Slices of a whole freeboard, and moments that there is room for at first: numerical choices. A run
 * of brine takes some hundred steps. */
enum { SLICES = 16, FIRST_ROOM = 256 };

struct bf__late {
    const bf__column *column;
    double freeboard_ratio;
    double *before; /* all that the bed kept before the run */
    double *moment; /* time | effluent of the bed | its integrals, of each */
    size_t count, room;
    int is_short_of_memory;
};

static size_t moving(const bf__late *late)
{
    return 1 + late->column->layout.ions;
}

static double *row(const bf__late *late, size_t m)
{
    return late->moment + m * (1 + 2 * moving(late));
}

void bf__late_watch(void *context, double time_s, const double *state)
{
    bf__late *late = context;
    if (late->count == late->room) {
        const size_t room = late->room > 0 ? 2 * late->room : FIRST_ROOM;
        double *more = realloc(late->moment, room * (1 + 2 * moving(late)) * sizeof *more);
        if (more == NULL) {
            late->is_short_of_memory = 1;
            return;
        }
        late->moment = more;
        late->room = room;
    }
    double *kept = row(late, late->count++);
    kept[0] = time_s;
    bf__column_effluent(late->column, state, kept + 1);
    memcpy(kept + 1 + moving(late), state + bf__layout_effluent(&late->column->layout),
           moving(late) * sizeof *kept);
}

bf_status bf__late_create(const bf__column *column, double freeboard_ratio, const double *state,
                          bf__late **out, bf_error *err)
{
    const size_t kept = bf__layout_kept(&column->layout);
    bf__late *late = calloc(1, sizeof *late);
    *out = NULL;
    if (late != NULL) {
        late->column = column;
        late->freeboard_ratio = freeboard_ratio;
        late->before = malloc(kept * sizeof *late->before);
    }
    if (late == NULL || late->before == NULL) {
        bf__late_free(late);
        return bf_error_set(err, BF_E_MEMORY, "bf_bed_run", "no memory for the freeboard's layers");
    }
    memcpy(late->before, state, kept * sizeof *state);
    bf__late_watch(late, 0.0, state);
    *out = late;
    return BF_OK;
}

void bf__late_free(bf__late *late)
{
    if (late != NULL) {
        free(late->before);
        free(late->moment);
        free(late);
    }
}

/* Effluent of the bed (part 0) or its integrals (part 1) at a time, linearly between moments. */
static void bed_effluent(const bf__late *late, double time_s, size_t part, double *out)
{
    size_t low = 0;
    size_t high = late->count - 1;
    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;
        if (row(late, middle)[0] <= time_s) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const double *left = row(late, low);
    const double *right = row(late, high);
    const double span = right[0] - left[0];
    const double share = span > 0.0 ? fmin(fmax((time_s - left[0]) / span, 0.0), 1.0) : 1.0;
    for (size_t q = 0; q < moving(late); q++) {
        const size_t place = 1 + part * moving(late) + q;
        out[q] = share < 1.0 ? left[place] + share * (right[place] - left[place]) : right[place];
    }
}

static double bed_volumes_per_s(const bf__late *late)
{
    return late->column->bed_volumes_per_s;
}

void bf__late_effluent(const bf__late *late, double time_s, double *effluent)
{
    const double passed = time_s * bed_volumes_per_s(late);
    if (passed < late->freeboard_ratio) {
        memcpy(
            effluent,
            bf__freeboard_find(&late->column->layout, late->before, passed / late->freeboard_ratio),
            moving(late) * sizeof *effluent);
        return;
    }
    bed_effluent(late, time_s - late->freeboard_ratio / bed_volumes_per_s(late), 0, effluent);
}

size_t bf__late_count(const bf__late *late)
{
    return late->count;
}

double bf__late_moment(const bf__late *late, size_t moment, double *effluent)
{
    const double time_s = row(late, moment)[0];
    bf__late_effluent(late, time_s, effluent);
    return time_s;
}

bf_status bf__late_finish(const bf__late *late, double *state, bf_error *err)
{
    if (late->is_short_of_memory) {
        return bf_error_set(err, BF_E_MEMORY, "bf_bed_run", "no memory for the freeboard's layers");
    }
    const bf__layout *layout = &late->column->layout;
    const double end_s = row(late, late->count - 1)[0];
    const double rate = bed_volumes_per_s(late);
    const double filled = fmin(end_s * rate, late->freeboard_ratio);
    const size_t slices = (size_t)ceil(SLICES * filled / late->freeboard_ratio - 1e-9);
    const double volume = slices > 0 ? filled / (double)slices : 0.0;
    double earlier[1 + BF__MAX_IONS];
    double later[1 + BF__MAX_IONS];
    bed_effluent(late, end_s - filled / rate, 1, earlier);
    for (size_t s = 0; s < slices; s++) {
        double water[1 + BF__MAX_IONS];
        bed_effluent(late, end_s - (filled - (double)(s + 1) * volume) / rate, 1, later);
        for (size_t q = 0; q < moving(late); q++) {
            water[q] = (later[q] - earlier[q]) / volume;
            earlier[q] = later[q];
        }
        bf__freeboard_enter_foot(layout, state, volume / late->freeboard_ratio, water);
    }
    const double *now = state + bf__layout_freeboard(layout);
    const double *before = late->before + bf__layout_freeboard(layout);
    double *left = state + bf__layout_effluent(layout);
    for (size_t q = 0; q < moving(late); q++) {
        left[q] -= late->freeboard_ratio * (now[q] - before[q]);
    }
    return BF_OK;
}
