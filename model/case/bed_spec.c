/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections `resin` and `numerics`: what fills the bed, and how finely it is cut. */
#include "case/stages.h"

#include <stdio.h>

static void set(const bf__reader *r, bf__key_id id, double *field)
{
    if (bf__reader_has(r, id)) {
        *field = bf__reader_value(r, id);
    }
}

static void set_count(const bf__reader *r, bf__key_id id, size_t *field)
{
    if (bf__reader_has(r, id)) {
        *field = (size_t)bf__reader_value(r, id);
    }
}

/* What the file states in place of the record's. keys.def has a key of each for every cation. */
static void set_resin(const bf__reader *r, bf_resin *resin)
{
    set(r, BF__KEY_CAPACITY, &resin->total_capacity_eq_per_m3);
    set(r, BF__KEY_VOID, &resin->void_fraction);
    set(r, BF__KEY_BEAD_DIAMETER, &resin->bead_diameter_m);
    set(r, BF__KEY_UNIFORMITY, &resin->uniformity_coefficient);
    set(r, BF__KEY_BEAD_DENSITY, &resin->bead_density_kg_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        set(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i), &resin->selectivity[i]);
        set(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i), &resin->diffusivity_25C_m2_per_s[i]);
        set(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i), &resin->activation_J_per_mol[i]);
    }
}

void bf__stage_bed(bf__reader *r)
{
    bf_bed_spec *bed = &r->out->rating.bed;
    bf_error err = {0};
    if (bf_resin_find(r->key[BF__KEY_RESIN].text, &bed->resin, &err) != BF_OK) {
        bed->resin = bf_resin_gel_8(); /* the choice has been found wrong already */
    }
    set_resin(r, &bed->resin);
    set(r, BF__KEY_FREEBOARD, &bed->freeboard_m);
    set(r, BF__KEY_TEMPERATURE, &bed->temperature_K);
    set(r, BF__KEY_RELATIVE_TOLERANCE, &bed->relative_tolerance);
    set(r, BF__KEY_HARDNESS_TOLERANCE, &bed->hardness_tolerance_eq_per_m3);
    set_count(r, BF__KEY_CELLS, &bed->cells);
    set_count(r, BF__KEY_SHELLS, &bed->shells);
    set_count(r, BF__KEY_BEAD_CLASSES, &bed->bead_classes);
    bed->shell_law =
        bf__reader_chosen(r, BF__KEY_SHELL_LAW, "equal") ? BF_SHELLS_EQUAL : BF_SHELLS_MATCHED;
    bed->freeboard_law = bf__reader_chosen(r, BF__KEY_FREEBOARD_LAW, "stirred")
                             ? BF_FREEBOARD_STIRRED
                             : BF_FREEBOARD_BY_DENSITY;
    if (bed->resin.selectivity[BF_ION_NA] != 1.0) {
        bf__reader_find_key(r, BF__KEY_SELECTIVITY_NA,
                            "sodium is what the others are measured against: it is 1");
    }
    if (bed->resin.uniformity_coefficient > 1.0 &&
        bed->bead_classes * bed->shells > BF_BEAD_SHELLS) {
        char sentence[160];
        (void)snprintf(sentence, sizeof sentence,
                       "%zu shells in each of %zu classes of beads; there is room for %d in all",
                       bed->shells, bed->bead_classes, BF_BEAD_SHELLS);
        bf__reader_find_key(
            r, bf__reader_is_stated(r, BF__KEY_SHELLS) ? BF__KEY_SHELLS : BF__KEY_BEAD_CLASSES,
            sentence);
    }
}
