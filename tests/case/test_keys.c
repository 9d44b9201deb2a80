/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of keys against the reader: every default, bound, word and unit it prints is accepted
 * where it should be, and what lies beyond a bound is not. */
#include "case/reader.h"

#include "brinefront/units.h"
#include "draft.h"
#include "support.h"

#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* What has to be stated along with a key for the file to be consistent at the key's extremes. */
static const struct {
    const char *key;
    const char *path, *text;
} company[] = {
    {"service.stop_at", "service.end_point", "0.0005 mg/L as CaCO3"},
    {"service.stop_at", "water.hardness", "10000 mg/L as CaCO3"},
    {"service.end_point", "water.hardness", "10000 mg/L as CaCO3"},
    {"water.hardness", "service.end_point", "0.01 mg/L as CaCO3"},
    /* 27 wt% is more NaCl than dissolves at 50 C, but not more KCl. */
    {"regeneration.brine_strength", "regeneration.salt", "KCl"},
    {"regeneration.brine_strength", "water.temperature", "50 C"},
    {"regeneration.draw_strength", "regeneration.draw_flow", "1 BV/h"},
    {"regeneration.draw_strength", "regeneration.salt", "KCl"},
    {"regeneration.draw_strength", "water.temperature", "50 C"},
    {"regeneration.steps.strength", "regeneration.salt", "KCl"},
    {"regeneration.steps.strength", "water.temperature", "50 C"},
    {"regeneration.blocking_flow", "regeneration.direction", "counter-current"},
    /* Oxygen that water holds only when it is cold. */
    {"water.oxygen", "water.temperature", "0 C"},
    {"campaign.brine_oxygen", "water.temperature", "0 C"},
    {"campaign.water_between", "campaign.days_between", NULL},
    {"campaign.cleaning.every", "campaign.cleaning.agent", "sodium_bisulfite"},
    {"campaign.cleaning.amount", "campaign.cleaning.agent", "hydrochloric_acid"},
    {"campaign.cleaning.contact", "campaign.cleaning.agent", "sodium_dithionite"},
    {"campaign.cleaning.pH", "campaign.cleaning.agent", "sodium_dithionite"},
    {"campaign.cleaning.strength", "campaign.cleaning.agent", "hydrochloric_acid"},
    {"campaign.cleaning.oxide", "campaign.cleaning.agent", "sodium_dithionite"},
    /* The volume a bed may have, in a bed that may have that volume. */
    {"bed.resin_volume", "bed.diameter", NULL},
    {"tank.size", "bed.diameter", NULL},
    {"tank.draw", "tank.rest", "2.3 h"},
    {"tank.rest", "tank.draw", "4.1 BV"},
    {"tank.valve_loss", "tank.valve_flow", "3 gpm"},
    {"tank.valve_flow", "tank.valve_loss", "1 psi"},
    {"tank.distributor_loss", "tank.distributor_flow", "3 gpm"},
    {"tank.distributor_flow", "tank.distributor_loss", "1 psi"},
    {"rating.protocol", "tank.beds", "1"},
    {"rating.quantile", "tank.beds", "1"},
    {"rating.samples", "tank.beds", "1"},
};

/* A step that an item's key means something in. */
static const struct {
    const char *key;
    const char *step;
} hosts[] = {
    {"regeneration.steps.flow", "refill"},
    {"regeneration.steps.volume", "slow_rinse"},
    {"regeneration.steps.time", "hold"},
    {"regeneration.steps.water", "fast_rinse"},
    {"regeneration.steps.direction", "slow_rinse"},
    {"regeneration.steps.strength", "brine"},
    {"regeneration.steps.share", "brine"},
    {"regeneration.steps.mixing", "backwash"},
};

/* State a key; where it stands inside a list, the list around it. */
static void state(draft *d, const char *key, const char *text, char list[300])
{
    const char *last = strrchr(key, '.');
    list[0] = '\0';
    if (strcmp(key, "regeneration.steps") == 0) {
        (void)snprintf(list, 300, "[%s, brine]", text);
    } else if (strcmp(key, "regeneration.steps.step") == 0) {
        int is_hold = strcmp(text, "hold") == 0;
        (void)snprintf(list, 300, "[{step: %s%s}, brine]", text, is_hold ? ", time: 1 h" : "");
    }
    for (size_t i = 0; i < COUNT(hosts); i++) {
        if (strcmp(key, hosts[i].key) == 0) {
            (void)snprintf(list, 300, "[brine, {step: %s, %s: %s}]", hosts[i].step, last + 1, text);
        }
    }
    const char *holder = "regeneration.steps";
    if (strncmp(key, "campaign.seasons.", 17) == 0) {
        const int is_from = strcmp(last, ".from") == 0;
        (void)snprintf(list, 300, "[{%s%s: %s, temperature: 0 C}, {from: 07-01}]",
                       is_from ? "" : "from: 02-01, ", last + 1, text);
        if (strcmp(last, ".temperature") == 0) {
            (void)snprintf(list, 300, "[{from: 02-01, temperature: %s}, {from: 07-01}]", text);
        }
        holder = "campaign.seasons";
    }
    draft_set(d, *list == '\0' ? key : holder, *list == '\0' ? text : list);
}

static draft draft_around(const char *key)
{
    draft d = {0};
    draft_set(&d, "water.hardness", "317 mg/L as CaCO3");
    draft_set(&d, "bed.diameter", "0.3 m");
    draft_set(&d, "bed.depth", "0.8 m");
    if (bf_case_key_is_of_campaign(key)) {
        draft_set(&d, "campaign.water_per_day", "12 BV");
    }
    for (size_t i = 0; i < COUNT(company); i++) {
        if (strcmp(company[i].key, key) == 0) {
            draft_set(&d, company[i].path, company[i].text);
        }
    }
    return d;
}

/* What the reader finds wrong with this text for this key; "" for nothing. */
static const char *verdict_in(draft d, const char *key, const char *text, char verdict[600])
{
    bf_case *out = calloc(1, sizeof *out);
    bf_error err = {0};
    bf_notes *notes = NULL;
    ck_assert_ptr_nonnull(out);
    assert_ok(bf_notes_create(&notes, &err));
    char list[300];
    state(&d, key, text, list);
    bf_status status = draft_read(&d, out, notes, &err);
    const char *finding = draft_finding(notes, key);
    ck_assert(finding == NULL || status == BF_E_INPUT);
    (void)snprintf(verdict, 600, "%s", finding == NULL ? "" : finding);
    bf_notes_free(notes);
    free(out);
    return verdict;
}

static const char *verdict_on(const char *key, const char *text, char verdict[600])
{
    return verdict_in(draft_around(key), key, text, verdict);
}

static int is_choice(const bf_case_key *key)
{
    return strcmp(key->kind, "one of the words") == 0;
}

/* Nothing to say, or something said of a value that was read and lies within its bounds. */
static int is_accepted(const char *verdict)
{
    static const char *const of_the_whole[] = {"it is 1",
                                               "not below the hardness of the feed",
                                               "backwash at ",
                                               "a hold needs a time",
                                               "at the flow of the service the bed needs",
                                               "between regenerations",
                                               "not above the end point of the service",
                                               "does not go into",
                                               "does not fit",
                                               "and the drain takes",
                                               "breaks the limit of"};
    int accepted = *verdict == '\0';
    for (size_t i = 0; i < COUNT(of_the_whole); i++) {
        accepted = accepted || strstr(verdict, of_the_whole[i]) != NULL;
    }
    return accepted;
}

START_TEST(every_path_is_there_once_and_finds_its_key)
{
    size_t count = bf_case_key_count();
    ck_assert_uint_gt(count, 60);
    for (size_t k = 0; k < count; k++) {
        bf_case_key key = bf_case_key_get(k);
        for (size_t other = 0; other < k; other++) {
            ck_assert_str_ne(key.path, bf_case_key_get(other).path);
        }
        if (bf__key_is_item((bf__key_id)k)) {
            char item[100];
            (void)snprintf(item, sizeof item, "%s[17]%s",
                           bf__key_get(bf__key_list_of((bf__key_id)k))->path,
                           strrchr(key.path, '.'));
            ck_assert_uint_eq(bf__key_find(item), k);
            ck_assert_int_eq(bf__key_find(key.path), BF__KEY_COUNT);
        } else {
            ck_assert_uint_eq(bf__key_find(key.path), k);
        }
        ck_assert_str_eq(bf__key_get((bf__key_id)k)->path, key.path);
        ck_assert_str_ne(key.kind, "");
        ck_assert_str_ne(key.help, "");
        ck_assert_msg(*key.default_text == '\0' || *key.source != '\0' || is_choice(&key) ||
                          strncmp(key.path, "numerics.", 9) == 0,
                      "%s has a default without a source", key.path);
    }
}
END_TEST

START_TEST(every_path_begins_with_its_section)
{
    for (bf__key_id id = 0; id < BF__KEY_COUNT; id++) {
        const bf_case_key key = bf_case_key_get(id);
        const size_t width = strlen(key.section);
        const char *dot = strrchr(key.path, '.');
        ck_assert_str_eq(key.section, bf__key_section(id)->name);
        if (*key.section == '\0') {
            ck_assert_ptr_null(dot);
            continue;
        }
        ck_assert_int_eq(strncmp(key.path, key.section, width), 0);
        ck_assert_int_eq(key.path[width], '.');
        /* What a section groups, resin.selectivity.calcium, is a name of its own. */
        ck_assert(dot == key.path + width || strncmp(key.section, "resin", width) == 0);
        ck_assert_uint_lt(bf__key_is_item(id) ? bf__key_place(id) : 0, BF__ITEM_KEYS);
    }
}
END_TEST

/* Each of these is the other of two that stand side by side in the file. */
START_TEST(what_is_of_a_campaign_is_a_question_to_the_keys)
{
    static const char *const its_own[] = {"campaign",
                                          "campaign.duration",
                                          "campaign.cleaning",
                                          "campaign.cleaning.agent",
                                          "campaign.parameter",
                                          "campaign.seasons",
                                          "campaign.seasons.iron",
                                          "water.oxygen",
                                          "water.free_chlorine",
                                          "water.chloramine",
                                          "water.suspended_iron",
                                          "numerics.campaign_cells",
                                          "numerics.skip_tolerance"};
    static const char *const of_all[] = {
        "water",    "water.iron", "water.pH",  "numerics",         "numerics.cells",
        "bed",      "tank",       "tank.rest", "rating",           "title",
        "practice", "",           "campaig",   "water.oxygen.more"};
    for (size_t i = 0; i < COUNT(its_own); i++) {
        ck_assert_msg(bf_case_key_is_of_campaign(its_own[i]), "%s", its_own[i]);
    }
    for (size_t i = 0; i < COUNT(of_all); i++) {
        ck_assert_msg(!bf_case_key_is_of_campaign(of_all[i]), "%s", of_all[i]);
    }
}
END_TEST

START_TEST(every_default_and_bound_is_accepted)
{
    size_t looked = 0;
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        const char *texts[] = {key.default_text, is_choice(&key) ? "" : key.least, key.most};
        for (size_t t = 0; t < COUNT(texts); t++) {
            char verdict[600];
            if (*texts[t] != '\0') {
                ck_assert_msg(is_accepted(verdict_on(key.path, texts[t], verdict)), "%s: %s: %s",
                              key.path, texts[t], verdict);
                looked++;
            }
        }
    }
    ck_assert_uint_gt(looked, 120);
}
END_TEST

START_TEST(beyond_a_bound_is_refused)
{
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        const char *bounds[] = {key.least, key.most};
        for (size_t b = 0; b < COUNT(bounds); b++) {
            if (*bounds[b] == '\0' || is_choice(&key)) {
                continue;
            }
            char *unit;
            double bound = strtod(bounds[b], &unit);
            int is_count = strcmp(key.kind, "a whole number") == 0;
            double beyond = bound + (b == 0 ? -1.0 : 1.0) * (is_count ? 1.0 : 1e-3 * bound);
            beyond = bound == 0.0 ? -1e-3 : beyond;
            char text[100];
            char verdict[600];
            (void)snprintf(text, sizeof text, "%.9g%s", beyond, unit);
            (void)verdict_on(key.path, text, verdict);
            ck_assert_msg(strstr(verdict, "is out of range; accepted are ") != NULL, "%s: %s: %s",
                          key.path, text, verdict);
            /* The doses name their bounds in a sentence of their own. */
            ck_assert_msg(strstr(verdict, key.least) != NULL || strstr(verdict, "1 to 1000 g/L"),
                          "%s", verdict);
        }
    }
}
END_TEST

START_TEST(every_word_of_a_choice_is_accepted_and_no_other)
{
    size_t choices = 0;
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        if (!is_choice(&key)) {
            continue;
        }
        choices++;
        char verdict[600];
        char words[200];
        (void)snprintf(words, sizeof words, "%s", key.least);
        size_t count = 0;
        char *rest = words;
        for (char *word = strtok_r(words, " ", &rest); word != NULL;
             word = strtok_r(NULL, " ", &rest)) {
            ck_assert_msg(is_accepted(verdict_on(key.path, word, verdict)), "%s: %s: %s", key.path,
                          word, verdict);
            count++;
            word[strlen(word) - 1] = '\0';
            ck_assert_ptr_nonnull(strstr(verdict_on(key.path, word, verdict), key.least));
        }
        ck_assert_uint_ge(count, 2);
        (void)verdict_on(key.path, key.least, verdict); /* all the words at once are no choice */
        ck_assert_ptr_nonnull(strstr(verdict, "is not a choice"));
    }
    ck_assert_uint_eq(choices, 16);
}
END_TEST

/* "hardness: mg/L as CaCO3, gpg": the units a kind names are units it takes. */
START_TEST(every_unit_a_kind_names_is_taken)
{
    size_t looked = 0;
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        const char *colon = strchr(key.kind, ':');
        if (colon == NULL) {
            continue;
        }
        char units[200];
        (void)snprintf(units, sizeof units, "%.*s", (int)strcspn(colon + 1, ";"), colon + 1);
        char *rest = units;
        for (char *unit = strtok_r(units, ",", &rest); unit != NULL;
             unit = strtok_r(NULL, ",", &rest)) {
            if (strcmp(key.path, "water.alkalinity") == 0 && strcmp(unit, " mg/L") == 0) {
                continue; /* alkalinity alone has to say as what */
            }
            char text[100];
            char verdict[600];
            (void)snprintf(text, sizeof text, "7.3%s", unit);
            (void)verdict_on(key.path, text, verdict);
            /* 7.3 may be out of range, or contradict the rest; it must have been read. */
            ck_assert_msg(is_accepted(verdict) || strstr(verdict, "is out of range") != NULL,
                          "%s: %s: %s", key.path, text, verdict);
            looked++;
        }
    }
    ck_assert_uint_gt(looked, 100);
}
END_TEST

START_TEST(another_kind_of_quantity_is_refused)
{
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        if (strcmp(key.kind, "text") != 0) {
            char verdict[600];
            (void)verdict_on(key.path, "3.7 kWh", verdict); /* no key is an energy */
            ck_assert_str_ne(verdict, "");
            ck_assert_ptr_null(strstr(verdict, "out of range"));
        }
    }
}
END_TEST

START_TEST(items_of_a_list_belong_to_its_key)
{
    ck_assert_int_eq(bf__key_find("regeneration.doses[17]"), BF__KEY_DOSES);
    ck_assert_int_eq(bf__key_find("bed.depth[0]"), BF__KEY_DEPTH);
    ck_assert_int_eq(bf__key_find("regeneration.doses[0].salt"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration.doses[0][1]"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration.steps[3]"), BF__KEY_STEPS);
    ck_assert_int_eq(bf__key_find("regeneration.steps[3].mixing"), BF__KEY_STEP_MIXING);
    ck_assert_int_eq(bf__key_find("regeneration.steps[3].doses"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration.steps[0][1]"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration.steps[0].flow[1]"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration[0].steps.flow"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration[0].steps"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("campaign.seasons[2].iron"), BF__KEY_SEASON_IRON);
    ck_assert_int_eq(bf__key_find("campaign.seasons[2].flow"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("campaign.seasons.iron"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration.dose"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find("regeneration.dosess"), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_find(""), BF__KEY_COUNT);
    ck_assert_int_eq(bf__key_is_in_list("bed[0].depth"), 1);
    ck_assert_int_eq(bf__key_is_in_list("regeneration.doses[0][1]"), 1);
    ck_assert_int_eq(bf__key_is_in_list("regeneration.doses[0]"), 0);
    ck_assert_int_eq(bf__key_is_in_list("bed.depth"), 0);
    ck_assert_int_eq(bf__key_is_in_list("bed[0].height"), 0);
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const char *path = bf__key_get((bf__key_id)k)->path;
        int is_item = strncmp(path, "regeneration.steps.", 19) == 0 ||
                      strncmp(path, "campaign.seasons.", 17) == 0;
        ck_assert_int_eq(bf__key_is_item((bf__key_id)k), is_item);
        ck_assert_int_eq(bf__key_is_list((bf__key_id)k),
                         strcmp(path, "regeneration.steps") == 0 ||
                             strcmp(path, "campaign.seasons") == 0 ||
                             strcmp(path, "regeneration.doses") == 0);
    }
}
END_TEST

START_TEST(near_paths_are_suggested)
{
    static const struct {
        const char *path, *nearest;
    } pairs[] = {
        {"water.hardnes", "water.hardness"},
        {"water.Hardness", "water.hardness"},
        {"water.ph", "water.pH"},
        {"hardness", "water.hardness"}, /* out of its section */
        {"bed.volume", "service.volume"},
        {"service.direction", "regeneration.direction"},
        {"resin.selectivity.calcum", "resin.selectivity.calcium"},
        {"regeneration.dose", "regeneration.doses"},
        {"regeneration.dose[3]", "regeneration.doses"},
        {"numeric.cells", "numerics.cells"},
        {"titel", "title"},
    };
    for (size_t i = 0; i < COUNT(pairs); i++) {
        const char *nearest = bf__key_nearest(pairs[i].path);
        ck_assert_msg(nearest != NULL && strcmp(nearest, pairs[i].nearest) == 0, "%s: %s",
                      pairs[i].path, nearest == NULL ? "(none)" : nearest);
    }
    ck_assert_ptr_null(bf__key_nearest("water.viscosity"));
    ck_assert_ptr_null(bf__key_nearest("x"));
    char longest[300];
    memset(longest, 'w', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    ck_assert_ptr_null(bf__key_nearest(longest));
}
END_TEST

START_TEST(keys_of_ions_know_their_ion)
{
    ck_assert_int_eq(bf__key_ion(BF__KEY_ALKALINITY), BF_ION_HCO3);
    ck_assert_int_eq(bf__key_ion(BF__KEY_IRON), BF_ION_FE);
    ck_assert_int_eq(bf__key_ion(BF__KEY_HARDNESS), BF_ION_COUNT);
    ck_assert_int_eq(bf__key_ion(BF__KEY_TITLE), BF_ION_COUNT);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        ck_assert_uint_eq(bf__key_ion((bf__key_id)(BF__KEY_SELECTIVITY_NA + i)), i);
        ck_assert_uint_eq(bf__key_ion((bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i)), i);
        ck_assert_uint_eq(bf__key_ion((bf__key_id)(BF__KEY_ACTIVATION_NA + i)), i);
    }
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (bf__key_get((bf__key_id)k)->kind == BF__KIND_ION) {
            ck_assert_int_lt(bf__key_ion((bf__key_id)k), BF_ION_COUNT);
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_path_is_there_once_and_finds_its_key,
                                  every_path_begins_with_its_section,
                                  what_is_of_a_campaign_is_a_question_to_the_keys,
                                  every_default_and_bound_is_accepted,
                                  beyond_a_bound_is_refused,
                                  every_word_of_a_choice_is_accepted_and_no_other,
                                  every_unit_a_kind_names_is_taken,
                                  another_kind_of_quantity_is_refused,
                                  items_of_a_list_belong_to_its_key,
                                  near_paths_are_suggested,
                                  keys_of_ions_know_their_ion};
    return support_run("case.keys", tests, COUNT(tests), 60);
}
