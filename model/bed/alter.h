/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes of a bed between its runs: what slow chemistry does to the ions of a cell.
 *
 * Each says where the charge goes. Cells are counted from the top; amounts are eq per m3 of bed.
 */
#ifndef BF_BED_ALTER_H
#define BF_BED_ALTER_H

#include "bed/column.h"

/* What the others are made of: the constants, and the state between runs, top cell first. */
const bf__column *bf__bed_column(const bf_bed *bed);
double *bf__bed_state(bf_bed *bed);

/* What resin, pore water and freeboard water hold of every cation, mean over the bed's volume. */
void bf__bed_held(const bf_bed *bed, double held_eq_per_m3[BF_ION_COUNT]);

/* An ion leaves the resin of a cell and the solution with it: its sites take as much Na from the
 * pore water. All shells lose the same share. Asked for more than the resin of the cell holds, or
 * than the Na of its water can fill, it takes what there is. @return what was taken */
double bf__bed_leave_resin(bf_bed *bed, size_t cell, bf_ion ion, double eq_per_m3);

/* An ion leaves the pore water of a cell, its charge with it. @return what was taken: at most what
 * there is */
double bf__bed_leave_water(bf_bed *bed, size_t cell, bf_ion ion, double eq_per_m3);

/* An ion takes Na sites of the resin of a cell; the Na leaves with the liquid that brought the ion
 * and is not followed. @return what found room */
double bf__bed_load(bf_bed *bed, size_t cell, bf_ion ion, double eq_per_m3);

/* The bed has now its capacity, had `before` when its fractions were made. Sites lost hand the ions
 * they held to the pore water of their cell; sites won are in the Na form. */
void bf__bed_change_sites(bf_bed *bed, double before_eq_per_m3);

#endif
