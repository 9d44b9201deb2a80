/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The closed list of units, each with its definition and its source, and the list of dimensions.
 *
 * A definition is a quantity in units above it, and the reader of quantities (units.c) reads it: the
 * definition a person sees is the one that is computed.
 */
#include "case/file/unit_table.h"

#include "brinefront/convert.h"
#include "brinefront/units.h"

#include <assert.h>

#define SP811 "NIST SP 811 (2008), appendix B, exact"
#define SI_BROCHURE "SI Brochure, 9th edition (2019)"
#define OWN "base unit of this list"
static const bf_unit unit_table[] = {
    [BF__BASE_M] = {"m, metre, metres, meter, meters", "", 0, "metre", SI_BROCHURE},
    [BF__BASE_KG] = {"kg", "", 0, "kilogram", SI_BROCHURE},
    [BF__BASE_S] = {"s, sec, second, seconds", "", 0, "second", SI_BROCHURE},
    [BF__BASE_K] = {"K", "", 0, "kelvin", SI_BROCHURE},
    [BF__BASE_MOL] = {"mol", "", 0, "mole", SI_BROCHURE},
    [BF__BASE_EQ] = {"eq", "", 0, "equivalent: a mole of charge", OWN},
    [BF__BASE_BV] = {"BV, bed volume, bed volumes", "", 0,
                     "volume of the settled resin bed, which the caller knows", OWN},
    [BF__BASE_SIEMENS] = {"S", "", 0, "siemens", SI_BROCHURE},
    [BF__BASE_MASS_FRACTION] = {"mass fraction", "", 0, "mass of the dissolved on mass of solution",
                                OWN},
    [BF__BASE_SALOMETER] =
        {"salometer, salometer degree, salometer degrees, °SAL", "", 0,
         "strength of a brine in percent of a saturated one's mass fraction, which "
         "the caller knows for its temperature",
         OWN},

    {"cm", "0.01 m", 0, "centimetre", SI_BROCHURE},
    {"mm", "0.001 m", 0, "millimetre", SI_BROCHURE},
    {"um, µm, μm, micron, microns", "1e-6 m", 0, "micrometre", SI_BROCHURE},
    {"in, inch, inches", "0.0254 m", 0, "inch", SP811},
    {"ft, foot, feet", "0.3048 m", 0, "international foot", SP811},

    {"L, l, litre, litres, liter, liters", "0.001 m3", 0, "litre", SI_BROCHURE},
    {"mL, ml", "0.001 L", 0, "millilitre", SI_BROCHURE},
    {"gal, gallon, gallons", "231 in3", 0, "U.S. gallon", SP811},
    {"imperial gallon, imperial gallons", "4.54609 L", 0, "gallon of Great Britain", SP811},

    {"g", "0.001 kg", 0, "gram", SI_BROCHURE},
    {"mg", "0.001 g", 0, "milligram", SI_BROCHURE},
    {"ug, µg, μg", "0.001 mg", 0, "microgram", SI_BROCHURE},
    {"t, tonne, tonnes", "1000 kg", 0, "metric ton", SI_BROCHURE},
    {"lb, lbs, pound, pounds", "0.45359237 kg", 0, "avoirdupois pound", SP811},
    {"oz, ounce, ounces", "0.0625 lb", 0, "avoirdupois ounce, 1/16 lb", SP811},
    {"gr, grain, grains", "64.79891 mg", 0, "grain, 1/7000 lb", SP811},

    {"min, minute, minutes", "60 s", 0, "minute", SI_BROCHURE},
    {"h, hr, hour, hours", "60 min", 0, "hour", SI_BROCHURE},
    {"d, day, days", "24 h", 0, "day", SI_BROCHURE},
    {"week, weeks", "7 d", 0, "week", "common usage"},
    {"year, years", "365.25 d", 0, "Julian year", "IAU style manual (1989)"},
    {"month, months", "30.4375 d", 0, "a twelfth of that year", "arithmetic"},

    {"C, °C, degC, celsius", "1 K", BF_K_AT_0_C, "temperature in degrees Celsius", SI_BROCHURE},
    {"F, °F, degF, fahrenheit", "0.5555555555555556 K", 459.67,
     "temperature in degrees Fahrenheit, 5/9 K each", SP811},

    {"mmol", "0.001 mol", 0, "millimole", SI_BROCHURE},
    {"meq", "0.001 eq", 0, "milliequivalent", "0.001 of the above"},

    {"J", "1 kg m2/s2", 0, "joule", SI_BROCHURE},
    {"kJ", "1000 J", 0, "kilojoule", SI_BROCHURE},
    {"W", "1 J/s", 0, "watt", SI_BROCHURE},
    {"kW", "1000 W", 0, "kilowatt", SI_BROCHURE},
    {"kWh", "1 kW h", 0, "kilowatt hour", SI_BROCHURE},

    {"Pa", "1 kg/m/s2", 0, "pascal", SI_BROCHURE},
    {"kPa", "1000 Pa", 0, "kilopascal", SI_BROCHURE},
    {"bar", "100 kPa", 0, "bar", SI_BROCHURE},
    {"mbar", "0.001 bar", 0, "millibar", SI_BROCHURE},
    {"psi", "4.4482216152605 kg m/s2/in2", 0, "pound-force per square inch", SP811},

    {"mS", "0.001 S", 0, "millisiemens", SI_BROCHURE},
    {"uS, µS, μS", "0.001 mS", 0, "microsiemens", SI_BROCHURE},

    {"%, percent", "0.01", 0, "a hundredth of any number", SI_BROCHURE},
    {"wt%, wt.%, % by weight", "0.01 mass fraction", 0, "a hundredth of a mass fraction",
     "common practice"},
    {"ppm", "1 mg/L", 0, "part per million, as the trade uses it for dilute water: mg/L",
     "common practice"},
    {"ppb", "1 ug/L", 0, "part per billion, as the trade uses it for dilute water: ug/L",
     "common practice"},

    {"gpm", "1 gal/min", 0, "U.S. gallon per minute", SP811},
    {"gpg", "1 gr/gal as CaCO3", 0, "grain of CaCO3 per U.S. gallon",
     SP811 "; CaCO3 by common practice"},
    {"kgr, kilograin, kilograins", "1000 gr as CaCO3", 0, "a thousand grains of CaCO3",
     "common practice"},
    {"dH, °dH, german degree, german degrees", "10 mg/L as CaO", 0, "German degree of hardness",
     "DIN 38409-6, from memory; FAO: 1 meq/L = 2.805 dH"},
    {"fH, °fH, french degree, french degrees", "10 mg/L as CaCO3", 0, "French degree of hardness",
     "NF T90-003, from memory"},
    {"english degree, english degrees, °Clark, °e", "1 gr/imperial gallon as CaCO3", 0,
     "English (Clark) degree of hardness",
     "grain and gallon of " SP811 "; CaCO3 by common practice"},
};
#define UNIT_COUNT (sizeof unit_table / sizeof *unit_table)
static const bf_dimension_info dimension_table[] = {
#define BF_DIMENSION_ROW(id, name, si_unit, examples) {name, si_unit, examples},
    BF_DIMENSION_TABLE(BF_DIMENSION_ROW)
#undef BF_DIMENSION_ROW
};
size_t bf_unit_count(void)
{
    return UNIT_COUNT;
}

const bf_unit *bf_unit_get(size_t index)
{
    assert(index < UNIT_COUNT);
    return &unit_table[index];
}

const bf_dimension_info *bf_dimension_get(bf_dimension dimension)
{
    assert((unsigned)dimension < BF_DIMENSION_COUNT);
    return &dimension_table[dimension];
}
