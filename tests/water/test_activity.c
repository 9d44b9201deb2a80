/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pitzer's equations: the mixing integral against quadrature of its definition, the slope A_phi
 * against first principles, coefficients against published tables, and thermodynamic consistency.
 */
#include "brinefront/activity.h"
#include "brinefront/convert.h"
#include "brinefront/fluid.h"
#include "support.h"
#include "water/mixing.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void coefficients(const double molality[BF_ION_COUNT], double ln_gamma[BF_ION_COUNT])
{
    bf_error err = {0};
    assert_ok(bf_activity_ln_gamma(molality, 298.15, ln_gamma, &err));
}

/* Mean activity coefficient of one salt alone at 25 C. */
static double mean_gamma(bf_ion cation, bf_ion anion, double salt_molality)
{
    int salt_cations = abs(bf_ion_get(anion)->charge);
    int salt_anions = bf_ion_get(cation)->charge;
    if (salt_cations == salt_anions) {
        salt_cations = salt_anions = 1;
    }
    double molality[BF_ION_COUNT] = {0};
    double ln_gamma[BF_ION_COUNT];
    molality[cation] = salt_cations * salt_molality;
    molality[anion] = salt_anions * salt_molality;
    coefficients(molality, ln_gamma);
    return exp((salt_cations * ln_gamma[cation] + salt_anions * ln_gamma[anion]) /
               (salt_cations + salt_anions));
}

static double ratio(bf_ion ion, bf_salt background, double molality)
{
    bf_error err = {0};
    double value = NAN;
    assert_ok(bf_activity_ratio(ion, background, molality, 298.15, &value, &err));
    return value;
}

/* [1 - exp(-(x/y) e^-y)] y^2 */
static double pitzer_integrand(double y, void *parameter)
{
    double x = *(double *)parameter;
    return y > 0.0 ? -expm1(-x / y * exp(-y)) * y * y : 0.0;
}

/* Its derivative with respect to x. */
static double pitzer_integrand_slope(double y, void *parameter)
{
    double x = *(double *)parameter;
    return y > 0.0 ? y * exp(-y - x / y * exp(-y)) : 0.0;
}

static double integrate(double (*integrand)(double, void *), double x)
{
    gsl_error_handler_t *handler = gsl_set_error_handler_off();
    gsl_integration_workspace *workspace = gsl_integration_workspace_alloc(4000);
    gsl_function function = {integrand, &x};
    double value = 0.0;
    double uncertainty = 0.0;
    int status =
        gsl_integration_qagiu(&function, 0.0, 1e-14, 1e-13, 4000, workspace, &value, &uncertainty);
    ck_assert_msg(status == GSL_SUCCESS || uncertainty < 1e-12 * value, "qagiu at %g: %s", x,
                  gsl_strerror(status));
    gsl_integration_workspace_free(workspace);
    (void)gsl_set_error_handler(handler);
    return value;
}

START_TEST(mixing_integral_is_its_definition)
{
    /* 32 is x for two divalent ions at ionic strength 12. Below 0.3 the definition itself cancels:
     * its error over J grows like 1e-15/x^3, which stays under 1e-11 here. */
    const double points[] = {0.0713, 0.1493, 0.334, 0.747, 1.0, 2.349, 5.876, 9.613, 17.31, 32.5};
    for (size_t i = 0; i < COUNT(points); i++) {
        double x = points[i];
        double k = integrate(pitzer_integrand, x);
        double dk = integrate(pitzer_integrand_slope, x);
        double j = 0.25 * x - 1.0 + k / x;
        double x_dj = 0.25 * x - k / x + dk;
        bf__mixing found = bf__mixing_integral(x);
        assert_near(x * x * found.j_over_x2, j, 1e-10);
        assert_near(x * x * found.x_dj_over_x2, x_dj, 1e-10);
    }
}
END_TEST

START_TEST(mixing_integral_agrees_with_its_published_table)
{
    /* J(1) = 0.116437: K. S. Pitzer, J. Solution Chem. 4 (1975) 249, from memory; six digits. */
    assert_near_abs(bf__mixing_integral(1.0).j_over_x2, 0.116437, 5.1e-7);
}
END_TEST

START_TEST(mixing_integral_has_its_limit)
{
    /* J -> -(x^2/6) ln x + const x^2 for small x, so x dJ/dx - 2 J -> -x^2/6; the next term is of
     * order x ln x. */
    for (double x = 1e-13; x < 1e-5; x *= 13.7) {
        bf__mixing m = bf__mixing_integral(x);
        assert_near_abs(m.x_dj_over_x2 - 2.0 * m.j_over_x2, -1.0 / 6.0, -x * log(x));
    }
}
END_TEST

START_TEST(mixing_derivative_is_the_derivative)
{
    unsigned long long seed = 5;
    for (int k = 0; k < 60; k++) {
        double x = exp(-7.0 + 11.0 * support_uniform(&seed));
        double h = 1e-3;
        double up = exp(2.0 * h) * bf__mixing_integral(x * exp(h)).j_over_x2;
        double down = exp(-2.0 * h) * bf__mixing_integral(x * exp(-h)).j_over_x2;
        /* Central difference in ln x: error h^2/6 of the third derivative, which is no larger than
         * 10 times the first. */
        assert_near((up - down) / (2.0 * h), bf__mixing_integral(x).x_dj_over_x2, 2e-6);
    }
}
END_TEST

/* Static permittivity of water at 1 bar: D. J. Bradley and K. S. Pitzer, J. Phys. Chem. 83 (1979)
 * 1599, table I. */
static double permittivity(double t_K)
{
    double at_1000_bar = 3.4279e2 * exp(-5.0866e-3 * t_K + 9.4690e-7 * t_K * t_K);
    double c = -2.0525 + 3.1159e3 / (-1.8289e2 + t_K);
    double b = -8.0325e3 + 4.2142e6 / t_K + 2.1417 * t_K;
    return at_1000_bar + c * log((b + 1.0) / (b + 1000.0));
}

/* A_phi = (1/3) sqrt(2 pi N rho) (e^2/(4 pi eps0 eps k T))^1.5, CODATA 2018. */
static double slope_from_first_principles(double t_K)
{
    bf_error err = {0};
    bf_fluid water = {0};
    assert_ok(bf_fluid_of_water(t_K, &water, &err));
    double charge = 1.602176634e-19;
    double length =
        charge * charge / (4.0 * BF_PI * 8.8541878128e-12 * permittivity(t_K) * 1.380649e-23 * t_K);
    return sqrt(2.0 * BF_PI * 6.02214076e23 * water.density_kg_per_m3) * pow(length, 1.5) / 3.0;
}

/* What the code uses, read off the limiting law at 1e-10 mol/kg, where the rest is 1e-5 of it. */
static double slope_in_use(double t_K)
{
    bf_error err = {0};
    double molality[BF_ION_COUNT] = {0};
    double ln_gamma[BF_ION_COUNT];
    double m = 1e-10;
    molality[BF_ION_NA] = m;
    molality[BF_ION_CL] = m;
    assert_ok(bf_activity_ln_gamma(molality, t_K, ln_gamma, &err));
    double root = sqrt(m);
    return -ln_gamma[BF_ION_NA] / (root / (1.0 + 1.2 * root) + 2.0 / 1.2 * log1p(1.2 * root));
}

START_TEST(slope_agrees_with_first_principles)
{
    /* 0.3915 at 25 C: Pitzer (1991). The two permittivities behind the formulas part by 0.2 %. */
    assert_near_abs(slope_in_use(298.15), 0.3915, 5.1e-5);
    for (double t_C = 0.0; t_C <= 100.0; t_C += 12.5) {
        assert_near(slope_in_use(273.15 + t_C), slope_from_first_principles(273.15 + t_C), 2e-3);
    }
}
END_TEST

typedef struct salt_table {
    const char *source;
    bf_ion cation, anion;
    double tolerance;
    double rows[12][2]; /* molality, mean coefficient; ends with 0 */
} salt_table;

/* 25 C. CRC: CRC Handbook, 92nd ed., "Mean activity coefficients". KL: Kaye and Laby, 3.9.6. RS:
 * Robinson and Stokes, Electrolyte Solutions (1959), from memory. Each tolerance is what separates
 * the published fit from the table, the worst row rounded up; sulfates and alkaline earths are
 * worst because the tables themselves differ by 2-3 % (CaCl2 at 0.1: CRC 0.517, RS 0.518; K2SO4:
 * CRC 0.424, RS 0.441). */
static const salt_table salt_tables[] = {
    {"Pitzer, Peiper and Busey, J. Phys. Chem. Ref. Data 13 (1984) 1, p. 53",
     BF_ION_NA,
     BF_ION_CL,
     3.5e-3,
     {{0.1, 0.778},
      {0.25, 0.720},
      {0.5, 0.681},
      {0.75, 0.665},
      {1, 0.657},
      {2, 0.669},
      {3, 0.714},
      {4, 0.782},
      {5, 0.873},
      {6, 0.987}}},
    {"KL", BF_ION_K, BF_ION_CL, 5e-3, {{0.1, 0.770}, {0.2, 0.718}, {0.4, 0.666}, {0.6, 0.637}}},
    {"RS", BF_ION_K, BF_ION_CL, 5e-3, {{1, 0.604}, {2, 0.573}, {3, 0.569}, {4, 0.577}}},
    {"CRC (Staples)",
     BF_ION_CA,
     BF_ION_CL,
     0.025,
     {{0.001, 0.888},
      {0.002, 0.851},
      {0.005, 0.787},
      {0.01, 0.727},
      {0.02, 0.664},
      {0.05, 0.577},
      {0.1, 0.517},
      {0.2, 0.469},
      {0.5, 0.444},
      {1, 0.495},
      {2, 0.784}}},
    {"CRC (Goldberg)",
     BF_ION_MG,
     BF_ION_CL,
     0.013,
     {{0.001, 0.889},
      {0.002, 0.852},
      {0.005, 0.790},
      {0.01, 0.734},
      {0.02, 0.672},
      {0.05, 0.590},
      {0.1, 0.535},
      {0.2, 0.493},
      {0.5, 0.485},
      {1, 0.577},
      {2, 1.065}}},
    {"CRC",
     BF_ION_BA,
     BF_ION_CL,
     0.035,
     {{0.001, 0.887},
      {0.005, 0.782},
      {0.01, 0.721},
      {0.02, 0.653},
      {0.05, 0.559},
      {0.1, 0.492},
      {0.2, 0.436},
      {0.5, 0.391},
      {1, 0.393}}},
    {"RS", BF_ION_SR, BF_ION_CL, 0.03, {{0.1, 0.511}, {0.2, 0.462}, {0.5, 0.425}, {1, 0.461}}},
    {"RS", BF_ION_FE, BF_ION_CL, 0.01, {{0.1, 0.5185}, {0.2, 0.473}, {0.5, 0.4497}, {1, 0.506}}},
    {"RS", BF_ION_MN, BF_ION_CL, 0.01, {{0.1, 0.516}, {0.2, 0.469}, {0.5, 0.440}, {1, 0.479}}},
    {"RS", BF_ION_NH4, BF_ION_CL, 6e-3, {{0.1, 0.770}, {0.2, 0.718}, {0.5, 0.649}, {1, 0.603}}},
    {"CRC",
     BF_ION_H,
     BF_ION_CL,
     4e-3,
     {{0.001, 0.965},
      {0.01, 0.905},
      {0.05, 0.832},
      {0.1, 0.797},
      {0.2, 0.768},
      {0.5, 0.759},
      {1, 0.811},
      {2, 1.009}}},
    {"RS", BF_ION_NA, BF_ION_SO4, 0.03, {{0.1, 0.445}, {0.2, 0.365}, {0.5, 0.266}, {1, 0.201}}},
    {"CRC",
     BF_ION_K,
     BF_ION_SO4,
     0.05,
     {{0.001, 0.885},
      {0.005, 0.772},
      {0.01, 0.704},
      {0.02, 0.625},
      {0.05, 0.511},
      {0.1, 0.424},
      {0.2, 0.343},
      {0.5, 0.251}}},
    {"KL", BF_ION_NA, BF_ION_NO3, 6e-3, {{0.1, 0.762}, {0.2, 0.703}, {0.4, 0.638}, {0.6, 0.599}}},
    {"KL", BF_ION_K, BF_ION_NO3, 9e-3, {{0.1, 0.739}, {0.2, 0.663}, {0.4, 0.576}}},
    {"RS", BF_ION_CA, BF_ION_NO3, 0.02, {{0.1, 0.488}, {0.2, 0.429}, {0.5, 0.363}, {1, 0.336}}},
};

START_TEST(mean_coefficients_agree_with_published_tables)
{
    for (size_t i = 0; i < COUNT(salt_tables); i++) {
        const salt_table *table = &salt_tables[i];
        for (size_t k = 0; k < COUNT(table->rows) && table->rows[k][0] > 0.0; k++) {
            double found = mean_gamma(table->cation, table->anion, table->rows[k][0]);
            ck_assert_msg(support_near(found, table->rows[k][1], table->tolerance, 0.0,
                                       table->source, __FILE__, __LINE__),
                          "%s%s at %g mol/kg, %s", bf_ion_get(table->cation)->symbol,
                          bf_ion_get(table->anion)->symbol, table->rows[k][0], table->source);
        }
    }
}
END_TEST

START_TEST(divalent_sulfates_fall_as_published)
{
    /* RS, MgSO4 and MnSO4. Their value at 0.1 mol/kg was a choice (later work puts it higher),
     * so only the fall from there is compared; 3 %. */
    const double rows[][3] = {
        {0.1, 0.150, 0.150}, {0.2, 0.107, 0.105}, {0.5, 0.0675, 0.0640}, {1, 0.0485, 0.0439}};
    for (size_t i = 1; i < sizeof rows / sizeof *rows; i++) {
        double magnesium = mean_gamma(BF_ION_MG, BF_ION_SO4, rows[i][0]);
        double manganese = mean_gamma(BF_ION_MN, BF_ION_SO4, rows[i][0]);
        assert_near(magnesium / mean_gamma(BF_ION_MG, BF_ION_SO4, 0.1), rows[i][1] / 0.150, 0.03);
        assert_near(manganese / mean_gamma(BF_ION_MN, BF_ION_SO4, 0.1), rows[i][2] / 0.150, 0.03);
    }
    /* CaSO4 at saturation with gypsum, 0.0154 mol/kg (from memory): gamma = sqrt(K)/m with K =
     * 10^-4.581 (USGS TM 6-A43, Pitzer data) and the activity of water taken as 1; 2 %. FeSO4: no
     * table at hand. */
    assert_near(mean_gamma(BF_ION_CA, BF_ION_SO4, 0.0154), sqrt(pow(10.0, -4.581)) / 0.0154, 0.02);
}
END_TEST

START_TEST(chlorides_agree_with_an_independent_evaluation)
{
    /* The same equations and parameters in another program, J by adaptive quadrature; four printed
     * digits. */
    const double nacl[][2] = {{0.1, 0.7769}, {0.25, 0.7183}, {0.5, 0.6796}, {0.75, 0.6629},
                              {1, 0.6555},   {2, 0.6673},    {3, 0.7131},   {4, 0.7821},
                              {5, 0.8732},   {6, 0.9880}};
    for (size_t i = 0; i < COUNT(nacl); i++) {
        assert_near_abs(mean_gamma(BF_ION_NA, BF_ION_CL, nacl[i][0]), nacl[i][1], 6e-5);
    }
    const double divalent[][3] = {
        {0.001, .8882, .8885}, {0.002, .8503, .8507}, {0.005, .7860, .7870}, {0.01, .7277, .7294},
        {0.02, .6636, .6665},  {0.05, .5781, .5837},  {0.1, .5197, .5288},   {0.2, .4735, .4883},
        {0.5, .4483, .4793},   {1, .5013, .5701}};
    for (size_t i = 0; i < COUNT(divalent); i++) {
        assert_near_abs(mean_gamma(BF_ION_CA, BF_ION_CL, divalent[i][0]), divalent[i][1], 6e-5);
        assert_near_abs(mean_gamma(BF_ION_MG, BF_ION_CL, divalent[i][0]), divalent[i][2], 6e-5);
    }
    assert_near_abs(mean_gamma(BF_ION_CA, BF_ION_CL, 2), 0.8025, 6e-5);
    assert_near_abs(mean_gamma(BF_ION_MG, BF_ION_CL, 2), 1.054, 6e-4);
}
END_TEST

START_TEST(trace_ratios_in_nacl_agree_with_an_independent_evaluation)
{
    /* gamma_Na^2/gamma_Ca, gamma_Na^2/gamma_Mg and gamma_Na/gamma_K from the same work; 0.2 %, most
     * of it rounding of three or four printed digits. */
    const struct {
        double m, ca, mg, na, k;
    } rows[] = {
        {0.001, 1.077, 1.077, .9651, .9649}, {0.005, 1.172, 1.171, .9273, .9264},
        {0.01, 1.240, 1.238, .9023, .9007},  {0.02, 1.332, 1.327, .8710, .8680},
        {0.05, 1.496, 1.483, .8204, .8138},  {0.1, 1.647, 1.621, .7769, .7651},
        {0.2, 1.805, 1.752, .7322, .7116},   {0.5, 1.953, 1.832, .6796, .6378},
        {1, 1.936, 1.731, .6555, .5835},     {2, 1.701, 1.401, .6673, .5365},
        {3, 1.424, 1.091, .7131, .5164},     {4, 1.171, 0.837, .7821, .5073},
        {5, 0.955, 0.640, .8732, .5037},     {6, 0.779, 0.490, .9880, .5033},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        assert_near(ratio(BF_ION_CA, BF_SALT_NACL, rows[i].m), rows[i].ca, 2e-3);
        assert_near(ratio(BF_ION_MG, BF_SALT_NACL, rows[i].m), rows[i].mg, 2e-3);
        assert_near(ratio(BF_ION_K, BF_SALT_NACL, rows[i].m), rows[i].na / rows[i].k, 2e-3);
        ck_assert(ratio(BF_ION_NA, BF_SALT_NACL, rows[i].m) == 1.0);
    }
    /* With the assumed mixing of Fe and Mn, at 2 mol/kg; three digits. */
    assert_near_abs(ratio(BF_ION_FE, BF_SALT_NACL, 2), 1.75, 5.1e-3);
    assert_near_abs(ratio(BF_ION_MN, BF_SALT_NACL, 2), 1.84, 5.1e-3);
}
END_TEST

/* log10 of the coefficient on the MacInnes scale: that of Cl in KCl of the same ionic strength is
 * the mean one. */
static double macinnes(const double molality[BF_ION_COUNT], double strength, bf_ion ion)
{
    double ln_gamma[BF_ION_COUNT];
    coefficients(molality, ln_gamma);
    double shift = ln_gamma[BF_ION_CL] - log(mean_gamma(BF_ION_K, BF_ION_CL, strength));
    return (ln_gamma[ion] + shift * bf_ion_get(ion)->charge) / log(10.0);
}

START_TEST(mixed_brines_agree_with_a_published_example)
{
    /* USGS TM 6-A43, example 17 (Black Sea water, then its brine): log10 gamma on the MacInnes
     * scale, three decimals. Its bromide, 0.00044 mol/kg, counts as chloride here. 0.002. */
    const double sea[BF_ION_COUNT] = {
        [BF_ION_NA] = .2544,  [BF_ION_K] = .00496,          [BF_ION_CA] = .005841,
        [BF_ION_MG] = .02805, [BF_ION_CL] = .2930 + .00044, [BF_ION_SO4] = .01527};
    const struct {
        bf_ion ion;
        double published;
    } rows[] = {{BF_ION_NA, -0.142}, {BF_ION_K, -0.162},  {BF_ION_CA, -0.598},
                {BF_ION_MG, -0.572}, {BF_ION_CL, -0.175}, {BF_ION_SO4, -0.858}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        assert_near_abs(macinnes(sea, 0.3752, rows[i].ion), rows[i].published, 2e-3);
    }
    /* Free of any scale. */
    double ln_gamma[BF_ION_COUNT];
    coefficients(sea, ln_gamma);
    assert_near_abs((2.0 * ln_gamma[BF_ION_NA] - ln_gamma[BF_ION_CA]) / log(10.0), 0.314, 2e-3);
    assert_near_abs((2.0 * ln_gamma[BF_ION_NA] - ln_gamma[BF_ION_MG]) / log(10.0), 0.288, 2e-3);

    /* The brine, 11.1 mol/kg. Its bromide is not in the list; concentrated like the potassium it is
     * 0.0406 mol/kg, and counts as chloride too. 0.002. */
    const double brine[BF_ION_COUNT] = {[BF_ION_NA] = 2.720,
                                        [BF_ION_K] = .4578,
                                        [BF_ION_MG] = 2.354,
                                        [BF_ION_CL] = 6.004 + .00044 * .4578 / .00496,
                                        [BF_ION_SO4] = .8986};
    assert_near_abs(macinnes(brine, 11.1, BF_ION_NA), 0.503, 2e-3);
    assert_near_abs(macinnes(brine, 11.1, BF_ION_K), 0.019, 2e-3);
    assert_near_abs(macinnes(brine, 11.1, BF_ION_CL), -0.124, 2e-3);
    assert_near_abs(macinnes(brine, 11.1, BF_ION_MG), 1.335, 2e-3);
    coefficients(brine, ln_gamma);
    assert_near_abs((2.0 * ln_gamma[BF_ION_NA] - ln_gamma[BF_ION_MG]) / log(10.0), -0.329, 2e-3);
}
END_TEST

START_TEST(mixtures_are_thermodynamically_consistent)
{
    /* ln gamma_i is the derivative of one function of all molalities, so d ln g_i/dm_j = d ln
     * g_j/dm_i: this ties B to B', E to E' and every mixing term to its twin. Central differences:
     * 1e-6. */
    unsigned long long seed = 271828;
    for (int k = 0; k < 12; k++) {
        double molality[BF_ION_COUNT];
        double slopes[BF_ION_COUNT][BF_ION_COUNT];
        double size = exp(-4.0 + 4.0 * support_uniform(&seed));
        for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
            molality[i] = size * (0.05 + 0.4 * support_uniform(&seed));
        }
        for (bf_ion j = 0; j < BF_ION_COUNT; j++) {
            double up[BF_ION_COUNT];
            double down[BF_ION_COUNT];
            double original = molality[j];
            double step = 1e-4 * original;
            molality[j] = original + step;
            coefficients(molality, up);
            molality[j] = original - step;
            coefficients(molality, down);
            molality[j] = original;
            for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
                slopes[i][j] = (up[i] - down[i]) / (2.0 * step);
            }
        }
        for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
            for (bf_ion j = 0; j < i; j++) {
                ck_assert_msg(support_near(slopes[i][j], slopes[j][i], 1e-6, 1e-6 / size, "slope",
                                           __FILE__, __LINE__),
                              "%s with %s, size %g", bf_ion_get(i)->symbol, bf_ion_get(j)->symbol,
                              size);
            }
        }
    }
}
END_TEST

START_TEST(ratios_have_their_limits)
{
    for (bf_ion i = 0; i < BF_ION_CL; i++) {
        ck_assert(ratio(i, BF_SALT_NACL, 0.0) == 1.0);
        ck_assert(ratio(i, BF_SALT_KCL, 0.0) == 1.0);
        /* The limiting law: ln R = -3 A (z - z^2) sqrt(I), the same for every ion of one charge;
         * the next term is of order I. Denormal strengths are as good as zero. */
        int z = bf_ion_get(i)->charge;
        double expected = 3.0 * 0.3915 * (z * z - z) * 1e-4;
        assert_near_abs(log(ratio(i, BF_SALT_NACL, 1e-8)), expected, 3e-7);
        ck_assert(ratio(i, BF_SALT_KCL, 1e-300) == 1.0);
        assert_near(ratio(i, BF_SALT_NACL, 5e-324), 1.0, 1e-15);
    }
    /* A trace ion is the limit of a little of it. */
    double molality[BF_ION_COUNT] = {
        [BF_ION_NA] = 1.7, [BF_ION_CA] = 1e-9, [BF_ION_CL] = 1.7 + 2e-9};
    double ln_gamma[BF_ION_COUNT];
    coefficients(molality, ln_gamma);
    assert_near(exp(2.0 * ln_gamma[BF_ION_NA] - ln_gamma[BF_ION_CA]),
                ratio(BF_ION_CA, BF_SALT_NACL, 1.7), 1e-7);
}
END_TEST

START_TEST(potassium_brine_differs_from_sodium_brine)
{
    /* Trace Ca in KCl, by the same equations written out for this one case: 4.8 mol/kg is
     * saturated. ln R = 2 ln g_Na - ln g_Ca, where F and C-terms of KCl enter as (2 - 4) F and 0.
     */
    const double a = 0.39148; /* A_phi at 25 C, 5 digits; the rest follows it by 2e-4 at most */
    const double strengths[] = {0.1, 0.9, 2.3, 4.1};
    for (size_t i = 0; i < COUNT(strengths); i++) {
        double m = strengths[i];
        double root = sqrt(m);
        double x2 = 2.0 * root;
        double g = 2.0 * (1.0 - (1.0 + x2) * exp(-x2)) / (x2 * x2);
        double dg = -2.0 * (1.0 - (1.0 + x2 + 0.5 * x2 * x2) * exp(-x2)) / (x2 * x2);
        double f = -a * (root / (1.0 + 1.2 * root) + 2.0 / 1.2 * log(1.0 + 1.2 * root)) +
                   m * m * 0.2122 * dg / m;
        double x = 6.0 * a * root;
        double j[3];
        for (int k = 0; k < 3; k++) {
            double xk = x * (1 << k);
            j[k] = 0.25 * xk - 1.0 + integrate(pitzer_integrand, xk) / xk;
        }
        double e = 2.0 / (4.0 * m) * (j[1] - 0.5 * j[0] - 0.5 * j[2]);
        double z_c_kcl = m * m * -0.00084 / 2.0;
        double na = f + m * (2.0 * (0.0765 + 0.2664 * g) + 2.0 * m * 0.00127 / 2.0) +
                    2.0 * m * -0.012 + m * m * -0.0018 + z_c_kcl;
        double ca = 4.0 * f +
                    m * (2.0 * (0.3159 + 1.614 * g) + 2.0 * m * -0.00034 / (2.0 * sqrt(2.0))) +
                    2.0 * m * (0.032 + e) + m * m * -0.025 + 2.0 * z_c_kcl;
        assert_near(ratio(BF_ION_CA, BF_SALT_KCL, m), exp(2.0 * na - ca), 5e-4);
    }
}
END_TEST

START_TEST(what_lies_outside_is_refused)
{
    bf_error err = {0};
    double ln_gamma[BF_ION_COUNT];
    double value = 7.0;
    double molality[BF_ION_COUNT] = {[BF_ION_NA] = 1.0, [BF_ION_CL] = 1.0};
    assert_fails(bf_activity_ln_gamma(molality, 273.0, ln_gamma, &err), BF_E_RANGE,
                 "temperature is -0.1 C (32 F); state 0 to 100 C");
    assert_fails(bf_activity_ln_gamma(molality, (double)NAN, ln_gamma, &err), BF_E_RANGE,
                 "state 0 to 100 C");
    molality[BF_ION_MG] = -1e-9;
    assert_fails(bf_activity_ln_gamma(molality, 298.15, ln_gamma, &err), BF_E_RANGE,
                 "magnesium is -1e-09 mol per kg of water; state 0 or more");
    molality[BF_ION_MG] = (double)INFINITY;
    assert_fails(bf_activity_ln_gamma(molality, 298.15, ln_gamma, &err), BF_E_RANGE, "magnesium");
    molality[BF_ION_MG] = (double)NAN;
    assert_fails(bf_activity_ln_gamma(molality, 298.15, ln_gamma, &err), BF_E_RANGE, "magnesium");
    molality[BF_ION_MG] = 5.6;
    assert_fails(bf_activity_ln_gamma(molality, 298.15, ln_gamma, &err), BF_E_RANGE,
                 "ionic strength is 12.2 mol per kg of water; the activity model holds up to 12");
    assert_fails(bf_activity_ratio(BF_ION_CL, BF_SALT_NACL, 1.0, 298.15, &value, &err), BF_E_RANGE,
                 "chloride is an anion; only cations exchange with sodium");
    assert_fails(bf_activity_ratio(BF_ION_CA, BF_SALT_NACL, 6.3, 298.15, &value, &err), BF_E_RANGE,
                 "background is 6.3 mol of salt per kg of water; state 0 to 6.2");
    assert_fails(bf_activity_ratio(BF_ION_CA, BF_SALT_NACL, -1.0, 298.15, &value, &err), BF_E_RANGE,
                 "state 0 to 6.2");
    assert_fails(bf_activity_ratio(BF_ION_CA, BF_SALT_KCL, (double)NAN, 298.15, &value, &err),
                 BF_E_RANGE, "state 0 to 6.2");
    assert_fails(bf_activity_ratio(BF_ION_CA, BF_SALT_NACL, 1.0, 400.0, &value, &err), BF_E_RANGE,
                 "temperature");
    ck_assert(value == 7.0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {mixing_integral_is_its_definition,
                                  mixing_integral_agrees_with_its_published_table,
                                  mixing_integral_has_its_limit,
                                  mixing_derivative_is_the_derivative,
                                  slope_agrees_with_first_principles,
                                  mean_coefficients_agree_with_published_tables,
                                  divalent_sulfates_fall_as_published,
                                  chlorides_agree_with_an_independent_evaluation,
                                  trace_ratios_in_nacl_agree_with_an_independent_evaluation,
                                  mixed_brines_agree_with_a_published_example,
                                  mixtures_are_thermodynamically_consistent,
                                  ratios_have_their_limits,
                                  potassium_brine_differs_from_sodium_brine,
                                  what_lies_outside_is_refused};
    return support_run("water.activity", tests, sizeof tests / sizeof *tests, 60);
}
