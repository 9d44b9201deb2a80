/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file unit_system.h
 * The two systems of units in which results are shown.
 */
#ifndef BRINEFRONT_UNIT_SYSTEM_H
#define BRINEFRONT_UNIT_SYSTEM_H

/** BF_UNITS_US: lb, ft3, gal, gpm, kgr, psi, F. BF_UNITS_SI: kg, L, m3/h, eq, kPa, C. */
typedef enum bf_unit_system { BF_UNITS_US, BF_UNITS_SI } bf_unit_system;

#endif
