/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* posix_openpt() */

/* brinefront foul as a person or a script meets it. */
#include "command_rig.h"

#define HEAD                                                                                       \
    "title: A quick well\n"                                                                        \
    "water: {hardness: 20 gpg, sodium: 3 meq/L, alkalinity: 5 meq/L, iron: 3 mg/L, pH: 7.5}\n"     \
    "bed: {diameter: 10 in, depth: 30 in}\n"                                                       \
    "service: {flow: 5 gpm}\n"                                                                     \
    "regeneration: {doses: 10 lb/ft3}\n"

/* Eight cycles on a grid too coarse to trust. */
static const char *const quick_case =
    HEAD "campaign: {water_per_day: 300 gal, duration: 24 days, start: 2021-04-01}\n"
         "numerics: {campaign_cells: 6, campaign_shells: 1}\n";
static const char *const plain_case = HEAD;

static const char *const good_observations = "date,capacity [kgr/ft3]\n2021-04-20,25\n";
static const char *const wrong_observations = "date,capacity [kgr/ft3]\n2021-04-20,twenty\n";

typedef struct spot {
    char directory[300];
    char good[PATH_ROOM], plain[PATH_ROOM], observed[PATH_ROOM], unseen[PATH_ROOM],
        state[PATH_ROOM], result[PATH_ROOM];
} spot;

static spot spot_make(void)
{
    spot s;
    run_make_directory(s.directory);
    file_path(s.good, s.directory, "good.yaml");
    file_path(s.plain, s.directory, "plain.yaml");
    file_path(s.observed, s.directory, "seen.csv");
    file_path(s.unseen, s.directory, "unseen.csv");
    file_path(s.state, s.directory, "state");
    file_path(s.result, s.directory, "result");
    write_file(s.good, quick_case);
    write_file(s.plain, plain_case);
    write_file(s.observed, good_observations);
    write_file(s.unseen, wrong_observations);
    return s;
}

/* Nothing is left but the files a test knows of. */
static void spot_clear(const spot *s)
{
    static const char *const files[] = {"good.yaml",  "plain.yaml", "seen.csv",
                                        "unseen.csv", "state",      "result"};
    clear_directory(s->directory, files, COUNT(files));
}

START_TEST(years_are_told_in_silence_in_every_form)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "foul", s.good);
    assert_run(&r, DONE, "A quick well\n", "");
    assert_holds(r.out, "What limits the bed\n");
    assert_holds(r.out, "nobody stated, and much hangs on it: temperature 68 F; oxygen 1 mg/L; ");
    assert_holds(r.out, " 2021-04-25 "); /* 24 days after the start */
    assert_holds(r.out, "kgr/ft3");
    run(&s, &r, "foul", s.good, "--units=si", "--by=quarter");
    assert_run(&r, DONE, " eq/L", "");
    run(&s, &r, "foul", s.good, "--format=csv");
    assert_run(&r, DONE, "# A quick well\n", "");
    assert_holds(r.out, "\ncomputed,24,");
    run(&s, &r, "foul", s.good, "--format=json");
    assert_run(&r, DONE, "\"command\": \"foul\"", "");
    assert_holds(r.out, "\"study\": \"years\"");
    run_at(s.directory, (place){.input = s.good}, (const char *const[]){"foul", "-", NULL}, &r);
    assert_run(&r, DONE, "A quick well\n", "");
    run(&s, &r, "foul", "--help");
    assert_run(&r, DONE, "Usage: brinefront foul [OPTION...] CASE", "");
    spot_clear(&s);
}
END_TEST

/* What only a campaign asks for is noise beside a rating. */
START_TEST(a_rating_keeps_silent_about_the_campaign)
{
    static const char *const commands[] = {"rate", "cycle"};
    spot s = spot_make();
    outcome r;
    write_file(s.good, HEAD "campaign: {water_per_day: 300 gal}\n"
                            "numerics: {cells: 24, shells: 2}\n");
    for (size_t i = 0; i < COUNT(commands); i++) {
        run_at(s.directory, (place){0}, (const char *const[]){commands[i], s.good, NULL}, &r);
        assert_run(&r, DONE, "assumed: bed.freeboard", "");
        ck_assert_ptr_null(strstr(r.out, "campaign."));
        ck_assert_ptr_null(strstr(r.out, "campaign_"));
        ck_assert_ptr_null(strstr(r.out, "water.oxygen"));
        run_at(s.directory, (place){0},
               (const char *const[]){commands[i], s.good, "-o", "no/such/file", NULL}, &r);
        assert_run(&r, NOT_DONE, "", "cannot write no/such/file");
    }
    spot_clear(&s);
}
END_TEST

START_TEST(a_case_without_a_campaign_is_told_what_to_state)
{
    spot s = spot_make();
    outcome r;
    static const char *const options[] = {"--format=table", "--whatif", "--compensation",
                                          "--sensitivity"};
    for (size_t i = 0; i < COUNT(options); i++) {
        run(&s, &r, "foul", s.plain, options[i]);
        assert_run(&r, WRONG_INPUT, "", "the case states no campaign; add a section campaign");
        assert_holds(r.err, "water_per_day");
    }
    spot_clear(&s);
}
END_TEST

START_TEST(a_wrong_command_line_is_refused)
{
    spot s = spot_make();
    const struct {
        const char *arguments[4];
        const char *part;
    } wrong[] = {
        {{NULL}, "name a case file, or - for standard input"},
        {{s.good, s.plain}, "is one too many"},
        {{s.good, "--by=year"}, "--by is \"year\"; accepted are length, month and quarter"},
        {{s.good, "--units=metric"}, "accepted are us and si"},
        {{s.good, "--format=xml"}, "accepted are table, csv and json"},
        {{s.good, "--threads=0"}, "accepted are whole numbers from 1 to 1024"},
        {{s.good, "--whatif", "--sensitivity"},
         "one of --whatif, --compensation and --sensitivity"},
        {{s.good, "--compensation", "--whatif"}, "at a time"},
        {{s.good, "--loss=5"}, "--loss belongs to --compensation"},
        {{s.good, "--compensation", "--loss=0.4"}, "--loss is \"0.4\"; accepted are 0.5 to 50"},
        {{s.good, "--compensation", "--loss=51"}, "accepted are 0.5 to 50"},
        {{s.good, "--compensation", "--loss=ten"}, "accepted are 0.5 to 50"},
        {{s.good, "--compensation", "--loss="}, "--loss is \"\""},
        {{s.good, "--compensation", "--loss=5 kg"}, "--loss is \"5 kg\""},
        {{s.good, "--compensation", "--loss=nan"}, "--loss is \"nan\""},
        {{s.good, "--whatif", "--observed=x"}, "--observed belongs to the years of the bed"},
        {{s.good, "--whatif", "--checkpoint=x"}, "--checkpoint belongs to the years of the bed"},
        {{s.good, "--sensitivity", "--by=month"}, "--by belongs to the years of the bed"},
        {{"-", "--observed=-"}, "standard input can be one"},
        {{s.good, "--observed=no/such/file"}, "no/such/file"},
        {{"no/such/case.yaml"}, "no/such/case.yaml"},
    };
    for (size_t i = 0; i < COUNT(wrong); i++) {
        const char *arguments[6] = {"foul"};
        for (size_t a = 0; a < 4; a++) {
            arguments[a + 1] = wrong[i].arguments[a];
        }
        outcome r;
        run_at(s.directory, (place){0}, arguments, &r);
        assert_run(&r, WRONG_INPUT, "", wrong[i].part);
    }
    spot_clear(&s);
}
END_TEST

START_TEST(output_arrives_whole_or_not_at_all)
{
    spot s = spot_make();
    outcome to_output, to_file;
    char text[TEXT];
    run(&s, &to_output, "foul", s.good);
    run(&s, &to_file, "foul", s.good, "-o", s.result);
    assert_run(&to_file, DONE, "", "");
    read_file(s.result, text);
    ck_assert_str_eq(text, to_output.out);
    run(&s, &to_file, "foul", s.plain, "-o", s.result);
    ck_assert_int_eq(to_file.code, WRONG_INPUT);
    run(&s, &to_file, "foul", s.good, "--observed", s.unseen, "-o", s.result);
    ck_assert_int_eq(to_file.code, WRONG_INPUT);
    char again[TEXT];
    read_file(s.result, again);
    ck_assert_str_eq(text, again);
    run(&s, &to_file, "foul", s.good, "-o", "no/such/file");
    assert_run(&to_file, NOT_DONE, "", "cannot write no/such/file");
    run(&s, &to_file, "foul", s.good, "--checkpoint", "no/such/state");
    assert_run(&to_file, NOT_DONE, "", "cannot write no/such/state");
    run(&s, &to_file, "foul", s.good, "-o", s.directory);
    assert_run(&to_file, NOT_DONE, "", "cannot write ");
    spot_clear(&s);
}
END_TEST

START_TEST(what_was_observed_is_set_against_it)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "foul", s.good, "--observed", s.observed);
    assert_run(&r, DONE, "Observed against computed\n", "");
    assert_holds(r.out, "    19.0  capacity       kgr/ft3      25.00");
    run(&s, &r, "foul", s.good, "--observed", s.unseen);
    assert_run(&r, WRONG_INPUT, "", "unseen.csv:2:12: ");
    spot_clear(&s);
}
END_TEST

START_TEST(neither_threads_nor_a_checkpoint_change_the_numbers)
{
    spot s = spot_make();
    outcome one, other;
    run(&s, &one, "foul", s.good, "--format=csv", "--threads=1");
    assert_run(&one, DONE, "\ncomputed,24,", "");
    run(&s, &other, "foul", s.good, "--format=csv", "--threads=3");
    ck_assert_str_eq(one.out, other.out);
    run(&s, &other, "foul", s.good, "--format=csv", "--checkpoint", s.state);
    ck_assert_str_eq(one.out, other.out);
    run(&s, &other, "foul", s.good, "--format=csv", "--checkpoint",
        s.state); /* goes on from its end */
    assert_run(&other, DONE, "\ncomputed,24,", "");
    ck_assert_str_eq(one.out, other.out);
    /* A state that is none of this campaign is refused and left alone. */
    write_file(s.state, "something else");
    run(&s, &other, "foul", s.good, "--checkpoint", s.state);
    assert_run(&other, WRONG_INPUT, "", "state");
    char text[TEXT];
    read_file(s.state, text);
    ck_assert_str_eq(text, "something else");
    spot_clear(&s);
}
END_TEST

START_TEST(every_cycle_may_be_asked_for)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "foul", s.good, "--every-cycle");
    assert_run(&r, DONE, "\n8 of 8 cycles were simulated\n", "");
    spot_clear(&s);
}
END_TEST

/* Over three years whatever the case says; seldom drawn and regenerated, so that this is quick. */
START_TEST(studies_are_told)
{
    static const struct {
        const char *option, *form, *part;
    } studies[] = {
        {"--whatif", "--format=json", "\"study\": \"what if\""},
        {"--compensation", "--format=csv", "hardness to count for iron; loss allowed 10 %"},
        {"--sensitivity", "--format=table", "What each uncertain parameter does"},
    };
    spot s = spot_make();
    outcome r;
    write_file(s.good, HEAD "campaign: {water_per_day: 10 gal, duration: 200 days, days_between: "
                            "100 days, draws_per_day: 0.1}\n"
                            "numerics: {campaign_cells: 4, campaign_shells: 1}\n");
    for (size_t i = 0; i < COUNT(studies); i++) {
        run(&s, &r, "foul", s.good, studies[i].option, studies[i].form);
        assert_run(&r, DONE, studies[i].part, "");
        ck_assert(i == 0 || strstr(r.out, "lengthened") != NULL);
    }
    run(&s, &r, "foul", s.good, "--compensation", "--loss=25 %");
    assert_run(&r, DONE, "loses no more than 25 %", "");
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
    run_at(s.directory, (place){.error = end}, (const char *const[]){"foul", s.good, NULL}, &r);
    ck_assert_int_eq(r.code, DONE);
    assert_holds(r.out, "A quick well\n");
    char shown[4000] = "";
    ck_assert_int_gt(read(terminal, shown, sizeof shown - 1), 0);
    assert_holds(shown, "\rcomputing: ");
    assert_holds(shown, " % done");
    ck_assert_str_eq(shown + strlen(shown) - 4, "\r\033[K");
    ck_assert_int_eq(close(end), 0);
    ck_assert_int_eq(close(terminal), 0);
    spot_clear(&s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {years_are_told_in_silence_in_every_form,
                                  a_rating_keeps_silent_about_the_campaign,
                                  a_case_without_a_campaign_is_told_what_to_state,
                                  a_wrong_command_line_is_refused,
                                  output_arrives_whole_or_not_at_all,
                                  what_was_observed_is_set_against_it,
                                  neither_threads_nor_a_checkpoint_change_the_numbers,
                                  every_cycle_may_be_asked_for,
                                  studies_are_told,
                                  a_terminal_is_kept_informed};
    char root[256];
    if (!run_make_root(root)) {
        perror("no directory for the files of the tests");
        return EXIT_FAILURE;
    }
    int code = support_run("cli.foul", tests, COUNT(tests), 300);
    return run_remove_root(root) ? code : EXIT_FAILURE;
}
