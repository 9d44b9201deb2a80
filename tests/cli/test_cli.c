/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* posix_openpt() */

/* The program as a person or a script meets it: exit codes, what goes to which stream, files. */
#include "support.h"

#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

extern char **environ;

enum { DONE = 0, NOT_DONE = 1, WRONG_INPUT = 2, ARGUMENTS = 12, TEXT = 40000 };

/* A case that is quick to compute, on a grid too coarse to trust. At 18 lb/ft3 and 9 it has a
 * rating, at 1.5 it has none. */
static const char *const quick_case = "title: A quick one\n"
                                      "water: {hardness: 25 gpg, sodium: 3 meq/L}\n"
                                      "bed: {diameter: 10 in, depth: 30 in}\n"
                                      "service: {flow: 5 gpm}\n"
                                      "regeneration: {doses: 18 9 lb/ft3, backwash_time: 0 min}\n"
                                      "numerics: {cells: 30, shells: 3}\n";

static const char *const wrong_case = "water:\n"
                                      "  hardness: 25 gpgg\n"
                                      "  temprature: 12 C\n"
                                      "service: {flow: 5 kg}\n"
                                      "regeneration: {salt: KBr}\n";

/* A directory of this test's own below the current one, and the files of a run in it. */
typedef struct spot {
    char directory[64];
    char good[96], wrong[96], out[96], err[96], result[96];
} spot;

static void write_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

static spot spot_make(void)
{
    spot s;
    (void)snprintf(s.directory, sizeof s.directory, "cli-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(s.directory));
    (void)snprintf(s.good, sizeof s.good, "%s/good.yaml", s.directory);
    (void)snprintf(s.wrong, sizeof s.wrong, "%s/wrong.yaml", s.directory);
    (void)snprintf(s.out, sizeof s.out, "%s/out", s.directory);
    (void)snprintf(s.err, sizeof s.err, "%s/err", s.directory);
    (void)snprintf(s.result, sizeof s.result, "%s/result", s.directory);
    write_file(s.good, quick_case);
    write_file(s.wrong, wrong_case);
    return s;
}

static void spot_clear(const spot *s)
{
    const char *const files[] = {s->good, s->wrong, s->out, s->err, s->result};
    for (size_t f = 0; f < COUNT(files); f++) {
        (void)unlink(files[f]);
    }
    ck_assert_int_eq(rmdir(s->directory), 0); /* nothing else was left there */
}

static void read_file(const char *path, char text[TEXT])
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

static void run_at(const spot *s, place at, const char *const *arguments, outcome *to)
{
    char program[] = BF_PROGRAM;
    char *list[ARGUMENTS + 2] = {program};
    for (size_t a = 0; a < ARGUMENTS && arguments[a] != NULL; a++) {
        list[a + 1] = (char *)(size_t)arguments[a]; /* posix_spawn() does not write to it */
    }
    char *variables[400];
    size_t count = 0;
    if (at.setting != NULL) {
        variables[count++] = (char *)(size_t)at.setting;
    }
    for (char **v = environ; *v != NULL && count < COUNT(variables) - 1; v++) {
        variables[count++] = *v;
    }
    variables[count] = NULL;

    posix_spawn_file_actions_t actions;
    ck_assert_int_eq(posix_spawn_file_actions_init(&actions), 0);
    ck_assert_int_eq(posix_spawn_file_actions_addopen(&actions, STDIN_FILENO,
                                                      at.input == NULL ? "/dev/null" : at.input,
                                                      O_RDONLY, 0),
                     0);
    if (at.output != 0) {
        ck_assert_int_eq(posix_spawn_file_actions_adddup2(&actions, at.output, STDOUT_FILENO), 0);
    } else {
        ck_assert_int_eq(posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, s->out,
                                                          O_WRONLY | O_CREAT | O_TRUNC, 0600),
                         0);
    }
    if (at.error != 0) {
        ck_assert_int_eq(posix_spawn_file_actions_adddup2(&actions, at.error, STDERR_FILENO), 0);
    } else {
        ck_assert_int_eq(posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, s->err,
                                                          O_WRONLY | O_CREAT | O_TRUNC, 0600),
                         0);
    }
    pid_t child;
    int failed = posix_spawn(&child, program, &actions, NULL, list, variables);
    ck_assert_msg(failed == 0, "%s cannot be run: %s", program, strerror(failed));
    int state;
    ck_assert_int_eq(waitpid(child, &state, 0), child);
    to->code = WIFEXITED(state) ? WEXITSTATUS(state) : 1000 + WTERMSIG(state);
    ck_assert_int_eq(posix_spawn_file_actions_destroy(&actions), 0);
    to->out[0] = '\0';
    if (at.output == 0) {
        read_file(s->out, to->out);
    }
    to->err[0] = '\0';
    if (at.error == 0) {
        read_file(s->err, to->err);
    }
}

#define run(s, to, ...) run_at((s), (place){0}, (const char *const[]){__VA_ARGS__, NULL}, (to))

/* The run ended so, and both streams contain what they should; "" stands for nothing at all. */
#define assert_run(to, expected_code, out_part, err_part)                                          \
    do {                                                                                           \
        ck_assert_msg((to)->code == (expected_code), "exit %d, not %d: %s", (to)->code,            \
                      (expected_code), (to)->err);                                                 \
        assert_holds((to)->out, (out_part));                                                       \
        assert_holds((to)->err, (err_part));                                                       \
    } while (0)
#define assert_holds(text, part)                                                                   \
    ck_assert_msg(*(part) == '\0' ? *(text) == '\0' : strstr((text), (part)) != NULL,              \
                  "\"%s\" does not contain \"%s\"", (text), (part))

START_TEST(help_goes_where_it_was_asked_for)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "--help");
    assert_run(&r, DONE, "Usage: brinefront COMMAND", "");
    assert_holds(r.out, "rate     capacity, leakage");
    run(&s, &r, "-h");
    assert_run(&r, DONE, "Usage: brinefront COMMAND", "");
    run(&s, &r, "--version");
    assert_run(&r, DONE, "brinefront " BF_VERSION "\n", "");
    run(&s, &r, "rate", "--help");
    assert_run(&r, DONE, "Usage: brinefront rate [OPTION...] CASE", "");
    static const char *const options[] = {"--doses=LIST", "--units=SYSTEM", "--format=FORM",
                                          "-o, --output=FILE", "--threads=N"};
    for (size_t i = 0; i < COUNT(options); i++) {
        assert_holds(r.out, options[i]);
    }
    /* Nobody asked: to the error stream. */
    const char *const none[] = {NULL};
    run_at(&s, (place){0}, none, &r);
    assert_run(&r, WRONG_INPUT, "", "Usage: brinefront COMMAND");
    spot_clear(&s);
}
END_TEST

START_TEST(a_wrong_command_line_is_refused)
{
    spot s = spot_make();
    const struct {
        const char *arguments[6];
        const char *part;
    } wrong[] = {
        {{"rates"}, "no command \"rates\"; the commands are: rate"},
        {{""}, "no command \"\""},
        {{"rate"}, "name a case file, or - for standard input"},
        {{"rate", s.good, s.wrong}, "is one too many"},
        {{"rate", s.good, "--units", "metric"}, "--units is \"metric\"; accepted are us and si"},
        {{"rate", s.good, "--units="}, "--units is \"\""},
        {{"rate", s.good, "--format=json"}, "--format is \"json\"; accepted are table and csv"},
        {{"rate", s.good, "--threads=0"}, "accepted are whole numbers from 1 to 1024"},
        {{"rate", s.good, "--threads=1025"}, "--threads is \"1025\""},
        {{"rate", s.good, "--threads=-2"}, "--threads is \"-2\""},
        {{"rate", s.good, "--threads=2x"}, "--threads is \"2x\""},
        {{"rate", s.good, "--threads="}, "--threads is \"\""},
        {{"rate", s.good, "--threads=99999999999999999999"}, "--threads is"},
        {{"rate", s.good, "--colour"}, "--colour"},
        {{"rate", s.good, "--doses"}, "requires an argument"},
        {{"rate", s.good, "--doses", "5, 7"}, "\"5, 7\" has no unit"},
        {{"rate", s.good, "--doses", "lots"}, "\"lots\" in \"lots\" is not a dose"},
    };
    for (size_t i = 0; i < COUNT(wrong); i++) {
        outcome r;
        run_at(&s, (place){0}, wrong[i].arguments, &r);
        assert_run(&r, WRONG_INPUT, "", wrong[i].part);
    }
    spot_clear(&s);
}
END_TEST

START_TEST(a_file_that_cannot_be_read_is_named)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "rate", "no/such/case.yaml");
    assert_run(&r, WRONG_INPUT, "", "no/such/case.yaml: ");
    assert_holds(r.err, "No such file or directory");
    run(&s, &r, "rate", s.directory);
    assert_run(&r, WRONG_INPUT, "", s.directory);
    assert_holds(r.err, "directory");
    run(&s, &r, "rate", "");
    assert_run(&r, WRONG_INPUT, "", "No such file");
    write_file(s.wrong, "");
    run(&s, &r, "rate", s.wrong);
    assert_run(&r, WRONG_INPUT, "", "the case file is empty");
    spot_clear(&s);
}
END_TEST

START_TEST(every_finding_is_printed_with_its_place)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "rate", s.wrong);
    ck_assert_int_eq(r.code, WRONG_INPUT);
    ck_assert_str_eq(r.out, "");
    static const char *const findings[] = {
        ":2:16: water.hardness: unknown unit 'gpgg'; did you mean 'gpg'?\n",
        ":3:3: water.temprature: no such key; did you mean water.temperature?\n",
        ": bed: no bed: state bed.diameter and bed.depth, or bed.resin_volume\n",
        ":4:17: service.flow: \"5 kg\" is not accepted here; take flow: BV/h",
        ":5:22: regeneration.salt: \"KBr\" is not a choice; the choices are: NaCl KCl\n",
    };
    size_t lines = 0;
    for (const char *c = r.err; *c != '\0'; c++) {
        lines += *c == '\n';
    }
    ck_assert_uint_eq(lines, COUNT(findings));
    for (size_t i = 0; i < COUNT(findings); i++) {
        char whole[300];
        (void)snprintf(whole, sizeof whole, "%s%s", s.wrong, findings[i]);
        assert_holds(r.err, whole);
    }
    run_at(&s, (place){.input = s.wrong}, (const char *const[]){"rate", "-", NULL}, &r);
    assert_run(&r, WRONG_INPUT, "", "standard input:3:3: water.temprature: no such key");
    spot_clear(&s);
}
END_TEST

START_TEST(a_good_case_is_computed_in_silence)
{
    spot s = spot_make();
    outcome from_file, from_input, csv;
    run(&s, &from_file, "rate", s.good);
    assert_run(&from_file, DONE, "A quick one\n", "");
    assert_holds(from_file.out, "\n  18.00 ");
    assert_holds(from_file.out, "\n   9.00 ");
    run_at(&s, (place){.input = s.good}, (const char *const[]){"rate", "-", NULL}, &from_input);
    assert_run(&from_input, DONE, from_file.out, "");
    ck_assert_str_eq(from_input.out, from_file.out);
    run(&s, &csv, "rate", s.good, "--units", "us", "--format", "csv");
    assert_run(&csv, DONE, "\ndose_g_per_L,dose_lb_per_ft3,", "");
    run(&s, &from_file, "rate", s.good, "--units=si");
    assert_run(&from_file, DONE, "\n  288.3 ", "");
    assert_holds(from_file.out, "m3/h");
    spot_clear(&s);
}
END_TEST

/* Before a terminal the error stream shows how far it is, and cleans up behind itself. */
START_TEST(a_terminal_is_kept_informed)
{
    spot s = spot_make();
    outcome r;
    int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    ck_assert_int_ge(terminal, 0);
    ck_assert_int_eq(grantpt(terminal), 0);
    ck_assert_int_eq(unlockpt(terminal), 0);
    int end = open(ptsname(terminal), O_RDWR | O_NOCTTY);
    ck_assert_int_ge(end, 0);
    run_at(&s, (place){.error = end}, (const char *const[]){"rate", s.good, NULL}, &r);
    ck_assert_int_eq(r.code, DONE);
    assert_holds(r.out, "A quick one\n");
    char shown[1000] = "";
    ck_assert_int_gt(read(terminal, shown, sizeof shown - 1), 0);
    /* Two doses, and the one that tells what the grid costs. */
    assert_holds(shown, "\rcomputing: 1 of 3 runs to a steady cycle\r");
    assert_holds(shown, "\rcomputing: 3 of 3 runs to a steady cycle\r\033[K");
    ck_assert_str_eq(shown + strlen(shown) - 3, "\033[K");
    ck_assert_int_eq(close(end), 0);
    ck_assert_int_eq(close(terminal), 0);
    spot_clear(&s);
}
END_TEST

START_TEST(doses_of_the_command_line_replace_those_of_the_case)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "rate", s.good, "--format=csv", "--doses", "200, 120 g/L");
    assert_run(&r, DONE, "\n200,12.4856,", ""); /* 16.01846 g/L is 1 lb/ft3 */
    assert_holds(r.out, "\n120,7.49136,");
    ck_assert_ptr_null(strstr(r.out, "\n288."));
    /* A dose that has no rating is a result like any other. */
    run(&s, &r, "rate", s.good, "--doses", "1.5 lb/ft3");
    assert_run(&r, DONE, "\n   1.50  no rating: leakage above the end point from the start\n", "");
    spot_clear(&s);
}
END_TEST

START_TEST(the_output_does_not_depend_on_threads_or_locale)
{
    spot s = spot_make();
    outcome one, other;
    run(&s, &one, "rate", s.good, "--format=csv", "--threads=1");
    assert_run(&one, DONE, "rated\n", "");
    run(&s, &other, "rate", s.good, "--format=csv", "--threads", "2");
    ck_assert_str_eq(one.out, other.out);
    /* Says something only on a machine that has this locale. */
    run_at(&s, (place){.setting = "LC_ALL=de_DE.UTF-8"},
           (const char *const[]){"rate", s.good, "--format=csv", NULL}, &other);
    assert_run(&other, DONE, "rated\n", "");
    ck_assert_str_eq(one.out, other.out);
    spot_clear(&s);
}
END_TEST

START_TEST(a_file_gets_what_standard_output_would_have)
{
    spot s = spot_make();
    outcome to_output, to_file;
    char text[TEXT];
    run(&s, &to_output, "rate", s.good);
    run(&s, &to_file, "rate", s.good, "-o", s.result);
    assert_run(&to_file, DONE, "", "");
    read_file(s.result, text);
    ck_assert_str_eq(text, to_output.out);
    run(&s, &to_file, "rate", "--output", s.result, "--format=csv", s.good);
    assert_run(&to_file, DONE, "", "");
    read_file(s.result, text);
    assert_holds(text, "\ndose_g_per_L,");
    /* What goes wrong later leaves it as it was. */
    run(&s, &to_file, "rate", s.wrong, "-o", s.result);
    ck_assert_int_eq(to_file.code, WRONG_INPUT);
    char again[TEXT];
    read_file(s.result, again);
    ck_assert_str_eq(text, again);
    spot_clear(&s);
}
END_TEST

START_TEST(output_that_cannot_be_written_is_a_failure)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "rate", s.good, "-o", "no/such/rating.txt");
    assert_run(&r, NOT_DONE, "",
               "brinefront: cannot write no/such/rating.txt: No such file or directory\n");
    run(&s, &r, "rate", s.good, "-o", "/dev/full");
    assert_run(&r, NOT_DONE, "", "cannot write /dev/full: No space left on device");

    const char *const rate[] = {"rate", s.good, NULL};
    const char *const help[] = {"--help", NULL};
    int full = open("/dev/full", O_WRONLY);
    ck_assert_int_ge(full, 0);
    run_at(&s, (place){.output = full}, rate, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: No space left on device");
    run_at(&s, (place){.output = full}, help, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: No space left on device");
    ck_assert_int_eq(close(full), 0);

    /* Whoever was reading has left. */
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(close(ends[0]), 0);
    run_at(&s, (place){.output = ends[1]}, rate, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: Broken pipe");
    run_at(&s, (place){.output = ends[1]}, help, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: Broken pipe");
    ck_assert_int_eq(close(ends[1]), 0);
    spot_clear(&s);
}
END_TEST

/* The reader of a redirected standard output gets it too when it goes by its other name. */
START_TEST(standard_output_may_be_named)
{
    spot s = spot_make();
    outcome plain, named;
    run(&s, &plain, "rate", s.good);
    run(&s, &named, "rate", s.good, "-o", "/dev/stdout");
    assert_run(&named, DONE, "A quick one\n", "");
    ck_assert_str_eq(named.out, plain.out);
    struct stat there;
    ck_assert_int_eq(lstat("/dev/stdout", &there), 0);
    ck_assert(S_ISLNK(there.st_mode));
    spot_clear(&s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {help_goes_where_it_was_asked_for,
                                  a_wrong_command_line_is_refused,
                                  a_file_that_cannot_be_read_is_named,
                                  every_finding_is_printed_with_its_place,
                                  a_good_case_is_computed_in_silence,
                                  a_terminal_is_kept_informed,
                                  doses_of_the_command_line_replace_those_of_the_case,
                                  the_output_does_not_depend_on_threads_or_locale,
                                  a_file_gets_what_standard_output_would_have,
                                  output_that_cannot_be_written_is_a_failure,
                                  standard_output_may_be_named};
    return support_run("cli", tests, COUNT(tests), 120);
}
