/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The vector operations that CVODE asks for, over one plain array.
 *
 * Why not the library's serial vector: Debian builds it without optimisation, and these few loops
 * would take longer than the bed's own equations. Sums are taken in four interleaved lanes, always
 * the same, so a result does not depend on the machine's vector width.
 */
#include "bed/vector.h"

#include "base/hot.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

_Static_assert(sizeof(realtype) == sizeof(double), "SUNDIALS must be built in double precision");

typedef struct vector_content {
    size_t length;
    double *data;
} vector_content;

static const vector_content *content_of(N_Vector vector)
{
    return (const vector_content *)vector->content;
}

double *bf__vector_data(N_Vector vector)
{
    return content_of(vector)->data;
}

static realtype *array_pointer(N_Vector vector)
{
    return bf__vector_data(vector);
}

static N_Vector_ID vector_id(N_Vector vector)
{
    (void)vector;
    return SUNDIALS_NVEC_CUSTOM;
}

static sunindextype vector_length(N_Vector vector)
{
    return (sunindextype)content_of(vector)->length;
}

static void vector_destroy(N_Vector vector)
{
    if (vector != NULL) {
        vector_content *content = vector->content;
        if (content != NULL) {
            free(content->data);
            free(content);
        }
        vector->content = NULL;
        N_VFreeEmpty(vector);
    }
}

static N_Vector vector_clone(N_Vector vector)
{
    N_Vector clone = N_VNewEmpty(vector->sunctx);
    if (clone == NULL) {
        return NULL;
    }
    vector_content *content = calloc(1, sizeof *content);
    clone->content = content;
    if (content != NULL) {
        content->length = content_of(vector)->length;
        content->data = calloc(content->length, sizeof *content->data);
    }
    if (content == NULL || content->data == NULL || N_VCopyOps(vector, clone) != 0) {
        vector_destroy(clone);
        return NULL;
    }
    return clone;
}

BF__HOT static void linear_sum(realtype a, N_Vector x, realtype b, N_Vector y, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    const double *with = bf__vector_data(y);
    double *out = bf__vector_data(z);
    if (a == 1.0 && b == 1.0) { /* the predictor: nine calls in ten */
        for (size_t i = 0; i < n; i++) {
            out[i] = input[i] + with[i];
        }
        return;
    }
    for (size_t i = 0; i < n; i++) {
        out[i] = a * input[i] + b * with[i];
    }
}

static void set_constant(realtype c, N_Vector z)
{
    const size_t n = content_of(z)->length;
    double *out = bf__vector_data(z);
    for (size_t i = 0; i < n; i++) {
        out[i] = c;
    }
}

BF__HOT static void product(N_Vector x, N_Vector y, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    const double *with = bf__vector_data(y);
    double *out = bf__vector_data(z);
    for (size_t i = 0; i < n; i++) {
        out[i] = input[i] * with[i];
    }
}

BF__HOT static void quotient(N_Vector x, N_Vector y, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    const double *with = bf__vector_data(y);
    double *out = bf__vector_data(z);
    for (size_t i = 0; i < n; i++) {
        out[i] = input[i] / with[i];
    }
}

BF__HOT static void scale(realtype c, N_Vector x, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    double *out = bf__vector_data(z);
    if (c == 1.0) {
        if (out != input) {
            memcpy(out, input, n * sizeof *out);
        }
        return;
    }
    for (size_t i = 0; i < n; i++) {
        out[i] = c * input[i];
    }
}

BF__HOT static void absolute(N_Vector x, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    double *out = bf__vector_data(z);
    for (size_t i = 0; i < n; i++) {
        out[i] = fabs(input[i]);
    }
}

BF__HOT static void inverse(N_Vector x, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    double *out = bf__vector_data(z);
    for (size_t i = 0; i < n; i++) {
        out[i] = 1.0 / input[i];
    }
}

BF__HOT static void add_constant(N_Vector x, realtype b, N_Vector z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    double *out = bf__vector_data(z);
    for (size_t i = 0; i < n; i++) {
        out[i] = input[i] + b;
    }
}

static realtype dot_product(N_Vector x, N_Vector y)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    const double *with = bf__vector_data(y);
    double lane[4] = {0.0, 0.0, 0.0, 0.0};
    size_t i = 0;
    for (; i + 4 <= n; i += 4) {
        for (size_t l = 0; l < 4; l++) {
            lane[l] += input[i + l] * with[i + l];
        }
    }
    for (; i < n; i++) {
        lane[0] += input[i] * with[i];
    }
    return (lane[0] + lane[1]) + (lane[2] + lane[3]);
}

static realtype largest(N_Vector x)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    double most = 0.0;
    for (size_t i = 0; i < n; i++) {
        most = fmax(most, fabs(input[i]));
    }
    return most;
}

static realtype smallest(N_Vector x)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    double least = input[0];
    for (size_t i = 1; i < n; i++) {
        least = fmin(least, input[i]);
    }
    return least;
}

BF__HOT static realtype weighted_rms(N_Vector x, N_Vector w)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    const double *weight = bf__vector_data(w);
    double lane[8] = {0.0};
    size_t i = 0;
    for (; i + 8 <= n; i += 8) {
        for (size_t l = 0; l < 8; l++) {
            double term = input[i + l] * weight[i + l];
            lane[l] += term * term;
        }
    }
    for (; i < n; i++) {
        double term = input[i] * weight[i];
        lane[0] += term * term;
    }
    double sum =
        ((lane[0] + lane[1]) + (lane[2] + lane[3])) + ((lane[4] + lane[5]) + (lane[6] + lane[7]));
    return sqrt(sum / (double)n);
}

/* z = sum c_k x_k in one pass over memory: CVODE's predictor and error estimates use it. */
BF__HOT static int linear_combination(int count, realtype *c, N_Vector *x, N_Vector z)
{
    const size_t n = content_of(z)->length;
    double *out = bf__vector_data(z);
    const double *first = bf__vector_data(x[0]);
    const double weight = c[0];
    if (first == out) {
        if (weight != 1.0) {
            for (size_t i = 0; i < n; i++) {
                out[i] *= weight;
            }
        }
    } else {
        for (size_t i = 0; i < n; i++) {
            out[i] = weight * first[i];
        }
    }
    for (int k = 1; k < count; k++) {
        const double *input = bf__vector_data(x[k]);
        const double factor = c[k];
        for (size_t i = 0; i < n; i++) {
            out[i] += factor * input[i];
        }
    }
    return 0;
}

/* z_k = a_k x + y_k: the update of the history array. */
BF__HOT static int scale_add_multi(int count, realtype *a, N_Vector x, N_Vector *y, N_Vector *z)
{
    const size_t n = content_of(x)->length;
    const double *input = bf__vector_data(x);
    for (int k = 0; k < count; k++) {
        const double *with = bf__vector_data(y[k]);
        double *out = bf__vector_data(z[k]);
        const double factor = a[k];
        for (size_t i = 0; i < n; i++) {
            out[i] = factor * input[i] + with[i];
        }
    }
    return 0;
}

N_Vector bf__vector_create(size_t length, SUNContext context)
{
    N_Vector vector = N_VNewEmpty(context);
    if (vector == NULL) {
        return NULL;
    }
    N_Vector_Ops ops = vector->ops;
    ops->nvgetvectorid = vector_id;
    ops->nvclone = vector_clone;
    ops->nvdestroy = vector_destroy;
    ops->nvgetarraypointer = array_pointer;
    ops->nvgetlength = vector_length;
    ops->nvlinearsum = linear_sum;
    ops->nvconst = set_constant;
    ops->nvprod = product;
    ops->nvdiv = quotient;
    ops->nvscale = scale;
    ops->nvabs = absolute;
    ops->nvinv = inverse;
    ops->nvaddconst = add_constant;
    ops->nvdotprod = dot_product;
    ops->nvmaxnorm = largest;
    ops->nvmin = smallest;
    ops->nvwrmsnorm = weighted_rms;
    ops->nvlinearcombination = linear_combination;
    ops->nvscaleaddmulti = scale_add_multi;
    vector_content *content = calloc(1, sizeof *content);
    vector->content = content;
    if (content != NULL) {
        content->length = length;
        content->data = calloc(length, sizeof *content->data);
    }
    if (content == NULL || content->data == NULL) {
        vector_destroy(vector);
        return NULL;
    }
    return vector;
}
