/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The uncertain constants and their ranges, and a bed with any of them moved.
 */
#include "uncertain.h"

#include "../source.h"
#include "try.h"

#include "brinefront/hydraulics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double gas_constant_J_per_mol_K = 8.314462618; /* CODATA 2018 */

/* Limits of model/resin/resin.c and of the sources there; of conditions what
 * practice allows. */
static const uncertain list[] = {
    {"total capacity", "1.9", "2.0", "2.05 eq/L", "product data: 1.9 to 2.05 typical of 8 % DVB",
     1},
    {"selectivity of Ca", "/ 1.3", "18 mol/kg", "x 1.3",
     "scale against Strelow 1960: a factor 1.3 either way", 1},
    {"selectivity of Mg", "/ 1.3", "11.6 mol/kg", "x 1.3", "as Ca", 1},
    {"selectivity of Ca and Mg in brine", "/ 1.5", "as in water", "x 1.5",
     "co-ions and shrinking above 2 N: a factor 1.5 either way", 1},
    {"strength correction", "none: K_N 2.6 and 1.66", "Pitzer", "-",
     "the scale's ratios read as constants at every strength", 0},
    {"heat of exchange", "-8", "0", "+8 kJ/mol", "soils: +5 to +8; resin not known", 1},
    {"diffusivity of Na in the bead", "6.6e-11", "9.4e-11", "1.5e-10 m2/s",
     "10 % DVB is 0.7 of it; Mackie & Meares' upper bound", 1},
    {"diffusivity of Ca in the bead", "0.6e-11", "1.0e-11", "2.0e-11 m2/s",
     "Zn and Cd in the same resin", 1},
    {"diffusivity of Mg in the bead", "0.6e-11", "1.0e-11", "2.0e-11 m2/s", "as Ca", 1},
    {"activation energies in the bead", "21 and 27", "25 and 30", "25 and 34 kJ/mol",
     "Na 21 to 25, divalent ions 27 to 34; from memory", 1},
    {"film coefficient", "Kataoka", "Wilson & Geankoplis", "-",
     "the latter is the upper of the two laws, by 1.33", 1},
    {"bead diameter", "0.60", "0.65", "0.70 mm", "sieve limits of standard grades", 1},
    {"void fraction", "0.35", "0.38", "0.40", "common practice, no source", 1},
    {"axial dispersion", "/ 2", "Chung & Wen", "x 2", "scatter of their data", 1},
    {"brine strength", "8", "10", "12 %", "resin product data: 8 to 12 %", 1},
    {"salt dose", "-2 %", "as stated", "+2 %", "purity and metering: common practice, no source",
     1},
    {"temperature", "15", "20", "25 C", "a room: common practice, no source", 1}};
enum {
    CAPACITY,
    K_CA,
    K_MG,
    K_BRINE,
    STRENGTH,
    HEAT,
    D_NA,
    D_CA,
    D_MG,
    ACTIVATION,
    FILM,
    BEAD,
    VOID,
    DISPERSION,
    BRINE,
    DOSE,
    TEMPERATURE
};

size_t uncertain_count(void)
{
    return sizeof list / sizeof *list;
}

const uncertain *uncertain_get(size_t which)
{
    return &list[which];
}

bf_status uncertain_bed_of(const char *name, uncertain_bed *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_status status = BF_OK;
    memset(out, 0, sizeof *out);
    TRY(source_read(name, &data, err));
    TRY(source_rating(data.case_text, &out->rating, err));
    /* Small effects are wanted: the cycle settles closer than a rating needs. */
    out->rating.steady.leakage_tolerance = 1e-3;
    out->dispersion_factor = 1.0;
    out->brine_selectivity = 1.0;
    out->brine_diffusivity = 1.0;
    out->dose_factor = 1.0;
done:
    return status;
}

static double even(double low, double high, double position)
{
    return low + (high - low) * position;
}

static double even_factor(double factor, double position)
{
    return pow(factor, 2.0 * position - 1.0);
}

void uncertain_set(uncertain_bed *bed, size_t which, double position)
{
    bf_resin *resin = &bed->rating.bed.resin;
    switch (which) {
    case CAPACITY: resin->total_capacity_eq_per_m3 = even(1900.0, 2050.0, position); break;
    case K_CA: resin->selectivity[BF_ION_CA] *= even_factor(1.3, position); break;
    case K_MG: resin->selectivity[BF_ION_MG] *= even_factor(1.3, position); break;
    case K_BRINE: bed->brine_selectivity = even_factor(1.5, position); break;
    case STRENGTH: bed->constant_coefficients = position < 0.5; break;
    case HEAT: bed->heat_J_per_mol = even(-8e3, 8e3, position); break;
    case D_NA: resin->diffusivity_25C_m2_per_s[BF_ION_NA] = even(6.6e-11, 1.5e-10, position); break;
    case D_CA: resin->diffusivity_25C_m2_per_s[BF_ION_CA] = even(0.6e-11, 2.0e-11, position); break;
    case D_MG: resin->diffusivity_25C_m2_per_s[BF_ION_MG] = even(0.6e-11, 2.0e-11, position); break;
    case ACTIVATION:
        resin->activation_J_per_mol[BF_ION_NA] = even(21e3, 25e3, position);
        resin->activation_J_per_mol[BF_ION_CA] = even(27e3, 34e3, position);
        resin->activation_J_per_mol[BF_ION_MG] = even(27e3, 34e3, position);
        break;
    case FILM:
        bed->rating.bed.film_law = position < 0.5 ? BF_FILM_KATAOKA : BF_FILM_WILSON_GEANKOPLIS;
        break;
    case BEAD: resin->bead_diameter_m = even(0.60e-3, 0.70e-3, position); break;
    case VOID: resin->void_fraction = even(0.35, 0.40, position); break;
    case DISPERSION: bed->dispersion_factor = even_factor(2.0, position); break;
    case BRINE:
        for (size_t s = 0; s < bed->rating.recipe.count; s++) {
            bed->rating.recipe.step[s].mass_fraction = even(0.08, 0.12, position);
        }
        break;
    case DOSE: bed->dose_factor = even(0.98, 1.02, position); break;
    case TEMPERATURE: bed->rating.water.temperature_K = 273.15 + even(15.0, 25.0, position); break;
    default: abort();
    }
}

/* ---- a step in another bed
 * ------------------------------------------------------------------ */

typedef struct substitution {
    const bf_step_type *type;
    bf_step_type own_type;
    bf_bed *bed;
} substitution;

static bf_status run_substitute(const bf_step *step, const bf_site *site, bf_bed *bed,
                                bf_step_result *out, bf_error *err)
{
    const substitution *replacement = step->context;
    bf_step plain = *step;
    bf_status status = BF_OK;
    plain.type = replacement->type;
    TRY(bf_bed_copy(replacement->bed, bed, err));
    TRY(replacement->type->run(&plain, site, replacement->bed, out, err));
    TRY(bf_bed_copy(bed, replacement->bed, err));
done:
    return status;
}

/* Everything one rating holds. */
typedef struct room {
    bf_selectivity *water, *brine;
    bf_bed *bed;
    substitution replacement[BF_RECIPE_STEPS];
    bf_recipe recipe;
} room;

static void leave(room *space)
{
    bf_bed_free(space->bed);
    for (size_t s = 0; s < BF_RECIPE_STEPS; s++) {
        bf_bed_free(space->replacement[s].bed);
    }
    bf_selectivity_free(space->water);
    bf_selectivity_free(space->brine);
}

static bf_status equilibrium(const uncertain_bed *bed, double factor, bf_selectivity **out,
                             bf_error *err)
{
    const double *waters[] = {bed->rating.water.ion_eq_per_m3};
    double kelvin = bed->rating.water.temperature_K;
    double heat =
        exp(-bed->heat_J_per_mol / gas_constant_J_per_mol_K * (1.0 / kelvin - 1.0 / 298.15));
    bf_selectivity_spec spec = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                .ions = bf_ion_set_of(waters, 1),
                                .total_capacity_eq_per_m3 =
                                    bed->rating.bed.resin.total_capacity_eq_per_m3,
                                .temperature_K = kelvin};
    memcpy(spec.constant, bed->rating.bed.resin.selectivity, sizeof spec.constant);
    if (bed->constant_coefficients) {
        /* Ratios to Na of the selectivity scale: 5.16/1.98 and 3.29/1.98, Bonner &
     * Smith 1957. */
        spec.law = BF_EQUILIBRIUM_MASS_ACTION_IDEAL;
        spec.constant[BF_ION_CA] = 2.6;
        spec.constant[BF_ION_MG] = 1.66;
    }
    spec.constant[BF_ION_CA] *= heat * factor;
    spec.constant[BF_ION_MG] *= heat * factor;
    return bf_selectivity_create(&spec, out, err);
}

static bf_status dispersion(const uncertain_bed *bed, const bf_step *step, double *out,
                            bf_error *err)
{
    double kelvin = bed->rating.water.temperature_K;
    bf_fluid fluid;
    bf_status status = step->type->role == BF_ROLE_BRINE
                           ? bf_fluid_of_brine(step->salt, step->mass_fraction, kelvin, &fluid, err)
                           : bf_fluid_of_water(kelvin, &fluid, err);
    *out = status == BF_OK ? bed->dispersion_factor *
                                 bf_dispersion_m2_per_s(&fluid, step->velocity_m_per_s,
                                                        bed->rating.bed.resin.bead_diameter_m)
                           : (double)NAN;
    return status;
}

/* Give every step but service a bed of its own; the main bed is that of
 * service. */
static bf_status furnish(const uncertain_bed *bed, room *space, bf_error *err)
{
    bf_status status = BF_OK;
    bf_rating_spec main_bed = bed->rating;
    TRY(equilibrium(bed, 1.0, &space->water, err));
    TRY(equilibrium(bed, bed->brine_selectivity, &space->brine, err));
    TRY(dispersion(bed, &bed->rating.recipe.step[0], &main_bed.bed.dispersion_m2_per_s, err));
    TRY(bf_rating_bed(&main_bed, space->water, &space->bed, err));
    space->recipe = bed->rating.recipe;
    for (size_t s = 1; s < space->recipe.count; s++) {
        bf_step *step = &space->recipe.step[s];
        substitution *substitute = &space->replacement[s];
        int strong = step->type->role == BF_ROLE_BRINE || step->type->role == BF_ROLE_SLOW_RINSE;
        bf_rating_spec other = bed->rating;
        for (size_t i = 0; strong && i < BF_CATION_COUNT; i++) {
            other.bed.resin.diffusivity_25C_m2_per_s[i] *= bed->brine_diffusivity;
        }
        TRY(dispersion(bed, step, &other.bed.dispersion_m2_per_s, err));
        TRY(bf_rating_bed(&other, strong ? space->brine : space->water, &substitute->bed, err));
    }
done:
    return status;
}

/* Only now, as the dose is set by a step's own type. */
static void hang(room *space)
{
    for (size_t s = 1; s < space->recipe.count; s++) {
        bf_step *step = &space->recipe.step[s];
        substitution *substitute = &space->replacement[s];
        substitute->type = step->type;
        substitute->own_type = *step->type;
        substitute->own_type.run = run_substitute;
        step->type = &substitute->own_type;
        step->context = substitute;
    }
}

bf_status uncertain_rate(const uncertain_bed *bed, double dose_kg_per_m3, bf_steady_result *out,
                         bf_error *err)
{
    static room space; /* too large for the stack */
    bf_site site = bf_rating_site(&bed->rating);
    bf_status status = BF_OK;
    memset(&space, 0, sizeof space);
    TRY(furnish(bed, &space, err));
    bf_recipe_set_dose(&space.recipe, dose_kg_per_m3 * bed->dose_factor);
    hang(&space);
    TRY(bf_rating_exhaust(&bed->rating, space.water, space.bed, err));
    TRY(bf_cycle_regenerate(&space.recipe, &site, space.bed, err));
    TRY(bf_steady_run(&space.recipe, &site, &bed->rating.steady, space.bed, out, err));
done:
    leave(&space);
    return status;
}
