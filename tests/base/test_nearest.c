/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The distance between words, against hand counts and against its own definition spelled out. */
#include "base/nearest.h"
#include "support.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static int distance(const char *a, const char *b)
{
    return bf__nearest_distance(a, strlen(a), b, strlen(b));
}

START_TEST(distances_by_hand)
{
    static const struct {
        const char *a, *b;
        int distance;
    } pairs[] = {
        {"", "", 0},
        {"gal", "gal", 0},
        {"", "gpm", 9}, /* three letters put in */
        {"kitten", "kitten ", 3},
        {"hardnes", "hardness", 3}, /* one left out */
        {"dpeth", "depth", 6},      /* two swapped count as two changed */
        {"kitten", "sitting", 9},   /* the textbook pair: three edits */
        {"PH", "pH", 1},            /* another case only */
        {"NACL", "NaCl", 2},
        {"Bed.Depth", "bed.depth", 2},
        {"MG/l", "mg/L", 3}, /* M, G and l in another case */
        {"kcal", "KCl", 5},  /* k in another case, c in another case, a left out */
        {"abc", "xyz", 9},
    };
    for (size_t i = 0; i < COUNT(pairs); i++) {
        ck_assert_msg(distance(pairs[i].a, pairs[i].b) == pairs[i].distance, "%s, %s: %d",
                      pairs[i].a, pairs[i].b, distance(pairs[i].a, pairs[i].b));
    }
}
END_TEST

START_TEST(only_the_given_length_counts)
{
    ck_assert_int_eq(bf__nearest_distance("water[3]", 5, "waterfall", 5), 0);
    ck_assert_int_eq(bf__nearest_distance("water[3]", 6, "waterfall", 5), 3);
}
END_TEST

/* The definition itself, without a table: exponential, so for short words only. */
static int by_definition(const char *a, const char *b)
{
    if (*a == '\0' || *b == '\0') {
        return 3 * (int)(strlen(a) + strlen(b));
    }
    int same_letter = tolower((unsigned char)*a) == tolower((unsigned char)*b);
    int change = by_definition(a + 1, b + 1) + (*a == *b ? 0 : same_letter ? 1 : 3);
    int leave_out = by_definition(a + 1, b) + 3;
    int put_in = by_definition(a, b + 1) + 3;
    int least = change < leave_out ? change : leave_out;
    return least < put_in ? least : put_in;
}

static void random_word(unsigned long long *seed, char word[8])
{
    size_t length = (size_t)(7.0 * support_uniform(seed));
    for (size_t i = 0; i < length; i++) {
        word[i] = "abAB."[(size_t)(5.0 * support_uniform(seed))];
    }
    word[length] = '\0';
}

START_TEST(random_words_agree_with_the_definition)
{
    unsigned long long seed = 90210;
    for (int i = 0; i < 3000; i++) {
        char a[8], b[8];
        random_word(&seed, a);
        random_word(&seed, b);
        ck_assert_msg(distance(a, b) == by_definition(a, b), "%s, %s", a, b);
        ck_assert_int_eq(distance(a, b), distance(b, a));
    }
}
END_TEST

START_TEST(long_words_are_far)
{
    char longest[BF__NEAREST_WORD_MAX + 2];
    memset(longest, 'q', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    const int far = 3 * BF__NEAREST_WORD_MAX;
    ck_assert_int_eq(distance(longest, "q"), far);
    ck_assert_int_eq(distance("q", longest), far);
    ck_assert_int_eq(distance(longest, longest), far);
    longest[BF__NEAREST_WORD_MAX] = '\0';
    ck_assert_int_eq(distance(longest, longest), 0);
    ck_assert_int_eq(distance(longest, ""), far);
}
END_TEST

START_TEST(two_letters_are_near_but_not_half_a_word)
{
    static const int limits[] = {0, 1, 3, 4, 6, 6, 6};
    for (size_t length = 0; length < COUNT(limits); length++) {
        ck_assert_int_eq(bf__nearest_limit(length), limits[length]);
    }
    ck_assert_int_eq(bf__nearest_limit(60), 6);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {distances_by_hand, only_the_given_length_counts,
                                  random_words_agree_with_the_definition, long_words_are_far,
                                  two_letters_are_near_but_not_half_a_word};
    return support_run("base.nearest", tests, COUNT(tests), 60);
}
