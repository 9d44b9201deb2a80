/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fields of comma-separated values. */
#include "report/page/csv.h"

#include <math.h>

void bf__csv_number(double value, FILE *out)
{
    if (isfinite(value)) {
        (void)fprintf(out, ",%.6g", value);
    } else {
        (void)fputc(',', out);
    }
}

void bf__csv_text(const char *text, FILE *out)
{
    (void)fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"') {
            (void)fputc('"', out);
        }
        (void)fputc(*text, out);
    }
    (void)fputc('"', out);
}

void bf__csv_title(const char *title, FILE *out)
{
    if (*title != '\0') {
        (void)fprintf(out, "# %s\n", title);
    }
}
