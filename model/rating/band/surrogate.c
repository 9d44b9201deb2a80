/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A polynomial that stands for a function known at some points only.
 *
 *     f(x) ~ sum_t c_t psi_t(x),   psi = P_a(x_i) or P_a(x_i) P_b(x_j)
 *
 * P_a   Legendre polynomial of order a on 0 .. 1, scaled to variance 1:
 *
 *     P_a(x) = sqrt(2a + 1) L_a(2x - 1)
 *
 * or, of a choice between two, the sign alone
 * x_i   dimension i, evenly distributed, independent of the others
 *
 * Candidates at order N: every P_a with a <= N, every pair with a + b <= N. Terms are taken one by
 * one, each time the one that takes most of the squares that are left (orthogonal least squares).
 *
 * How many, and which N: the points are dealt into HANDS hands in their order (stretches of Sobol's
 * sequence are even in themselves; every eighth point of it would be a slice of the first
 * dimension). Each hand is foretold from the others, with terms chosen and fitted without it; what
 * misses least over all hands is kept, and
 *
 *     Q2 = 1 - sum (miss)^2/sum (f - mean)^2
 *
 * N goes up while the candidates are at most CANDIDATES_PER_POINT a point. Of very many points the
 * first MOST_POINTS choose.
 *
 * Rejected: leaving one point out through the hat matrix, miss = r/(1 - H). It costs nothing, but
 * the terms were chosen with that point among the others: on a function of two terms with noise it
 * took terms that fit the noise, and two standard errors held the known index in 25 cases of 60.
 *
 * Source: orthogonal least squares, Chen, Billings & Luo, Int. J. Control 50 (1989) 1873; sparse
 * polynomials chosen by what they foretell, Blatman & Sudret, J. Comput. Phys. 230 (2011) 2345
 * (both from memory).
 */
#include "rating/band/surrogate.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_ORDER = 10,
    MOST_POINTS = 1024, /* to choose by */
    CANDIDATES_PER_POINT = 4,
    MOST_NUMBERS = 1 << 20, /* candidates times points: a few seconds */
    POINTS_PER_TERM = 4,
    MOST_TERMS = 96,
    PATIENCE = 16,
    HANDS = 8
};

typedef struct samples {
    const double *position, *value;
    size_t count, dimensions;
} samples;

/* ---- candidates ------------------------------------------------------------------------------ */

static double legendre(size_t order, double position)
{
    const double x = 2.0 * position - 1.0;
    double before = 1.0;
    double current = x;
    for (size_t k = 1; k < order; k++) {
        double next = ((double)(2 * k + 1) * x * current - (double)k * before) / (double)(k + 1);
        before = current;
        current = next;
    }
    return sqrt((double)(2 * order + 1)) * current;
}

/* Every position 0 or 1. */
static int is_choice(const samples *data, size_t d)
{
    for (size_t s = 0; s < data->count; s++) {
        double x = data->position[s * data->dimensions + d];
        if (x != 0.0 && x != 1.0) {
            return 0;
        }
    }
    return 1;
}

static size_t candidates_of(size_t dimensions, size_t order)
{
    return dimensions * order + dimensions * (dimensions - 1) / 2 * (order * (order - 1) / 2);
}

/* Terms of order N in a fixed sequence; those of a choice end at order 1. @return how many */
static size_t list_candidates(const int *choice, size_t dimensions, size_t order, bf__term *term)
{
    size_t count = 0;
    for (size_t i = 0; i < dimensions; i++) {
        for (size_t a = 1; a <= (choice[i] ? 1 : order); a++) {
            term[count++] =
                (bf__term){.dimension = {(unsigned short)i}, .order = {(unsigned short)a}};
            for (size_t j = i + 1; j < dimensions; j++) {
                for (size_t b = 1; a + b <= order && b <= (choice[j] ? 1 : order); b++) {
                    term[count++] = (bf__term){.dimension = {(unsigned short)i, (unsigned short)j},
                                               .order = {(unsigned short)a, (unsigned short)b}};
                }
            }
        }
    }
    return count;
}

static double factor_at(const bf__term *term, int which, const int *choice, const double *row)
{
    const size_t d = term->dimension[which];
    if (term->order[which] == 0) {
        return 1.0;
    }
    return choice[d] ? (row[d] > 0.5 ? 1.0 : -1.0) : legendre(term->order[which], row[d]);
}

static double term_at(const bf__term *term, const int *choice, const double *row)
{
    return factor_at(term, 0, choice, row) * factor_at(term, 1, choice, row);
}

/* ---- taking terms one by one ----------------------------------------------------------------- */

static double dot(size_t n, const double *a, const double *b)
{
    double sum = 0.0;
    for (size_t s = 0; s < n; s++) {
        sum += a[s] * b[s];
    }
    return sum;
}

static void take_away(size_t n, double share, const double *direction, double *column)
{
    for (size_t s = 0; s < n; s++) {
        column[s] -= share * direction[s];
    }
}

/* What one choice needs. Columns are as long as there are points: those that choose come first, the
 * hand that is left out behind them. It takes part in no product, only in what follows from it. */
typedef struct workspace {
    size_t points, choosing;
    double *column;  /* the candidates, orthogonal to the terms taken so far */
    double *length2; /* of each column */
    double *along;   /* column times rest */
    double *rest;    /* of the values; of the hand left out: by how much it is missed */
    double *unit;    /* the term just taken, length 1 */
    double *missed;  /* squares over all hands, by number of terms */
    size_t *taken;   /* candidates in the order they were taken */
    size_t *member;  /* points in the order of the columns */
    bf__term *term;  /* the candidates */
    int *choice;     /* by dimension */
} workspace;

/* Orthogonalise everything on work->unit. */
static void absorb(size_t candidates, workspace *work)
{
    const double along_rest = dot(work->choosing, work->unit, work->rest);
    take_away(work->points, along_rest, work->unit, work->rest);
    for (size_t c = 0; c < candidates; c++) {
        if (work->length2[c] > 0.0) {
            double *column = work->column + c * work->points;
            const double share = dot(work->choosing, work->unit, column);
            take_away(work->points, share, work->unit, column);
            work->length2[c] -= share * share;
            work->along[c] -= share * along_rest;
        }
    }
}

/* The candidate that takes most of the rest; `candidates` when none is independent any more. */
static size_t find_best(size_t candidates, const workspace *work)
{
    const double independent =
        1e-6 * (double)work->choosing; /* of a length squared of about that */
    size_t best = candidates;
    double most = -1.0;
    for (size_t c = 0; c < candidates; c++) {
        if (work->length2[c] > independent &&
            work->along[c] * work->along[c] > most * work->length2[c]) {
            most = work->along[c] * work->along[c] / work->length2[c];
            best = c;
        }
    }
    return best;
}

static double miss_now(const workspace *work)
{
    const size_t left_out = work->points - work->choosing;
    const double *rest = work->rest + work->choosing;
    return dot(left_out, rest, rest);
}

/* Take up to `most` terms; with a hand left out, add to work->missed and stop PATIENCE terms after it
 * was missed least. @return how many were taken */
static size_t take_terms(size_t candidates, size_t most, workspace *work)
{
    const int has_hand = work->points > work->choosing;
    double least = (double)INFINITY;
    size_t least_at = 0;
    size_t k = 0;
    for (size_t s = 0; s < work->points; s++) {
        work->unit[s] = 1.0 / sqrt((double)work->choosing);
    }
    absorb(candidates, work);
    for (; k < most && (!has_hand || k < least_at + PATIENCE); k++) {
        size_t best = find_best(candidates, work);
        if (best == candidates) {
            break;
        }
        const double *column = work->column + best * work->points;
        const double length = sqrt(dot(work->choosing, column, column));
        for (size_t s = 0; s < work->points; s++) {
            work->unit[s] = column[s] / length;
        }
        work->length2[best] = 0.0; /* out of the running */
        work->taken[k] = best;
        absorb(candidates, work);
        if (has_hand) {
            const double miss = miss_now(work);
            work->missed[k] += miss;
            if (miss < least) {
                least = miss;
                least_at = k;
            }
        }
    }
    return k;
}

/* ---- the fit --------------------------------------------------------------------------------- */

int bf__least_squares(size_t rows, size_t columns, double *matrix, const double *value,
                      double *work, double *coefficient)
{
    const double dependent = 1e-10;
    if (columns == 0 || rows < columns) {
        return 1; /* what GSL would report to its handler */
    }
    gsl_matrix_view a = gsl_matrix_view_array(matrix, rows, columns);
    gsl_vector_const_view b = gsl_vector_const_view_array(value, rows);
    gsl_vector_view x = gsl_vector_view_array(coefficient, columns);
    gsl_vector_view residual = gsl_vector_view_array(work, rows);
    gsl_vector_view tau = gsl_vector_view_array(work + rows, columns);
    int code = gsl_linalg_QR_decomp(&a.matrix, &tau.vector);
    double largest = 0.0;
    for (size_t c = 0; c < columns; c++) {
        largest = fmax(largest, fabs(matrix[c * columns + c]));
    }
    for (size_t c = 0; c < columns; c++) {
        if (!(fabs(matrix[c * columns + c]) > dependent * largest)) {
            return 1;
        }
    }
    if (code == GSL_SUCCESS) {
        code =
            gsl_linalg_QR_lssolve(&a.matrix, &tau.vector, &b.vector, &x.vector, &residual.vector);
    }
    return code != GSL_SUCCESS;
}

/* ---- choosing -------------------------------------------------------------------------------- */

static size_t most_terms(size_t points)
{
    return points / POINTS_PER_TERM < MOST_TERMS ? points / POINTS_PER_TERM : MOST_TERMS;
}

/* Put the candidates of one order and the values in place, hand `left_out` (HANDS: none) last.
 * @return how many candidates */
static size_t lay_out(const samples *data, size_t order, size_t left_out, workspace *work)
{
    const size_t candidates = list_candidates(work->choice, data->dimensions, order, work->term);
    size_t behind = data->count;
    work->points = data->count;
    work->choosing = 0;
    for (size_t s = 0; s < data->count; s++) {
        if (s * HANDS / data->count == left_out) {
            work->member[--behind] = s;
        } else {
            work->member[work->choosing++] = s;
        }
    }
    for (size_t s = 0; s < work->points; s++) {
        work->rest[s] = data->value[work->member[s]];
    }
    for (size_t c = 0; c < candidates; c++) {
        double *column = work->column + c * work->points;
        for (size_t s = 0; s < work->points; s++) {
            column[s] = term_at(&work->term[c], work->choice,
                                data->position + work->member[s] * data->dimensions);
        }
        work->length2[c] = dot(work->choosing, column, column);
        work->along[c] = dot(work->choosing, column, work->rest);
    }
    return candidates;
}

/* Let every hand be foretold by the others. @return the number of terms that misses least */
static size_t try_order(const samples *data, size_t order, workspace *work, double *miss)
{
    size_t reached = most_terms(data->count - data->count / HANDS);
    size_t best = 0;
    memset(work->missed, 0, reached * sizeof *work->missed);
    for (size_t hand = 0; hand < HANDS; hand++) {
        size_t candidates = lay_out(data, order, hand, work);
        size_t taken = take_terms(candidates, reached, work);
        reached = taken < reached ? taken : reached; /* sums of fewer hands say nothing */
    }
    *miss = (double)INFINITY;
    for (size_t k = 0; k < reached; k++) {
        if (work->missed[k] < *miss) {
            *miss = work->missed[k];
            best = k + 1;
        }
    }
    return best;
}

static double squares_about_mean(const samples *data)
{
    double mean = 0.0;
    double sum = 0.0;
    for (size_t s = 0; s < data->count; s++) {
        mean += data->value[s] / (double)data->count;
    }
    for (size_t s = 0; s < data->count; s++) {
        sum += (data->value[s] - mean) * (data->value[s] - mean);
    }
    return sum;
}

/* The highest order whose candidates are not too many; pairs begin at order 2. */
static size_t highest_order(size_t count, size_t dimensions)
{
    size_t order = 1;
    while (order < MOST_ORDER) {
        size_t next = candidates_of(dimensions, order + 1);
        if (next > CANDIDATES_PER_POINT * count || next > MOST_NUMBERS / count) {
            break;
        }
        order++;
    }
    return order;
}

static void close_workspace(workspace *work)
{
    free(work->column);
    free(work->length2);
    free(work->along);
    free(work->rest);
    free(work->unit);
    free(work->missed);
    free(work->taken);
    free(work->member);
    free(work->term);
    free(work->choice);
}

static bf_status open_workspace(const samples *data, size_t most_candidates, workspace *work,
                                bf_error *err)
{
    const size_t n = data->count;
    *work = (workspace){
        .column = malloc(n * most_candidates * sizeof *work->column),
        .length2 = malloc(most_candidates * sizeof *work->length2),
        .along = malloc(most_candidates * sizeof *work->along),
        .rest = malloc(n * sizeof *work->rest),
        .unit = malloc(n * sizeof *work->unit),
        .missed = malloc(n * sizeof *work->missed),
        .taken = malloc(n * sizeof *work->taken),
        .member = malloc(n * sizeof *work->member),
        .term = malloc(most_candidates * sizeof *work->term),
        .choice = malloc(data->dimensions * sizeof *work->choice),
    };
    if (work->column == NULL || work->length2 == NULL || work->along == NULL ||
        work->rest == NULL || work->unit == NULL || work->missed == NULL || work->taken == NULL ||
        work->member == NULL || work->term == NULL || work->choice == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_indices_of", "no memory");
    }
    return BF_OK;
}

/* Hand over the terms taken, and their values at all points. */
static bf_status hand_over(const samples *all, size_t terms, const workspace *work,
                           bf__surrogate *out, bf_error *err)
{
    out->count = all->count;
    out->terms = terms;
    out->term = malloc((terms + 1) * sizeof *out->term);
    out->design = malloc(all->count * (terms + 1) * sizeof *out->design);
    if (out->term == NULL || out->design == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_indices_of", "no memory");
    }
    for (size_t t = 0; t < terms; t++) {
        out->term[t] = work->term[work->taken[t]];
    }
    for (size_t s = 0; s < all->count; s++) {
        double *row = out->design + s * (terms + 1);
        row[0] = 1.0;
        for (size_t t = 0; t < terms; t++) {
            row[t + 1] = term_at(&out->term[t], work->choice, all->position + s * all->dimensions);
        }
    }
    return BF_OK;
}

bf_status bf__surrogate_create(const double *position, const double *value, size_t count,
                               size_t dimensions, bf__surrogate *out, bf_error *err)
{
    const samples all = {position, value, count, dimensions};
    samples data = all; /* those that choose */
    data.count = count < MOST_POINTS ? count : MOST_POINTS;
    const size_t highest = highest_order(data.count, dimensions);
    size_t order = 1;
    size_t terms = 0;
    double least = (double)INFINITY;
    workspace work;
    memset(out, 0, sizeof *out);
    bf_status status = open_workspace(&data, candidates_of(dimensions, highest), &work, err);
    if (status == BF_OK) {
        for (size_t d = 0; d < dimensions; d++) {
            work.choice[d] = is_choice(&all, d);
        }
        for (size_t o = 1; o <= highest; o++) {
            double miss;
            size_t best = try_order(&data, o, &work, &miss);
            if (miss < least) {
                least = miss;
                order = o;
                terms = best;
            }
        }
        size_t candidates = lay_out(&data, order, HANDS, &work);
        terms = take_terms(candidates, terms, &work);
        status = hand_over(&all, terms, &work, out, err);
        out->explained = 1.0 - least / squares_about_mean(&data);
    }
    close_workspace(&work);
    if (status != BF_OK) {
        bf__surrogate_free(out);
    }
    return status;
}

void bf__surrogate_free(bf__surrogate *surrogate)
{
    free(surrogate->term);
    free(surrogate->design);
    memset(surrogate, 0, sizeof *surrogate);
}
