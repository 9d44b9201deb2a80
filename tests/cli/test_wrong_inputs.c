/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* nftw(), for run.h */

/* Wrong inputs, each with what the program says to it: exit code 2, nothing on standard output, a
 * sentence at a line and column.
 *
 *     cli.wrong_inputs           runs them, and compares with wrong-inputs.md
 *     cli.wrong_inputs --write   writes wrong-inputs.md */
#include "run.h"

#include <time.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

#define PAGE BF_SOURCE_DIR "/tests/cli/wrong-inputs.md"

/* However large or strange the file, a refusal is a matter of reading a megabyte at the most. The
 * bound leaves room for sanitizers and a busy machine; hanging and reading 100 MB are far beyond.
 */
enum { SECONDS_MOST = 10 };

typedef struct wrong_input {
    const char *name;
    const char *text;  /* of the file; NULL: a function makes it */
    long line, column; /* 0: the finding is about the file or the case as a whole */
    const char *part;  /* of what is printed behind the place */
} wrong_input;

/* A file that no text makes. */
typedef struct wrong_file {
    int (*make)(const char *path); /* nonzero when there is such a file now */
    wrong_input input;
} wrong_file;

static int make_directory(const char *path)
{
    return mkdir(path, 0700) == 0;
}

static int make_pipe(const char *path)
{
    return mkfifo(path, 0600) == 0;
}

static int make_nothing(const char *path)
{
    (void)path;
    return 1;
}

static int make_large(const char *path)
{
    FILE *file = fopen(path, "w");
    int success = file != NULL && fputs("water:\n", file) >= 0;
    success = file != NULL && fclose(file) == 0 && success;
    return success && truncate(path, 100000000) == 0;
}

/* Root reads every file; then there is nothing to try. */
static int make_unreadable(const char *path)
{
    FILE *file = fopen(path, "w");
    return geteuid() != 0 && file != NULL && fclose(file) == 0 && chmod(path, 0) == 0;
}

static int make_endless_link(const char *path)
{
    return symlink(path, path) == 0;
}

static int write_bytes(const char *path, const char *bytes, size_t length)
{
    FILE *file = fopen(path, "w");
    int success = file != NULL && fwrite(bytes, 1, length, file) == length;
    return file != NULL && fclose(file) == 0 && success;
}

static int make_program(const char *path)
{
    static const char bytes[] = "\177ELF\2\1\1\0\0\0";
    return write_bytes(path, bytes, sizeof bytes);
}

static int make_zero(const char *path)
{
    static const char bytes[] = "water:\0\n";
    return write_bytes(path, bytes, sizeof bytes - 1);
}

#define WATER "water: {hardness: 317 mg/L as CaCO3}\n"
#define BED "bed: {diameter: 0.3 m, depth: 0.8 m}\n"
#define STEPS_22                                                                                   \
    "brine, hold, hold, hold, hold, hold, hold, hold, hold, hold, hold, hold, hold, hold, hold, "  \
    "hold, hold, hold, hold, hold, hold, hold"

static const wrong_file files[] = {
    {make_nothing, {"a file that is not there", NULL, 0, 0, "No such file or directory"}},
    {make_directory, {"a directory", NULL, 0, 0, "this is a directory, not a case file"}},
    {make_pipe, {"a named pipe nobody writes to", NULL, 0, 0, "this is not a regular file"}},
    {make_unreadable, {"a file without permission to read it", NULL, 0, 0, "Permission denied"}},
    {make_endless_link, {"a link to itself", NULL, 0, 0, "the file cannot be opened"}},
    {make_large, {"a file of 100 MB", NULL, 0, 0, "larger than 1048576 bytes"}},
    {make_program, {"a program instead of a text", NULL, 1, 1, "control character 0x7F"}},
    {make_zero, {"a zero byte", NULL, 1, 7, "zero byte"}},
};

static const wrong_input texts[] = {
    /* ---- files ---- */
    {"an empty file", "", 1, 1, "the case file is empty"},
    {"nothing but a comment", "# to be written\n", 1, 1, "the case file is empty"},
    {"Latin-1 instead of UTF-8", "title: Brunnen am H\366henweg\n", 1, 20, "not in UTF-8"},
    {"two documents", WATER BED "---\n" WATER BED, 3, 1, "a second document begins here"},
    {"a list at the top", "- hardness\n", 1, 1, "begins with a key and a colon"},
    {"a sentence", "Please size a softener.\n", 1, 1, "begins with a key and a colon"},

    /* ---- YAML ---- */
    {"a tab that indents", "water:\n\thardness: 317 mg/L as CaCO3\n" BED, 2, 1, "use spaces"},
    {"an anchor", "water: {hardness: &h 317 mg/L as CaCO3}\n" BED, 1, 19, "an anchor (&)"},
    {"an alias", WATER BED "service: {flow: *f}\n", 3, 17, "an alias (*)"},
    {"a tag", WATER BED "service: {flow: !!float 3}\n", 3, 17, "a tag (!)"},
    {"a bracket left open", WATER BED "regeneration: {doses: [5 lb/ft3}\n", 3, 32, "not YAML"},
    {"keys that are not indented alike", "water:\n  hardness: 20 gpg\n   pH: 7\n" BED, 3, 6,
     "indent keys of one mapping alike"},
    {"a section within itself without end", "a: {a: {a: {a: {a: {a: {a: 1}}}}}}\n", 1, 24,
     "nested more than 6 deep"},

    /* ---- keys ---- */
    {"a key misspelt", "water: {hardnes: 20 gpg}\n" BED, 1, 9, "did you mean water.hardness?"},
    {"a key nobody knows", WATER BED "numerics: {colour: red}\n", 3, 12, "docs/case-keys.md"},
    {"a key in the wrong section", WATER BED "bed_depth: 1 m\n", 3, 1, "did you mean bed.depth?"},
    {"a key stated twice", "water:\n  hardness: 20 gpg\n  hardness: 25 gpg\n" BED, 3, 3,
     "stated twice; first in line 2"},
    {"a section stated twice", WATER BED "water: {pH: 7}\n", 3, 1, "stated twice"},
    {"a value where a section is expected", WATER BED "service: 20 BV/h\n", 3, 1,
     "a section, not a value: its keys, such as flow"},
    {"a list where a value is expected", WATER BED "service: {flow: [20 BV/h, 30 BV/h]}\n", 3, 18,
     "a list where one value is expected"},
    {"a mapping where a value is expected", WATER BED "service: {flow: {value: 20 BV/h}}\n", 3, 18,
     "service.flow takes a value"},
    {"a key without a value", WATER BED "service:\n  flow:\n", 4, 8, "has no value"},
    {"a section without keys", WATER BED "service: {}\n", 3, 10, "is empty"},

    /* ---- numbers and units ---- */
    {"a unit left out", WATER BED "service: {flow: 20}\n", 3, 17, "flow: BV/h, gpm"},
    {"a unit behind ' #', which begins a comment", WATER BED "service:\n  flow: 20 # BV/h\n", 4, 9,
     "flow: BV/h, gpm"},
    {"hardness without 'as CaCO3'", "water: {hardness: 317 mg/L}\n" BED, 1, 19, "as CaCO3"},
    {"hardness in ppm", "water: {hardness: 317 ppm}\n" BED, 1, 19, "needs a basis"},
    {"a unit misspelt", WATER BED "service: {flow: 6 gpmm}\n", 3, 19, "did you mean 'gpm'?"},
    {"mass where a flow is expected", WATER BED "service: {flow: 6 kg}\n", 3, 17, "take flow"},
    {"a pressure where a depth is expected", WATER "bed: {diameter: 0.3 m, depth: 3 bar}\n", 2, 31,
     "wanted: length"},
    {"a word where a number is expected", WATER BED "service: {flow: fast}\n", 3, 17, "number"},
    {"NaN", WATER BED "service: {flow: nan BV/h}\n", 3, 17, "number"},
    {"infinity", WATER BED "service: {flow: inf BV/h}\n", 3, 17, "number"},
    {"a hexadecimal number", WATER BED "service: {flow: 0x14 BV/h}\n", 3, 18,
     "a number is decimal"},
    {"a decimal comma", WATER "bed: {diameter: 0.3 m, depth: '0,8 m'}\n", 2, 33,
     "decimal point and no comma"},
    {"a comma between thousands", WATER BED "service: {volume: '1,200 gal'}\n", 3, 21,
     "decimal point and no comma"},
    {"a number too large for any machine", WATER BED "service: {flow: 1e999 BV/h}\n", 3, 17, ""},
    {"a number too small for any machine", WATER BED "service: {flow: 1e-999 BV/h}\n", 3, 17, ""},
    {"two numbers", WATER BED "service: {flow: 5 6 gpm}\n", 3, 19, ""},
    {"a range", WATER BED "service: {flow: 5-6 gpm}\n", 3, 18, ""},
    {"a fraction of a whole number", WATER BED "numerics: {cells: 120.5}\n", 3, 19,
     "is not a whole number"},
    {"percent of nothing", WATER BED "regeneration: {slow_rinse_volume: 2}\n", 3, 35,
     "write \"2 BV\""},

    /* ---- ranges ---- */
    {"a negative flow", WATER BED "service: {flow: -5 gpm}\n", 3, 17, "out of range"},
    {"a flow of zero", WATER BED "service: {flow: 0 gpm}\n", 3, 17, "0.01 BV/h to 1000 BV/h"},
    {"a flow beyond every bed", WATER BED "service: {flow: 1001 BV/h}\n", 3, 17, "out of range"},
    {"a bed of 11 m", WATER "bed: {diameter: 11 m, depth: 0.8 m}\n", 2, 17, "1 cm to 10 m"},
    {"a bed of 9 mm", WATER "bed: {diameter: 0.3 m, depth: 9 mm}\n", 2, 31, "1 cm to 10 m"},
    {"no hardness to speak of", "water: {hardness: 0 gpg}\n" BED, 1, 19, "1 mg/L as CaCO3 to"},
    {"a pH of 14.5", "water: {hardness: 20 gpg, pH: 14.5}\n" BED, 1, 31, "4 to 11"},
    {"ice", "water: {hardness: 20 gpg, temperature: 31 F}\n" BED, 1, 40, "0 C to 50 C"},
    {"ice, with potassium chloride",
     "water: {hardness: 20 gpg, temperature: -1 C}\n" BED "regeneration: {salt: KCl}\n", 1, 40,
     "0 C to 50 C"},
    {"hot water", "water: {hardness: 20 gpg, temperature: 60 C}\n" BED, 1, 40, "0 C to 50 C"},
    {"more iron than a softener is for", "water: {hardness: 20 gpg, iron: 51 mg/L}\n" BED, 1, 33,
     "0 mg/L to 50 mg/L"},
    {"a dose of zero", WATER BED "regeneration: {doses: [0 lb/ft3]}\n", 3, 24, "1 g/L to 1000 g/L"},
    {"a dose of zero in one text", WATER BED "regeneration: {doses: 5 0 lb/ft3}\n", 3, 23,
     "1 to 1000 g/L"},
    {"doses without a unit", WATER BED "regeneration: {doses: '5, 10'}\n", 3, 24, "lb/ft3 or g/L"},
    {"a salt nobody regenerates with", WATER BED "regeneration: {salt: KBr}\n", 3, 22,
     "the choices are: NaCl KCl sea_water"},
    {"a resin nobody knows", WATER BED "resin: {record: gel_9}\n", 3, 17, "gel_8 gel_10"},

    /* ---- what only the whole can tell ---- */
    {"no hardness", "water: {pH: 7}\n" BED, 1, 13, "no hardness is stated"},
    {"no bed", WATER, 0, 0, "state bed.diameter and bed.depth, or bed.resin_volume"},
    {"half a bed", WATER "bed: {depth: 0.8 m}\n", 0, 0, "two of them are needed"},
    {"a bed stated thrice, and not alike",
     WATER "bed: {diameter: 0.3 m, depth: 0.8 m, resin_volume: 2.5 ft3}\n", 2, 52,
     "contradicts diameter and depth, which make 56.55 L"},
    {"hardness against calcium and magnesium",
     "water: {calcium: 80 mg/L, magnesium: 20 mg/L, hardness: 30 gpg}\n" BED, 1, 18, "sum to"},
    /* cations 8, anions 10 meq/L: 2/18 */
    {"an analysis out of balance by 11 %",
     "water:\n  calcium: 4 meq/L\n  magnesium: 2 meq/L\n  sodium: 2 meq/L\n"
     "  alkalinity: 6 meq/L\n  chloride: 3 meq/L\n  sulfate: 1 meq/L\n" BED,
     2, 12, "anions are in excess by 11.1 %"},
    {"an end point at the feed", WATER BED "service: {end_point: 317 mg/L as CaCO3}\n", 3, 22,
     "not below the hardness of the feed"},
    {"an end point above the feed", WATER BED "service: {end_point: 19 gpg}\n", 3, 22,
     "not below the hardness of the feed"},
    {"an end point below zero", WATER BED "service: {end_point: -1 gpg}\n", 3, 22, "out of range"},
    {"stop_at below end_point", WATER BED "service: {end_point: 2 gpg, stop_at: 1 gpg}\n", 3, 38,
     "stop_at is not above end_point"},
    /* Saturated brine is 26.33 wt% at 5 C, and KCl's 22.7. */
    {"more salt than dissolves",
     "water: {hardness: 20 gpg, temperature: 5 C}\n" BED
     "regeneration: {brine_strength: 26.5 wt%}\n",
     3, 32, "26.3"},
    {"more potassium chloride than dissolves",
     "water: {hardness: 20 gpg, temperature: 5 C}\n" BED
     "regeneration: {salt: KCl, brine_strength: 24 wt%}\n",
     3, 43, "22."},
    {"brine beyond 100 salometer degrees",
     WATER BED "regeneration: {brine_strength: 104 salometer}\n", 3, 32, ""},
    {"a vessel too low for the backwash",
     WATER "bed: {diameter: 0.3 m, depth: 0.8 m, freeboard: 10 cm}\n"
           "regeneration: {backwash_flow: 12 m/h}\n",
     3, 31, "resin would be lost"},
    {"a backwash that carries the beads away",
     WATER BED "resin: {bead_diameter: 0.5 mm}\nregeneration: {backwash_flow: 100 m/h}\n", 4, 31,
     "carry the beads out of the vessel; lower"},

    /* ---- regeneration ---- */
    {"an injector and its result",
     WATER BED "regeneration: {draw_flow: 1 BV/h, brine_flow: 4 BV/h}\n", 3, 27,
     "leave out brine_flow and brine_strength, or draw_flow"},
    {"the strength drawn by no injector", WATER BED "regeneration: {draw_strength: 20 wt%}\n", 3,
     31, "state draw_flow too"},
    {"an injector for sea water", WATER BED "regeneration: {salt: sea_water, draw_flow: 1 BV/h}\n",
     3, 44, "brine_flow in place of"},
    {"sea water of another strength",
     WATER BED "regeneration: {salt: sea_water, brine_strength: 10 wt%}\n", 3, 49,
     "leave brine_strength"},
    {"sea water dissolved in water",
     WATER BED "regeneration: {salt: sea_water, brine_water: raw}\n", 3, 46,
     "leave brine_water out"},
    {"blocking flow where nothing flows up", WATER BED "regeneration: {blocking_flow: 2 BV/h}\n", 3,
     31, "set direction: counter-current"},
    {"steps in one word", WATER BED "regeneration: {steps: brine}\n", 3, 23, "steps is a list"},
    {"steps that are no list", WATER BED "regeneration: {steps: {step: brine}}\n", 3, 24,
     "steps is a list"},
    {"a step of a kind nobody knows", WATER BED "regeneration: {steps: [brine, rest]}\n", 3, 31,
     "the choices are: backwash brine hold slow_rinse fast_rinse refill"},
    {"an item of that kind", WATER BED "regeneration: {steps: [{step: rest}]}\n", 3, 31,
     "the choices are: backwash"},
    {"an item that is no step",
     WATER BED "regeneration:\n  steps:\n    - brine\n    - flow: 3 m/h\n", 6, 13,
     "does not say which step"},
    {"an item with a key nobody knows",
     WATER BED "regeneration: {steps: [{step: brine, flwo: 3 m/h}]}\n", 3, 38, "did you mean"},
    {"a list in a list", WATER BED "regeneration: {steps: [[brine]]}\n", 3, 16,
     "a list where none is expected"},
    {"steps below a list of regenerations", WATER BED "regeneration: [{steps: {step: brine}}]\n", 3,
     25, "a list where none is expected"},
    {"24 steps", WATER BED "regeneration: {steps: [" STEPS_22 ", hold, refill]}\n", 3, 163,
     "23 are the most"},
    {"steps without brine", WATER BED "regeneration: {steps: [backwash, fast_rinse]}\n", 3, 24,
     "no brine is among the steps"},
    {"a hold of no length", WATER BED "regeneration: {steps: [brine, hold]}\n", 3, 31,
     "a hold needs a time"},
    {"a hold with a flow",
     WATER BED "regeneration: {steps: [brine, {step: hold, time: 1 h, flow: 3 m/h}]}\n", 3, 61,
     "means nothing in a hold step"},
    {"a backwash with a strength",
     WATER BED "regeneration: {steps: [{step: backwash, strength: 9 wt%}, brine]}\n", 3, 51,
     "means nothing in a backwash step"},
    {"a brine with a volume", WATER BED "regeneration: {steps: [{step: brine, volume: 1 BV}]}\n", 3,
     46, "means nothing in a brine step"},
    {"a rinse with volume and time",
     WATER BED "regeneration: {steps: [brine, {step: fast_rinse, volume: 1 BV, time: 3 min}]}\n", 3,
     70, "leave out volume or time"},
    {"refill after sea water",
     WATER BED "regeneration: {salt: sea_water, steps: [brine, refill]}\n", 3, 48,
     "needs no refill"},
    {"a brine of an item too strong",
     WATER BED "regeneration: {steps: [brine, {step: brine, strength: 26.9 wt%}]}\n", 3, 55,
     "26.4"},
    {"a backwash of an item too fast",
     WATER BED "regeneration: {steps: [{step: backwash, flow: 30 m/h}, brine]}\n", 3, 47,
     "resin would be lost"},
    {"the beginning of a key", WATER BED "resin: {uniformity: 1.6}\n", 3, 9,
     "did you mean resin.uniformity_coefficient?"},
    {"more shells than there is room for",
     WATER BED "resin: {uniformity_coefficient: 1.6}\nnumerics: {shells: 13, bead_classes: 4}\n", 4,
     20, "13 shells in each of 4 classes of beads; there is room for 48 in all"},

    /* ---- campaigns ---- */
    {"a campaign without its water", WATER BED "campaign:\n  duration: 3 years\n", 4, 3,
     "a campaign needs the water that the bed treats in a day"},
    {"regenerations by time and by water",
     WATER BED "campaign: {water_per_day: 12 BV, days_between: 2 days, water_between: 30 BV}\n", 3,
     71, "leave one of the two out"},
    {"more water than the bed can take in a day", WATER BED "campaign: {water_per_day: 500 BV}\n",
     3, 27, "raise service.flow, or lower this"},
    {"more oxygen than water holds",
     "water: {hardness: 317 mg/L as CaCO3, oxygen: 12 mg/L}\n" BED
     "campaign: {water_per_day: 12 BV}\n",
     1, 46, "more than water of 20 C holds under air"},
    {"a pH that the laws of iron do not cover",
     "water: {hardness: 317 mg/L as CaCO3, pH: 9.8}\n" BED "campaign: {water_per_day: 12 BV}\n", 1,
     42, "the laws of iron cover 5 to 9"},
    {"a day that no calendar has",
     WATER BED "campaign: {water_per_day: 12 BV, start: 2021-02-30}\n", 3, 41,
     "\"2021-02-30\" is not a date"},
    {"a cleaning with nothing",
     WATER BED "campaign: {water_per_day: 12 BV, cleaning: {every: 6 months}}\n", 3, 52,
     "state campaign.cleaning.agent"},
    {"a season alone",
     WATER BED "campaign: {water_per_day: 12 BV, seasons: [{from: 06-01, temperature: 18 C}]}\n", 3,
     51, "one season lasts all year"},
    {"a season that begins when another does",
     WATER BED "campaign: {water_per_day: 12 BV, seasons: [{from: 06-01}, {from: 06-01, pH: 7}]}\n",
     3, 66, "another season begins on this day"},
    {"a parameter of iron beyond belief",
     WATER BED "campaign: {water_per_day: 12 BV, parameter: {ageing_factor: 11}}\n", 3, 61,
     "accepted are 0.1 to 10"},
/* ---- vessels ---- */
#define FEED "water: {hardness: 20 gpg}\n"
    {"a vessel of no common size", FEED "tank: {size: 10x55}\n", 2, 14,
     "\"10x55\" is not a choice"},
    {"a size and a height", FEED "tank: {size: 10x54, height: 54 in}\n", 2, 29,
     "tank.size says the height"},
    {"a diameter that is not that of the size", FEED "bed: {diameter: 9 in}\ntank: {size: 10x54}\n",
     2, 17, "0.254 m (10 in) across"},
    {"a freeboard beside a vessel's height", FEED "bed: {freeboard: 50 %}\ntank: {size: 10x54}\n",
     2, 18, "the vessel's height says how much room"},
    {"a depth and a volume beside a size",
     FEED "bed: {depth: 30 in, resin_volume: 1.5 ft3}\ntank: {size: 10x54}\n", 2, 35,
     "one of the two"},
    {"a loss without its flow", FEED "tank: {size: 10x54, valve_loss: 2 psi}\n", 2, 33,
     "a loss belongs to a flow"},
    {"resin that does not fit", FEED "bed: {resin_volume: 2.5 ft3}\ntank: {size: 10x54}\n", 3, 14,
     "fill in at most"},
    {"a backwash without room", FEED "tank: {size: 10x54, expansion: 70 %}\n", 2, 32,
     "want at most that"},
    {"a backwash that takes resin along in winter",
     FEED "tank: {size: 10x54, coldest: 38 F}\nregeneration: {backwash_flow: 3 gpm}\n", 3, 31,
     "backwash with at most"},
    {"a drain too small", FEED "tank: {size: 10x54, drain_flow: 1 gpm}\n", 2, 33,
     "and the drain takes"},
    {"a flow of the service beyond the pressure",
     FEED "service: {flow: 36 gpm}\ntank: {size: 10x54}\n", 2, 17,
     "breaks the limit of pressure drop"},
    {"a peak flow beyond the pressure",
     FEED "tank: {size: 10x54, peak_flow: 3 gpm, pressure_limit: 1 psi}\n", 2, 32,
     "breaks the limit of pressure drop"},
    {"an average above the peak",
     FEED "tank: {size: 10x54, peak_flow: 2 gpm, average_flow: 3 gpm}\n", 2, 53,
     "more than the peak flow"},
    {"seasons the wrong way round", FEED "tank: {size: 10x54, coldest: 60 F, warmest: 50 F}\n", 2,
     30, "the coldest water is warmer"},
    {"a blend as hard as the feed", FEED "tank: {size: 10x54, blend: 20 gpg}\n", 2, 28,
     "not below the hardness of the feed"},
    {"a rating without a vessel",
     FEED "bed: {resin_volume: 1 ft3}\nrating: {protocol: published_test}\n", 3, 20,
     "add a section `tank`"},
    {"three beds in turn", FEED "tank: {size: 10x54, beds: 3}\n", 2, 27, "out of range"},
    {"a pressure without a unit", FEED "tank: {size: 10x54, pressure_limit: 15}\n", 2, 37, "psi"},
#undef FEED
};

/* ---- running them ---------------------------------------------------------------------------- */

enum { INPUTS = COUNT(files) + COUNT(texts) };

static const wrong_input *input_at(size_t i)
{
    return i < COUNT(files) ? &files[i].input : &texts[i - COUNT(files)];
}

static int make_input(size_t i, const char *path)
{
    const char *text = input_at(i)->text;
    return text == NULL ? files[i].make(path) : write_bytes(path, text, strlen(text));
}

/* The text with every `from` made "case.yaml": what is printed does not depend on where it ran. */
static void rename_file(const char *text, const char *source, char *target, size_t room)
{
    size_t length = 0;
    target[0] = '\0';
    while (*text != '\0' && length + 16 < room) {
        if (strncmp(text, source, strlen(source)) == 0) {
            length += (size_t)snprintf(target + length, room - length, "case.yaml");
            text += strlen(source);
        } else {
            target[length++] = *text++;
            target[length] = '\0';
        }
    }
}

/* What the program says, "" where the input could not be made; its exit code. */
static int try_input(size_t i, const char *directory, char *message, size_t room)
{
    char path[400];
    (void)snprintf(path, sizeof path, "%s/%zu.yaml", directory, i);
    message[0] = '\0';
    if (!make_input(i, path)) {
        return -1;
    }
    static outcome r;
    run_at(directory, (place){0}, (const char *const[]){"check", path, NULL}, &r);
    rename_file(r.err, path, message, room);
    ck_assert_msg(r.out[0] == '\0', "%s: printed: %s", input_at(i)->name, r.out);
    return r.code;
}

START_TEST(every_wrong_input_is_refused_at_its_place)
{
    size_t tried = 0;
    size_t wrong = 0;
    double slowest_s = 0.0;
    char directory[300];
    run_make_directory(directory);
    for (size_t i = 0; i < INPUTS; i++) {
        const wrong_input *input = input_at(i);
        char message[4000];
        char begin[64] = "case.yaml: ";
        struct timespec source, target;
        (void)clock_gettime(CLOCK_MONOTONIC, &source);
        int code = try_input(i, directory, message, sizeof message);
        (void)clock_gettime(CLOCK_MONOTONIC, &target);
        if (code == -1) {
            ck_assert_msg(geteuid() == 0 && input->text == NULL && files[i].make == make_unreadable,
                          "%s", input->name);
            (void)printf("not tried, as root: %s\n", input->name);
            continue;
        }
        double took_s = difftime(target.tv_sec, source.tv_sec) +
                        1e-9 * (double)(target.tv_nsec - source.tv_nsec);
        slowest_s = took_s > slowest_s ? took_s : slowest_s;
        tried++;
        if (input->line > 0) {
            (void)snprintf(begin, sizeof begin, "case.yaml:%ld:%ld: ", input->line, input->column);
        }
        const char *cursor = strstr(message, begin);
        if (code != 2 || cursor == NULL || strstr(cursor, input->part) == NULL) {
            (void)printf("%s: exit %d, expected \"%s\" with \"%s\":\n%s", input->name, code, begin,
                         input->part, message);
            wrong++;
        }
    }
    (void)printf("%zu wrong inputs tried, %zu not refused as they should be; the slowest took %.2f "
                 "s\n",
                 tried, wrong, slowest_s);
    ck_assert_uint_ge(tried, 60);
    ck_assert_uint_eq(wrong, 0);
    ck_assert_double_lt(slowest_s, SECONDS_MOST);
}
END_TEST

START_TEST(no_input_is_there_twice)
{
    for (size_t i = 0; i < INPUTS; i++) {
        for (size_t other = 0; other < i; other++) {
            ck_assert_str_ne(input_at(i)->name, input_at(other)->name);
            ck_assert(input_at(i)->text == NULL || input_at(other)->text == NULL ||
                      strcmp(input_at(i)->text, input_at(other)->text) != 0);
        }
    }
}
END_TEST

/* Without what is wrong, the case of most entries is a good one: or they would prove nothing. */
START_TEST(what_stands_around_is_good)
{
    char directory[300];
    char path[400];
    static outcome r;
    run_make_directory(directory);
    (void)snprintf(path, sizeof path, "%s/good.yaml", directory);
    write_file(path, WATER BED);
    run_at(directory, (place){0}, (const char *const[]){"check", path, NULL}, &r);
    ck_assert_int_eq(r.code, 0);
    ck_assert_str_eq(r.err, "");
}
END_TEST

/* ---- the page -------------------------------------------------------------------------------- */

/* Indented, so that Markdown leaves it alone. */
static void print_text(FILE *out, const char *text)
{
    int is_start = 1;
    for (; *text != '\0'; text++) {
        unsigned char c = (unsigned char)*text;
        (void)fputs(is_start ? "    " : "", out);
        is_start = c == '\n';
        if (c == '\n') {
            (void)fputc(c, out);
        } else if (c == '\t') {
            (void)fputs("<tab>", out);
        } else if (c < ' ' || c > '~') {
            (void)fprintf(out, "<%02X>", (unsigned)c);
        } else {
            (void)fputc(c, out);
        }
    }
    (void)fputs(is_start ? "" : "\n", out);
}

static void print_said(FILE *out, const char *message)
{
    for (const char *line = message; *line != '\0';) {
        size_t width = strcspn(line, "\n");
        (void)fprintf(out, "    %.*s\n", (int)width, line);
        line += width + (line[width] == '\n');
    }
}

static void print_page(FILE *out, const char *directory)
{
    (void)fputs(
        "<!-- Written by cli.wrong_inputs with --write; a test fails when it is stale. -->\n"
        "# Wrong inputs and what `brinefront check` says to them\n\n"
        "Every one ends with exit code 2. The table is in test_wrong_inputs.c.\n",
        out);
    for (size_t i = 0; i < INPUTS; i++) {
        char message[4000];
        (void)fprintf(out, "\n## %s\n\n", input_at(i)->name);
        int code = try_input(i, directory, message, sizeof message);
        if (input_at(i)->text != NULL && input_at(i)->text[0] != '\0') {
            print_text(out, input_at(i)->text);
            (void)fputs("\nsays\n\n", out);
        }
        if (code == -1) { /* as root */
            (void)snprintf(message, sizeof message,
                           "case.yaml: case.yaml: the file cannot be opened: Permission denied\n");
        }
        print_said(out, message);
    }
}

START_TEST(the_page_is_what_the_program_says_now)
{
    static char listing[200000];
    char *now = NULL;
    size_t size = 0;
    char directory[300];
    run_make_directory(directory);
    FILE *out = open_memstream(&now, &size);
    ck_assert_ptr_nonnull(out);
    print_page(out, directory);
    ck_assert_int_eq(fclose(out), 0);
    FILE *page = fopen(PAGE, "r");
    ck_assert_msg(page != NULL, "%s is not there", PAGE);
    size_t length = fread(listing, 1, sizeof listing, page);
    ck_assert_int_eq(fclose(page), 0);
    size_t same = 0;
    while (same < length && same < size && listing[same] == now[same]) {
        same++;
    }
    char next[200];
    (void)snprintf(next, sizeof next, "%s", now + same);
    free(now);
    ck_assert_msg(length == size && same == size,
                  "%s is stale from byte %zu on; run this program with --write. Now: %s", PAGE,
                  same, next);
}
END_TEST

/* No test, but what is said on the way is checked like one. */
START_TEST(write_the_page)
{
    char directory[300];
    run_make_directory(directory);
    FILE *out = fopen(PAGE, "w");
    ck_assert_ptr_nonnull(out);
    print_page(out, directory);
    ck_assert_int_eq(fclose(out), 0);
}
END_TEST

int main(int argc, char **argv)
{
    const TTest *const tests[] = {every_wrong_input_is_refused_at_its_place,
                                  no_input_is_there_twice, what_stands_around_is_good,
                                  the_page_is_what_the_program_says_now};
    char root[256];
    if (!run_make_root(root)) {
        perror("no directory for the files of the tests");
        return EXIT_FAILURE;
    }
    const TTest *const writing[] = {write_the_page};
    int writes = argc > 1 && strcmp(argv[1], "--write") == 0;
    int code = support_run("cli.wrong_inputs", writes ? writing : tests,
                           writes ? COUNT(writing) : COUNT(tests), 120);
    return run_remove_root(root) ? code : EXIT_FAILURE;
}
