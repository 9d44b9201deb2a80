/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file case.h
 * A case file: water, bed, resin, service and regeneration in the units people think in.
 */
#ifndef BRINEFRONT_CASE_H
#define BRINEFRONT_CASE_H

#include "brinefront/campaign.h"
#include "brinefront/criteria.h"
#include "brinefront/dose_curve.h"
#include "brinefront/parallel_beds.h"
#include "brinefront/stagnation.h"
#include "brinefront/unit_system.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { BF_CASE_DOSES = 64, BF_CASE_VALUES = 256 };

/** One value of a case as it was read, for printing it back. */
typedef struct bf_case_value {
    size_t key;     /**< index for bf_case_key_get() */
    char text[64];  /**< as stated, or as filled in; cut where it is longer */
    int is_default; /**< nobody stated it */
    double value; /**< in SI: of a flow m/s, of a volume of water bed volumes, of a concentration or
                       hardness eq/m3; NAN for words */
} bf_case_value;

/** The years of a case's bed, where the file has a section `campaign`. */
typedef struct bf_case_campaign {
    int is_stated;
    bf_campaign_spec spec; /**< whole: bed on the campaign's own grid, recipe at its dose */
    double duration_days;
    char start[11];          /**< "2021-04-01"; "" where the file states no date */
    double needed_eq_per_m3; /**< rating the bed is held against; NAN: none stated */
} bf_case_campaign;

/** The vessel of a case's bed and how it is rated, where the file has a section `tank`. */
typedef struct bf_case_tank {
    int is_stated;
    bf_tank_spec spec; /**< whole: diameter is that of the bed */
    bf_protocol protocol;
    double quantile;          /**< of the practical rating, 0 .. 0.5 */
    size_t samples;           /**< of a band */
    double blend_eq_per_m3;   /**< hardness wanted of the blend; NAN: none */
    int beds;                 /**< 1, or 2 in turn */
    bf_uneven_flow uneven;    /**< default: even */
    bf_stagnation stagnation; /**< default: NAN, none */
} bf_case_tank;

/** Some 34 KB, which a thread's stack may not have room for: keep it on the heap, and hand it on by
 *  pointer. */
typedef struct bf_case {
    char title[200];
    bf_rating_spec rating;
    double dose_kg_per_m3[BF_CASE_DOSES];
    size_t dose_count;
    bf_case_tank tank;
    bf_case_campaign campaign;
    bf_case_value value[BF_CASE_VALUES]; /**< every key with a value, in the order of the keys */
    size_t value_count;
} bf_case;

/**
 * Read a case file ("-": standard input), fill in defaults, check everything.
 *
 * @param notes  gets every assumption and every finding, each with its line and column; all
 *               findings of a file are collected before the reader gives up
 * @return BF_OK; BF_E_FILE; BF_E_INPUT with the first finding
 */
BF_API BF_MUST_CHECK bf_status bf_case_read(const char *file_name, bf_case *out, bf_notes *notes,
                                            bf_error *err);

/** The same from memory; `name` stands for the file in messages. */
BF_API BF_MUST_CHECK bf_status bf_case_read_text(const char *text, size_t length, const char *name,
                                                 bf_case *out, bf_notes *notes, bf_error *err);

/** Read a list of doses, "3, 6, 10, 15 lb/ft3": a unit holds for the values before it that have
 *  none. @return BF_OK; BF_E_INPUT */
BF_API BF_MUST_CHECK bf_status bf_case_set_doses(bf_case *input, const char *text, bf_error *err);

/** One key of the case file, for documentation. */
typedef struct bf_case_key {
    const char *section;   /**< "water", "campaign.cleaning"; "" for what stands in none */
    const char *path;      /**< whole: "water.hardness" */
    const char *kind;      /**< what it takes, in words: "length: m, mm, ft or in" */
    char default_text[64]; /**< ""; the key has no default */
    char least[128];       /**< accepted range as text; for a choice `least` lists the words */
    char most[64];
    const char *help;
    const char *source; /**< of the default */
} bf_case_key;

/** A value in the units people read, e.g. "6.195 meq/L" and "18.11 gpg".
 * @param bed  of the case: flows and volumes of water are stored by it
 * @return nonzero when it has a unit to show; else `text` is what the case says */
BF_API int bf_case_value_show(const bf_bed_spec *bed, const bf_case_value *value,
                              bf_unit_system units, char *text, size_t room);

BF_API size_t bf_case_key_count(void);
BF_API bf_case_key bf_case_key_get(size_t index);

/** Whether a key or a section, named as a note's `where` names it, is of use to a campaign only.
 *  Beside a rating a note about it is noise. Zero for what is no key. */
BF_API int bf_case_key_is_of_campaign(const char *where);

#ifdef __cplusplus
}
#endif
#endif
