/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/campaign/campaign_end_csv.h"

#include "brinefront/convert.h"
#include "report/page/assumptions.h"

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

void bf__end_csv_head(const char *suffix, FILE *out)
{
    static const char *const names[] = {
        "state",
        "day",
        "capacity_eq_per_L",
        "capacity_kgr_per_ft3",
        "resin_capacity_eq_per_L",
        "bound_iron_g_per_L_bed",
        "hardness_mg_per_L_CaCO3",
        "iron_mg_per_L",
        "pressure_drop_per_clean",
        "salt_g_per_L_bed_year",
        "regeneration_water_BV_per_year",
    };
    for (size_t n = 0; n < sizeof names / sizeof *names; n++) {
        (void)fprintf(out, ",%s%s", names[n], suffix);
    }
}

void bf__end_csv_row(const bf_fouling_end *end, FILE *out)
{
    (void)fprintf(out, ",%s", bf_campaign_state_word(end->state));
    bf__csv_number(end->day, out);
    bf__csv_number(1e-3 * end->potential_eq_per_m3, out);
    bf__csv_number(end->potential_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3, out);
    bf__csv_number(1e-3 * end->capacity_eq_per_m3, out);
    bf__csv_number(end->bound_kg_per_m3, out);
    bf__csv_number(bf__mg_per_L_CaCO3(end->hardness_eq_per_m3), out);
    bf__csv_number(end->iron_g_per_m3, out);
    bf__csv_number(end->pressure_ratio, out);
    bf__csv_number(end->salt_kg_per_m3_year, out);
    bf__csv_number(end->water_bed_volumes_year, out);
}
