/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The version stands in project() of CMakeLists.txt and reaches the code here only. */
#include "brinefront/version.h"

const char *bf_version(void)
{
    return BF_VERSION;
}
