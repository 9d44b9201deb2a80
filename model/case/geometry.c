/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed's size, against which flows and volumes are stated.
 *
 * Of diameter, depth and resin volume two fix the third. A vessel of a common size says the
 * diameter and, where nothing else is stated, the usual filling. Its height says how much room
 * there is above the resin:
 *
 *     freeboard = height - underbedding - depth
 */
#include "brinefront/convert.h"
#include "case/stages.h"

#include <math.h>
#include <stdio.h>

static const double practice_depth_m = 0.76; /* 30 in: published beds, 24 in or more */

static int is_own_size(const bf__reader *r)
{
    return bf__reader_is_stated(r, BF__KEY_TANK_SIZE);
}

/* The size, where it is one; a wrong word has its finding when all keys are read. */
static int size_of(const bf__reader *r, bf_tank_size *out)
{
    return is_own_size(r) && bf_tank_size_find(r->key[BF__KEY_TANK_SIZE].text, out, NULL) == BF_OK;
}

/* A value that follows: read, but neither stated nor printed back. */
static void set_value(bf__reader *r, bf__key_id id, double value)
{
    r->key[id] = (bf__stated){.value = value, .is_read = 1};
}

static void take_size(bf__reader *r)
{
    char sentence[300];
    bf_tank_size size;
    if (!size_of(r, &size)) {
        return;
    }
    if (!bf__reader_is_stated(r, BF__KEY_DIAMETER)) {
        const int has_both =
            bf__reader_has(r, BF__KEY_DEPTH) && bf__reader_has(r, BF__KEY_RESIN_VOLUME);
        if (has_both) {
            bf__reader_find_key(r, BF__KEY_RESIN_VOLUME,
                                "tank.size says the diameter: state depth or resin_volume, one of "
                                "the two");
            return;
        }
        set_value(r, BF__KEY_DIAMETER, size.diameter_m);
        bf_notes_add(r->notes, BF_NOTE_DEDUCED, bf__key_get(BF__KEY_DIAMETER)->path,
                     "%.4g m (%.4g in) from tank.size", size.diameter_m,
                     size.diameter_m / BF_M_PER_IN);
    } else if (bf__reader_has(r, BF__KEY_DIAMETER) &&
               fabs(bf__reader_value(r, BF__KEY_DIAMETER) / size.diameter_m - 1.0) > 1e-3) {
        (void)snprintf(sentence, sizeof sentence,
                       "tank.size %s is %.4g m (%.4g in) across; leave the diameter out, or state "
                       "tank.height in place of tank.size",
                       size.name, size.diameter_m, size.diameter_m / BF_M_PER_IN);
        bf__reader_find_key(r, BF__KEY_DIAMETER, sentence);
    }
    if (!bf__reader_is_stated(r, BF__KEY_DEPTH) && !bf__reader_is_stated(r, BF__KEY_RESIN_VOLUME)) {
        set_value(r, BF__KEY_RESIN_VOLUME, size.resin_low_m3);
        bf_notes_add(r->notes, BF_NOTE_ASSUMED, bf__key_get(BF__KEY_RESIN_VOLUME)->path,
                     "%.4g L (%.3g ft3), the usual filling of a %s (common practice, no source)",
                     1e3 * size.resin_low_m3, size.resin_low_m3 / BF_M3_PER_FT3, size.name);
    }
}

/* Inside height; NAN: the case's own freeboard is all that is known. */
double bf__geometry_height_m(const bf__reader *r)
{
    bf_tank_size size;
    return size_of(r, &size) ? size.height_m : bf__reader_value(r, BF__KEY_TANK_HEIGHT);
}

/* The key that says how high the vessel is. */
bf__key_id bf__geometry_height_key(const bf__reader *r)
{
    return is_own_size(r) ? BF__KEY_TANK_SIZE : BF__KEY_TANK_HEIGHT;
}

/* All three are stated: they must agree to 2 %, common practice, no source. */
static void check_volume(bf__reader *r, double diameter_m, double depth_m, double volume_m3)
{
    const double product_m3 = 0.25 * BF_PI * diameter_m * diameter_m * depth_m;
    if (fabs(volume_m3 - product_m3) > 0.02 * product_m3) {
        char sentence[300];
        (void)snprintf(sentence, sizeof sentence,
                       "resin volume %.4g L contradicts diameter and depth, which make %.4g L; "
                       "state two of the three",
                       1e3 * volume_m3, 1e3 * product_m3);
        bf__reader_find_key(r, BF__KEY_RESIN_VOLUME, sentence);
    }
}

/* A volume without depth or without diameter. */
static void fill_in_from_volume(const bf__reader *r, double volume_m3, double *diameter_m,
                                double *depth_m)
{
    if (bf__reader_has(r, BF__KEY_DIAMETER)) {
        *depth_m = volume_m3 / (0.25 * BF_PI * *diameter_m * *diameter_m);
        bf_notes_add(r->notes, BF_NOTE_DEDUCED, "bed.depth",
                     "%.4g m from resin volume and diameter", *depth_m);
        return;
    }
    if (!bf__reader_has(r, BF__KEY_DEPTH)) {
        *depth_m = practice_depth_m;
        bf_notes_add(r->notes, BF_NOTE_ASSUMED, "bed.depth",
                     "0.76 m (30 in; published beds are 24 in or deeper)");
    }
    *diameter_m = sqrt(volume_m3 / (0.25 * BF_PI * *depth_m));
    bf_notes_add(r->notes, BF_NOTE_DEDUCED, "bed.diameter", "%.4g m from resin volume and depth",
                 *diameter_m);
}

/* Too little is stated. What is stated but wrong has its finding already. */
static void find_missing(bf__reader *r)
{
    const int count =
        (bf__reader_is_stated(r, BF__KEY_DIAMETER) || bf__reader_has(r, BF__KEY_DIAMETER)) +
        bf__reader_is_stated(r, BF__KEY_DEPTH);
    if (r->is_whole && count < 2 && !bf__reader_is_stated(r, BF__KEY_RESIN_VOLUME) &&
        !bf__reader_is_stated(r, BF__KEY_TANK_SIZE)) {
        bf__reader_find(r, "bed", 0, 0,
                        count > 0
                            ? "diameter, depth and resin_volume: two of them are needed"
                            : "no bed: state bed.diameter and bed.depth, or bed.resin_volume");
    }
}

/* The range of diameter and depth in keys.def. */
static int is_a_size(double length_m)
{
    return length_m >= 0.01 && length_m <= 10.0;
}

/* A bed of some size, so that the rest of the file can still be read. */
static void make_up_bed(bf__reader *r, double *diameter_m, double *depth_m)
{
    r->bed_is_made_up = 1;
    *diameter_m = 0.26; /* as bf_bed_spec_default() */
    *depth_m = practice_depth_m;
}

void bf__stage_geometry(bf__reader *r)
{
    bf_bed_spec *bed = &r->out->rating.bed;
    bf__reader_read(r, BF__KEY_DIAMETER);
    bf__reader_read(r, BF__KEY_DEPTH);
    bf__reader_read(r, BF__KEY_RESIN_VOLUME);
    take_size(r);
    const int has_both = bf__reader_has(r, BF__KEY_DIAMETER) && bf__reader_has(r, BF__KEY_DEPTH);
    const int has_volume = bf__reader_has(r, BF__KEY_RESIN_VOLUME);
    double diameter_m = bf__reader_value(r, BF__KEY_DIAMETER);
    double depth_m = bf__reader_value(r, BF__KEY_DEPTH);
    const double volume_m3 = bf__reader_value(r, BF__KEY_RESIN_VOLUME);
    if (has_both && has_volume) {
        check_volume(r, diameter_m, depth_m, volume_m3);
    } else if (has_volume) {
        fill_in_from_volume(r, volume_m3, &diameter_m, &depth_m);
    } else if (!has_both) {
        find_missing(r);
        make_up_bed(r, &diameter_m, &depth_m);
    }
    if (!is_a_size(depth_m) || !is_a_size(diameter_m)) {
        char sentence[200];
        (void)snprintf(sentence, sizeof sentence,
                       "the bed comes to %.4g m across and %.4g m deep; accepted are 1 cm to 10 m",
                       diameter_m, depth_m);
        bf__reader_find(r, "bed", r->key[BF__KEY_RESIN_VOLUME].line,
                        r->key[BF__KEY_RESIN_VOLUME].column, sentence);
        make_up_bed(r, &diameter_m, &depth_m);
    }
    bed->diameter_m = diameter_m;
    bed->depth_m = depth_m;
    r->area_m2 = bf_bed_area_m2(bed);
}

void bf__stage_freeboard(bf__reader *r)
{
    const double height_m = bf__geometry_height_m(r);
    bf_bed_spec *bed = &r->out->rating.bed;
    if (!r->has_tank || isnan(height_m) || r->bed_is_made_up) {
        return;
    }
    if (bf__reader_is_own(r, BF__KEY_FREEBOARD)) {
        bf__reader_find_key(r, BF__KEY_FREEBOARD,
                            "the vessel's height says how much room is above the resin: leave this "
                            "out, or tank.size and tank.height");
        return;
    }
    const double above_m =
        height_m - fmax(bf__reader_value(r, BF__KEY_TANK_UNDERBEDDING), 0.0) - bed->depth_m;
    r->key[BF__KEY_FREEBOARD] = (bf__stated){0}; /* not as the default has it */
    bed->freeboard_m = fmax(above_m, 0.0);       /* resin that does not fit is found later */
    bf_notes_add(r->notes, BF_NOTE_DEDUCED, bf__key_get(BF__KEY_FREEBOARD)->path,
                 "%.4g m (%.3g in) from the vessel's height", bed->freeboard_m,
                 bed->freeboard_m / BF_M_PER_IN);
}
