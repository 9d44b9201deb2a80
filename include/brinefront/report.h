/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file report.h
 * Results as text a person reads and as lines another program reads, delivered whole or not at all.
 */
#ifndef BRINEFRONT_REPORT_H
#define BRINEFRONT_REPORT_H

#include "brinefront/case.h"
#include "brinefront/comparison.h"
#include "brinefront/cycle_study.h"
#include "brinefront/fouling_effects.h"
#include "brinefront/observations.h"
#include "brinefront/overlay.h"
#include "brinefront/practice.h"
#include "brinefront/sizing.h"
#include "brinefront/tank_study.h"
#include "brinefront/unit_system.h"

#include <stdio.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Output is collected in memory first and reaches its place in one piece. */
typedef struct bf_output {
    FILE *stream;  /**< write here */
    char *text;    /**< what was written and flushed; ends with a zero */
    size_t length; /**< without the zero */
    size_t room;
} bf_output;

/** Start from {0}; the struct stays where it is until it is closed. */
BF_API BF_MUST_CHECK bf_status bf_output_open(bf_output *output, bf_error *err);

/** Close the stream; the whole text stays in `text` until bf_output_close().
 *  @return BF_OK; BF_E_MEMORY when it did not fit */
BF_API BF_MUST_CHECK bf_status bf_output_finish(bf_output *output, bf_error *err);

/**
 * Finish and deliver. To a file: written beside it under another name, synced, then renamed over it,
 * so that the file holds either what it held before or the whole output.
 *
 * @param file_name  NULL: standard output
 * @return BF_OK; BF_E_WRITE with the system's reason; BF_E_MEMORY when the text did not fit
 */
BF_API BF_MUST_CHECK bf_status bf_output_deliver(bf_output *output, const char *file_name,
                                                 bf_error *err);

/** Drop what was collected; also after delivery. */
BF_API void bf_output_close(bf_output *output);

/** The head of a report: what is printed, and all that its numbers are to be read with. */
typedef struct bf_page {
    const char *title;            /**< "": none */
    const bf_rating_spec *rating; /**< water, bed and steps */
    const bf_notes *notes;      /**< what was assumed, and what deserves less trust; may be NULL */
    bf_unit_system units;       /**< of tables; CSV and JSON say their units themselves */
    const bf_case_value *value; /**< of a case file, as stated or filled in; NULL: there is none */
    size_t value_count;
    int stopped_early; /**< nonzero: what was found before the computation was stopped */
} bf_page;

/** The head of a report on a case; it points into it. */
BF_API bf_page bf_page_of_case(const bf_case *input, const bf_notes *notes, bf_unit_system units);

/** A rating and everything needed to read it. */
typedef struct bf_rate_report {
    bf_page page;
    const bf_dose_point *points;
    size_t count;
    bf_grid_estimate grid;      /**< NAN where it was not estimated */
    const bf_tank_study *study; /**< NULL: no vessel; else a rating sheet takes the table's place,
                                     and the page's rating is to be the study's */
    const bf_case_tank *tank;   /**< as it was rated, where there is a study */
    const bf_overlay *overlay;  /**< NULL: none */
    const bf_dose_point *overlay_points; /**< one computed for each row of it */
} bf_rate_report;

/** A row of an overlay against what is computed at its dose. No verdict: a residual has many
 *  causes. */
typedef struct bf_overlay_residual {
    double dose_kg_per_m3;
    double stated_eq_per_m3;
    double computed_eq_per_m3;            /**< NAN without a rating; then so are the next two */
    double residual_eq_per_m3;            /**< stated less computed */
    double relative;                      /**< over computed */
    int has_band;                         /**< nonzero: the sheet has a band about this dose */
    double low_eq_per_m3, high_eq_per_m3; /**< P10 and P90 of it; NAN without */
    int is_inside;
} bf_overlay_residual;

BF_API bf_overlay_residual bf_report_overlay_residual(const bf_rate_report *report, size_t row);

/** A table for people: units in its head, assumptions and cautions at its foot. */
BF_API BF_MUST_CHECK bf_status bf_report_rate_table(const bf_rate_report *report, FILE *out,
                                                    bf_error *err);

/** Comma-separated values (RFC 4180), lines beginning with # before the header carry assumptions.
 */
BF_API BF_MUST_CHECK bf_status bf_report_rate_csv(const bf_rate_report *report, FILE *out,
                                                  bf_error *err);

/** A JSON document (RFC 8259); docs/output.schema.json describes it. @return BF_OK; BF_E_MEMORY */
BF_API BF_MUST_CHECK bf_status bf_report_rate_json(const bf_rate_report *report, FILE *out,
                                                   bf_error *err);

/** A case printed back, with what follows from it and where it leaves practice. */
typedef struct bf_check_report {
    const bf_case *input;
    const bf_deduced *deduced;
    const bf_notes *notes; /**< of reading, and of bf_practice_notes() */
} bf_check_report;

BF_API BF_MUST_CHECK bf_status bf_report_check_table(const bf_check_report *report, FILE *out,
                                                     bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_check_json(const bf_check_report *report, FILE *out,
                                                    bf_error *err);

/** The documentation of all case keys, of all units, of all status codes, as Markdown: the files
 *  docs/case-keys.md, docs/units.md and docs/errors.md. */
BF_API void bf_report_keys(FILE *out);
BF_API void bf_report_units(FILE *out);
BF_API void bf_report_errors(FILE *out);

/** One cycle and the case it belongs to. */
typedef struct bf_cycle_report {
    bf_page page;
    const bf_cycle_study *study;
} bf_cycle_report;

/** What each step takes, gives and costs; a chart of the service effluent; the elution of the
 *  regeneration as a field study reads it; the bed at the end of each step. */
BF_API BF_MUST_CHECK bf_status bf_report_cycle_table(const bf_cycle_report *report, FILE *out,
                                                     bf_error *err);

/** The effluent of every step, one row a moment; # lines carry assumptions. */
BF_API BF_MUST_CHECK bf_status bf_report_cycle_csv(const bf_cycle_report *report, FILE *out,
                                                   bf_error *err);

/** Steps, series and profiles as a JSON document; docs/output.schema.json. */
BF_API BF_MUST_CHECK bf_status bf_report_cycle_json(const bf_cycle_report *report, FILE *out,
                                                    bf_error *err);

/** What a size was asked for: one question of sizing.h. */
typedef enum bf_size_question {
    BF_SIZE_DOSE,      /**< the least dose for a capacity */
    BF_SIZE_BED,       /**< the smallest bed for a flow and an interval */
    BF_SIZE_SALT,      /**< the least salt a year */
    BF_SIZE_END_POINT, /**< the lowest end point a dose can hold */
    BF_SIZE_QUESTIONS
} bf_size_question;

/** An answer and everything needed to read it. Of what was asked only the part of the question. */
typedef struct bf_size_report {
    bf_page page;
    bf_size_question question;
    double capacity_eq_per_m3;         /**< dose */
    double dose_kg_per_m3;             /**< bed, end point */
    double flow_m3_per_s, interval_m3; /**< bed */
    const bf_tank_spec *tank;          /**< bed; else NULL */
    double water_m3_per_day;           /**< salt */
    double least_days, most_days;      /**< salt */
    const char *vessel; /**< bed: smallest common size that does it; NULL: not looked for or none */
    const bf_sizing *in_vessel;      /**< ... and the bed in it; NULL: not looked for */
    const bf_sizing_spec *practical; /**< as it was searched for; NULL: the case as it stands */
    const bf_sizing *found;
} bf_size_report;

/** The answer in a sentence and what decides it, the rating there, how it was found. */
BF_API BF_MUST_CHECK bf_status bf_report_size_table(const bf_size_report *report, FILE *out,
                                                    bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_size_csv(const bf_size_report *report, FILE *out,
                                                  bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_size_json(const bf_size_report *report, FILE *out,
                                                   bf_error *err);

/** Cases side by side: bf_compare(). */
typedef struct bf_compare_report {
    const bf_page *page;     /**< `cases` */
    const char *const *name; /**< of their files */
    size_t cases;
    const bf_compared_point *points; /**< doses rows of cases */
    size_t doses;
    size_t samples; /**< of each band; 0: none */
} bf_compare_report;

/** What differs between the cases; then at each dose what each gives, against the first. */
BF_API BF_MUST_CHECK bf_status bf_report_compare_table(const bf_compare_report *report, FILE *out,
                                                       bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_compare_csv(const bf_compare_report *report, FILE *out,
                                                     bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_compare_json(const bf_compare_report *report, FILE *out,
                                                      bf_error *err);

/* ---- years of a bed on water with iron --------------------------------------------------------
 */

/** How long a row of the table is. A month is a twelfth of 365.25 days, a quarter three of them. */
typedef enum bf_foul_by {
    BF_FOUL_BY_LENGTH, /**< months up to two years, quarters beyond */
    BF_FOUL_BY_MONTH,
    BF_FOUL_BY_QUARTER
} bf_foul_by;

/** A campaign, the range around it, and what was measured meanwhile. */
typedef struct bf_foul_report {
    bf_page page;
    const bf_case_campaign *campaign; /**< as it was asked for */
    const bf_campaign_spec *spec;     /**< as it was run */
    const bf_campaign_series *series; /**< BF_FOULING_SERIES of them, each of a cycle at least */
    bf_foul_by by;
    const bf_observations *observations; /**< NULL: none */
} bf_foul_report;

/** Month by month what the bed gives and what stays in it; in words what limits it first; where the
 *  iron went; observed against computed. */
BF_API BF_MUST_CHECK bf_status bf_report_foul_table(const bf_foul_report *report, FILE *out,
                                                    bf_error *err);

/** One row a month or quarter, then one an observation; # lines carry assumptions and limits. */
BF_API BF_MUST_CHECK bf_status bf_report_foul_csv(const bf_foul_report *report, FILE *out,
                                                  bf_error *err);

BF_API BF_MUST_CHECK bf_status bf_report_foul_json(const bf_foul_report *report, FILE *out,
                                                   bf_error *err);

/** A ranking of changes: bf_fouling_what_if(). */
typedef struct bf_what_if_report {
    bf_page page;
    const bf_case_campaign *campaign; /**< as it was asked for */
    const bf_campaign_spec *spec;     /**< as it was run, unchanged */
    const bf_fouling_end *unchanged;
    const bf_what_if *rows;
    size_t count;
} bf_what_if_report;

BF_API BF_MUST_CHECK bf_status bf_report_what_if_table(const bf_what_if_report *report, FILE *out,
                                                       bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_what_if_csv(const bf_what_if_report *report, FILE *out,
                                                     bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_what_if_json(const bf_what_if_report *report, FILE *out,
                                                      bf_error *err);

/** What hardness to count for iron: bf_fouling_compensation(). */
typedef struct bf_compensation_report {
    bf_page page;
    const bf_case_campaign *campaign; /**< as it was asked for */
    const bf_campaign_spec *spec;
    const bf_compensation *found;
    /** The same with the ageing of iron at the low and the high end of its range: the specs of
     *  bf_fouling_range(). NULL: not asked for. */
    const bf_compensation *low, *high;
} bf_compensation_report;

BF_API BF_MUST_CHECK bf_status bf_report_compensation_table(const bf_compensation_report *report,
                                                            FILE *out, bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_compensation_csv(const bf_compensation_report *report,
                                                          FILE *out, bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_compensation_json(const bf_compensation_report *report,
                                                           FILE *out, bf_error *err);

/** What the uncertain parameters do: bf_fouling_sensitivities(). */
typedef struct bf_sensitivity_report {
    bf_page page;
    const bf_case_campaign *campaign; /**< as it was asked for */
    const bf_campaign_spec *spec;
    const bf_fouling_end *expected;
    const bf_fouling_sensitivity *rows; /**< bf_iron_parameter_count() of them */
} bf_sensitivity_report;

BF_API BF_MUST_CHECK bf_status bf_report_sensitivity_table(const bf_sensitivity_report *report,
                                                           FILE *out, bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_sensitivity_csv(const bf_sensitivity_report *report,
                                                         FILE *out, bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_report_sensitivity_json(const bf_sensitivity_report *report,
                                                          FILE *out, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
