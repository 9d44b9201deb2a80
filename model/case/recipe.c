/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From regeneration.* to the steps of a cycle.
 *
 * Each step first takes what the keys of the section say; an item of regeneration.steps then
 * changes what it states. Without such a list the order is backwash, brine, slow rinse, fast rinse,
 * refill, and a step of no time or volume is left out.
 *
 * Injector: brine drawn at q_d, holding s_d kg of salt and w_d of water per m3, is mixed into water
 * at q_r. Mass of both is kept, so what enters has the mass fraction q_d s_d/(q_d s_d + q_d w_d +
 * q_r rho_w) and a flow of that mass over its own density.
 */
#include "case/stages.h"

#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef bf__item item;

static int item_chooses(const item *stated, bf__key_id id, const char *word)
{
    return bf__item_has(stated, id) && strcmp(bf__item_get(stated, id)->text, word) == 0;
}

/* ---- what the section says ------------------------------------------------------------------- */

static bf_step fresh_step(const bf_step_type *type, double velocity_m_per_s)
{
    return (bf_step){.type = type,
                     .direction = BF_FLOW_DOWN,
                     .supply = BF_SUPPLY_RAW,
                     .velocity_m_per_s = velocity_m_per_s,
                     .bed_volumes = (double)NAN,
                     .end_hardness_eq_per_m3 = (double)NAN,
                     .stop_hardness_eq_per_m3 = (double)NAN};
}

static bf_direction direction_of(const bf__reader *r)
{
    return bf__reader_chosen(r, BF__KEY_DIRECTION, "counter-current") ? BF_FLOW_UP : BF_FLOW_DOWN;
}

static bf_salt salt_of(const bf__reader *r)
{
    return bf__reader_chosen(r, BF__KEY_SALT, "KCl") ? BF_SALT_KCL : BF_SALT_NACL;
}

static bf_supply brine_supply_of(const bf__reader *r)
{
    if (bf__reader_chosen(r, BF__KEY_SALT, "sea_water")) {
        return BF_SUPPLY_SEA;
    }
    return bf__reader_chosen(r, BF__KEY_BRINE_WATER, "raw") ? BF_SUPPLY_RAW : BF_SUPPLY_SOFT;
}

/* Keys that beside others would mean two things, or nothing. */
static void check_company(bf__reader *r)
{
    const int is_sea = bf__reader_chosen(r, BF__KEY_SALT, "sea_water");
    const int draws = bf__reader_is_own(r, BF__KEY_DRAW_FLOW);
    const int has_brine =
        bf__reader_is_own(r, BF__KEY_BRINE_FLOW) || bf__reader_is_own(r, BF__KEY_BRINE_STRENGTH);
    const struct {
        int is_wrong;
        bf__key_id id;
        const char *sentence;
    } pairs[] = {
        {is_sea && draws, BF__KEY_DRAW_FLOW,
         "sea water goes to the bed as it is: state brine_flow in place of draw_flow"},
        {!is_sea && draws && has_brine, BF__KEY_DRAW_FLOW,
         "draw_flow and slow_rinse_flow set flow and strength of the brine: leave out brine_flow "
         "and brine_strength, or draw_flow"},
        {!draws && bf__reader_is_own(r, BF__KEY_DRAW_STRENGTH), BF__KEY_DRAW_STRENGTH,
         "draw_strength is that of the brine an injector draws: state draw_flow too, or leave it "
         "out"},
        {is_sea && bf__reader_is_own(r, BF__KEY_BRINE_STRENGTH), BF__KEY_BRINE_STRENGTH,
         "sea water has a strength of its own: leave brine_strength out"},
        {is_sea && bf__reader_is_own(r, BF__KEY_BRINE_WATER), BF__KEY_BRINE_WATER,
         "no salt is dissolved where sea water is the brine: leave brine_water out"},
        {bf__reader_is_own(r, BF__KEY_BRINE_VOLUME) && bf__reader_is_own(r, BF__KEY_DOSES),
         BF__KEY_BRINE_VOLUME,
         "brine_volume and the strength say how much salt: leave out doses, or brine_volume"},
    };
    for (size_t p = 0; p < sizeof pairs / sizeof *pairs; p++) {
        if (pairs[p].is_wrong) {
            bf__reader_find_key(r, pairs[p].id, pairs[p].sentence);
        }
    }
}

/* Strength and velocity of the brine that enters the bed. */
static void find_brine(bf__reader *r, double *mass_fraction, double *velocity_m_per_s)
{
    *mass_fraction = bf__reader_value(r, BF__KEY_BRINE_STRENGTH);
    *velocity_m_per_s = bf__reader_value(r, BF__KEY_BRINE_FLOW);
    const double draw = bf__reader_value(r, BF__KEY_DRAW_FLOW);
    if (isnan(draw)) {
        return;
    }
    const bf_salt salt = salt_of(r);
    const double temperature_K = r->out->rating.water.temperature_K;
    const double motive = bf__reader_value(r, BF__KEY_SLOW_RINSE_FLOW);
    double strength = bf__reader_value(r, BF__KEY_DRAW_STRENGTH);
    bf_error err = {0};
    bf_brine drawn;
    bf_brine mixed;
    bf_fluid water;
    bf_status status = bf_fluid_of_water(temperature_K, &water, &err);
    if (status == BF_OK && isnan(strength)) {
        status = bf_brine_saturation(salt, temperature_K, &strength, &err);
    }
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(salt, strength, temperature_K, &drawn, &err);
    }
    if (status != BF_OK) {
        bf__reader_find_key(r, BF__KEY_DRAW_STRENGTH, err.message);
        return;
    }
    double salt_kg = draw * drawn.salt_per_solution_kg_per_m3;
    double water_kg = draw * drawn.water_per_solution_kg_per_m3 + motive * water.density_kg_per_m3;
    *mass_fraction = salt_kg / (salt_kg + water_kg);
    status = bf_brine_of_mass_fraction(salt, *mass_fraction, temperature_K, &mixed, &err);
    if (status != BF_OK) {
        bf__reader_find_key(r, BF__KEY_DRAW_FLOW, err.message);
        return;
    }
    *velocity_m_per_s = (salt_kg + water_kg) / mixed.fluid.density_kg_per_m3;
    bf_notes_add(r->notes, BF_NOTE_DEDUCED, "regeneration.draw_flow",
                 "the injector mixes it to %.3g wt%% at %.3g BV/h", 100.0 * *mass_fraction,
                 3600.0 * *velocity_m_per_s / r->out->rating.bed.depth_m);
}

/* The backwash flow nobody stated: what lifts the bed by 45 %, or by 9 tenths of what the freeboard
 * has room for; in the coldest water, where a vessel states it, as cold water lifts most. */
static double usual_backwash_m_per_s(const bf__reader *r)
{
    const bf_bed_spec *bed = &r->out->rating.bed;
    const double temperature_K =
        fmin(r->out->rating.water.temperature_K, bf__reader_value(r, BF__KEY_TANK_COLDEST));
    bf_fluid water;
    if (bf_fluid_of_water(temperature_K, &water, NULL) != BF_OK) {
        return (double)NAN;
    }
    /* 45 %, a little under the 50 % wanted, and never more than nine tenths of the freeboard: common
     * practice, no source. */
    double lift = fmin(0.45, 0.9 * bed->freeboard_m / bed->depth_m);
    return bf_lifting_velocity_m_per_s(&water, 1.0 + lift, bed->resin.bead_diameter_m,
                                       bed->resin.bead_density_kg_per_m3, bed->resin.void_fraction);
}

/* A step as the section describes it, by what it is for. */
static bf_step default_step(bf__reader *r, const char *word, double strength, double brine_velocity)
{
    const double depth_m = r->out->rating.bed.depth_m;
    const bf_step_type *type = bf_step_type_find(word);
    bf_step step = fresh_step(type, 0.0);
    switch (type->role) {
    case BF_ROLE_BACKWASH:
        step.velocity_m_per_s = bf__reader_has(r, BF__KEY_BACKWASH_FLOW)
                                    ? bf__reader_value(r, BF__KEY_BACKWASH_FLOW)
                                    : usual_backwash_m_per_s(r);
        step.direction = BF_FLOW_UP;
        step.bed_volumes =
            bf__reader_value(r, BF__KEY_BACKWASH_TIME) * step.velocity_m_per_s / depth_m;
        step.mix_share = bf__reader_value(r, BF__KEY_BACKWASH_MIXING);
        break;
    case BF_ROLE_BRINE:
        step.velocity_m_per_s = brine_velocity;
        step.direction = direction_of(r);
        step.supply = brine_supply_of(r);
        step.dose_kg_per_m3 = 1.0; /* a share, until doses are set */
        break;
    case BF_ROLE_SLOW_RINSE:
        step.velocity_m_per_s = bf__reader_value(r, BF__KEY_SLOW_RINSE_FLOW);
        step.direction = direction_of(r);
        step.supply =
            bf__reader_chosen(r, BF__KEY_SLOW_RINSE_WATER, "soft") ? BF_SUPPLY_SOFT : BF_SUPPLY_RAW;
        step.bed_volumes = bf__reader_value(r, BF__KEY_SLOW_RINSE_VOLUME);
        break;
    case BF_ROLE_FAST_RINSE:
        step.velocity_m_per_s = bf__reader_value(r, BF__KEY_FAST_RINSE_FLOW);
        step.bed_volumes = bf__reader_value(r, BF__KEY_FAST_RINSE_VOLUME);
        break;
    case BF_ROLE_REFILL: step.velocity_m_per_s = bf__reader_value(r, BF__KEY_REFILL_FLOW); break;
    case BF_ROLE_HOLD:
    case BF_ROLE_SERVICE:
    case BF_ROLE_EXHAUST: break;
    }
    step.salt = salt_of(r);
    step.mass_fraction = strength;
    return step;
}

/* ---- what an item changes -------------------------------------------------------------------- */

static void change_step(const bf__reader *r, const item *stated, bf_step *step)
{
    const double depth_m = r->out->rating.bed.depth_m;
    const struct {
        bf__key_id id;
        double *field;
    } numbers[] = {{BF__KEY_STEP_FLOW, &step->velocity_m_per_s},
                   {BF__KEY_STEP_STRENGTH, &step->mass_fraction},
                   {BF__KEY_STEP_SHARE, &step->dose_kg_per_m3},
                   {BF__KEY_STEP_MIXING, &step->mix_share}};
    for (size_t n = 0; n < sizeof numbers / sizeof *numbers; n++) {
        double value = bf__item_value(stated, numbers[n].id, (double)NAN);
        *numbers[n].field = isnan(value) ? *numbers[n].field : value;
    }
    double volume = bf__item_value(stated, BF__KEY_STEP_VOLUME, (double)NAN);
    double time = bf__item_value(stated, BF__KEY_STEP_TIME, (double)NAN);
    if (!isnan(time)) {
        step->duration_s = time;
        step->bed_volumes = time * step->velocity_m_per_s / depth_m;
    }
    step->bed_volumes = isnan(volume) ? step->bed_volumes : volume;
    if (item_chooses(stated, BF__KEY_STEP_WATER, "raw")) {
        step->supply = BF_SUPPLY_RAW;
    } else if (item_chooses(stated, BF__KEY_STEP_WATER, "soft")) {
        step->supply = BF_SUPPLY_SOFT;
    }
    if (item_chooses(stated, BF__KEY_STEP_DIRECTION, "down")) {
        step->direction = BF_FLOW_DOWN;
    } else if (item_chooses(stated, BF__KEY_STEP_DIRECTION, "up")) {
        step->direction = BF_FLOW_UP;
    }
}

/* ---- the list -------------------------------------------------------------------------------- */

static void find_step(bf__reader *r, const item *stated, const char *sentence)
{
    const bf__stated *first = bf__item_first(stated);
    bf__reader_find(r, bf__key_get(BF__KEY_STEPS)->path, first->line, first->column, sentence);
}

/* What a step has a use for; the rest would be read and mean nothing. */
static int is_of_use(const bf__reader *r, const bf_step *step, bf__key_id id)
{
    const unsigned fields = step->type->fields;
    const int is_sea =
        step->type->role == BF_ROLE_BRINE && brine_supply_of(r) == BF_SUPPLY_SEA; /* as it is */
    switch (id) {
    case BF__KEY_STEP_FLOW: return (fields & BF_STEP_VELOCITY) != 0;
    case BF__KEY_STEP_VOLUME: return (fields & BF_STEP_VOLUME) != 0;
    case BF__KEY_STEP_TIME: return (fields & (BF_STEP_VOLUME | BF_STEP_TIME)) != 0;
    case BF__KEY_STEP_WATER: return (fields & BF_STEP_SUPPLY) != 0 && !is_sea;
    case BF__KEY_STEP_DIRECTION: return (fields & BF_STEP_DIRECTION) != 0;
    case BF__KEY_STEP_STRENGTH: return (fields & BF_STEP_STRENGTH) != 0 && !is_sea;
    case BF__KEY_STEP_SHARE: return (fields & BF_STEP_DOSE) != 0;
    case BF__KEY_STEP_MIXING: return (fields & BF_STEP_MIXING) != 0;
    default: return 1;
    }
}

/* A step that cannot be is reported where its item stands. */
static void check_item(bf__reader *r, const item *stated, bf_step step)
{
    char sentence[200];
    for (bf__key_id id = 0; id < BF__KEY_COUNT; id++) {
        if (bf__key_get(id)->section == BF__SECTION_STEP &&
            bf__item_get(stated, id)->text != NULL && !is_of_use(r, &step, id)) {
            (void)snprintf(sentence, sizeof sentence, "means nothing in a %s step; leave it out",
                           step.type->name);
            bf__reader_find_cause(r, stated, id, id, sentence);
        }
    }
    if (step.type->role == BF_ROLE_REFILL && brine_supply_of(r) == BF_SUPPLY_SEA) {
        find_step(r, stated, "sea water needs no refill: leave this step out");
    }
    if (bf__item_get(stated, BF__KEY_STEP_VOLUME)->text &&
        bf__item_get(stated, BF__KEY_STEP_TIME)->text) {
        bf__reader_find_cause(r, stated, BF__KEY_STEP_TIME, BF__KEY_STEP_TIME,
                              "volume says how long the step lasts: leave out volume or time");
    }
    if (step.type->role == BF_ROLE_HOLD && step.duration_s == 0.0) {
        char missing[120];
        (void)snprintf(missing, sizeof missing, "a %s needs a time: {step: %s, time: 15 min}",
                       step.type->name, step.type->word);
        find_step(r, stated, missing);
    }
    bf_error err = {0};
    if (step.type->role == BF_ROLE_REFILL) {
        step.dose_kg_per_m3 = 1.0; /* some dose: it is set later */
    }
    if (r->status == BF_OK && step.type->check(&step, &err) != BF_OK) {
        find_step(r, stated, err.message);
    }
}

static void check_strength(bf__reader *r, const item *stated, const bf_step *step)
{
    bf_brine brine;
    bf_error err = {0};
    if (step->type->role == BF_ROLE_BRINE && step->supply != BF_SUPPLY_SEA &&
        bf_brine_of_mass_fraction(step->salt, step->mass_fraction,
                                  r->out->rating.water.temperature_K, &brine, &err) != BF_OK) {
        bf__reader_find_cause(r, stated, BF__KEY_STEP_STRENGTH, BF__KEY_BRINE_STRENGTH,
                              err.message);
    }
}

/* The lifted bed must stay in the vessel. */
static void check_expansion(bf__reader *r, const item *stated, const bf_step *step)
{
    const bf_bed_spec *bed = &r->out->rating.bed;
    bf_fluid water;
    if (step->type->role != BF_ROLE_BACKWASH ||
        bf_fluid_of_water(r->out->rating.water.temperature_K, &water, NULL) != BF_OK) {
        return;
    }
    const double depth_ratio =
        bf_bed_depth_ratio(&water, step->velocity_m_per_s, bed->resin.bead_diameter_m,
                           bed->resin.bead_density_kg_per_m3, bed->resin.void_fraction);
    double room = 1.0 + bed->freeboard_m / bed->depth_m;
    if (depth_ratio <= room) {
        return;
    }
    char sentence[300];
    int length = snprintf(sentence, sizeof sentence, "backwash at %.3g m/h would ",
                          3600.0 * step->velocity_m_per_s);
    if (isinf(depth_ratio)) {
        length += snprintf(sentence + length, sizeof sentence - (size_t)length,
                           "carry the beads out of the vessel; lower the flow");
    } else {
        length += snprintf(sentence + length, sizeof sentence - (size_t)length,
                           "lift the bed to %.3g times its depth, but the freeboard leaves room "
                           "for %.3g times: resin would be lost; lower the flow, raise "
                           "bed.freeboard",
                           depth_ratio, room);
    }
    (void)snprintf(sentence + length, sizeof sentence - (size_t)length,
                   ", or leave the backwash out (backwash_time: 0 min)");
    bf__reader_find_cause(r, stated, BF__KEY_STEP_FLOW, BF__KEY_BACKWASH_FLOW, sentence);
}

static void add_step(bf__reader *r, const item *stated, bf_step step)
{
    bf_recipe *recipe = &r->out->rating.recipe;
    /* Water from above holds the bed down against what flows up. */
    if (step.direction == BF_FLOW_UP && bf__reader_has(r, BF__KEY_BLOCKING_FLOW) &&
        (step.type->role == BF_ROLE_BRINE || step.type->role == BF_ROLE_SLOW_RINSE)) {
        step.blocking_velocity_m_per_s = bf__reader_value(r, BF__KEY_BLOCKING_FLOW);
    }
    check_strength(r, stated, &step);
    check_expansion(r, stated, &step);
    recipe->step[recipe->count++] = step;
}

static void build_service(bf__reader *r)
{
    bf_step step = fresh_step(&bf_step_service, bf__reader_value(r, BF__KEY_SERVICE_FLOW));
    step.bed_volumes = bf__reader_value(r, BF__KEY_SERVICE_VOLUME);
    step.end_hardness_eq_per_m3 = bf__reader_value(r, BF__KEY_END_POINT);
    step.stop_hardness_eq_per_m3 = bf__reader_value(r, BF__KEY_STOP_AT);
    add_step(r, &(item){0}, step);
}

static void build_listed(bf__reader *r, const item *items, size_t count, double strength,
                         double brine_velocity)
{
    size_t brines = 0;
    for (size_t i = 0; i < count && r->status == BF_OK; i++) {
        const char *word = bf__item_get(&items[i], BF__KEY_STEP)->text;
        if (word == NULL) {
            find_step(r, &items[i], "this item does not say which step it is; add `step: brine`");
            return;
        }
        bf_step step = default_step(r, word, strength, brine_velocity);
        change_step(r, &items[i], &step);
        check_item(r, &items[i], step);
        add_step(r, &items[i], step);
        brines += step.type->role == BF_ROLE_BRINE;
    }
    if (brines == 0 && r->status == BF_OK) {
        find_step(r, &items[0], "no brine is among the steps: nothing would regenerate the bed");
    }
}

static void build_usual(bf__reader *r, double strength, double brine_velocity)
{
    static const char *const usual[] = {"backwash", "brine", "slow_rinse", "fast_rinse", "refill"};
    for (size_t u = 0; u < sizeof usual / sizeof *usual; u++) {
        bf_step step = default_step(r, usual[u], strength, brine_velocity);
        int is_left_out = step.bed_volumes == 0.0 || (step.type->role == BF_ROLE_REFILL &&
                                                      brine_supply_of(r) == BF_SUPPLY_SEA);
        if (!is_left_out) {
            add_step(r, &(item){0}, step);
        }
    }
}

static void check_blocking(bf__reader *r)
{
    const bf_recipe *recipe = &r->out->rating.recipe;
    int is_used = !bf__reader_has(r, BF__KEY_BLOCKING_FLOW);
    for (size_t s = 0; s < recipe->count; s++) {
        is_used = is_used || recipe->step[s].blocking_velocity_m_per_s > 0.0;
    }
    if (!is_used) {
        bf__reader_find_key(r, BF__KEY_BLOCKING_FLOW,
                            "blocking_flow holds the bed down while brine or slow rinse flow up, "
                            "and here none does: set direction: counter-current, or leave it out");
    }
}

/* Brine stated by its volume: the dose is what it holds. */
static void set_dose_by_volume(bf__reader *r, double strength)
{
    if (!bf__reader_has(r, BF__KEY_BRINE_VOLUME)) {
        return;
    }
    double salt_kg_per_m3 = bf_sea_salt_kg_per_m3();
    bf_brine brine;
    bf_error err = {0};
    if (brine_supply_of(r) != BF_SUPPLY_SEA) {
        if (bf_brine_of_mass_fraction(salt_of(r), strength, r->out->rating.water.temperature_K,
                                      &brine, &err) != BF_OK) {
            bf__reader_find_key(r, BF__KEY_BRINE_VOLUME, err.message);
            return;
        }
        salt_kg_per_m3 = brine.salt_per_solution_kg_per_m3;
    }
    r->out->dose_kg_per_m3[0] = bf__reader_value(r, BF__KEY_BRINE_VOLUME) * salt_kg_per_m3;
    r->out->dose_count = 1;
    bf_notes_add(r->notes, BF_NOTE_DEDUCED, "regeneration.brine_volume",
                 "holds %.4g g of salt per litre of resin (%.3g lb/ft3)", r->out->dose_kg_per_m3[0],
                 r->out->dose_kg_per_m3[0] / BF_KG_PER_M3_PER_LB_PER_FT3);
}

void bf__stage_recipe(bf__reader *r)
{
    item items[BF_RECIPE_STEPS] = {0};
    size_t count = bf__reader_items(r, BF__SECTION_STEP, BF_RECIPE_STEPS - 1,
                                    "more steps than a cycle can have; 23 are the most", items);
    if (bf__reader_is_stated(r, BF__KEY_STEPS)) {
        bf__reader_find_key(r, BF__KEY_STEPS, "steps is a list: write [backwash, brine, ...]");
    }
    check_company(r);
    if (r->status != BF_OK) {
        return; /* the numbers are not all there */
    }
    double strength;
    double brine_velocity;
    build_service(r);
    find_brine(r, &strength, &brine_velocity);
    if (count > 0) {
        build_listed(r, items, count, strength, brine_velocity);
    } else {
        build_usual(r, strength, brine_velocity);
    }
    if (r->status == BF_OK) {
        check_blocking(r);
        set_dose_by_volume(r, strength);
    }
}
