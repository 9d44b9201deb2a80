/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Edit distance (Levenshtein), one row of its table at a time. */
#include "base/nearest.h"

#include <ctype.h>

int bf__nearest_distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
    if (a_length > BF__NEAREST_WORD_MAX || b_length > BF__NEAREST_WORD_MAX) {
        return 3 * BF__NEAREST_WORD_MAX;
    }
    int row[BF__NEAREST_WORD_MAX + 1];
    for (size_t j = 0; j <= b_length; j++) {
        row[j] = (int)(3 * j);
    }
    for (size_t i = 1; i <= a_length; i++) {
        int diagonal = row[0];
        row[0] = (int)(3 * i);
        for (size_t j = 1; j <= b_length; j++) {
            unsigned char x = (unsigned char)a[i - 1];
            unsigned char y = (unsigned char)b[j - 1];
            int best = diagonal + (x == y ? 0 : tolower(x) == tolower(y) ? 1 : 3);
            best = row[j] + 3 < best ? row[j] + 3 : best;
            best = row[j - 1] + 3 < best ? row[j - 1] + 3 : best;
            diagonal = row[j];
            row[j] = best;
        }
    }
    return row[b_length];
}

int bf__nearest_limit(size_t word_length)
{
    int half = 3 * (int)word_length / 2; /* 3 a letter: half of the word, or two letters */
    return half < 6 ? half : 6;
}
