/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options of a question, looked at before anything is read or computed. */
#include "answer/frame.h"

#include <assert.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* ---- looking at them ------------------------------------------------------------------------- */

static const bf_option *option_of(const bf_command *command, const char *name)
{
    for (size_t o = 0; o < command->option_count; o++) {
        if (strcmp(command->option[o].name, name) == 0) {
            return &command->option[o];
        }
    }
    return NULL;
}

/* The place of a word in "table csv json"; (size_t)-1 where it is none of them. */
static size_t find_word(const char *accepted, const char *word)
{
    size_t index = 0;
    const size_t length = strlen(word);
    for (const char *next = accepted; *next != '\0'; index++) {
        const size_t span = strcspn(next, " ");
        if (span == length && strncmp(next, word, span) == 0) {
            return index;
        }
        next += span;
        next += strspn(next, " ");
    }
    return (size_t)-1;
}

/* "table csv json" as a person lists it: "table, csv and json". */
static void list_words(const char *accepted, char *text, size_t room)
{
    text[0] = '\0';
    for (const char *next = accepted; *next != '\0';) {
        const size_t span = strcspn(next, " ");
        const char *rest = next + span + strspn(next + span, " ");
        const char *join = next == accepted ? "" : *rest == '\0' ? " and " : ", ";
        (void)strncat(text, join, room - strlen(text) - 1);
        (void)strncat(text, next, span < room - strlen(text) ? span : room - strlen(text) - 1);
        next = rest;
    }
}

static bf_status check_count(const bf_option *option, const char *value, bf_error *err)
{
    char *end;
    errno = 0;
    const long count = strtol(value, &end, 10);
    if (*value != '\0' && *end == '\0' && errno == 0 && count >= option->least &&
        count <= option->most) {
        return BF_OK;
    }
    return bf_error_set(err, BF_E_INPUT, option->name,
                        "--%s is \"%s\"; accepted are whole numbers from %ld to %ld", option->name,
                        value, option->least, option->most);
}

static bf_status check_choice(const bf_option *option, const char *value, bf_error *err)
{
    char words[120];
    if (find_word(option->accepted, value) != (size_t)-1) {
        return BF_OK;
    }
    list_words(option->accepted, words, sizeof words);
    return bf_error_set(err, BF_E_INPUT, option->name, "--%s is \"%s\"; accepted are %s",
                        option->name, value, words);
}

static bf_status check_option(const bf_command *command, const bf_stated_option *stated,
                              bf_error *err)
{
    const bf_option *option = option_of(command, stated->name);
    if (option == NULL) {
        return bf_error_set(err, BF_E_INPUT, stated->name, "%s has no option --%s", command->name,
                            stated->name);
    }
    if (option->kind != BF_OPTION_FLAG && stated->value == NULL) {
        return bf_error_set(err, BF_E_INPUT, option->name, "--%s needs a value", option->name);
    }
    switch (option->kind) {
    case BF_OPTION_COUNT: return check_count(option, stated->value, err);
    case BF_OPTION_CHOICE: return check_choice(option, stated->value, err);
    case BF_OPTION_FLAG:
    case BF_OPTION_WORDS:
    case BF_OPTION_TABLE:
    case BF_OPTION_STATE: break;
    }
    return BF_OK;
}

static bf_status check_cases(const bf_command *command, size_t count, bf_error *err)
{
    if (count >= command->least_cases && count <= command->most_cases) {
        return BF_OK;
    }
    if (command->most_cases > 1) {
        return bf_error_set(err, BF_E_INPUT, command->name, "name %zu cases at least, up to %zu",
                            command->least_cases, command->most_cases);
    }
    return bf_error_set(err, BF_E_INPUT, command->name,
                        count == 0 ? "name a case" : "one case at a time; there are %zu", count);
}

bf_status bf__options_check(bf__frame *frame, bf_error *err)
{
    const bf_question *question = frame->question;
    const bf_command *about = &frame->command->about;
    bf_status status = BF_OK;
    for (size_t o = 0; o < question->option_count && status == BF_OK; o++) {
        status = check_option(about, &question->option[o], err);
    }
    if (status == BF_OK) {
        status = check_cases(about, question->input_count, err);
    }
    if (status == BF_OK && frame->command->parse != NULL) {
        status = frame->command->parse(frame, err);
    }
    return status;
}

/* ---- values ---------------------------------------------------------------------------------- */

const char *bf__option(const bf__frame *frame, const char *name)
{
    const char *value = NULL;
    assert(option_of(&frame->command->about, name) != NULL);
    for (size_t o = 0; o < frame->question->option_count; o++) {
        const bf_stated_option *stated = &frame->question->option[o];
        if (strcmp(stated->name, name) == 0) {
            value = stated->value != NULL ? stated->value : "";
        }
    }
    return value;
}

size_t bf__option_choice(const bf__frame *frame, const char *name)
{
    const char *value = bf__option(frame, name);
    const bf_option *option = option_of(&frame->command->about, name);
    return find_word(option->accepted, value != NULL ? value : option->fallback);
}

size_t bf__option_count(const bf__frame *frame, const char *name)
{
    const char *value = bf__option(frame, name);
    return value == NULL ? 0 : (size_t)strtol(value, NULL, 10);
}

const bf_text *bf__option_table(const bf__frame *frame, const char *name)
{
    const char *value = bf__option(frame, name);
    for (size_t t = 0; value != NULL && t < frame->question->table_count; t++) {
        if (strcmp(frame->question->table[t].name, value) == 0) {
            return &frame->question->table[t];
        }
    }
    return NULL;
}
