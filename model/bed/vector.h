/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The vector operations that CVODE asks for, over one plain array. */
#ifndef BF_BED_VECTOR_H
#define BF_BED_VECTOR_H

#include <sundials/sundials_nvector.h>

/** A vector of `length` zeros; NULL when memory ran out. Free with N_VDestroy(). */
N_Vector bf__vector_create(size_t length, SUNContext context);

/** Its elements; borrowed. */
double *bf__vector_data(N_Vector vector);

#endif
