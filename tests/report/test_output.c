/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Output reaches its place whole or not at all, and a place that cannot be written says so. */
#include "brinefront/report.h"
#include "support.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A directory of this test's own below the current one, with one path in it. */
typedef struct spot {
    char directory[64];
    char path[96];
} spot;

static spot spot_make(void)
{
    spot s;
    (void)snprintf(s.directory, sizeof s.directory, "report-output-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(s.directory));
    (void)snprintf(s.path, sizeof s.path, "%s/rating.csv", s.directory);
    return s;
}

static size_t entries_in(const char *directory)
{
    DIR *open_directory = opendir(directory);
    ck_assert_ptr_nonnull(open_directory);
    size_t count = 0;
    for (struct dirent *entry; (entry = readdir(open_directory)) != NULL;) {
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    }
    ck_assert_int_eq(closedir(open_directory), 0);
    return count;
}

static void spot_clear(const spot *s)
{
    (void)unlink(s->path);
    ck_assert_int_eq(rmdir(s->directory), 0);
}

static void write_file(const char *path, const char *text, mode_t mode)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
    ck_assert_int_eq(chmod(path, mode), 0);
}

static void assert_holds(const char *path, const char *text)
{
    char found[8192];
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    size_t length = fread(found, 1, sizeof found - 1, file);
    found[length] = '\0';
    ck_assert_int_eq(fclose(file), 0);
    ck_assert_str_eq(found, text);
}

static mode_t mode_of(const char *path)
{
    struct stat status;
    ck_assert_int_eq(lstat(path, &status), 0);
    return status.st_mode;
}

static bf_status deliver(const char *text, const char *path, bf_error *err)
{
    bf_output output = {0};
    bf_status status = bf_output_open(&output, err);
    if (status == BF_OK) {
        ck_assert_int_ge(fputs(text, output.stream), 0);
        status = bf_output_deliver(&output, path, err);
    }
    bf_output_close(&output);
    bf_output_close(&output); /* once more does nothing */
    return status;
}

/* Deliver as somebody whom a closed directory keeps out: the superuser it does not. */
static bf_status deliver_as_nobody(const char *text, const char *path, bf_error *err)
{
    const uid_t nobody = 65534;
    int is_root = geteuid() == 0;
    ck_assert(!is_root || seteuid(nobody) == 0);
    bf_status status = deliver(text, path, err);
    ck_assert(!is_root || seteuid(0) == 0);
    return status;
}

START_TEST(a_new_file_is_whole_and_as_the_umask_wants_it)
{
    spot s = spot_make();
    bf_error err = {0};
    mode_t before = umask(0027);
    assert_ok(deliver("dose,capacity\n7.25,24.3\n", s.path, &err));
    ck_assert_int_eq(umask(before), 0027); /* looked at, not changed */
    assert_holds(s.path, "dose,capacity\n7.25,24.3\n");
    ck_assert_int_eq(mode_of(s.path), S_IFREG | 0640);
    ck_assert_uint_eq(entries_in(s.directory), 1);
    assert_ok(deliver("", s.path, &err));
    assert_holds(s.path, "");
    spot_clear(&s);
}
END_TEST

START_TEST(an_old_file_is_replaced_and_keeps_its_mode)
{
    spot s = spot_make();
    bf_error err = {0};
    write_file(s.path, "what was there, which is longer\n", 0604);
    int reader = open(s.path, O_RDONLY);
    assert_ok(deliver("new\n", s.path, &err));
    assert_holds(s.path, "new\n");
    ck_assert_int_eq(mode_of(s.path), S_IFREG | 0604);
    ck_assert_uint_eq(entries_in(s.directory), 1);
    /* Who has the old file open goes on reading the old file. */
    char byte;
    ck_assert_int_eq(read(reader, &byte, 1), 1);
    ck_assert_int_eq(byte, 'w');
    ck_assert_int_eq(close(reader), 0);
    spot_clear(&s);
}
END_TEST

START_TEST(behind_a_link_the_file_is_replaced_not_the_link)
{
    spot s = spot_make();
    char link[128];
    bf_error err = {0};
    write_file(s.path, "old\n", 0600);
    (void)snprintf(link, sizeof link, "%s/link", s.directory);
    ck_assert_int_eq(symlink("rating.csv", link), 0);
    assert_ok(deliver("new\n", link, &err));
    ck_assert(S_ISLNK(mode_of(link)));
    assert_holds(s.path, "new\n");
    ck_assert_int_eq(mode_of(s.path), S_IFREG | 0600);
    ck_assert_uint_eq(entries_in(s.directory), 2);
    ck_assert_int_eq(unlink(link), 0);
    spot_clear(&s);
}
END_TEST

START_TEST(no_directory_no_file)
{
    spot s = spot_make();
    bf_error err = {0};
    assert_fails(deliver("text", "no/such/rating.csv", &err), BF_E_WRITE,
                 "cannot write no/such/rating.csv: No such file or directory");
    ck_assert_str_eq(err.where, "no/such/rating.csv");
    assert_fails(deliver("text", s.directory, &err), BF_E_WRITE, "Is a directory");
    assert_fails(deliver("text", "", &err), BF_E_WRITE, "cannot write ");
    ck_assert_uint_eq(entries_in(s.directory), 0);
    write_file(s.path, "no directory", 0600);
    char below[128];
    (void)snprintf(below, sizeof below, "%s/rating.csv", s.path);
    assert_fails(deliver("text", below, &err), BF_E_WRITE, "Not a directory");
    ck_assert_int_eq(deliver("text", below, NULL), BF_E_WRITE);
    spot_clear(&s);
}
END_TEST

START_TEST(a_closed_directory_keeps_what_it_holds)
{
    spot s = spot_make();
    bf_error err = {0};
    write_file(s.path, "old\n", 0666);
    ck_assert_int_eq(chmod(s.directory, 0555), 0);
    assert_fails(deliver_as_nobody("new\n", s.path, &err), BF_E_WRITE, "Permission denied");
    ck_assert_int_eq(chmod(s.directory, 0755), 0);
    assert_holds(s.path, "old\n");
    ck_assert_uint_eq(entries_in(s.directory), 1);
    spot_clear(&s);
}
END_TEST

START_TEST(a_full_disk_leaves_the_old_file)
{
    spot s = spot_make();
    bf_error err = {0};
    char text[6000];
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    write_file(s.path, "old\n", 0640);
    /* A limit on the size of files: the first write is cut short, the next one fails. */
    struct rlimit before;
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &before), 0);
    struct rlimit tight = {.rlim_cur = 4000, .rlim_max = before.rlim_max};
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &tight), 0);
    bf_status status = deliver(text, s.path, &err);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &before), 0);
    (void)signal(SIGXFSZ, handler);
    ck_assert_int_eq(status, BF_E_WRITE);
    ck_assert_ptr_nonnull(strstr(err.message, "File too large"));
    assert_holds(s.path, "old\n");
    ck_assert_int_eq(mode_of(s.path), S_IFREG | 0640);
    ck_assert_uint_eq(entries_in(s.directory), 1);
    assert_ok(deliver(text, s.path, &err)); /* there is room again */
    assert_holds(s.path, text);
    spot_clear(&s);
}
END_TEST

START_TEST(a_device_is_written_to_not_replaced)
{
    bf_error err = {0};
    assert_ok(deliver("text", "/dev/null", &err));
    ck_assert(S_ISCHR(mode_of("/dev/null")));
    assert_fails(deliver("text", "/dev/full", &err), BF_E_WRITE,
                 "cannot write /dev/full: No space left on device");
    ck_assert(S_ISCHR(mode_of("/dev/full")));
}
END_TEST

/* Deliver to a standard output that is `descriptor`, which is closed. */
static bf_status to_standard_output(const char *text, int descriptor, bf_error *err)
{
    ck_assert_int_eq(fflush(stdout), 0);
    int saved = dup(STDOUT_FILENO);
    ck_assert_int_ge(saved, 0);
    ck_assert_int_ge(dup2(descriptor, STDOUT_FILENO), 0);
    ck_assert_int_eq(close(descriptor), 0);
    bf_status status = deliver(text, NULL, err);
    ck_assert_int_ge(dup2(saved, STDOUT_FILENO), 0);
    ck_assert_int_eq(close(saved), 0);
    return status;
}

START_TEST(standard_output_takes_it_or_says_why_not)
{
    bf_error err = {0};
    int ends[2];
    char text[64] = "";
    ck_assert_int_eq(pipe(ends), 0);
    assert_ok(to_standard_output("12.75 lb/ft3\n", ends[1], &err));
    ck_assert_int_eq(read(ends[0], text, sizeof text - 1), 13);
    ck_assert_str_eq(text, "12.75 lb/ft3\n");
    ck_assert_int_eq(close(ends[0]), 0);

    assert_fails(to_standard_output("text", open("/dev/full", O_WRONLY), &err), BF_E_WRITE,
                 "cannot write standard output: No space left on device");

    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(close(ends[0]), 0);
    void (*handler)(int) = signal(SIGPIPE, SIG_IGN);
    assert_fails(to_standard_output("text", ends[1], &err), BF_E_WRITE, "Broken pipe");
    (void)signal(SIGPIPE, handler);
}
END_TEST

/* What did not fit into memory shows as an error of the stream; here another stream has one. */
START_TEST(a_text_that_did_not_fit_is_not_delivered)
{
    spot s = spot_make();
    bf_error err = {0};
    bf_output output = {0};
    assert_ok(bf_output_open(&output, &err));
    ck_assert_int_eq(fclose(output.stream), 0);
    output.stream = fopen("/dev/full", "w");
    ck_assert_ptr_nonnull(output.stream);
    ck_assert_int_ge(fputs("text", output.stream), 0);
    ck_assert_int_ne(fflush(output.stream), 0);
    assert_fails(bf_output_deliver(&output, s.path, &err), BF_E_MEMORY, "no memory");
    bf_output_close(&output);
    ck_assert_uint_eq(entries_in(s.directory), 0);
    spot_clear(&s);
}
END_TEST

START_TEST(output_may_be_dropped)
{
    bf_error err = {0};
    bf_output output = {0};
    bf_output_close(&output); /* never opened */
    assert_ok(bf_output_open(&output, &err));
    ck_assert_int_ge(fputs("nobody reads this", output.stream), 0);
    bf_output_close(&output);
    ck_assert_ptr_null(output.stream);
    ck_assert_ptr_null(output.text);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_new_file_is_whole_and_as_the_umask_wants_it,
                                  an_old_file_is_replaced_and_keeps_its_mode,
                                  behind_a_link_the_file_is_replaced_not_the_link,
                                  no_directory_no_file,
                                  a_closed_directory_keeps_what_it_holds,
                                  a_full_disk_leaves_the_old_file,
                                  a_device_is_written_to_not_replaced,
                                  standard_output_takes_it_or_says_why_not,
                                  a_text_that_did_not_fit_is_not_delivered,
                                  output_may_be_dropped};
    return support_run("report.output", tests, COUNT(tests), 60);
}
