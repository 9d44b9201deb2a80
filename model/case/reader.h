/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case file while it is being read: what was stated, what it comes to, and what is wrong with it.
 */
#ifndef BF_CASE_READER_H
#define BF_CASE_READER_H

#include "case/file/yaml.h"
#include "case/keys.h"

typedef struct bf__stated {
    const char *text; /* NULL: neither stated nor filled in */
    int is_default;
    long line, column;
    double value; /* SI, once read; of a flow m/s, of a volume of water BV, of a freeboard m */
    int is_read;
} bf__stated;

/* What an item of a list of mappings states. */
enum { BF__ITEM_KEYS = 9 }; /* the most that a section of items has: a test counts them */
typedef struct bf__item {
    bf__stated key[BF__ITEM_KEYS]; /* by bf__key_place() */
} bf__item;

typedef struct bf__reader {
    const char *file_name;
    const bf__yaml *yaml;
    bf_notes *notes;
    bf_error *err;
    bf_status status; /* the first finding's */
    int is_whole;     /* the file could be read to its end: what is missing is missing */
    bf__stated key[BF__KEY_COUNT];
    bf_case *out;
    int has_campaign;   /* a key of its section is stated */
    int has_tank;       /* the same of the vessel */
    char dose_text[40]; /* of a campaign, where it is filled in */
    double area_m2;     /* 0 until the geometry is known */
    int bed_is_made_up; /* the file's is wrong: what is stated against it cannot be judged */
} bf__reader;

/* Add a finding; the first becomes the error. */
void bf__reader_find(bf__reader *r, const char *path, long line, long column, const char *sentence);
void bf__reader_find_key(bf__reader *r, bf__key_id id, const char *sentence);

/* The number of a text for a key, in the key's own SI unit and within its range; a finding and 0
 * where it is not. */
int bf__reader_within(bf__reader *r, bf__key_id id, const char *text, long line, long column,
                      double *out);

/* The same for the text that stands for a key of the file. */
void bf__reader_read(bf__reader *r, bf__key_id id);
void bf__reader_check_choice(bf__reader *r, bf__key_id id);

int bf__reader_is_stated(const bf__reader *r, bf__key_id id);
int bf__reader_has(const bf__reader *r, bf__key_id id);      /* read and in range */
double bf__reader_value(const bf__reader *r, bf__key_id id); /* NAN where it has none */
int bf__reader_chosen(const bf__reader *r, bf__key_id id, const char *word);

int bf__reader_is_own(const bf__reader *r, bf__key_id id); /* stated in the file, not filled in */

/* Read the items of a list of mappings, which a section describes; where the list is a choice, a
 * plain word counts as the section's first key. Returns how many there are; beyond `most` says
 * `too_many` and stops. */
size_t bf__reader_items(bf__reader *r, bf__section_id section, size_t most, const char *too_many,
                        bf__item *items);
const bf__stated *bf__item_first(const bf__item *item); /* where it begins */

/* Of an item, which may be NULL: what it states for a key, and the value of that, or `otherwise`. */
int bf__item_has(const bf__item *item, bf__key_id id);
const bf__stated *bf__item_get(const bf__item *item, bf__key_id id);
double bf__item_value(const bf__item *item, bf__key_id id, double otherwise);

/* A finding at the key `own` where the item states it, else at the file's key `common`. */
void bf__reader_find_cause(bf__reader *r, const bf__item *item, bf__key_id own, bf__key_id common,
                           const char *sentence);

#endif
