/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The constants behind a rating that are not known well, and the limits their sources leave.
 *
 * Limits are relative to the case's own values: what a source says of standard 8 % gel (capacity
 * 1.9 to 2.05 eq/L about 2.0) is carried over to the resin of the case in proportion. The case's
 * own value is the middle of the distribution also where the limits are not alike on both sides;
 * the density then has a step there, and the median of each constant is the case's own.
 *
 * Limits of model/resin/resin.c and of the sources there; of conditions what practice allows.
 *
 * Not moved: the selectivity in brine apart from that in water (co-ions and shrinking: a factor 1.5
 * either way) and the heat of exchange (-8 to +8 kJ/mol), for which the model has no constant of
 * its own; the strength correction; beads of several sizes; uneven flow. What they do to two
 * published tables is in docs/validation.md.
 */
#include "brinefront/band.h"

#include "brinefront/brine.h"

#include <math.h>

static const bf_uncertain list[] = {
    {"total capacity", "-5 %", "+2.5 %", "product data: 1.9 to 2.05 typical of 8 % DVB", 0},
    {"selectivity of Ca", "/ 1.3", "x 1.3", "scale against Strelow 1960: a factor 1.3 either way",
     0},
    {"selectivity of Mg", "/ 1.3", "x 1.3", "as Ca", 0},
    {"diffusivity of Na in the bead", "x 0.7", "x 1.6",
     "10 % DVB is 0.7 of it; Mackie & Meares' upper bound", 0},
    {"diffusivity of Ca in the bead", "x 0.6", "x 2", "Zn and Cd in the same resin", 0},
    {"diffusivity of Mg in the bead", "x 0.6", "x 2", "as Ca", 0},
    {"activation energies in the bead", "Na -16 %, Ca and Mg -10 %", "Ca and Mg +13 %",
     "Na 21 to 25, divalent ions 27 to 34; from memory", 0},
    {"film coefficient", "the other law", "as in the case",
     "Wilson & Geankoplis is the upper of the two laws, by 1.33", 1},
    {"bead diameter", "-8 %", "+8 %", "sieve limits of standard grades", 0},
    {"void fraction", "-0.03", "+0.02", "common practice, no source", 0},
    {"axial dispersion", "/ 2", "x 2", "scatter of their data", 0},
    {"temperature", "-5 K", "+5 K", "a room: common practice, no source", 0},
    {"brine strength", "-20 %", "+20 %", "resin product data: 8 to 12 %", 0},
    {"salt dose", "-2 %", "+2 %", "purity and metering: common practice, no source", 0}};

enum {
    CAPACITY,
    K_CA,
    K_MG,
    D_NA,
    D_CA,
    D_MG,
    ACTIVATION,
    FILM,
    BEAD,
    VOID,
    DISPERSION,
    TEMPERATURE, /* before the brine, whose saturation depends on it */
    BRINE,
    DOSE
};

size_t bf_uncertain_count(void)
{
    return sizeof list / sizeof *list;
}

bf_uncertain bf_uncertain_get(size_t index)
{
    return index < bf_uncertain_count() ? list[index] : (bf_uncertain){0};
}

/* From `low` over `own` to `high`; exactly `own` in the middle. */
static double even(double low, double own, double high, double position)
{
    return position < 0.5 ? own + (low - own) * (1.0 - 2.0 * position)
                          : own + (high - own) * (2.0 * position - 1.0);
}

/* The same within the model's range. */
static double even_within(double least, double low, double own, double high, double most,
                          double position)
{
    return even(fmax(low, least), own, fmin(high, most), position);
}

/* From `own * low` to `own * high`, evenly in the logarithm. */
static double even_factor(double least, double low, double own, double high, double most,
                          double position)
{
    double limit = position < 0.5 ? fmax(low * own, least) : fmin(high * own, most);
    return own * pow(limit / own, fabs(2.0 * position - 1.0));
}

static void move_diffusivity(bf_resin *resin, bf_ion ion, double low, double high, double position)
{
    double *own = &resin->diffusivity_25C_m2_per_s[ion];
    *own = even_factor(1e-14, low, *own, high, 1e-8, position);
}

static void move_activation(bf_resin *resin, bf_ion ion, double low, double high, double position)
{
    double *own = &resin->activation_J_per_mol[ion];
    *own = even_within(0.0, low * *own, *own, high * *own, 100e3, position);
}

/* Multiply the strength of every brine, and keep it below saturation at the rating's temperature.
 */
static void move_brine(bf_rating_spec *rating, double position)
{
    for (size_t s = 0; s < rating->recipe.count; s++) {
        bf_step *step = &rating->recipe.step[s];
        double saturated = 0.0;
        if (step->type->role == BF_ROLE_BRINE &&
            bf_brine_saturation(step->salt, rating->water.temperature_K, &saturated, NULL) ==
                BF_OK) {
            double own = fmin(step->mass_fraction, saturated);
            step->mass_fraction = even(0.8 * own, own, fmin(1.2 * own, saturated), position);
        }
    }
}

void bf_uncertain_set(bf_rating_spec *rating, size_t index, double position, double *dose_kg_per_m3)
{
    bf_bed_spec *bed = &rating->bed;
    bf_resin *resin = &bed->resin;
    const double place = fmin(fmax(position, 0.0), 1.0);
    double *own = NULL;
    switch (index) {
    case CAPACITY:
        own = &resin->total_capacity_eq_per_m3;
        *own = even_within(500.0, 0.95 * *own, *own, 1.025 * *own, 4000.0, place);
        break;
    case K_CA:
    case K_MG:
        own = &resin->selectivity[index == K_CA ? BF_ION_CA : BF_ION_MG];
        *own = even_factor(1e-3, 1.0 / 1.3, *own, 1.3, 1e4, place);
        break;
    case D_NA: move_diffusivity(resin, BF_ION_NA, 0.7, 1.6, place); break;
    case D_CA: move_diffusivity(resin, BF_ION_CA, 0.6, 2.0, place); break;
    case D_MG: move_diffusivity(resin, BF_ION_MG, 0.6, 2.0, place); break;
    case ACTIVATION: /* 21 of 25 kJ/mol; 27 and 34 of 30 */
        move_activation(resin, BF_ION_NA, 0.84, 1.0, place);
        move_activation(resin, BF_ION_CA, 0.9, 34.0 / 30.0, place);
        move_activation(resin, BF_ION_MG, 0.9, 34.0 / 30.0, place);
        break;
    case FILM:
        if (place < 0.5) {
            bed->film_law =
                bed->film_law == BF_FILM_KATAOKA ? BF_FILM_WILSON_GEANKOPLIS : BF_FILM_KATAOKA;
        }
        break;
    case BEAD: /* 0.60 to 0.70 of 0.65 mm */
        own = &resin->bead_diameter_m;
        *own = even_within(0.1e-3, 0.60 / 0.65 * *own, *own, 0.70 / 0.65 * *own, 2e-3, place);
        break;
    case VOID:
        own = &resin->void_fraction;
        *own = even_within(0.2, *own - 0.03, *own, *own + 0.02, 0.6, place);
        break;
    case DISPERSION:
        own = &bed->dispersion_factor;
        *own = even_factor(0.1, 0.5, *own, 2.0, 10.0, place);
        break;
    case TEMPERATURE:
        own = &rating->water.temperature_K;
        *own = even_within(273.15, *own - 5.0, *own, *own + 5.0, 323.15, place);
        move_brine(rating, 0.5);
        break;
    case BRINE: move_brine(rating, place); break;
    case DOSE:
        if (dose_kg_per_m3 != NULL) {
            *dose_kg_per_m3 =
                even(0.98 * *dose_kg_per_m3, *dose_kg_per_m3, 1.02 * *dose_kg_per_m3, place);
        }
        break;
    default: break;
    }
}
