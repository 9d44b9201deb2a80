/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads manifest.csv and results.csv, and refuses rows that say something that
 * cannot be. */
#include "manifest.h"

#include <stdlib.h>
#include <string.h>

enum { LINE = 4096, FIELDS = 9 };

static const char manifest_head[] = "id,kind,case,result,reference,metric,tolerance,basis,speed";
static const char results_head[] = "id,value,verdict,seconds,errors,note";

static size_t cut(char *line, char *fields[FIELDS])
{
    size_t count = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *field = line; field != NULL; count++) {
        char *end = strchr(field, ',');
        if (end != NULL) {
            *end++ = '\0';
        }
        if (count < FIELDS) {
            fields[count] = field;
        }
        field = end;
    }
    return count;
}

static int copy(char *target, size_t room, const char *source)
{
    size_t length = strlen(source);
    if (length == 0 || length >= room) {
        return 0;
    }
    memcpy(target, source, length + 1);
    return 1;
}

static int number(const char *text, double *target)
{
    char *end;
    *target = strtod(text, &end);
    return end != text && *end == '\0';
}

/* Column kind; a known miss keeps its kind, so that a calibrated one cannot
 * pass for predicted. */
static const struct {
    const char *name;
    manifest_kind kind;
    int known_miss;
    const char *strength;
} kinds[] = {{"verification", KIND_VERIFICATION, 0, ""},
             {"known miss", KIND_VERIFICATION, 1, ""},
             {"verification: exact", KIND_VERIFICATION, 0, "exact"},
             {"verification: exact; known miss", KIND_VERIFICATION, 1, "exact"},
             {"verification: law", KIND_VERIFICATION, 0, "law"},
             {"verification: law; known miss", KIND_VERIFICATION, 1, "law"},
             {"published: predicted", KIND_PREDICTED, 0, ""},
             {"published: predicted; known miss", KIND_PREDICTED, 1, ""},
             {"published: calibrated", KIND_CALIBRATED, 0, ""},
             {"published: calibrated; known miss", KIND_CALIBRATED, 1, ""},
             {"published: practice", KIND_PRACTICE, 0, ""},
             {"published: practice; known miss", KIND_PRACTICE, 1, ""},
             {"published: practice; trade", KIND_PRACTICE, 0, "trade"},
             {"published: practice; trade; known miss", KIND_PRACTICE, 1, "trade"},
             {"published: practice; direction", KIND_PRACTICE, 0, "direction"},
             {"published: practice; direction; known miss", KIND_PRACTICE, 1, "direction"}};

static int take_kind(const char *text, manifest_row *row)
{
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
        if (strcmp(text, kinds[k].name) == 0) {
            row->kind = kinds[k].kind;
            row->known_miss = kinds[k].known_miss;
            row->strength = kinds[k].strength;
            return 1;
        }
    }
    return 0;
}

int manifest_is_published(const manifest_row *row)
{
    return row->kind != KIND_VERIFICATION;
}

static const char *take_comparison(char *const *f, manifest_row *row)
{
    row->metric = metric_find(f[5]);
    row->is_fast = strcmp(f[8], "fast") == 0;
    if (!copy(row->id, sizeof row->id, f[0]) || strchr(f[0], '.') == NULL) {
        return "the id is not family.name";
    }
    if (!take_kind(f[1], row)) {
        return "there is no such kind";
    }
    if (!copy(row->name, sizeof row->name, f[2]) || !copy(row->result, sizeof row->result, f[3]) ||
        !copy(row->reference, sizeof row->reference, f[4]) ||
        !copy(row->basis, sizeof row->basis, f[7])) {
        return "a field is empty or too long";
    }
    if (row->metric == METRIC_COUNT) {
        return "there is no such metric";
    }
    if (!number(f[6], &row->tolerance)) {
        return "the tolerance is not a number";
    }
    return row->is_fast || strcmp(f[8], "full") == 0 ? NULL : "the speed is neither fast nor full";
}

static const char *take_result(char *const *f, result_row *row)
{
    row->passed = strcmp(f[2], "pass") == 0;
    (void)copy(row->errors, sizeof row->errors, f[4]);
    (void)copy(row->note, sizeof row->note, f[5]);
    if (!copy(row->id, sizeof row->id, f[0]) || !number(f[1], &row->value) ||
        !number(f[3], &row->seconds)) {
        return "a field cannot be read";
    }
    return row->passed || strcmp(f[2], "miss") == 0 ? NULL : "the verdict is neither pass nor miss";
}

/* Both tables: a head, then rows; exactly one of the two is asked for. */
static bf_status read(const char *file_name, manifest *rows, results *table, bf_error *err)
{
    char line[LINE];
    long number_of = 0;
    bf_status status = BF_OK;
    FILE *file = fopen(file_name, "r");
    if (file == NULL) {
        return bf_error_set(err, BF_E_FILE, file_name, "cannot be opened");
    }
    while (status == BF_OK && fgets(line, sizeof line, file) != NULL) {
        char *fields[FIELDS];
        const char *wrong = NULL;
        number_of++;
        if (number_of == 1) {
            line[strcspn(line, "\r\n")] = '\0';
            wrong = strcmp(line, rows != NULL ? manifest_head : results_head) == 0
                        ? NULL
                        : "the first line is not the head of this table";
        } else if (cut(line, fields) != (rows != NULL ? (size_t)FIELDS : 6)) {
            wrong = "the number of fields is wrong";
        } else if ((rows != NULL ? rows->count : table->count) == MANIFEST_ROWS) {
            wrong = "too many rows";
        } else if (rows != NULL) {
            wrong = take_comparison(fields, &rows->row[rows->count++]);
        } else {
            wrong = take_result(fields, &table->row[table->count++]);
        }
        if (wrong != NULL) {
            status = bf_error_set(err, BF_E_INPUT, file_name, "line %ld: %s", number_of, wrong);
        }
    }
    (void)fclose(file);
    if (status == BF_OK && number_of == 0) {
        status = bf_error_set(err, BF_E_INPUT, file_name, "is empty");
    }
    return status;
}

bf_status manifest_read(const char *file_name, manifest *out, bf_error *err)
{
    memset(out, 0, sizeof *out);
    return read(file_name, out, NULL, err);
}

bf_status results_read(const char *file_name, results *out, bf_error *err)
{
    memset(out, 0, sizeof *out);
    return read(file_name, NULL, out, err);
}

bf_status results_write(const char *file_name, const results *table, bf_error *err)
{
    FILE *file = fopen(file_name, "w");
    if (file == NULL) {
        return bf_error_set(err, BF_E_WRITE, file_name, "cannot be written");
    }
    (void)fprintf(file, "%s\n", results_head);
    for (size_t i = 0; i < table->count; i++) {
        const result_row *row = &table->row[i];
        (void)fprintf(file, "%s,%.4g,%s,%.1f,%s,%s\n", row->id, row->value,
                      row->passed ? "pass" : "miss", row->seconds, row->errors, row->note);
    }
    int failed = ferror(file);
    failed |= fclose(file);
    return failed ? bf_error_set(err, BF_E_WRITE, file_name, "cannot be written") : BF_OK;
}

const result_row *results_find(const results *table, const char *id)
{
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->row[i].id, id) == 0) {
            return &table->row[i];
        }
    }
    return NULL;
}
