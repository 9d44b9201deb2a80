/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From arguments and files to a question, from its answer to a file or standard output. */
#include "frame.h"

#include "brinefront/files.h"
#include "progress.h"
#include "signals.h"

#include <argp.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { OPTIONS = 32, CASES = 16, TABLES = 4, FIRST_KEY = 256 };

/* All that a run holds. */
typedef struct run {
    const bf_command *command;
    bf_stated_option option[OPTIONS];
    size_t option_count;
    const char *file[CASES]; /* of the cases */
    size_t file_count;
    const char *output;     /* NULL: standard output */
    const char *checkpoint; /* NULL: none */
    bf_text input[CASES];
    bf_text table[TABLES];
    size_t table_count;
    char *saved;
    size_t saved_bytes;
    progress progress;
} run;

/* ---- arguments ------------------------------------------------------------------------------- */

static const char *name_of(const char *file_name)
{
    return strcmp(file_name, "-") == 0 ? "standard input" : file_name;
}

static const bf_option *option_of(const run *r, int key)
{
    const size_t index = (size_t)(key - FIRST_KEY);
    return key >= FIRST_KEY && index < r->command->option_count ? &r->command->option[index] : NULL;
}

static void take_case(struct argp_state *state, run *r, const char *value)
{
    if (r->file_count == r->command->most_cases || r->file_count == CASES) {
        if (r->command->most_cases > 1) {
            argp_error(state, "%zu cases at the most; \"%s\" is one too many",
                       r->command->most_cases, value);
        }
        argp_error(state, "one case at a time; \"%s\" is one too many", value);
    }
    r->file[r->file_count++] = value;
}

static void take_option(struct argp_state *state, run *r, const bf_option *option,
                        const char *value)
{
    if (r->option_count == OPTIONS) {
        argp_error(state, "%d options at the most", OPTIONS);
    }
    if (option->kind == BF_OPTION_STATE) {
        r->checkpoint = value;
    }
    r->option[r->option_count++] =
        (bf_stated_option){option->name, option->kind == BF_OPTION_TABLE ? name_of(value) : value};
}

/* Standard input can be one thing only. */
static void check_standard_input(struct argp_state *state, const run *r)
{
    size_t count = 0;
    for (size_t f = 0; f < r->file_count; f++) {
        count += strcmp(r->file[f], "-") == 0;
    }
    for (size_t o = 0; o < r->option_count; o++) {
        count += r->option[o].value != NULL && strcmp(r->option[o].value, "standard input") == 0;
    }
    if (count > 1) {
        argp_error(state, "standard input can be one case or one table, not %zu of them", count);
    }
}

static void check_question(struct argp_state *state, const run *r)
{
    bf_error err = {0};
    const bf_question question = {.command = r->command->name,
                                  .option = r->option,
                                  .option_count = r->option_count,
                                  .input_count = r->file_count};
    if (r->file_count < r->command->least_cases) {
        if (r->command->least_cases > 1) {
            argp_error(state, "name %zu cases at least, up to %zu; - is standard input",
                       r->command->least_cases, r->command->most_cases);
        }
        argp_error(state, "name a case file, or - for standard input");
    }
    check_standard_input(state, r);
    if (bf_question_check(&question, &err) != BF_OK) {
        argp_error(state, "%s", err.message);
    }
}

static error_t take(int key, char *value, struct argp_state *state)
{
    run *r = state->input;
    const bf_option *option = option_of(r, key);
    if (option != NULL) {
        take_option(state, r, option, value);
        return 0;
    }
    switch (key) {
    case 'o': r->output = value; break;
    case ARGP_KEY_ARG: take_case(state, r, value); break;
    case ARGP_KEY_END: check_question(state, r); break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

/* "what it does: one of its words; default: what holds without it" */
static void write_help(const bf_option *option, char *text, size_t room)
{
    const int is_choice = option->kind == BF_OPTION_CHOICE;
    (void)snprintf(text, room, "%s%s%s%s%s%s", option->help, is_choice ? " (" : "",
                   is_choice ? option->accepted : "", is_choice ? ")" : "",
                   option->fallback != NULL ? "; default: " : "",
                   option->fallback != NULL ? option->fallback : "");
}

static int parse(run *r, int argc, char **argv)
{
    enum { HELP = 400 };
    struct argp_option known[2 * OPTIONS + 2];
    char(*help)[HELP] = calloc(r->command->option_count, sizeof *help);
    size_t count = 0;
    int group = 0;
    memset(known, 0, sizeof known);
    if (help == NULL) {
        (void)fputs("brinefront: no memory\n", stderr);
        return 0;
    }
    for (size_t o = 0; o < r->command->option_count; o++) {
        const bf_option *option = &r->command->option[o];
        write_help(option, help[o], HELP);
        if (option->heading != NULL) {
            known[count++] = (struct argp_option){.doc = option->heading, .group = ++group};
        }
        known[count++] = (struct argp_option){.name = option->name,
                                              .key = FIRST_KEY + (int)o,
                                              .arg = option->value,
                                              .doc = help[o],
                                              .group = group};
    }
    known[count++] = (struct argp_option){.name = "output",
                                          .key = 'o',
                                          .arg = "FILE",
                                          .doc = "write to FILE, whole or not at all",
                                          .group = group};
    const struct argp parser = {.options = known,
                                .parser = take,
                                .args_doc = r->command->most_cases > 1 ? "CASE CASE..." : "CASE",
                                .doc = r->command->description};
    const int is_good = argp_parse(&parser, argc, argv, 0, NULL, r) == 0;
    free(help);
    return is_good;
}

/* ---- files ----------------------------------------------------------------------------------- */

/* Far above what a case or a table may have, whose readers say so themselves. */
static const size_t most_bytes = (size_t)64 << 20;

static bf_status read_text(const char *file_name, const char *what, bf_text *out, bf_error *err)
{
    char *text = NULL;
    bf_status status = bf_file_read(file_name, what, most_bytes, &text, &out->length, err);
    out->name = name_of(file_name);
    out->text = text;
    return status;
}

/* @param failed  out: the file that cannot be read; NULL: all were */
static bf_status read_files(run *r, const char **failed, bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t f = 0; f < r->file_count && status == BF_OK; f++) {
        *failed = r->file[f];
        status = read_text(r->file[f], "case file", &r->input[f], err);
    }
    for (size_t o = 0; o < r->option_count && status == BF_OK; o++) {
        for (size_t k = 0; k < r->command->option_count; k++) {
            const bf_option *option = &r->command->option[k];
            if (option->kind == BF_OPTION_TABLE && r->table_count < TABLES &&
                strcmp(option->name, r->option[o].name) == 0 && status == BF_OK) {
                const char *value = r->option[o].value;
                *failed = strcmp(value, "standard input") == 0 ? "-" : value;
                status = read_text(*failed, "table", &r->table[r->table_count++], err);
            }
        }
    }
    if (status == BF_OK && r->checkpoint != NULL && access(r->checkpoint, F_OK) == 0) {
        *failed = r->checkpoint;
        status = bf_file_read(r->checkpoint, "checkpoint", SIZE_MAX / 2, &r->saved, &r->saved_bytes,
                              err);
    }
    *failed = status == BF_OK ? NULL : *failed;
    return status;
}

static void free_files(run *r)
{
    for (size_t f = 0; f < r->file_count; f++) {
        free((char *)(size_t)r->input[f].text);
    }
    for (size_t t = 0; t < r->table_count; t++) {
        free((char *)(size_t)r->table[t].text);
    }
    free(r->saved);
}

static bf_status save(void *context, const void *bytes, size_t count, bf_error *err)
{
    const run *r = context;
    return bf_file_write(r->checkpoint, bytes, count, err);
}

static void say_resumed(void *context, size_t cycle)
{
    const run *r = context;
    (void)fprintf(stderr, "going on from cycle %zu, as %s holds it\n", cycle, r->checkpoint);
}

/* ---- what went wrong ------------------------------------------------------------------------- */

static size_t print_findings(const bf_notes *notes, const char *text_name)
{
    size_t findings = 0;
    for (size_t n = 0; notes != NULL && n < bf_notes_count(notes); n++) {
        const bf_note note = bf_notes_get(notes, n);
        if (note.kind != BF_NOTE_FINDING) {
            continue;
        }
        findings++;
        if (note.line > 0) {
            (void)fprintf(stderr, "%s:%ld:%ld: ", text_name, note.line, note.column);
        } else {
            (void)fprintf(stderr, "%s: ", text_name);
        }
        const char *where = strcmp(note.where, text_name) == 0 ? "" : note.where;
        (void)fprintf(stderr, "%s%s%s\n", where, *where ? ": " : "", note.text);
    }
    return findings;
}

/* @param file_name  that could not be read; NULL: none */
static int complain(bf_status status, const char *file_name, const bf_answer *answer,
                    const bf_error *err)
{
    const char *text_name = answer != NULL ? bf_answer_wrong_text(answer) : NULL;
    if (file_name != NULL) {
        (void)fprintf(stderr, "%s: %s\n", name_of(file_name), err->message);
    } else if (text_name == NULL || print_findings(bf_answer_findings(answer), text_name) == 0) {
        (void)fprintf(stderr, "brinefront: %s\n", err->message);
    }
    return status == BF_E_INPUT || status == BF_E_FILE || status == BF_E_RANGE ? EXIT_WRONG_INPUT
                                                                               : EXIT_NOT_DONE;
}

/* ---- the run --------------------------------------------------------------------------------- */

static bf_status deliver(const char *file_name, const bf_answer *answer, bf_error *err)
{
    size_t length = 0;
    const char *text = bf_answer_text(answer, &length);
    return bf_file_write(file_name != NULL ? file_name : "-", text, length, err);
}

/* What was found until a signal came goes to standard output, never into the file of -o. */
static int end_early(const bf_answer *answer, bf_error *err)
{
    size_t length = 0;
    (void)bf_answer_text(answer, &length);
    if (length == 0) {
        (void)fputs("brinefront: stopped early: nothing is found yet\n", stderr);
    } else if (deliver(NULL, answer, err) != BF_OK) {
        return complain(err->code, NULL, NULL, err);
    } else {
        (void)fputs("brinefront: stopped early\n", stderr);
    }
    return EXIT_SIGNAL + signals_caught();
}

int frame_run(const bf_command *command, int argc, char **argv)
{
    run r = {.command = command};
    bf_error err = {0};
    bf_answer *answer = NULL;
    const char *failed = NULL;
    int code = EXIT_NOT_DONE;
    if (!parse(&r, argc, argv)) {
        return EXIT_NOT_DONE;
    }
    bf_status status = read_files(&r, &failed, &err);
    /* An hour of computing for a file that cannot be written is an hour lost. */
    if (status == BF_OK && r.output != NULL) {
        status = bf_file_may_write(r.output, &err);
    }
    if (status == BF_OK && r.checkpoint != NULL) {
        status = bf_file_may_write(r.checkpoint, &err);
    }
    if (status == BF_OK) {
        signals_catch();
        progress_begin(&r.progress);
        const bf_question question = {.command = command->name,
                                      .option = r.option,
                                      .option_count = r.option_count,
                                      .input = r.input,
                                      .input_count = r.file_count,
                                      .table = r.table,
                                      .table_count = r.table_count,
                                      .watch = progress_watch(&r.progress),
                                      .saved = r.saved,
                                      .saved_bytes = r.saved_bytes,
                                      .resumed = say_resumed,
                                      .save = r.checkpoint != NULL ? save : NULL,
                                      .context = &r};
        status = bf_answer_create(&question, &answer, &err);
        progress_end(&r.progress);
    }
    if (status == BF_OK) {
        status = deliver(r.output, answer, &err);
    }
    if (status == BF_OK) {
        code = EXIT_DONE;
    } else if (status == BF_E_STOPPED && signals_caught() != 0) {
        code = end_early(answer, &err);
    } else {
        code = complain(status, failed, answer, &err);
    }
    bf_answer_free(answer);
    free_files(&r);
    return code;
}
