/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page of text arrives whole or not at all. */
#ifndef BF_REPORT_PAGE_PAGE_H
#define BF_REPORT_PAGE_PAGE_H

#include "brinefront/report.h"

/* The title of a page, where it has one, and an empty line. */
void bf__page_title(const bf_page *page, FILE *out);

/* Nonzero where the case states a key itself. */
int bf__page_states(const bf_page *page, const char *path);

/* Prints a report; `context` is the report. */
typedef void bf__page_printer(const void *context, FILE *out);
/* ... and may fail itself. */
typedef bf_status bf__page_trier(const void *context, FILE *out, bf_error *err);

/* Print to memory, break its wrapped lines (wrap.h), and pass all of it on.
 * @return BF_OK; BF_E_MEMORY or what the printer returns, and then `out` got nothing; BF_E_WRITE */
BF_MUST_CHECK bf_status bf__page_print(bf__page_printer *print, const void *context, FILE *out,
                                       bf_error *err);
BF_MUST_CHECK bf_status bf__page_try(bf__page_trier *print, const void *context, FILE *out,
                                     bf_error *err);

#endif
