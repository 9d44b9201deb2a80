/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a campaign's end in CSV and JSON. */
#include "report/campaign/campaign_end.h"

#include <math.h>
#include <string.h>

enum { COLUMNS = 10, NEW = 1 /* not in CSV */ };

#define SI(text)                                                                                   \
    {                                                                                              \
        [BF_UNITS_SI] = (text)                                                                     \
    }

static const bf__column columns[COLUMNS] = {
    {.name = SI("day"), .kind = BF__QUANTITY_PLAIN},
    [NEW] = {.name = SI("capacity_new_eq_per_L"), .kind = BF__QUANTITY_CAPACITY},
    {.name = {"capacity_kgr_per_ft3", "capacity_eq_per_L"}, .kind = BF__QUANTITY_CAPACITY},
    {.name = SI("resin_capacity_eq_per_L"), .kind = BF__QUANTITY_CAPACITY},
    {.name = SI("bound_iron_g_per_L_bed"), .kind = BF__QUANTITY_DEPOSIT},
    {.name = SI("hardness_mg_per_L_CaCO3"), .kind = BF__QUANTITY_LEAKAGE},
    {.name = SI("iron_mg_per_L"), .kind = BF__QUANTITY_PLAIN},
    {.name = SI("pressure_drop_per_clean"), .kind = BF__QUANTITY_PLAIN},
    {.name = SI("salt_g_per_L_bed_year"), .kind = BF__QUANTITY_DOSE},
    {.name = SI("regeneration_water_BV_per_year"), .kind = BF__QUANTITY_BED_VOLUMES},
};

/* In the order of the columns; all NAN without an end. */
static void fill(const bf_fouling_end *end, double values[COLUMNS])
{
    for (size_t c = 0; end == NULL && c < COLUMNS; c++) {
        values[c] = (double)NAN;
    }
    if (end != NULL) {
        const double known[COLUMNS] = {end->day,
                                       end->potential_new_eq_per_m3,
                                       end->potential_eq_per_m3,
                                       end->capacity_eq_per_m3,
                                       end->bound_kg_per_m3,
                                       end->hardness_eq_per_m3,
                                       end->iron_g_per_m3,
                                       end->pressure_ratio,
                                       end->salt_kg_per_m3_year,
                                       end->water_bed_volumes_year};
        memcpy(values, known, sizeof known);
    }
}

void bf__end_csv_head(const char *suffix, FILE *out)
{
    (void)fprintf(out, ",state%s", suffix);
    bf__columns_csv_head(columns, NEW, suffix, out);
    bf__columns_csv_head(columns + NEW + 1, COLUMNS - NEW - 1, suffix, out);
}

void bf__end_csv(const bf_fouling_end *end, FILE *out)
{
    double values[COLUMNS];
    fill(end, values);
    (void)fprintf(out, ",%s", end != NULL ? bf_campaign_state_word(end->state) : "");
    bf__columns_csv(columns, NEW, values, out);
    bf__columns_csv(columns + NEW + 1, COLUMNS - NEW - 1, values + NEW + 1, out);
}

json_t *bf__end_json(const bf_fouling_end *end)
{
    if (end == NULL) {
        return json_null();
    }
    double values[COLUMNS];
    json_t *object = json_object();
    fill(end, values);
    bf__json_text(object, "state", bf_campaign_state_word(end->state));
    bf__columns_json(columns, COLUMNS, values, object);
    return object;
}
