/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files read as a whole: every byte, no more than allowed, and a reason where there is nothing. */
#include "base/whole_file.h"

#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum { MOST = 300000 };

/* A byte that depends on its place, zeros and line ends among them. */
static char byte_at(size_t i)
{
    return (char)((i * 131 + i / 257) % 256);
}

static void make_file(const char *name, size_t length)
{
    FILE *file = fopen(name, "wb");
    ck_assert_ptr_nonnull(file);
    for (size_t i = 0; i < length; i++) {
        ck_assert_int_ne(fputc((unsigned char)byte_at(i), file), EOF);
    }
    ck_assert_int_eq(fclose(file), 0);
}

START_TEST(every_byte_arrives)
{
    /* None, one, either side of where room is added, and the most that is allowed. */
    static const size_t lengths[] = {0, 1, 65535, 65536, 65537, 131073, MOST};
    for (size_t k = 0; k < COUNT(lengths); k++) {
        char *text = NULL;
        size_t length = 77;
        bf_error err = {0};
        make_file("whole.bin", lengths[k]);
        assert_ok(bf_file_read("whole.bin", "file", MOST, &text, &length, &err));
        ck_assert_uint_eq(length, lengths[k]);
        ck_assert_ptr_nonnull(text);
        for (size_t i = 0; i < length; i++) {
            ck_assert_int_eq(text[i], byte_at(i));
        }
        free(text);
    }
    ck_assert_int_eq(unlink("whole.bin"), 0);
}
END_TEST

START_TEST(one_byte_more_tells_a_larger_file)
{
    static const size_t beyond[] = {MOST + 1, 2 * MOST};
    for (size_t k = 0; k < COUNT(beyond); k++) {
        char *text = NULL;
        size_t length = 0;
        bf_error err = {0};
        make_file("large.bin", beyond[k]);
        assert_ok(bf_file_read("large.bin", "file", MOST, &text, &length, &err));
        ck_assert_uint_eq(length, MOST + 1);
        free(text);
    }
    ck_assert_int_eq(unlink("large.bin"), 0);
}
END_TEST

/* Nobody writes to the pipe: a reader that waits for it never comes back. */
START_TEST(what_is_no_file_is_refused_with_a_reason)
{
    static const struct {
        const char *name, *label, *reason;
    } refused[] = {
        {"nowhere.bin", "file", "the file cannot be opened: No such file or directory"},
        {".", "overlay", "this is a directory, not an overlay"},
        {".", "case file", "this is a directory, not a case file"},
        {"pipe.fifo", "file", "this is not a regular file; use '-' to read standard input"},
        {"/dev/null", "file", "this is not a regular file"},
    };
    ck_assert_int_eq(mkfifo("pipe.fifo", 0600), 0);
    for (size_t k = 0; k < COUNT(refused); k++) {
        char *text = (char *)&text;
        size_t length = 77;
        bf_error err = {0};
        assert_fails(bf_file_read(refused[k].name, refused[k].label, MOST, &text, &length, &err),
                     BF_E_FILE, refused[k].reason);
        ck_assert_str_eq(err.where, refused[k].name);
        ck_assert_ptr_null(text);
        ck_assert_uint_eq(length, 0);
    }
    ck_assert_int_eq(unlink("pipe.fifo"), 0);
}
END_TEST

/* A descriptor opened to write only cannot be read: the system's reason reaches the caller. */
START_TEST(what_cannot_be_read_says_why)
{
    char *text = NULL;
    size_t length = 0;
    bf_error err = {0};
    FILE *file = fopen("mute.bin", "wb");
    ck_assert_ptr_nonnull(file);
    assert_fails(bf__read_descriptor(fileno(file), "mute", "file", MOST, &text, &length, &err),
                 BF_E_FILE, "the file cannot be read: Bad file descriptor");
    ck_assert_ptr_null(text);
    ck_assert_int_eq(fclose(file), 0);
    ck_assert_int_eq(unlink("mute.bin"), 0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_byte_arrives, one_byte_more_tells_a_larger_file,
                                  what_is_no_file_is_refused_with_a_reason,
                                  what_cannot_be_read_says_why};
    return support_run("base.whole_file", tests, COUNT(tests), 20);
}
