/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities of a fouling bed in the units of a page. */
#ifndef BF_REPORT_CAMPAIGN_CAMPAIGN_SHOW_H
#define BF_REPORT_CAMPAIGN_CAMPAIGN_SHOW_H

#include "brinefront/report.h"

/* kgr/ft3 or eq/L */
double bf__show_capacity(bf_unit_system units, double eq_per_m3);
const char *bf__unit_of_capacity(bf_unit_system units);

/* g/ft3 or g/L */
double bf__show_deposit(bf_unit_system units, double kg_per_m3);
const char *bf__unit_of_deposit(bf_unit_system units);

/* psi or kPa */
double bf__show_pressure(bf_unit_system units, double pressure_Pa);
const char *bf__unit_of_pressure(bf_unit_system units);

/* lb/ft3 or g/L */
double bf__show_dose(bf_unit_system units, double kg_per_m3);
const char *bf__unit_of_dose(bf_unit_system units);

/* gpg per mg/L, or meq per mg: hardness counted for iron */
double bf__show_addition(bf_unit_system units, double eq_per_g);
const char *bf__unit_of_addition(bf_unit_system units);

/* lb or kg; gal or m3: of a whole bed */
double bf__show_mass(bf_unit_system units, double mass_kg);
const char *bf__unit_of_mass(bf_unit_system units);
double bf__show_volume(bf_unit_system units, double volume_m3);
const char *bf__unit_of_volume(bf_unit_system units);

/* An ion of a water, mg/L. */
double bf__ion_mg_per_L(const bf_water *water, bf_ion ion);

/* A number of so many decimals, right-aligned; "-" where it cannot be told. */
void bf__print_number(int width, int decimals, double value, FILE *out);

/* "18.2 to 21.4", right-aligned; "-" where it cannot be told. */
void bf__print_range(int width, int decimals, double low, double high, FILE *out);

#endif
