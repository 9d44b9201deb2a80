/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Direct solution of (I - gamma J) x = b by the structure of J (jacobian.c).
 *
 * Unknowns of a cell: C, pore water p (E), shells y_0 .. y_(M-1) (E each), local states l (L).
 *
 *  1. C and the freeboard before it depend on nothing else: a scalar system with bands -2 .. +1.
 *  2. Shells, core first, all cells at once. P_m, R_m: slopes of w_m Phi_m by its inner and its
 *     outer shell; v_m: the shell's volume.
 *        diagonal  D_m = I - (gamma/v_m)(P_m - R_(m-1))
 *        upper     -(gamma/v_m) R_m
 *        lower     (gamma/v_m) P_(m-1)
 *        E_m = lower D'_(m-1)^-1
 *        D'_m = D_m - E_m upper_(m-1)
 *     the outermost row adds -gamma/(v Q) S_y to D and leaves
 *        y_(M-1) = h + G p,  G = D'^-1 gamma/(v Q) S_p
 *     Classes of bead sizes are chains of their own; each adds its S_y G and S_y h in 4.
 *  3. Local states: Lambda = I - gamma J_ll, l = Lambda^-1 (b_l + gamma J_lC C + gamma J_lp p).
 *  4. Pore water: block system over cells, off-diagonal blocks diagonal per ion,
 *        [I + (gamma/eps)(S_p + S_y G) - gamma J_pp - gamma^2 J_pl Lambda^-1 J_lp] p - gamma T p
 *            = b_p - (gamma/eps)(S_C C + S_y h) + gamma J_pC C + gamma J_pl Lambda^-1 (...)
 *     eliminated downstream without pivoting: x_(k-2), then x_(k-1), out of row k.
 *  5. Back: shells from the surface inward, local states, freeboard behind, effluent integrals.
 *
 * No pivoting: the matrices are I plus gamma times rates that only mix or drain, diagonally
 * dominant but for the limiter's anti-diffusion; a vanished pivot is reported all the same.
 * Cost per cell: factor about M E^3 6, solve about M E^2 6 multiplications.
 * Work on shells runs along cells (small_blocks.h), the elimination of pore water along the bed.
 */
#include "bed/block_solver.h"

#include "base/hot.h"
#include "bed/small_blocks.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct bf__block_solver {
    bf__layout layout;
    double gamma;
    double per_pore;                   /* 1/eps */
    double per_shell[BF__MAX_CLASSES]; /* 1/(v Q) of the outermost shell */
    const double *shell_volume;
    bf__freeboard freeboard;
    double flush_per_s;
    double bed_volumes_per_s;
    double by_inlet[BF__MAX_IONS + 1][2];

    /* tracer: cell-last rows */
    double *c_second, *c_before, *c_inverse, *c_after;
    double *c_back; /* inverse times after */

    /* shells: M x E x E rows each */
    double *shell_inverse;                     /* D'^-1 */
    double *shell_lower;                       /* E_m */
    double *shell_upper;                       /* -gamma R_m, M-1 */
    double *link;                              /* G, of each class */
    double *s_pore, *s_fraction, *s_normality; /* slopes of S, of each class */

    /* pore water, cell-first: E x E blocks of cell k at k E E */
    double *p_second, *p_before, *p_inverse;
    double *p_back;  /* inverse times after */
    double *p_after; /* E values at k E */

    /* local states */
    double *local_inverse; /* L x L rows */
    double *local_source;  /* (E+L) x (1+E+L) rows */

    double *scratch; /* 2 E E rows for factoring; K E and E + L rows for solving */
    double *memory;
    size_t memory_length;
};

static double *take(double **next, size_t count)
{
    double *taken = *next;
    *next += count;
    return taken;
}

bf_status bf__block_solver_create(const bf__layout *layout, int with_sources,
                                  bf__block_solver **out, bf_error *err)
{
    *out = NULL;
    const size_t e = layout->ions;
    const size_t ee = e * e;
    const size_t f = e + layout->locals;
    const size_t n = layout->stride;
    const size_t source_rows = with_sources ? f * (1 + f) : 0;
    const size_t classes = layout->classes;
    const size_t rows = 5 + 2 * layout->shells * ee + (layout->shells - 1) * ee +
                        classes * (3 * ee + e) + layout->locals * layout->locals + source_rows +
                        2 * ee + 2 * f + classes * e;
    bf__block_solver *solver = calloc(1, sizeof *solver);
    if (solver != NULL) {
        solver->memory_length = rows * n + 4 * ee * n + e * n;
        solver->memory = calloc(solver->memory_length, sizeof(double));
    }
    if (solver == NULL || solver->memory == NULL) {
        bf__block_solver_free(solver);
        return bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for the block solver");
    }
    solver->layout = *layout;
    double *next = solver->memory;
    solver->c_second = take(&next, n);
    solver->c_before = take(&next, n);
    solver->c_inverse = take(&next, n);
    solver->c_after = take(&next, n);
    solver->c_back = take(&next, n);
    solver->shell_inverse = take(&next, layout->shells * ee * n);
    solver->shell_lower = take(&next, layout->shells * ee * n);
    solver->shell_upper = take(&next, (layout->shells - 1) * ee * n);
    solver->link = take(&next, classes * ee * n);
    solver->s_pore = take(&next, classes * ee * n);
    solver->s_fraction = take(&next, classes * ee * n);
    solver->s_normality = take(&next, classes * e * n);
    solver->local_inverse = take(&next, layout->locals * layout->locals * n);
    solver->local_source = with_sources ? take(&next, source_rows * n) : NULL;
    solver->scratch = take(&next, (2 * ee + 2 * f + classes * e) * n);
    solver->p_second = take(&next, ee * n);
    solver->p_before = take(&next, ee * n);
    solver->p_inverse = take(&next, ee * n);
    solver->p_back = take(&next, ee * n);
    solver->p_after = take(&next, e * n);
    *out = solver;
    return BF_OK;
}

void bf__block_solver_free(bf__block_solver *solver)
{
    if (solver != NULL) {
        free(solver->memory);
        free(solver);
    }
}

/* ---- factoring ------------------------------------------------------------------------------- */

static int factor_tracer(bf__block_solver *solver, const bf__transport_slope *t)
{
    const size_t n = solver->layout.cells;
    const double gamma = solver->gamma;
    double sound = 1.0;
    double *second = solver->c_second;
    double *before = solver->c_before;
    double *inverse = solver->c_inverse;
    double *after = solver->c_after;
    for (size_t k = 0; k < n; k++) {
        double s = -gamma * t->second_before[k];
        double b = -gamma * t->before[k];
        double d = 1.0 - gamma * t->own[k];
        after[k] = -gamma * t->after[k];
        if (k >= 2) {
            s *= inverse[k - 2];
            b -= s * after[k - 2];
        }
        if (k >= 1) {
            b *= inverse[k - 1];
            d -= b * after[k - 1];
        }
        second[k] = s;
        before[k] = b;
        inverse[k] = 1.0 / d;
        solver->c_back[k] = inverse[k] * after[k];
        sound *= isfinite(inverse[k]) ? 1.0 : 0.0;
    }
    return sound == 0.0;
}

/* I - gamma times the slopes of a shell by itself: its own diagonal blocks. */
static void fill_shell(const bf__block_solver *solver, const bf__jacobian *jacobian, size_t m,
                       size_t grade, double *diagonal)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t block = e * e * layout->stride;
    const double gamma = solver->gamma;
    const double *by_inner = jacobian->face_by_inner + m * block; /* P_m */
    const int has_inner_face = !bf__layout_is_core(layout, m);
    const int has_outer_face = !bf__layout_is_surface(layout, m);
    const double *s_fraction = solver->s_fraction + grade * block;
    const double own = gamma / solver->shell_volume[m];
    for (size_t i = 0; i < e; i++) {
        for (size_t j = 0; j < e; j++) {
            size_t row = (i * e + j) * layout->stride;
            double *restrict out = diagonal + row;
            const double unit = i == j ? 1.0 : 0.0;
            for (size_t p = 0; p < layout->cells; p++) {
                out[p] = unit;
            }
            if (has_outer_face) {
                for (size_t p = 0; p < layout->cells; p++) {
                    out[p] -= own * by_inner[row + p];
                }
            } else {
                const double weight = gamma * solver->per_shell[grade];
                for (size_t p = 0; p < layout->cells; p++) {
                    out[p] -= weight * s_fraction[row + p];
                }
            }
            if (has_inner_face) {
                const double *by_outer = jacobian->face_by_outer + (m - 1) * block + row;
                for (size_t p = 0; p < layout->cells; p++) {
                    out[p] += own * by_outer[p]; /* R_(m-1) */
                }
            }
        }
    }
}

static void factor_shells(bf__block_solver *solver, const bf__jacobian *jacobian)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t block = e * e * layout->stride;
    const double gamma = solver->gamma;
    size_t grade = 0;
    for (size_t m = 0; m < layout->shells; m++) {
        double *diagonal = solver->shell_inverse + m * block;
        const int has_inner_face = !bf__layout_is_core(layout, m);
        const int has_outer_face = !bf__layout_is_surface(layout, m);
        const double own = gamma / solver->shell_volume[m];
        fill_shell(solver, jacobian, m, grade, diagonal);
        if (has_inner_face) {
            double *lower = solver->shell_lower + m * block;
            bf__blocks_multiply(e, e, e, layout->cells, layout->stride, own,
                                jacobian->face_by_inner + (m - 1) * block,
                                solver->shell_inverse + (m - 1) * block, 0, lower);
            bf__blocks_multiply(e, e, e, layout->cells, layout->stride, -1.0, lower,
                                solver->shell_upper + (m - 1) * block, 1, diagonal);
        }
        if (has_outer_face) {
            double *upper = solver->shell_upper + m * block;
            const double *input = jacobian->face_by_outer + m * block;
            for (size_t p = 0; p < block; p++) {
                upper[p] = -own * input[p];
            }
        }
        bf__blocks_invert(e, layout->cells, layout->stride, diagonal);
        if (!has_outer_face) {
            bf__blocks_multiply(e, e, e, layout->cells, layout->stride,
                                gamma * solver->per_shell[grade], diagonal,
                                solver->s_pore + grade * block, 0, solver->link + grade * block);
            grade++;
        }
    }
}

/* Source rows of the face states: (r, c) of the (E+L) x (1+E+L) block. */
static const double *source_row(const bf__block_solver *solver, size_t r, size_t c)
{
    const size_t f = solver->layout.ions + solver->layout.locals;
    return solver->local_source + (r * (1 + f) + c) * solver->layout.stride;
}

/* Adds what local states and sources put into the pore blocks. */
static void factor_locals(bf__block_solver *solver, const bf__jacobian *jacobian,
                          double *pore_block)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t l = layout->locals;
    const size_t f = e + l;
    const size_t n = layout->stride;
    const double gamma = solver->gamma;
    for (size_t r = 0; r < f * (1 + f); r++) {
        memcpy(solver->local_source + r * n, jacobian->source[r], layout->cells * sizeof(double));
    }
    for (size_t i = 0; i < l; i++) {
        for (size_t j = 0; j < l; j++) {
            const double *input = source_row(solver, e + i, 1 + e + j);
            double *out = solver->local_inverse + (i * l + j) * n;
            for (size_t p = 0; p < layout->cells; p++) {
                out[p] = (i == j ? 1.0 : 0.0) - gamma * input[p];
            }
        }
    }
    bf__blocks_invert(l, layout->cells, n, solver->local_inverse);
    for (size_t i = 0; i < e; i++) {
        for (size_t j = 0; j < e; j++) {
            double *out = pore_block + (i * e + j) * n;
            const double *direct = source_row(solver, i, 1 + j);
            for (size_t p = 0; p < layout->cells; p++) {
                out[p] -= gamma * direct[p];
            }
            for (size_t a = 0; a < l; a++) {
                for (size_t b = 0; b < l; b++) {
                    const double *left = source_row(solver, i, 1 + e + a);
                    const double *middle = solver->local_inverse + (a * l + b) * n;
                    const double *right = source_row(solver, e + b, 1 + j);
                    for (size_t p = 0; p < layout->cells; p++) {
                        out[p] -= gamma * gamma * left[p] * middle[p] * right[p];
                    }
                }
            }
        }
    }
}

static inline int factor_pore_of(size_t e, bf__block_solver *solver, const double *pore_block,
                                 const bf__transport_slope *t)
{
    const bf__layout *layout = &solver->layout;
    const size_t ee = e * e;
    const double gamma = solver->gamma;
    double sound = 1.0;
    for (size_t k = 0; k < layout->cells; k++) {
        double *second = solver->p_second + k * ee;
        double *before = solver->p_before + k * ee;
        double *diagonal = solver->p_inverse + k * ee;
        double *after = solver->p_after + k * e;
        for (size_t i = 0; i < e; i++) {
            after[i] = -gamma * t[1 + i].after[k];
            for (size_t j = 0; j < e; j++) {
                diagonal[i * e + j] = pore_block[(i * e + j) * layout->stride + k];
            }
            diagonal[i * e + i] += 1.0 - gamma * t[1 + i].own[k];
        }
        if (k >= 2) {
            const double *inverse = solver->p_inverse + (k - 2) * ee;
            for (size_t i = 0; i < e; i++) {
                double weight = -gamma * t[1 + i].second_before[k];
                for (size_t j = 0; j < e; j++) {
                    second[i * e + j] = weight * inverse[i * e + j];
                }
            }
        }
        if (k >= 1) {
            double reduced[BF__MAX_IONS * BF__MAX_IONS];
            for (size_t i = 0; i < e; i++) {
                for (size_t j = 0; j < e; j++) {
                    reduced[i * e + j] = i == j ? -gamma * t[1 + i].before[k] : 0.0;
                    if (k >= 2) {
                        reduced[i * e + j] -= second[i * e + j] * solver->p_after[(k - 2) * e + j];
                    }
                }
            }
            const double *inverse = solver->p_inverse + (k - 1) * ee;
            for (size_t i = 0; i < e; i++) {
                for (size_t j = 0; j < e; j++) {
                    double sum = 0.0;
                    for (size_t m = 0; m < e; m++) {
                        sum += reduced[i * e + m] * inverse[m * e + j];
                    }
                    before[i * e + j] = sum;
                    diagonal[i * e + j] -= sum * solver->p_after[(k - 1) * e + j];
                }
            }
        }
        sound *= bf__block_invert(e, diagonal);
        for (size_t i = 0; i < e; i++) {
            for (size_t j = 0; j < e; j++) {
                solver->p_back[k * ee + i * e + j] = diagonal[i * e + j] * after[j];
            }
        }
    }
    return sound == 0.0;
}

static int factor_pore(bf__block_solver *solver, const double *pore_block,
                       const bf__transport_slope *t)
{
    switch (solver->layout.ions) {
    case 1: return factor_pore_of(1, solver, pore_block, t);
    case 2: return factor_pore_of(2, solver, pore_block, t);
    case 3: return factor_pore_of(3, solver, pore_block, t);
    case 4: return factor_pore_of(4, solver, pore_block, t);
    default: return factor_pore_of(solver->layout.ions, solver, pore_block, t);
    }
}

BF__HOT int bf__block_solver_factor(bf__block_solver *solver, const bf__column *column,
                                    const bf__jacobian *jacobian, double gamma)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t block = e * e * layout->stride;
    solver->gamma = gamma;
    solver->per_pore = 1.0 / column->void_fraction;
    solver->shell_volume = column->shell_volume;
    solver->freeboard = column->freeboard;
    solver->flush_per_s = column->flush_per_s;
    solver->bed_volumes_per_s = column->bed_volumes_per_s;
    for (size_t q = 0; q <= e; q++) {
        solver->by_inlet[q][0] = jacobian->transport[q].by_inlet[0];
        solver->by_inlet[q][1] = jacobian->transport[q].by_inlet[1];
    }
    for (size_t grade = 0; grade < layout->classes; grade++) {
        const bf__exchange_slope *input = &jacobian->exchange[grade];
        solver->per_shell[grade] = 1.0 / (column->shell_volume[bf__layout_surface(layout, grade)] *
                                          column->total_capacity_eq_per_m3);
        memcpy(solver->s_pore + grade * block, input->by_pore, block * sizeof(double));
        memcpy(solver->s_fraction + grade * block, input->by_fraction, block * sizeof(double));
        memcpy(solver->s_normality + grade * e * layout->stride, input->by_normality,
               e * layout->stride * sizeof(double));
    }

    if (factor_tracer(solver, &jacobian->transport[0]) != 0) {
        return 1;
    }
    factor_shells(solver, jacobian);
    double *pore_block = solver->scratch;
    const double weight = gamma * solver->per_pore;
    for (size_t grade = 0; grade < layout->classes; grade++) {
        const double *s_pore = solver->s_pore + grade * block;
        bf__blocks_multiply(e, e, e, layout->cells, layout->stride, weight,
                            solver->s_fraction + grade * block, solver->link + grade * block,
                            grade > 0, pore_block);
        for (size_t p = 0; p < block; p++) {
            pore_block[p] += weight * s_pore[p];
        }
    }
    if (solver->local_source != NULL) {
        factor_locals(solver, jacobian, pore_block);
    }
    return factor_pore(solver, pore_block, jacobian->transport);
}

/* ---- solving --------------------------------------------------------------------------------- */

static void solve_tracer(const bf__block_solver *solver, double *x)
{
    const size_t n = solver->layout.cells;
    double last = 0.0;
    double last_but_one = 0.0;
    for (size_t k = 0; k < n; k++) {
        double value = x[k] - solver->c_second[k] * last_but_one - solver->c_before[k] * last;
        last_but_one = last;
        last = value;
        x[k] = value;
    }
    double next = 0.0;
    for (size_t k = n; k-- > 0;) {
        next = solver->c_inverse[k] * x[k] - solver->c_back[k] * next;
        x[k] = next;
    }
}

static inline void solve_pore_of(size_t e, const bf__block_solver *solver, double *x)
{
    const bf__layout *layout = &solver->layout;
    const size_t ee = e * e;
    const size_t n = layout->cells;
    double last[BF__MAX_IONS] = {0};
    double last_but_one[BF__MAX_IONS] = {0};
    for (size_t k = 0; k < n; k++) {
        const double *second = solver->p_second + k * ee;
        const double *before = solver->p_before + k * ee;
        double value[BF__MAX_IONS];
        /* What is known a cell earlier comes first: the next cell waits for the last sum only. */
        for (size_t i = 0; i < e; i++) {
            double early = x[i * layout->stride + k];
            double late = 0.0;
            for (size_t j = 0; j < e; j++) {
                early -= second[i * e + j] * last_but_one[j];
                late += before[i * e + j] * last[j];
            }
            value[i] = early - late;
        }
        for (size_t i = 0; i < e; i++) {
            last_but_one[i] = last[i];
            last[i] = value[i];
            x[i * layout->stride + k] = value[i];
        }
    }
    double next[BF__MAX_IONS] = {0};
    for (size_t k = n; k-- > 0;) {
        const double *inverse = solver->p_inverse + k * ee;
        const double *back = solver->p_back + k * ee;
        double value[BF__MAX_IONS];
        for (size_t i = 0; i < e; i++) {
            double early = 0.0;
            double late = 0.0;
            for (size_t j = 0; j < e; j++) {
                early += inverse[i * e + j] * x[j * layout->stride + k];
                late += back[i * e + j] * next[j];
            }
            value[i] = early - late;
        }
        for (size_t i = 0; i < e; i++) {
            next[i] = value[i];
            x[i * layout->stride + k] = value[i];
        }
    }
}

static void solve_pore(const bf__block_solver *solver, double *x)
{
    switch (solver->layout.ions) {
    case 1: solve_pore_of(1, solver, x); break;
    case 2: solve_pore_of(2, solver, x); break;
    case 3: solve_pore_of(3, solver, x); break;
    case 4: solve_pore_of(4, solver, x); break;
    default: solve_pore_of(solver->layout.ions, solver, x); break;
    }
}

/* h of every class: the shells as far as they go without the pore water; overwrites the shell rows
 * of x. */
static void shells_forward(const bf__block_solver *solver, const double *tracer, double *shells,
                           double *h)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t row = e * layout->stride;
    const size_t block = e * row;
    size_t grade = 0;
    for (size_t m = 0; m < layout->shells; m++) {
        double *own = shells + m * row;
        if (!bf__layout_is_core(layout, m)) {
            bf__blocks_multiply(e, e, 1, layout->cells, layout->stride, -1.0,
                                solver->shell_lower + m * block, own - row, 1, own);
        }
        if (!bf__layout_is_surface(layout, m)) {
            continue;
        }
        const double weight = solver->gamma * solver->per_shell[grade];
        for (size_t i = 0; i < e; i++) {
            const double *restrict slope = solver->s_normality + grade * row + i * layout->stride;
            double *restrict out = own + i * layout->stride;
            for (size_t p = 0; p < layout->cells; p++) {
                out[p] += weight * slope[p] * tracer[p];
            }
        }
        bf__blocks_multiply(e, e, 1, layout->cells, layout->stride, 1.0,
                            solver->shell_inverse + m * block, own, 0, h + grade * row);
        grade++;
    }
}

static void shells_backward(const bf__block_solver *solver, const double *pore, double *shells,
                            double *h)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t row = e * layout->stride;
    const size_t block = e * row;
    size_t grade = layout->classes;
    for (size_t m = layout->shells; m-- > 0;) {
        double *own = shells + m * row;
        if (bf__layout_is_surface(layout, m)) {
            grade--;
            memcpy(own, h + grade * row, row * sizeof(double));
            bf__blocks_multiply(e, e, 1, layout->cells, layout->stride, 1.0,
                                solver->link + grade * block, pore, 1, own);
        } else { /* h of this class is used up: room for one row more */
            double *solved = h + grade * row;
            bf__blocks_multiply(e, e, 1, layout->cells, layout->stride, -1.0,
                                solver->shell_upper + m * block, own + row, 1, own);
            bf__blocks_multiply(e, e, 1, layout->cells, layout->stride, 1.0,
                                solver->shell_inverse + m * block, own, 0, solved);
            memcpy(own, solved, row * sizeof(double));
        }
    }
}

/* Local right-hand sides b_l + gamma J_lC C, then times Lambda^-1 into `free_part`. */
static void locals_forward(const bf__block_solver *solver, const double *tracer,
                           const double *local, double *pore, double *free_part)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t l = layout->locals;
    const size_t n = layout->stride;
    const double gamma = solver->gamma;
    for (size_t i = 0; i < e; i++) {
        const double *by_tracer = source_row(solver, i, 0);
        for (size_t p = 0; p < layout->cells; p++) {
            pore[i * n + p] += gamma * by_tracer[p] * tracer[p];
        }
    }
    for (size_t a = 0; a < l; a++) {
        memset(free_part + a * n, 0, layout->cells * sizeof(double));
        for (size_t b = 0; b < l; b++) {
            const double *by_tracer = source_row(solver, e + b, 0);
            const double *inverse = solver->local_inverse + (a * l + b) * n;
            for (size_t p = 0; p < layout->cells; p++) {
                free_part[a * n + p] +=
                    inverse[p] * (local[b * n + p] + gamma * by_tracer[p] * tracer[p]);
            }
        }
        for (size_t i = 0; i < e; i++) {
            const double *by_local = source_row(solver, i, 1 + e + a);
            for (size_t p = 0; p < layout->cells; p++) {
                pore[i * n + p] += gamma * by_local[p] * free_part[a * n + p];
            }
        }
    }
}

static void locals_backward(const bf__block_solver *solver, const double *pore,
                            const double *free_part, double *local)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t l = layout->locals;
    const size_t n = layout->stride;
    for (size_t a = 0; a < l; a++) {
        memcpy(local + a * n, free_part + a * n, layout->cells * sizeof(double));
        for (size_t b = 0; b < l; b++) {
            const double *inverse = solver->local_inverse + (a * l + b) * n;
            for (size_t j = 0; j < e; j++) {
                const double *by_pore = source_row(solver, e + b, 1 + j);
                for (size_t p = 0; p < layout->cells; p++) {
                    local[a * n + p] += solver->gamma * inverse[p] * by_pore[p] * pore[j * n + p];
                }
            }
        }
    }
}

/* What the inlet brings into the first two cells when the freeboard stands before the bed. */
static void add_inlet(const bf__block_solver *solver, size_t quantity, const double *freeboard,
                      double *row)
{
    if (solver->freeboard == BF__FREEBOARD_BEFORE) {
        row[0] += solver->gamma * solver->by_inlet[quantity][0] * freeboard[quantity];
        row[1] += solver->gamma * solver->by_inlet[quantity][1] * freeboard[quantity];
    }
}

BF__HOT void bf__block_solver_solve(bf__block_solver *solver, const double *b, double *x)
{
    const bf__layout *layout = &solver->layout;
    const size_t e = layout->ions;
    const size_t n = layout->stride;
    const size_t block = e * e * n;
    if (x != b) {
        memcpy(x, b, bf__layout_length(layout) * sizeof *x);
    }
    double *tracer = x + bf__layout_normality(layout);
    double *pore = x + bf__layout_pore(layout, 0);
    double *shells = x + bf__layout_shell(layout, 0, 0);
    double *local = x + bf__layout_local(layout, 0);
    double *freeboard = x + bf__layout_freeboard(layout);
    double *effluent = x + bf__layout_effluent(layout);
    double *h = solver->scratch;
    double *free_part = solver->scratch + layout->classes * e * n;

    if (solver->freeboard == BF__FREEBOARD_BEFORE) {
        for (size_t q = 0; q <= e; q++) {
            freeboard[q] /= 1.0 + solver->gamma * solver->flush_per_s;
        }
    }
    add_inlet(solver, 0, freeboard, tracer);
    solve_tracer(solver, tracer);

    shells_forward(solver, tracer, shells, h);
    const double weight = solver->gamma * solver->per_pore;
    for (size_t grade = 0; grade < layout->classes; grade++) {
        bf__blocks_multiply(e, e, 1, layout->cells, n, -weight, solver->s_fraction + grade * block,
                            h + grade * e * n, 1, pore);
        for (size_t i = 0; i < e; i++) {
            const double *restrict slope = solver->s_normality + (grade * e + i) * n;
            double *restrict out = pore + i * n;
            for (size_t p = 0; p < layout->cells; p++) {
                out[p] -= weight * slope[p] * tracer[p];
            }
        }
    }
    for (size_t i = 0; i < e; i++) {
        add_inlet(solver, 1 + i, freeboard, pore + i * n);
    }
    if (solver->local_source != NULL) {
        locals_forward(solver, tracer, local, pore, free_part);
    }
    solve_pore(solver, pore);
    if (solver->local_source != NULL) {
        locals_backward(solver, pore, free_part, local);
    }
    shells_backward(solver, pore, shells, h);

    for (size_t q = 0; q <= e; q++) {
        double leaves = x[q * n + layout->cells - 1];
        if (solver->freeboard == BF__FREEBOARD_BEHIND) {
            double rate = solver->gamma * solver->flush_per_s;
            freeboard[q] = (freeboard[q] + rate * leaves) / (1.0 + rate);
            leaves = freeboard[q];
        }
        effluent[q] += solver->gamma * solver->bed_volumes_per_s * leaves;
    }
}
