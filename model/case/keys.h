/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of a case file: keys.def as a table. */
#ifndef BF_CASE_KEYS_H
#define BF_CASE_KEYS_H

#include "brinefront/case.h"

/* X(kind, what it takes, in words) */
#define BF__KIND_TABLE(X)                                                                          \
    X(TEXT, "text")                                                                                \
    X(CHOICE, "one of the words")                                                                  \
    X(NUMBER, "a plain number")                                                                    \
    X(COUNT, "a whole number")                                                                     \
    X(FRACTION, "a plain number or %")                                                             \
    X(HARDNESS, "hardness: mg/L as CaCO3, gpg, meq/L")                                             \
    X(ION, "concentration: mg/L, mg/L as CaCO3, meq/L, mmol/L")                                    \
    X(CAPACITY, "equivalents per volume: eq/L, kgr/ft3")                                           \
    X(MASS_PER_VOLUME, "mass per volume: mg/L, g/L, kg/m3, lb/ft3")                                \
    X(CONDUCTIVITY, "conductivity: uS/cm, mS/m")                                                   \
    X(TEMPERATURE, "temperature: C, F, K")                                                         \
    X(LENGTH, "length: m, mm, in, ft")                                                             \
    X(PRESSURE, "pressure: psi, kPa, bar, Pa")                                                     \
    X(VOLUME, "volume: L, m3, gal, ft3")                                                           \
    X(TIME, "time: s, min, h")                                                                     \
    X(DIFFUSIVITY, "diffusivity: m2/s, cm2/s")                                                     \
    X(ENERGY_PER_MOLE, "energy per mole: kJ/mol")                                                  \
    X(STRENGTH, "strength of brine: wt%, salometer")                                               \
    X(DOSES, "salt per resin volume or in all: lb/ft3, g/L, lb, kg; one or a list")                \
    X(FLOW, "flow: BV/h, gpm, m3/h, gpm/ft3, gpm/ft2, m/h")                                        \
    X(WATER, "volume of water: BV, gal, L, gal/ft3")                                               \
    X(FREEBOARD, "length, or % of the bed depth")                                                  \
    X(DISSOLVED, "concentration: mg/L, ug/L")                                                      \
    X(SPAN, "time: h, days, weeks, months, years")                                                 \
    X(DATE, "a date such as 2021-04-01")                                                           \
    X(MONTH_DAY, "month and day such as 06-01")                                                    \
    X(DOSE, "mass per resin volume or in all: lb/ft3, g/L, lb, kg")                                \
    X(MASS_FRACTION, "mass fraction: wt%, %")                                                      \
    X(PARAMETER, "a plain number in the unit its name carries")                                    \
    X(MAPPINGS, "a list of mappings")

typedef enum bf__kind {
#define BF__KIND_ENUM(kind, words) BF__KIND_##kind,
    BF__KIND_TABLE(BF__KIND_ENUM)
#undef BF__KIND_ENUM
} bf__kind;

/* X(id, name in the file, what has to be stated before its keys are used, key of the list whose items
 * it describes or COUNT). Two rows may share a name: a section in which some keys are used by a
 * campaign only. */
#define BF__SECTION_TABLE(X)                                                                       \
    X(CASE, "", ALWAYS, COUNT)                                                                     \
    X(WATER, "water", ALWAYS, COUNT)                                                               \
    X(WATER_CAMPAIGN, "water", CAMPAIGN, COUNT)                                                    \
    X(BED, "bed", ALWAYS, COUNT)                                                                   \
    X(TANK, "tank", TANK, COUNT)                                                                   \
    X(RATING, "rating", TANK, COUNT)                                                               \
    X(RESIN, "resin", ALWAYS, COUNT)                                                               \
    X(SERVICE, "service", ALWAYS, COUNT)                                                           \
    X(REGENERATION, "regeneration", ALWAYS, COUNT)                                                 \
    X(STEP, "regeneration.steps", ALWAYS, STEPS)                                                   \
    X(CAMPAIGN, "campaign", CAMPAIGN, COUNT)                                                       \
    X(CLEANING, "campaign.cleaning", CAMPAIGN, COUNT)                                              \
    X(SEASON, "campaign.seasons", CAMPAIGN, SEASONS)                                               \
    X(PARAMETER, "campaign.parameter", CAMPAIGN, COUNT)                                            \
    X(NUMERICS, "numerics", ALWAYS, COUNT)                                                         \
    X(NUMERICS_CAMPAIGN, "numerics", CAMPAIGN, COUNT)

typedef enum bf__section_id {
#define BF__SECTION_ENUM(id, name, user, list) BF__SECTION_##id,
    BF__SECTION_TABLE(BF__SECTION_ENUM)
#undef BF__SECTION_ENUM
        BF__SECTION_COUNT
} bf__section_id;

/* Who uses a key: everybody, or a case that states a vessel, or one that states a campaign. */
typedef enum bf__user { BF__USER_ALWAYS, BF__USER_TANK, BF__USER_CAMPAIGN } bf__user;

typedef enum bf__key_id {
#define KEY(id, section, path, kind, text, least, most, help, source) BF__KEY_##id,
#include "case/keys.def"
#undef KEY
    BF__KEY_COUNT
} bf__key_id;

typedef struct bf__section {
    const char *name; /* in the file, with dots; "" for what stands in none */
    bf__user user;
    bf__key_id list; /* the list whose items its keys describe; BF__KEY_COUNT: none */
} bf__section;

typedef struct bf__key {
    bf__section_id section;
    const char *path;
    bf__kind kind;
    const char *default_text;
    const char *least;
    const char *most;
    const char *help;
    const char *source;
} bf__key;

const bf__key *bf__key_get(bf__key_id id);
const bf__section *bf__key_section(bf__key_id id);
size_t bf__key_place(bf__key_id id); /* among the keys of its section, from 0 */

/* Salt per m3 of bed from a dose in either form: per resin volume, or in all. */
BF_MUST_CHECK bf_status bf__dose_read(const char *text, double bed_m3, double *dose_kg_per_m3,
                                      bf_error *err);

/* The key of a path, or BF__KEY_COUNT. An item of a list, "a.b[3]", is looked up as "a.b", what
 * stands inside an item, "a.b[3].c", as "a.b.c". */
bf__key_id bf__key_find(const char *path);

/* Nonzero where a path would be a key's but for a list in it: "bed[0].depth". */
int bf__key_is_in_list(const char *path);

/* These take BF__KEY_COUNT, a path that is no key, too. */
int bf__key_is_list(bf__key_id id);        /* may hold a list of values */
int bf__key_is_item(bf__key_id id);        /* stands inside an item of a list of mappings */
bf__key_id bf__key_list_of(bf__key_id id); /* that list; BF__KEY_COUNT where it stands in none */

/* For a key of kind PARAMETER, its row in the table of iron.h. */
size_t bf__key_parameter(bf__key_id id);

/* Nonzero for what only a campaign, or only a case with a vessel, uses. */
int bf__key_is_of_campaign(bf__key_id id);
int bf__key_is_of_tank(bf__key_id id);

/* The known path nearest to an unknown one, or NULL where none is near. */
const char *bf__key_nearest(const char *path);

/* For a key of kind ION under water., or resin.selectivity., .diffusivity., .activation.: the ion
 * whose name ends the path; else BF_ION_COUNT. */
bf_ion bf__key_ion(bf__key_id id);

#endif
