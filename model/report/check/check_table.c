/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case printed back: what was stated and what was filled in, in SI and in U.S. units, what
 * follows from it, and where it leaves practice. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
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

static void print_pair(FILE *out, const char *what, double si, const char *si_unit, double us,
                       const char *us_unit)
{
    if (!isnan(si)) {
        char first[48];
        (void)snprintf(first, sizeof first, "%.4g %s", si, si_unit);
        if (us_unit != NULL) {
            (void)fprintf(out, "  %-34s %-18s %.4g %s\n", what, first, us, us_unit);
        } else {
            (void)fprintf(out, "  %-34s %s\n", what, first);
        }
    }
}

static void print_deduced(const bf_check_report *report, FILE *out)
{
    const bf_deduced *d = report->deduced;
    const bf_rating_spec *rating = &report->input->rating;
    (void)fprintf(out, "\nWhat follows\n");
    print_pair(out, "resin", 1e3 * d->resin_m3, "L", d->resin_m3 / BF_M3_PER_FT3, "ft3");
    print_pair(out, "bed area", d->area_m2, "m2", d->area_m2 / (BF_M_PER_FT * BF_M_PER_FT), "ft2");
    print_pair(out, "normality of the feed", rating->water.normality_eq_per_m3, "meq/L", 0.0, NULL);
    print_pair(out, "velocity in service", rating->recipe.step[0].velocity_m_per_s * BF_S_PER_H,
               "m/h",
               rating->recipe.step[0].velocity_m_per_s * BF_S_PER_MIN / BF_M3_PER_GAL *
                   BF_M_PER_FT * BF_M_PER_FT,
               "gpm/ft2");
    print_pair(out, "contact time in service", d->empty_bed_contact_s / BF_S_PER_MIN, "min", 0.0, NULL);
    print_pair(out, "pressure drop of the clean bed", 1e-3 * d->service_pressure_Pa, "kPa",
               d->service_pressure_Pa / BF_PA_PER_PSI, "psi");
    print_pair(out, "bed expansion in backwash", 100.0 * (d->backwash_depth_ratio - 1.0), "%", 0.0,
               NULL);
    print_pair(out, "normality of the brine", d->brine_normality_eq_per_m3, "meq/L", 0.0, NULL);
    print_pair(out, "density of the brine", d->brine_density_kg_per_m3, "kg/m3", 0.0, NULL);
    print_pair(out, "brine, degrees salometer", 100.0 * d->brine_saturation, "", 0.0, NULL);
    print_pair(out, "salt equal to the whole capacity", d->salt_to_hold_all_kg_per_m3, "g/L",
               d->salt_to_hold_all_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3, "lb/ft3");
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
        const double salt_kg = dose * d->resin_m3;
        const double brine = dose * d->brine_bed_volumes_per_kg_per_m3;
        (void)fprintf(out, "%9.4g%9.4g%10.4g%10.4g%10.4g%10.4g%10.4g\n", dose,
                      dose / BF_KG_PER_M3_PER_LB_PER_FT3, salt_kg, salt_kg / BF_KG_PER_LB, brine,
                      brine * d->resin_m3 / BF_M3_PER_GAL,
                      dose * d->brine_s_per_kg_per_m3 / BF_S_PER_MIN);
    }
}

static bf_status print_table(const void *context, FILE *out, bf_error *err)
{
    const bf_check_report *report = context;
    /* the notes stand at the foot */
    const bf_page page = bf_page_of_case(report->input, NULL, BF_UNITS_US);
    if (report->input->title[0] != '\0') {
        (void)fprintf(out, "%s\n\n", report->input->title);
    }
    print_values(report->input, out);
    (void)fprintf(out, "\nSteps of a cycle\n");
    bf__setting_print(&page, BF_UNITS_US, "  ", out);
    print_deduced(report, out);
    print_doses(report, out);
    (void)fprintf(out, "\nDeduced, assumed, outside practice\n");
    bf__notes_print(report->notes, "  ", out);
    (void)fputc('\n', out);
    bf__cautions_print("", out);
    (void)err;
    return BF_OK;
}

bf_status bf_report_check_table(const bf_check_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
