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
 * With hat matrix H of the terms taken and residual r, what a sample is missed by when it is left
 * out of the fit is r_s/(1 - H_ss). How many terms, and which N, is decided by
 *
 *     e = (1/n) sum [r_s/(1 - H_ss)]^2 (n + k)/(n - k),      k terms with the constant
 *
 * the least of which is kept; the factor stands for the terms having been chosen by the same
 * samples. N goes up while the candidates are at most CANDIDATES_PER_POINT a sample. Of very many
 * samples the first MOST_POINTS choose.
 *
 * Explained, Q2 = 1 - sum (miss)^2/sum (f - mean)^2, is told of samples that had no part in the
 * choice either: the samples are dealt into HANDS hands, and each hand is foretold by a surrogate
 * chosen (at the same N) and fitted without it.
 *
 * Source: orthogonal least squares, Chen, Billings & Luo, Int. J. Control 50 (1989) 1873; sparse
 * polynomials chosen by leave-one-out error, Blatman & Sudret, J. Comput. Phys. 230 (2011) 2345
 * (both from memory; the factor here is the simpler one for an orthonormal design).
 */
#include "rating/surrogate.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_ORDER = 10,
    MOST_POINTS = 1024, /* to choose by */
    CANDIDATES_PER_POINT = 4,
    MOST_NUMBERS = 1 << 19, /* candidates times points: a few seconds */
    POINTS_PER_TERM = 4,
    MOST_TERMS = 96,
    PATIENCE = 12, /* terms taken without gain before giving up */
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

/* What one choice needs. Columns are as long as there are points. */
typedef struct room {
    double *column; /* the candidates, orthogonal to the terms taken so far */
    double *rest;   /* of the values */
    double *hat;    /* H_ss */
    double *unit;   /* the term just taken, length 1 */
    size_t *taken;  /* candidates in the order they were taken */
    bf__term *term; /* the candidates */
    int *choice;    /* by dimension */
    size_t *member; /* points that take part */
    double *design; /* rows of the constant and the terms kept */
    double *work, *coefficient;
} room;

static double missed(size_t n, size_t with_constant, const room *in)
{
    double sum = 0.0;
    for (size_t s = 0; s < n; s++) {
        double miss = in->rest[s] / (1.0 - in->hat[s]);
        sum += miss * miss;
    }
    return sum / (double)n * (double)(n + with_constant) / (double)(n - with_constant);
}

/* Orthogonalise everything on in->unit. */
static void absorb(size_t n, size_t candidates, room *in)
{
    take_away(n, dot(n, in->unit, in->rest), in->unit, in->rest);
    for (size_t c = 0; c < candidates; c++) {
        double *column = in->column + c * n;
        take_away(n, dot(n, in->unit, column), in->unit, column);
    }
    for (size_t s = 0; s < n; s++) {
        in->hat[s] += in->unit[s] * in->unit[s];
    }
}

/* The candidate that takes most of the rest; `candidates` when none is independent any more. */
static size_t find_best(size_t n, size_t candidates, const room *in)
{
    const double independent = 1e-6; /* of a column's length squared, which is about n */
    size_t best = candidates;
    double most = -1.0;
    for (size_t c = 0; c < candidates; c++) {
        const double *column = in->column + c * n;
        double length = dot(n, column, column);
        double along = dot(n, column, in->rest);
        if (length > independent * (double)n && along * along / length > most) {
            most = along * along / length;
            best = c;
        }
    }
    return best;
}

static size_t most_terms(size_t n)
{
    return n / POINTS_PER_TERM < MOST_TERMS ? n / POINTS_PER_TERM : MOST_TERMS;
}

/* Fill in->taken; in->column holds the candidates and in->rest the values.
 * @return how many to keep; *error: e of these */
static size_t take_terms(size_t n, size_t candidates, room *in, double *error)
{
    const size_t most = most_terms(n);
    size_t kept = 0;
    *error = (double)INFINITY;
    for (size_t s = 0; s < n; s++) {
        in->hat[s] = 0.0;
        in->unit[s] = 1.0 / sqrt((double)n);
    }
    absorb(n, candidates, in);
    for (size_t k = 0; k < most && k < kept + PATIENCE; k++) {
        size_t best = find_best(n, candidates, in);
        if (best == candidates) {
            break;
        }
        double *column = in->column + best * n;
        double length = sqrt(dot(n, column, column));
        for (size_t s = 0; s < n; s++) {
            in->unit[s] = column[s] / length;
        }
        absorb(n, candidates, in);
        memset(column, 0, n * sizeof *column);
        in->taken[k] = best;
        double now = missed(n, k + 2, in);
        if (now < *error) {
            *error = now;
            kept = k + 1;
        }
    }
    return kept;
}

/* ---- the fit --------------------------------------------------------------------------------- */

int bf__least_squares(size_t rows, size_t columns, double *matrix, const double *value,
                      double *work, double *coefficient)
{
    const double dependent = 1e-10;
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

static void fill_row(const samples *of, size_t s, size_t terms, const room *in, double *row)
{
    row[0] = 1.0;
    for (size_t t = 0; t < terms; t++) {
        row[t + 1] =
            term_at(&in->term[in->taken[t]], in->choice, of->position + s * of->dimensions);
    }
}

/* Choose among the candidates of one order by the first n of in->member. @return how many terms */
static size_t choose_by_members(const samples *of, size_t n, size_t order, room *in, double *error)
{
    size_t candidates = list_candidates(in->choice, of->dimensions, order, in->term);
    for (size_t c = 0; c < candidates; c++) {
        for (size_t s = 0; s < n; s++) {
            in->column[c * n + s] =
                term_at(&in->term[c], in->choice, of->position + in->member[s] * of->dimensions);
        }
    }
    for (size_t s = 0; s < n; s++) {
        in->rest[s] = of->value[in->member[s]];
    }
    return take_terms(n, candidates, in, error);
}

static size_t choose(const samples *of, size_t order, room *in, double *error)
{
    for (size_t s = 0; s < of->count; s++) {
        in->member[s] = s;
    }
    return choose_by_members(of, of->count, order, in, error);
}

/* Leave one hand out, choose and fit, and add up the squares of what it is missed by. */
static double miss_of_hand(const samples *of, size_t hand, size_t order, room *in)
{
    size_t n = 0;
    double error;
    double sum = 0.0;
    for (size_t s = 0; s < of->count; s++) {
        if (s % HANDS != hand) {
            in->member[n++] = s;
        }
    }
    const size_t terms = choose_by_members(of, n, order, in, &error);
    for (size_t s = 0; s < n; s++) {
        fill_row(of, in->member[s], terms, in, in->design + s * (terms + 1));
        in->rest[s] = of->value[in->member[s]];
    }
    if (bf__least_squares(n, terms + 1, in->design, in->rest, in->work, in->coefficient) != 0) {
        return (double)INFINITY;
    }
    for (size_t s = hand; s < of->count; s += HANDS) {
        fill_row(of, s, terms, in, in->design);
        double miss = of->value[s] - dot(terms + 1, in->design, in->coefficient);
        sum += miss * miss;
    }
    return sum;
}

static double foretold(const samples *of, size_t order, room *in)
{
    double mean = 0.0;
    double spread = 0.0;
    double miss = 0.0;
    for (size_t s = 0; s < of->count; s++) {
        mean += of->value[s] / (double)of->count;
    }
    for (size_t s = 0; s < of->count; s++) {
        spread += (of->value[s] - mean) * (of->value[s] - mean);
    }
    for (size_t hand = 0; hand < HANDS; hand++) {
        miss += miss_of_hand(of, hand, order, in);
    }
    return 1.0 - miss / spread;
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
    free(in->rest);
    free(in->hat);
    free(in->unit);
    free(in->taken);
    free(in->term);
    free(in->choice);
    free(in->member);
    free(in->design);
    free(in->work);
    free(in->coefficient);
}

static bf_status enter(const samples *of, size_t most_candidates, room *in, bf_error *err)
{
    const size_t n = of->count;
    const size_t columns = most_terms(n) + 1;
    *in = (room){
        .column = malloc(n * most_candidates * sizeof *in->column),
        .rest = malloc(n * sizeof *in->rest),
        .hat = malloc(n * sizeof *in->hat),
        .unit = malloc(n * sizeof *in->unit),
        .taken = malloc(n * sizeof *in->taken),
        .term = malloc(most_candidates * sizeof *in->term),
        .choice = malloc(of->dimensions * sizeof *in->choice),
        .member = malloc(n * sizeof *in->member),
        .design = malloc(n * columns * sizeof *in->design),
        .work = malloc((n + columns) * sizeof *in->work),
        .coefficient = malloc(columns * sizeof *in->coefficient),
    };
    if (in->column == NULL || in->rest == NULL || in->hat == NULL || in->unit == NULL ||
        in->taken == NULL || in->term == NULL || in->choice == NULL || in->member == NULL ||
        in->design == NULL || in->work == NULL || in->coefficient == NULL) {
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
        fill_row(all, s, terms, in, out->design + s * (terms + 1));
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
    size_t best = 1;
    double least = (double)INFINITY;
    double error;
    room in;
    memset(out, 0, sizeof *out);
    bf_status status = enter(&of, candidates_of(dimensions, highest), &in, err);
    if (status == BF_OK) {
        for (size_t d = 0; d < dimensions; d++) {
            in.choice[d] = is_choice(&all, d);
        }
        for (size_t order = 1; order <= highest; order++) {
            (void)choose(&of, order, &in, &error);
            if (error < least) {
                least = error;
                best = order;
            }
        }
        status = keep(&all, choose(&of, best, &in, &error), &in, out, err);
        if (status == BF_OK) {
            out->explained = foretold(&of, best, &in);
        }
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
