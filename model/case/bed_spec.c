/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections `resin` and `numerics`: what fills the bed, and how finely it is cut. */
#include "case/stages.h"

#include <stdio.h>

void bf__stage_bed(bf__reader *r)
{
    bf_bed_spec *bed = &r->out->rating.bed;
    bf_error err = {0};
    if (bf_resin_find(r->key[BF__KEY_RESIN].text, &bed->resin, &err) != BF_OK) {
        bed->resin = bf_resin_gel_8(); /* the choice has been found wrong already */
    }
    const struct {
        bf__key_id id;
        double *to;
    } fields[] = {
        {BF__KEY_CAPACITY, &bed->resin.capacity_eq_per_m3},
        {BF__KEY_VOID, &bed->resin.void_fraction},
        {BF__KEY_BEAD_DIAMETER, &bed->resin.bead_diameter_m},
        {BF__KEY_UNIFORMITY, &bed->resin.uniformity_coefficient},
        {BF__KEY_BEAD_DENSITY, &bed->resin.bead_density_kg_per_m3},
        {BF__KEY_FREEBOARD, &bed->freeboard_m},
        {BF__KEY_TEMPERATURE, &bed->temperature_K},
        {BF__KEY_RELATIVE_TOLERANCE, &bed->relative_tolerance},
        {BF__KEY_HARDNESS_TOLERANCE, &bed->hardness_tolerance_eq_per_m3},
    };
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        if (bf__reader_has(r, fields[f].id)) {
            *fields[f].to = bf__reader_value(r, fields[f].id);
        }
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (bf__reader_has(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i))) {
            bed->resin.selectivity[i] =
                bf__reader_value(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i));
        }
        if (bf__reader_has(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i))) {
            bed->resin.diffusivity_25C_m2_per_s[i] =
                bf__reader_value(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i));
        }
        if (bf__reader_has(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i))) {
            bed->resin.activation_J_per_mol[i] =
                bf__reader_value(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i));
        }
    }
    if (bed->resin.selectivity[BF_ION_NA] != 1.0) {
        bf__reader_find_key(r, BF__KEY_SELECTIVITY_NA,
                            "sodium is what the others are measured against: it is 1");
    }
    bed->cells =
        bf__reader_has(r, BF__KEY_CELLS) ? (size_t)bf__reader_value(r, BF__KEY_CELLS) : bed->cells;
    bed->shell_law =
        bf__reader_chosen(r, BF__KEY_SHELL_LAW, "equal") ? BF_SHELLS_EQUAL : BF_SHELLS_MATCHED;
    if (bf__reader_has(r, BF__KEY_BEAD_CLASSES)) {
        bed->bead_classes = (size_t)bf__reader_value(r, BF__KEY_BEAD_CLASSES);
    }
    bed->shells = bf__reader_has(r, BF__KEY_SHELLS) ? (size_t)bf__reader_value(r, BF__KEY_SHELLS)
                                                    : bed->shells;
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
