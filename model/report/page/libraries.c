/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Asks every library for its version: the one that is loaded, not the one compiled against. */
#include "brinefront/libraries.h"

#include <gsl/gsl_version.h>
#include <jansson.h>
#include <stdio.h>
#include <sundials/sundials_version.h>
#include <yaml.h>
#include <zlib.h>

static void fill(bf_library *out, const char *name, const char *purpose, const char *version)
{
    out->name = name;
    out->purpose = purpose;
    (void)snprintf(out->version, sizeof out->version, "%s", version);
}

void bf_libraries(bf_library out[BF_LIBRARIES])
{
    char sundials[sizeof out->version] = "unknown";
    (void)SUNDIALSGetVersion(sundials, (int)sizeof sundials);
    fill(&out[0], "SUNDIALS", "integrates the bed in time", sundials);
    fill(&out[1], "GSL", "roots, minima, samples, statistics", gsl_version);
    fill(&out[2], "libyaml", "reads cases", yaml_get_version_string());
    fill(&out[3], "jansson", "writes JSON", jansson_version_str());
    fill(&out[4], "zlib", "checksums of saved states", zlibVersion());
}
