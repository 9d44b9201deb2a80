/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sample of a long list: seeds in a row run all of it, each item once; without a seed all of it runs. */
#include "support.h"

#include <stdlib.h>

enum { ITEMS = 13, SHARE = 4 };

static void set(const char *name, const char *value)
{
    ck_assert_int_eq(value != NULL ? setenv(name, value, 1) : unsetenv(name), 0);
}

START_TEST(seeds_in_a_row_run_each_item_once)
{
    static const char *const seeds[SHARE] = {"20787", "20788", "20789", "20790"};
    size_t runs[ITEMS] = {0};
    set("BF_SAMPLE", "4");
    for (size_t s = 0; s < SHARE; s++) {
        size_t chosen = 0;
        set("BF_SEED", seeds[s]);
        for (size_t i = 0; i < ITEMS; i++) {
            const size_t now = support_sampled(i) != 0;
            ck_assert_uint_eq(now, support_sampled(i) != 0);
            runs[i] += now;
            chosen += now;
        }
        ck_assert(chosen == ITEMS / SHARE || chosen == ITEMS / SHARE + 1);
    }
    for (size_t i = 0; i < ITEMS; i++) {
        ck_assert_uint_eq(runs[i], 1);
    }
}
END_TEST

START_TEST(without_seed_or_share_all_run)
{
    for (size_t i = 0; i < ITEMS; i++) {
        set("BF_SAMPLE", "4");
        set("BF_SEED", NULL);
        ck_assert(support_sampled(i));
        set("BF_SEED", "3");
        set("BF_SAMPLE", NULL);
        ck_assert(support_sampled(i));
        set("BF_SAMPLE", "1");
        ck_assert(support_sampled(i));
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {seeds_in_a_row_run_each_item_once, without_seed_or_share_all_run};
    return support_run("sampled", tests, sizeof tests / sizeof *tests, 10);
}
