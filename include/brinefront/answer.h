/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file answer.h
 * A question in text, its answer in text: all that the command line does, in one call.
 *
 * The call opens no file and prints nothing. Texts come by name, state comes and goes as bytes, and
 * a watch is told how much is done and may stop it. A program for the command line, a binding of
 * another language, a page and a sweep ask in the same way and get the same bytes.
 */
#ifndef BRINEFRONT_ANSWER_H
#define BRINEFRONT_ANSWER_H

#include "brinefront/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What an option takes. */
typedef enum bf_option_kind {
    BF_OPTION_FLAG,   /**< nothing: it is there or not */
    BF_OPTION_WORDS,  /**< a text of its own, such as "6 lb/ft3" */
    BF_OPTION_CHOICE, /**< one of the `accepted` words */
    BF_OPTION_COUNT,  /**< a whole number, `least` .. `most` */
    BF_OPTION_TABLE,  /**< the name of a text of the question: comma-separated values */
    BF_OPTION_STATE   /**< saved bytes: bf_question.saved, bf_question.save */
} bf_option_kind;

/** An option of a command. */
typedef struct bf_option {
    const char *name; /**< "doses"; on a command line --doses */
    bf_option_kind kind;
    const char *value;    /**< what it takes, for help: "LIST" */
    const char *help;     /**< what it does, in a sentence without its end */
    const char *fallback; /**< what holds without it; NULL: nothing to say */
    const char *accepted; /**< of a choice: its words, a space between */
    long least, most;     /**< of a count */
    const char *heading;  /**< first of a group: its heading; else NULL */
} bf_option;

/** A command. */
typedef struct bf_command {
    const char *name, *summary, *description;
    size_t least_cases, most_cases;
    const bf_option *option;
    size_t option_count;
} bf_command;

BF_API size_t bf_command_count(void);
/** @param index  0 .. bf_command_count() - 1 */
BF_API bf_command bf_command_get(size_t index);
/** Find a command by its name. @return BF_OK; BF_E_INPUT with the commands there are */
BF_API BF_MUST_CHECK bf_status bf_command_find(const char *name, bf_command *out, bf_error *err);

/** A text by its name. The name stands in messages and, where cases are compared, in the answer. */
typedef struct bf_text {
    const char *name;
    const char *text; /**< UTF-8; need not end with a zero */
    size_t length;    /**< bytes */
} bf_text;

typedef struct bf_stated_option {
    const char *name;
    const char *value; /**< of a table the name of its text; of a flag or a state anything */
} bf_stated_option;

/** Everything that is asked; start from {0}. All of it is borrowed for the call. */
typedef struct bf_question {
    const char *command;
    const bf_stated_option *option; /**< each stands for the last of its name */
    size_t option_count;
    const bf_text *input; /**< the cases, in order */
    size_t input_count;
    const bf_text *table; /**< tables that options name */
    size_t table_count;
    int threads; /**< where no option says it; 0: as many as there are processors */
    bf_watch watch;
    /** Bytes that `save` was given before: the computation goes on from there. NULL: from the
     *  beginning. */
    const void *saved;
    size_t saved_bytes;
    /** Told once, when it goes on from `saved`: the cycle. May be NULL. */
    void (*resumed)(void *context, size_t cycle);
    /** Given the state now and then and at the end; the bytes last for the call alone. May be
     *  NULL. @return anything but BF_OK ends the computation with that code */
    bf_status (*save)(void *context, const void *bytes, size_t count, bf_error *err);
    void *context; /**< of `resumed` and `save` */
} bf_question;

/** Whether the options are good and the number of cases is right, before any text is read.
 *  Only `command`, `option` and `input_count` count. @return BF_OK; BF_E_INPUT */
BF_API BF_MUST_CHECK bf_status bf_question_check(const bf_question *question, bf_error *err);

typedef struct bf_answer bf_answer;

/**
 * Answer.
 *
 * @param out  yours also after a failure, for its findings; NULL where memory ran out
 * @return BF_OK; BF_E_INPUT (bf_answer_findings() lists all that is wrong with a text); BF_E_RANGE;
 *         BF_E_MEMORY; BF_E_SOLVER; BF_E_STOPPED where the watch stopped it: the text then holds
 *         what was found until then, marked as stopped early, or is empty where that is nothing
 * Same question, same bytes: for any number of threads, in any locale.
 */
BF_API BF_MUST_CHECK bf_status bf_answer_create(const bf_question *question, bf_answer **out,
                                                bf_error *err);
BF_API void bf_answer_free(bf_answer *answer); /* NULL is fine */

/** The answer in its form, UTF-8 and ended by a zero that `length` does not count. Borrowed.
 *  @param length  may be NULL */
BF_API const char *bf_answer_text(const bf_answer *answer, size_t *length);

/** The name of the text that was read when the call failed, and what was found wrong with it: notes
 *  of the kind BF_NOTE_FINDING among others. NULL where it is no text that is wrong. Borrowed. */
BF_API const char *bf_answer_wrong_text(const bf_answer *answer);
BF_API const bf_notes *bf_answer_findings(const bf_answer *answer);

#ifdef __cplusplus
}
#endif
#endif
