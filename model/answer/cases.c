/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one way from the text of a case to what is rated, and which notes go along:
 *
 *     read -> options in place of what it states -> protocol -> practice -> what is left out
 */
#include "answer/frame.h"

#include <stdlib.h>
#include <string.h>

static const bf_option *find_option(const bf__frame *frame, const char *name)
{
    const bf_command *about = &frame->command->about;
    for (size_t o = 0; o < about->option_count; o++) {
        if (strcmp(about->option[o].name, name) == 0) {
            return &about->option[o];
        }
    }
    return NULL;
}

/* The value of an option that not every command has. */
static const char *stated(const bf__frame *frame, const char *name)
{
    return find_option(frame, name) == NULL ? NULL : bf__option(frame, name);
}

static bf_status take_options(const bf__frame *frame, bf_case *input, bf_error *err)
{
    if (find_option(frame, "solver") != NULL) {
        input->rating.bed.solver =
            bf__option_choice(frame, "solver") == 0 ? BF_SOLVER_BLOCK : BF_SOLVER_BANDED;
    }
    const char *doses = stated(frame, "doses");
    return doses == NULL ? BF_OK : bf_case_set_doses(input, doses, err);
}

/* Rate a case with a tank under the protocol that it asks for; others stay as they are. */
static bf_status apply_protocol(bf_case *input, bf_notes *notes, bf_error *err)
{
    bf_tank_sheet sheet;
    bf_rating_spec dosed = input->rating;
    if (!input->tank.is_stated || input->tank.protocol == BF_PROTOCOL_OWN) {
        return BF_OK;
    }
    bf_recipe_set_dose(&dosed.recipe, input->dose_kg_per_m3[input->dose_count / 2]);
    bf_status status = bf_tank_sheet_of(&input->tank.spec, &dosed, &sheet, err);
    return status != BF_OK ? status
                           : bf_protocol_apply(input->tank.protocol, &input->rating,
                                               sheet.rated_m3_per_s, &input->rating, notes, err);
}

/* What leaves practice: each value, or one note for all that says where they are listed. */
static bf_status note_practice(const bf_case *input, int lists_each, bf_notes *notes, bf_error *err)
{
    bf_notes *practice = NULL;
    bf_status status = bf_notes_create(&practice, err);
    if (status == BF_OK) {
        status = bf_practice_notes(&input->rating, input->dose_kg_per_m3, input->dose_count,
                                   lists_each ? notes : practice, err);
    }
    if (status == BF_OK && bf_notes_count(practice) > 0) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "practice",
                     bf_notes_count(practice) == 1
                         ? "%zu value lies outside published practice: brinefront check lists it"
                         : "%zu values lie outside published practice: brinefront check lists them",
                     bf_notes_count(practice));
    }
    bf_notes_free(practice);
    return status;
}

/* Notes without those that do not belong to the answer; *notes is replaced. */
static bf_status leave_out(const bf__frame *frame, bf_notes **notes, bf_error *err)
{
    const int replaces_samples = stated(frame, "samples") != NULL;
    bf_notes *kept = NULL;
    bf_status status = bf_notes_create(&kept, err);
    for (size_t n = 0; status == BF_OK && n < bf_notes_count(*notes); n++) {
        const bf_note note = bf_notes_get(*notes, n);
        const int is_replaced = replaces_samples && strcmp(note.where, "rating.samples") == 0;
        const int is_noise =
            !frame->command->keeps_campaign && bf_case_key_is_of_campaign(note.where);
        if (!is_replaced && !is_noise) {
            bf_notes_add_at(kept, note.kind, note.where, note.line, note.column, "%s", note.text);
        }
    }
    if (status == BF_OK) {
        bf_notes_free(*notes);
        *notes = kept;
    }
    return status;
}

void bf__wrong_text(bf__frame *frame, const bf_text *text, const bf_notes *notes)
{
    frame->wrong_text = text != NULL ? text->name : NULL;
    frame->wrong_notes = text != NULL ? notes : NULL;
}

static bf_status read_case(bf__frame *frame, const bf_text *text, bf__case *out, bf_error *err)
{
    const bf__command *command = frame->command;
    out->name = text->name;
    out->input = calloc(1, sizeof *out->input);
    if (out->input == NULL) {
        return bf_error_set(err, BF_E_MEMORY, command->about.name, "no memory for a case");
    }
    bf_status status = bf_notes_create(&out->notes, err);
    bf__wrong_text(frame, text, out->notes);
    if (status == BF_OK) {
        status =
            bf_case_read_text(text->text, text->length, text->name, out->input, out->notes, err);
    }
    if (status == BF_OK) {
        status = take_options(frame, out->input, err);
    }
    if (status == BF_OK && !frame->leaves_protocol) {
        status = apply_protocol(out->input, out->notes, err);
    }
    if (status == BF_OK) {
        status = note_practice(out->input, command->lists_practice, out->notes, err);
    }
    if (status == BF_OK) {
        status = leave_out(frame, &out->notes, err);
        bf__wrong_text(frame, text, out->notes);
    }
    return status;
}

bf_status bf__cases_read(bf__frame *frame, bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t c = 0; c < frame->question->input_count && status == BF_OK; c++) {
        frame->cases = c + 1;
        status = read_case(frame, &frame->question->input[c], &frame->input[c], err);
    }
    if (status == BF_OK) {
        bf__wrong_text(frame, NULL, NULL);
    }
    return status;
}

void bf__cases_free(bf__frame *frame)
{
    for (size_t c = 0; c < frame->cases; c++) {
        free(frame->input[c].input);
        bf_notes_free(frame->input[c].notes);
    }
}

bf_page bf__page(const bf__frame *frame, size_t which)
{
    bf_page page =
        bf_page_of_case(frame->input[which].input, frame->input[which].notes, frame->units);
    page.stopped_early = frame->is_partial;
    return page;
}

bf_status bf__one_dose(const bf__frame *frame, double *dose_kg_per_m3, bf_error *err)
{
    bf_case *input = frame->input[0].input;
    const char *text = bf__option(frame, "dose");
    if (text == NULL) {
        *dose_kg_per_m3 = input->dose_kg_per_m3[input->dose_count / 2];
        return BF_OK;
    }
    bf_status status = bf_case_set_doses(input, text, err);
    if (status == BF_OK && input->dose_count != 1) {
        status = bf_error_set(err, BF_E_INPUT, "--dose",
                              "--dose is \"%s\": one dose at a time, such as \"6 lb/ft3\"", text);
    }
    *dose_kg_per_m3 = input->dose_kg_per_m3[0];
    return status;
}
