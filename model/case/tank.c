/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the sections `tank` and `rating` to a vessel and the way it is rated.
 *
 * What the vessel refuses (bf_tank_sheet_of()) becomes a finding at the key that can cure it, with
 * the limit and the nearest value that holds.
 */
#include "brinefront/convert.h"
#include "case/stages.h"

#include <math.h>
#include <stdio.h>

/* Enough to be within a tenth of what many more would say: docs/decisions/uneven-flow.md. */
enum { BEDS_OF_A_SPREAD = 5 };

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
    if (bf__reader_is_stated(r, BF__KEY_TANK_SIZE) &&
        bf__reader_is_stated(r, BF__KEY_TANK_HEIGHT)) {
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

/* Numerical choice: a value on its limit may miss it by a rounding. */
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
        return bf__geometry_height_key(r); /* the resin does not fit */
    }
    if (!sheet->backwash_fits && !isnan(tank->height_m) && !isnan(sheet->cold.rise)) {
        const int is_wanted = is_more(tank->wanted_rise, sheet->room);
        return is_wanted && bf__reader_is_own(r, BF__KEY_TANK_EXPANSION) ? BF__KEY_TANK_EXPANSION
               : !is_wanted && is_own_backwash                           ? BF__KEY_BACKWASH_FLOW
               : !is_wanted && bf__reader_is_stated(r, BF__KEY_TANK_COLDEST)
                   ? BF__KEY_TANK_COLDEST
                   : bf__geometry_height_key(r);
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
        double *field;
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
        {BF__KEY_TANK_EXPANSION, &spec->wanted_rise, 1.0},
        {BF__KEY_TANK_SWELLING, &spec->swelling, 1.0},
        {BF__KEY_TANK_COLDEST, &spec->coldest_K, 1.0},
        {BF__KEY_TANK_WARMEST, &spec->warmest_K, 1.0},
        {BF__KEY_TANK_DRAIN_FLOW, &spec->drain_m3_per_s, r->area_m2},
    };
    *spec = bf_tank_spec_default();
    spec->diameter_m = bed->diameter_m;
    spec->height_m = bf__geometry_height_m(r);
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        *fields[f].field = fields[f].scale * bf__reader_value(r, fields[f].id);
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

void bf__stage_tank(bf__reader *r)
{
    bf_case_tank *tank = &r->out->tank;
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
    build_spec(r, &tank->spec);
    build_uneven(r, &tank->uneven);
    tank->protocol = bf__reader_chosen(r, BF__KEY_RATING_PROTOCOL, "published_test")
                         ? BF_PROTOCOL_PUBLISHED_TEST
                         : BF_PROTOCOL_OWN;
    tank->quantile = bf__reader_value(r, BF__KEY_RATING_QUANTILE);
    tank->samples = (size_t)bf__reader_value(r, BF__KEY_RATING_SAMPLES);
    tank->blend_eq_per_m3 = bf__reader_value(r, BF__KEY_TANK_BLEND);
    tank->stagnation = (bf_stagnation){.draw_bed_volumes = bf__reader_value(r, BF__KEY_TANK_DRAW),
                                       .stagnation_s = bf__reader_value(r, BF__KEY_TANK_REST)};
    tank->beds = (int)bf__reader_value(r, BF__KEY_TANK_BEDS);
    bf_rating_spec dosed = r->out->rating;
    bf_recipe_set_dose(&dosed.recipe, r->out->dose_kg_per_m3[r->out->dose_count / 2]);
    bf_tank_sheet sheet;
    bf_error err = {0};
    if (bf_tank_sheet_of(&tank->spec, &dosed, &sheet, &err) != BF_OK) {
        bf__reader_find_key(r, cure_of(r, &sheet), err.message);
    } else {
        bf_tank_notes(&tank->spec, &dosed, &sheet, r->notes);
    }
    tank->is_stated = r->status == BF_OK;
}
