/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The salts that regenerate: what an equivalent of them weighs, and how much of them dissolves.
 *
 * Saturation: tables in mass per cent, joined by cubic pieces that keep a monotone table monotone
 * (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300).
 * Source, NaCl: Salt Institute, "Chemical and physical properties of salt" (temperatures there are
 * round degrees Fahrenheit). Colder than 0.1 C the solid is NaCl.2H2O, whence the step at the
 * start.
 * Source, KCl: CRC Handbook of Chemistry and Physics, "Aqueous solubility of inorganic compounds at
 * various temperatures", from memory; the tests hold it against other published figures.
 * Not modelled: brine below freezing, mixed NaCl and KCl brine, impurities of the salt.
 */
#include "brinefront/salt.h"

#include "brinefront/convert.h"

#include <assert.h>
#include <stddef.h>

typedef struct saturation_point {
    double t_C;
    double wt_percent;
} saturation_point;

typedef struct saturation_table {
    const saturation_point *points;
    size_t count;
} saturation_table;

static const saturation_point nacl_points[] = {
    {0.0, 26.29},   {0.1, 26.31},   {4.44, 26.33},  {10.0, 26.36},  {15.56, 26.395}, {21.11, 26.45},
    {26.67, 26.52}, {37.78, 26.68}, {51.67, 26.92}, {65.56, 27.21}, {79.44, 27.62},  {100.0, 28.12},
};
static const saturation_point kcl_points[] = {
    {0.0, 21.74},  {10.0, 23.61}, {20.0, 25.39}, {30.0, 27.04}, {40.0, 28.59},  {50.0, 30.04},
    {60.0, 31.40}, {70.0, 32.66}, {80.0, 33.86}, {90.0, 34.99}, {100.0, 36.05},
};

static const saturation_table saturation_tables[BF_SALT_COUNT] = {
    [BF_SALT_NACL] = {nacl_points, sizeof nacl_points / sizeof *nacl_points},
    [BF_SALT_KCL] = {kcl_points, sizeof kcl_points / sizeof *kcl_points},
};

/* Slope of the chord that starts at a point, wt% per K. */
static double chord(const saturation_table *table, size_t i)
{
    const saturation_point *p = &table->points[i];
    return (p[1].wt_percent - p[0].wt_percent) / (p[1].t_C - p[0].t_C);
}

/* Slope at a point: the harmonic mean of its two chords, weighted by their lengths so that uneven
 * tables stay smooth; the chord itself at either end. */
static double slope(const saturation_table *table, size_t i)
{
    if (i == 0) {
        return chord(table, 0);
    }
    if (i == table->count - 1) {
        return chord(table, i - 1);
    }
    const saturation_point *p = &table->points[i];
    double before = p[0].t_C - p[-1].t_C;
    double after = p[1].t_C - p[0].t_C;
    double weight = (before + 2.0 * after) / (3.0 * (before + after));
    double left = chord(table, i - 1);
    double right = chord(table, i);
    return left * right / (weight * right + (1.0 - weight) * left);
}

bf_status bf_brine_saturation(bf_salt salt, double temperature_K, double *mass_fraction,
                              bf_error *err)
{
    assert((unsigned)salt < BF_SALT_COUNT);
    const saturation_table *table = &saturation_tables[salt];
    if (!(temperature_K >= 273.15 && temperature_K <= 373.15)) {
        double t = temperature_K - BF_K_AT_0_C;
        return bf_error_set(err, BF_E_RANGE, "bf_brine_saturation",
                            "temperature is %.1f C (%.0f F); state 0 to 100 C (32 to 212 F)", t,
                            32.0 + 1.8 * t);
    }
    double t = temperature_K - BF_K_AT_0_C;
    size_t i = 0;
    while (i < table->count - 2 && t > table->points[i + 1].t_C) {
        i++;
    }
    const saturation_point *p = &table->points[i];
    double width = p[1].t_C - p[0].t_C;
    double x = (t - p[0].t_C) / width;
    double bend_left = slope(table, i) - chord(table, i);
    double bend_right = slope(table, i + 1) - chord(table, i);
    double on_chord = p[0].wt_percent + x * (p[1].wt_percent - p[0].wt_percent);
    double bend = x * (1.0 - x) * width * ((1.0 - x) * bend_left - x * bend_right);
    *mass_fraction = 0.01 * (on_chord + bend);
    return BF_OK;
}

double bf_salt_equivalent_mass_g_per_eq(bf_salt salt)
{
    assert((unsigned)salt < BF_SALT_COUNT);
    return salt == BF_SALT_NACL ? 58.44 : 74.55;
}

const char *bf_salt_symbol(bf_salt salt)
{
    assert((unsigned)salt < BF_SALT_COUNT);
    return salt == BF_SALT_NACL ? "NaCl" : "KCl";
}
