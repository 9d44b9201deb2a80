/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What holds of every list of indices. */
#ifndef BF_TESTS_INDEX_ORDER_H
#define BF_TESTS_INDEX_ORDER_H

#include "brinefront/band.h"
#include "support.h"

static inline void ordered_and_whole(const bf_sobol_index *list, size_t count)
{
    double alone = 0.0;
    for (size_t i = 0; i < count; i++) {
        alone += list[i].alone;
        ck_assert_double_ge(list[i].alone, 0.0);
        ck_assert_double_le(list[i].alone, list[i].total);
        ck_assert_double_le(list[i].total, 1.0 + 1e-12); /* sums of squares over their own sum */
        ck_assert(i == 0 || list[i - 1].total >= list[i].total);
    }
    ck_assert_double_le(alone, 1.0 + 1e-12);
}

#endif
