/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines that fit the page. */
#include "report/page/wrap.h"

#include <stdlib.h>
#include <string.h>

FILE *bf__wrap_open(bf__wrap *to, FILE *out)
{
    *to = (bf__wrap){0};
    to->lines = open_memstream(&to->text, &to->length);
    return to->lines != NULL ? to->lines : out;
}

void bf__wrap_close(bf__wrap *from, const char *prefix, FILE *out)
{
    const size_t width = 80;
    char indent[16];
    (void)snprintf(indent, sizeof indent, "%s    ", prefix);
    if (from->lines == NULL || fclose(from->lines) != 0) {
        free(from->text);
        return;
    }
    const char *text = from->text;
    while (*text != '\0') {
        size_t line = strcspn(text, "\n");
        size_t room = width;
        const char *lead = "";
        while (line > room) {
            size_t cut = room;
            while (cut > 0 && text[cut] != ' ') {
                cut--;
            }
            if (cut == 0) {
                break; /* one word wider than the page */
            }
            (void)fprintf(out, "%s%.*s\n", lead, (int)cut, text);
            text += cut + 1;
            line -= cut + 1;
            lead = indent;
            room = width - strlen(indent);
        }
        (void)fprintf(out, "%s%.*s\n", lead, (int)line, text);
        text += line + (text[line] == '\n' ? 1 : 0);
    }
    free(from->text);
}

void bf__print_column(const char *text, size_t from, size_t to, const char *prefix, FILE *out)
{
    const size_t room = to - from;
    while (strlen(text) > room) {
        size_t cut = room;
        while (cut > 0 && text[cut] != ' ') {
            cut--;
        }
        if (cut == 0) {
            break; /* one word wider than the column */
        }
        (void)fprintf(out, "%.*s\n%s%*s", (int)cut, text, prefix, (int)(from - strlen(prefix)), "");
        text += cut + 1;
    }
    (void)fprintf(out, "%s\n", text);
}
