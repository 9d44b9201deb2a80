/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running the program: where its files go, and what came of it. Define _XOPEN_SOURCE 700 first. */
#ifndef BF_TESTS_RUN_H
#define BF_TESTS_RUN_H

#include "support.h"

#include <fcntl.h>
#include <ftw.h>
#include <spawn.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

enum { ARGUMENTS = 12, TEXT = 120000 };

/* A directory for all the tests of a program, which is their TMPDIR from here on. main() makes and
 * removes it, so that a test that fails half-way leaves nothing behind. */
static inline int run_make_root(char root[256])
{
    const char *above = getenv("TMPDIR");
    (void)snprintf(root, 256, "%s/brinefront-XXXXXX", above != NULL ? above : P_tmpdir);
    return mkdtemp(root) != NULL && setenv("TMPDIR", root, 1) == 0;
}

static inline int run_remove_one(const char *path, const struct stat *kind, int type,
                                 struct FTW *where)
{
    (void)kind;
    (void)type;
    (void)where;
    return remove(path);
}

static inline int run_remove_root(const char *root)
{
    return nftw(root, run_remove_one, 8, FTW_DEPTH | FTW_PHYS) == 0;
}

/* A directory of one test's own; gone with the root. */
static inline void run_make_directory(char directory[300])
{
    (void)snprintf(directory, 300, "%s/XXXXXX", getenv("TMPDIR"));
    ck_assert_ptr_nonnull(mkdtemp(directory));
}

static inline void write_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

static inline void read_file(const char *path, char text[TEXT])
{
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    size_t length = fread(text, 1, TEXT - 1, file);
    ck_assert_uint_lt(length, TEXT - 1);
    text[length] = '\0';
    ck_assert_int_eq(fclose(file), 0);
}

/* What came of a run. */
typedef struct outcome {
    int code; /* exit code, or 1000 and the signal that ended it */
    char out[TEXT];
    char err[TEXT];
} outcome;

typedef struct place {
    const char *input;   /* standard input; NULL: nothing in it */
    int output;          /* a descriptor for standard output; 0: collected */
    int error;           /* the same for the error stream */
    const char *setting; /* one more variable of the environment, or NULL */
} place;

/* Start the program; its streams go into files of `directory`, "out" and "err". */
static inline pid_t run_begin(const char *directory, place streams, const char *const *arguments)
{
    char program[] = BF_PROGRAM;
    char *list[ARGUMENTS + 2] = {program};
    for (size_t a = 0; a < ARGUMENTS && arguments[a] != NULL; a++) {
        list[a + 1] = (char *)(size_t)arguments[a]; /* posix_spawn() does not write to it */
    }
    char out_path[600];
    char err_path[600];
    (void)snprintf(out_path, sizeof out_path, "%s/out", directory);
    (void)snprintf(err_path, sizeof err_path, "%s/err", directory);
    char *variables[400];
    size_t count = 0;
    if (streams.setting != NULL) {
        variables[count++] = (char *)(size_t)streams.setting;
    }
    for (char **v = environ; *v != NULL && count + 1 < sizeof variables / sizeof *variables; v++) {
        variables[count++] = *v;
    }
    variables[count] = NULL;

    posix_spawn_file_actions_t actions;
    ck_assert_int_eq(posix_spawn_file_actions_init(&actions), 0);
    ck_assert_int_eq(posix_spawn_file_actions_addopen(
                         &actions, STDIN_FILENO,
                         streams.input == NULL ? "/dev/null" : streams.input, O_RDONLY, 0),
                     0);
    if (streams.output != 0) {
        ck_assert_int_eq(posix_spawn_file_actions_adddup2(&actions, streams.output, STDOUT_FILENO),
                         0);
    } else {
        ck_assert_int_eq(posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, out_path,
                                                          O_WRONLY | O_CREAT | O_TRUNC, 0600),
                         0);
    }
    if (streams.error != 0) {
        ck_assert_int_eq(posix_spawn_file_actions_adddup2(&actions, streams.error, STDERR_FILENO),
                         0);
    } else {
        ck_assert_int_eq(posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, err_path,
                                                          O_WRONLY | O_CREAT | O_TRUNC, 0600),
                         0);
    }
    pid_t child;
    int failed = posix_spawn(&child, program, &actions, NULL, list, variables);
    ck_assert_msg(failed == 0, "%s cannot be run: %s", program, strerror(failed));
    ck_assert_int_eq(posix_spawn_file_actions_destroy(&actions), 0);
    return child;
}

/* Wait for it, and read what it wrote. */
static inline void run_end(const char *directory, place streams, pid_t child, outcome *result)
{
    char path[600];
    int state;
    ck_assert_int_eq(waitpid(child, &state, 0), child);
    result->code = WIFEXITED(state) ? WEXITSTATUS(state) : 1000 + WTERMSIG(state);
    result->out[0] = '\0';
    if (streams.output == 0) {
        (void)snprintf(path, sizeof path, "%s/out", directory);
        read_file(path, result->out);
    }
    result->err[0] = '\0';
    if (streams.error == 0) {
        (void)snprintf(path, sizeof path, "%s/err", directory);
        read_file(path, result->err);
    }
}

static inline void run_at(const char *directory, place streams, const char *const *arguments,
                          outcome *result)
{
    run_end(directory, streams, run_begin(directory, streams, arguments), result);
}

#endif
