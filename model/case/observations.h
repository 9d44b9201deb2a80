/* SPDX-License-Identifier: GPL-3.0-or-later */
/* bf_observations_read() from memory. */
#ifndef BF_CASE_OBSERVATIONS_H
#define BF_CASE_OBSERVATIONS_H

#include "brinefront/observations.h"

/* `text` need not end in a zero; `name` stands for the file in messages. */
BF_MUST_CHECK bf_status bf__observations_read_text(const char *text, size_t length,
                                                   const char *name, const bf_case *of,
                                                   bf_observations *out, bf_notes *notes,
                                                   bf_error *err);

#endif
