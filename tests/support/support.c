/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include <math.h>
#include <stdio.h>

int support_near(double actual, double expected, double relative, double absolute,
                 const char *expression, const char *file, int line)
{
    double allowed = absolute + relative * fabs(expected);
    if (fabs(actual - expected) <= allowed) {
        return 1;
    }
    (void)fprintf(stderr, "%s:%d: %s = %.10g, expected %.10g, off by %.3g, allowed %.3g\n", file,
                  line, expression, actual, expected, actual - expected, allowed);
    return 0;
}

static size_t number_in(const char *variable, size_t otherwise)
{
    const char *text = getenv(variable);
    return text != NULL ? (size_t)strtoul(text, NULL, 10) : otherwise;
}

int support_sampled(size_t index)
{
    size_t share = number_in("BF_SAMPLE", 1);
    return getenv("BF_SEED") == NULL || share < 2 || (index + number_in("BF_SEED", 0)) % share == 0;
}

int support_run(const char *name, const TTest *const *tests, size_t count, double timeout_s)
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_set_timeout(tcase, timeout_s);
    /* What a sample leaves out stays away; a list shorter than the share samples within its tests. */
    const int whole = count < number_in("BF_SAMPLE", 1);
    size_t chosen = 0;
    for (size_t i = 0; i < count; i++) {
        if (whole || support_sampled(i)) {
            tcase_add_test(tcase, tests[i]);
            chosen++;
        }
    }
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    int run = srunner_ntests_run(runner);
    srunner_free(runner);
    return failed == 0 && run == (int)chosen ? EXIT_SUCCESS : EXIT_FAILURE;
}

double support_uniform(unsigned long long *seed)
{
    *seed += 0x9E3779B97F4A7C15ULL;
    unsigned long long z = *seed;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    z ^= z >> 31;
    return (double)(z >> 11) * 0x1.0p-53;
}
