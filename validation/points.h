/* SPDX-License-Identifier: GPL-3.0-or-later */
/* points.csv: every published number beside the computed one, a line each. The
 * page is printed from it, and a computed number that moved is found by it. */
#ifndef BF_VALIDATION_POINTS_H
#define BF_VALIDATION_POINTS_H

#include "manifest.h"

enum { POINTS = 256 };

typedef struct point {
    char id[64]; /* of the row */
    outcome_label label;
    double computed;
} point;

typedef struct points {
    size_t count;
    point point[POINTS];
} points;

/** Keep what an outcome shows of published numbers. A row of a mean over other
 * rows shows none.
 *  @return BF_OK; BF_E_MEMORY when there are more than POINTS */
BF_MUST_CHECK bf_status points_keep(points *list, const manifest_row *row, const outcome *out,
                                    bf_error *err);

/** How many points of the row moved by more than `relative` of what `before`
 * says, or are not in it; NAN moves unless it was NAN. */
size_t points_moved(const points *now, const points *before, const char *id, double relative);

/** One point alone, against the row's metric and tolerance. */
int point_passes(const point *entry, const manifest_row *row);

/** Reference and computed of one point, as an outcome of one. */
void point_outcome(const point *entry, outcome *out);

BF_MUST_CHECK bf_status points_read(const char *file_name, points *out, bf_error *err);
BF_MUST_CHECK bf_status points_write(const char *file_name, const points *list, bf_error *err);

#endif
