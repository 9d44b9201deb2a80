/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BF_BENCH_NEWTON_KLU_H
#define BF_BENCH_NEWTON_KLU_H

#include "bed/newton.h"

extern const bf__newton_kind bf__newton_klu;

#endif
