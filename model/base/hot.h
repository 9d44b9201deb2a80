/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Marks the few functions where the time goes: they are compiled once for the plain machine and
 * once for each wider set of vector registers, and the loader picks. Results are the same bits on
 * all of them, since products and sums are neither fused nor reordered. */
#ifndef BF_BASE_HOT_H
#define BF_BASE_HOT_H

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(BF_ONE_VERSION)
#define BF__HOT                                                                                    \
    __attribute__((flatten, target_clones("arch=x86-64-v4", "arch=x86-64-v3", "default")))
#else
#define BF__HOT
#endif

#endif
