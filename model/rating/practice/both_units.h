/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quantity said in both unit systems, for the sentence of an error: "3.4 m3/h (15 gpm)". */
#ifndef BF_RATING_PRACTICE_BOTH_UNITS_H
#define BF_RATING_PRACTICE_BOTH_UNITS_H

typedef struct bf__words {
    char text[48];
} bf__words;

bf__words bf__both_flow(double m3_per_s);
bf__words bf__both_flow_at_most(double m3_per_s); /* rounded down: what is said holds */
bf__words bf__both_length(double m);
bf__words bf__both_volume(double m3);
bf__words bf__both_volume_at_most(double m3);
bf__words bf__both_pressure(double Pa);
bf__words bf__both_velocity(double m_per_s);
bf__words bf__both_per_bed(double m3_per_s, double resin_m3); /* BV/h, gpm/ft3 */
bf__words bf__both_temperature(double K);

#endif
