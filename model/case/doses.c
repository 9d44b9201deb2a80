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

/* Split at commas and spaces into numbers; whatever else follows a number is the unit of all before
 * it that have none. */
bf_status bf_case_set_doses(bf_case *to, const char *text, bf_error *err)
{
    const double bed_m3 = bf_bed_volume_m3(&to->rating.bed);
    double dose[BF_CASE_DOSES];
    char number[BF_CASE_DOSES][32];
    size_t count = 0;
    size_t without_unit = 0;
    const char *at = text;
    bf_error inner = {0};
    while (*at != '\0') {
        at += strspn(at, ", \t");
        if (*at == '\0') {
            break;
        }
        size_t width = strcspn(at, ", \t");
        size_t digits = strspn(at, "0123456789.+-eE");
        digits = digits < width ? digits : width;
        const char *unit = at + digits;
        int starts_number = digits > 0 && (isdigit((unsigned char)*at) || strchr("+-.", *at));
        if (starts_number) {
            if (count == BF_CASE_DOSES || digits >= sizeof number[0]) {
                return bf_error_set(err, BF_E_INPUT, "doses",
                                    "\"%s\" holds more than %d doses or too long a number", text,
                                    BF_CASE_DOSES);
            }
            (void)snprintf(number[count++], sizeof number[0], "%.*s", (int)digits, at);
            if (digits == width) {
                at += width;
                continue;
            }
        } else if (without_unit == count) {
            return bf_error_set(
                err, BF_E_INPUT, "doses",
                "\"%.*s\" in \"%s\" is not a dose; write doses as \"3, 6, 10 lb/ft3\"", (int)width,
                at, text);
        } else {
            unit = at;
        }
        size_t unit_length = (size_t)(at + width - unit);
        for (; without_unit < count; without_unit++) {
            char whole[96];
            (void)snprintf(whole, sizeof whole, "%s %.*s", number[without_unit],
                           (int)(unit_length < 40 ? unit_length : 40), unit);
            bf_status status = bf__dose_read(whole, bed_m3, &dose[without_unit], &inner);
            if (status != BF_OK) {
                return bf_error_set(err, BF_E_INPUT, "doses", "dose \"%s\": %s", whole,
                                    inner.message);
            }
            if (!(dose[without_unit] >= 1.0 && dose[without_unit] <= 1000.0)) {
                return bf_error_set(err, BF_E_INPUT, "doses",
                                    "dose \"%s\" is out of range; accepted are 1 to 1000 g/L",
                                    whole);
            }
        }
        at += width;
    }
    if (count == 0 || without_unit < count) {
        return bf_error_set(err, BF_E_INPUT, "doses",
                            count == 0
                                ? "\"%s\" holds no dose; write \"3, 6, 10 lb/ft3\""
                                : "\"%s\" has no unit; add lb/ft3 or g/L behind the last dose",
                            text);
    }
    memcpy(to->dose_kg_per_m3, dose, count * sizeof *dose);
    to->dose_count = count;
    return BF_OK;
}
