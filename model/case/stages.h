/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages in which a file becomes a case, in their order. Each file uses what stands above its
 * own stage and nothing below; case.c calls them.
 */
#ifndef BF_CASE_STAGES_H
#define BF_CASE_STAGES_H

#include "case/reader.h"

/* defaults.c: the text that stands for a key nobody states, or NULL; what a campaign's bed is
 * cleaned with; and, once the cycle is built, a note for every default that plays a part in it. */
typedef enum bf__cleaning {
    BF__CLEANING_NONE,
    BF__CLEANING_REDUCTANT,
    BF__CLEANING_ACID
} bf__cleaning;
bf__cleaning bf__default_cleaning(const bf__reader *r);
const char *bf__default_text(const bf__reader *r, bf__key_id id);
void bf__stage_note_defaults(const bf__reader *r);

/* stated.c: every key's text, as stated or as filled in. */
void bf__stage_stated(bf__reader *r);

/* geometry.c: the bed's size, then every flow and volume can be read; and, once all keys are read,
 * the room above the resin. */
void bf__stage_geometry(bf__reader *r);
void bf__stage_freeboard(bf__reader *r);
double bf__geometry_height_m(const bf__reader *r);       /* inside; NAN: not stated */
bf__key_id bf__geometry_height_key(const bf__reader *r); /* the key that says it */

/* stated_doses.c: the doses that are rated; and that of a campaign, once they are known. */
void bf__stage_doses(bf__reader *r);
void bf__stage_campaign_dose(bf__reader *r);

/* analysis.c: the water; and the analysis as it is stated, for seasons that change it. */
void bf__stage_water(bf__reader *r);
bf_water_analysis bf__stated_analysis(const bf__reader *r);

/* bed_spec.c: what fills the bed, and its grid. */
void bf__stage_bed(bf__reader *r);

/* recipe.c: the steps of the cycle. */
void bf__stage_recipe(bf__reader *r);

/* tank.c: the vessel, and how it is rated. */
void bf__stage_tank(bf__reader *r);

/* campaign_water.c: whether the laws of iron cover the water; the seasons; a sentence where there
 * is more oxygen than water holds under air. */
double bf__oxygen_mol_per_m3(double oxygen_kg_per_m3);
int bf__oxygen_is_too_much(double oxygen_mol_per_m3, double temperature_K, char *sentence,
                           size_t room);
void bf__seasons_check(bf__reader *r, const bf__item *seasons, size_t count);
void bf__seasons_build(bf__reader *r, const bf__item *seasons, size_t count,
                       bf_campaign_spec *spec);
void bf__campaign_check_water(bf__reader *r, const bf_campaign_spec *spec);

/* campaign.c: the years of the bed. */
void bf__stage_campaign(bf__reader *r);

#endif
