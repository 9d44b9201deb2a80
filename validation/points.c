/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeps, writes, reads and compares the published numbers beside the computed
 * ones. */
#include "points.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char head[] = "id,point,unit,published,computed";

bf_status points_keep(points *list, const manifest_row *row, const outcome *out, bf_error *err)
{
    for (size_t i = 0; i < out->points && i < OUTCOME_PUBLISHED; i++) {
        if (out->label[i].published[0] == '\0' || row->metric == METRIC_mean_rel) {
            continue;
        }
        if (list->count == POINTS) {
            return bf_error_set(err, BF_E_MEMORY, row->id, "more published numbers than room");
        }
        point *entry = &list->point[list->count++];
        memcpy(entry->id, row->id, sizeof entry->id);
        entry->label = out->label[i];
        entry->computed = out->computed[i];
    }
    return BF_OK;
}

size_t points_moved(const points *now, const points *before, const char *id, double relative)
{
    size_t moved = 0;
    for (size_t i = 0; i < now->count; i++) {
        const point *entry = &now->point[i];
        const point *match = NULL;
        if (strcmp(entry->id, id) != 0) {
            continue;
        }
        for (size_t k = 0; k < before->count && match == NULL; k++) {
            const point *one = &before->point[k];
            int same = strcmp(one->id, entry->id) == 0 &&
                       strcmp(one->label.point, entry->label.point) == 0 &&
                       strcmp(one->label.published, entry->label.published) == 0;
            match = same ? one : NULL;
        }
        moved += match == NULL ||
                 !(fabs(entry->computed - match->computed) <= relative * fabs(match->computed));
    }
    return moved;
}

void point_outcome(const point *entry, outcome *out)
{
    memset(out, 0, sizeof *out);
    outcome_add_published(out, &entry->label, entry->computed);
}

int point_passes(const point *entry, const manifest_row *row)
{
    outcome one;
    point_outcome(entry, &one);
    return metric_passes(row->metric, metric_value(row->metric, &one), row->tolerance);
}

static int take(char *target, size_t room, char **rest)
{
    char *field = strsep(rest, ",");
    if (field == NULL || strlen(field) >= room) {
        return 0;
    }
    memcpy(target, field, strlen(field) + 1);
    return 1;
}

static int take_point(char *line, point *entry)
{
    char number[40];
    char *rest = line;
    char *end;
    line[strcspn(line, "\r\n")] = '\0';
    if (!take(entry->id, sizeof entry->id, &rest) ||
        !take(entry->label.point, sizeof entry->label.point, &rest) ||
        !take(entry->label.unit, sizeof entry->label.unit, &rest) ||
        !take(entry->label.published, sizeof entry->label.published, &rest) ||
        !take(number, sizeof number, &rest) || rest != NULL) {
        return 0;
    }
    entry->computed = strtod(number, &end);
    return end != number && *end == '\0';
}

bf_status points_read(const char *file_name, points *out, bf_error *err)
{
    char line[512];
    bf_status status = BF_OK;
    FILE *file = fopen(file_name, "r");
    memset(out, 0, sizeof *out);
    if (file == NULL) {
        return bf_error_set(err, BF_E_FILE, file_name, "cannot be opened");
    }
    for (long n = 1; status == BF_OK && fgets(line, sizeof line, file) != NULL; n++) {
        if (n == 1) {
            line[strcspn(line, "\r\n")] = '\0';
            if (strcmp(line, head) != 0) {
                status = bf_error_set(err, BF_E_INPUT, file_name, "line 1: not \"%s\"", head);
            }
        } else if (out->count == POINTS || !take_point(line, &out->point[out->count++])) {
            status = bf_error_set(err, BF_E_INPUT, file_name, "line %ld cannot be read", n);
        }
    }
    (void)fclose(file);
    return status;
}

bf_status points_write(const char *file_name, const points *list, bf_error *err)
{
    FILE *file = fopen(file_name, "w");
    if (file == NULL) {
        return bf_error_set(err, BF_E_WRITE, file_name, "cannot be written");
    }
    (void)fprintf(file, "%s\n", head);
    for (size_t i = 0; i < list->count; i++) {
        const point *one = &list->point[i];
        (void)fprintf(file, "%s,%s,%s,%s,%.4g\n", one->id, one->label.point, one->label.unit,
                      one->label.published, one->computed);
    }
    int failed = ferror(file);
    failed |= fclose(file);
    return failed ? bf_error_set(err, BF_E_WRITE, file_name, "cannot be written") : BF_OK;
}
