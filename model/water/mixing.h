/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pitzer's integral for the electrostatic part of unsymmetrical mixing. */
#ifndef BF_WATER_MIXING_H
#define BF_WATER_MIXING_H

/** J(x) and x J'(x), both over x^2: they stay finite where x -> 0 up to a logarithm. 0 < x <= 50.
 */
typedef struct bf__mixing {
    double j_over_x2;
    double x_dj_over_x2;
} bf__mixing;

bf__mixing bf__mixing_integral(double x);

#endif
