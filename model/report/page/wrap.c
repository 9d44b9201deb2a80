/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines that fit the page. */
#include "report/page/wrap.h"

#include <string.h>

/* Shift out and shift in: they mark the ends of wrapped text. The prefix follows the second. */
enum { BEGIN = '\016', END = '\017' };
static const char marks[] = {BEGIN, END, '\0'};

void bf__wrap_begin(FILE *out)
{
    (void)fputc(BEGIN, out);
}

void bf__wrap_end(const char *prefix, FILE *out)
{
    (void)fprintf(out, "%c%s\n", END, prefix);
}

/* How much of a text fits: up to the last space within `room`, or all where a word is wider. */
static size_t fitting(const char *text, size_t length, size_t room)
{
    size_t cut = length > room ? room : 0;
    while (cut > 0 && text[cut] != ' ') {
        cut--;
    }
    return cut == 0 ? length : cut;
}

static void print_line(const char *text, size_t length, const char *indent, FILE *out)
{
    const size_t width = 80;
    size_t cut = fitting(text, length, width);
    (void)fprintf(out, "%.*s\n", (int)cut, text);
    while (cut < length) {
        text += cut + 1; /* the space is left out */
        length -= cut + 1;
        cut = fitting(text, length, width - strlen(indent));
        (void)fprintf(out, "%s%.*s\n", indent, (int)cut, text);
    }
}

void bf__wrap_print(const char *text, FILE *out)
{
    while (*text != '\0') {
        const size_t plain = strcspn(text, marks);
        (void)fwrite(text, 1, plain, out);
        text += plain;
        if (*text != BEGIN) {
            text += *text != '\0'; /* an end without a beginning: not ours */
            continue;
        }
        text++;
        const char *end = text + strcspn(text, marks);
        char indent[16];
        (void)snprintf(indent, sizeof indent, "%.*s    ",
                       *end == END ? (int)strcspn(end + 1, "\n") : 0, end + 1);
        while (text < end) {
            const char *line_end = memchr(text, '\n', (size_t)(end - text));
            line_end = line_end == NULL ? end : line_end;
            print_line(text, (size_t)(line_end - text), indent, out);
            text = line_end < end ? line_end + 1 : end;
        }
        text = *end == END ? end + 1 + strcspn(end + 1, "\n") : end;
        text += *text == '\n';
    }
}

void bf__print_column(const char *text, size_t first, size_t width, const char *prefix, FILE *out)
{
    size_t length = strlen(text);
    size_t cut = fitting(text, length, width - first);
    while (cut < length) {
        (void)fprintf(out, "%.*s\n%s%*s", (int)cut, text, prefix, (int)(first - strlen(prefix)),
                      "");
        text += cut + 1;
        length -= cut + 1;
        cut = fitting(text, length, width - first);
    }
    (void)fprintf(out, "%s\n", text);
}
