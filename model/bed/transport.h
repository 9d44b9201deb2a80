/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Advection and dispersion of one quantity along the bed. */
#ifndef BF_BED_TRANSPORT_H
#define BF_BED_TRANSPORT_H

#include <stddef.h>

typedef struct bf__stream {
    double advance_per_s; /* u/(eps dz) */
    double spread_per_s;  /* D_L/dz2 */
    double inlet_weight;  /* bf__transport_inlet_weight() */
} bf__stream;

/* theta = 2 v/(v + 2 d); 2 without dispersion, 0 at rest. */
double bf__transport_inlet_weight(double advance_per_s, double spread_per_s);

/* rate = dc/dt of the n cells; `face` is work for n doubles. */
void bf__transport_rate(const bf__stream *stream, size_t n, double inlet, const double *c,
                        double *face, double *rate);

/* The slopes of that rate: cell k by cells k-2, k-1, k, k+1, and cells 0 and 1 by the inlet. */
typedef struct bf__transport_slope {
    double *second_before; /* n */
    double *before;        /* n */
    double *own;           /* n */
    double *after;         /* n */
    double by_inlet[2];
} bf__transport_slope;

void bf__transport_slope_of(const bf__stream *stream, size_t n, double inlet, const double *c,
                            bf__transport_slope *slope);

#endif
