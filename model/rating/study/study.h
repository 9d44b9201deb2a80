/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a vessel's study, each in a file of its own; tank_study.c puts them in order. */
#ifndef BF_RATING_STUDY_STUDY_H
#define BF_RATING_STUDY_STUDY_H

#include "base/parallel.h"
#include "brinefront/tank_study.h"

enum { BF__STUDY_BANDS = 3 }; /* at the smallest, the middle and the largest dose */

/* What stagnation.h and parallel_beds.h say they cost. */
enum { BF__RATINGS_OF_STAGNATION = 5, BF__RATINGS_OF_UNEVEN_FLOW = 2 };

/* Share of the work done, by ratings: those of a band on their coarse grid count as much. */
typedef struct bf__study_work {
    const bf_tank_study_spec *spec;
    double before, total;
    bf__part part;
} bf__study_work;

/* What is asked besides. */
int bf__study_has_stagnation(const bf_tank_study_spec *spec);
int bf__study_has_uneven_flow(const bf_tank_study_spec *spec);

/* How many ratings the study takes, once its doses are in order; a season that is the water's own
 * takes none, so that it may be one or two fewer. */
double bf__study_ratings(const bf_tank_study_spec *spec, const bf_tank_study *study);

/* Begin a part of the work that is worth so many ratings. */
bf_watch bf__study_begin(bf__study_work *work, double ratings);

/* After a part that has told nothing by itself. @return BF_OK; BF_E_STOPPED */
BF_MUST_CHECK bf_status bf__study_tell_done(bf__study_work *work, double ratings, bf_error *err);

/* Every dose at its steady cycle. */
BF_MUST_CHECK bf_status bf__study_rate_doses(bf__study_work *work, bf_tank_study *out,
                                             bf_error *err);

/* The middle dose at other flows, in other seasons, with stagnation and uneven flow; the smallest
 * at rated flow. */
BF_MUST_CHECK bf_status bf__study_rate_otherwise(bf__study_work *work, bf_tank_study *out,
                                                 bf_notes *notes, bf_error *err);

BF_MUST_CHECK bf_status bf__study_add_bands(bf__study_work *work, bf_tank_study *out,
                                            bf_error *err);

/* The vessel's sheet at one dose; a limit that is broken has been told when the case was read. */
BF_MUST_CHECK bf_status bf__study_sheet(const bf_tank_study_spec *spec,
                                        const bf_rating_spec *rating, double dose_kg_per_m3,
                                        bf_tank_sheet *out, bf_error *err);

/* What follows from the ratings without a further one: pieces, times, cautions, criteria. */
BF_MUST_CHECK bf_status bf__study_conclude(const bf_tank_study_spec *spec, bf_tank_study *out,
                                           bf_notes *notes, bf_error *err);

#endif
