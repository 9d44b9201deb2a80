/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Commands in a directory of a test: its files, and what a run must say. Define _XOPEN_SOURCE 700
 * first. */
#ifndef BF_TESTS_COMMAND_RIG_H
#define BF_TESTS_COMMAND_RIG_H

#include "run.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* What a test of a command holds a run against. */
enum { DONE = 0, NOT_DONE = 1, WRONG_INPUT = 2 };

/* Run the program for a spot: the directory of a test, and the files in it. */
#define run(spot, result, ...)                                                                     \
    run_at((spot)->directory, (place){0}, (const char *const[]){__VA_ARGS__, NULL}, (result))

/* "" stands for nothing at all. */
#define assert_holds(text, part)                                                                   \
    ck_assert_msg(*(part) == '\0' ? *(text) == '\0' : strstr((text), (part)) != NULL,              \
                  "\"%.2000s\" does not contain \"%.2000s\"", (text), (part))

/* The run ended so, and both streams contain what they should. */
#define assert_run(result, expected_code, out_part, err_part)                                      \
    do {                                                                                           \
        ck_assert_msg((result)->code == (expected_code), "exit %d, not %d: %.2000s",               \
                      (result)->code, (expected_code), (result)->err);                             \
        assert_holds((result)->out, (out_part));                                                   \
        assert_holds((result)->err, (err_part));                                                   \
    } while (0)

enum { PATH_ROOM = 340 };

static inline void file_path(char path[PATH_ROOM], const char *directory, const char *name)
{
    (void)snprintf(path, PATH_ROOM, "%s/%s", directory, name);
}

/* Nothing is left but these files and the streams of a run. */
static inline void clear_directory(const char *directory, const char *const *files, size_t count)
{
    static const char *const streams[] = {"out", "err"};
    char path[PATH_ROOM];
    for (size_t f = 0; f < count + COUNT(streams); f++) {
        file_path(path, directory, f < count ? files[f] : streams[f - count]);
        (void)unlink(path);
    }
    ck_assert_int_eq(rmdir(directory), 0);
}

#endif
