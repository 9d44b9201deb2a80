/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every JSON document is what docs/output.schema.json says, of all commands and studies. */
#include "schema.h"

#include <stdio.h>
#include <string.h>

static json_t *run(const char *arguments)
{
    char call[600];
    json_error_t error;
    (void)snprintf(call, sizeof call, "%s %s", BF_PROGRAM, arguments);
    FILE *pipe = popen(call, "r");
    ck_assert_ptr_nonnull(pipe);
    json_t *document = json_loadf(pipe, 0, &error);
    int status = pclose(pipe);
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
        {"size", "size --format json --capacity '20 kgr/ft3' " COARSE},
        {"size", "size --format json --capacity '60 kgr/ft3' " COARSE},
        {"size", "size --format json --bed --flow 5gpm --interval 900gal " COARSE},
        {"size", "size --format json --bed --flow 900gpm --interval 9gal --diameter 9in " COARSE},
        {"size", "size --format json --salt --water 300gal " COARSE},
        {"size", "size --format json --end-point " COARSE},
        {"compare", "compare --format json --samples 16 --doses '10 lb/ft3' " COARSE " " COARSE},
        {"compare", "compare --format json --no-band --doses '2 10 lb/ft3' " COARSE " " COARSE},
    };
    json_t *schema = load_schema();
    for (size_t c = 0; c < sizeof calls / sizeof *calls; c++) {
        char wrong[400] = "";
        json_t *document = run(calls[c].arguments);
        ck_assert_msg(fits(schema, shape_of(schema, calls[c].command, NULL), document,
                           calls[c].command, wrong, sizeof wrong),
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
        json_t *inlet;
        json_object_foreach(json_object_get(step, "in_meq_per_L_bed"), symbol, inlet)
        {
            double out = json_number_value(
                json_object_get(json_object_get(step, "out_meq_per_L_bed"), symbol));
            double stored = json_number_value(
                json_object_get(json_object_get(step, "stored_meq_per_L_bed"), symbol));
            /* Nine printed digits of amounts up to 4000 meq per litre of bed. */
            assert_near_abs(json_number_value(inlet), out + stored, 1e-4);
        }
    }
    json_decref(document);
}
END_TEST

START_TEST(the_validator_can_fail)
{
    char wrong[400] = "";
    json_t *schema = load_schema();
    const json_t *shape = shape_of(schema, "check", NULL);
    json_t *document = run("check --format json " COARSE);
    json_object_set_new(document, "surprise", json_true());
    ck_assert(!fits(schema, shape, document, "check", wrong, sizeof wrong));
    ck_assert_ptr_nonnull(strstr(wrong, "surprise"));
    json_object_del(document, "surprise");
    json_object_del(document, "deduced");
    ck_assert(!fits(schema, shape, document, "check", wrong, sizeof wrong));
    ck_assert_ptr_nonnull(strstr(wrong, "deduced"));
    json_object_set_new(document, "deduced", json_string("x"));
    ck_assert(!fits(schema, shape, document, "check", wrong, sizeof wrong));
    ck_assert(!fits(schema, shape_of(schema, "rate", NULL), document, "rate", wrong, sizeof wrong));
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
