/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file units.h
 * Text with a unit, "10 lb/ft3" or "350 mg/L as CaCO3", to a number in SI. Used once, at the edge.
 *
 *     quantity = number [unit] ["as" basis]
 *     number   = decimal, with a point; no comma, no separators, not hexadecimal, nan or infinity
 *     unit     = name [power] { ("/" | "*" | space) name [power] };  power: m3, m^3, m-3, m³
 *     basis    = CaCO3 | CaO | ion | "the ion" | symbol of an ion, such as Fe
 *
 * The names are a closed list: bf_unit_get() goes through it, each with the definition it is
 * computed from. Names are case sensitive. After a "/" every further unit needs its own "/", since
 * "J/mol K" can be read in two ways. The space before the unit may be missing.
 *
 * Which of two readings is taken:
 *  - C and F are absolute temperatures and stand alone; inside a compound write K.
 *  - gal is the U.S. gallon, oz the avoirdupois ounce.
 *  - ppm is 1 mg/L and ppb 1 ug/L, as the trade uses them for dilute water.
 *  - gpg, kgr and the degrees of hardness count CaCO3, so they are equivalents as they stand.
 *  - "as CaCO3" turns a mass or an amount into equivalents at once. "as ion" stays a mass, because
 *    only the caller knows the ion: see bf_quantity_as_ion().
 *  - % is a hundredth of any number, wt% a hundredth of a mass fraction and nothing else.
 *  - BV, one bed volume, and salometer degrees have dimensions of their own: what they come to
 *    depends on the bed and on the temperature. gpm/ft3 of resin is a rate, the same as BV/s.
 */
#ifndef BRINEFRONT_UNITS_H
#define BRINEFRONT_UNITS_H

#include "brinefront/ions.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * X(id, name, SI unit, examples): every kind of quantity that is understood. Quantities with the
 * same SI unit are one kind: a salt dose, a density and a mass concentration are all kg/m3.
 */
#define BF_DIMENSION_TABLE(X)                                                                      \
    X(NUMBER, "plain number", "", "0.38 or 38 %")                                                  \
    X(LENGTH, "length", "m", "m, mm, ft or in")                                                    \
    X(AREA, "area", "m2", "m2 or ft2")                                                             \
    X(VOLUME, "volume", "m3", "m3, L, gal or ft3")                                                 \
    X(MASS, "mass", "kg", "kg, g or lb")                                                           \
    X(TIME, "time", "s", "s, min, h, days, months or years")                                       \
    X(TEMPERATURE, "temperature", "K", "C, F or K")                                                \
    X(VELOCITY, "velocity", "m/s", "m/h or gpm/ft2")                                               \
    X(FLOW, "flow", "m3/s", "m3/h, L/min or gpm")                                                  \
    X(RATE, "rate", "1/s", "1/h or gpm/ft3")                                                       \
    X(BED_VOLUMES, "number of bed volumes", "BV", "BV")                                            \
    X(BED_VOLUMES_PER_TIME, "flow in bed volumes", "BV/s", "BV/h or gpm/ft3")                      \
    X(MOLES, "amount in moles", "mol", "mol or mmol")                                              \
    X(EQUIVALENTS, "amount in equivalents", "eq", "eq or kgr")                                     \
    X(EQUIVALENTS_PER_VOLUME, "concentration or capacity in equivalents", "eq/m3",                 \
      "mg/L as CaCO3, meq/L, gpg, eq/L or kgr/ft3")                                                \
    X(MOLES_PER_VOLUME, "concentration in moles", "mol/m3", "mmol/L")                              \
    X(MOLES_PER_MASS, "molality", "mol/kg", "mol/kg")                                              \
    X(MASS_PER_VOLUME, "mass per volume", "kg/m3", "mg/L, g/L, kg/m3 or lb/ft3")                   \
    X(MASS_FRACTION, "mass fraction", "mass fraction", "wt%, % or g/kg")                           \
    X(SALOMETER, "salometer reading", "salometer", "salometer")                                    \
    X(PRESSURE, "pressure", "Pa", "kPa, bar or psi")                                               \
    X(PRESSURE_GRADIENT, "pressure gradient", "Pa/m", "kPa/m or psi/ft")                           \
    X(CONDUCTANCE, "conductance", "S", "mS or uS")                                                 \
    X(CONDUCTIVITY, "conductivity", "S/m", "uS/cm or mS/m")                                        \
    X(ENERGY, "energy", "J", "kJ or kWh")                                                          \
    X(POWER, "power", "W", "W or kW")                                                              \
    X(ENERGY_PER_MOLE, "energy per mole", "J/mol", "kJ/mol")                                       \
    X(DIFFUSIVITY, "diffusivity", "m2/s", "m2/s or cm2/s")

typedef enum bf_dimension {
#define BF_DIMENSION_ENUM(id, name, si_unit, examples) BF_DIMENSION_##id,
    BF_DIMENSION_TABLE(BF_DIMENSION_ENUM)
#undef BF_DIMENSION_ENUM
        BF_DIMENSION_COUNT
} bf_dimension;

typedef struct bf_dimension_info {
    const char *name;
    const char *si_unit; /**< as bf_quantity_parse() reads it; "" for a plain number */
    const char *examples;
} bf_dimension_info;

/** Borrowed, never NULL for a valid dimension. */
BF_API const bf_dimension_info *bf_dimension_get(bf_dimension dimension);

/** What a mass or an amount counts. */
typedef enum bf_basis {
    BF_BASIS_NONE,       /**< nothing was said */
    BF_BASIS_EQUIVALENT, /**< as CaCO3 or as CaO: the value is in equivalents already */
    BF_BASIS_ION,        /**< as ion: the ion the quantity is stated for */
    BF_BASIS_NAMED_ION   /**< as Fe: see named_ion */
} bf_basis;

typedef struct bf_quantity {
    double value; /**< in the SI unit of `dimension`, finite */
    bf_dimension dimension;
    bf_basis basis;
    bf_ion named_ion; /**< BF_ION_COUNT unless BF_BASIS_NAMED_ION */
} bf_quantity;

/**
 * Read a quantity.
 *
 * @param text  UTF-8, e.g. "2 gpm/ft3"; space around it is ignored
 * @param out   untouched on failure
 * @return BF_OK; BF_E_INPUT with err->column on the offending character, counted from 1 in
 *         characters of `text`: no number, a comma, a number beyond double precision, an unknown
 *         unit (with the nearest known one), a unit that makes no quantity of bf_dimension
 *
 * Accuracy: a few roundings, 2e-15 relative. Cost: some 20 microseconds. Thread safe, and
 * independent of the locale.
 * Source: the definitions in the list of units. Tested in tests/case/test_units.c.
 */
BF_API BF_MUST_CHECK bf_status bf_quantity_parse(const char *text, bf_quantity *out, bf_error *err);

/**
 * The value of a quantity that has to be of one kind, in its SI unit.
 *
 * A mass fraction may also be a plain number or in %, a flow in bed volumes also a rate (m3/s of
 * water on m3 of resin).
 *
 * @param value  untouched on failure
 * @return BF_OK; BF_E_INPUT for another kind, or one counted "as ion", which only
 *         bf_quantity_as_ion() and bf_quantity_as_hardness() take
 */
BF_API BF_MUST_CHECK bf_status bf_quantity_as(const bf_quantity *quantity, bf_dimension wanted,
                                              double *value, bf_error *err);

/**
 * Read a value that stands outside a case file, such as that of an option, and has to be of one of
 * a few kinds.
 *
 * @param name      what the value is of, as the reader knows it: "--capacity"
 * @param accepted  `count` kinds, 1 or more
 * @param out       untouched on failure
 * @return BF_OK; BF_E_INPUT for a text that is no quantity, one of another kind (the message lists
 *         the units of those accepted), or one not above zero
 * Tested in tests/case/test_units.c.
 */
BF_API BF_MUST_CHECK bf_status bf_quantity_read(const char *name, const char *text,
                                                const bf_dimension *accepted, size_t count,
                                                bf_quantity *out, bf_error *err);

/**
 * The concentration of one ion in eq/m3, from equivalents, moles or mass per volume.
 *
 * Mass and moles count the ion itself, except for HCO3, the alkalinity, whose mass needs a basis:
 * laboratories state it as CaCO3 as often as in HCO3.
 *
 * @return BF_OK; BF_E_INPUT for no concentration, another ion than the named one, a missing basis
 */
BF_API BF_MUST_CHECK bf_status bf_quantity_as_ion(const bf_quantity *quantity, bf_ion ion,
                                                  double *concentration_eq_per_m3, bf_error *err);

/**
 * A hardness, or a capacity for hardness, in eq/m3.
 *
 * Moles count divalent ions. Mass needs a basis, "as CaCO3" or as one ion of hardness ("as Ca");
 * "as ion" says too little, hardness being a sum of ions.
 *
 * @return BF_OK; BF_E_INPUT for no concentration, or a basis that is missing or does not fit
 */
BF_API BF_MUST_CHECK bf_status bf_quantity_as_hardness(const bf_quantity *quantity,
                                                       double *hardness_eq_per_m3, bf_error *err);

/** One unit of the closed list. */
typedef struct bf_unit {
    const char *names;      /**< every spelling, separated by ", ", the usual one first */
    const char *definition; /**< a quantity in units listed before it; "" for a base unit */
    double zero;            /**< added to the number first: 273.15 for C; 0 for most */
    const char *meaning;
    const char *source;
} bf_unit;

/** How many units there are. */
BF_API size_t bf_unit_count(void);

/** Borrowed, never NULL for index < bf_unit_count(). */
BF_API const bf_unit *bf_unit_get(size_t index);

#ifdef __cplusplus
}
#endif
#endif
