/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BF_VALIDATION_PARAMETERS_H
#define BF_VALIDATION_PARAMETERS_H

#include <stdio.h>

/** Print the Markdown table. */
void iron_parameters_print(FILE *file);

#endif
