/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where cases differ, key by key. */
#ifndef BF_REPORT_COMPARE_COMPARE_KEYS_H
#define BF_REPORT_COMPARE_COMPARE_KEYS_H

#include "brinefront/report.h"

/* "A", "B", ...: how a page calls the cases. */
char bf__compare_letter(size_t which);

/* Nonzero where a key, an index for bf_case_key_get(), does not stand for the same in all cases.
 * Neither text nor number tells: 12 in is 0.3048 m, and 20 BV/h is another velocity in a deeper
 * bed. One of the two alike makes a key alike. Title and doses do not count: one names the case,
 * the others are those of the comparison. */
int bf__compare_key_differs(const bf_compare_report *report, size_t key);

/* The value of a key in a case; NULL where it has none. */
const bf_case_value *bf__compare_value(const bf_page *page, size_t key);

/* The same as text in the units of a page; "not stated" where it has none. */
void bf__compare_value_text(const bf_page *page, size_t key, char *text, size_t room);

#endif
