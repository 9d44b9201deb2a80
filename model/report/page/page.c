/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The head of a report, and its way to the reader: whole or not at all. */
#include "report/page/page.h"

#include "report/page/wrap.h"

#include <string.h>

bf_page bf_page_of_case(const bf_case *input, const bf_notes *notes, bf_unit_system units)
{
    return (bf_page){.title = input->title,
                     .rating = &input->rating,
                     .notes = notes,
                     .units = units,
                     .value = input->value,
                     .value_count = input->value_count};
}

void bf__page_title(const bf_page *page, FILE *out)
{
    if (page->title[0] != '\0') {
        (void)fprintf(out, "%s\n\n", page->title);
    }
}

int bf__page_states(const bf_page *page, const char *path)
{
    for (size_t v = 0; v < page->value_count; v++) {
        if (strcmp(bf_case_key_get(page->value[v].key).path, path) == 0) {
            return !page->value[v].is_default;
        }
    }
    return 0;
}

/* The page collected so far to its reader. */
static bf_status pass_on(const bf_output *page, FILE *out, bf_error *err)
{
    if (fflush(page->stream) != 0 || ferror(page->stream)) {
        return bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    }
    bf__wrap_print(page->text, out);
    return ferror(out) ? bf_error_set(err, BF_E_WRITE, "output", "the output cannot be written")
                       : BF_OK;
}

bf_status bf__page_try(bf__page_trier *print, const void *context, FILE *out, bf_error *err)
{
    bf_output page = {0};
    bf_status status = bf_output_open(&page, err);
    status = status == BF_OK ? print(context, page.stream, err) : status;
    status = status == BF_OK ? pass_on(&page, out, err) : status;
    bf_output_close(&page);
    return status;
}

bf_status bf__page_print(bf__page_printer *print, const void *context, FILE *out, bf_error *err)
{
    bf_output page = {0};
    bf_status status = bf_output_open(&page, err);
    if (status == BF_OK) {
        print(context, page.stream);
        status = pass_on(&page, out, err);
    }
    bf_output_close(&page);
    return status;
}
