/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/page/assumptions.h"

#include "brinefront/convert.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

double bf__gr_per_lb(double capacity_eq_per_m3, double dose_kg_per_m3)
{
    double grains_per_m3 = capacity_eq_per_m3 / (1e3 * BF_KG_PER_GRAIN) * BF_G_CACO3_PER_EQ;
    return grains_per_m3 / (dose_kg_per_m3 / BF_KG_PER_LB);
}

double bf__mg_per_L_CaCO3(double eq_per_m3)
{
    return eq_per_m3 * BF_G_CACO3_PER_EQ;
}

/* A flow as bed volumes an hour, with the trade's own figure beside it. */
static void print_flow(const bf_step *step, const bf_bed_spec *bed, bf_unit_system units, FILE *out)
{
    double m3_per_s = step->velocity_m_per_s * bf_bed_volume_m3(bed) / bed->depth_m;
    double bed_volumes_per_h = step->velocity_m_per_s / bed->depth_m * BF_S_PER_H;
    if (units == BF_UNITS_US) {
        (void)fprintf(
            out, "%.3g gpm (%.3g gpm/ft2, %.3g BV/h)", m3_per_s * BF_S_PER_MIN / BF_M3_PER_GAL,
            step->velocity_m_per_s * BF_S_PER_MIN / BF_M3_PER_GAL * BF_M_PER_FT * BF_M_PER_FT,
            bed_volumes_per_h);
    } else {
        (void)fprintf(out, "%.3g m3/h (%.3g m/h, %.3g BV/h)", m3_per_s * BF_S_PER_H,
                      step->velocity_m_per_s * BF_S_PER_H, bed_volumes_per_h);
    }
}

static void print_step(const bf_step *step, const bf_bed_spec *bed, bf_unit_system units,
                       const char *prefix, FILE *out)
{
    const bf_step_role role = step->type->role;
    (void)fprintf(out, "%s%s: ", prefix, step->type->name);
    if (role == BF_ROLE_SERVICE) {
        print_flow(step, bed, units, out);
        if (!isnan(step->end_hardness_eq_per_m3)) {
            (void)fprintf(out, ", counted to %.4g mg/L as CaCO3 (%.3g gpg) in the effluent",
                          bf__mg_per_L_CaCO3(step->end_hardness_eq_per_m3),
                          step->end_hardness_eq_per_m3 / BF_EQ_PER_M3_PER_GPG);
        }
        if (!isnan(step->stop_hardness_eq_per_m3)) {
            (void)fprintf(out, ", run on to %.4g mg/L",
                          bf__mg_per_L_CaCO3(step->stop_hardness_eq_per_m3));
        }
        if (!isnan(step->bed_volumes)) {
            (void)fprintf(out, ", at most %.4g BV", step->bed_volumes);
        }
    } else if (role == BF_ROLE_EXHAUST) {
        print_flow(step, bed, units, out);
        (void)fprintf(out, ", until the effluent rises through %.4g mg/L (%.3g gpg)",
                      bf__mg_per_L_CaCO3(step->stop_hardness_eq_per_m3),
                      step->stop_hardness_eq_per_m3 / BF_EQ_PER_M3_PER_GPG);
    } else if (role == BF_ROLE_BRINE && step->supply == BF_SUPPLY_SEA) {
        (void)fprintf(out, "sea water (%.3g wt%% of salts), %s, ", 100.0 * bf_sea_salt_kg_per_kg(),
                      step->direction == BF_FLOW_UP ? "counter-current (up)" : "co-current (down)");
        print_flow(step, bed, units, out);
    } else if (role == BF_ROLE_BRINE) {
        (void)fprintf(out, "%.4g wt%% %s made with %s water, %s, ", 100.0 * step->mass_fraction,
                      bf_salt_symbol(step->salt), step->supply == BF_SUPPLY_SOFT ? "soft" : "raw",
                      step->direction == BF_FLOW_UP ? "counter-current (up)" : "co-current (down)");
        print_flow(step, bed, units, out);
    } else if (role == BF_ROLE_REFILL) {
        (void)fprintf(out, "water for the next brine, ");
        print_flow(step, bed, units, out);
    } else if (role == BF_ROLE_HOLD) {
        (void)fprintf(out, "%.4g min standing", step->duration_s / BF_S_PER_MIN);
    } else {
        (void)fprintf(out, "%.4g BV of %s water, %s, ", step->bed_volumes,
                      step->supply == BF_SUPPLY_SOFT ? "soft" : "raw",
                      step->direction == BF_FLOW_UP ? "up" : "down");
        print_flow(step, bed, units, out);
        if (role == BF_ROLE_BACKWASH) {
            (void)fprintf(out, ", then %.3g %% of the resin mixed", 100.0 * step->mix_share);
        }
    }
    (void)fputc('\n', out);
}

static void print_water(const bf_water *water, bf_unit_system units, const char *prefix, FILE *out)
{
    (void)fprintf(out, "%sfeed: hardness %.4g mg/L as CaCO3 (%.3g gpg), normality %.3g meq/L,",
                  prefix, bf__mg_per_L_CaCO3(water->hardness_eq_per_m3),
                  water->hardness_eq_per_m3 / BF_EQ_PER_M3_PER_GPG, water->normality_eq_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (water->ion_eq_per_m3[i] > 0.0) {
            (void)fprintf(out, " %s %.3g", bf_ion_get((bf_ion)i)->symbol, water->ion_eq_per_m3[i]);
        }
    }
    double celsius = water->temperature_K - BF_K_AT_0_C;
    if (units == BF_UNITS_US) {
        (void)fprintf(out, " meq/L; %.3g F\n", celsius * 1.8 + 32.0);
    } else {
        (void)fprintf(out, " meq/L; %.3g C\n", celsius);
    }
}

static void print_bed(const bf_bed_spec *bed, bf_unit_system units, const char *prefix, FILE *out)
{
    if (units == BF_UNITS_US) {
        (void)fprintf(out,
                      "%sbed: %.3g ft3 of resin, %.3g in across and %.3g in deep, %.3g in of water "
                      "above it\n",
                      prefix, bf_bed_volume_m3(bed) / BF_M3_PER_FT3, bed->diameter_m / BF_M_PER_IN,
                      bed->depth_m / BF_M_PER_IN, bed->freeboard_m / BF_M_PER_IN);
    } else {
        (void)fprintf(
            out,
            "%sbed: %.4g L of resin, %.3g m across and %.3g m deep, %.3g m of water above "
            "it\n",
            prefix, 1e3 * bf_bed_volume_m3(bed), bed->diameter_m, bed->depth_m, bed->freeboard_m);
    }
    (void)fprintf(out, "%sresin: %s, %.3g eq/L of bed, void %.3g, beads of %.3g mm", prefix,
                  bed->resin.name, 1e-3 * bed->resin.capacity_eq_per_m3, bed->resin.void_fraction,
                  1e3 * bed->resin.bead_diameter_m);
    if (bed->resin.uniformity_coefficient > 1.0) {
        (void)fprintf(out, " in the mean, uniformity coefficient %.3g in %zu classes",
                      bed->resin.uniformity_coefficient, bed->bead_classes);
    }
    (void)fputc('\n', out);
}

/* How far the printed numbers are from the equations' own answer. */
static void print_accuracy(const bf_rate_report *report, bf_unit_system units, const char *prefix,
                           FILE *out)
{
    double balance = 0.0;
    double capacity = 0.0;
    double leakage = 0.0;
    int any_rated = 0;
    for (size_t p = 0; p < report->count; p++) {
        const bf_steady_result *steady = &report->points[p].steady;
        balance = fmax(balance, steady->cycle.balance_error);
        if (steady->cycle.outcome == BF_RATED) {
            any_rated = 1;
            capacity = fmax(capacity, steady->capacity_error);
            leakage = fmax(leakage, steady->leakage_error);
        }
    }
    if (any_rated) {
        (void)fprintf(
            out,
            "%ssteady cycle: repeated until capacity is within %.1g %% and mean leakage within "
            "%.1g %% of its limit (estimated)\n",
            prefix, 100.0 * capacity, 100.0 * leakage);
    }
    (void)fprintf(out, "%sbalance: every ion over every step closes to %.1g of the capacity\n",
                  prefix, balance);
    (void)fprintf(out, "%sgrid: %zu cells, %zu shells", prefix, report->page.rating->bed.cells,
                  report->page.rating->bed.shells);
    if (report->page.rating->bed.solver == BF_SOLVER_BANDED) {
        (void)fputs(", solved as a banded matrix of difference quotients", out);
    }
    if (!isnan(report->grid.capacity_error)) {
        double dose = report->grid.dose_kg_per_m3;
        int us = units == BF_UNITS_US;
        (void)fprintf(out,
                      "; it is off by %+.2g %% in capacity and %+.2g %% in mean leakage at %.4g %s "
                      "(estimated from half the cells and one more shell)",
                      100.0 * report->grid.capacity_error, 100.0 * report->grid.leakage_error,
                      us ? dose / BF_KG_PER_M3_PER_LB_PER_FT3 : dose, us ? "lb/ft3" : "g/L");
    }
    (void)fputc('\n', out);
}

static int is_a_flow_shown_above(const char *where)
{
    return strncmp(where, "regeneration.", 13) == 0 || strncmp(where, "service.", 8) == 0;
}

/* Steps were shown with their values: of their defaults the names will do. */
static void print_notes(const bf_notes *notes, const char *prefix, FILE *out)
{
    int any = 0;
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        if (note.kind == BF_NOTE_ASSUMED && is_a_flow_shown_above(note.where)) {
            if (!any) {
                (void)fprintf(out, "%sassumed above, not stated in the case: ", prefix);
            }
            (void)fprintf(out, "%s%s", any ? ", " : "", note.where);
            any = 1;
        }
    }
    if (any) {
        (void)fputc('\n', out);
    }
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        const char *kind = note.kind == BF_NOTE_ASSUMED   ? "assumed"
                           : note.kind == BF_NOTE_DEDUCED ? "deduced"
                                                          : "caution";
        if (note.kind != BF_NOTE_ASSUMED || !is_a_flow_shown_above(note.where)) {
            (void)fprintf(out, "%s%s: %s: %s\n", prefix, kind, note.where, note.text);
        }
    }
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
    print_notes(page->notes, prefix, out);
    bf__wrap_end(prefix, out);
}

void bf__notes_print(const bf_notes *notes, const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    print_notes(notes, prefix, out);
    bf__wrap_end(prefix, out);
}

void bf__accuracy_print(const bf_rate_report *report, bf_unit_system units, const char *prefix,
                        FILE *out)
{
    bf__wrap_begin(out);
    print_accuracy(report, units, prefix, out);
    bf__wrap_end(prefix, out);
}

void bf__cautions_print(const char *prefix, FILE *out)
{
    (void)fprintf(out,
                  "%sA computed estimate for sound resin and steady operation, not a\n"
                  "%scertification. Softening adds sodium (or potassium) to the water, and brine\n"
                  "%sgoes to drain: drinking-water and discharge rules, local codes and licensed\n"
                  "%spractice decide.\n",
                  prefix, prefix, prefix, prefix);
}

void bf__foul_cautions_print(const char *prefix, FILE *out)
{
    (void)fprintf(
        out,
        "%sA computed estimate, not a certification. Softening adds sodium (or\n"
        "%spotassium) to the water, and brine goes to drain: drinking-water and discharge\n"
        "%srules, local codes and licensed practice decide.\n",
        prefix, prefix, prefix);
}
