/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a misspelt word lies from a known one. */
#ifndef BF_BASE_NEAREST_H
#define BF_BASE_NEAREST_H

#include <stddef.h>

enum { BF__NEAREST_WORD_MAX = 80 }; /* numerical choice: longer than every key and unit */

/* Edit distance: 1 for another case of a letter, 3 for a letter changed, left out or put in.
 * Words longer than BF__NEAREST_WORD_MAX are far from everything. */
int bf__nearest_distance(const char *a, size_t a_length, const char *b, size_t b_length);

/* The distance up to which a name is worth suggesting for a word: two letters, and not half of it.
 */
int bf__nearest_limit(size_t word_length);

#endif
