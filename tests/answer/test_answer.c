/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text in, text out: every command in every form, options that are seen, what is refused, a watch
 * that stops it, state as bytes; and that no file is opened and nothing printed meanwhile. */
#include "brinefront/brinefront.h"
#include "support.h"

#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* ---- calls that the library must not make while it answers (linked with --wrap) --------------- */

static _Atomic int is_answering;
static _Atomic int forbidden_calls;

static void count_call(void)
{
    if (is_answering) {
        forbidden_calls++;
    }
}

FILE *__real_fopen(const char *name, const char *mode);
FILE *__wrap_fopen(const char *name, const char *mode);
FILE *__wrap_fopen(const char *name, const char *mode)
{
    count_call();
    return __real_fopen(name, mode);
}

int __real_open(const char *name, int flags, ...);
int __wrap_open(const char *name, int flags, ...);
int __wrap_open(const char *name, int flags, ...)
{
    va_list rest;
    va_start(rest, flags);
    const int mode = va_arg(rest, int);
    va_end(rest);
    count_call();
    return __real_open(name, flags, mode);
}

ssize_t __real_write(int file, const void *bytes, size_t count);
ssize_t __wrap_write(int file, const void *bytes, size_t count);
ssize_t __wrap_write(int file, const void *bytes, size_t count)
{
    count_call();
    return __real_write(file, bytes, count);
}

ssize_t __real_read(int file, void *bytes, size_t count);
ssize_t __wrap_read(int file, void *bytes, size_t count);
ssize_t __wrap_read(int file, void *bytes, size_t count)
{
    count_call();
    return __real_read(file, bytes, count);
}

/* ---- questions ------------------------------------------------------------------------------- */

/* Too coarse to trust, and quick. Numbers of no meaning, so that nothing comes out twice. */
#define HEAD                                                                                       \
    "water: {hardness: 23.7 gpg, sodium: 3.1 meq/L, iron: 1.3 mg/L}\n"                             \
    "bed: {diameter: 10.3 in, depth: 29 in}\n"                                                     \
    "service: {flow: 4.7 gpm}\n"                                                                   \
    "regeneration: {doses: 17.3 9.1 lb/ft3, backwash_time: 0 min}\n"
static const char *const quick_case =
    "title: A quick one\n" HEAD "numerics: {cells: 24, shells: 2}\n";
static const char *const other_case = "title: Another\n" HEAD "resin: {capacity: 1.8 eq/L}\n"
                                      "numerics: {cells: 24, shells: 2}\n";
static const char *const tank_case = "title: A tank\n"
                                     "water: {hardness: 23.7 gpg}\n"
                                     "tank: {size: 10x54}\n"
                                     "regeneration: {doses: 11 lb/ft3}\n"
                                     "rating: {samples: 16}\n"
                                     "numerics: {cells: 16, shells: 1}\n";
static const char *const years_case =
    "title: Some days\n" HEAD "campaign: {water_per_day: 300 gal, duration: 25 days, start: "
    "2021-04-01}\n"
    "numerics: {campaign_cells: 8, campaign_shells: 1}\n";

static const char *const months_case =
    "title: Some months\n" HEAD "campaign: {water_per_day: 40 gal, duration: 190 days}\n"
    "numerics: {campaign_cells: 4, campaign_shells: 1}\n";

static bf_text text_of(const char *name, const char *text)
{
    return (bf_text){.name = name, .text = text, .length = strlen(text)};
}

/* A question of a case or two, with up to six options as "name=value". */
typedef struct question {
    bf_question spec;
    bf_text input[2];
    bf_text table;
    bf_stated_option option[6];
    char word[6][80];
} question;

static void ask(question *out, const char *command, const char *text, const char *second,
                const char *const *options)
{
    memset(out, 0, sizeof *out);
    out->input[0] = text_of("first.yaml", text);
    if (second != NULL) {
        out->input[1] = text_of("second.yaml", second);
    }
    size_t count = 0;
    for (; options[count] != NULL; count++) {
        ck_assert_uint_lt(count, COUNT(out->option));
        (void)snprintf(out->word[count], sizeof out->word[count], "%s", options[count]);
        char *equals = strchr(out->word[count], '=');
        if (equals != NULL) {
            *equals = '\0';
        }
        out->option[count] =
            (bf_stated_option){out->word[count], equals != NULL ? equals + 1 : NULL};
    }
    out->spec = (bf_question){.command = command,
                              .option = out->option,
                              .option_count = count,
                              .input = out->input,
                              .input_count = second != NULL ? 2 : 1};
}
#define OPTIONS(...) ((const char *const[]){__VA_ARGS__, NULL})
#define NONE ((const char *const[]){NULL})

static bf_answer *answer_of(const bf_question *spec)
{
    bf_error err = {0};
    bf_answer *answer = NULL;
    is_answering = 1;
    bf_status status = bf_answer_create(spec, &answer, &err);
    is_answering = 0;
    ck_assert_msg(status == BF_OK, "%s: %s", spec->command, err.message);
    return answer;
}

static void assert_holds(const bf_answer *answer, const char *part)
{
    ck_assert_msg(strstr(bf_answer_text(answer, NULL), part) != NULL, "\"%s\" is not in\n%.3000s",
                  part, bf_answer_text(answer, NULL));
}

/* ---- tests ----------------------------------------------------------------------------------- */

START_TEST(every_command_answers_in_every_form)
{
    const struct {
        const char *command, *text, *second;
        const char *const *options;
        const char *part;
    } questions[] = {
        {"check", quick_case, NULL, NONE, "A quick one\n"},
        {"check", quick_case, NULL, OPTIONS("format=json"), "\"command\": \"check\""},
        {"rate", quick_case, NULL, NONE, "\n  17.30 "},
        {"rate", quick_case, NULL, OPTIONS("format=csv"), "\ndose_g_per_L,"},
        {"rate", quick_case, NULL, OPTIONS("format=json"), "\"command\": \"rate\""},
        {"rate", tank_case, NULL, NONE, "A tank\n"},
        {"cycle", quick_case, NULL, NONE, "A steady cycle at 9.1 lb/ft3"},
        {"cycle", quick_case, NULL, OPTIONS("format=csv"), "# A quick one\n"},
        {"cycle", quick_case, NULL, OPTIONS("format=json"), "\"command\": \"cycle\""},
        {"size", quick_case, NULL, OPTIONS("end-point"), "end point"},
        {"size", quick_case, NULL, OPTIONS("end-point", "format=json"), "\"command\": \"size\""},
        {"compare", quick_case, other_case, OPTIONS("no-band", "doses=13 lb/ft3"), "second"},
        {"foul", years_case, NULL, NONE, "Some days\n"},
        {"foul", years_case, NULL, OPTIONS("format=csv"), "\ncomputed,"},
        {"foul", years_case, NULL, OPTIONS("format=json"), "\"study\": \"years\""},
    };
    for (size_t a = 0; a < COUNT(questions); a++) {
        question q;
        size_t length = 0;
        ask(&q, questions[a].command, questions[a].text, questions[a].second, questions[a].options);
        bf_answer *answer = answer_of(&q.spec);
        assert_holds(answer, questions[a].part);
        ck_assert_uint_eq(strlen(bf_answer_text(answer, &length)), length);
        ck_assert_ptr_null(bf_answer_wrong_text(answer));
        bf_answer_free(answer);
    }
    ck_assert_int_eq(forbidden_calls, 0);
}
END_TEST

/* Without one of them the answer is another. */
START_TEST(every_option_is_seen)
{
    const struct {
        const char *command, *text;
        const char *const *others;
        const char *option;
    } rows[] = {
        {"rate", quick_case, NONE, "doses=13 lb/ft3"},
        {"rate", quick_case, NONE, "units=si"},
        {"rate", quick_case, NONE, "solver=banded"},
        {"rate", tank_case, NONE, "samples=32"},
        {"cycle", quick_case, NONE, "dose=17.3 lb/ft3"},
        {"cycle", quick_case, NONE, "from=new"},
        {"size", quick_case, OPTIONS("end-point"), "dose=17.3 lb/ft3"},
        {"size", quick_case, OPTIONS("salt", "water=310 gal"), "least-days=9"},
        {"size", quick_case, OPTIONS("salt", "water=310 gal"), "most-days=2"},
        {"foul", months_case, NONE, "by=quarter"},
        {"foul", months_case, NONE, "every-cycle"},
        {"foul", years_case, NONE, "units=si"},
    };
    for (size_t a = 0; a < COUNT(rows); a++) {
        const char *options[6] = {NULL};
        size_t count = 0;
        for (; rows[a].others[count] != NULL; count++) {
            options[count] = rows[a].others[count];
        }
        question basis, extended;
        ask(&basis, rows[a].command, rows[a].text, NULL, rows[a].others);
        options[count] = rows[a].option;
        ask(&extended, rows[a].command, rows[a].text, NULL, options);
        bf_answer *one = answer_of(&basis.spec);
        bf_answer *other = answer_of(&extended.spec);
        ck_assert_msg(strcmp(bf_answer_text(one, NULL), bf_answer_text(other, NULL)) != 0,
                      "%s does not see %s", rows[a].command, rows[a].option);
        bf_answer_free(one);
        bf_answer_free(other);
    }
}
END_TEST

START_TEST(what_is_wrong_is_said_before_anything_is_computed)
{
    const struct {
        const char *command;
        const char *const *options;
        const char *part;
    } wrong[] = {
        {"rates", NONE, "no command \"rates\"; the commands are: check rate cycle"},
        {"rate", OPTIONS("colour=red"), "rate has no option --colour"},
        {"rate", OPTIONS("doses"), "--doses needs a value"},
        {"rate", OPTIONS("threads=0"), "accepted are whole numbers from 1 to 1024"},
        {"rate", OPTIONS("threads=99999999999999999999"), "--threads is"},
        {"rate", OPTIONS("units=metric"), "--units is \"metric\"; accepted are us and si"},
        {"rate", OPTIONS("format=xml"), "accepted are table, csv and json"},
        {"rate", OPTIONS("format="), "--format is \"\""},
        {"check", OPTIONS("format=csv"), "--format is \"csv\"; accepted are table and json"},
        {"cycle", OPTIONS("from=old"), "--from is \"old\"; accepted are steady and new"},
        {"size", NONE, "one question at a time"},
        {"size", OPTIONS("bed", "flow=3 gpm"), "--bed needs --interval"},
        {"size", OPTIONS("salt", "water=3 gal", "dose=3 lb/ft3"), "--dose does not belong to"},
        {"compare", NONE, "name 2 cases at least, up to 8"},
        {"foul", OPTIONS("loss=3"), "--loss belongs to --compensation"},
        {"foul", OPTIONS("compensation", "loss=70"), "accepted are 0.5 to 50, in percent"},
        {"foul", OPTIONS("whatif", "sensitivity"), "one of --whatif"},
        {"foul", OPTIONS("whatif", "by=month"), "--by belongs to the years"},
        {"rate", OPTIONS("overlay=no.csv"), "names no text \"no.csv\""},
    };
    for (size_t w = 0; w < COUNT(wrong); w++) {
        question q;
        bf_error err = {0};
        bf_answer *answer = NULL;
        ask(&q, wrong[w].command, "not: [a case", NULL, wrong[w].options);
        assert_fails(bf_answer_create(&q.spec, &answer, &err), BF_E_INPUT, wrong[w].part);
        ck_assert_str_eq(bf_answer_text(answer, NULL), "");
        bf_answer_free(answer);
    }
}
END_TEST

START_TEST(findings_name_their_text)
{
    question q;
    bf_error err = {0};
    bf_answer *answer = NULL;
    ask(&q, "compare", quick_case, "water: {hardness: 25 gpgg}\nbed: {depth: x}\n", NONE);
    assert_fails(bf_answer_create(&q.spec, &answer, &err), BF_E_INPUT, "is expected here");
    ck_assert_str_eq(bf_answer_wrong_text(answer), "second.yaml");
    size_t findings = 0;
    for (size_t n = 0; n < bf_notes_count(bf_answer_findings(answer)); n++) {
        findings += bf_notes_get(bf_answer_findings(answer), n).kind == BF_NOTE_FINDING;
    }
    ck_assert_uint_ge(findings, 2);
    bf_answer_free(answer);

    ask(&q, "rate", quick_case, NULL, OPTIONS("overlay=mine.csv"));
    q.table = text_of("mine.csv", "dose [lb/ft3],capacity [kgr/ft3]\n6,bad\n");
    q.spec.table = &q.table;
    q.spec.table_count = 1;
    assert_fails(bf_answer_create(&q.spec, &answer, &err), BF_E_INPUT, "bad");
    ck_assert_str_eq(bf_answer_wrong_text(answer), "mine.csv");
    bf_answer_free(answer);

    q.table = text_of("mine.csv", "dose [lb/ft3],capacity [kgr/ft3]\n6,15.3\n");
    answer = answer_of(&q.spec);
    assert_holds(answer, "15.3");
    bf_answer_free(answer);
}
END_TEST

/* A watch that stops after so many calls. */
typedef struct patience {
    int calls, most;
    double share;
    int went_back;
} patience;

static int tell(void *context, double share)
{
    patience *p = context;
    p->went_back += share < p->share || !(share >= 0.0 && share <= 1.0);
    p->share = share;
    return ++p->calls > p->most;
}

START_TEST(a_watch_is_told_all_of_it)
{
    question q;
    const char *const texts[] = {quick_case, tank_case, years_case};
    const char *const commands[] = {"rate", "rate", "foul"};
    for (size_t c = 0; c < COUNT(commands); c++) {
        patience p = {.most = 100000};
        ask(&q, commands[c], texts[c], NULL, NONE);
        q.spec.watch = (bf_watch){.tell = tell, .context = &p};
        bf_answer_free(answer_of(&q.spec));
        ck_assert_msg(p.share > 0.97, /* a study guesses how many ratings it takes */
                      "%s %zu: %d calls, last share %g", commands[c], c, p.calls, p.share);
        ck_assert_int_gt(p.calls, 1);
        ck_assert_int_eq(p.went_back, 0);
    }
}
END_TEST

START_TEST(what_was_found_before_a_stop_is_told)
{
    const struct {
        const char *command, *text;
        const char *const *options;
        int most;         /* calls */
        const char *part; /* "": nothing */
    } rows[] = {
        {"rate", quick_case, NONE, 0, "topped early"},
        {"rate", quick_case, OPTIONS("format=csv"), 0, "# stopped early"},
        {"rate", quick_case, OPTIONS("format=json"), 0, "\"stopped_early\": true"},
        {"rate", tank_case, NONE, 0, "topped early"},
        {"rate", tank_case, NONE, 20, "topped early"},
        {"rate", tank_case, OPTIONS("format=json"), 20, "\"stopped_early\": true"},
        {"size", quick_case, OPTIONS("capacity=20 kgr/ft3", "practical"), 0, ""},
        {"foul", years_case, NONE, 10, "topped early"},
    };
    for (size_t a = 0; a < COUNT(rows); a++) {
        question q;
        bf_error err = {0};
        bf_answer *answer = NULL;
        patience p = {.most = rows[a].most};
        ask(&q, rows[a].command, rows[a].text, NULL, rows[a].options);
        q.spec.threads = 1;
        q.spec.watch = (bf_watch){.tell = tell, .context = &p};
        bf_status status = bf_answer_create(&q.spec, &answer, &err);
        ck_assert_msg(status == BF_E_STOPPED, "%zu: %s after %d calls", a, bf_status_name(status),
                      p.calls);
        if (*rows[a].part == '\0') {
            ck_assert_str_eq(bf_answer_text(answer, NULL), "");
        } else {
            assert_holds(answer, rows[a].part);
        }
        bf_answer_free(answer);
    }
}
END_TEST

/* The last state that was saved. */
typedef struct store {
    char *bytes;
    size_t count;
    int times, resumed;
} store;

static bf_status save(void *context, const void *bytes, size_t count, bf_error *err)
{
    store *s = context;
    (void)err;
    free(s->bytes);
    s->bytes = malloc(count);
    ck_assert_ptr_nonnull(s->bytes);
    memcpy(s->bytes, bytes, count);
    s->count = count;
    s->times++;
    return BF_OK;
}

static void resumed(void *context, size_t cycle)
{
    store *s = context;
    s->resumed += cycle > 0;
}

START_TEST(a_stopped_campaign_goes_on_to_the_same_bytes)
{
    question q;
    bf_error err = {0};
    bf_answer *answer = NULL;
    store s = {0};
    patience p = {.most = 10};
    ask(&q, "foul", years_case, NULL, OPTIONS("format=json"));
    bf_answer *undisturbed = answer_of(&q.spec);

    q.spec.watch = (bf_watch){.tell = tell, .context = &p};
    q.spec.save = save;
    q.spec.resumed = resumed;
    q.spec.context = &s;
    ck_assert_int_eq(bf_answer_create(&q.spec, &answer, &err), BF_E_STOPPED);
    bf_answer_free(answer);
    ck_assert_int_gt(s.times, 0);
    ck_assert_int_eq(s.resumed, 0);

    store saved = s;
    q.spec.saved = saved.bytes;
    q.spec.saved_bytes = saved.count;
    s = (store){0};
    q.spec.watch = (bf_watch){0};
    answer = answer_of(&q.spec);
    ck_assert_int_eq(s.resumed, 1);
    ck_assert_str_eq(bf_answer_text(answer, NULL), bf_answer_text(undisturbed, NULL));
    bf_answer_free(answer);

    saved.bytes[saved.count / 2] ^= 8;
    ck_assert_int_ne(bf_answer_create(&q.spec, &answer, &err), BF_OK);
    bf_answer_free(answer);
    bf_answer_free(undisturbed);
    free(saved.bytes);
    free(s.bytes);
}
END_TEST

static void *ask_in_thread(void *context)
{
    return answer_of(context);
}

START_TEST(two_may_ask_at_once)
{
    question q;
    pthread_t thread[2];
    void *answer[2] = {NULL, NULL};
    ask(&q, "rate", tank_case, NULL, NONE);
    q.spec.threads = 2;
    for (size_t t = 0; t < 2; t++) {
        ck_assert_int_eq(pthread_create(&thread[t], NULL, ask_in_thread, &q.spec), 0);
    }
    for (size_t t = 0; t < 2; t++) {
        ck_assert_int_eq(pthread_join(thread[t], &answer[t]), 0);
    }
    ck_assert_str_eq(bf_answer_text(answer[0], NULL), bf_answer_text(answer[1], NULL));
    bf_answer_free(answer[0]);
    bf_answer_free(answer[1]);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_command_answers_in_every_form,
                                  every_option_is_seen,
                                  what_is_wrong_is_said_before_anything_is_computed,
                                  findings_name_their_text,
                                  a_watch_is_told_all_of_it,
                                  what_was_found_before_a_stop_is_told,
                                  a_stopped_campaign_goes_on_to_the_same_bytes,
                                  two_may_ask_at_once};
    return support_run("answer", tests, COUNT(tests), 300);
}
