/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page docs/validation.md and the table of README.md, printed from the
 * manifest, results.csv and points.csv: nothing is computed for it. */
#ifndef BF_VALIDATION_REPORT_H
#define BF_VALIDATION_REPORT_H

#include "points.h"

/**
 * @param part  "published", "verification" (NULL too) or "summary"
 * @return BF_OK; BF_E_INPUT naming a row without a result, or for an unknown
 * part
 */
BF_MUST_CHECK bf_status report_print(FILE *file, const char *part, const manifest *rows,
                                     const results *table, const points *shown, bf_error *err);

/* The parts, and what they share. */
void report_published(FILE *file, const manifest *rows, const results *table, const points *shown);
void report_summary(FILE *file, const manifest *rows, const points *shown);
/* The numbers a family shows beside published ones, if it shows any. */
void report_points(FILE *file, const manifest *rows, const points *shown, const char *family);
void report_family(FILE *file, const manifest *rows, const results *table, const char *family);
void report_metrics(FILE *file, const manifest *rows, int published);
void report_known_misses(FILE *file, const manifest *rows, int published);

#endif
