/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file overlay.h
 * A user's own table of salt dose and capacity, to be laid over a computed curve.
 */
#ifndef BRINEFRONT_OVERLAY_H
#define BRINEFRONT_OVERLAY_H

#include "brinefront/case.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bf_overlay_row {
    long line; /**< of the file */
    double dose_kg_per_m3;
    double capacity_eq_per_m3; /**< hardness to the end point, per volume of resin */
} bf_overlay_row;

typedef struct bf_overlay {
    bf_overlay_row row[BF_CASE_DOSES];
    size_t count;
} bf_overlay;

/**
 * Read a table ("-": standard input) of comma-separated values: a head of `dose` and `capacity`,
 * each followed by its unit in brackets. Lines that begin with # are remarks.
 *
 * @param input  the case: a dose or a capacity of its whole bed becomes one per volume of resin
 * @param notes  gets every finding with its line and column
 * @return BF_OK; BF_E_FILE; BF_E_INPUT with the first finding; BF_E_MEMORY
 */
BF_API BF_MUST_CHECK bf_status bf_overlay_read(const char *file_name, const bf_case *input,
                                               bf_overlay *out, bf_notes *notes, bf_error *err);

/** The same from memory: `text` need not end in a zero, `name` stands for the file in messages. */
BF_API BF_MUST_CHECK bf_status bf_overlay_read_text(const char *text, size_t length,
                                                    const char *name, const bf_case *input,
                                                    bf_overlay *out, bf_notes *notes,
                                                    bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
