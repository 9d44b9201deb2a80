/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from a case, by hand; and that leaving each range of practice is noticed, from
 * either side, while a usual case earns no caution. */
#include "brinefront/case.h"
#include "brinefront/practice.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A usual softener within every published range: 30 in of resin, 15 BV/h, 8 lb/ft3. Invented. */
static const char usual[] = "water: {hardness: 17 gpg, temperature: 20 C}\n"
                            "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n"
                            "service: {flow: 15 BV/h}\n"
                            "regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h}\n";

static void read_case(const char *text, bf_case *out)
{
    bf_error err = {0};
    assert_ok(bf_case_read_text(text, strlen(text), "test", out, NULL, &err));
}

/* The cautions on a case, joined. */
static void cautions(const char *text, char *joined, size_t room)
{
    bf_error err = {0};
    bf_case input;
    bf_notes *notes = NULL;
    joined[0] = '\0';
    read_case(text, &input);
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(
        bf_practice_notes(&input.rating, input.dose_kg_per_m3, input.dose_count, notes, &err));
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        ck_assert_int_eq(note.kind, BF_NOTE_CAUTION);
        size_t length = strlen(joined);
        (void)snprintf(joined + length, room - length, "%s: %s\n", note.where, note.text);
    }
    bf_notes_free(notes);
}

START_TEST(a_usual_case_earns_no_caution)
{
    char joined[4000];
    cautions(usual, joined, sizeof joined);
    ck_assert_str_eq(joined, "");
}
END_TEST

START_TEST(leaving_practice_is_noticed)
{
    static const struct {
        const char *text;
        const char *where;
        const char *says;
    } table[] = {
        {"bed: {diameter: 12 in, depth: 20 in, freeboard: 80 %}", "bed.depth", "below practice"},
        {"bed: {diameter: 1 m, depth: 4.5 m, freeboard: 80 %}", "bed.depth", "above practice"},
        {"bed: {diameter: 12 in, depth: 30 in, freeboard: 45 %}", "bed.freeboard",
         "below practice"},
        {"bed: {diameter: 12 in, depth: 30 in, freeboard: 130 %}", "bed.freeboard",
         "above practice"},
        {"service: {flow: 6 BV/h}", "service.flow", "below practice"},
        {"service: {flow: 45 BV/h}", "service.flow", "above practice"},
        {"service: {flow: 55 m/h}", "service.flow", "m/h"},
        {"regeneration: {doses: 3.5 lb/ft3, backwash_flow: 14 m/h}", "doses, 3.5 lb/ft3",
         "below practice"},
        {"regeneration: {doses: [8 lb/ft3, 22 lb/ft3], backwash_flow: 14 m/h}", "doses, 22 lb/ft3",
         "above practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, brine_strength: 4 wt%}",
         "brine_strength", "below practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, brine_strength: 24 wt%}",
         "brine_strength", "above practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, brine_flow: 1.5 BV/h}",
         "brine_flow", "below practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, brine_flow: 9 BV/h}", "brine_flow",
         "above practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, brine_flow: 6 BV/h}",
         "doses, 8 lb/ft3", "min of brine"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, slow_rinse_volume: 0.5 BV}",
         "slow_rinse_volume", "below practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, fast_rinse_volume: 8 BV}",
         "fast_rinse_volume", "above practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 5 m/h}", "backwash_flow",
         "below practice"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, direction: counter-current}",
         "slow_rinse_water", "use soft water"},
        {"regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, direction: counter-current, "
         "slow_rinse_water: soft}",
         "blocking_flow", "comes back in the fast rinse"},
    };
    for (size_t t = 0; t < sizeof table / sizeof *table; t++) {
        char text[600] = "";
        char joined[4000];
        /* The usual lines, with the one of this section replaced. */
        const char *line = usual;
        size_t section = strcspn(table[t].text, ":");
        while (*line != '\0') {
            size_t width = strcspn(line, "\n") + 1;
            size_t length = strlen(text);
            if (strncmp(line, table[t].text, section) == 0) {
                (void)snprintf(text + length, sizeof text - length, "%s\n", table[t].text);
            } else {
                (void)snprintf(text + length, sizeof text - length, "%.*s", (int)width, line);
            }
            line += width;
        }
        cautions(text, joined, sizeof joined);
        const char *at = strstr(joined, table[t].where);
        ck_assert_msg(at != NULL && strstr(joined, table[t].says) != NULL, "%s gives:\n%s",
                      table[t].text, joined);
    }
}
END_TEST

START_TEST(a_bed_held_down_earns_no_caution_for_rising_brine)
{
    char joined[4000];
    cautions("water: {hardness: 300 mg/L as CaCO3}\n"
             "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n"
             "regeneration: {doses: 8 lb/ft3, direction: counter-current, slow_rinse_water: soft, "
             "backwash_time: 0 min, blocking_flow: 2 BV/h}\n",
             joined, sizeof joined);
    ck_assert_ptr_null(strstr(joined, "holds the bed down"));
}
END_TEST

START_TEST(iron_above_the_code_limit_is_noticed)
{
    char joined[4000];
    cautions("water: {hardness: 17 gpg, iron: 0.25 mg/L, manganese: 0.2 mg/L}\n"
             "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n",
             joined, sizeof joined);
    ck_assert_ptr_nonnull(strstr(joined, "0.45 mg/L of iron and manganese"));
}
END_TEST

START_TEST(what_follows_is_what_a_hand_finds)
{
    bf_case input;
    bf_deduced d;
    bf_error err = {0};
    read_case(usual, &input);
    assert_ok(bf_deduce(&input.rating, &d, &err));
    /* 12 in across, 30 in deep: pi/4 ft2 = 0.0729659 m2, 1.963495 ft3 = 55.6000 L. */
    assert_near(d.area_m2, 0.0729659, 1e-6);
    assert_near(d.resin_m3, 55.6000e-3, 1e-5);
    assert_near(d.contact_s, 3600.0 / 15.0, 1e-12);
    /* Brine of 10 wt% at 20 C: 1.8317 mol/L, 1070.8 kg/m3 (tables of NaCl solutions, printed
     * digits); 26.44 wt% saturated. */
    assert_near(d.brine_normality_eq_per_m3, 1831.7, 3e-4);
    assert_near(d.brine_density_kg_per_m3, 1070.8, 3e-4);
    assert_near(d.brine_saturation, 10.0 / 26.44, 1e-3);
    assert_near(d.brine_bed_volumes_per_kg_per_m3, 1.0 / 107.08, 3e-4);
    assert_near(d.brine_s_per_kg_per_m3, 3600.0 / (4.0 * 107.08), 3e-4);
    /* 2 eq/L of NaCl: 116.88 g/L ("7.29 lb/ft3" in the trade's literature). */
    assert_near(d.salt_to_hold_all_kg_per_m3, 116.88, 1e-4);
    assert_near(d.salt_to_hold_all_kg_per_m3 / 16.018463, 7.29, 1e-3);
    ck_assert(d.backwash_expansion > 1.4 && d.backwash_expansion < 1.8);
    ck_assert(d.service_pressure_Pa > 0.0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_usual_case_earns_no_caution, leaving_practice_is_noticed,
                                  a_bed_held_down_earns_no_caution_for_rising_brine,
                                  iron_above_the_code_limit_is_noticed,
                                  what_follows_is_what_a_hand_finds};
    return support_run("rating.practice", tests, sizeof tests / sizeof *tests, 30);
}
