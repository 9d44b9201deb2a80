/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was rated, as every output says it: feed, bed, steps. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/figure.h"
#include "report/page/wrap.h"

#include <math.h>

/* A flow as the trade has it, per cross-section, and in bed volumes. */
static void print_flow(const bf_step *step, const bf_bed_spec *bed, bf_unit_system units, FILE *out)
{
    const double m_per_s = step->velocity_m_per_s;
    (void)fprintf(
        out, "%s (%s, %.3g BV/h)",
        bf__figure_digits(BF__QUANTITY_FLOW, units, m_per_s * bf_bed_area_m2(bed), 3).text,
        bf__figure_digits(BF__QUANTITY_VELOCITY, units, m_per_s, 3).text,
        m_per_s / bed->depth_m * BF_S_PER_H);
}

/* "342.4 mg/L as CaCO3 (20 gpg)" */
static void print_hardness(double eq_per_m3, FILE *out)
{
    (void)fprintf(out, "%s (%s)",
                  bf__figure_digits(BF__QUANTITY_SETTING, BF_UNITS_SI, eq_per_m3, 4).text,
                  bf__figure_digits(BF__QUANTITY_SETTING, BF_UNITS_US, eq_per_m3, 3).text);
}

static void print_service(const bf_step *step, FILE *out)
{
    if (!isnan(step->end_hardness_eq_per_m3)) {
        (void)fputs(", counted to ", out);
        print_hardness(step->end_hardness_eq_per_m3, out);
        (void)fputs(" in the effluent", out);
    }
    if (!isnan(step->stop_hardness_eq_per_m3)) {
        (void)fprintf(out, ", run on to %.4g mg/L",
                      bf__mg_per_L_CaCO3(step->stop_hardness_eq_per_m3));
    }
    if (!isnan(step->bed_volumes)) {
        (void)fprintf(out, ", at most %.4g BV", step->bed_volumes);
    }
}

/* What comes before the flow of a step. */
static void print_liquid(const bf_step *step, FILE *out)
{
    const int is_up = step->direction == BF_FLOW_UP;
    const char *supply = step->supply == BF_SUPPLY_SOFT ? "soft" : "raw";
    switch (step->type->role) {
    case BF_ROLE_SERVICE:
    case BF_ROLE_EXHAUST: break;
    case BF_ROLE_BRINE:
        if (step->supply == BF_SUPPLY_SEA) {
            (void)fprintf(out, "sea water (%.3g wt%% of salts)", 100.0 * bf_sea_salt_kg_per_kg());
        } else {
            (void)fprintf(out, "%.4g wt%% %s made with %s water", 100.0 * step->mass_fraction,
                          bf_salt_symbol(step->salt), supply);
        }
        (void)fprintf(out, ", %s, ", is_up ? "counter-current (up)" : "co-current (down)");
        break;
    case BF_ROLE_REFILL: (void)fputs("water for the next brine, ", out); break;
    case BF_ROLE_HOLD:
        (void)fprintf(out, "%.4g min standing", step->duration_s / BF_S_PER_MIN);
        break;
    case BF_ROLE_BACKWASH:
    case BF_ROLE_SLOW_RINSE:
    case BF_ROLE_FAST_RINSE:
        (void)fprintf(out, "%.4g BV of %s water, %s, ", step->bed_volumes, supply,
                      is_up ? "up" : "down");
        break;
    }
}

static void print_step(const bf_step *step, const bf_bed_spec *bed, bf_unit_system units,
                       const char *prefix, FILE *out)
{
    (void)fprintf(out, "%s%s: ", prefix, step->type->name);
    print_liquid(step, out);
    if (step->type->role != BF_ROLE_HOLD) {
        print_flow(step, bed, units, out);
    }
    if (step->type->role == BF_ROLE_SERVICE) {
        print_service(step, out);
    } else if (step->type->role == BF_ROLE_EXHAUST) {
        (void)fprintf(
            out, ", until the effluent rises through %.4g mg/L (%s)",
            bf__mg_per_L_CaCO3(step->stop_hardness_eq_per_m3),
            bf__figure_digits(BF__QUANTITY_SETTING, BF_UNITS_US, step->stop_hardness_eq_per_m3, 3)
                .text);
    } else if (step->type->role == BF_ROLE_BACKWASH) {
        (void)fprintf(out, ", then %.3g %% of the resin mixed", 100.0 * step->mix_share);
    }
    (void)fputc('\n', out);
}

static void print_water(const bf_water *water, bf_unit_system units, const char *prefix, FILE *out)
{
    (void)fprintf(out, "%sfeed: hardness ", prefix);
    print_hardness(water->hardness_eq_per_m3, out);
    (void)fprintf(out, ", normality %.3g meq/L,", water->normality_eq_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (water->ion_eq_per_m3[i] > 0.0) {
            (void)fprintf(out, " %s %.3g", bf_ion_get((bf_ion)i)->symbol, water->ion_eq_per_m3[i]);
        }
    }
    (void)fprintf(out, " meq/L; %s\n",
                  bf__figure_digits(BF__QUANTITY_TEMPERATURE, units, water->temperature_K, 3).text);
}

static void print_bed(const bf_bed_spec *bed, bf_unit_system units, const char *prefix, FILE *out)
{
    (void)fprintf(out, "%sbed: %s of resin, %s across and %s deep, %s of water above it\n", prefix,
                  bf__figure_digits(BF__QUANTITY_RESIN, units, bf_bed_volume_m3(bed),
                                    units == BF_UNITS_US ? 3 : 4)
                      .text,
                  bf__figure_digits(BF__QUANTITY_LENGTH, units, bed->diameter_m, 3).text,
                  bf__figure_digits(BF__QUANTITY_LENGTH, units, bed->depth_m, 3).text,
                  bf__figure_digits(BF__QUANTITY_LENGTH, units, bed->freeboard_m, 3).text);
    (void)fprintf(out, "%sresin: %s, %.3g eq/L of bed, void %.3g, beads of %.3g mm", prefix,
                  bed->resin.name, 1e-3 * bed->resin.total_capacity_eq_per_m3,
                  bed->resin.void_fraction, 1e3 * bed->resin.bead_diameter_m);
    if (bed->resin.uniformity_coefficient > 1.0) {
        (void)fprintf(out, " in the mean, uniformity coefficient %.3g in %zu classes",
                      bed->resin.uniformity_coefficient, bed->bead_classes);
    }
    (void)fputc('\n', out);
}

void bf__setting_print(const bf_page *page, bf_unit_system units, const char *prefix, FILE *out)
{
    const bf_rating_spec *rating = page->rating;
    bf__wrap_begin(out);
    print_water(&rating->water, units, prefix, out);
    print_bed(&rating->bed, units, prefix, out);
    for (size_t s = 0; s < rating->recipe.count; s++) {
        print_step(&rating->recipe.step[s], &rating->bed, units, prefix, out);
    }
    bf__wrap_end(prefix, out);
    bf__notes_print(page->notes, prefix, out);
}
