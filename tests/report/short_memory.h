/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A thread that runs short of memory, for tests of what then arrives of a page. */
#ifndef BF_TESTS_SHORT_MEMORY_H
#define BF_TESTS_SHORT_MEMORY_H

#include "support.h"

#include <stdio.h>
#include <string.h>

/* Of this thread. */
static _Thread_local long granted = -1;  /* allocations before one fails; negative: all */
static _Thread_local int is_lasting = 1; /* nonzero: all that follow it fail too */
static _Thread_local long failures;

static inline int is_granted(void)
{
    if (granted != 0) {
        granted -= granted > 0;
        return 1;
    }
    granted = is_lasting ? 0 : -1;
    failures++;
    return 0;
}

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
enum { MEMORY_CAN_FAIL = 1 };

/* The C library's own streams come here too, since a program may bring its own malloc: glibc
 * manual, "Replacing malloc". */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);
__attribute__((visibility("default"))) void *malloc(size_t size);
__attribute__((visibility("default"))) void *calloc(size_t count, size_t size);
__attribute__((visibility("default"))) void *realloc(void *old, size_t size);

void *malloc(size_t size)
{
    return is_granted() ? __libc_malloc(size) : NULL;
}

void *calloc(size_t count, size_t size)
{
    return is_granted() ? __libc_calloc(count, size) : NULL;
}

void *realloc(void *old, size_t size)
{
    return is_granted() ? __libc_realloc(old, size) : NULL;
}
#else
enum { MEMORY_CAN_FAIL = 0 }; /* the sanitizer has a malloc of its own */
#endif

enum { ARRIVED = 60000 };

/* Prints a page. */
typedef bf_status page_printer(const void *report, FILE *out, bf_error *err);

/* What arrives at a file whose buffer is this function's own, so that the file needs no memory. */
static inline bf_status arrive(page_printer *print, const void *report, long allocations,
                               char text[ARRIVED])
{
    char buffer[BUFSIZ];
    bf_error err = {0};
    FILE *file = tmpfile();
    ck_assert_ptr_nonnull(file);
    ck_assert_int_eq(setvbuf(file, buffer, _IOFBF, sizeof buffer), 0);
    failures = 0;
    granted = allocations;
    const bf_status status = print(report, file, &err);
    granted = -1;
    rewind(file);
    const size_t length = fread(text, 1, ARRIVED - 1, file);
    text[length] = '\0';
    ck_assert_int_eq(fclose(file), 0);
    return status;
}

/* Each allocation in turn fails, with all that follow and alone. */
static inline void assert_whole_or_nothing(const char *name, page_printer *print,
                                           const void *report)
{
    static char whole[ARRIVED], text[ARRIVED];
    ck_assert_int_eq(arrive(print, report, -1, whole), BF_OK);
    ck_assert_uint_gt(strlen(whole), 100);
    for (is_lasting = 1; is_lasting >= 0; is_lasting--) {
        long before = 0;
        do {
            const bf_status status = arrive(print, report, before, text);
            ck_assert_msg(status == BF_OK || status == BF_E_MEMORY, "%s: %s", name,
                          bf_status_name(status));
            ck_assert_msg(strcmp(text, status == BF_OK ? whole : "") == 0,
                          "%s: after %ld allocations %s and %zu of %zu bytes", name, before,
                          bf_status_name(status), strlen(text), strlen(whole));
            before++;
        } while (failures > 0);
        ck_assert_int_gt(before, 2);
    }
    is_lasting = 1;
}

#endif
