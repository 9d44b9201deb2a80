/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* mkdtemp() and friends of run.h */

/* Ctrl-C and SIGTERM: what was found is printed and marked, no file of -o is written, a checkpoint
 * is kept and goes on to the same bytes, and the exit code tells the signal. */
#include "run.h"

#include <signal.h>
#include <time.h>

/* Long enough to be stopped in the middle of it: every cycle of years on a grid that is no use. */
static const char *const long_case =
    "title: Years of a well\n"
    "water: {hardness: 19.3 gpg, sodium: 2.7 meq/L, iron: 1.7 mg/L}\n"
    "bed: {diameter: 9.7 in, depth: 31 in}\n"
    "service: {flow: 4.3 gpm}\n"
    "regeneration: {doses: 8.7 lb/ft3, backwash_time: 7 min}\n"
    "campaign: {water_per_day: 310 gal, duration: 120 days, start: 2021-04-01}\n"
    "numerics: {campaign_cells: 10, campaign_shells: 2}\n";

static void wait_ms(long milliseconds)
{
    const struct timespec pause = {.tv_sec = milliseconds / 1000,
                                   .tv_nsec = milliseconds % 1000 * 1000000};
    (void)nanosleep(&pause, NULL);
}

/* Start it, and send the signal as soon as the checkpoint is there. */
static void stop_at_checkpoint(const char *directory, const char *const *arguments,
                               const char *checkpoint, int signal_number, outcome *result)
{
    pid_t child = run_begin(directory, (place){0}, arguments);
    for (int tries = 0; tries < 3000 && access(checkpoint, R_OK) != 0; tries++) {
        wait_ms(10);
    }
    wait_ms(300); /* the first state is that before the first cycle */
    ck_assert_int_eq(kill(child, signal_number), 0);
    run_end(directory, (place){0}, child, result);
}

static void check_signal(int signal_number)
{
    char directory[300], good[320], state[320], result[320];
    outcome whole, stopped;
    run_make_directory(directory);
    (void)snprintf(good, sizeof good, "%s/good.yaml", directory);
    (void)snprintf(state, sizeof state, "%s/state", directory);
    (void)snprintf(result, sizeof result, "%s/result", directory);
    write_file(good, long_case);
    run_at(directory, (place){0},
           (const char *const[]){"foul", good, "--every-cycle", "--format=json", NULL}, &whole);
    ck_assert_int_eq(whole.code, 0);

    const char *const arguments[] = {
        "foul", good, "--every-cycle", "--format=json", "--checkpoint", state, "-o", result, NULL};
    stop_at_checkpoint(directory, arguments, state, signal_number, &stopped);
    ck_assert_msg(stopped.code == 128 + signal_number, "exit %d: %s", stopped.code, stopped.err);
    ck_assert_msg(strstr(stopped.out, "\"stopped_early\": true") != NULL, "%.500s", stopped.out);
    ck_assert_ptr_nonnull(strstr(stopped.err, "stopped early"));
    ck_assert_int_ne(access(result, F_OK), 0);
    ck_assert_int_eq(access(state, R_OK), 0);

    run_at(directory, (place){0}, arguments, &stopped);
    ck_assert_int_eq(stopped.code, 0);
    ck_assert_ptr_nonnull(strstr(stopped.err, "going on from cycle"));
    char text[TEXT];
    read_file(result, text);
    ck_assert_str_eq(text, whole.out);
}

START_TEST(a_keyboard_s_interrupt)
{
    check_signal(SIGINT);
}
END_TEST

START_TEST(a_polite_end)
{
    check_signal(SIGTERM);
}
END_TEST

/* Where nothing is found yet there is nothing to print. */
START_TEST(nothing_found_is_said)
{
    char directory[300], good[320];
    outcome stopped;
    run_make_directory(directory);
    (void)snprintf(good, sizeof good, "%s/good.yaml", directory);
    write_file(good, long_case);
    pid_t child = run_begin(
        directory, (place){0},
        (const char *const[]){"size", good, "--capacity=20 kgr/ft3", "--practical", NULL});
    wait_ms(600);
    ck_assert_int_eq(kill(child, SIGINT), 0);
    run_end(directory, (place){0}, child, &stopped);
    ck_assert_msg(stopped.code == 128 + SIGINT, "exit %d: %s", stopped.code, stopped.err);
    ck_assert_str_eq(stopped.out, "");
    ck_assert_ptr_nonnull(strstr(stopped.err, "nothing is found yet"));
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_keyboard_s_interrupt, a_polite_end, nothing_found_is_said};
    char root[256];
    if (!run_make_root(root)) {
        perror("no directory for the files of the tests");
        return EXIT_FAILURE;
    }
    int code = support_run("signals", tests, sizeof tests / sizeof *tests, 120);
    return run_remove_root(root) ? code : EXIT_FAILURE;
}
