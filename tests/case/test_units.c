/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text with a unit to SI: published factors, every spelling, every way to get it wrong.
 *
 * Source "SP 811": NIST SP 811 (2008), appendix B.8, as printed to seven digits; the printed values
 * are from memory, and each that udunits' stock database knows was compared with it. */
#include "brinefront/convert.h"
#include "brinefront/units.h"
#include "support.h"

#include <locale.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* Definitions are exact decimals; a compound takes up to a dozen roundings of 1.1e-16. */
#define EXACT 2e-15
/* Half a unit in the seventh digit of a printed factor, at worst on a leading 1. */
#define PRINTED 5e-7

typedef struct reading {
    const char *text;
    bf_dimension dimension;
    double value;
    double tolerance;
} reading;

static const reading readings[] = {
    /* SP 811 */
    {"1 gal", BF_DIMENSION_VOLUME, 3.785412e-3, PRINTED},
    {"1 gpm", BF_DIMENSION_FLOW, 6.309020e-5, PRINTED},
    {"1 gal/min", BF_DIMENSION_FLOW, 6.309020e-5, PRINTED},
    {"1 lb/ft3", BF_DIMENSION_MASS_PER_VOLUME, 1.601846e1, PRINTED},
    {"1 lb/gal", BF_DIMENSION_MASS_PER_VOLUME, 1.198264e2, PRINTED},
    {"1 oz/gal", BF_DIMENSION_MASS_PER_VOLUME, 7.489152, PRINTED},
    {"1 gr/gal", BF_DIMENSION_MASS_PER_VOLUME, 1.711806e-2, PRINTED},
    {"1 psi", BF_DIMENSION_PRESSURE, 6.894757e3, PRINTED},
    {"1 in3", BF_DIMENSION_VOLUME, 1.638706e-5, PRINTED},
    {"1 oz", BF_DIMENSION_MASS, 2.834952e-2, PRINTED},
    {"1 gr", BF_DIMENSION_MASS, 6.479891e-5, EXACT},
    {"16 oz", BF_DIMENSION_MASS, BF_KG_PER_LB, EXACT},
    {"1 ft2", BF_DIMENSION_AREA, 9.290304e-2, EXACT},
    {"1 ft/min", BF_DIMENSION_VELOCITY, 5.08e-3, EXACT},
    {"1 imperial gallon", BF_DIMENSION_VOLUME, 4.54609e-3, EXACT},
    {"1 kWh", BF_DIMENSION_ENERGY, 3.6e6, EXACT},
    {"1 psi/ft", BF_DIMENSION_PRESSURE_GRADIENT, 6.894757e3 / 0.3048, PRINTED},
    /* A flow of 1 gpm/ft2 is 2.445 m/h, and 1 gpm/ft3 is 8.02 bed volumes an hour: 60 min times
     * 231/1728 ft3 in a gallon. */
    {"1 gpm/ft2", BF_DIMENSION_VELOCITY, 2.445 / 3600.0, 2.5e-4},
    {"1 gpm/ft3", BF_DIMENSION_RATE, 60.0 * 231.0 / 1728.0 / 3600.0, EXACT},
    /* the factors of convert.h, which were written down independently */
    {"7.25 lb/ft3", BF_DIMENSION_MASS_PER_VOLUME, 7.25 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"27.3 kgr/ft3", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 27.3 * BF_EQ_PER_M3_PER_KGR_PER_FT3,
     EXACT},
    {"17.3 gpg", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 17.3 * BF_EQ_PER_M3_PER_GPG, EXACT},
    {"351 mg/L as CaCO3", BF_DIMENSION_EQUIVALENTS_PER_VOLUME,
     351 * BF_EQ_PER_M3_PER_MG_PER_L_CACO3, EXACT},
    {"1 psi", BF_DIMENSION_PRESSURE, BF_PA_PER_PSI, EXACT},
    {"1 gal", BF_DIMENSION_VOLUME, BF_M3_PER_GAL, EXACT},
    /* Hardness. FAO aquaculture glossary: 1 meq/L = 50 mg/L CaCO3 = 28 mg/L CaO = 2.805 dH, of
     * two to four digits. Clark degree: 14.254 mg/L as CaCO3; French degree: 10 mg/L as CaCO3. */
    {"2.805 dH", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 1.0, 5e-4},
    {"28 mg/L as CaO", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 1.0, 2e-3},
    {"50 mg/L as CaCO3", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 1.0, 1e-3},
    {"1 english degree", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 14.254 / BF_G_CACO3_PER_EQ, 4e-5},
    {"1 french degree", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 10.0 / BF_G_CACO3_PER_EQ, EXACT},
    {"1 gpg", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 17.118 / BF_G_CACO3_PER_EQ, 4e-5},
    /* a saturated solution of CaCO3 has two equivalents in a mole */
    {"1.7 mmol/L as CaCO3", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 3.4, EXACT},
    {"5 gpg as CaCO3", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 5 * BF_EQ_PER_M3_PER_GPG, EXACT},
    {"30 kgr", BF_DIMENSION_EQUIVALENTS, 30e6 * BF_KG_PER_GRAIN / BF_G_CACO3_PER_EQ, EXACT},
    {"1.9 lb as CaCO3", BF_DIMENSION_EQUIVALENTS, 1900 * BF_KG_PER_LB / BF_G_CACO3_PER_EQ, EXACT},
    {"12 ppm", BF_DIMENSION_MASS_PER_VOLUME, 0.012, EXACT},
    {"12 ppb", BF_DIMENSION_MASS_PER_VOLUME, 1.2e-5, EXACT},
    /* temperature: fixed points of the scales, which meet at -40 */
    {"21.5 C", BF_DIMENSION_TEMPERATURE, 294.65, EXACT},
    {"212 F", BF_DIMENSION_TEMPERATURE, 373.15, EXACT},
    {"32 °F", BF_DIMENSION_TEMPERATURE, 273.15, EXACT},
    {"-40 degF", BF_DIMENSION_TEMPERATURE, 233.15, EXACT},
    {"-40 °C", BF_DIMENSION_TEMPERATURE, 233.15, EXACT},
    {"293.15 K", BF_DIMENSION_TEMPERATURE, 293.15, EXACT},
    /* one of every other kind */
    {"0.38", BF_DIMENSION_NUMBER, 0.38, 0},
    {"38 %", BF_DIMENSION_NUMBER, 0.38, EXACT},
    {"0.6 mm", BF_DIMENSION_LENGTH, 0.6e-3, EXACT},
    {"30 in", BF_DIMENSION_LENGTH, 0.762, EXACT},
    {"90 days", BF_DIMENSION_TIME, 7776000.0, EXACT},
    {"2 years", BF_DIMENSION_TIME, 63115200.0, EXACT},
    {"10 kJ/mol", BF_DIMENSION_ENERGY_PER_MOLE, 1e4, EXACT},
    {"7.93e-6 cm2/s", BF_DIMENSION_DIFFUSIVITY, 7.93e-10, EXACT},
    {"850 uS/cm", BF_DIMENSION_CONDUCTIVITY, 0.085, EXACT},
    {"20 BV/h", BF_DIMENSION_BED_VOLUMES_PER_TIME, 20.0 / 3600.0, EXACT},
    {"1.5 bed volumes", BF_DIMENSION_BED_VOLUMES, 1.5, 0},
    {"18 mol/kg", BF_DIMENSION_MOLES_PER_MASS, 18, 0},
    {"2.1 eq/L", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 2100.0, EXACT},
    {"3.7 meq/L", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 3.7, EXACT},
    {"2.3 mmol/L", BF_DIMENSION_MOLES_PER_VOLUME, 2.3, EXACT},
    {"10 wt%", BF_DIMENSION_MASS_FRACTION, 0.1, EXACT},
    {"0.1 mass fraction", BF_DIMENSION_MASS_FRACTION, 0.1, 0},
    {"96 salometer", BF_DIMENSION_SALOMETER, 96, 0},
    {"1.3 bar", BF_DIMENSION_PRESSURE, 1.3e5, EXACT},
    {"14 kPa/m", BF_DIMENSION_PRESSURE_GRADIENT, 14e3, EXACT},
    {"0.7 kW", BF_DIMENSION_POWER, 700, EXACT},
    {"120 kg/m3", BF_DIMENSION_MASS_PER_VOLUME, 120, EXACT},
    /* ways of writing the same */
    {"10lb/ft3", BF_DIMENSION_MASS_PER_VOLUME, 10 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"50.04345 mg/L as  CaCO3 \t", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 1.0, EXACT},
    {" \t10  lb / ft^3\n", BF_DIMENSION_MASS_PER_VOLUME, 10 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"10 lb ft-3", BF_DIMENSION_MASS_PER_VOLUME, 10 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"10 lb*ft^-3", BF_DIMENSION_MASS_PER_VOLUME, 10 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"10 lb/ft³", BF_DIMENSION_MASS_PER_VOLUME, 10 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"10 lb/ft/ft²", BF_DIMENSION_MASS_PER_VOLUME, 10 * BF_KG_PER_M3_PER_LB_PER_FT3, EXACT},
    {"18 1/h", BF_DIMENSION_RATE, 0.005, EXACT},
    {"18/h", BF_DIMENSION_RATE, 0.005, EXACT},
    {"18 h-1", BF_DIMENSION_RATE, 0.005, EXACT},
    {"5eq", BF_DIMENSION_EQUIVALENTS, 5, 0},
    {"5e2eq", BF_DIMENSION_EQUIVALENTS, 500, 0},
    {"+.5e+1 m", BF_DIMENSION_LENGTH, 5, 0},
    {"-5.E-1 m", BF_DIMENSION_LENGTH, -0.5, 0},
    {"0 m", BF_DIMENSION_LENGTH, 0, 0},
};

START_TEST(published_factors_and_plain_readings)
{
    for (size_t i = 0; i < COUNT(readings); i++) {
        const reading *r = &readings[i];
        bf_error err = {0};
        bf_quantity q;
        bf_status status = bf_quantity_parse(r->text, &q, &err);
        ck_assert_msg(status == BF_OK, "\"%s\": %s", r->text, err.message);
        ck_assert_msg(q.dimension == r->dimension, "\"%s\" is a %s", r->text,
                      bf_dimension_get(q.dimension)->name);
        ck_assert_msg(
            support_near(q.value, r->value, r->tolerance, 0.0, r->text, __FILE__, __LINE__),
            "\"%s\"", r->text);
    }
}
END_TEST

/* Copy the name that starts at *list and step to the next one of "a, b, c"; false at the end. */
static bool take_name(const char **list, const char *separator, char *name, size_t room)
{
    size_t length = strcspn(*list, separator);
    ck_assert_uint_lt(length, room);
    memcpy(name, *list, length);
    name[length] = '\0';
    *list += length;
    *list += strspn(*list, ", ");
    return length > 0;
}

START_TEST(every_spelling_means_its_definition)
{
    size_t spellings = 0;
    ck_assert_uint_gt(bf_unit_count(), 50);
    for (size_t i = 0; i < bf_unit_count(); i++) {
        const bf_unit *unit = bf_unit_get(i);
        ck_assert_uint_gt(strlen(unit->meaning), 0);
        ck_assert_uint_gt(strlen(unit->source), 0);
        bf_error err = {0};
        bf_quantity definition = {.value = 1.0};
        if (unit->definition[0] != '\0') {
            assert_ok(bf_quantity_parse(unit->definition, &definition, &err));
        }
        const char *list = unit->names;
        char name[64];
        while (take_name(&list, ",", name, sizeof name)) {
            char text[80];
            (void)snprintf(text, sizeof text, "2.75 %s", name);
            bf_quantity q;
            assert_ok(bf_quantity_parse(text, &q, &err));
            assert_near(q.value, (2.75 + unit->zero) * definition.value, EXACT);
            if (unit->definition[0] != '\0') {
                ck_assert_int_eq(q.dimension, definition.dimension);
            }
            spellings++;
        }
    }
    ck_assert_uint_gt(spellings, 120);
}
END_TEST

START_TEST(no_spelling_is_listed_twice)
{
    for (size_t i = 0; i < bf_unit_count(); i++) {
        const char *list = bf_unit_get(i)->names;
        char name[64];
        while (take_name(&list, ",", name, sizeof name)) {
            int matches = 0;
            for (size_t j = 0; j < bf_unit_count(); j++) {
                const char *others = bf_unit_get(j)->names;
                char other[64];
                while (take_name(&others, ",", other, sizeof other)) {
                    matches += strcmp(name, other) == 0;
                }
            }
            ck_assert_msg(matches == 1, "'%s' is listed %d times", name, matches);
        }
    }
}
END_TEST

START_TEST(si_units_and_examples_are_of_their_dimension)
{
    for (int d = 0; d < BF_DIMENSION_COUNT; d++) {
        const bf_dimension_info *info = bf_dimension_get((bf_dimension)d);
        bf_error err = {0};
        bf_quantity q;
        char text[80];
        (void)snprintf(text, sizeof text, "3.25 %s", info->si_unit);
        assert_ok(bf_quantity_parse(text, &q, &err));
        ck_assert_int_eq(q.dimension, d);
        ck_assert_double_eq(q.value, 3.25);
        /* "m, ft or in" with each " or " turned into ", "; the examples of a plain number are
         * whole quantities. */
        char examples[120];
        (void)snprintf(examples, sizeof examples, "%s", info->examples);
        for (char *p = strstr(examples, " or "); p != NULL; p = strstr(examples, " or ")) {
            memcpy(p, ",   ", 4);
        }
        const char *list = examples;
        char example[64];
        while (take_name(&list, ",", example, sizeof example)) {
            double value = -1.0;
            (void)snprintf(text, sizeof text, "%s%s", d == BF_DIMENSION_NUMBER ? "" : "2 ",
                           example);
            assert_ok(bf_quantity_parse(text, &q, &err));
            assert_ok(bf_quantity_as(&q, (bf_dimension)d, &value, &err));
            ck_assert(value > 0.0);
        }
    }
}
END_TEST

typedef struct refusal {
    const char *text;
    long column;
    const char *part; /* of the message */
} refusal;

static const refusal refusals[] = {
    /* the number */
    {"", 1, "a decimal number is expected"},
    {"   ", 4, "a decimal number is expected"},
    {"lb/ft3", 1, "a decimal number is expected"},
    {"nan m", 1, "a decimal number is expected"},
    {"inf m", 1, "a decimal number is expected"},
    {"-infinity", 1, "a decimal number is expected"},
    {". m", 1, "a decimal number is expected"},
    {"- 5 m", 1, "a decimal number is expected"},
    {"--5 m", 1, "a decimal number is expected"},
    {"e5 m", 1, "a decimal number is expected"},
    {"0x1p3 m", 2, "'x' is neither"},
    {"0X10 m", 2, "'x' is neither"},
    {"1,5 m", 2, "decimal point and no comma"},
    {"1,500.0 m", 2, "decimal point and no comma"},
    {"1.5e3,0 m", 6, "decimal point and no comma"},
    {"1 500 m", 3, "second number"},
    {"1/2 in", 3, "a unit is missing"},
    {"1e400 m", 1, "too large or too small to compute with"},
    {"-1e400 m", 1, "too large or too small to compute with"},
    {"1e-400 m", 1, "too large or too small to compute with"},
    {"1e308 kW", 1, "too large or too small to compute with, in W"},
    {"1.2.3 m", 4, "unknown unit '.'"},
    /* the unit */
    {"5 galons", 3, "did you mean 'gallons'?"},
    {"1.5 cu ft", 5, "unknown unit 'cu'; write ft3"},
    {"1.5 CUFT", 5, "unknown unit 'CUFT'; write ft3"},
    {"1.5 cf", 5, "write ft3"},
    {"2 cubic feet", 3, "write ft3"},
    {"6 lb/cuft", 6, "write ft3"},
    {"19 lpm", 4, "write L/min"},
    {"10\"", 3, "write in"},
    {"10 in.", 4, "write in"},
    {"30 kgrains", 4, "write kgr"},
    {"5 LB/ft3", 3, "did you mean 'lb'?"},
    {"5 lb/FT3", 6, "did you mean 'ft'?"},
    {"5 mg/Litre", 6, "did you mean 'litre'?"},
    {"350 mgl as CaCO3", 5, "unknown unit 'mgl'; did you mean"},
    {"5 PSI", 3, "did you mean 'psi'?"},
    {"5 furlongs", 3, "unknown unit 'furlongs'"},
    {"5 m/µx", 5, "unknown unit 'µx'"},
    {"20 °X", 4, "unknown unit '°X'"},
    {"20 C in winter", 9, "unknown unit 'winter'"},
    {"5 m/", 5, "a unit is missing"},
    {"5 m//s", 5, "a unit is missing"},
    {"5 * m", 3, "a unit is missing"},
    {"5 m *", 6, "a unit is missing"},
    {"5 1/", 5, "a unit is missing"},
    {"5 ^2", 3, "a unit is missing"},
    {"5 m0", 4, "one digit from 1 to 9"},
    {"5 m12", 4, "one digit from 1 to 9"},
    {"5 m99999999999", 4, "one digit from 1 to 9"},
    {"5 m^", 5, "one digit from 1 to 9"},
    {"5 m^-", 6, "one digit from 1 to 9"},
    {"5 lb-ft", 6, "one digit from 1 to 9"},
    {"5 m/s-1", 6, "no negative power"},
    {"5 m3x", 5, "after a power"},
    {"5 m3^2", 5, "after a power"},
    {"5 m³²", 5, "after a power"},
    {"5 J/mol K", 9, "needs its own '/'"},
    {"5 J/mol*K", 9, "needs its own '/'"},
    {"5 W/m2/C", 3, "stand alone"},
    {"5 1/F", 3, "stand alone"},
    {"5 C2", 3, "stand alone"},
    {"5 C m", 3, "stand alone"},
    {"5 m5", 1, "no quantity"},
    {"5 lb psi", 1, "no quantity"},
    {"5 lb/ft3 as CaCO3 as CaCO3", 13, "unknown basis 'CaCO3 as CaCO3'"},
    /* the basis */
    {"5 mg/L as", 10, "unknown basis ''"},
    {"5 mg/L as caco3", 11, "unknown basis 'caco3'"},
    {"5 mg/L as Xe", 11, "unknown basis 'Xe'"},
    {"5 as CaCO3", 3, "neither"},
    {"5 ft as CaCO3", 6, "neither"},
    {"5 mg/kg as CaCO3", 9, "neither"},
    {"5 mol/kg as ion", 10, "neither"},
    {"5 kg2/m3 as CaCO3", 10, "neither"},
    {"5 gpg as ion", 7, "equivalents already"},
    {"5 meq/L as Ca", 9, "equivalents already"},
    {"5 g/eq as CaCO3", 8, "equivalents already"},
};

START_TEST(every_mistake_is_named_and_placed)
{
    for (size_t i = 0; i < COUNT(refusals); i++) {
        const refusal *r = &refusals[i];
        bf_error err = {0};
        bf_quantity q = {.value = 7.0};
        bf_status status = bf_quantity_parse(r->text, &q, &err);
        ck_assert_msg(status == BF_E_INPUT, "\"%s\" gave %s", r->text, bf_status_name(status));
        ck_assert_msg(strstr(err.message, r->part) != NULL, "\"%s\": \"%s\"", r->text, err.message);
        ck_assert_msg(err.column == r->column, "\"%s\": column %ld, not %ld: %s", r->text,
                      err.column, r->column, err.message);
        ck_assert_int_eq(err.code, BF_E_INPUT);
        ck_assert_double_eq(q.value, 7.0);
        ck_assert_int_eq(bf_quantity_parse(r->text, &q, NULL), BF_E_INPUT);
    }
}
END_TEST

START_TEST(a_far_word_gets_no_suggestion_and_a_long_one_is_cut)
{
    bf_error err = {0};
    bf_quantity q;
    assert_fails(bf_quantity_parse("5 furlongs", &q, &err), BF_E_INPUT, "unknown unit");
    ck_assert_ptr_null(strstr(err.message, "did you mean"));
    /* 13 three-byte characters fill 39 of the 40 bytes shown; the next one would be cut. */
    char text[200] = "5 ";
    char shown[200] = "unknown unit '";
    for (int i = 0; i < 20; i++) {
        (void)strcat(text, "長");
        (void)strcat(shown, i < 13 ? "長" : "");
    }
    assert_fails(bf_quantity_parse(text, &q, &err), BF_E_INPUT, strcat(shown, "'"));
}
END_TEST

START_TEST(numbers_come_back_to_the_last_bit)
{
    unsigned long long seed = 20240519;
    for (int i = 0; i < 2000; i++) {
        double x = (support_uniform(&seed) - 0.5) * pow(10.0, 40.0 * support_uniform(&seed) - 20.0);
        char text[64];
        (void)snprintf(text, sizeof text, "%.17g m", x);
        bf_error err = {0};
        bf_quantity q;
        assert_ok(bf_quantity_parse(text, &q, &err));
        ck_assert_double_eq(q.value, x);
    }
}
END_TEST

START_TEST(the_locale_neither_matters_nor_changes)
{
    /* Where the machine has a locale with a decimal comma, it is used. */
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "nl_NL.UTF-8",
                                        "de_DE"};
    size_t i = 0;
    while (i < COUNT(names) && setlocale(LC_ALL, names[i]) == NULL) {
        i++;
    }
    const char *point = localeconv()->decimal_point;
    (void)printf("the decimal point of this test's locale is '%s'\n", point);
    ck_assert_str_eq(point, i < COUNT(names) ? "," : ".");
    bf_error err = {0};
    bf_quantity q;
    locale_t before = uselocale((locale_t)0);
    assert_ok(bf_quantity_parse("2.75 m", &q, &err));
    ck_assert_double_eq(q.value, 2.75);
    assert_fails(bf_quantity_parse("2,75 m", &q, &err), BF_E_INPUT, "comma");
    ck_assert(uselocale((locale_t)0) == before);
    (void)setlocale(LC_ALL, "C");
}
END_TEST

static bf_quantity parse(const char *text)
{
    bf_error err = {0};
    bf_quantity q = {0};
    assert_ok(bf_quantity_parse(text, &q, &err));
    return q;
}

START_TEST(a_quantity_of_another_kind_is_refused)
{
    bf_error err = {0};
    double value = 7.0;
    bf_quantity q = parse("5 lb");
    assert_fails(bf_quantity_as(&q, BF_DIMENSION_LENGTH, &value, &err), BF_E_INPUT,
                 "wanted: length, such as m, mm, ft or in; this is mass (kg)");
    q = parse("5");
    assert_fails(bf_quantity_as(&q, BF_DIMENSION_FLOW, &value, &err), BF_E_INPUT,
                 "the number has no unit; wanted: flow, such as m3/h, L/min or gpm");
    q = parse("0.4 wt%");
    assert_fails(bf_quantity_as(&q, BF_DIMENSION_NUMBER, &value, &err), BF_E_INPUT,
                 "this is mass fraction");
    q = parse("20 BV/h");
    assert_fails(bf_quantity_as(&q, BF_DIMENSION_RATE, &value, &err), BF_E_INPUT, "wanted: rate");
    q = parse("100 g/L as ion");
    assert_fails(bf_quantity_as(&q, BF_DIMENSION_MASS_PER_VOLUME, &value, &err), BF_E_INPUT,
                 "no ion is counted");
    q = parse("100 g/L as Na");
    assert_fails(bf_quantity_as(&q, BF_DIMENSION_MASS_PER_VOLUME, &value, &err), BF_E_INPUT,
                 "no ion is counted");
    ck_assert_double_eq(value, 7.0);
}
END_TEST

START_TEST(three_kinds_stand_in_for_another)
{
    bf_error err = {0};
    double value = 0.0;
    bf_quantity q = parse("10 %");
    assert_ok(bf_quantity_as(&q, BF_DIMENSION_MASS_FRACTION, &value, &err));
    assert_near(value, 0.1, EXACT);
    q = parse("105 g/kg");
    assert_ok(bf_quantity_as(&q, BF_DIMENSION_MASS_FRACTION, &value, &err));
    assert_near(value, 0.105, EXACT);
    q = parse("2.5 gpm/ft3");
    assert_ok(bf_quantity_as(&q, BF_DIMENSION_BED_VOLUMES_PER_TIME, &value, &err));
    assert_near(value * 3600.0, 2.5 * 60.0 * 231.0 / 1728.0, EXACT);
}
END_TEST

typedef struct ion_reading {
    const char *text;
    bf_ion ion;
    double concentration_eq_per_m3;
} ion_reading;

START_TEST(an_ion_is_counted_as_stated)
{
    /* Laboratory factors, mg per meq: Ca 20.04, Mg 12.15, Na 22.99, HCO3 61.02, SO4 48.03, Fe 27.92
     * (Standard Methods for the Examination of Water and Wastewater, table 1030, from memory);
     * four digits, hence the tolerance. */
    static const ion_reading rows[] = {
        {"20.04 mg/L", BF_ION_CA, 1.0},
        {"40.08 mg/L as Ca", BF_ION_CA, 2.0},
        {"24.30 mg/L as ion", BF_ION_MG, 2.0},
        {"22.99 ppm as the ion", BF_ION_NA, 1.0},
        {"61.02 mg/L as HCO3", BF_ION_HCO3, 1.0},
        {"61.02 mg/L as ion", BF_ION_HCO3, 1.0},
        {"50.04 mg/L as CaCO3", BF_ION_HCO3, 1.0},
        {"48.03 g/m3", BF_ION_SO4, 1.0},
        {"27.92 mg/L as Fe", BF_ION_FE, 1.0},
        {"1.25 mmol/L", BF_ION_SO4, 2.5},
        {"1.25 mmol/L", BF_ION_HCO3, 1.25},
        {"1.25 mmol/L as Mg", BF_ION_MG, 2.5},
        {"1.25 mmol/L as CaCO3", BF_ION_NA, 2.5},
        {"3.5 meq/L", BF_ION_K, 3.5},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        bf_error err = {0};
        double c = -1.0;
        bf_quantity q = parse(rows[i].text);
        assert_ok(bf_quantity_as_ion(&q, rows[i].ion, &c, &err));
        ck_assert_msg(support_near(c, rows[i].concentration_eq_per_m3, 5e-4, 0.0, rows[i].text,
                                   __FILE__, __LINE__),
                      "%s", rows[i].text);
    }
    bf_error err = {0};
    double c = 7.0;
    bf_quantity q = parse("100 mg/L");
    assert_fails(bf_quantity_as_ion(&q, BF_ION_HCO3, &c, &err), BF_E_INPUT,
                 "write mg/L as CaCO3, or mg/L as HCO3");
    q = parse("5 mg/L as Ca");
    assert_fails(bf_quantity_as_ion(&q, BF_ION_MG, &c, &err), BF_E_INPUT,
                 "counts Ca where Mg is stated");
    q = parse("5");
    assert_fails(bf_quantity_as_ion(&q, BF_ION_MG, &c, &err), BF_E_INPUT, "has no unit");
    q = parse("5 lb as CaCO3");
    assert_fails(bf_quantity_as_ion(&q, BF_ION_MG, &c, &err), BF_E_INPUT,
                 "this is amount in equivalents (eq)");
    ck_assert_double_eq(c, 7.0);
}
END_TEST

START_TEST(hardness_needs_to_say_as_what)
{
    static const struct {
        const char *text;
        double hardness_eq_per_m3;
    } rows[] = {
        {"50.04 mg/L as CaCO3", 1.0}, {"20.04 mg/L as Ca", 1.0},  {"12.15 mg/L as Mg", 1.0},
        {"1.4 mmol/L", 2.8},          {"1.4 mmol/L as ion", 2.8}, {"1.4 meq/L", 1.4},
        {"2.0 eq/L", 2000.0},
    };
    bf_error err = {0};
    double h = -1.0;
    bf_quantity q;
    for (size_t i = 0; i < COUNT(rows); i++) {
        q = parse(rows[i].text);
        assert_ok(bf_quantity_as_hardness(&q, &h, &err));
        assert_near(h, rows[i].hardness_eq_per_m3, 5e-4); /* as in the test above */
    }
    h = 7.0;
    q = parse("350 mg/L");
    assert_fails(bf_quantity_as_hardness(&q, &h, &err), BF_E_INPUT, "write mg/L as CaCO3, or");
    q = parse("350 mg/L as ion");
    assert_fails(bf_quantity_as_hardness(&q, &h, &err), BF_E_INPUT, "a sum of ions");
    q = parse("350 mg/L as Na");
    assert_fails(bf_quantity_as_hardness(&q, &h, &err), BF_E_INPUT, "Na is no ion of hardness");
    q = parse("350 mmol/L as Fe");
    assert_fails(bf_quantity_as_hardness(&q, &h, &err), BF_E_INPUT, "Fe is no ion of hardness");
    q = parse("350");
    assert_fails(bf_quantity_as_hardness(&q, &h, &err), BF_E_INPUT, "has no unit");
    q = parse("5 ft3");
    assert_fails(bf_quantity_as_hardness(&q, &h, &err), BF_E_INPUT, "this is volume (m3)");
    ck_assert_double_eq(h, 7.0);
}
END_TEST

START_TEST(the_basis_is_told)
{
    bf_quantity q = parse("5 mg/L as CaCO3");
    ck_assert_int_eq(q.basis, BF_BASIS_EQUIVALENT);
    ck_assert_int_eq(q.named_ion, BF_ION_COUNT);
    q = parse("5 gpg"); /* though its definition says as CaCO3 */
    ck_assert_int_eq(q.basis, BF_BASIS_NONE);
    q = parse("5 mg/L as ion");
    ck_assert_int_eq(q.basis, BF_BASIS_ION);
    ck_assert_int_eq(q.dimension, BF_DIMENSION_MASS_PER_VOLUME);
    q = parse("5 mg/L as NH4");
    ck_assert_int_eq(q.basis, BF_BASIS_NAMED_ION);
    ck_assert_int_eq(q.named_ion, BF_ION_NH4);
}
END_TEST

START_TEST(a_value_outside_a_case_is_of_one_of_its_kinds)
{
    static const bf_dimension accepted[] = {BF_DIMENSION_NUMBER, BF_DIMENSION_TIME};
    bf_error err = {0};
    bf_quantity q;
    assert_ok(bf_quantity_read("--days", "2 h", accepted, 2, &q, &err));
    ck_assert_int_eq(q.dimension, BF_DIMENSION_TIME);
    ck_assert_double_eq(q.value, 7200.0);
    assert_ok(bf_quantity_read("--days", "2.5", accepted, 2, &q, &err));
    ck_assert_int_eq(q.dimension, BF_DIMENSION_NUMBER);
    assert_fails(bf_quantity_read("--days", "2.5", accepted + 1, 1, &q, &err), BF_E_INPUT,
                 "--days is \"2.5\"; take s, min, h, days");
    assert_fails(bf_quantity_read("--days", "2 gal", accepted, 2, &q, &err), BF_E_INPUT,
                 "take a plain number; or s, min, h, days");
    assert_fails(bf_quantity_read("--days", "2 hh", accepted, 2, &q, &err), BF_E_INPUT,
                 "unknown unit 'hh'");
    assert_fails(bf_quantity_read("--days", "0 h", accepted, 2, &q, &err), BF_E_INPUT,
                 "accepted are values above zero");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {published_factors_and_plain_readings,
                                  every_spelling_means_its_definition,
                                  no_spelling_is_listed_twice,
                                  si_units_and_examples_are_of_their_dimension,
                                  every_mistake_is_named_and_placed,
                                  a_far_word_gets_no_suggestion_and_a_long_one_is_cut,
                                  numbers_come_back_to_the_last_bit,
                                  the_locale_neither_matters_nor_changes,
                                  a_quantity_of_another_kind_is_refused,
                                  three_kinds_stand_in_for_another,
                                  an_ion_is_counted_as_stated,
                                  hardness_needs_to_say_as_what,
                                  the_basis_is_told,
                                  a_value_outside_a_case_is_of_one_of_its_kinds};
    return support_run("case.units", tests, COUNT(tests), 20);
}
