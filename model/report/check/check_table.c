/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case printed back: what was stated and what was filled in, in SI and in U.S. units, what
 * follows from it, and where it leaves practice. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/figure.h"
#include "report/page/page.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

static void print_values(const bf_case *input, FILE *out)
{
    (void)fprintf(out, "%-30s %-19s %-14s %s\n", "key", "in the case", "SI", "U.S.");
    (void)fprintf(
        out, "--------------------------------------------------------------------------------\n");
    for (size_t v = 0; v < input->value_count; v++) {
        const bf_case_value *value = &input->value[v];
        bf_case_key key = bf_case_key_get(value->key);
        char si[48];
        char us[48];
        char stated[80];
        int has_unit = bf_case_value_show(&input->rating.bed, value, BF_UNITS_SI, si, sizeof si);
        (void)bf_case_value_show(&input->rating.bed, value, BF_UNITS_US, us, sizeof us);
        if (strcmp(key.path, "title") == 0) {
            continue;
        }
        (void)snprintf(stated, sizeof stated, "%s%s", value->is_default ? "= " : "", value->text);
        if (has_unit) {
            (void)fprintf(out, "%-30s %-19s %-14s %s\n", key.path, stated, si, us);
        } else {
            (void)fprintf(out, "%-30s %s\n", key.path, stated);
        }
    }
    bf__wrap_begin(out);
    (void)fprintf(out, "\n= filled in, not stated; its source:\n");
    for (size_t v = 0; v < input->value_count; v++) {
        const bf_case_value *value = &input->value[v];
        bf_case_key key = bf_case_key_get(value->key);
        if (value->is_default && *key.source != '\0') {
            (void)fprintf(out, "  %s: %s\n", key.path, key.source);
        }
    }
    bf__wrap_end("  ", out);
}

static void print_one(const char *what, double value, const char *unit, FILE *out)
{
    if (!isnan(value)) {
        (void)fprintf(out, "  %-34s %.4g %s\n", what, value, unit);
    }
}

/* In SI and in U.S. units, where these differ. */
static void print_both(const char *what, bf__quantity kind, double value, FILE *out)
{
    const bf__figure si = bf__figure_digits(kind, BF_UNITS_SI, value, 4);
    const bf__figure us = bf__figure_digits(kind, BF_UNITS_US, value, 4);
    if (isnan(value)) {
        return;
    }
    if (strcmp(si.text, us.text) == 0) {
        (void)fprintf(out, "  %-34s %s\n", what, si.text);
    } else {
        (void)fprintf(out, "  %-34s %-18s %s\n", what, si.text, us.text);
    }
}

static void print_deduced(const bf_check_report *report, FILE *out)
{
    const bf_deduced *d = report->deduced;
    const bf_rating_spec *rating = &report->input->rating;
    (void)fprintf(out, "\nWhat follows\n");
    print_both("resin", BF__QUANTITY_RESIN, d->resin_m3, out);
    print_both("bed area", BF__QUANTITY_AREA, d->area_m2, out);
    print_one("normality of the feed", rating->water.normality_eq_per_m3, "meq/L", out);
    print_both("velocity in service", BF__QUANTITY_VELOCITY,
               rating->recipe.step[0].velocity_m_per_s, out);
    print_both("contact time in service", BF__QUANTITY_MINUTES, d->empty_bed_contact_s, out);
    print_both("pressure drop of the clean bed", BF__QUANTITY_PRESSURE, d->service_pressure_Pa,
               out);
    print_both("bed expansion in backwash", BF__QUANTITY_SHARE, d->backwash_depth_ratio - 1.0, out);
    print_one("normality of the brine", d->brine_normality_eq_per_m3, "meq/L", out);
    print_one("density of the brine", d->brine_density_kg_per_m3, "kg/m3", out);
    print_one("brine, degrees salometer", 100.0 * d->brine_saturation, "", out);
    print_both("salt equal to the whole capacity", BF__QUANTITY_DOSE, d->salt_to_hold_all_kg_per_m3,
               out);
}

/* What each dose of the case takes. */
static void print_doses(const bf_check_report *report, FILE *out)
{
    const bf_deduced *d = report->deduced;
    (void)fprintf(out, "\nEach dose\n%9s%9s%10s%10s%10s%10s%10s\n%9s%9s%10s%10s%10s%10s%10s\n",
                  "dose", "", "its salt", "", "its brine", "", "takes", "g/L", "lb/ft3", "kg", "lb",
                  "BV", "gal", "min");
    for (size_t k = 0; k < report->input->dose_count; k++) {
        const double dose = report->input->dose_kg_per_m3[k];
        const double brine_m3 = dose * d->brine_bed_volumes_per_kg_per_m3 * d->resin_m3;
        const double salt_kg = dose * d->resin_m3;
        (void)fprintf(out, "%9.4g%9.4g%10.4g%10.4g%10.4g%10.4g%10.4g\n", dose,
                      bf__quantity_show(BF__QUANTITY_DOSE, BF_UNITS_US, dose), salt_kg,
                      bf__quantity_show(BF__QUANTITY_MASS, BF_UNITS_US, salt_kg),
                      dose * d->brine_bed_volumes_per_kg_per_m3,
                      bf__quantity_show(BF__QUANTITY_WATER, BF_UNITS_US, brine_m3),
                      dose * d->brine_s_per_kg_per_m3 / BF_S_PER_MIN);
    }
}

static void print_table(const void *context, FILE *out)
{
    const bf_check_report *report = context;
    /* the notes stand at the foot */
    const bf_page page = bf_page_of_case(report->input, NULL, BF_UNITS_US);
    bf__page_title(&page, out);
    print_values(report->input, out);
    (void)fprintf(out, "\nSteps of a cycle\n");
    bf__setting_print(&page, BF_UNITS_US, "  ", out);
    print_deduced(report, out);
    print_doses(report, out);
    (void)fprintf(out, "\nDeduced, assumed, outside practice\n");
    bf__notes_print(report->notes, "  ", out);
    (void)fputc('\n', out);
    bf__cautions_print("", out);
}

bf_status bf_report_check_table(const bf_check_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
