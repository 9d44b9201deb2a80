/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a case file, a table of observations, a quantity and a list of doses. Besides what
 * the sanitizers see: a case is refused with a finding and a sentence, or it has none and a rating
 * can start from it. Built and run by run.sh. */
#include "brinefront/case.h"
#include "brinefront/observations.h"
#include "brinefront/units.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Here, and not in assert(): it must not depend on NDEBUG. */
static void demand(int holds)
{
    if (!holds) {
        abort();
    }
}

static size_t findings(const bf_notes *notes)
{
    size_t count = 0;
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        demand(note.text[0] != '\0' && note.line >= 0 && note.column >= 0);
        count += note.kind == BF_NOTE_FINDING;
    }
    return count;
}

static void read_case(const char *text, size_t length)
{
    static bf_case out;
    bf_error err = {0};
    bf_notes *notes = NULL;
    demand(bf_notes_create(&notes, &err) == BF_OK);
    bf_status status = bf_case_read_text(text, length, "fuzz", &out, notes, &err);
    demand(status == BF_OK || status == BF_E_INPUT);
    demand((status == BF_OK) == (findings(notes) == 0));
    if (status == BF_OK) {
        demand(out.dose_count > 0);
        bf_recipe_set_dose(&out.rating.recipe, out.dose_kg_per_m3[0]);
        demand(bf_rating_spec_check(&out.rating, &err) == BF_OK);
        demand(!out.campaign.is_stated ||
               bf_campaign_spec_check(&out.campaign.spec, &err) == BF_OK);
        for (size_t v = 0; v < out.value_count; v++) {
            char shown[100];
            (void)bf_case_value_show(&out.rating.bed, &out.value[v], BF_UNITS_SI, shown,
                                     sizeof shown);
            (void)bf_case_value_show(&out.rating.bed, &out.value[v], BF_UNITS_US, shown,
                                     sizeof shown);
        }
    } else {
        demand(err.code == status && err.message[0] != '\0');
    }
    bf_notes_free(notes);
}

/* Of a bed of a litre, from 1 April 2021 on. */
static void read_table(const char *text, size_t length)
{
    static bf_case subject = {
        .campaign = {.is_stated = 1, .duration_days = 1000.0, .start = "2021-04-01"}};
    subject.rating.bed = bf_bed_spec_default();
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_observations observations;
    demand(bf_notes_create(&notes, &err) == BF_OK);
    bf_status status =
        bf_observations_read_text(text, length, "fuzz", &subject, &observations, notes, &err);
    demand(status == BF_OK || status == BF_E_INPUT);
    demand((status == BF_OK) == (findings(notes) == 0));
    demand((status == BF_OK) == (observations.count > 0));
    for (size_t i = 0; i < observations.count; i++) {
        demand(observations.row[i].day >= (i > 0 ? observations.row[i - 1].day : 0.0));
    }
    bf_observations_free(&observations);
    bf_notes_free(notes);
}

static void read_texts(const char *text)
{
    bf_error err = {0};
    bf_quantity q;
    static bf_case doses;
    bf_status status = bf_quantity_parse(text, &q, &err);
    demand(status == BF_OK ? isfinite(q.value) : err.message[0] != '\0');
    err = (bf_error){0};
    status = bf_case_set_doses(&doses, text, &err);
    demand(status == BF_OK ? doses.dose_count > 0 : err.message[0] != '\0');
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    demand(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    read_texts(text);
    free(text);
    /* Without the zero behind it: the sanitizer sees who reads on. */
    read_case(size > 0 ? (const char *)data : "", size);
    read_table(size > 0 ? (const char *)data : "", size);
    return 0;
}
