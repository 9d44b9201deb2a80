/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case file to paths and values: the example, every finding with its place, every kind of file
 * that is none, and noise. */
#include "brinefront/status.h"
#include "case/file/yaml.h"
#include "support.h"

#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A copy without a zero behind it, so that the address sanitizer sees a byte too many. */
static bf_status read_copy(const char *text, size_t length, bf__yaml *yaml, bf_notes *notes,
                           bf_error *err)
{
    char *copy = malloc(length > 0 ? length : 1);
    ck_assert_ptr_nonnull(copy);
    memcpy(copy, text, length);
    bf_status status = bf__yaml_read_text(copy, length, "case.yaml", yaml, notes, err);
    free(copy);
    return status;
}

static const char example[] = "# a case\n"
                              "title: 'It''s a test'\n"
                              "water:\n"
                              "  hardness: 350 mg/L as CaCO3   # as the sheet says\n"
                              "  temperature: 15 °C\n"
                              "regeneration:\n"
                              "  doses: [5 lb/ft3, \"10 lb/ft3\",\n"
                              "          160 g/L]\n"
                              "  steps:\n"
                              "  - kind: brine\n"
                              "    strength: 10%\n"
                              "  - {kind: rinse, °: no}\n"
                              "note: |\n"
                              "  two\n"
                              "  lines\n"
                              "empty: ''\n"
                              "matrix: [[1, 2], [3]]\n";

START_TEST(values_come_with_path_and_place)
{
    /* Places counted by hand. */
    static const struct {
        const char *path;
        const char *value;
        long key_line;
        long key_column;
        long line;
        long column;
    } expected[] = {
        {"title", "It's a test", 2, 1, 2, 9},
        {"water.hardness", "350 mg/L as CaCO3", 4, 3, 4, 13},
        {"water.temperature", "15 °C", 5, 3, 5, 16},
        {"regeneration.doses[0]", "5 lb/ft3", 7, 3, 7, 11},
        {"regeneration.doses[1]", "10 lb/ft3", 7, 3, 7, 22},
        {"regeneration.doses[2]", "160 g/L", 7, 3, 8, 11},
        {"regeneration.steps[0].kind", "brine", 10, 5, 10, 11},
        {"regeneration.steps[0].strength", "10%", 11, 5, 11, 15},
        {"regeneration.steps[1].kind", "rinse", 12, 6, 12, 12},
        {"regeneration.steps[1].idle", "no", 12, 19, 12, 25},
        {"note", "two\nlines\n", 13, 1, 13, 7},
        {"empty", "", 16, 1, 16, 9},
        {"matrix[0][0]", "1", 17, 1, 17, 11},
        {"matrix[0][1]", "2", 17, 1, 17, 14},
        {"matrix[1][0]", "3", 17, 1, 17, 19},
    };
    char text[sizeof example + 8];
    const char *degree = strstr(example, "°: no"); /* turned into a key that is one */
    (void)snprintf(text, sizeof text, "%.*sidle%s", (int)(degree - example), example,
                   degree + strlen("°"));
    bf_error err = {0};
    bf__yaml yaml = {0};
    assert_ok(read_copy(text, strlen(text), &yaml, NULL, &err));
    ck_assert_uint_eq(yaml.count, COUNT(expected));
    for (size_t i = 0; i < COUNT(expected); i++) {
        const bf__yaml_entry *entry = &yaml.entries[i];
        ck_assert_str_eq(entry->path, expected[i].path);
        ck_assert_str_eq(entry->value, expected[i].value);
        ck_assert_int_eq(entry->key_line, expected[i].key_line);
        ck_assert_int_eq(entry->key_column, expected[i].key_column);
        ck_assert_int_eq(entry->line, expected[i].line);
        ck_assert_int_eq(entry->column, expected[i].column);
    }
    bf__yaml_free(&yaml);
    ck_assert_ptr_null(yaml.entries);
    ck_assert_uint_eq(yaml.count, 0);
    bf__yaml_free(NULL);
}
END_TEST

START_TEST(marks_around_a_document_are_fine)
{
    static const char *const texts[] = {
        "a: 1",
        "a: 1\n",
        "\357\273\277a: 1\n",
        "--- # begins\na: 1\n...\n# ends\n",
        "%YAML 1.2\n---\na: 1\n",
        "\r\na: 1\r\n",
        "a:\t1\t\n",
        "{a: 1}",
        "? a\n: 1\n",
        "\"a\": \"1\"",
    };
    for (size_t i = 0; i < COUNT(texts); i++) {
        bf_error err = {0};
        bf__yaml yaml = {0};
        assert_ok(read_copy(texts[i], strlen(texts[i]), &yaml, NULL, &err));
        ck_assert_uint_eq(yaml.count, 1);
        ck_assert_str_eq(yaml.entries[0].path, "a");
        ck_assert_str_eq(yaml.entries[0].value, "1");
        bf__yaml_free(&yaml);
    }
}
END_TEST

typedef struct fault {
    const char *text;
    size_t length; /* 0: up to the zero byte */
    long line;
    long column;
    const char *part; /* of the sentence */
    size_t findings;
    size_t entries; /* read all the same */
} fault;

#define WITH_ZERO(text) text, sizeof(text) - 1
#define K65 "abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyzabcdefghijklm"

static const fault faults[] = {
    /* syntax */
    {"a: 1\nb: 'open\n", 0, 2, 4, "unexpected end of stream", 1, 1},
    {"a: 1\n b: 2\n", 0, 2, 3, "indent keys of one mapping alike", 1, 1},
    {"a: b: c\n", 0, 1, 5, "quote a value that has ': '", 1, 1},
    {"a: 1\nb\n", 0, 2, 1, "could not find expected ':'", 1, 1},
    {"a: [1, 2\n", 0, 2, 1, "which begins in line 1", 1, 2},
    {"a: 1\n...\nmore\n", 0, 3, 1, "<document start>", 1, 1},
    {"%FOO\n---\na: 1\n", 0, 1, 1, "unknown directive", 1, 0},
    {"a: \"\\q\"\n", 0, 1, 4, "unknown escape", 1, 0},
    {"a: 1\n\tb: 2\n", 0, 2, 1, "a tab does not indent", 1, 0},
    {"a:\n\tb: 2\n", 0, 2, 1, "a tab does not indent", 1, 0},
    {"aé: 1\nb: @x\n", 0, 1, 1, "a key is made of", 2, 0},
    {"a: éé 長\nb: `x\n", 0, 2, 4, "'`' cannot begin a value", 1, 1},
    {"a: [|x]\n", 0, 1, 5, "'|' cannot begin a value", 1, 0},
    {"a: @x\n", 0, 1, 4, "'@' cannot begin a value", 1, 0},
    {"a: 1\nb: %5\n", 0, 2, 4, "'%' cannot begin a value", 1, 1},
    /* the encoding */
    {"a: \xFF\n", 0, 1, 4, "not in UTF-8", 1, 0},
    {"a: 1\nb: é\xC3(\n", 0, 2, 5, "invalid trailing UTF-8 octet", 1, 0},
    {"\377\376a", 0, 1, 1, "not in UTF-8", 1, 0},
    {WITH_ZERO("a: 1\nb: \0 2"), 2, 4, "zero byte", 1, 0},
    {WITH_ZERO("\177ELF\2\1\1\0\0"), 1, 1, "control character 0x7F", 1, 0},
    {"a: 1\nbc: \033[31m\n", 0, 2, 5, "control character 0x1B", 1, 0},
    {"a: \"\\0\"\n", 0, 1, 4, "'a' has a control character", 1, 0},
    {"a: \"\\e[31m\"\n", 0, 1, 4, "'a' has a control character", 1, 0},
    {"a: \"\\x7f\"\nb: \"x\\ty\\n\"\n", 0, 1, 4, "'a' has a control character", 1, 1},
    /* what a case file has no use for */
    {"a: &x 1\nb: *x\n", 0, 1, 4, "an anchor (&)", 2, 1},
    {"a: &x [1]\n", 0, 1, 4, "an anchor (&)", 1, 1},
    {"a: &x {b: 1}\n", 0, 1, 4, "an anchor (&)", 1, 1},
    {"a: 1\nb: *nowhere\n", 0, 2, 4, "an alias (*)", 1, 1},
    {"*x : 1\nb: 2\n", 0, 1, 1, "an alias (*)", 1, 1},
    {"a: [*x, 3]\n", 0, 1, 5, "an alias (*)", 1, 1},
    {"a: !!int 1\n", 0, 1, 4, "a tag (!)", 1, 1},
    {"a: !x [1]\n", 0, 1, 4, "a tag (!)", 1, 1},
    {"--- !x\na: 1\n", 0, 1, 5, "a tag (!)", 1, 1},
    {"%TAG ! tag:x,2000:\n---\na: 1\n", 0, 1, 1, "a %TAG directive", 1, 1},
    {"<<: 1\n", 0, 1, 1, "a key is made of", 1, 0},
    {"a: 1\n---\nb: 2\n", 0, 2, 1, "a second document", 1, 1},
    /* nothing, or no mapping */
    {"", 0, 1, 1, "the case file is empty", 1, 0},
    {"\n# only this\n", 0, 1, 1, "the case file is empty", 1, 0},
    {"---\n", 0, 2, 1, "the case file is empty", 1, 0},
    {"{}\n", 0, 1, 1, "the case file is empty", 1, 0},
    {"hello\n", 0, 1, 1, "begins with a key and a colon", 1, 0},
    {"- a: 1\n- b: 2\n", 0, 1, 1, "begins with a key and a colon", 1, 0},
    {"a:\nb: 1\n", 0, 1, 3, "'a' has no value", 1, 1},
    {"a:\n- 1\n-\n", 0, 3, 2, "'a[1]' has no value", 1, 1},
    {"a: []\nb: {c: {}}\n", 0, 1, 4, "'a' is empty", 2, 0},
    {"b: {c: {}, d: 1}\n", 0, 1, 8, "'b.c' is empty", 1, 1},
    /* keys */
    {"a: 1\nb: 2\na: 3\n", 0, 3, 1, "'a' is stated twice; first in line 1", 1, 2},
    {"w:\n  a: 1\nb: 2\nw:\n  a: [1, {x: 2}]\nc: 3\n", 0, 4, 1, "'w' is stated twice", 1, 3},
    {"s: [{k: 1}, {k: 2, k: 3}]\n", 0, 1, 20, "'s[1].k' is stated twice", 1, 2},
    {"a.b: 1\n", 0, 1, 1, "a key is made of", 1, 0},
    {"a[0]: 1\n", 0, 1, 1, "a key is made of", 1, 0},
    {"\"\": 1\n", 0, 1, 1, "a key is made of", 1, 0},
    {"\"a\\0b\": 1\n", 0, 1, 1, "a key is made of", 1, 0},
    {"? [x, {y: z}]\n: {d: [1]}\nb: 2\n", 0, 1, 3, "a key is made of", 1, 1},
    {"? {x: y}\n: 1\nb: 2\n", 0, 1, 3, "a key is made of", 1, 1},
    {K65 ": 1\n", 0, 1, 1, "a key is made of", 1, 0},
    /* depth: the mapping at the top is the first */
    {"a: {b: {c: {d: {e: {f: 1}}}}}\n", 0, 0, 0, "", 0, 1},
    {"a: {b: {c: {d: {e: {f: {g: 1}}}}}}\n", 0, 1, 24, "nested more than 6 deep", 1, 0},
    {"a: [[[[[1, [2, [3]], 4]]]]]\nb: 5\n", 0, 1, 12, "nested more than 6 deep", 1, 1},
    {"a: 1\na: [[[[[[2]]]]]]\n", 0, 2, 1, "stated twice", 2, 1},
};

START_TEST(every_finding_is_named_and_placed)
{
    for (size_t i = 0; i < COUNT(faults); i++) {
        const fault *f = &faults[i];
        size_t length = f->length > 0 ? f->length : strlen(f->text);
        bf_error err = {0};
        bf_notes *notes = NULL;
        bf__yaml yaml = {0};
        assert_ok(bf_notes_create(&notes, &err));
        bf_status status = read_copy(f->text, length, &yaml, notes, &err);
        ck_assert_msg(bf_notes_count(notes) == f->findings, "%s: %zu findings, the first: %s",
                      f->text, bf_notes_count(notes), err.message);
        ck_assert_msg(yaml.count == f->entries, "%s: %zu entries", f->text, yaml.count);
        if (f->findings == 0) {
            ck_assert_int_eq(status, BF_OK);
        } else {
            bf_note first = bf_notes_get(notes, 0);
            ck_assert_int_eq(status, BF_E_INPUT);
            ck_assert_int_eq(err.code, BF_E_INPUT);
            ck_assert_str_eq(err.where, "case.yaml");
            ck_assert_msg(strstr(err.message, f->part) != NULL, "%s: %s", f->text, err.message);
            ck_assert_msg(err.line == f->line && err.column == f->column, "%s: at %ld:%ld: %s",
                          f->text, err.line, err.column, err.message);
            ck_assert_int_eq(first.kind, BF_NOTE_FINDING);
            ck_assert_str_eq(first.text, err.message);
            ck_assert_int_eq(first.line, err.line);
            ck_assert_int_eq(first.column, err.column);
        }
        bf__yaml_free(&yaml);
        bf_notes_free(notes);
        /* Neither the notes nor the error are needed. */
        ck_assert_int_eq(read_copy(f->text, length, &yaml, NULL, NULL), status);
        bf__yaml_free(&yaml);
    }
}
END_TEST

START_TEST(all_findings_are_collected)
{
    static const char text[] = "a: &x 1\n"
                               "a: 2\n"
                               "b: *x\n"
                               "c: []\n"
                               "d: !t 4\n"
                               "e.f: 5\n"
                               "g: 6\n"
                               "h: 'open\n";
    static const struct {
        const char *where;
        long line;
        const char *part;
    } expected[] = {
        {"case.yaml", 1, "anchor"}, {"a", 2, "twice"},       {"case.yaml", 3, "alias"},
        {"c", 4, "empty"},          {"case.yaml", 5, "tag"}, {"case.yaml", 6, "a key is made of"},
        {"case.yaml", 8, "stream"},
    };
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf__yaml yaml = {0};
    assert_ok(bf_notes_create(&notes, &err));
    assert_fails(read_copy(text, strlen(text), &yaml, notes, &err), BF_E_INPUT, "anchor");
    ck_assert_uint_eq(bf_notes_count(notes), COUNT(expected));
    for (size_t i = 0; i < COUNT(expected); i++) {
        bf_note note = bf_notes_get(notes, i);
        ck_assert_str_eq(note.where, expected[i].where);
        ck_assert_int_eq(note.line, expected[i].line);
        ck_assert_msg(strstr(note.text, expected[i].part) != NULL, "%s", note.text);
    }
    ck_assert_uint_eq(yaml.count, 3); /* a, d, g */
    ck_assert_str_eq(yaml.entries[2].path, "g");
    bf__yaml_free(&yaml);
    bf_notes_free(notes);
}
END_TEST

/* `count` times a line, which may hold one %d. */
static char *repeat(const char *head, const char *line, int count)
{
    size_t room = strlen(head) + (size_t)count * (strlen(line) + 8) + 1;
    char *text = malloc(room);
    ck_assert_ptr_nonnull(text);
    size_t length = (size_t)snprintf(text, room, "%s", head);
    for (int i = 0; i < count; i++) {
        for (const char *p = line; *p != '\0'; p++) {
            length += (size_t)(*p == '#' ? snprintf(text + length, room - length, "%d", i)
                                         : snprintf(text + length, room - length, "%c", *p));
        }
    }
    return text;
}

START_TEST(a_file_has_so_many_keys_values_and_findings)
{
    bf_error err = {0};
    bf__yaml yaml = {0};
    char *text = repeat("", "k#: 1\n", BF__YAML_ENTRIES_MAX);
    assert_ok(read_copy(text, strlen(text), &yaml, NULL, &err));
    ck_assert_uint_eq(yaml.count, BF__YAML_ENTRIES_MAX);
    bf__yaml_free(&yaml);
    free(text);

    text = repeat("", "k#: 1\n", BF__YAML_ENTRIES_MAX + 1);
    assert_fails(read_copy(text, strlen(text), &yaml, NULL, &err), BF_E_INPUT,
                 "more than 4096 keys");
    ck_assert_int_eq(err.line, BF__YAML_ENTRIES_MAX + 1);
    bf__yaml_free(&yaml);
    free(text);

    text = repeat("a:\n", "- #\n", BF__YAML_ENTRIES_MAX + 1);
    assert_fails(read_copy(text, strlen(text), &yaml, NULL, &err), BF_E_INPUT,
                 "more than 4096 values");
    ck_assert_uint_eq(yaml.count, BF__YAML_ENTRIES_MAX);
    bf__yaml_free(&yaml);
    free(text);

    bf_notes *notes = NULL;
    assert_ok(bf_notes_create(&notes, &err));
    text = repeat("a:\n", "- *x#\n", 2 * BF__YAML_FINDINGS_MAX);
    assert_fails(read_copy(text, strlen(text), &yaml, notes, &err), BF_E_INPUT, "alias");
    ck_assert_uint_eq(bf_notes_count(notes), BF__YAML_FINDINGS_MAX + 1);
    bf_note last = bf_notes_get(notes, BF__YAML_FINDINGS_MAX);
    ck_assert_str_eq(last.text, "the file is not read beyond finding 50");
    ck_assert_int_eq(last.line, BF__YAML_FINDINGS_MAX + 1);
    bf__yaml_free(&yaml);
    bf_notes_free(notes);
    free(text);
}
END_TEST

START_TEST(a_million_brackets_take_no_time)
{
    /* libyaml alone needs 4 s for 64 KiB of them and 16 times that for four times as many */
    static const char *const heads[] = {"", "a: ", "a: 1\na: ", "? "};
    for (size_t i = 0; i < COUNT(heads); i++) {
        for (const char *bracket = "[{"; *bracket != '\0'; bracket++) {
            char *text = malloc(BF__YAML_BYTES_MAX);
            ck_assert_ptr_nonnull(text);
            memset(text, *bracket, BF__YAML_BYTES_MAX);
            memcpy(text, heads[i], strlen(heads[i]));
            bf_error err = {0};
            bf__yaml yaml = {0};
            ck_assert_int_eq(
                bf__yaml_read_text(text, BF__YAML_BYTES_MAX, "case.yaml", &yaml, NULL, &err),
                BF_E_INPUT);
            bf__yaml_free(&yaml);
            free(text);
        }
    }
}
END_TEST

START_TEST(the_longest_path_fits)
{
    /* 64 characters on each of six levels, the last a list */
    char text[1200] = "";
    char path[1200] = "";
    for (int i = 0; i < 5; i++) {
        (void)snprintf(text + strlen(text), 200, "%*s%.64s:\n", i, "", K65);
        (void)snprintf(path + strlen(path), 200, "%s%.64s", i > 0 ? "." : "", K65);
    }
    (void)strcat(text, "    - 7\n");
    (void)strcat(path, "[0]");
    bf_error err = {0};
    bf__yaml yaml = {0};
    assert_ok(read_copy(text, strlen(text), &yaml, NULL, &err));
    ck_assert_str_eq(yaml.entries[0].path, path);
    bf__yaml_free(&yaml);
}
END_TEST

START_TEST(a_bad_byte_far_in_is_placed)
{
    /* libyaml reads ahead by thousands of bytes; the place must not depend on that */
    for (int lines = 1; lines < 6000; lines = 3 * lines + 1) {
        char *text = repeat("", "# a comment, number #\n", lines);
        char *bad = malloc(strlen(text) + 16);
        ck_assert_ptr_nonnull(bad);
        size_t length = (size_t)snprintf(bad, strlen(text) + 16, "%skey: \xFF\n", text);
        bf_error err = {0};
        bf__yaml yaml = {0};
        assert_fails(read_copy(bad, length, &yaml, NULL, &err), BF_E_INPUT, "UTF-8");
        ck_assert_int_eq(err.line, lines + 1);
        ck_assert_int_eq(err.column, 6);
        bf__yaml_free(&yaml);
        free(bad);
        free(text);
    }
}
END_TEST

/* A directory of this test's own below the current one, with one path in it. */
typedef struct spot {
    char directory[64];
    char path[96];
} spot;

static spot spot_make(void)
{
    spot s;
    (void)snprintf(s.directory, sizeof s.directory, "case-yaml-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(s.directory));
    (void)snprintf(s.path, sizeof s.path, "%s/case.yaml", s.directory);
    return s;
}

static void spot_clear(const spot *s)
{
    (void)unlink(s->path);
    ck_assert_int_eq(rmdir(s->directory), 0);
}

static void write_file(const char *path, const char *text, off_t length)
{
    int file = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    ck_assert_int_ge(file, 0);
    ck_assert_int_eq(write(file, text, strlen(text)), (ssize_t)strlen(text));
    ck_assert_int_eq(ftruncate(file, length), 0);
    ck_assert_int_eq(close(file), 0);
}

START_TEST(a_file_is_read)
{
    spot s = spot_make();
    bf_error err = {0};
    bf__yaml yaml = {0};
    write_file(s.path, "a: 1\nb: [2]\n", 12);
    assert_ok(bf__yaml_read_file(s.path, &yaml, NULL, &err));
    ck_assert_uint_eq(yaml.count, 2);
    ck_assert_str_eq(yaml.entries[1].path, "b[0]");
    bf__yaml_free(&yaml);

    write_file(s.path, "a: 1\na: 2\n", 10);
    assert_fails(bf__yaml_read_file(s.path, &yaml, NULL, &err), BF_E_INPUT, "twice");
    ck_assert_str_eq(err.where, s.path);
    ck_assert_int_eq(err.line, 2);
    bf__yaml_free(&yaml);

    write_file(s.path, "", 0);
    assert_fails(bf__yaml_read_file(s.path, &yaml, NULL, &err), BF_E_INPUT, "empty");
    spot_clear(&s);
}
END_TEST

/* The file is refused, as one finding without a line. */
static void refused(const char *path, bf_status code, const char *part)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf__yaml yaml = {0};
    assert_ok(bf_notes_create(&notes, &err));
    assert_fails(bf__yaml_read_file(path, &yaml, notes, &err), code, part);
    ck_assert_int_eq(err.line, 0);
    ck_assert_uint_eq(yaml.count, 0);
    ck_assert_uint_eq(bf_notes_count(notes), 1);
    ck_assert_int_eq(bf_notes_get(notes, 0).kind, BF_NOTE_FINDING);
    ck_assert_str_eq(bf_notes_get(notes, 0).text, err.message);
    bf_notes_free(notes);
}

START_TEST(what_is_no_file_is_refused_at_once)
{
    spot s = spot_make();
    refused(s.path, BF_E_FILE, "cannot be opened: No such file");
    refused(s.directory, BF_E_FILE, "directory");
    ck_assert_int_eq(mkfifo(s.path, 0600), 0);
    refused(s.path, BF_E_FILE, "not a regular file"); /* nobody writes to it */
    spot_clear(&s);
    refused("/dev/null", BF_E_FILE, "not a regular file");
}
END_TEST

START_TEST(a_file_without_permission_is_refused)
{
    spot s = spot_make();
    write_file(s.path, "a: 1\n", 5);
    ck_assert_int_eq(chmod(s.path, 0), 0);
    /* Nothing is unreadable for the superuser, who reads it instead. */
    bf_error err = {0};
    bf__yaml yaml = {0};
    if (geteuid() == 0) {
        assert_ok(bf__yaml_read_file(s.path, &yaml, NULL, &err));
    } else {
        assert_fails(bf__yaml_read_file(s.path, &yaml, NULL, &err), BF_E_FILE, "Permission");
    }
    bf__yaml_free(&yaml);
    spot_clear(&s);
}
END_TEST

START_TEST(a_large_file_is_refused)
{
    spot s = spot_make();
    write_file(s.path, "a: 1\n", BF__YAML_BYTES_MAX + 1);
    refused(s.path, BF_E_INPUT, "larger than 1048576 bytes");
    /* One byte less is read, and found to be full of zeros. */
    write_file(s.path, "a: 1\n", BF__YAML_BYTES_MAX);
    bf_error err = {0};
    bf__yaml yaml = {0};
    assert_fails(bf__yaml_read_file(s.path, &yaml, NULL, &err), BF_E_INPUT, "zero byte");
    bf__yaml_free(&yaml);
    spot_clear(&s);

    char *text = malloc(BF__YAML_BYTES_MAX + 1);
    ck_assert_ptr_nonnull(text);
    memset(text, '#', BF__YAML_BYTES_MAX + 1);
    memcpy(text, "a: 1\n", 5);
    assert_ok(bf__yaml_read_text(text, BF__YAML_BYTES_MAX, "case.yaml", &yaml, NULL, &err));
    bf__yaml_free(&yaml);
    assert_fails(bf__yaml_read_text(text, BF__YAML_BYTES_MAX + 1, "case.yaml", &yaml, NULL, &err),
                 BF_E_INPUT, "larger than");
    free(text);
}
END_TEST

/* Standard input is `descriptor`, which is closed, while "-" is read. */
static bf_status read_standard_input(int descriptor, bf__yaml *yaml, bf_error *err)
{
    int saved = dup(STDIN_FILENO);
    ck_assert_int_ge(dup2(descriptor, STDIN_FILENO), 0);
    ck_assert_int_eq(close(descriptor), 0);
    bf_status status = bf__yaml_read_file("-", yaml, NULL, err);
    if (saved >= 0) {
        ck_assert_int_ge(dup2(saved, STDIN_FILENO), 0);
        ck_assert_int_eq(close(saved), 0);
    }
    return status;
}

START_TEST(standard_input_is_read)
{
    bf_error err = {0};
    bf__yaml yaml = {0};
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(write(ends[1], "a: 1\nb\n", 7), 7);
    ck_assert_int_eq(close(ends[1]), 0);
    assert_fails(read_standard_input(ends[0], &yaml, &err), BF_E_INPUT, "expected ':'");
    ck_assert_str_eq(err.where, "standard input");
    ck_assert_uint_eq(yaml.count, 1);
    bf__yaml_free(&yaml);

    spot s = spot_make();
    write_file(s.path, "a: 1\n", BF__YAML_BYTES_MAX + 1);
    assert_fails(read_standard_input(open(s.path, O_RDONLY), &yaml, &err), BF_E_INPUT,
                 "larger than");
    spot_clear(&s);
    assert_fails(read_standard_input(open(".", O_RDONLY), &yaml, &err), BF_E_FILE,
                 "cannot be read: Is a directory");
}
END_TEST

/* A well-formed path: keys and indices, nothing else. */
static bool is_path(const char *path)
{
    return path[0] != '\0' && path[0] != '.' &&
           strspn(path, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-.[]") ==
               strlen(path);
}

START_TEST(noise_is_a_finding_or_a_case)
{
    static const char alphabet[] = "\n\n  ::-[]{},'\"#&*!|>%@\\?\t.~0aZ\xC2\xB0\xFF";
    unsigned long long seed = 77003;
    size_t clean = 0;
    for (int round = 0; round < 4000; round++) {
        char text[sizeof example];
        memcpy(text, example, sizeof example);
        size_t length = sizeof example - 1;
        int changes = (int)(6.0 * support_uniform(&seed));
        for (int i = 0; i < changes; i++) {
            size_t place = (size_t)(support_uniform(&seed) * (double)length);
            text[place] = alphabet[(size_t)(support_uniform(&seed) * (sizeof alphabet - 1))];
        }
        length -=
            support_uniform(&seed) < 0.2 ? (size_t)(support_uniform(&seed) * (double)length) : 0;
        bf_error err = {0};
        bf_notes *notes = NULL;
        bf__yaml yaml = {0};
        assert_ok(bf_notes_create(&notes, &err));
        bf_status status = read_copy(text, length, &yaml, notes, &err);
        ck_assert_int_eq(status, bf_notes_count(notes) > 0 ? BF_E_INPUT : BF_OK);
        for (size_t i = 0; i < bf_notes_count(notes); i++) {
            bf_note note = bf_notes_get(notes, i);
            ck_assert(note.line >= 1 && note.line <= 18 + changes && note.column >= 1);
        }
        for (size_t i = 0; i < yaml.count; i++) {
            ck_assert_msg(is_path(yaml.entries[i].path), "%s", yaml.entries[i].path);
        }
        clean += status == BF_OK;
        bf__yaml_free(&yaml);
        bf_notes_free(notes);
    }
    /* The example itself has one bad key, so a clean round had it overwritten or cut off. */
    ck_assert_uint_gt(clean, 10);
    ck_assert_uint_lt(clean, 2000);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {values_come_with_path_and_place,
                                  marks_around_a_document_are_fine,
                                  every_finding_is_named_and_placed,
                                  all_findings_are_collected,
                                  a_file_has_so_many_keys_values_and_findings,
                                  a_million_brackets_take_no_time,
                                  the_longest_path_fits,
                                  a_bad_byte_far_in_is_placed,
                                  a_file_is_read,
                                  what_is_no_file_is_refused_at_once,
                                  a_file_without_permission_is_refused,
                                  a_large_file_is_refused,
                                  standard_input_is_read,
                                  noise_is_a_finding_or_a_case};
    return support_run("case.yaml", tests, COUNT(tests), 60);
}
