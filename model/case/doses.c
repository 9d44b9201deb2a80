/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A list of doses in one text: "3, 6, 10 lb/ft3". */
#include "brinefront/case.h"
#include "brinefront/units.h"
#include "case/keys.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

bf_status bf__dose_read(const char *text, double bed_m3, double *dose_kg_per_m3, bf_error *err)
{
    bf_quantity q;
    bf_status status = bf_quantity_parse(text, &q, err);
    if (status == BF_OK && q.dimension == BF_DIMENSION_MASS && q.basis == BF_BASIS_NONE) {
        *dose_kg_per_m3 = q.value / bed_m3;
        return BF_OK;
    }
    return status == BF_OK ? bf_quantity_as(&q, BF_DIMENSION_MASS_PER_VOLUME, dose_kg_per_m3, err)
                           : status;
}

/* A list of doses while it is being read. */
typedef struct dose_list {
    const char *text;
    double bed_m3;
    char number[BF_CASE_DOSES][32]; /* as written */
    double dose_kg_per_m3[BF_CASE_DOSES];
    size_t count;
    size_t with_unit; /* the first so many have a dose; the rest wait for a unit */
} dose_list;

static bf_status add_number(dose_list *list, const char *digits, size_t length, bf_error *err)
{
    if (list->count == BF_CASE_DOSES || length >= sizeof list->number[0]) {
        return bf_error_set(err, BF_E_INPUT, "doses",
                            "\"%s\" holds more than %d doses or too long a number", list->text,
                            BF_CASE_DOSES);
    }
    (void)snprintf(list->number[list->count++], sizeof list->number[0], "%.*s", (int)length,
                   digits);
    return BF_OK;
}

/* A unit holds for all numbers before it that have none. */
static bf_status apply_unit(dose_list *list, const char *unit, size_t length, bf_error *err)
{
    const int shown = (int)(length < 40 ? length : 40);
    bf_error inner = {0};
    for (; list->with_unit < list->count; list->with_unit++) {
        double *dose = &list->dose_kg_per_m3[list->with_unit];
        char whole[96];
        (void)snprintf(whole, sizeof whole, "%s %.*s", list->number[list->with_unit], shown, unit);
        if (bf__dose_read(whole, list->bed_m3, dose, &inner) != BF_OK) {
            return bf_error_set(err, BF_E_INPUT, "doses", "dose \"%s\": %s", whole, inner.message);
        }
        /* Common practice, no source: beyond any dose of the trade. */
        if (!(*dose >= 1.0 && *dose <= 1000.0)) {
            return bf_error_set(err, BF_E_INPUT, "doses",
                                "dose \"%s\" is out of range; accepted are 1 to 1000 g/L", whole);
        }
    }
    return BF_OK;
}

/* What stands between two commas or spaces: a number, a unit, or one right behind the other. */
static bf_status read_word(dose_list *list, const char *word, size_t length, bf_error *err)
{
    bf_status status = BF_OK;
    size_t digits = strspn(word, "0123456789.+-eE");
    digits = digits < length ? digits : length;
    if (digits > 0 && (isdigit((unsigned char)*word) || strchr("+-.", *word) != NULL)) {
        status = add_number(list, word, digits, err);
    } else if (list->with_unit == list->count) {
        status = bf_error_set(err, BF_E_INPUT, "doses",
                              "\"%.*s\" in \"%s\" is not a dose; write doses as \"3, 6, 10 "
                              "lb/ft3\"",
                              (int)length, word, list->text);
    } else {
        digits = 0; /* "e" begins a unit here */
    }
    return status == BF_OK && digits < length
               ? apply_unit(list, word + digits, length - digits, err)
               : status;
}

bf_status bf_case_set_doses(bf_case *input, const char *text, bf_error *err)
{
    dose_list list = {.text = text, .bed_m3 = bf_bed_volume_m3(&input->rating.bed)};
    bf_status status = BF_OK;
    for (const char *word = text + strspn(text, ", \t"); *word != '\0' && status == BF_OK;) {
        const size_t length = strcspn(word, ", \t");
        status = read_word(&list, word, length, err);
        word += length;
        word += strspn(word, ", \t");
    }
    if (status == BF_OK && list.count == 0) {
        status = bf_error_set(err, BF_E_INPUT, "doses",
                              "\"%s\" holds no dose; write \"3, 6, 10 lb/ft3\"", text);
    } else if (status == BF_OK && list.with_unit < list.count) {
        status = bf_error_set(err, BF_E_INPUT, "doses",
                              "\"%s\" has no unit; add lb/ft3 or g/L behind the last dose", text);
    }
    if (status == BF_OK) {
        memcpy(input->dose_kg_per_m3, list.dose_kg_per_m3, list.count * sizeof(double));
        input->dose_count = list.count;
    }
    return status;
}
