/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a command is: what it parses, computes and prints. All else is the frame's (answer.c). */
#ifndef BF_ANSWER_FRAME_H
#define BF_ANSWER_FRAME_H

#include "brinefront/answer.h"
#include "brinefront/comparison.h"
#include "brinefront/report.h"

/* How an answer is printed. */
typedef enum bf__form { BF__FORM_TABLE, BF__FORM_CSV, BF__FORM_JSON } bf__form;

/* Print a report in a form: bf_report_WHAT_table(), bf_report_WHAT_csv(), bf_report_WHAT_json(). */
#define BF__PRINT(what, form, report, out, err)                                                    \
    ((form) == BF__FORM_TABLE ? bf_report_##what##_table(report, out, err)                         \
     : (form) == BF__FORM_CSV ? bf_report_##what##_csv(report, out, err)                           \
                              : bf_report_##what##_json(report, out, err))

enum { BF__CASES = BF_COMPARED_BEDS };

/* A case as the frame makes it ready. */
typedef struct bf__case {
    const char *name;
    bf_case *input;
    bf_notes *notes; /* what was assumed, deduced and is to be cautioned */
} bf__case;

typedef struct bf__command bf__command;

/* One question on its way to its answer. */
typedef struct bf__frame {
    const bf_question *question;
    const bf__command *command;
    bf_unit_system units;
    bf__form form;
    int threads;
    bf__case input[BF__CASES];
    size_t cases;
    const char *wrong_text;      /* being read; NULL: none */
    const bf_notes *wrong_notes; /* its findings */
    int leaves_protocol;         /* the command's own, which its `parse` may change */
    int is_partial;              /* compute was stopped and left something to print */
    void *work;                  /* of the command, zeroed: `work_bytes` */
} bf__frame;

struct bf__command {
    bf_command about;
    size_t work_bytes;
    int keeps_campaign;  /* nonzero: notes on keys of a campaign stay */
    int lists_practice;  /* nonzero: each value outside practice has a note, not all together */
    int leaves_protocol; /* nonzero: the command applies the protocol of the case itself */
    /* Options of its own: what belongs together. NULL: nothing to look at. */
    bf_status (*parse)(bf__frame *frame, bf_error *err);
    bf_status (*compute)(bf__frame *frame, bf_error *err);
    bf_status (*print)(const bf__frame *frame, FILE *out, bf_error *err);
    void (*release)(bf__frame *frame); /* what `work` holds; may be NULL */
};

extern const bf__command bf__command_check, bf__command_rate, bf__command_cycle, bf__command_size,
    bf__command_compare, bf__command_foul;

/* ---- options: options.c ------------------------------------------------------------------------
 */

/* Every command has these. */
#define BF__OPTION_UNITS                                                                           \
    {                                                                                              \
        .name = "units", .kind = BF_OPTION_CHOICE, .value = "SYSTEM", .accepted = "us si",         \
        .help = "units of the page", .fallback = "us", .heading = "How it is made:"                \
    }
#define BF__OPTION_FORMAT(words)                                                                   \
    {                                                                                              \
        .name = "format", .kind = BF_OPTION_CHOICE, .value = "FORM", .accepted = (words),          \
        .help = "form of the page", .fallback = "table"                                            \
    }
#define BF__OPTION_THREADS                                                                         \
    {                                                                                              \
        .name = "threads", .kind = BF_OPTION_COUNT, .value = "N", .least = 1, .most = 1024,        \
        .help = "runs computed at a time; the numbers do not depend on it",                        \
        .fallback = "all processors"                                                               \
    }
#define BF__OPTION_SOLVER                                                                          \
    {                                                                                              \
        .name = "solver", .kind = BF_OPTION_CHOICE, .value = "WAY", .accepted = "block banded",    \
        .help =                                                                                    \
            "block: by the bed's structure; banded: by the integrator library's own means, some "  \
            "fifty times slower, to check the other",                                              \
        .fallback = "block"                                                                        \
    }
#define BF__OPTION_SAMPLES(words, otherwise)                                                       \
    {                                                                                              \
        .name = "samples", .kind = BF_OPTION_COUNT, .value = "N", .least = BF_BAND_LEAST_SAMPLES,  \
        .most = BF_BAND_MOST_SAMPLES, .help = (words), .fallback = (otherwise)                     \
    }

/* commands.c: the command that a question names. */
BF_MUST_CHECK bf_status bf__command_set(bf__frame *frame, bf_error *err);

/* Look at every option of the command and at the number of cases. */
BF_MUST_CHECK bf_status bf__options_check(bf__frame *frame, bf_error *err);

/* The value of an option of this command, NULL where it is not stated; of a flag "". */
const char *bf__option(const bf__frame *frame, const char *name);
/* Which of its words, also where it is not stated. */
size_t bf__option_choice(const bf__frame *frame, const char *name);
/* Its number; 0 where it is not stated. */
size_t bf__option_count(const bf__frame *frame, const char *name);
/* The text that it names; NULL where it is not stated. bf__options_check() has seen that it is
 * there. */
const bf_text *bf__option_table(const bf__frame *frame, const char *name);

/* ---- cases: cases.c ----------------------------------------------------------------------------
 */

/* Read every case and treat it the one way there is: options that stand in for what it states, the
 * protocol it asks for, what leaves practice, notes that the command leaves out. */
BF_MUST_CHECK bf_status bf__cases_read(bf__frame *frame, bf_error *err);
void bf__cases_free(bf__frame *frame);

/* From here on a failure is one of this text, and these are its findings; NULL: of none. */
void bf__wrong_text(bf__frame *frame, const bf_text *text, const bf_notes *notes);

/* The head of a page about a case. */
bf_page bf__page(const bf__frame *frame, size_t which);

/* The dose of an option --dose; where it is not stated the middle one of the case's. */
BF_MUST_CHECK bf_status bf__one_dose(const bf__frame *frame, double *dose_kg_per_m3, bf_error *err);

#endif
