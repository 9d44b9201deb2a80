/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* posix_openpt() */

/* The program as a person or a script meets it: exit codes, what goes to which stream, files. */
#include "brinefront/libraries.h"
#include "brinefront/version.h"
#include "command_rig.h"

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

/* A directory of this test's own, and the files of a run in it. */
typedef struct spot {
    char directory[300];
    char good[PATH_ROOM], wrong[PATH_ROOM], result[PATH_ROOM];
} spot;

static spot spot_make(void)
{
    spot s;
    run_make_directory(s.directory);
    file_path(s.good, s.directory, "good.yaml");
    file_path(s.wrong, s.directory, "wrong.yaml");
    file_path(s.result, s.directory, "result");
    write_file(s.good, quick_case);
    write_file(s.wrong, wrong_case);
    return s;
}

/* Nothing is left but the files a test knows of. */
static void spot_clear(const spot *s)
{
    static const char *const files[] = {"good.yaml", "wrong.yaml", "result"};
    clear_directory(s->directory, files, COUNT(files));
}

START_TEST(help_goes_where_it_was_asked_for)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "--help");
    assert_run(&r, DONE, "Usage: brinefront COMMAND", "");
    assert_holds(r.out, "rate     capacity, leakage");
    assert_holds(r.out, "foul     years of a bed");
    run(&s, &r, "-h");
    assert_run(&r, DONE, "Usage: brinefront COMMAND", "");
    run(&s, &r, "--version");
    char version[64];
    (void)snprintf(version, sizeof version, "brinefront %s\n", bf_version());
    assert_run(&r, DONE, version, "");
    bf_library libraries[BF_LIBRARIES];
    bf_libraries(libraries);
    for (size_t i = 0; i < BF_LIBRARIES; i++) {
        (void)snprintf(version, sizeof version, "%s %s", libraries[i].name, libraries[i].version);
        assert_holds(r.out, version);
    }
    run(&s, &r, "rate", "--help");
    assert_run(&r, DONE, "Usage: brinefront rate [OPTION...] CASE", "");
    static const char *const options[] = {"--doses=LIST",      "--units=SYSTEM", "--format=FORM",
                                          "-o, --output=FILE", "--solver=WAY",   "--threads=N"};
    for (size_t i = 0; i < COUNT(options); i++) {
        assert_holds(r.out, options[i]);
    }
    /* Nobody asked: to the error stream. */
    const char *const none[] = {NULL};
    run_at(s.directory, (place){0}, none, &r);
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
        {{"rates"}, "no command \"rates\"; the commands are: check rate cycle"},
        {{""}, "no command \"\""},
        {{"rate"}, "name a case file, or - for standard input"},
        {{"rate", s.good, s.wrong}, "is one too many"},
        {{"rate", s.good, "--units", "metric"}, "--units is \"metric\"; accepted are us and si"},
        {{"rate", s.good, "--units="}, "--units is \"\""},
        {{"rate", s.good, "--format=xml"}, "--format is \"xml\"; accepted are table, csv and json"},
        {{"rate", s.good, "--threads=0"}, "accepted are whole numbers from 1 to 1024"},
        {{"rate", s.good, "--threads=1025"}, "--threads is \"1025\""},
        {{"rate", s.good, "--samples=15"}, "accepted are whole numbers from 16 to 65536"},
        {{"rate", s.good, "--samples=32"}, "add a section `tank`"},
        {{"rate", s.good, "--threads=-2"}, "--threads is \"-2\""},
        {{"rate", s.good, "--threads=2x"}, "--threads is \"2x\""},
        {{"rate", s.good, "--threads="}, "--threads is \"\""},
        {{"rate", s.good, "--threads=99999999999999999999"}, "--threads is"},
        {{"rate", s.good, "--solver=dense"},
         "--solver is \"dense\"; accepted are block and banded"},
        {{"cycle", s.good, "--solver="}, "--solver is \"\"; accepted are block and banded"},
        {{"rate", s.good, "--colour"}, "--colour"},
        {{"rate", "-", "--overlay", "-"},
         "standard input can be one case or one table, not 2 of them"},
        {{"rate", s.good, "--overlay"}, "requires an argument"},
        {{"rate", s.good, "--overlay", "no/such.csv"}, "such.csv"},
        {{"rate", s.good, "--overlay", s.wrong}, "there are dose and capacity"},
        {{"rate", s.good, "--doses"}, "requires an argument"},
        {{"rate", s.good, "--doses", "5, 7"}, "\"5, 7\" has no unit"},
        {{"check"}, "name a case"},
        {{"check", s.good, s.wrong}, "is one too many"},
        {{"check", s.good, "--format=csv"}, "accepted are table and json"},
        {{"check", s.good, "--doses=5 lb/ft3"}, "--doses"},
        {{"check", "--keys=all"}, "doesn't allow an argument"},
        {{"cycle"}, "name a case file, or - for standard input"},
        {{"cycle", s.good, s.wrong}, "is one too many"},
        {{"cycle", s.good, "--from=old"}, "--from is \"old\"; accepted are steady and new"},
        {{"cycle", s.good, "--units=metric"}, "--units is \"metric\"; accepted are us and si"},
        {{"cycle", s.good, "--format=text"}, "--format is \"text\""},
        {{"cycle", s.good, "--dose=5, 6 lb/ft3"}, "--dose is \"5, 6 lb/ft3\": one dose at a time"},
        {{"cycle", s.good, "--dose=5"}, "\"5\" has no unit"},
        {{"rate", s.good, "--doses", "lots"}, "\"lots\" in \"lots\" is not a dose"},
    };
    for (size_t i = 0; i < COUNT(wrong); i++) {
        outcome r;
        run_at(s.directory, (place){0}, wrong[i].arguments, &r);
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
        ":5:22: regeneration.salt: \"KBr\" is not a choice; the choices are: NaCl KCl sea_water\n",
    };
    size_t lines = 0;
    for (const char *c = r.err; *c != '\0'; c++) {
        lines += *c == '\n';
    }
    ck_assert_uint_eq(lines, COUNT(findings));
    for (size_t i = 0; i < COUNT(findings); i++) {
        char whole[700];
        (void)snprintf(whole, sizeof whole, "%s%s", s.wrong, findings[i]);
        assert_holds(r.err, whole);
    }
    run_at(s.directory, (place){.input = s.wrong}, (const char *const[]){"rate", "-", NULL}, &r);
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
    run_at(s.directory, (place){.input = s.good}, (const char *const[]){"rate", "-", NULL},
           &from_input);
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

/* Each of its commands in each of its forms, and every one complains about a wrong case alike. */
START_TEST(every_command_has_its_forms)
{
    static const struct {
        const char *command, *option, *begin, *part;
    } forms[] = {
        {"check", "--format=table", "A quick one\n", "= 20 C"},
        {"check", "--format=json", "{\n", "\"command\": \"check\""},
        {"cycle", "--format=table", "A quick one\n", "A steady cycle at 9 lb/ft3"},
        {"cycle", "--from=new", "A quick one\n", "as delivered"},
        {"cycle", "--dose=18 lb/ft3", "A quick one\n", "at 18 lb/ft3"},
        {"cycle", "--units=si", "A quick one\n", "at 144.2 g/L"},
        {"cycle", "--format=csv", "# A quick one\n", "service"},
        {"cycle", "--format=json", "{\n", "\"command\": \"cycle\""},
        {"rate", "--format=json", "{\n", "\"command\": \"rate\""},
    };
    spot s = spot_make();
    outcome r, from_input;
    for (size_t i = 0; i < COUNT(forms); i++) {
        run(&s, &r, forms[i].command, forms[i].option, s.good);
        assert_run(&r, DONE, forms[i].part, "");
        ck_assert_msg(strncmp(r.out, forms[i].begin, strlen(forms[i].begin)) == 0, "%.500s", r.out);
        run_at(s.directory, (place){.input = s.good},
               (const char *const[]){forms[i].command, forms[i].option, "-", NULL}, &from_input);
        ck_assert_str_eq(from_input.out, r.out);
        run(&s, &r, forms[i].command, forms[i].option, s.wrong);
        assert_run(&r, WRONG_INPUT, "", ":2:16: water.hardness: unknown unit 'gpgg'");
        run(&s, &r, forms[i].command, forms[i].option, s.good, "-o", "no/such/file");
        assert_run(&r, NOT_DONE, "", "cannot write no/such/file");
    }
    spot_clear(&s);
}
END_TEST

START_TEST(the_reference_needs_no_case)
{
    static const struct {
        const char *option, *begin, *part;
    } pages[] = {
        {"--keys", "# Keys of a case file\n", "regeneration.doses"},
        {"--units", "# Units\n", "lb/ft3"},
        {"--errors", "# Status codes\n", "BF_E_INPUT"},
    };
    spot s = spot_make();
    outcome r;
    for (size_t i = 0; i < COUNT(pages); i++) {
        run(&s, &r, "check", pages[i].option);
        assert_run(&r, DONE, pages[i].part, "");
        ck_assert_msg(strncmp(r.out, pages[i].begin, strlen(pages[i].begin)) == 0, "%.500s", r.out);
    }
    spot_clear(&s);
}
END_TEST

/* Before a terminal the error stream shows how far it is, and cleans up behind itself. */
START_TEST(a_terminal_is_kept_informed)
{
    spot s = spot_make();
    outcome r;
    int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    if (terminal < 0) {
        printf("not tried: this machine offers no pseudo-terminal\n");
        spot_clear(&s);
        return;
    }
    ck_assert_int_eq(grantpt(terminal), 0);
    ck_assert_int_eq(unlockpt(terminal), 0);
    int end = open(ptsname(terminal), O_RDWR | O_NOCTTY);
    ck_assert_int_ge(end, 0);
    run_at(s.directory, (place){.error = end}, (const char *const[]){"rate", s.good, NULL}, &r);
    ck_assert_int_eq(r.code, DONE);
    assert_holds(r.out, "A quick one\n");
    char shown[1000] = "";
    ck_assert_int_gt(read(terminal, shown, sizeof shown - 1), 0);
    assert_holds(shown, "\rcomputing: ");
    assert_holds(shown, " % done");
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
    run_at(s.directory, (place){.setting = "LC_ALL=de_DE.UTF-8"},
           (const char *const[]){"rate", s.good, "--format=csv", NULL}, &other);
    assert_run(&other, DONE, "rated\n", "");
    ck_assert_str_eq(one.out, other.out);
    spot_clear(&s);
}
END_TEST

/* The number behind `name` in a JSON text. */
static double number_after(const char *text, const char *name)
{
    const char *cursor = strstr(text, name);
    ck_assert_ptr_nonnull(cursor);
    return strtod(cursor + strlen(name), NULL);
}

/* Says so, and comes to the same within ten times the tolerance of a step, 5e-4. */
START_TEST(the_library_s_solver_is_a_check_on_the_bed_s_own)
{
    spot s = spot_make();
    outcome own, library;
    run(&s, &own, "rate", s.good, "--doses=9 lb/ft3");
    assert_run(&own, DONE, "cells, 3 shells; it is off by", "");
    run(&s, &library, "rate", s.good, "--doses=9 lb/ft3", "--solver=banded");
    assert_run(&library, DONE, "solved as a banded matrix of difference quotients", "");
    run(&s, &own, "rate", s.good, "--doses=9 lb/ft3", "--format=json");
    run(&s, &library, "rate", s.good, "--doses=9 lb/ft3", "--format=json", "--solver=banded");
    assert_run(&own, DONE, "\"solver\": \"block\"", "");
    assert_run(&library, DONE, "\"solver\": \"banded\"", "");
    const char *capacity = "\"capacity_eq_per_L\": ";
    double a = number_after(strstr(own.out, "\"doses\""), capacity);
    double b = number_after(strstr(library.out, "\"doses\""), capacity);
    ck_assert_double_gt(a, 0.1);
    assert_near(a, b, 5e-3);
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
    run_at(s.directory, (place){.output = full}, rate, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: No space left on device");
    run_at(s.directory, (place){.output = full}, help, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: No space left on device");
    ck_assert_int_eq(close(full), 0);

    /* Whoever was reading has left. */
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(close(ends[0]), 0);
    run_at(s.directory, (place){.output = ends[1]}, rate, &r);
    assert_run(&r, NOT_DONE, "", "cannot write standard output: Broken pipe");
    run_at(s.directory, (place){.output = ends[1]}, help, &r);
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
    struct stat status;
    ck_assert_int_eq(lstat("/dev/stdout", &status), 0);
    ck_assert(S_ISLNK(status.st_mode));
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
                                  every_command_has_its_forms,
                                  the_reference_needs_no_case,
                                  a_terminal_is_kept_informed,
                                  doses_of_the_command_line_replace_those_of_the_case,
                                  the_output_does_not_depend_on_threads_or_locale,
                                  the_library_s_solver_is_a_check_on_the_bed_s_own,
                                  a_file_gets_what_standard_output_would_have,
                                  output_that_cannot_be_written_is_a_failure,
                                  standard_output_may_be_named};
    char root[256];
    if (!run_make_root(root)) {
        perror("no directory for the files of the tests");
        return EXIT_FAILURE;
    }
    int code = support_run("cli", tests, COUNT(tests), 120);
    return run_remove_root(root) ? code : EXIT_FAILURE;
}
