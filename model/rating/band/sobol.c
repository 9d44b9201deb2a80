/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points that fill a cube evenly: Sobol's sequence, as the GNU Scientific Library has it.
 *
 * The sequence is the same every time and for everybody. Its generator works in memory of our own:
 * the library's allocators report to a handler that belongs to the whole program and aborts unless
 * somebody has replaced it. With memory and dimensions seen to beforehand nothing is left that the
 * library could report, so that its handler need not be touched.
 *
 * Source: Bratley & Fox, ACM Trans. Math. Softw. 14 (1988) 88 (after the library's manual).
 */
#include "brinefront/band.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_qrng.h>
#include <stdlib.h>

enum { MOST_DIMENSIONS = 40, MOST_POINTS = 1 << 29 };

bf_status bf_sobol_points(size_t count, size_t dimensions, double *position, bf_error *err)
{
    const char *where = "bf_sobol_points";
    if (dimensions < 1 || dimensions > MOST_DIMENSIONS || count < 1 || count > MOST_POINTS) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "%zu points in %zu dimensions; accepted are 1 to %d in 1 to %d", count,
                            dimensions, MOST_POINTS, MOST_DIMENSIONS);
    }
    const gsl_qrng_type *type = gsl_qrng_sobol;
    gsl_qrng sequence = {.type = type,
                         .dimension = (unsigned)dimensions,
                         .state_size = type->state_size((unsigned)dimensions)};
    sequence.state = calloc(1, sequence.state_size);
    if (sequence.state == NULL) {
        return bf_error_set(err, BF_E_MEMORY, where, "no memory");
    }
    int code = type->init_state(sequence.state, sequence.dimension);
    for (size_t p = 0; p < count && code == GSL_SUCCESS; p++) {
        code = gsl_qrng_get(&sequence, position + p * dimensions);
    }
    free(sequence.state);
    return code == GSL_SUCCESS
               ? BF_OK
               : bf_error_set(err, BF_E_RANGE, where, "the sequence ended: %s", gsl_strerror(code));
}
