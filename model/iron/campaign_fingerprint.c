/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The number that tells the spec of a campaign from others: CRC-32 of every field that it has.
 *
 * One table a struct, in the order of its fields. A field that a table forgets does not compile:
 * each table makes a copy of its struct, whose fields must lie where those of the struct lie, and
 * an initialiser, which must have as many values as the struct has fields.
 */
#include "brinefront/campaign.h"
#include "brinefront/version.h"

#include <stddef.h>
#include <string.h>
#include <zlib.h>

/* How a field counts:
 *
 *     NUMBER     a number or an enum, byte by byte
 *     NUMBERS    an array of doubles, byte by byte
 *     DOUBLES    a struct of nothing but doubles, byte by byte
 *     TEXT       a string; NULL counts as empty
 *     PART       a struct with a table of its own
 *     ROWS       an array of such structs, as many as are in use
 *     STEP_TYPE  by its name
 *     LEFT_OUT   an address, which says nothing in another process
 */
#define WATER_FIELDS(X, S)                                                                         \
    X(S, NUMBERS, ion_eq_per_m3)                                                                   \
    X(S, NUMBER, hardness_eq_per_m3)                                                               \
    X(S, NUMBER, normality_eq_per_m3)                                                              \
    X(S, NUMBER, temperature_K)                                                                    \
    X(S, NUMBER, pH)                                                                               \
    X(S, NUMBER, imbalance)

#define SEASON_FIELDS(X, S)                                                                        \
    X(S, NUMBER, from_day)                                                                         \
    X(S, PART, water)                                                                              \
    X(S, NUMBER, oxygen_mol_per_m3)

#define RESIN_FIELDS(X, S)                                                                         \
    X(S, TEXT, name)                                                                               \
    X(S, NUMBER, total_capacity_eq_per_m3)                                                         \
    X(S, NUMBER, void_fraction)                                                                    \
    X(S, NUMBER, bead_diameter_m)                                                                  \
    X(S, NUMBER, uniformity_coefficient)                                                           \
    X(S, NUMBER, bead_density_kg_per_m3)                                                           \
    X(S, NUMBERS, selectivity)                                                                     \
    X(S, NUMBERS, diffusivity_25C_m2_per_s)                                                        \
    X(S, NUMBERS, activation_J_per_mol)

#define BED_FIELDS(X, S)                                                                           \
    X(S, NUMBER, diameter_m)                                                                       \
    X(S, NUMBER, depth_m)                                                                          \
    X(S, NUMBER, freeboard_m)                                                                      \
    X(S, NUMBER, temperature_K)                                                                    \
    X(S, PART, resin)                                                                              \
    X(S, NUMBER, rate_law)                                                                         \
    X(S, NUMBER, film_law)                                                                         \
    X(S, NUMBER, film_m_per_s)                                                                     \
    X(S, NUMBER, coat_m)                                                                           \
    X(S, NUMBER, dispersion_m2_per_s)                                                              \
    X(S, NUMBER, dispersion_factor)                                                                \
    X(S, NUMBERS, rate_constant_per_s)                                                             \
    X(S, NUMBER, cells)                                                                            \
    X(S, NUMBER, shells)                                                                           \
    X(S, NUMBER, bead_classes)                                                                     \
    X(S, NUMBER, shell_law)                                                                        \
    X(S, NUMBER, freeboard_law)                                                                    \
    X(S, NUMBER, relative_tolerance)                                                               \
    X(S, NUMBER, hardness_tolerance_eq_per_m3)                                                     \
    X(S, NUMBER, solver)                                                                           \
    X(S, LEFT_OUT, sources)                                                                        \
    X(S, NUMBER, source_count)

#define STEP_FIELDS(X, S)                                                                          \
    X(S, STEP_TYPE, type)                                                                          \
    X(S, NUMBER, direction)                                                                        \
    X(S, NUMBER, supply)                                                                           \
    X(S, NUMBER, velocity_m_per_s)                                                                 \
    X(S, NUMBER, bed_volumes)                                                                      \
    X(S, NUMBER, duration_s)                                                                       \
    X(S, NUMBER, end_hardness_eq_per_m3)                                                           \
    X(S, NUMBER, stop_hardness_eq_per_m3)                                                          \
    X(S, NUMBER, salt)                                                                             \
    X(S, NUMBER, dose_kg_per_m3)                                                                   \
    X(S, NUMBER, mass_fraction)                                                                    \
    X(S, NUMBER, mix_share)                                                                        \
    X(S, NUMBER, blocking_velocity_m_per_s)                                                        \
    X(S, LEFT_OUT, context)                                                                        \
    X(S, LEFT_OUT, observe)                                                                        \
    X(S, LEFT_OUT, finish)                                                                         \
    X(S, LEFT_OUT, observer)

#define RECIPE_FIELDS(X, S)                                                                        \
    X(S, ROWS, step)                                                                               \
    X(S, NUMBER, count)

#define CLEANING_FIELDS(X, S)                                                                      \
    X(S, NUMBER, every_days)                                                                       \
    X(S, NUMBER, agent)                                                                            \
    X(S, NUMBER, dose_kg_per_m3)                                                                   \
    X(S, NUMBER, duration_s)                                                                       \
    X(S, NUMBER, pH)                                                                               \
    X(S, NUMBER, mass_fraction)                                                                    \
    X(S, NUMBER, aged)

#define CAMPAIGN_FIELDS(X, S)                                                                      \
    X(S, PART, water)                                                                              \
    X(S, NUMBER, oxygen_mol_per_m3)                                                                \
    X(S, ROWS, season)                                                                             \
    X(S, NUMBER, season_count)                                                                     \
    X(S, NUMBER, start_day)                                                                        \
    X(S, NUMBER, contact_s)                                                                        \
    X(S, NUMBER, ferric_share)                                                                     \
    X(S, NUMBER, free_chlorine_g_per_m3)                                                           \
    X(S, NUMBER, chloramine_g_per_m3)                                                              \
    X(S, PART, bed)                                                                                \
    X(S, PART, recipe)                                                                             \
    X(S, DOUBLES, iron)                                                                            \
    X(S, NUMBER, brine_pH)                                                                         \
    X(S, NUMBER, brine_oxygen_mol_per_m3)                                                          \
    X(S, NUMBER, slices)                                                                           \
    X(S, NUMBER, water_m3_per_day)                                                                 \
    X(S, NUMBER, service_bed_volumes)                                                              \
    X(S, NUMBER, days_between)                                                                     \
    X(S, NUMBER, draws_per_day)                                                                    \
    X(S, NUMBER, cycles)                                                                           \
    X(S, PART, cleaning)                                                                           \
    X(S, DOUBLES, deposit)                                                                         \
    X(S, NUMBER, potential_every)                                                                  \
    X(S, NUMBER, skip_tolerance)

#define ROW_COUNT_step count
#define ROW_COUNT_season season_count

/* ---- no field is forgotten ------------------------------------------------------------------- */

#pragma GCC diagnostic error "-Wmissing-field-initializers"

/* clang-format off */
#define VALUE_NUMBER(field) s->field
#define VALUE_NUMBERS(field) {s->field[0]}
#define VALUE_DOUBLES(field) s->field
#define VALUE_TEXT(field) s->field
#define VALUE_PART(field) s->field
#define VALUE_ROWS(field) {s->field[0]}
#define VALUE_STEP_TYPE(field) s->field
#define VALUE_LEFT_OUT(field) s->field
/* clang-format on */

#define COPY_FIELD(S, kind, field) __typeof__(((S *)0)->field) field;
#define SAME_PLACE(S, kind, field)                                                                 \
    _Static_assert(offsetof(S, field) == offsetof(struct S##_copy, field), #field);
#define VALUE_FIELD(S, kind, field) VALUE_##kind(field),

#define HOLD_TO_STRUCT(S, TABLE)                                                                   \
    struct S##_copy {                                                                              \
        TABLE(COPY_FIELD, S)                                                                       \
    };                                                                                             \
    TABLE(SAME_PLACE, S)                                                                           \
    _Static_assert(sizeof(S) == sizeof(struct S##_copy), #S);                                      \
    static inline __attribute__((unused)) S S##_every_field(const S *s)                            \
    {                                                                                              \
        return (S){TABLE(VALUE_FIELD, S)};                                                         \
    }

HOLD_TO_STRUCT(bf_water, WATER_FIELDS)
HOLD_TO_STRUCT(bf_campaign_season, SEASON_FIELDS)
HOLD_TO_STRUCT(bf_resin, RESIN_FIELDS)
HOLD_TO_STRUCT(bf_bed_spec, BED_FIELDS)
HOLD_TO_STRUCT(bf_step, STEP_FIELDS)
HOLD_TO_STRUCT(bf_recipe, RECIPE_FIELDS)
HOLD_TO_STRUCT(bf_campaign_cleaning, CLEANING_FIELDS)
HOLD_TO_STRUCT(bf_campaign_spec, CAMPAIGN_FIELDS)

/* ---- adding up ------------------------------------------------------------------------------- */

static void add(unsigned long *print, const void *bytes, size_t length)
{
    *print = crc32(*print, bytes, (uInt)length);
}

static void add_text(unsigned long *print, const char *text)
{
    const char *some = text != NULL ? text : "";
    add(print, some, strlen(some) + 1);
}

#define ADD_NUMBER(field) add(print, &s->field, sizeof s->field);
#define ADD_NUMBERS(field) add(print, &s->field, sizeof s->field);
#define ADD_DOUBLES(field) add(print, &s->field, sizeof s->field);
#define ADD_TEXT(field) add_text(print, s->field);
#define ADD_PART(field) add_##field(print, &s->field);
#define ADD_ROWS(field)                                                                            \
    for (size_t k = 0; k < s->ROW_COUNT_##field; k++) {                                            \
        add_##field(print, &s->field[k]);                                                          \
    }
#define ADD_STEP_TYPE(field) add_text(print, s->field->name);
#define ADD_LEFT_OUT(field)
#define ADD_FIELD(S, kind, field) ADD_##kind(field)

#define DEFINE_ADD(S, name, TABLE)                                                                 \
    static void add_##name(unsigned long *print, const S *s)                                       \
    {                                                                                              \
        TABLE(ADD_FIELD, S)                                                                        \
    }

DEFINE_ADD(bf_water, water, WATER_FIELDS)
DEFINE_ADD(bf_campaign_season, season, SEASON_FIELDS)
DEFINE_ADD(bf_resin, resin, RESIN_FIELDS)
DEFINE_ADD(bf_bed_spec, bed, BED_FIELDS)
DEFINE_ADD(bf_step, step, STEP_FIELDS)
DEFINE_ADD(bf_recipe, recipe, RECIPE_FIELDS)
DEFINE_ADD(bf_campaign_cleaning, cleaning, CLEANING_FIELDS)
DEFINE_ADD(bf_campaign_spec, campaign, CAMPAIGN_FIELDS)

unsigned long bf_campaign_fingerprint(const bf_campaign_spec *spec)
{
    unsigned long print = crc32(0, NULL, 0);
    add_text(&print, bf_version());
    add_campaign(&print, spec);
    return print;
}
