/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads the folder of a published source: its case, its data, its numbers. */
#include "source.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bf_status read_text(const char *name, const char *file, char text[SOURCE_TEXT],
                           bf_error *err)
{
    char path[600];
    (void)snprintf(path, sizeof path, "%s/validation/published/%s/%s", BF_SOURCE_DIR, name, file);
    FILE *stream = fopen(path, "r");
    if (stream == NULL) {
        return bf_error_set(err, BF_E_FILE, path, "cannot be opened");
    }
    size_t length = fread(text, 1, SOURCE_TEXT - 1, stream);
    int whole = feof(stream);
    (void)fclose(stream);
    text[length] = '\0';
    return whole ? BF_OK : bf_error_set(err, BF_E_INPUT, path, "is longer than %d", SOURCE_TEXT);
}

bf_status source_read(const char *name, source *out, bf_error *err)
{
    memset(out, 0, sizeof *out);
    out->name = name;
    bf_status status = read_text(name, "data.csv", out->data, err);
    if (status == BF_OK) {
        status = read_text(name, "case.yaml", out->case_text, err);
    }
    if (status != BF_OK) {
        return status;
    }
    char *rest = out->data;
    for (char *line = strsep(&rest, "\n"); line != NULL && *line != '\0';
         line = strsep(&rest, "\n")) {
        size_t columns = 0;
        char *cells = line;
        if (out->rows == SOURCE_ROWS) {
            return bf_error_set(err, BF_E_INPUT, name, "data.csv has too many rows");
        }
        for (char *cell = strsep(&cells, ","); cell != NULL; cell = strsep(&cells, ",")) {
            if (columns < SOURCE_COLUMNS) {
                out->cell[out->rows][columns] = cell;
            }
            columns++;
        }
        out->columns = out->rows == 0 ? columns : out->columns;
        if (columns != out->columns || columns > SOURCE_COLUMNS) {
            return bf_error_set(err, BF_E_INPUT, name, "data.csv: line %zu has %zu cells",
                                out->rows + 1, columns);
        }
        out->rows++;
    }
    return BF_OK;
}

const char *source_cell(const source *data, size_t row, const char *column)
{
    for (size_t c = 0; c < data->columns; c++) {
        if (strcmp(data->cell[0][c], column) == 0) {
            return data->cell[row][c];
        }
    }
    return NULL;
}

size_t source_next(const source *data, const char *kind, size_t row)
{
    for (row++; row < data->rows; row++) {
        if (strcmp(data->cell[row][0], kind) == 0) {
            return row;
        }
    }
    return 0;
}

double source_number(const source *data, size_t row, const char *column)
{
    const char *text = source_cell(data, row, column);
    char *end;
    double value = text != NULL ? strtod(text, &end) : (double)NAN;
    return text != NULL && end != text && *end == '\0' ? value : (double)NAN;
}

/* Of "depth 0.61 m" the section, which is not said: the first one that knows
 * the key. */
static const struct {
    const char *section, *key;
} places[] = {{"water", "hardness"},
              {"water", "calcium_to_magnesium"},
              {"water", "sodium"},
              {"water", "temperature"},
              {"bed", "depth"},
              {"bed", "freeboard"},
              {"resin", "bead_diameter"},
              {"resin", "capacity"},
              {"service", "flow"},
              {"service", "end_point"},
              {"regeneration", "salt"},
              {"regeneration", "direction"},
              {"regeneration", "brine_strength"},
              {"regeneration", "brine_flow"},
              {"regeneration", "backwash_time"},
              {"regeneration", "backwash_mixing"},
              {"regeneration", "slow_rinse_volume"},
              {"regeneration", "slow_rinse_water"}};

static bf_status change_one(char text[SOURCE_TEXT], const char *key, const char *value,
                            bf_error *err)
{
    char changed_text[SOURCE_TEXT];
    size_t size = 0;
    const char *section = NULL;
    char head[64];
    char start[64];
    int inside = 0;
    int done = 0;
    for (size_t p = 0; p < sizeof places / sizeof *places; p++) {
        section = strcmp(places[p].key, key) == 0 ? places[p].section : section;
    }
    if (section == NULL) {
        return bf_error_set(err, BF_E_INPUT, key, "is no key that a comparison changes");
    }
    (void)snprintf(head, sizeof head, "%s:", section);
    (void)snprintf(start, sizeof start, "  %s:", key);
    for (const char *line = text; *line != '\0';) {
        size_t length = strcspn(line, "\n");
        length += line[length] == '\n';
        int is_head = strncmp(line, head, strlen(head)) == 0;
        inside = *line == ' ' || *line == '\n' ? inside : is_head;
        int replaced = inside && strncmp(line, start, strlen(start)) == 0;
        if (size + length + strlen(value) + sizeof start + 8 > sizeof changed_text) {
            return bf_error_set(err, BF_E_INPUT, key, "the case is too long");
        }
        if (!replaced) {
            memcpy(changed_text + size, line, length);
            size += length;
        }
        if (is_head) {
            size += (size_t)snprintf(changed_text + size, sizeof changed_text - size, "%s %s\n",
                                     start, value);
            done = 1;
        }
        line += length;
    }
    changed_text[size] = '\0';
    memcpy(text, changed_text, size + 1);
    return done ? BF_OK : bf_error_set(err, BF_E_INPUT, key, "the case has no section %s", section);
}

bf_status source_change(char text[SOURCE_TEXT], const char *changes, bf_error *err)
{
    char copy[400];
    char *rest = copy;
    bf_status status = BF_OK;
    (void)snprintf(copy, sizeof copy, "%s", changes);
    if (strcmp(changes, "-") == 0) {
        return BF_OK;
    }
    for (char *one = strsep(&rest, ";"); one != NULL && status == BF_OK; one = strsep(&rest, ";")) {
        one += strspn(one, " ");
        char *value = one;
        (void)strsep(&value, " ");
        status = value != NULL ? change_one(text, one, value, err)
                               : bf_error_set(err, BF_E_INPUT, one, "has no value");
    }
    return status;
}

bf_status source_rating(const char *text, bf_rating_spec *out, bf_error *err)
{
    bf_case *input = calloc(1, sizeof *input);
    if (input == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "source_rating", "memory ran out");
    }
    bf_status status = bf_case_read_text(text, strlen(text), "case.yaml", input, NULL, err);
    *out = input->rating;
    free(input);
    return status;
}

bf_status source_rate(const char *text, const double *dose_kg_per_m3, size_t count,
                      bf_dose_point *out, bf_error *err)
{
    bf_rating_spec rating;
    bf_status status = source_rating(text, &rating, err);
    const bf_dose_curve_spec curve = {
        .dose_kg_per_m3 = dose_kg_per_m3, .count = count, .threads = 1};
    return status == BF_OK ? bf_dose_curve(&rating, &curve, out, NULL, err) : status;
}

double source_capacity(const bf_dose_point *point)
{
    return point->steady.cycle.outcome == BF_RATED ? point->steady.cycle.capacity_eq_per_m3 : 0.0;
}

void source_add(outcome *out, const source *data, size_t row, const char *column, const char *point,
                const char *unit, double computed)
{
    outcome_label label;
    const char *published = source_cell(data, row, column);
    (void)snprintf(label.point, sizeof label.point, "%s", point);
    (void)snprintf(label.unit, sizeof label.unit, "%s", unit);
    (void)snprintf(label.published, sizeof label.published, "%s",
                   published != NULL ? published : "missing");
    outcome_add_published(out, &label, computed);
}
