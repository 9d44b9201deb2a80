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
    BF__COLUMN(NULL, "day", "", "", PLAIN, "", 0, 0, 0),
    [NEW] = BF__COLUMN(NULL, "capacity_new_eq_per_L", "", "", CAPACITY, "", 0, 0, 0),
    BF__COLUMN("capacity_kgr_per_ft3", "capacity_eq_per_L", "", "", CAPACITY, "", 0, 0, 0),
    BF__COLUMN(NULL, "resin_capacity_eq_per_L", "", "", CAPACITY, "", 0, 0, 0),
    BF__COLUMN(NULL, "bound_iron_g_per_L_bed", "", "", DEPOSIT, "", 0, 0, 0),
    BF__COLUMN(NULL, "hardness_mg_per_L_CaCO3", "", "", LEAKAGE, "", 0, 0, 0),
    BF__COLUMN(NULL, "iron_mg_per_L", "", "", METAL, "", 0, 0, 0),
    BF__COLUMN(NULL, "pressure_drop_per_clean", "", "", PLAIN, "", 0, 0, 0),
    BF__COLUMN(NULL, "salt_g_per_L_bed_year", "", "", DOSE, "", 0, 0, 0),
    BF__COLUMN(NULL, "regeneration_water_BV_per_year", "", "", BED_VOLUMES, "", 0, 0, 0),
};

/* In the order of the columns; all NAN without an end. */
static void fill(const bf_fouling_end *end, double values[COLUMNS])
{
    for (size_t c = 0; end == NULL && c < COLUMNS; c++) {
        values[c] = (double)NAN;
    }
    if (end != NULL) {
        const double row[COLUMNS] = {end->day,
                                     end->potential_new_eq_per_m3,
                                     end->potential_eq_per_m3,
                                     end->total_capacity_eq_per_m3,
                                     end->bound_kg_per_m3,
                                     end->hardness_eq_per_m3,
                                     end->iron_g_per_m3,
                                     end->pressure_ratio,
                                     end->salt_kg_per_m3_year,
                                     end->water_bed_volumes_year};
        memcpy(values, row, sizeof row);
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
