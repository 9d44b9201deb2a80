/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nernst-Planck diffusion between the shells of a bead, for many beads at once.
 * Arrays as in selectivity.h: ion i of point p at [i * stride + p]. */
#ifndef BF_RESIN_BEAD_H
#define BF_RESIN_BEAD_H

#include "brinefront/resin.h"

/**
 * The bead as a ladder of shells, core first: v_m dy_m/dt = +- w_f Phi, with v_m shares of the
 * bead's volume and Phi = D (difference of y).
 *
 * @param law     how volumes and faces are chosen: see bead.c
 * @param shells  M, 1 .. BF__BEAD_SHELLS_MAX
 * @param volume  out: M shares that add up to 1
 * @param weight  out: M - 1 face weights, 1/m2
 */
void bf__bead_ladder(bf_shell_law law, size_t shells, double bead_diameter_m, double *volume,
                     double *weight);

enum { BF__BEAD_SHELLS_MAX = 16 };

/** Rows of `stride` doubles that the next two functions need as work. */
enum { BF__BEAD_WORK_ROWS = 3 };

/**
 * Phi_i of one face, from the inner shell's y to the outer's, in m2/s:
 *     Phi_i = D_i [(y_out,i - y_in,i) + z_i h_i P]
 *
 * @param diffusivity  ions of the set in order, then Na; count + 1 values, m2/s
 * @param charge       the same order
 */
void bf__bead_flux(size_t count, size_t n, size_t stride, const double *diffusivity,
                   const double *charge, const double *inner, const double *outer, double *work,
                   double *flux);

/** dPhi_i/dy_in,k and dPhi_i/dy_out,k at [(i * count + k) * stride + p]. */
void bf__bead_flux_slope(size_t count, size_t n, size_t stride, const double *diffusivity,
                         const double *charge, const double *inner, const double *outer,
                         double *work, double *by_inner, double *by_outer);

#endif
