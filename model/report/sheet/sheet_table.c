/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet for people: group by group; what differs from dose to dose side by side. */
#include "report/page/assumptions.h"
#include "report/page/wrap.h"
#include "report/sheet/sheet.h"

#include <math.h>
#include <string.h>

enum {
    NAME_WIDTH = 46,
    BELOW = 6,
    DOSE_NAME_WIDTH = 35,
    DOSE_WIDTH = 11,
    DOSES_A_BLOCK = 4,
    PAGE = 80
};

static int is_of_dose(const bf__sheet_item *item)
{
    return !isnan(item->dose_kg_per_m3);
}

/* Four digits, and no powers of ten. */
static void write_number(double value, char *text, size_t room)
{
    (void)snprintf(text, room, fabs(value) >= 1e4 ? "%.0f" : "%.4g", value);
}

/* Words stand behind the number where the line has room for them, else below it. */
static void print_whole(const bf__sheet_item *item, bf_unit_system units, FILE *out)
{
    char number[80] = "";
    if (item->unit[units][0] != '\0') {
        if (isnan(item->value[units])) {
            (void)snprintf(number, sizeof number, "-");
        } else {
            char digits[32];
            write_number(item->value[units], digits, sizeof digits);
            (void)snprintf(number, sizeof number, "%s %s", digits, item->unit[units]);
        }
    }
    const size_t length = strlen(number);
    const size_t words = strlen(item->words);
    const size_t gap = length > 0 && words > 0 ? 2 : 0;
    if (NAME_WIDTH + length + gap + words <= PAGE) {
        (void)fprintf(out, "  %-*s%s%*s%s\n", NAME_WIDTH - 2, item->name, number, (int)gap, "",
                      item->words);
        return;
    }
    if (length > 0) {
        (void)fprintf(out, "  %-*s%s\n%*s", NAME_WIDTH - 2, item->name, number, BELOW, "");
    } else {
        (void)fprintf(out, "  %s\n%*s", item->name, BELOW, "");
    }
    bf__print_column(item->words, BELOW, PAGE, "", out);
}

/* The item of a name at a dose; NULL where there is none. */
static const bf__sheet_item *at_dose(const bf__sheet *sheet, const bf__sheet_item *like,
                                     double dose)
{
    for (size_t i = 0; i < sheet->count; i++) {
        const bf__sheet_item *item = &sheet->item[i];
        if (item->dose_kg_per_m3 == dose && strcmp(item->group, like->group) == 0 &&
            strcmp(item->name, like->name) == 0) {
            return item;
        }
    }
    return NULL;
}

static void print_cell(const bf__sheet_item *item, bf_unit_system units, FILE *out)
{
    char text[40] = "-";
    if (item != NULL && !isnan(item->value[units])) {
        write_number(item->value[units], text, sizeof text);
    } else if (item != NULL && item->unit[units][0] == '\0') {
        (void)snprintf(text, sizeof text, "%.*s", DOSE_WIDTH - 1, item->words);
    }
    (void)fprintf(out, "%*s", DOSE_WIDTH, text);
}

/* The doses of a group, in order, each once. */
static size_t doses_of(const bf__sheet *sheet, const char *group, double dose[BF_CASE_DOSES])
{
    size_t count = 0;
    for (size_t i = 0; i < sheet->count; i++) {
        const bf__sheet_item *item = &sheet->item[i];
        int is_new = is_of_dose(item) && strcmp(item->group, group) == 0;
        for (size_t d = 0; d < count; d++) {
            is_new = is_new && dose[d] != item->dose_kg_per_m3;
        }
        if (is_new && count < BF_CASE_DOSES) {
            dose[count++] = item->dose_kg_per_m3;
        }
    }
    return count;
}

/* Rows of a few doses side by side; names are those of the group's first dose. */
static void print_block(const bf__sheet *sheet, const char *group, const double *dose, size_t count,
                        bf_unit_system units, FILE *out)
{
    const bf__unit shown = bf__quantity_unit(BF__QUANTITY_DOSE, units);
    char head[80];
    (void)snprintf(head, sizeof head, "at a dose of, %s", shown.text);
    (void)fprintf(out, "  %-*s", DOSE_NAME_WIDTH - 2, head);
    for (size_t d = 0; d < count; d++) {
        (void)fprintf(out, "%*.4g", DOSE_WIDTH, dose[d] * shown.scale);
    }
    (void)fputc('\n', out);
    for (size_t i = 0; i < sheet->count; i++) {
        const bf__sheet_item *item = &sheet->item[i];
        if (strcmp(item->group, group) != 0 || item->dose_kg_per_m3 != dose[0]) {
            continue;
        }
        (void)snprintf(head, sizeof head, "%.50s%s%s", item->name,
                       item->unit[units][0] == '\0' ? "" : ", ", item->unit[units]);
        (void)fprintf(out, "  %-*s", DOSE_NAME_WIDTH - 2, head);
        for (size_t d = 0; d < count; d++) {
            print_cell(at_dose(sheet, item, dose[d]), units, out);
        }
        (void)fputc('\n', out);
    }
}

/* Why a dose has no number, in words. */
static void print_remarks(const bf__sheet *sheet, const char *group, bf_unit_system units,
                          FILE *out)
{
    const bf__unit shown = bf__quantity_unit(BF__QUANTITY_DOSE, units);
    for (size_t i = 0; i < sheet->count; i++) {
        const bf__sheet_item *item = &sheet->item[i];
        if (strcmp(item->group, group) == 0 && is_of_dose(item) && item->words[0] != '\0' &&
            item->unit[units][0] != '\0') {
            char text[600];
            (void)snprintf(text, sizeof text, "  %.4g %s: %s: %s",
                           item->dose_kg_per_m3 * shown.scale, shown.text, item->name, item->words);
            bf__print_column(text, BELOW, PAGE, "", out);
        }
    }
}

static void print_group(const bf__sheet *sheet, const char *group, bf_unit_system units, FILE *out)
{
    double dose[BF_CASE_DOSES];
    const size_t count = doses_of(sheet, group, dose);
    (void)fprintf(out, "%c%s\n", group[0] - 'a' + 'A', group + 1);
    for (size_t from = 0; from < count; from += DOSES_A_BLOCK) {
        const size_t left = count - from;
        print_block(sheet, group, dose + from, left < DOSES_A_BLOCK ? left : DOSES_A_BLOCK, units,
                    out);
    }
    print_remarks(sheet, group, units, out);
    for (size_t i = 0; i < sheet->count; i++) {
        const bf__sheet_item *item = &sheet->item[i];
        if (strcmp(item->group, group) == 0 && !is_of_dose(item) && !item->is_detail) {
            print_whole(item, units, out);
        }
    }
    (void)fputc('\n', out);
}

bf_status bf__sheet_table(const bf_rate_report *report, FILE *out, bf_error *err)
{
    const bf_unit_system units = report->page.units;
    bf__sheet sheet;
    const bf_status status = bf__sheet_make(report, &sheet, err);
    if (status != BF_OK) {
        return status;
    }
    (void)fputs("Rating sheet: a computed estimate, not a certification\n\n", out);
    for (size_t i = 0; i < sheet.count; i++) {
        size_t first = 0;
        while (strcmp(sheet.item[first].group, sheet.item[i].group) != 0) {
            first++;
        }
        /* The overlay has a table of its own behind the sheet. */
        if (first == i && strcmp(sheet.item[i].group, "overlay") != 0) {
            print_group(&sheet, sheet.item[i].group, units, out);
        }
    }
    bf__sheet_free(&sheet);
    return BF_OK;
}
