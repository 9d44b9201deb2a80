/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The closed solutions that columns and beads are compared with, evaluated with
 * GSL. Each is itself held against a table in the comparison that uses it. NAN
 * where GSL gives up. */
#ifndef BF_VALIDATION_CLOSED_FORMS_H
#define BF_VALIDATION_CLOSED_FORMS_H

#include <stddef.h>

/** Exit step response of a closed vessel (flux inlet, no gradient at the
 * outlet), T in voids. H. Brenner, Chem. Eng. Sci. 17 (1962) 229, here from the
 * transfer function on the imaginary axis: G(s) = 4 a e^(Pe/2)/[(1+a)^2 e^(a
 * Pe/2) - (1-a)^2 e^(-a Pe/2)],  a = sqrt(1 + 4 s/Pe) F(T) = 1/2 + (1/pi)
 * Int_0^inf Im[G(i w) e^(i w T)] dw/w */
double closed_brenner(double peclet, double voids);

/** Step response at x = L of an endless bed. A. Ogata & R. B. Banks, USGS Prof.
 * Paper 411-A (1961).
 */
double closed_ogata_banks(double peclet, double voids);

/** J(x, y) = 1 - e^-y Int_0^x e^-t I0(2 sqrt(y t)) dt. N. K. Hiester & T.
 * Vermeulen, Chem. Eng. Prog. 48 (1952) 505. */
double closed_j(double x, double y);

/** H. C. Thomas, J. Am. Chem. Soc. 66 (1944) 1664: exit of a column with
 * reaction kinetics, r the inverse of the separation factor, N transfer units,
 * T throughput. */
double closed_thomas(double r, double units, double throughput);

/** J. B. Rosen, J. Chem. Phys. 20 (1952) 387: linear isotherm, diffusion in the
 * bead behind a film, u = 1/2 + (2/pi) Int exp(-X H1) sin(Y l^2 - X H2) dl/l,
 *     H1 + i H2 = g/(1 + nu g),  g = w coth w - 1,  w = (1 + i) l
 * X = 3 D K z (1-eps)/(eps v R^2), Y = 2 D (t - z/v)/R^2, nu = D K/(R k_f). */
double closed_rosen(double nu, double x, double y);

/** Uptake of a bead whose surface is held. G. E. Boyd, A. W. Adamson & L. S.
 * Myers, J. Am. Chem. Soc. 69 (1947) 2836: F = 1 - (6/pi^2) sum exp(-n^2 pi^2 D
 * t/R^2)/n^2. */
double closed_boyd(double dt_over_r2);

/** Time over which a constant pattern rises from x1 to x2, in 1/k. A. S.
 * Michaels, Ind. Eng. Chem. 44 (1952) 1922 for the film; E. Glueckauf & J. I.
 * Coates, J. Chem. Soc. (1947) 1315 for the linear driving force. */
double closed_pattern_film(double r, double x1, double x2);
double closed_pattern_driving_force(double r, double x1, double x2);

/** Binary mass action y/(1-y)^2 = L x/(1-x)^2 of a divalent ion against a
 * monovalent one, and its slope (DeVault, J. Am. Chem. Soc. 65 (1943) 532, for
 * what waves do with it). */
double closed_mass_action(double l, double x);
double closed_mass_action_slope(double l, double x);

/**
 * Not closed but independent: uptake of a bead by binary Nernst-Planck
 * exchange, surface held at the entering ion (F. Helfferich & M. S. Plesset, J.
 * Chem. Phys. 28 (1958) 418), by finite volumes graded towards the surface and
 * an L-stable one-step method of second order.
 *
 * @param ratio  D of the leaving over D of the entering ion
 * @param time   rising, D_leaving t/R^2
 * @return 0, or nonzero where its own iteration stands still
 */
int numeric_nernst_planck(double ratio, double z_leaving, double z_entering, size_t count,
                          const double *time, double *uptake);

#endif
