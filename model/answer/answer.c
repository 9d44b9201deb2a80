/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The frame of every command: options, cases, what is computed, the page, and what went wrong.
 * This is the only place where a case becomes an answer. */
#include "answer/frame.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct bf_answer {
    bf__frame frame;
    bf_output page;
    int is_whole; /* the page may be shown */
};

/* The command and its options, before anything is read or computed. */
static bf_status begin(bf__frame *frame, bf_error *err)
{
    const bf_status status = bf__command_set(frame, err);
    return status == BF_OK ? bf__options_check(frame, err) : status;
}

bf_status bf_question_check(const bf_question *question, bf_error *err)
{
    bf__frame frame = {.question = question};
    return begin(&frame, err);
}

static void take_settings(bf__frame *frame)
{
    const bf_command *about = &frame->command->about;
    frame->threads = frame->question->threads;
    for (size_t o = 0; o < about->option_count; o++) {
        const bf_option *option = &about->option[o];
        if (strcmp(option->name, "units") == 0 && option->kind == BF_OPTION_CHOICE) {
            frame->units = bf__option_choice(frame, "units") == 0 ? BF_UNITS_US : BF_UNITS_SI;
        } else if (strcmp(option->name, "format") == 0) {
            const char *word = bf__option(frame, "format");
            frame->form = word == NULL || strcmp(word, "table") == 0 ? BF__FORM_TABLE
                          : strcmp(word, "csv") == 0                 ? BF__FORM_CSV
                                                                     : BF__FORM_JSON;
        } else if (strcmp(option->name, "threads") == 0 && bf__option(frame, "threads") != NULL) {
            frame->threads = (int)bf__option_count(frame, "threads");
        }
    }
}

/* Every table that an option names is there. */
static bf_status check_tables(const bf__frame *frame, bf_error *err)
{
    const bf_command *about = &frame->command->about;
    for (size_t o = 0; o < about->option_count; o++) {
        const bf_option *option = &about->option[o];
        if (option->kind == BF_OPTION_TABLE && bf__option(frame, option->name) != NULL &&
            bf__option_table(frame, option->name) == NULL) {
            return bf_error_set(err, BF_E_INPUT, option->name,
                                "--%s names no text \"%s\" of the question", option->name,
                                bf__option(frame, option->name));
        }
    }
    return BF_OK;
}

/* The first line of a page that holds only what was found before a stop; JSON has a member. */
static void mark_early(const bf__frame *frame, FILE *page)
{
    static const char *const sentence = "stopped early: this is what was found until then";
    if (frame->is_partial && frame->form == BF__FORM_TABLE) {
        (void)fprintf(page, "** %s **\n\n", sentence);
    } else if (frame->is_partial && frame->form == BF__FORM_CSV) {
        (void)fprintf(page, "# %s\n", sentence);
    }
}

/* The page, whole. */
static bf_status print(bf_answer *answer, bf_error *err)
{
    bf_output *page = &answer->page;
    bf_status status = bf_output_open(page, err);
    if (status == BF_OK) {
        mark_early(&answer->frame, page->stream);
        status = answer->frame.command->print(&answer->frame, page->stream, err);
    }
    if (status == BF_OK) {
        status = bf_output_finish(page, err);
    }
    answer->is_whole = status == BF_OK;
    return status;
}

static bf_status run(bf_answer *answer, bf_error *err)
{
    bf__frame *frame = &answer->frame;
    bf_status status = begin(frame, err);
    if (status == BF_OK) {
        status = check_tables(frame, err);
    }
    if (status == BF_OK) {
        take_settings(frame);
        frame->work = calloc(1, frame->command->work_bytes + 1);
        status = frame->work != NULL
                     ? BF_OK
                     : bf_error_set(err, BF_E_MEMORY, frame->command->about.name, "no memory");
    }
    if (status == BF_OK) {
        status = bf__cases_read(frame, err);
    }
    if (status == BF_OK) {
        status = frame->command->compute(frame, err);
    }
    if (status == BF_OK || (status == BF_E_STOPPED && frame->is_partial)) {
        const bf_status printed = print(answer, err);
        status = printed == BF_OK ? status : printed;
    }
    return status;
}

bf_status bf_answer_create(const bf_question *question, bf_answer **out, bf_error *err)
{
    *out = calloc(1, sizeof **out);
    if (*out == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_answer_create", "no memory");
    }
    (*out)->frame.question = question;
    bf_status status = run(*out, err);
    (*out)->frame.question = NULL; /* borrowed for the call alone */
    return status;
}

void bf_answer_free(bf_answer *answer)
{
    if (answer == NULL) {
        return;
    }
    if (answer->frame.work != NULL && answer->frame.command->release != NULL) {
        answer->frame.command->release(&answer->frame);
    }
    free(answer->frame.work);
    bf__cases_free(&answer->frame);
    bf_output_close(&answer->page);
    free(answer);
}

const char *bf_answer_text(const bf_answer *answer, size_t *length)
{
    if (length != NULL) {
        *length = answer->is_whole ? answer->page.length : 0;
    }
    return answer->is_whole ? answer->page.text : "";
}

const char *bf_answer_wrong_text(const bf_answer *answer)
{
    return answer->frame.wrong_text;
}

const bf_notes *bf_answer_findings(const bf_answer *answer)
{
    return answer->frame.wrong_notes;
}
