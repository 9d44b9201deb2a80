/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the physics that a rating leaves out would do, where the public API can
 * be made to show its size: bead sizes, uneven flow, co-ions, shrinking, other
 * anions. Bed of resin_bulletin/case.yaml; grounds of every number in
 * physics.md.
 *
 *   validation_limits --write FILE | --print FILE | --compare FILE [--every N]
 */
#include "lanes.h"
#include "table.h"

#include "try.h"

#include "brinefront/activity.h"
#include "brinefront/convert.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

typedef enum limit_kind {
    ONE_SIZE, /* number: diameter over the surface mean */
    CLASSES,  /* number: uniformity coefficient; each class in a bed of its own */
    SHARED,   /* number: the same; classes share the pore water, as the program has
             them */
    FIVE,     /* number: share by which the fastest lane is faster than the mean */
    HALVES,
    FIVE_SERVICE, /* brine and rinses even */
    BRINE_K,      /* number: factor */
    BRINE_D,
    ANIONS /* number: share of sulfate, the rest bicarbonate */
} limit_kind;

static const struct {
    const char *name;
    limit_kind kind;
    double number;
} list[] = {{"bead sizes: the volume median of UC 1.6 as the one size (0.63 mm)", ONE_SIZE, +0.5},
            {"bead sizes: the number median of UC 1.6 as the one size (0.47 mm)", ONE_SIZE, -2.5},
            {"bead sizes: UC 1.1; in one pore water", SHARED, 1.1},
            {"bead sizes: UC 1.6; in one pore water", SHARED, 1.6},
            {"bead sizes: UC 1.9; in one pore water", SHARED, 1.9},
            {"bead sizes: UC 1.6; five classes each in a bed of its own", CLASSES, 1.6},
            {"bead sizes: UC 1.9; five classes each in a bed of its own", CLASSES, 1.9},
            {"flow: five lanes evenly from -5 to +5 %", FIVE, 0.05},
            {"flow: five lanes evenly from -10 to +10 %", FIVE, 0.10},
            {"flow: two halves at -5 and +5 %", HALVES, 0.05},
            {"flow: two halves at -10 and +10 %", HALVES, 0.10},
            {"flow: five lanes from -10 to +10 % in service alone", FIVE_SERVICE, 0.10},
            {"co-ions: selectivity in brine x 1.11", BRINE_K, 1.11},
            {"co-ions: diffusivities in brine x 1.11", BRINE_D, 1.11},
            {"shrinking in brine: diffusivities in brine x 0.9", BRINE_D, 0.9},
            {"smaller in Ca form: beads of 0.59 mm", ONE_SIZE, 0.0},
            {"anions: feed of bicarbonate alone", ANIONS, 0.0},
            {"anions: feed half sulfate; half bicarbonate", ANIONS, 0.5}};

static const char *name(size_t line)
{
    return list[line].name;
}

/* ---- bead sizes
 * -----------------------------------------------------------------------------
 */

/* Standard deviation of the logarithm of a lognormal distribution by volume:
 * uniformity coefficient UC = d60/d10. */
static double sigma_of(double uniformity)
{
    return log(uniformity) / (gsl_cdf_ugaussian_Pinv(0.6) - gsl_cdf_ugaussian_Pinv(0.1));
}

/* Classes of equal volume, each at its surface mean, around the surface mean of
 * all: 1/d_k = (K/d32) [Phi(b_k + sigma) - Phi(a_k + sigma)]. */
static void classes(double uniformity, double surface_mean_m, lanes *out)
{
    const double sigma = sigma_of(uniformity);
    double below = 0.0;
    out->count = 5;
    for (size_t k = 0; k < out->count; k++) {
        double part = (double)(k + 1) / (double)out->count;
        double above =
            k + 1 < out->count ? gsl_cdf_ugaussian_P(gsl_cdf_ugaussian_Pinv(part) + sigma) : 1.0;
        out->bead_m[k] = surface_mean_m / ((double)out->count * (above - below));
        out->share[k] = 1.0 / (double)out->count;
        out->velocity[k] = 1.0;
        below = above;
    }
}

/* ---- flow
 * -----------------------------------------------------------------------------------
 */

static void uneven(size_t count, double spread, double bead_m, lanes *out)
{
    out->count = count;
    for (size_t k = 0; k < count; k++) {
        double place = count > 1 ? 2.0 * (double)k / (double)(count - 1) - 1.0 : 0.0;
        out->share[k] = 1.0 / (double)count;
        out->velocity[k] = 1.0 + spread * place;
        out->bead_m[k] = bead_m;
    }
}

static bf_status lanes_effect(const bf_rating_spec *spec, const lanes *group, effect *out,
                              bf_error *err)
{
    effect base;
    bf_status status = BF_OK;
    TRY(table_base(&base, err));
    for (size_t d = 0; d < TABLE_DOSES; d++) {
        double capacity;
        double leakage;
        TRY(lanes_rate(spec, group, table_dose_kg_per_m3(d), &capacity, &leakage, err));
        out->capacity[d] = 100.0 * (capacity / base.capacity[d] - 1.0);
        out->leakage[d] = 100.0 * (leakage / base.leakage[d] - 1.0);
    }
done:
    return status;
}

/* ---- anions
 * ---------------------------------------------------------------------------------
 */

/* gamma_Na^2/gamma of a divalent cation in the feed with other anions, over
 * that with chloride alone: what the model's chloride feed leaves out. */
static bf_status anion_ratio(const bf_water *water, bf_ion ion, double sulfate, double *out,
                             bf_error *err)
{
    double ratio[2];
    bf_status status = BF_OK;
    for (int other = 0; other < 2; other++) {
        double molality[BF_ION_COUNT] = {0};
        double ln_gamma[BF_ION_COUNT];
        double normality = 1e-3 * water->normality_eq_per_m3; /* eq/kg of dilute water */
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            molality[i] = 1e-3 * water->ion_eq_per_m3[i] / bf_ion_get((bf_ion)i)->charge;
        }
        molality[BF_ION_CL] = other ? 0.0 : normality;
        molality[BF_ION_HCO3] = other ? (1.0 - sulfate) * normality : 0.0;
        molality[BF_ION_SO4] = other ? 0.5 * sulfate * normality : 0.0;
        TRY(bf_activity_ln_gamma(molality, water->temperature_K, ln_gamma, err));
        ratio[other] = exp(2.0 * ln_gamma[BF_ION_NA] - ln_gamma[ion]);
    }
    *out = ratio[1] / ratio[0];
done:
    return status;
}

static bf_status anions(double sulfate, uncertain_bed *bed, bf_error *err)
{
    double calcium;
    double magnesium;
    bf_status status = BF_OK;
    TRY(anion_ratio(&bed->rating.water, BF_ION_CA, sulfate, &calcium, err));
    TRY(anion_ratio(&bed->rating.water, BF_ION_MG, sulfate, &magnesium, err));
    bed->rating.bed.resin.selectivity[BF_ION_CA] /= calcium;
    bed->rating.bed.resin.selectivity[BF_ION_MG] /= magnesium;
    bed->brine_selectivity = calcium; /* the brine is chloride: nothing changes there */
done:
    return status;
}

/* ---- the table
 * ------------------------------------------------------------------------------
 */

static bf_status compute(size_t line, effect *out, bf_error *err)
{
    uncertain_bed bed;
    lanes group = {0};
    bf_status status = BF_OK;
    const double number = list[line].number;
    TRY(uncertain_bed_of("resin_bulletin", &bed, err));
    double *bead_m = &bed.rating.bed.resin.bead_diameter_m;
    switch (list[line].kind) {
    case ONE_SIZE: {
        /* Surface mean to median of the volume (+1/2) and of the number (-5/2) of a
     * lognormal. */
        double sigma = sigma_of(1.6);
        *bead_m = number == 0.0 ? 0.59e-3 : *bead_m * exp(number * sigma * sigma);
        break;
    }
    case SHARED: bed.rating.bed.resin.uniformity_coefficient = number; break;
    case CLASSES: classes(number, *bead_m, &group); break;
    case FIVE: uneven(5, number, *bead_m, &group); break;
    case HALVES: uneven(2, number, *bead_m, &group); break;
    case FIVE_SERVICE:
        uneven(5, number, *bead_m, &group);
        group.service_only = 1;
        break;
    case BRINE_K: bed.brine_selectivity = number; break;
    case BRINE_D: bed.brine_diffusivity = number; break;
    case ANIONS: TRY(anions(number, &bed, err)); break;
    }
    TRY(group.count > 0 ? lanes_effect(&bed.rating, &group, out, err)
                        : table_effect(&bed, out, err));
done:
    return status;
}

/* ---- several sizes in ONE pore water: the independent solution
 * ------------------------------- */

enum { SHARED_ROWS = 24 };

typedef struct shared_row {
    double uniformity, classes, pounds, capacity, leakage_mg;
    double smallest_mm;
    char cut[8]; /* "parts" of equal volume, or the program's own "nodes" */
} shared_row;

static size_t read_shared(shared_row *out)
{
    char text[300];
    size_t count = 0;
    FILE *file = fopen(BF_SOURCE_DIR "/validation/independent/bead_classes.csv", "r");
    while (file != NULL && count < SHARED_ROWS && fgets(text, sizeof text, file) != NULL) {
        shared_row *row = &out[count];
        count += sscanf(text, "%lf,%lf,%7[a-z],%lf,%lf,%lf,%lf", &row->uniformity, &row->classes,
                        row->cut, &row->pounds, &row->capacity, &row->leakage_mg,
                        &row->smallest_mm) == 7;
    }
    if (file != NULL) {
        (void)fclose(file);
    }
    return count;
}

/* One size and the program's own classes must come to what the program has on
 * the same grid; parts of equal volume must be the lanes above. */
static bf_status check_shared(bf_error *err)
{
    shared_row row[SHARED_ROWS];
    uncertain_bed bed;
    size_t looked = 0;
    bf_status status = BF_OK;
    size_t rows = read_shared(row);
    TRY(uncertain_bed_of("resin_bulletin", &bed, err));
    bed.rating.bed.cells = 60;
    bed.rating.bed.shells = 4;
    bed.rating.bed.shell_law = BF_SHELLS_EQUAL;
    /* That solution is of beads around 0.6 mm under water that is always stirred. */
    bed.rating.bed.resin.bead_diameter_m = 0.6e-3;
    bed.rating.bed.freeboard_law = BF_FREEBOARD_STIRRED;
    for (size_t r = 0; r < rows && status == BF_OK; r++) {
        double off = 0.0;
        if (row[r].classes < 1.5 || strcmp(row[r].cut, "nodes") == 0) {
            bf_steady_result steady;
            bed.rating.bed.resin.uniformity_coefficient = row[r].uniformity;
            bed.rating.bed.bead_classes = (size_t)row[r].classes;
            TRY(uncertain_rate(&bed, row[r].pounds * BF_KG_PER_M3_PER_LB_PER_FT3, &steady, err));
            double leakage_mg =
                steady.cycle.leakage_mean_eq_per_m3 / BF_EQ_PER_M3_PER_MG_PER_L_CACO3;
            off = fmax(fabs(steady.cycle.capacity_eq_per_m3 / row[r].capacity - 1.0) / 0.002,
                       fabs(leakage_mg / row[r].leakage_mg - 1.0) / 0.02);
            looked++;
        } else if (row[r].classes > 4.5) {
            lanes group;
            classes(row[r].uniformity, bed.rating.bed.resin.bead_diameter_m, &group);
            off = fabs(1e3 * group.bead_m[0] / row[r].smallest_mm - 1.0) / 0.001;
            looked++;
        }
        if (!(off < 1.0)) {
            status = bf_error_set(err, BF_E_INPUT, "bead_classes.csv",
                                  "UC %g at %g lb/ft3 is not this bed", row[r].uniformity,
                                  row[r].pounds);
        }
    }
    if (status == BF_OK && looked < 4 * (size_t)TABLE_DOSES) {
        status = bf_error_set(err, BF_E_INPUT, "bead_classes.csv", "lacks rows");
    }
done:
    return status;
}

/* One lane alone must give the plain rating. */
static bf_status check(bf_error *err)
{
    uncertain_bed bed;
    lanes group = {0};
    effect base;
    double capacity;
    double leakage;
    bf_status status = BF_OK;
    TRY(check_shared(err));
    TRY(table_base(&base, err));
    TRY(uncertain_bed_of("resin_bulletin", &bed, err));
    uneven(1, 0.0, bed.rating.bed.resin.bead_diameter_m, &group);
    TRY(lanes_rate(&bed.rating, &group, table_dose_kg_per_m3(1), &capacity, &leakage, err));
    double off = fmax(fabs(capacity / base.capacity[1] - 1.0) / 5e-4,
                      fabs(leakage / base.leakage[1] - 1.0) / 5e-3);
    if (!(off < 1.0)) {
        status = bf_error_set(err, BF_E_SOLVER, "one lane",
                              "capacity %g, mean leakage %g; the plain rating has %g and %g",
                              capacity, leakage, base.capacity[1], base.leakage[1]);
    }
done:
    return status;
}

/* ---- the page
 * -------------------------------------------------------------------------------
 */

static void print_shared(void)
{
    shared_row row[SHARED_ROWS];
    size_t rows = read_shared(row);
    (void)printf("\nSeveral sizes in ONE pore water, which is what a bed is: a second "
                 "solution "
                 "in SciPy, 60 cells, 4 equal "
                 "shells\n(`validation/independent/bead_classes.py`), "
                 "change against one size there. Nodes are the program's own "
                 "classes:\nthe program "
                 "on the same grid must come to the same capacity within 0.2 %% and "
                 "leakage within "
                 "2 %%. Parts are of\nequal volume.\n\n"
                 "| uniformity coefficient | classes | dose | capacity | mean leakage |\n"
                 "|---|---|---|---|---|\n");
    for (size_t r = 0; r < rows; r++) {
        for (size_t b = 0; b < rows && row[r].classes > 1.5; b++) {
            if (row[b].classes < 1.5 && row[b].pounds == row[r].pounds) {
                (void)printf("| %g | %g %s | %g lb/ft3 | %+.1f %% | %+.1f %% |\n",
                             row[r].uniformity, row[r].classes, row[r].cut, row[r].pounds,
                             100.0 * (row[r].capacity / row[b].capacity - 1.0),
                             100.0 * (row[r].leakage_mg / row[b].leakage_mg - 1.0));
            }
        }
    }
}

static void print(const effect *lines)
{
    (void)printf("## Physics left out\n\n"
                 "Change of computed capacity and mean leakage, %%, bed of "
                 "`validation/published/resin_bulletin/case.yaml`, 6, 10 and\n15 lb/ft3. "
                 "Written "
                 "by `validation_limits`; grounds of the numbers below the tables.\n\n"
                 "| what is put in | capacity, 6 | 10 | 15 | leakage, 6 | 10 | 15 |\n"
                 "|---|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < sizeof list / sizeof *list; i++) {
        (void)printf("| %s |", list[i].name);
        for (size_t d = 0; d < TABLE_DOSES; d++) {
            (void)printf(" ");
            table_print_number(lines[i].capacity[d]);
            (void)printf(" |");
        }
        for (size_t d = 0; d < TABLE_DOSES; d++) {
            (void)printf(" ");
            table_print_number(lines[i].leakage[d]);
            (void)printf(" |");
        }
        (void)printf("\n");
    }
    print_shared();
}

int main(int count, char **arguments)
{
    const table rows = {
        "validation_limits", sizeof list / sizeof *list, name, compute, check, print};
    return table_main(&rows, count, arguments);
}
