/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plain case to state things in, and the exact units that its numbers are checked with.
 *
 * Expected values are products of exact definitions (NIST SP 811 (2008), appendix B: pound, inch,
 * gallon of 231 in3; grain of 1/7000 lb) with molar masses as ions.h documents them. */
#ifndef BF_TESTS_CASE_PLAIN_H
#define BF_TESTS_CASE_PLAIN_H

#include "draft.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A value is a few products of correctly rounded numbers; the water's come through sums too. */
#define EXACT 1e-13

#define PI 3.14159265358979323846
#define LB 0.45359237
#define FT 0.3048
#define IN 0.0254
#define FT3 (FT * FT * FT)
#define GAL (231.0 * IN * IN * IN)
#define GR (LB / 7000.0)
#define CACO3 50.04345                             /* g/eq */
#define GPG (GR * 1e3 / GAL / CACO3)               /* eq/m3 */
#define KGR_PER_FT3 (1e3 * GR * 1e3 / FT3 / CACO3) /* eq/m3 */

/* The bed of the drafts. */
#define DEPTH 0.8
#define AREA (0.25 * PI * 0.3 * 0.3)
#define HARDNESS (317.0 / CACO3)

#define GOOD_WATER "water: {hardness: 317 mg/L as CaCO3}\n"
#define GOOD_BED "bed: {diameter: 0.3 m, depth: 0.8 m}\n"

/* A case in U.S. units that states all that a bed and a cycle take. */
#define US_CASE                                                                                    \
    "water: {hardness: 23.4 gpg, calcium_to_magnesium: 2.3, sodium: 1.1 meq/L,\n"                  \
    "        iron: 0.7 mg/L, temperature: 57.2 F, pH: 7.1}\n"                                      \
    "bed: {diameter: 13 in, depth: 2.6 ft, freeboard: 14.5 in}\n"                                  \
    "resin: {capacity: 42 kgr/ft3, bead_density: 80 lb/ft3}\n"                                     \
    "service: {flow: 6.5 gpm, end_point: 0.9 gpg, stop_at: 2.2 gpg, volume: 3000 gal}\n"           \
    "regeneration:\n"                                                                              \
    "  doses: 4.5, 7, 11 lb/ft3\n"                                                                 \
    "  brine_strength: 9.5 %\n"                                                                    \
    "  brine_flow: 0.45 gpm/ft3\n"                                                                 \
    "  backwash_time: 0.2 h\n"                                                                     \
    "  backwash_flow: 4.4 gpm/ft2\n"                                                               \
    "  slow_rinse_volume: 11 gal/ft3\n"                                                            \
    "  slow_rinse_flow: 1.1 gpm\n"                                                                 \
    "  fast_rinse_volume: 25 gal\n"                                                                \
    "  fast_rinse_flow: 1.6 gpm/ft3\n"                                                             \
    "  refill_flow: 0.6 gpm\n"

enum { SERVICE, BACKWASH, BRINE, SLOW_RINSE, FAST_RINSE, REFILL }; /* the steps of a full recipe */

static inline draft plain_draft(void)
{
    draft d = {0};
    draft_set(&d, "water.hardness", "317 mg/L as CaCO3");
    draft_set(&d, "bed.diameter", "0.3 m");
    draft_set(&d, "bed.depth", "0.8 m");
    return d;
}

static inline bf_status read_text(const char *text, bf_case *out, bf_notes *notes, bf_error *err)
{
    return bf_case_read_text(text, strlen(text), "case.yaml", out, notes, err);
}

static inline bf_note note_about(const bf_notes *notes, bf_note_kind kind, const char *where)
{
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        if (note.kind == kind && strcmp(note.where, where) == 0) {
            return note;
        }
    }
    return (bf_note){0};
}

#endif
