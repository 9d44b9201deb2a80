/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Effects of a change on capacity and leakage at three doses: computed, stored,
 * printed, compared. */
#include "table.h"

#include "try.h"

#include "brinefront/convert.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const double table_pounds[TABLE_DOSES] = {6.0, 10.0, 15.0};

/* In points of %, and as a share of the change itself: another compiler's steps
 * move the capacity by 0.01 % and the mean leakage by 0.3 %. */
static const double capacity_drift = 0.2;
static const double leakage_drift = 1.0;
static const double share_drift = 0.02;

static const char head[] = "change,capacity_6_percent,capacity_10_percent,"
                           "capacity_15_percent,leakage_6_percent,"
                           "leakage_10_percent,leakage_15_percent";

double table_dose_kg_per_m3(size_t which)
{
    return table_pounds[which] * BF_KG_PER_M3_PER_LB_PER_FT3;
}

static bf_status absolute(const uncertain_bed *bed, effect *out, bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t d = 0; d < TABLE_DOSES; d++) {
        bf_steady_result steady;
        TRY(uncertain_rate(bed, table_dose_kg_per_m3(d), &steady, err));
        int rated = steady.cycle.outcome == BF_RATED;
        out->capacity[d] = rated ? steady.cycle.capacity_eq_per_m3 : (double)NAN;
        out->leakage[d] = rated ? steady.cycle.leakage_mean_eq_per_m3 : (double)NAN;
    }
done:
    return status;
}

bf_status table_base(effect *out, bf_error *err)
{
    static effect base;
    static int cached;
    uncertain_bed plain;
    bf_status status = BF_OK;
    if (!cached) {
        TRY(uncertain_bed_of("resin_bulletin", &plain, err));
        TRY(absolute(&plain, &base, err));
        cached = 1;
    }
    *out = base;
done:
    return status;
}

bf_status table_effect(const uncertain_bed *bed, effect *out, bf_error *err)
{
    effect base;
    bf_status status = BF_OK;
    TRY(table_base(&base, err));
    TRY(absolute(bed, out, err));
    for (size_t d = 0; d < TABLE_DOSES; d++) {
        out->capacity[d] = 100.0 * (out->capacity[d] / base.capacity[d] - 1.0);
        out->leakage[d] = 100.0 * (out->leakage[d] / base.leakage[d] - 1.0);
    }
done:
    return status;
}

static bf_status write_file(const table *rows, const char *file_name, const effect *lines,
                            bf_error *err)
{
    FILE *file = fopen(file_name, "w");
    if (file == NULL) {
        return bf_error_set(err, BF_E_WRITE, file_name, "cannot be written");
    }
    (void)fprintf(file, "%s\n", head);
    for (size_t i = 0; i < rows->count; i++) {
        const effect *e = &lines[i];
        (void)fprintf(file, "%s,%.2f,%.2f,%.2f,%.1f,%.1f,%.1f\n", rows->name(i), e->capacity[0],
                      e->capacity[1], e->capacity[2], e->leakage[0], e->leakage[1], e->leakage[2]);
    }
    int failed = ferror(file);
    failed |= fclose(file);
    return failed ? bf_error_set(err, BF_E_WRITE, file_name, "cannot be written") : BF_OK;
}

static bf_status read_file(const table *rows, const char *file_name, effect *lines, bf_error *err)
{
    char text[600];
    char name[200];
    size_t count = 0;
    bf_status status = BF_OK;
    FILE *file = fopen(file_name, "r");
    if (file == NULL) {
        return bf_error_set(err, BF_E_FILE, file_name, "cannot be opened");
    }
    int is_table =
        fgets(text, sizeof text, file) != NULL && strncmp(text, head, sizeof head - 1) == 0;
    while (is_table && status == BF_OK && fgets(text, sizeof text, file) != NULL) {
        effect *e = &lines[count];
        if (count == rows->count ||
            sscanf(text, "%199[^,],%lf,%lf,%lf,%lf,%lf,%lf", name, &e->capacity[0], &e->capacity[1],
                   &e->capacity[2], &e->leakage[0], &e->leakage[1], &e->leakage[2]) != 7 ||
            strcmp(name, rows->name(count)) != 0) {
            status = bf_error_set(err, BF_E_INPUT, file_name, "is not the table of %s: %s",
                                  rows->program, text);
        }
        count++;
    }
    (void)fclose(file);
    if (status == BF_OK && count != rows->count) {
        status = bf_error_set(err, BF_E_INPUT, file_name, "is not the table of %s", rows->program);
    }
    return status;
}

static int same(double was, double now, double drift)
{
    return (isnan(was) && isnan(now)) || fabs(was - now) <= drift + share_drift * fabs(was);
}

/* Where nothing is moved the steps of our own must give the plain rating. */
static bf_status check_base(bf_error *err)
{
    effect base;
    uncertain_bed plain;
    bf_dose_point point[TABLE_DOSES];
    double dose[TABLE_DOSES];
    bf_status status = BF_OK;
    TRY(table_base(&base, err));
    TRY(uncertain_bed_of("resin_bulletin", &plain, err));
    for (size_t d = 0; d < TABLE_DOSES; d++) {
        dose[d] = table_dose_kg_per_m3(d);
    }
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = dose, .count = TABLE_DOSES, .threads = 1};
    TRY(bf_dose_curve(&plain.rating, &curve, point, NULL, err));
    for (size_t d = 0; d < TABLE_DOSES; d++) {
        double off = base.capacity[d] / point[d].steady.cycle.capacity_eq_per_m3 - 1.0;
        if (!(fabs(off) < 1e-4)) {
            status = bf_error_set(err, BF_E_SOLVER, "base", "is off the plain rating by %.2g", off);
        }
    }
done:
    return status;
}

static bf_status compare(const table *rows, const effect *before, size_t every, size_t *moved,
                         bf_error *err)
{
    bf_status status = BF_OK;
    TRY(check_base(err));
    if (rows->check != NULL) {
        TRY(rows->check(err));
    }
    for (size_t i = 0; i < rows->count; i += every) {
        effect now;
        TRY(rows->compute(i, &now, err));
        int holds = 1;
        for (size_t d = 0; d < TABLE_DOSES; d++) {
            holds = holds && same(before[i].capacity[d], now.capacity[d], capacity_drift) &&
                    same(before[i].leakage[d], now.leakage[d], leakage_drift);
        }
        (void)printf("%s: %.2f %.2f %.2f, %.1f %.1f %.1f%s\n", rows->name(i), now.capacity[0],
                     now.capacity[1], now.capacity[2], now.leakage[0], now.leakage[1],
                     now.leakage[2], holds ? "" : "  MOVED");
        *moved += !holds;
    }
done:
    return status;
}

void table_print_number(double value)
{
    if (isnan(value)) {
        (void)fputs("no rating", stdout);
    } else {
        (void)printf("%+.1f", value);
    }
}

int table_main(const table *rows, int count, char **arguments)
{
    static effect lines[TABLE_LINES];
    bf_error err = {0};
    size_t moved = 0;
    const char *command = count > 2 ? arguments[1] : "";
    long every = count == 5 && strcmp(arguments[3], "--every") == 0 ? atol(arguments[4]) : 1;
    bf_status status = BF_OK;
    if (strcmp(command, "--write") == 0 && count == 3) {
        for (size_t i = 0; i < rows->count && status == BF_OK; i++) {
            status = rows->compute(i, &lines[i], &err);
        }
        status = status == BF_OK ? write_file(rows, arguments[2], lines, &err) : status;
    } else if (strcmp(command, "--print") == 0 && count == 3) {
        status = read_file(rows, arguments[2], lines, &err);
        if (status == BF_OK) {
            rows->print(lines);
        }
    } else if (strcmp(command, "--compare") == 0 && (count == 3 || count == 5) && every > 0) {
        status = read_file(rows, arguments[2], lines, &err);
        status = status == BF_OK ? compare(rows, lines, (size_t)every, &moved, &err) : status;
    } else {
        (void)fprintf(stderr, "%s --write FILE | --print FILE | --compare FILE [--every N]\n",
                      rows->program);
        return 2;
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
        return 2;
    }
    return moved > 0;
}
