/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The closed list of units: the base units lead it, every other one is defined by a quantity in units
 * above it. bf_unit_get() goes through it. */
#ifndef BF_CASE_FILE_UNIT_TABLE_H
#define BF_CASE_FILE_UNIT_TABLE_H

/* The base units, in the order of the first rows of the table. Siemens is one of them: nothing here
 * needs the ampere. */
enum {
    BF__BASE_M,
    BF__BASE_KG,
    BF__BASE_S,
    BF__BASE_K,
    BF__BASE_MOL,
    BF__BASE_EQ,
    BF__BASE_BV,
    BF__BASE_SIEMENS,
    BF__BASE_MASS_FRACTION,
    BF__BASE_SALOMETER,
    BF__BASE_COUNT
};

#endif
