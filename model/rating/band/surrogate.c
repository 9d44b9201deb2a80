/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A polynomial that stands for a function known at some points only.
 *
 *     f(x) ~ sum_t c_t psi_t(x),   psi = P_a(x_i) or P_a(x_i) P_b(x_j)
 *
 * P_a   Legendre polynomial of order a on 0 .. 1, scaled to variance 1: sqrt(2a + 1) L_a(2x - 1);
 * of a choice between two, the sign alone x_i   dimension i, evenly distributed, independent of the
 * others
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
    double here = x;
    for (size_t k = 1; k < order; k++) {
        double next = ((double)(2 * k + 1) * x * here - (double)k * before) / (double)(k + 1);
        before = here;
        here = next;
    }
    return sqrt((double)(2 * order + 1)) * here;
}

/* Every position 0 or 1. */
static int is_choice(const samples *of, size_t d)
{
    for (size_t s = 0; s < of->count; s++) {
        double x = of->position[s * of->dimensions + d];
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
    size_t made = 0;
    for (size_t i = 0; i < dimensions; i++) {
        for (size_t a = 1; a <= (choice[i] ? 1 : order); a++) {
            term[made++] =
                (bf__term){.dimension = {(unsigned short)i}, .order = {(unsigned short)a}};
            for (size_t j = i + 1; j < dimensions; j++) {
                for (size_t b = 1; a + b <= order && b <= (choice[j] ? 1 : order); b++) {
                    term[made++] = (bf__term){.dimension = {(unsigned short)i, (unsigned short)j},
                                              .order = {(unsigned short)a, (unsigned short)b}};
                }
            }
        }
    }
    return made;
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

static void take_away(size_t n, double share, const double *of, double *from)
{
    for (size_t s = 0; s < n; s++) {
        from[s] -= share * of[s];
    }
}

/* What one choice needs. Columns are as long as there are points: those that choose come first, the
 * hand that is left out behind them. It takes part in no product, only in what follows from it. */
typedef struct room {
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
} room;

/* Orthogonalise everything on in->unit. */
static void absorb(size_t candidates, room *in)
{
    const double of_rest = dot(in->choosing, in->unit, in->rest);
    take_away(in->points, of_rest, in->unit, in->rest);
    for (size_t c = 0; c < candidates; c++) {
        if (in->length2[c] > 0.0) {
            double *column = in->column + c * in->points;
            const double share = dot(in->choosing, in->unit, column);
            take_away(in->points, share, in->unit, column);
            in->length2[c] -= share * share;
            in->along[c] -= share * of_rest;
        }
    }
}

/* The candidate that takes most of the rest; `candidates` when none is independent any more. */
static size_t find_best(size_t candidates, const room *in)
{
    const double independent = 1e-6 * (double)in->choosing; /* of a length squared of about that */
    size_t best = candidates;
    double most = -1.0;
    for (size_t c = 0; c < candidates; c++) {
        if (in->length2[c] > independent && in->along[c] * in->along[c] > most * in->length2[c]) {
            most = in->along[c] * in->along[c] / in->length2[c];
            best = c;
        }
    }
    return best;
}

static double miss_now(const room *in)
{
    const size_t left_out = in->points - in->choosing;
    const double *rest = in->rest + in->choosing;
    return dot(left_out, rest, rest);
}

/* Take up to `most` terms; with a hand left out, add to in->missed and stop PATIENCE terms after it
 * was missed least. @return how many were taken */
static size_t take_terms(size_t candidates, size_t most, room *in)
{
    const int has_hand = in->points > in->choosing;
    double least = (double)INFINITY;
    size_t least_at = 0;
    size_t k = 0;
    for (size_t s = 0; s < in->points; s++) {
        in->unit[s] = 1.0 / sqrt((double)in->choosing);
    }
    absorb(candidates, in);
    for (; k < most && (!has_hand || k < least_at + PATIENCE); k++) {
        size_t best = find_best(candidates, in);
        if (best == candidates) {
            break;
        }
        const double *column = in->column + best * in->points;
        const double length = sqrt(dot(in->choosing, column, column));
        for (size_t s = 0; s < in->points; s++) {
            in->unit[s] = column[s] / length;
        }
        in->length2[best] = 0.0; /* out of the running */
        in->taken[k] = best;
        absorb(candidates, in);
        if (has_hand) {
            const double miss = miss_now(in);
            in->missed[k] += miss;
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
static size_t set_out(const samples *of, size_t order, size_t left_out, room *in)
{
    const size_t candidates = list_candidates(in->choice, of->dimensions, order, in->term);
    size_t behind = of->count;
    in->points = of->count;
    in->choosing = 0;
    for (size_t s = 0; s < of->count; s++) {
        if (s * HANDS / of->count == left_out) {
            in->member[--behind] = s;
        } else {
            in->member[in->choosing++] = s;
        }
    }
    for (size_t s = 0; s < in->points; s++) {
        in->rest[s] = of->value[in->member[s]];
    }
    for (size_t c = 0; c < candidates; c++) {
        double *column = in->column + c * in->points;
        for (size_t s = 0; s < in->points; s++) {
            column[s] =
                term_at(&in->term[c], in->choice, of->position + in->member[s] * of->dimensions);
        }
        in->length2[c] = dot(in->choosing, column, column);
        in->along[c] = dot(in->choosing, column, in->rest);
    }
    return candidates;
}

/* Let every hand be foretold by the others. @return the number of terms that misses least */
static size_t try_order(const samples *of, size_t order, room *in, double *miss)
{
    size_t reached = most_terms(of->count - of->count / HANDS);
    size_t best = 0;
    memset(in->missed, 0, reached * sizeof *in->missed);
    for (size_t hand = 0; hand < HANDS; hand++) {
        size_t candidates = set_out(of, order, hand, in);
        size_t taken = take_terms(candidates, reached, in);
        reached = taken < reached ? taken : reached; /* sums of fewer hands say nothing */
    }
    *miss = (double)INFINITY;
    for (size_t k = 0; k < reached; k++) {
        if (in->missed[k] < *miss) {
            *miss = in->missed[k];
            best = k + 1;
        }
    }
    return best;
}

static double squares_about_mean(const samples *of)
{
    double mean = 0.0;
    double sum = 0.0;
    for (size_t s = 0; s < of->count; s++) {
        mean += of->value[s] / (double)of->count;
    }
    for (size_t s = 0; s < of->count; s++) {
        sum += (of->value[s] - mean) * (of->value[s] - mean);
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

static void leave(room *in)
{
    free(in->column);
    free(in->length2);
    free(in->along);
    free(in->rest);
    free(in->unit);
    free(in->missed);
    free(in->taken);
    free(in->member);
    free(in->term);
    free(in->choice);
}

static bf_status enter(const samples *of, size_t most_candidates, room *in, bf_error *err)
{
    const size_t n = of->count;
    *in = (room){
        .column = malloc(n * most_candidates * sizeof *in->column),
        .length2 = malloc(most_candidates * sizeof *in->length2),
        .along = malloc(most_candidates * sizeof *in->along),
        .rest = malloc(n * sizeof *in->rest),
        .unit = malloc(n * sizeof *in->unit),
        .missed = malloc(n * sizeof *in->missed),
        .taken = malloc(n * sizeof *in->taken),
        .member = malloc(n * sizeof *in->member),
        .term = malloc(most_candidates * sizeof *in->term),
        .choice = malloc(of->dimensions * sizeof *in->choice),
    };
    if (in->column == NULL || in->length2 == NULL || in->along == NULL || in->rest == NULL ||
        in->unit == NULL || in->missed == NULL || in->taken == NULL || in->member == NULL ||
        in->term == NULL || in->choice == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_indices_of", "no memory");
    }
    return BF_OK;
}

/* Hand over the terms taken, and their values at all points. */
static bf_status keep(const samples *all, size_t terms, const room *in, bf__surrogate *out,
                      bf_error *err)
{
    out->count = all->count;
    out->terms = terms;
    out->term = malloc((terms + 1) * sizeof *out->term);
    out->design = malloc(all->count * (terms + 1) * sizeof *out->design);
    if (out->term == NULL || out->design == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_indices_of", "no memory");
    }
    for (size_t t = 0; t < terms; t++) {
        out->term[t] = in->term[in->taken[t]];
    }
    for (size_t s = 0; s < all->count; s++) {
        double *row = out->design + s * (terms + 1);
        row[0] = 1.0;
        for (size_t t = 0; t < terms; t++) {
            row[t + 1] = term_at(&out->term[t], in->choice, all->position + s * all->dimensions);
        }
    }
    return BF_OK;
}

bf_status bf__surrogate_create(const double *position, const double *value, size_t count,
                               size_t dimensions, bf__surrogate *out, bf_error *err)
{
    const samples all = {position, value, count, dimensions};
    samples of = all; /* those that choose */
    of.count = count < MOST_POINTS ? count : MOST_POINTS;
    const size_t highest = highest_order(of.count, dimensions);
    size_t order = 1;
    size_t terms = 0;
    double least = (double)INFINITY;
    room in;
    memset(out, 0, sizeof *out);
    bf_status status = enter(&of, candidates_of(dimensions, highest), &in, err);
    if (status == BF_OK) {
        for (size_t d = 0; d < dimensions; d++) {
            in.choice[d] = is_choice(&all, d);
        }
        for (size_t o = 1; o <= highest; o++) {
            double miss;
            size_t best = try_order(&of, o, &in, &miss);
            if (miss < least) {
                least = miss;
                order = o;
                terms = best;
            }
        }
        size_t candidates = set_out(&of, order, HANDS, &in);
        terms = take_terms(candidates, terms, &in);
        status = keep(&all, terms, &in, out, err);
        out->explained = 1.0 - least / squares_about_mean(&of);
    }
    leave(&in);
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
