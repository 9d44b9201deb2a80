/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case file as a flat list of values, read from the events of libyaml.
 *
 * Events rather than documents: they carry the place of every key, and nothing is built that a few
 * bytes of aliases could blow up. The parser keeps its own stack on the heap and this file a fixed
 * one, so no text can exhaust the program's.
 */
#include "case/file/yaml.h"

#include "case/file/file.h"

#include <assert.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

/* The longest path: a key or an index, with its punctuation, on every level. */
#define PATH_ROOM ((BF__YAML_KEY_MAX + 8) * BF__YAML_DEPTH_MAX + 1)

typedef struct place {
    long line;
    long column;
} place;

/* A mapping or list being read. */
typedef struct frame {
    bool is_mapping;
    bool has_key;    /* of a mapping: the next node is the key's value */
    bool key_is_bad; /* then the value is passed over */
    size_t base;     /* how much of the path leads to this frame */
    size_t items;
    place start;
    place key; /* of a mapping: the latest key; of a list: the list's key */
} frame;

typedef struct seen_key {
    char *path;
    place mark;
} seen_key;

typedef struct reader {
    const char *text;
    size_t length;
    const char *name;
    bf__yaml *out;
    bf_notes *notes;
    bf_error *err;

    bf_status status;
    bool stop;
    size_t findings;
    size_t documents;
    char path[PATH_ROOM];
    frame frames[BF__YAML_DEPTH_MAX];
    size_t depth;
    size_t skipped; /* > 0 inside something passed over: how deep */
    seen_key *keys;
    size_t key_count;
    size_t key_room;
} reader;

static place place_of(yaml_mark_t mark)
{
    return (place){(long)mark.line + 1, (long)mark.column + 1};
}

static void finding(reader *r, const char *where, place mark, const char *format, ...)
    BF_PRINTF(4, 5);

static void finding(reader *r, const char *where, place mark, const char *format, ...)
{
    char sentence[400];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(sentence, sizeof sentence, format, arguments);
    va_end(arguments);
    bf_notes_add_at(r->notes, BF_NOTE_FINDING, where, mark.line, mark.column, "%s", sentence);
    if (r->findings == 0) {
        r->status = bf_error_set(r->err, BF_E_INPUT, r->name, "%s", sentence);
        if (r->err != NULL) {
            r->err->line = mark.line;
            r->err->column = mark.column;
        }
    }
    r->findings++;
    if (r->findings == BF__YAML_FINDINGS_MAX) {
        bf_notes_add_at(r->notes, BF_NOTE_FINDING, r->name, mark.line, mark.column,
                        "the file is not read beyond finding %d", BF__YAML_FINDINGS_MAX);
        r->stop = true;
    }
}

static void out_of_memory(reader *r)
{
    r->status = bf_error_set(r->err, BF_E_MEMORY, r->name, "no memory for the case file");
    r->stop = true;
}

/* Room for one more in an array; false, with the reader stopped, where there is none. */
static bool grow(reader *r, void **array, size_t count, size_t *room, size_t size)
{
    if (count < *room) {
        return true;
    }
    size_t wanted = *room == 0 ? 64 : 2 * *room;
    void *grown = realloc(*array, wanted * size);
    if (grown == NULL) {
        out_of_memory(r);
        return false;
    }
    *array = grown;
    *room = wanted;
    return true;
}

/* Appends to the path after its first `base` bytes. PATH_ROOM is enough by construction. */
static void set_path(reader *r, size_t base, const char *format, ...) BF_PRINTF(3, 4);

static void set_path(reader *r, size_t base, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int written = vsnprintf(r->path + base, sizeof r->path - base, format, arguments);
    va_end(arguments);
    assert(written > 0 && (size_t)written < sizeof r->path - base);
    (void)written;
}

static bool has_control_character(const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)text[i];
        if ((c < 0x20 && c != '\n' && c != '\t') || c == 0x7F) {
            return true;
        }
    }
    return false;
}

static void add_entry(reader *r, const yaml_event_t *event, place key, place mark)
{
    const char *value = (const char *)event->data.scalar.value;
    size_t length = event->data.scalar.length;
    yaml_scalar_style_t style = event->data.scalar.style;
    if (style == YAML_PLAIN_SCALAR_STYLE && length == 0) {
        finding(r, r->path, mark, "'%s' has no value", r->path);
        return;
    }
    if (has_control_character(value, length)) {
        finding(r, r->path, mark, "'%s' has a control character in its value", r->path);
        return;
    }
    if (r->out->count == BF__YAML_ENTRIES_MAX) {
        finding(r, r->path, mark, "the file has more than %d values", BF__YAML_ENTRIES_MAX);
        r->stop = true;
        return;
    }
    void *entries = r->out->entries;
    if (!grow(r, &entries, r->out->count, &r->out->room, sizeof *r->out->entries)) {
        return;
    }
    r->out->entries = entries;
    bool is_quoted =
        style == YAML_SINGLE_QUOTED_SCALAR_STYLE || style == YAML_DOUBLE_QUOTED_SCALAR_STYLE;
    bf__yaml_entry entry = {.path = strdup(r->path),
                            .value = strdup(value),
                            .key_line = key.line,
                            .key_column = key.column,
                            .line = mark.line,
                            .column = mark.column + is_quoted};
    if (entry.path == NULL || entry.value == NULL) {
        free(entry.path);
        free(entry.value);
        out_of_memory(r);
        return;
    }
    r->out->entries[r->out->count++] = entry;
}

/* Enter the path into the keys seen; false if it was there before. */
static bool is_new_key(reader *r, place mark)
{
    for (size_t i = 0; i < r->key_count; i++) {
        if (strcmp(r->keys[i].path, r->path) == 0) {
            finding(r, r->path, mark, "'%s' is stated twice; first in line %ld", r->path,
                    r->keys[i].mark.line);
            return false;
        }
    }
    if (r->key_count == BF__YAML_ENTRIES_MAX) {
        finding(r, r->path, mark, "the file has more than %d keys", BF__YAML_ENTRIES_MAX);
        r->stop = true;
        return false;
    }
    void *keys = r->keys;
    if (!grow(r, &keys, r->key_count, &r->key_room, sizeof *r->keys)) {
        return false;
    }
    r->keys = keys;
    seen_key key = {strdup(r->path), mark};
    if (key.path == NULL) {
        out_of_memory(r);
        return false;
    }
    r->keys[r->key_count++] = key;
    return true;
}

static bool is_key_text(const char *text, size_t length)
{
    return length > 0 && length <= BF__YAML_KEY_MAX &&
           strspn(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") ==
               length;
}

static void take_key(reader *r, frame *top, const yaml_event_t *event, place mark)
{
    top->has_key = true;
    top->key_is_bad = true;
    top->key = mark;
    if (event->type == YAML_ALIAS_EVENT) {
        return; /* reported already */
    }
    const char *key = (const char *)event->data.scalar.value;
    if (event->type != YAML_SCALAR_EVENT || !is_key_text(key, event->data.scalar.length)) {
        finding(r, r->name, mark,
                "a key is made of letters, digits, '_' and '-', %d at the most; this is none",
                BF__YAML_KEY_MAX);
        return;
    }
    set_path(r, top->base, "%s%s", top->base > 0 ? "." : "", key);
    top->key_is_bad = !is_new_key(r, mark);
}

/* Make the path that of the value now beginning; false where the value is to be passed over. */
static bool begin_value(reader *r, frame *top)
{
    if (!top->is_mapping) {
        set_path(r, top->base, "[%zu]", top->items);
    }
    top->items++;
    top->has_key = false;
    return !(top->is_mapping && top->key_is_bad);
}

static void open_collection(reader *r, bool is_mapping, place key, place mark)
{
    assert(r->depth < BF__YAML_DEPTH_MAX); /* take_node() has seen to it */
    r->frames[r->depth++] =
        (frame){.is_mapping = is_mapping, .base = strlen(r->path), .start = mark, .key = key};
}

static void close_collection(reader *r)
{
    if (r->skipped > 0) {
        r->skipped--;
        return;
    }
    const frame *closed = &r->frames[--r->depth];
    if (closed->items == 0) {
        if (r->depth == 0) {
            finding(r, r->name, closed->start, "the case file is empty");
        } else {
            finding(r, r->path, closed->start, "'%s' is empty", r->path);
        }
    }
}

/* Anchors, aliases and tags: what a case file has no use for. */
static void check_properties(reader *r, const yaml_event_t *event, place mark)
{
    const yaml_char_t *anchor = NULL;
    const yaml_char_t *tag = NULL;
    switch (event->type) {
    case YAML_ALIAS_EVENT:
        finding(r, r->name, mark, "an alias (*) is not understood: write the value out");
        return;
    case YAML_SCALAR_EVENT:
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
        break;
    case YAML_SEQUENCE_START_EVENT:
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
        break;
    default:
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
        break;
    }
    if (anchor != NULL) {
        finding(r, r->name, mark,
                "an anchor (&) is not understood: leave it out, or quote a value that begins "
                "with '&'");
    }
    if (tag != NULL) {
        finding(r, r->name, mark,
                "a tag (!) is not understood: leave it out, or quote a value that begins with "
                "'!'");
    }
}

static void take_top(reader *r, const yaml_event_t *event, place mark)
{
    if (event->type == YAML_MAPPING_START_EVENT) {
        open_collection(r, true, mark, mark);
        return;
    }
    bool is_empty = event->type == YAML_SCALAR_EVENT && event->data.scalar.length == 0;
    finding(r, r->name, mark,
            is_empty ? "the case file is empty"
                     : "a case file begins with a key and a colon, such as 'water:'");
    r->stop = true;
}

/* An alias, a scalar, or the beginning of a list or mapping, wherever it stands. */
static void take_node(reader *r, const yaml_event_t *event)
{
    bool opens =
        event->type == YAML_SEQUENCE_START_EVENT || event->type == YAML_MAPPING_START_EVENT;
    place mark = place_of(event->start_mark);
    if (opens && r->depth + r->skipped == BF__YAML_DEPTH_MAX) {
        /* Not worth reading on, and not safe: libyaml's time goes with the square of the depth. */
        finding(r, r->name, mark, "mappings and lists are nested more than %d deep",
                BF__YAML_DEPTH_MAX);
        r->stop = true;
        return;
    }
    if (r->skipped > 0) {
        r->skipped += opens;
        return;
    }
    check_properties(r, event, mark);
    if (r->depth == 0) {
        take_top(r, event, mark);
        return;
    }
    frame *top = &r->frames[r->depth - 1];
    if (top->is_mapping && !top->has_key) {
        take_key(r, top, event, mark);
        r->skipped = opens;
    } else if (!begin_value(r, top)) {
        r->skipped = opens;
    } else if (opens) {
        open_collection(r, event->type == YAML_MAPPING_START_EVENT, top->key, mark);
    } else if (event->type == YAML_SCALAR_EVENT) {
        add_entry(r, event, top->key, mark);
    }
}

static void take_document(reader *r, const yaml_event_t *event)
{
    place mark = place_of(event->start_mark);
    r->documents++;
    if (r->documents > 1) {
        finding(r, r->name, mark, "a second document begins here; a case file is one");
        r->stop = true;
    } else if (event->data.document_start.tag_directives.start !=
               event->data.document_start.tag_directives.end) {
        finding(r, r->name, mark, "a %%TAG directive is not understood: leave it out");
    }
}

static void take_event(reader *r, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT: take_document(r, event); break;
    case YAML_ALIAS_EVENT:
    case YAML_SCALAR_EVENT:
    case YAML_SEQUENCE_START_EVENT:
    case YAML_MAPPING_START_EVENT: take_node(r, event); break;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT: close_collection(r); break;
    case YAML_STREAM_END_EVENT:
        if (r->documents == 0) {
            finding(r, r->name, (place){1, 1}, "the case file is empty");
        }
        r->stop = true;
        break;
    default: break; /* the beginning of the stream and the end of a document say nothing new */
    }
}

/* The byte at a character index; 0 past the end. */
static char byte_at(const reader *r, size_t character)
{
    for (size_t i = 0; i < r->length; i++) {
        bool begins_character = ((unsigned char)r->text[i] & 0xC0) != 0x80;
        if (begins_character && character-- == 0) {
            return r->text[i];
        }
    }
    return '\0';
}

static place place_of_byte(const reader *r, size_t offset)
{
    place mark = {1, 1};
    for (size_t i = 0; i < offset && i < r->length; i++) {
        if (r->text[i] == '\n') {
            mark.line++;
            mark.column = 1;
        } else {
            mark.column += ((unsigned char)r->text[i] & 0xC0) != 0x80;
        }
    }
    return mark;
}

static void syntax_finding(reader *r, const yaml_parser_t *parser)
{
    place mark = place_of(parser->problem_mark);
    char byte = byte_at(r, parser->problem_mark.index);
    bool is_stray = strstr(parser->problem, "cannot start any token") != NULL;
    if ((is_stray && byte == '\t') || strstr(parser->problem, "tab character") != NULL) {
        finding(r, r->name, mark, "a tab does not indent: use spaces");
        return;
    }
    if (is_stray) { /* an indicator, such as @ or % */
        finding(r, r->name, mark, "'%c' cannot begin a value: put the whole value in double quotes",
                byte);
        return;
    }
    const char *hint = "";
    if (strstr(parser->problem, "mapping values are not allowed") != NULL) {
        hint = ": indent keys of one mapping alike, and quote a value that has ': ' in it";
    }
    if (parser->context == NULL) {
        finding(r, r->name, mark, "this is not YAML: %s%s", parser->problem, hint);
        return;
    }
    /* A scanner's context is the thing it could not finish, which is where to look; a parser's is
     * the mapping or list around, possibly the whole file. */
    place context = place_of(parser->context_mark);
    finding(r, r->name, parser->error == YAML_SCANNER_ERROR ? context : mark,
            "this is not YAML: %s %s, which begins in line %ld%s", parser->problem, parser->context,
            context.line, hint);
}

/* What stopped the parser. */
static void take_parser_error(reader *r, const yaml_parser_t *parser)
{
    r->stop = true;
    switch (parser->error) {
    case YAML_MEMORY_ERROR: out_of_memory(r); break;
    case YAML_READER_ERROR: {
        size_t offset = parser->problem_offset;
        if (strstr(parser->problem, "trailing") != NULL) {
            do { /* back to the byte that promised more */
                offset--;
            } while (offset > 0 && ((unsigned char)r->text[offset] & 0xC0) == 0x80);
        }
        place mark = place_of_byte(r, offset);
        if (parser->problem_value == 0) {
            finding(r, r->name, mark, "the file holds a zero byte: it is not a text");
        } else if (strstr(parser->problem, "control characters") != NULL) {
            finding(r, r->name, mark, "the file holds the control character 0x%02X",
                    (unsigned)parser->problem_value);
        } else {
            finding(r, r->name, mark, "the file is not in UTF-8; save it as such (%s)",
                    parser->problem);
        }
        break;
    }
    default: syntax_finding(r, parser); break;
    }
}

static void read_events(reader *r)
{
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        out_of_memory(r);
        return;
    }
    /* Stated, or a byte order mark would switch to UTF-16. */
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)r->text, r->length);
    while (!r->stop) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            take_parser_error(r, &parser);
            break;
        }
        take_event(r, &event);
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
}

static bf_status refuse_large(const char *name, bf_notes *notes, bf_error *err)
{
    char sentence[80];
    (void)snprintf(sentence, sizeof sentence, "the case file is larger than %d bytes",
                   BF__YAML_BYTES_MAX);
    return bf__file_refuse(name, BF_E_INPUT, sentence, notes, err);
}

bf_status bf__yaml_read_text(const char *text, size_t length, const char *name, bf__yaml *out,
                             bf_notes *notes, bf_error *err)
{
    assert(text != NULL && name != NULL && out != NULL && out->entries == NULL);
    if (length > BF__YAML_BYTES_MAX) {
        return refuse_large(name, notes, err);
    }
    reader r = {.text = text,
                .length = length,
                .name = name,
                .out = out,
                .notes = notes,
                .err = err,
                .status = BF_OK};
    read_events(&r);
    for (size_t i = 0; i < r.key_count; i++) {
        free(r.keys[i].path);
    }
    free(r.keys);
    return r.status;
}

bf_status bf__yaml_read_file(const char *file_name, bf__yaml *out, bf_notes *notes, bf_error *err)
{
    assert(file_name != NULL && out != NULL && out->entries == NULL);
    char *text = NULL;
    size_t length = 0;
    bf_status status =
        bf__file_read(file_name, "case file", BF__YAML_BYTES_MAX, &text, &length, notes, err);
    if (status == BF_OK) {
        status = bf__yaml_read_text(text, length, bf__file_name(file_name), out, notes, err);
    }
    free(text);
    return status;
}

void bf__yaml_free(bf__yaml *yaml)
{
    if (yaml == NULL) {
        return;
    }
    for (size_t i = 0; i < yaml->count; i++) {
        free(yaml->entries[i].path);
        free(yaml->entries[i].value);
    }
    free(yaml->entries);
    *yaml = (bf__yaml){0};
}
