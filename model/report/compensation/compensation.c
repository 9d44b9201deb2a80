/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The hardness to count for iron: its quantities, and the answer in words beside what the trade
 * counts.
 *
 * Trade rules: 2 gpg per mg/L on a process engineering page, 3 to 5 on trade pages, 5 in several
 * operating manuals; no uniform method. Iron's own charge: 2 eq/mol, 0.105 gpg per mg/L.
 */
#include "report/compensation/compensation.h"

#include "brinefront/convert.h"
#include "rating/fouling/years.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/figure.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

const bf__column bf__compensation_columns[BF__COMPENSATION_COLUMNS] = {
    BF__COLUMN("addition_gpg_per_mg_per_L", "addition_meq_per_mg", "", "addition", ADDITION, "", 14,
               2, 3),
    BF__COLUMN(NULL, "days_between_regenerations", "", "each", PLAIN, "days", 9, 2, 2),
    BF__COLUMN(NULL, "capacity_loss_percent", "", "loss", SHARE, "", 9, 1, 1),
    BF__COLUMN(NULL, NULL, "", "capacity", CAPACITY, "", 10, 1, 3),
    BF__COLUMN(NULL, NULL, "", "new", CAPACITY, "", 10, 1, 3),
    BF__COLUMN(NULL, NULL, "", "bound", DEPOSIT, "", 9, 0, 2),
    BF__COLUMN(NULL, NULL, "", "iron", METAL, "", 8, 2, 2),
    BF__COLUMN(NULL, NULL, "", "salt", MASS, "/yr", 9, 0, 0),
    BF__COLUMN(NULL, NULL, "", "water", SUPPLY, "/yr", 9, 0, 1),
};

void bf__compensation_values(const bf_campaign_spec *spec, const bf_compensation_point *point,
                             double values[BF__COMPENSATION_COLUMNS])
{
    const double bed_m3 = bf_bed_volume_m3(&spec->bed);
    const double row[BF__COMPENSATION_COLUMNS] = {point->addition_eq_per_g,
                                                  point->days_between,
                                                  point->capacity_loss,
                                                  point->end.potential_eq_per_m3,
                                                  point->end.potential_new_eq_per_m3,
                                                  point->end.bound_kg_per_m3,
                                                  point->end.iron_g_per_m3,
                                                  point->end.salt_kg_per_m3_year * bed_m3,
                                                  point->end.water_bed_volumes_year * bed_m3};
    memcpy(values, row, sizeof row);
}

/* ---- words ----------------------------------------------------------------------------------- */

static double addition(bf_unit_system units, double eq_per_g)
{
    return bf__quantity_show(BF__QUANTITY_ADDITION, units, eq_per_g);
}

static const char *unit_of_addition(bf_unit_system units)
{
    return bf__quantity_unit(BF__QUANTITY_ADDITION, units).text;
}

/* Hardness on a valve. */
static double setting(bf_unit_system units, double eq_per_m3)
{
    return bf__quantity_show(BF__QUANTITY_SETTING, units, eq_per_m3);
}

/* A rule of the trade: gpg per mg/L as eq/m3 per g/m3. */
static double trade(bf_unit_system units, double gpg_per_mg_per_L)
{
    return addition(units, gpg_per_mg_per_L * BF_EQ_PER_M3_PER_GPG);
}

/* Iron and hardness of the water that the count is made on: of seasons the one that uses the bed up
 * first. */
static const bf_water *counted_water(const bf_campaign_spec *spec, double addition_eq_per_g)
{
    const bf_water *found = &spec->water;
    double most = -1.0;
    for (size_t k = 0; k < spec->season_count; k++) {
        const bf_water *water = &spec->season[k].water;
        const double count =
            water->hardness_eq_per_m3 + addition_eq_per_g * bf__ion_mg_per_L(water, BF_ION_FE);
        found = count > most ? water : found;
        most = fmax(most, count);
    }
    return found;
}

static void print_end(const bf_compensation_report *report, const bf_compensation *end,
                      double ageing_factor, bf_unit_system units, FILE *out)
{
    (void)fprintf(out, "at %.3g times ", ageing_factor);
    if (isnan(end->addition_eq_per_g)) {
        (void)fprintf(out, "none that was tried keeps to the loss");
    } else {
        const double counted = end->addition_eq_per_g;
        const bf_water *water = counted_water(report->spec, counted);
        (void)fprintf(out, "set %.3g (%.2g %s of iron)",
                      setting(units, water->hardness_eq_per_m3 +
                                         counted * bf__ion_mg_per_L(water, BF_ION_FE)),
                      addition(units, counted), unit_of_addition(units));
    }
}

/* The answers with the ageing of iron at either end of its range. */
static void print_range(const bf_compensation_report *report, bf_unit_system units,
                        const char *prefix, FILE *out)
{
    if (report->low == NULL || report->high == NULL) {
        (void)fprintf(out, "%sThis is the answer of the expected parameters, not a range.\n",
                      prefix);
        return;
    }
    bf_campaign_spec specs[BF_FOULING_SERIES];
    bf_fouling_range(report->spec, specs);
    (void)fprintf(out, "%sThat is for the expected ageing of iron; in its range: ", prefix);
    print_end(report, report->low, specs[BF_FOULING_LOW].iron.ageing_factor, units, out);
    (void)fprintf(out, ", ");
    print_end(report, report->high, specs[BF_FOULING_HIGH].iron.ageing_factor, units, out);
    (void)fprintf(out, ".\n");
}

/* How the loss changes about the answer, from the additions tried beside it. */
static void print_neighbours(const bf_compensation *found, bf_unit_system units, const char *prefix,
                             FILE *out)
{
    const double beside_eq_per_g = 0.25 * BF_EQ_PER_M3_PER_GPG; /* nearer tells nothing */
    const bf_compensation_point *below = NULL;
    const bf_compensation_point *above = NULL;
    for (size_t p = 0; p < found->count; p++) {
        const bf_compensation_point *point = &found->point[p];
        if (point->addition_eq_per_g < found->addition_eq_per_g - beside_eq_per_g) {
            below = point;
        } else if (point->addition_eq_per_g > found->addition_eq_per_g + beside_eq_per_g &&
                   above == NULL) {
            above = point;
        }
    }
    if (below != NULL || above != NULL) {
        (void)fprintf(out, "%sHow flat the curve is: the bed loses", prefix);
        if (below != NULL) {
            (void)fprintf(out, " %.3g %% at %.3g", 100.0 * below->capacity_loss,
                          addition(units, below->addition_eq_per_g));
        }
        if (above != NULL) {
            (void)fprintf(out, "%s %.3g %% at %.3g", below != NULL ? "," : "",
                          100.0 * above->capacity_loss, addition(units, above->addition_eq_per_g));
        }
        (void)fprintf(out, " %s; the flatter, the less the answer is worth its digits.\n",
                      unit_of_addition(units));
    }
}

/* The largest that was too little, in as many digits as tell it from the answer. */
static void print_too_little(const bf_compensation *found, bf_unit_system units, const char *prefix,
                             FILE *out)
{
    const double little = addition(units, found->too_little_eq_per_g);
    const double answer = addition(units, found->addition_eq_per_g);
    char text[32];
    char other[32];
    int digits = 2;
    do {
        digits++;
        (void)snprintf(text, sizeof text, "%.*g", digits, little);
        (void)snprintf(other, sizeof other, "%.*g", digits, answer);
    } while (digits < 6 && strcmp(text, other) == 0);
    (void)fprintf(out, "%s%s %s was too little", prefix, text, unit_of_addition(units));
    if (digits > 3) {
        (void)fprintf(out, "; the answer is %s", other);
    }
    (void)fputs(".\n", out);
}

void bf__compensation_answer(const bf_compensation_report *report, bf_unit_system units,
                             const char *prefix, FILE *out)
{
    const bf_compensation *found = report->found;
    const char *unit = unit_of_addition(units);
    bf__wrap_begin(out);
    if (isnan(found->addition_eq_per_g)) {
        (void)fprintf(out, "%sNo answer for a loss of %.3g %%: %s.\n", prefix,
                      100.0 * found->allowed_loss,
                      found->why != NULL ? found->why : "no addition tried keeps to it");
    } else {
        const bf_water *water = counted_water(report->spec, found->addition_eq_per_g);
        const double iron = bf__ion_mg_per_L(water, BF_ION_FE);
        const double hardness = water->hardness_eq_per_m3;
        (void)fprintf(
            out,
            "%sSet %.3g %s: %.3g of hardness and %.3g for iron, %.3g %s of iron. So counted "
            "the bed is regenerated each %.3g days and loses %.2g %% of its capacity, of "
            "%.3g %% allowed, against a new bed regenerated at the same interval.\n",
            prefix, setting(units, hardness + found->addition_eq_per_g * iron),
            bf__quantity_unit(BF__QUANTITY_SETTING, units).text, setting(units, hardness),
            setting(units, found->addition_eq_per_g * iron),
            addition(units, found->addition_eq_per_g), unit, found->chosen.days_between,
            100.0 * found->chosen.capacity_loss, 100.0 * found->allowed_loss);
        (void)fprintf(out,
                      "%sThat is to regenerate at %.0f %% of what the bed would hold by hardness "
                      "alone (operating manuals and trade pages: 50 to 75 %%).\n",
                      prefix, 100.0 * hardness / (hardness + found->addition_eq_per_g * iron));
    }
    if (!isnan(found->addition_eq_per_g) && !isnan(found->too_little_eq_per_g)) {
        print_too_little(found, units, prefix, out);
    }
    if (!isnan(found->addition_eq_per_g)) {
        print_neighbours(found, units, prefix, out);
    }
    print_range(report, units, prefix, out);
    if (!found->falls) {
        (void)fprintf(out,
                      "%sA larger addition sometimes lost more: the least is the least of those "
                      "tried.\n",
                      prefix);
    }
    if (*bf__iron_advice(report->spec)) {
        (void)fprintf(out, "%s%s\n", prefix, bf__iron_advice(report->spec));
    }
    bf__wrap_end(prefix, out);
}

void bf__compensation_rules(bf_unit_system units, const char *prefix, FILE *out)
{
    const double charge = 1.0 / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    bf__wrap_begin(out);
    (void)fprintf(
        out,
        "%sBeside it, in %s: iron's own charge %.3g; trade rules %.3g (the lenient) and "
        "%.3g to %.3g (the usual; trade pages and operating manuals, which have no method "
        "in common). An addition beyond the charge is no exchange: it makes the bed "
        "regenerate earlier, before iron has aged.\n",
        prefix, unit_of_addition(units), addition(units, charge), trade(units, 2.0),
        trade(units, 3.0), trade(units, 5.0));
    bf__wrap_end(prefix, out);
}
