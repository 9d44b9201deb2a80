/* SPDX-License-Identifier: GPL-3.0-or-later */
/* check: the case printed back; and the reference of keys, units and errors. */
#include "answer/frame.h"

typedef struct work {
    bf_deduced deduced;
} work;

static const bf_option options[] = {
    BF__OPTION_FORMAT("table json"),
    {.name = "keys",
     .kind = BF_OPTION_FLAG,
     .help = "describe all keys of a case file",
     .heading = "In place of a case:"},
    {.name = "units", .kind = BF_OPTION_FLAG, .help = "describe all units"},
    {.name = "errors", .kind = BF_OPTION_FLAG, .help = "describe all status codes of the library"},
};

/* What is printed in place of a case; NULL: a case is. */
static void (*reference(const bf__frame *frame))(FILE *out)
{
    return bf__option(frame, "keys") != NULL     ? bf_report_keys
           : bf__option(frame, "units") != NULL  ? bf_report_units
           : bf__option(frame, "errors") != NULL ? bf_report_errors
                                                 : NULL;
}

static bf_status parse(bf__frame *frame, bf_error *err)
{
    return frame->question->input_count > 0 || reference(frame) != NULL
               ? BF_OK
               : bf_error_set(err, BF_E_INPUT, "check", "name a case");
}

static bf_status compute(bf__frame *frame, bf_error *err)
{
    work *w = frame->work;
    return reference(frame) != NULL ? BF_OK
                                    : bf_deduce(&frame->input[0].input->rating, &w->deduced, err);
}

static bf_status print(const bf__frame *frame, FILE *out, bf_error *err)
{
    const work *w = frame->work;
    if (reference(frame) != NULL) {
        reference(frame)(out);
        return BF_OK;
    }
    const bf_check_report report = {
        .input = frame->input[0].input, .deduced = &w->deduced, .notes = frame->input[0].notes};
    if (frame->form == BF__FORM_JSON) {
        return bf_report_check_json(&report, out, err);
    }
    return bf_report_check_table(&report, out, err);
}

const bf__command bf__command_check = {
    .about = {.name = "check",
              .summary = "a case printed back, with what follows from it",
              .description = "Print CASE back in SI and U.S. units with everything that was filled "
                             "in, what follows from it, and where it leaves practice. Nothing is "
                             "simulated.",
              .least_cases = 0,
              .most_cases = 1,
              .option = options,
              .option_count = sizeof options / sizeof *options},
    .work_bytes = sizeof(work),
    .keeps_campaign = 1,
    .lists_practice = 1,
    .leaves_protocol = 1,
    .parse = parse,
    .compute = compute,
    .print = print};
