/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the sections `tank` and `rating` to a vessel and the way it is rated.
 *
 * A common size, or a height, says how much room there is above the resin:
 *
 *     freeboard = height - underbedding - depth
 *
 * What the vessel refuses (bf_tank_sheet_of()) becomes a finding at the key that can cure it, with
 * the limit and the nearest value that holds.
 */
#include "brinefront/convert.h"
#include "case/reader.h"

#include <math.h>
#include <stdio.h>

/* Enough to be within a tenth of what many more would say: docs/decisions/uneven-flow.md. */
enum { BEDS_OF_A_SPREAD = 5 };

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

void bf__reader_take_size(bf__reader *r)
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
static double height_of(const bf__reader *r)
{
    bf_tank_size size;
    return size_of(r, &size) ? size.height_m : bf__reader_value(r, BF__KEY_TANK_HEIGHT);
}

/* The key that says how high the vessel is. */
static bf__key_id vessel_key(const bf__reader *r)
{
    return is_own_size(r) ? BF__KEY_TANK_SIZE : BF__KEY_TANK_HEIGHT;
}

void bf__reader_set_freeboard(bf__reader *r)
{
    const double height_m = height_of(r);
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

/* ---- findings -------------------------------------------------------------------------------- */

/* One without the other; `why` has a %s for the one that is missing. */
static void check_pair(bf__reader *r, bf__key_id one, bf__key_id other, const char *why)
{
    char sentence[200];
    if (bf__reader_is_stated(r, one) != bf__reader_is_stated(r, other)) {
        const int has_one = bf__reader_is_stated(r, one);
        (void)snprintf(sentence, sizeof sentence, why, bf__key_get(has_one ? other : one)->path);
        bf__reader_find_key(r, has_one ? one : other, sentence);
    }
}

static void check_company(bf__reader *r)
{
    if (is_own_size(r) && bf__reader_is_stated(r, BF__KEY_TANK_HEIGHT)) {
        bf__reader_find_key(r, BF__KEY_TANK_HEIGHT, "tank.size says the height: leave one out");
    }
    check_pair(r, BF__KEY_TANK_VALVE_LOSS, BF__KEY_TANK_VALVE_FLOW,
               "a loss belongs to a flow: state %s too, or leave this out");
    check_pair(r, BF__KEY_TANK_DISTRIBUTOR_LOSS, BF__KEY_TANK_DISTRIBUTOR_FLOW,
               "a loss belongs to a flow: state %s too, or leave this out");
    check_pair(r, BF__KEY_TANK_DRAW, BF__KEY_TANK_REST,
               "a draw and the rest after it belong together: state %s too, or leave this out");
    if (bf__reader_value(r, BF__KEY_TANK_COLDEST) > bf__reader_value(r, BF__KEY_TANK_WARMEST)) {
        bf__reader_find_key(r, BF__KEY_TANK_COLDEST,
                            "the coldest water is warmer than the warmest; exchange them");
    }
    if (bf__reader_value(r, BF__KEY_TANK_AVERAGE_FLOW) >
        bf__reader_value(r, BF__KEY_TANK_PEAK_FLOW)) {
        bf__reader_find_key(r, BF__KEY_TANK_AVERAGE_FLOW,
                            "the average flow is more than the peak flow; exchange them");
    }
}

/* `rating` asks for what only a vessel has. */
static void find_rating_alone(bf__reader *r)
{
    for (bf__key_id id = 0; id < BF__KEY_COUNT; id++) {
        if (bf__key_get(id)->section == BF__SECTION_RATING && bf__reader_is_own(r, id)) {
            bf__reader_find_key(r, id,
                                "means nothing without a vessel: add a section `tank`, such as "
                                "\"tank: {size: 10x54}\"");
        }
    }
}

static int is_more(double value, double limit)
{
    return value > limit * (1.0 + 1e-9) + 1e-12;
}

/* The key that can cure what the sheet refuses, in the order in which that looks. */
static bf__key_id cure_of(const bf__reader *r, const bf_tank_sheet *sheet)
{
    const bf_tank_spec *tank = &r->out->tank.spec;
    const int is_own_backwash = bf__reader_is_stated(r, BF__KEY_BACKWASH_FLOW);
    if (isnan(sheet->rated_m3_per_s)) {
        return vessel_key(r); /* the resin does not fit */
    }
    if (!sheet->backwash_fits && !isnan(tank->height_m) && !isnan(sheet->cold.expansion)) {
        const int is_wanted = is_more(tank->expansion, sheet->room);
        return is_wanted && bf__reader_is_own(r, BF__KEY_TANK_EXPANSION) ? BF__KEY_TANK_EXPANSION
               : !is_wanted && is_own_backwash                           ? BF__KEY_BACKWASH_FLOW
               : !is_wanted && bf__reader_is_stated(r, BF__KEY_TANK_COLDEST) ? BF__KEY_TANK_COLDEST
                                                                             : vessel_key(r);
    }
    if (is_more(sheet->drain_m3_per_s, tank->drain_m3_per_s)) {
        return BF__KEY_TANK_DRAIN_FLOW;
    }
    const double most = sheet->limit_m3_per_s[BF_TANK_PRESSURE];
    return is_more(tank->peak_m3_per_s, most)      ? BF__KEY_TANK_PEAK_FLOW
           : is_more(tank->average_m3_per_s, most) ? BF__KEY_TANK_AVERAGE_FLOW
                                                   : BF__KEY_SERVICE_FLOW;
}

/* ---- all of it ------------------------------------------------------------------------------- */

static void build_spec(const bf__reader *r, bf_tank_spec *spec)
{
    const bf_bed_spec *bed = &r->out->rating.bed;
    const struct {
        bf__key_id id;
        double *to;
        double scale; /* of what is read, a flow being a velocity */
    } fields[] = {
        {BF__KEY_TANK_UNDERBEDDING, &spec->underbedding_m, 1.0},
        {BF__KEY_TANK_VALVE_LOSS, &spec->valve_Pa, 1.0},
        {BF__KEY_TANK_VALVE_FLOW, &spec->valve_m3_per_s, r->area_m2},
        {BF__KEY_TANK_DISTRIBUTOR_LOSS, &spec->distributor_Pa, 1.0},
        {BF__KEY_TANK_DISTRIBUTOR_FLOW, &spec->distributor_m3_per_s, r->area_m2},
        {BF__KEY_TANK_PRESSURE_LIMIT, &spec->pressure_limit_Pa, 1.0},
        {BF__KEY_TANK_VELOCITY_LIMIT, &spec->velocity_limit_m_per_s, 1.0},
        {BF__KEY_TANK_BED_VOLUMES_LIMIT, &spec->bed_volumes_per_h_limit, BF_S_PER_H / bed->depth_m},
        {BF__KEY_TANK_PEAK_FLOW, &spec->peak_m3_per_s, r->area_m2},
        {BF__KEY_TANK_AVERAGE_FLOW, &spec->average_m3_per_s, r->area_m2},
        {BF__KEY_TANK_EXPANSION, &spec->expansion, 1.0},
        {BF__KEY_TANK_SWELLING, &spec->swelling, 1.0},
        {BF__KEY_TANK_COLDEST, &spec->coldest_K, 1.0},
        {BF__KEY_TANK_WARMEST, &spec->warmest_K, 1.0},
        {BF__KEY_TANK_DRAIN_FLOW, &spec->drain_m3_per_s, r->area_m2},
    };
    *spec = bf_tank_spec_default();
    spec->diameter_m = bed->diameter_m;
    spec->height_m = height_of(r);
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        *fields[f].to = fields[f].scale * bf__reader_value(r, fields[f].id);
    }
}

static void build_uneven(const bf__reader *r, bf_uneven_flow *uneven)
{
    *uneven = bf_uneven_flow_default();
    uneven->velocity_spread = bf__reader_value(r, BF__KEY_TANK_VELOCITY_SPREAD);
    uneven->beds = uneven->velocity_spread > 0.0 ? BEDS_OF_A_SPREAD : 1;
    if (bf__reader_chosen(r, BF__KEY_TANK_WALL, "yes")) {
        bf_uneven_flow_wall(&r->out->rating.bed, uneven);
    }
}

void bf__reader_build_tank(bf__reader *r)
{
    bf_case_tank *to = &r->out->tank;
    if (!r->has_tank) {
        find_rating_alone(r);
        return;
    }
    check_company(r);
    if (bf__reader_value(r, BF__KEY_TANK_BLEND) >= r->out->rating.water.hardness_eq_per_m3 &&
        r->out->rating.water.hardness_eq_per_m3 > 0.0) {
        bf__reader_find_key(r, BF__KEY_TANK_BLEND,
                            "the blend is not below the hardness of the feed; lower it");
    }
    if (r->status != BF_OK) {
        return; /* the numbers are not all there */
    }
    build_spec(r, &to->spec);
    build_uneven(r, &to->uneven);
    to->protocol = bf__reader_chosen(r, BF__KEY_RATING_PROTOCOL, "published_test")
                       ? BF_PROTOCOL_PUBLISHED_TEST
                       : BF_PROTOCOL_OWN;
    to->quantile = bf__reader_value(r, BF__KEY_RATING_QUANTILE);
    to->samples = (size_t)bf__reader_value(r, BF__KEY_RATING_SAMPLES);
    to->blend_eq_per_m3 = bf__reader_value(r, BF__KEY_TANK_BLEND);
    to->draws = (bf_draws){.bed_volumes = bf__reader_value(r, BF__KEY_TANK_DRAW),
                           .rest_s = bf__reader_value(r, BF__KEY_TANK_REST)};
    to->beds = (int)bf__reader_value(r, BF__KEY_TANK_BEDS);
    bf_rating_spec dosed = r->out->rating;
    bf_recipe_set_dose(&dosed.recipe, r->out->dose_kg_per_m3[r->out->dose_count / 2]);
    bf_tank_sheet sheet;
    bf_error err = {0};
    if (bf_tank_sheet_of(&to->spec, &dosed, &sheet, &err) != BF_OK) {
        bf__reader_find_key(r, cure_of(r, &sheet), err.message);
    } else {
        bf_tank_notes(&to->spec, &dosed, &sheet, r->notes);
    }
    to->is_stated = r->status == BF_OK;
}
