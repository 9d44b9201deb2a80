/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file observations.h
 * What was measured on a bed over its years, from a table in a file.
 */
#ifndef BRINEFRONT_OBSERVATIONS_H
#define BRINEFRONT_OBSERVATIONS_H

#include "brinefront/case.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What a table may tell about a day. */
typedef enum bf_observed {
    BF_OBSERVED_CAPACITY,      /**< hardness to the end point, eq/m3 of bed */
    BF_OBSERVED_PRESSURE_DROP, /**< over the bed in service, Pa */
    BF_OBSERVED_IRON,          /**< on the resin, kg of Fe per m3 of bed */
    BF_OBSERVED_MOISTURE,      /**< of the resin, a fraction */
    BF_OBSERVED_SOFT_HARDNESS, /**< of the softened water, mean of a run, eq/m3 */
    BF_OBSERVED_SOFT_IRON,     /**< the same, kg of Fe per m3 of water */
    BF_OBSERVED_COUNT
} bf_observed;

typedef struct bf_observation {
    long line;                       /**< of the file */
    double day;                      /**< since the campaign began */
    double value[BF_OBSERVED_COUNT]; /**< NAN: not told */
} bf_observation;

typedef struct bf_observations {
    bf_observation *row;
    size_t count;
} bf_observations;

/**
 * Read a table ("-": standard input) of comma-separated values (RFC 4180):
 *
 *     # what the plumber found
 *     date,capacity [kgr/ft3],pressure_drop [psi],iron_on_resin [g/ft3],moisture [%]
 *     2021-10-02,25.2,3.4,9,
 *
 * Its head names `date` (ISO 8601) or `day` (since the beginning) and any of the others, each with
 * its unit in brackets; capacity and iron_on_resin are of a volume of resin, or of the whole bed
 * (kgr, g). Rows go by time. Lines that begin with # are remarks, an empty field tells nothing.
 *
 * @param input  the case: its start turns dates into days, its bed amounts into amounts per volume
 * @param notes  gets every finding with its line and column
 * @return BF_OK; BF_E_FILE; BF_E_INPUT with the first finding; BF_E_MEMORY
 */
BF_API BF_MUST_CHECK bf_status bf_observations_read(const char *file_name, const bf_case *input,
                                                    bf_observations *out, bf_notes *notes,
                                                    bf_error *err);

/** The same from memory: `text` need not end in a zero, `name` stands for the file in messages. */
BF_API BF_MUST_CHECK bf_status bf_observations_read_text(const char *text, size_t length,
                                                         const char *name, const bf_case *input,
                                                         bf_observations *out, bf_notes *notes,
                                                         bf_error *err);

BF_API void bf_observations_free(bf_observations *observations); /* zeroed is fine */

#ifdef __cplusplus
}
#endif
#endif
