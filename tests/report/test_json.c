/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every JSON document is what docs/output.schema.json says: a small validator of the part of JSON
 * Schema (draft 2020-12) that the file uses, and documents of all three commands. */
#include "support.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

static int is_of_type(const json_t *value, const char *type)
{
    return (strcmp(type, "object") == 0 && json_is_object(value)) ||
           (strcmp(type, "array") == 0 && json_is_array(value)) ||
           (strcmp(type, "string") == 0 && json_is_string(value)) ||
           (strcmp(type, "number") == 0 && json_is_number(value)) ||
           (strcmp(type, "integer") == 0 && json_is_integer(value)) ||
           (strcmp(type, "boolean") == 0 && json_is_boolean(value)) ||
           (strcmp(type, "null") == 0 && json_is_null(value));
}

/* Nonzero when the value fits; else `wrong` says where it does not. */
static int fits(const json_t *schema, json_t *value, const char *path, char *wrong, size_t room)
{
    const json_t *type = json_object_get(schema, "type");
    int type_fits = type == NULL;
    for (size_t i = 0; json_is_array(type) && i < json_array_size(type); i++) {
        type_fits = type_fits || is_of_type(value, json_string_value(json_array_get(type, i)));
    }
    if (json_is_string(type)) {
        type_fits = is_of_type(value, json_string_value(type));
    }
    if (!type_fits) {
        (void)snprintf(wrong, room, "%s is of another type", path);
        return 0;
    }
    const json_t *words = json_object_get(schema, "enum");
    int word_fits = words == NULL;
    for (size_t i = 0; i < json_array_size(words); i++) {
        word_fits = word_fits || json_equal(json_array_get(words, i), value);
    }
    if (!word_fits) {
        (void)snprintf(wrong, room, "%s is none of the words", path);
        return 0;
    }
    const json_t *required = json_object_get(schema, "required");
    for (size_t i = 0; i < json_array_size(required); i++) {
        const char *name = json_string_value(json_array_get(required, i));
        if (json_object_get(value, name) == NULL) {
            (void)snprintf(wrong, room, "%s.%s is missing", path, name);
            return 0;
        }
    }
    const json_t *properties = json_object_get(schema, "properties");
    const json_t *others = json_object_get(schema, "additionalProperties");
    const char *name;
    json_t *member;
    char inside[300];
    json_object_foreach(value, name, member)
    {
        const json_t *of = json_object_get(properties, name);
        of = of != NULL ? of : others;
        (void)snprintf(inside, sizeof inside, "%.200s.%.60s", path, name);
        if (json_is_false(of) || of == NULL) {
            (void)snprintf(wrong, room, "%s is not foreseen", inside);
            return 0;
        }
        if (!fits(of, member, inside, wrong, room)) {
            return 0;
        }
    }
    const json_t *items = json_object_get(schema, "items");
    for (size_t i = 0; items != NULL && i < json_array_size(value); i++) {
        (void)snprintf(inside, sizeof inside, "%.250s[%zu]", path, i);
        if (!fits(items, json_array_get(value, i), inside, wrong, room)) {
            return 0;
        }
    }
    return 1;
}

static json_t *load_schema(void)
{
    json_error_t error;
    json_t *schema = json_load_file(BF_SOURCE_DIR "/docs/output.schema.json", 0, &error);
    ck_assert_msg(schema != NULL, "docs/output.schema.json: %s", error.text);
    ck_assert_uint_eq(json_array_size(json_object_get(schema, "oneOf")), 3);
    return schema;
}

/* The shape of a command's document. */
static const json_t *shape_of(const json_t *schema, const char *command)
{
    const json_t *shapes = json_object_get(schema, "oneOf");
    for (size_t i = 0; i < json_array_size(shapes); i++) {
        const json_t *shape = json_array_get(shapes, i);
        const json_t *word = json_object_get(
            json_object_get(json_object_get(shape, "properties"), "command"), "enum");
        if (strcmp(json_string_value(json_array_get(word, 0)), command) == 0) {
            return shape;
        }
    }
    ck_abort_msg("no shape for %s", command);
    return NULL;
}

static json_t *run(const char *arguments)
{
    char call[600];
    json_error_t error;
    (void)snprintf(call, sizeof call, "%s %s", BF_PROGRAM, arguments);
    FILE *from = popen(call, "r");
    ck_assert_ptr_nonnull(from);
    json_t *document = json_loadf(from, 0, &error);
    int status = pclose(from);
    ck_assert_msg(document != NULL, "%s: %s", arguments, error.text);
    ck_assert_int_eq(status, 0);
    return document;
}

#define COARSE BF_SOURCE_DIR "/tests/report/coarse.yaml"

START_TEST(every_document_is_as_described)
{
    static const struct {
        const char *command;
        const char *arguments;
    } calls[] = {
        {"rate", "rate --format json --doses '2 10 lb/ft3' " COARSE},
        {"cycle", "cycle --format json " COARSE},
        {"cycle", "cycle --format json --from new " COARSE},
        {"check", "check --format json " COARSE},
    };
    json_t *schema = load_schema();
    for (size_t c = 0; c < sizeof calls / sizeof *calls; c++) {
        char wrong[400] = "";
        json_t *document = run(calls[c].arguments);
        ck_assert_msg(fits(shape_of(schema, calls[c].command), document, calls[c].command, wrong,
                           sizeof wrong),
                      "%s", wrong);
        json_decref(document);
    }
    json_decref(schema);
}
END_TEST

START_TEST(a_dose_without_rating_is_null_and_says_why)
{
    json_t *document = run("rate --format json --doses '2 10 lb/ft3' " COARSE);
    const json_t *doses = json_object_get(document, "doses");
    const json_t *none = json_array_get(doses, 0);
    const json_t *rated = json_array_get(doses, 1);
    ck_assert(json_is_null(json_object_get(none, "capacity_eq_per_L")));
    ck_assert_ptr_nonnull(
        strstr(json_string_value(json_object_get(none, "status")), "leakage above"));
    /* 1 kgr/ft3 is 0.045727 eq/L. */
    assert_near(json_number_value(json_object_get(rated, "capacity_eq_per_L")),
                0.045727 * json_number_value(json_object_get(rated, "capacity_kgr_per_ft3")), 1e-5);
    json_decref(document);
}
END_TEST

START_TEST(series_and_balances_of_a_cycle_belong_together)
{
    json_t *document = run("cycle --format json " COARSE);
    const json_t *steps = json_object_get(document, "cycle_steps");
    ck_assert_uint_ge(json_array_size(steps), 5);
    for (size_t s = 0; s < json_array_size(steps); s++) {
        const json_t *step = json_array_get(steps, s);
        const json_t *effluent = json_object_get(step, "effluent");
        size_t count = json_array_size(json_object_get(effluent, "time_min"));
        ck_assert_uint_eq(json_array_size(json_object_get(effluent, "volume_BV")), count);
        ck_assert_uint_eq(json_array_size(json_object_get(effluent, "hardness_mg_per_L_CaCO3")),
                          count);
        const char *symbol;
        json_t *in;
        json_object_foreach(json_object_get(step, "in_meq_per_L_bed"), symbol, in)
        {
            double out = json_number_value(
                json_object_get(json_object_get(step, "out_meq_per_L_bed"), symbol));
            double stored = json_number_value(
                json_object_get(json_object_get(step, "stored_meq_per_L_bed"), symbol));
            /* Nine printed digits of amounts up to 4000 meq per litre of bed. */
            assert_near_abs(json_number_value(in), out + stored, 1e-4);
        }
    }
    json_decref(document);
}
END_TEST

START_TEST(the_validator_can_fail)
{
    char wrong[400] = "";
    json_t *schema = load_schema();
    const json_t *shape = shape_of(schema, "check");
    json_t *document = run("check --format json " COARSE);
    json_object_set_new(document, "surprise", json_true());
    ck_assert(!fits(shape, document, "check", wrong, sizeof wrong));
    ck_assert_ptr_nonnull(strstr(wrong, "surprise"));
    json_object_del(document, "surprise");
    json_object_del(document, "deduced");
    ck_assert(!fits(shape, document, "check", wrong, sizeof wrong));
    ck_assert_ptr_nonnull(strstr(wrong, "deduced"));
    json_object_set_new(document, "deduced", json_string("x"));
    ck_assert(!fits(shape, document, "check", wrong, sizeof wrong));
    ck_assert(!fits(shape_of(schema, "rate"), document, "rate", wrong, sizeof wrong));
    json_decref(document);
    json_decref(schema);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        every_document_is_as_described, a_dose_without_rating_is_null_and_says_why,
        series_and_balances_of_a_cycle_belong_together, the_validator_can_fail};
    return support_run("report.json", tests, sizeof tests / sizeof *tests, 120);
}
