/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text with a unit to SI.
 *
 * A unit is a factor and a vector of powers of the base units. The base units lead the table
 * (unit_table.c); every other one is defined by a quantity in units above it, which this reader
 * itself reads. The definitions are short and shallow, so nothing is kept between calls, and there is
 * nothing to set up or to share.
 */
#include "brinefront/units.h"

#include "base/nearest.h"
#include "brinefront/convert.h"
#include "case/file/unit_table.h"

#include <assert.h>
#include <ctype.h>
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* What a mass or an amount may be counted as that is no ion of the table.
 * Atomic weights: CIAAW 2021, as in convert.h: Ca 40.078, O 15.999. */
static const struct carrier {
    const char *name;
    double kg_per_eq;
    double eq_per_mol;
} carriers[] = {{"CaCO3", 1e-3 * BF_G_CACO3_PER_EQ, 2.0},
                {"CaO", 1e-3 * (40.078 + 15.999) / 2.0, 2.0}};

#define CARRIER_COUNT (sizeof carriers / sizeof *carriers)

/* value in SI = (number + zero) * factor */
typedef struct scale {
    double factor;
    double zero;
    int power[BF__BASE_COUNT];
    bf_basis basis;
    bf_ion named_ion;
} scale;

/* A text being read, of which only the first `unit_limit` units of the table may be used. */
typedef struct scan {
    const char *text;
    const char *cursor;
    size_t unit_limit;
    bf_error *err;
} scan;

static const char parse_name[] = "bf_quantity_parse";
/* Put the column of `cursor` into the error just set, in characters, as an editor counts them. */
static bf_status fail_at(const scan *s, const char *cursor, bf_status status)
{
    if (s->err != NULL) {
        s->err->column = 1;
        for (const char *p = s->text; p < cursor; p++) {
            s->err->column += ((unsigned char)*p & 0xC0) != 0x80;
        }
    }
    return status;
}

static void skip_space(scan *s)
{
    s->cursor += strspn(s->cursor, " \t\n");
}

/* "²" and "³" are C2 B2 and C2 B3 in UTF-8; returns 2, 3 or 0. */
static int superscript(const char *cursor)
{
    if ((unsigned char)cursor[0] != 0xC2) {
        return 0;
    }
    return (unsigned char)cursor[1] == 0xB2 ? 2 : (unsigned char)cursor[1] == 0xB3 ? 3 : 0;
}

/* A name ends where a power, an operator, a space or the end of the text follows. */
static bool ends_name(const char *cursor)
{
    return *cursor == '\0' || strchr(" \t\n/*^-0123456789", *cursor) != NULL ||
           superscript(cursor) != 0;
}

static size_t name_length(const char *cursor)
{
    size_t length = 0;
    while (!ends_name(cursor + length)) {
        length++;
    }
    return length;
}

/* How much of an unknown word a message shows: not more than 40 bytes, whole characters. */
static int shown_length(const char *word, size_t length)
{
    if (length > 40) {
        length = 40;
        while (length > 0 && ((unsigned char)word[length] & 0xC0) == 0x80) {
            length--;
        }
    }
    return (int)length;
}

/* The next name of a list "a, b, c", or NULL; `*length` is its length. */
static const char *next_name(const char *previous, size_t *length)
{
    const char *name = previous;
    if (*length > 0) {
        name += *length;
        name += strspn(name, ", ");
    }
    *length = strcspn(name, ",");
    return *length > 0 ? name : NULL;
}

/* The unit whose name is the longest one that begins at `cursor`; bf_unit_count() if there is none. */
static size_t find_unit(const char *cursor, size_t unit_limit, size_t *matched)
{
    size_t found = bf_unit_count();
    *matched = 0;
    for (size_t i = 0; i < unit_limit; i++) {
        size_t length = 0;
        const char *name = next_name(bf_unit_get(i)->names, &length);
        for (; name != NULL; name = next_name(name, &length)) {
            if (length > *matched && strncmp(cursor, name, length) == 0 &&
                ends_name(cursor + length)) {
                *matched = length;
                found = i;
            }
        }
    }
    return found;
}

/* The known name nearest to a word, or NULL where none is near. */
static const char *nearest_name(const char *word, size_t word_length, size_t *nearest_length)
{
    const char *nearest = NULL;
    int best = bf__nearest_limit(word_length) + 1;
    for (size_t i = 0; i < bf_unit_count(); i++) {
        size_t length = 0;
        const char *name = next_name(bf_unit_get(i)->names, &length);
        for (; name != NULL; name = next_name(name, &length)) {
            int d = bf__nearest_distance(word, word_length, name, length);
            if (d < best) {
                best = d;
                nearest = name;
                *nearest_length = length;
            }
        }
    }
    return nearest;
}

/* Spellings of the trade that are no names here, and what to write for them. */
static const struct {
    const char *spelling, *write;
} spellings[] = {{"cu", "ft3"},    {"cuft", "ft3"},    {"cu.ft", "ft3"}, {"cf", "ft3"},
                 {"cubic", "ft3"}, {"pcf", "lb/ft3"},  {"lpm", "L/min"}, {"lph", "L/h"},
                 {"cmh", "m3/h"},  {"\"", "in"},       {"in.", "in"},    {"'", "ft"},
                 {"ft.", "ft"},    {"kgrains", "kgr"}, {"kgrain", "kgr"}};

static const char *spelling_of(const char *word, size_t length)
{
    for (size_t k = 0; k < sizeof spellings / sizeof *spellings; k++) {
        if (strlen(spellings[k].spelling) == length &&
            strncasecmp(word, spellings[k].spelling, length) == 0) {
            return spellings[k].write;
        }
    }
    return NULL;
}

static bf_status unknown_unit(const scan *s)
{
    size_t length = name_length(s->cursor);
    size_t near_length = 0;
    const char *spelled = spelling_of(s->cursor, length);
    const char *near = spelled != NULL ? NULL : nearest_name(s->cursor, length, &near_length);
    int shown = shown_length(s->cursor, length);
    if (length == 0) {
        bf_error_set(s->err, BF_E_INPUT, parse_name, "a unit is missing here");
    } else if (spelled != NULL) {
        bf_error_set(s->err, BF_E_INPUT, parse_name, "unknown unit '%.*s'; write %s", shown,
                     s->cursor, spelled);
    } else if (near != NULL) {
        bf_error_set(s->err, BF_E_INPUT, parse_name, "unknown unit '%.*s'; did you mean '%.*s'?",
                     shown, s->cursor, (int)near_length, near);
    } else {
        bf_error_set(s->err, BF_E_INPUT, parse_name, "unknown unit '%.*s'", shown, s->cursor);
    }
    return fail_at(s, s->cursor, BF_E_INPUT);
}

static bf_status read_number(scan *s, double *number)
{
    const char *p = s->cursor + (*s->cursor == '+' || *s->cursor == '-');
    size_t whole = strspn(p, "0123456789");
    p += whole;
    size_t decimals = 0;
    if (*p == '.') {
        decimals = strspn(p + 1, "0123456789");
        p += 1 + decimals;
    }
    if (whole + decimals == 0) {
        return fail_at(s, s->cursor,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "a decimal number is expected here, such as 0.38 or 2.5e-9"));
    }
    if (*p == 'e' || *p == 'E') {
        const char *digits = p + 1 + (p[1] == '+' || p[1] == '-');
        size_t count = strspn(digits, "0123456789");
        p = count > 0 ? digits + count : p;
    }
    if (*p == ',') {
        return fail_at(s, p,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "a number has a decimal point and no comma: write 1.5 or "
                                    "1500, not 1,5 or 1,500"));
    }
    if (*p == 'x' || *p == 'X') {
        return fail_at(s, p,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "a number is decimal, with a unit after it; 'x' is neither"));
    }
    /* Past these checks strtod reads exactly what has been checked. */
    errno = 0;
    char *end = NULL;
    *number = strtod(s->cursor, &end);
    assert(end == p);
    if (errno == ERANGE) {
        return fail_at(s, s->cursor,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "the number is too large or too small to compute with"));
    }
    s->cursor = end;
    return BF_OK;
}

/* The power after a name: m3, m^3, m-3, m³; 1 where none is written. */
static bf_status read_power(scan *s, bool divides, int *power)
{
    const char *p = s->cursor;
    *power = superscript(p);
    if (*power != 0) {
        p += 2;
    } else {
        bool marked = *p == '^';
        p += marked;
        bool negative = *p == '-';
        p += negative;
        size_t digits = strspn(p, "0123456789");
        if (digits == 0 && !marked && !negative) {
            *power = 1;
            return BF_OK;
        }
        if (digits != 1 || *p == '0') {
            return fail_at(s, p,
                           bf_error_set(s->err, BF_E_INPUT, parse_name,
                                        "the power of a unit is one digit from 1 to 9"));
        }
        if (negative && divides) {
            return fail_at(s, p - 1,
                           bf_error_set(s->err, BF_E_INPUT, parse_name,
                                        "a unit after '/' has no negative power"));
        }
        *power = negative ? -(*p - '0') : *p - '0';
        p++;
    }
    s->cursor = p;
    if (!ends_name(p) || *p == '^' || *p == '-' || isdigit((unsigned char)*p) ||
        superscript(p) != 0) {
        return fail_at(s, p,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "after a power comes a space, '/' or '*'"));
    }
    return BF_OK;
}

static bf_status read_scaled(scan *s, double *number, scale *out);

/* The scale of one unit of the table, through its definition. */
static void expand(size_t index, scale *out)
{
    *out = (scale){.factor = 1.0, .named_ion = BF_ION_COUNT};
    if (index < BF__BASE_COUNT) {
        out->power[index] = 1;
        return;
    }
    const bf_unit *unit = bf_unit_get(index);
    scan s = {
        .text = unit->definition, .cursor = unit->definition, .unit_limit = index, .err = NULL};
    double number = 0.0;
    bf_status status = read_scaled(&s, &number, out);
    assert(status == BF_OK); /* the table is ours; the tests read every row of it */
    (void)status;
    out->factor *= number;
    out->zero = unit->zero;
}

static double power_of(double factor, int power)
{
    double product = 1.0;
    for (int i = 0; i < abs(power); i++) {
        product *= factor;
    }
    return power < 0 ? 1.0 / product : product;
}

/* One name with its power, multiplied into `out`. */
static bf_status read_factor(scan *s, bool divides, bool *has_zero, scale *out)
{
    size_t length = 0;
    size_t index = find_unit(s->cursor, s->unit_limit, &length);
    if (index == bf_unit_count()) {
        return unknown_unit(s);
    }
    s->cursor += length;
    int power = 1;
    bf_status status = read_power(s, divides, &power);
    if (status != BF_OK) {
        return status;
    }
    power = divides ? -power : power;
    scale one;
    expand(index, &one);
    out->factor *= power_of(one.factor, power);
    for (int b = 0; b < BF__BASE_COUNT; b++) {
        out->power[b] += power * one.power[b];
    }
    out->zero = one.zero;
    *has_zero = *has_zero || one.zero != 0.0;
    return BF_OK;
}

/* "as" as a word of its own. */
static bool at_basis(const scan *s)
{
    return strncmp(s->cursor, "as", 2) == 0 &&
           (s->cursor[2] == '\0' || strchr(" \t\n", s->cursor[2]) != NULL);
}

/* Everything between the number and the basis. `count` is the number of names. */
static bf_status read_unit(scan *s, int *count, scale *out)
{
    bool divided = false;
    bool has_zero = false;
    skip_space(s);
    const char *start = s->cursor;
    if (s->cursor[0] == '1' && s->cursor[1] == '/') { /* 20 1/h */
        s->cursor++;
    } else if (isdigit((unsigned char)*s->cursor)) {
        return fail_at(s, s->cursor,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "a second number stands where the unit is expected; thousands "
                                    "are not separated"));
    }
    for (*count = 0; *s->cursor != '\0' && !at_basis(s); (*count)++) {
        bool divides = *s->cursor == '/';
        if (divides || (*s->cursor == '*' && *count > 0)) {
            s->cursor++;
            skip_space(s);
        }
        if (divided && !divides) {
            return fail_at(s, s->cursor,
                           bf_error_set(s->err, BF_E_INPUT, parse_name,
                                        "a unit after one with '/' needs its own '/': write "
                                        "J/mol/K for J/(mol K)"));
        }
        divided = divides;
        bf_status status = read_factor(s, divides, &has_zero, out);
        if (status != BF_OK) {
            return status;
        }
        skip_space(s);
    }
    bool alone = *count == 1 && !divided && out->power[BF__BASE_K] == 1;
    if (has_zero && !alone) {
        return fail_at(s, start,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "C and F have a zero point of their own and stand alone; "
                                    "write K in a compound unit"));
    }
    return BF_OK;
}

/* The base unit a basis can count: kg or mol, once and not beside equivalents; else BF__BASE_COUNT. */
static int counted_base(const scale *u)
{
    if (u->power[BF__BASE_EQ] != 0 || u->power[BF__BASE_KG] + u->power[BF__BASE_MOL] != 1) {
        return BF__BASE_COUNT;
    }
    return u->power[BF__BASE_KG] == 1    ? BF__BASE_KG
           : u->power[BF__BASE_MOL] == 1 ? BF__BASE_MOL
                                         : BF__BASE_COUNT;
}

/* Count the mass or the amount of `u` in equivalents of a carrier. */
static void count_equivalents(scale *u, int base, const struct carrier *carrier)
{
    u->factor =
        base == BF__BASE_KG ? u->factor / carrier->kg_per_eq : u->factor * carrier->eq_per_mol;
    u->power[base] = 0;
    u->power[BF__BASE_EQ] = 1;
}

/* The basis called `name`; BF_BASIS_NONE where there is none of that name. */
static bf_basis find_basis(const char *name, size_t length, const struct carrier **carrier,
                           bf_ion *ion)
{
    *ion = BF_ION_COUNT;
    for (size_t i = 0; i < CARRIER_COUNT; i++) {
        if (strlen(carriers[i].name) == length && strncmp(name, carriers[i].name, length) == 0) {
            *carrier = &carriers[i];
            return BF_BASIS_EQUIVALENT;
        }
    }
    if ((length == 3 && strncmp(name, "ion", 3) == 0) ||
        (length == 7 && strncmp(name, "the ion", 7) == 0)) {
        return BF_BASIS_ION;
    }
    for (int i = 0; i < BF_ION_COUNT; i++) {
        const char *symbol = bf_ion_get((bf_ion)i)->symbol;
        if (strlen(symbol) == length && strncmp(name, symbol, length) == 0) {
            *ion = (bf_ion)i;
            return BF_BASIS_NAMED_ION;
        }
    }
    return BF_BASIS_NONE;
}

static bf_status read_basis(scan *s, scale *out)
{
    const char *start = s->cursor;
    s->cursor += strlen("as");
    skip_space(s);
    const char *name = s->cursor;
    s->cursor += strlen(s->cursor);
    size_t length = (size_t)(s->cursor - name);
    while (length > 0 && strchr(" \t\n", name[length - 1]) != NULL) {
        length--;
    }
    const struct carrier *carrier = NULL;
    out->basis = find_basis(name, length, &carrier, &out->named_ion);
    if (out->basis == BF_BASIS_NONE) {
        return fail_at(s, name,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "unknown basis '%.*s'; write as CaCO3, as CaO, as ion, or as "
                                    "with the symbol of an ion, such as as Fe",
                                    shown_length(name, length), name));
    }
    int base = counted_base(out);
    if (base != BF__BASE_COUNT && carrier != NULL) {
        count_equivalents(out, base, carrier);
        return BF_OK;
    }
    /* "5 gpg as CaCO3" says the same twice. */
    if (base != BF__BASE_COUNT || (carrier != NULL && out->power[BF__BASE_EQ] == 1)) {
        return BF_OK;
    }
    return fail_at(s, start,
                   bf_error_set(s->err, BF_E_INPUT, parse_name,
                                "'as %.*s' goes with a mass or an amount, as in mg/L; %s",
                                shown_length(name, length), name,
                                out->power[BF__BASE_EQ] != 0
                                    ? "this unit counts equivalents already"
                                    : "the unit before it is neither"));
}

/* A whole quantity: number, unit, basis. */
static bf_status read_scaled(scan *s, double *number, scale *out)
{
    *out = (scale){.factor = 1.0, .named_ion = BF_ION_COUNT};
    int names = 0;
    skip_space(s);
    bf_status status = read_number(s, number);
    if (status == BF_OK) {
        status = read_unit(s, &names, out);
    }
    if (status == BF_OK && *s->cursor != '\0') {
        status = read_basis(s, out);
    }
    return status;
}

/* The kind of quantity that has these powers; BF_DIMENSION_COUNT if none has. */
static bf_dimension find_dimension(const scale *u)
{
    for (int d = 0; d < BF_DIMENSION_COUNT; d++) {
        const char *si_unit = bf_dimension_get((bf_dimension)d)->si_unit;
        scan s = {.text = si_unit, .cursor = si_unit, .unit_limit = bf_unit_count(), .err = NULL};
        scale si = {.factor = 1.0};
        int names = 0;
        bf_status status = read_unit(&s, &names, &si);
        assert(status == BF_OK); /* as in expand() */
        (void)status;
        if (memcmp(si.power, u->power, sizeof si.power) == 0) {
            return (bf_dimension)d;
        }
    }
    return BF_DIMENSION_COUNT;
}

static bf_status parse(scan *s, bf_quantity *out)
{
    double number = 0.0;
    scale u;
    bf_status status = read_scaled(s, &number, &u);
    if (status != BF_OK) {
        return status;
    }
    bf_dimension dimension = find_dimension(&u);
    if (dimension == BF_DIMENSION_COUNT) {
        return fail_at(s, s->text,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "the unit, though made of known ones, is one of no quantity "
                                    "that is asked for anywhere"));
    }
    double value = (number + u.zero) * u.factor;
    if (!isfinite(value)) {
        return fail_at(s, s->text,
                       bf_error_set(s->err, BF_E_INPUT, parse_name,
                                    "the number is too large or too small to compute with, in %s",
                                    bf_dimension_get(dimension)->si_unit));
    }
    *out = (bf_quantity){value, dimension, u.basis, u.named_ion};
    return BF_OK;
}

bf_status bf_quantity_parse(const char *text, bf_quantity *out, bf_error *err)
{
    assert(text != NULL && out != NULL);
    /* A decimal point is a point here, whatever LC_NUMERIC says elsewhere in the program. */
    locale_t plain = newlocale(LC_NUMERIC_MASK, "C", (locale_t)0);
    if (plain == (locale_t)0) {
        return bf_error_set(err, BF_E_MEMORY, parse_name, "no memory for the C locale");
    }
    locale_t callers = uselocale(plain);
    scan s = {.text = text, .cursor = text, .unit_limit = bf_unit_count(), .err = err};
    bf_status status = parse(&s, out);
    (void)uselocale(callers);
    freelocale(plain);
    return status;
}
