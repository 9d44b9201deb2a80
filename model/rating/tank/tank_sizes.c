/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Common sizes of pressure vessels, by their dimensions only.
 *
 * Area follows from the nominal diameter: pi/4 D^2, which is D^2/183 in ft2 and inches (M. Wirth,
 * WC&P, Mar 2014). Usual fillings: common practice, no source, and so are the sizes from 16 inches
 * on. Left out: wall, domes and threads, which take some per cent of both dimensions (common
 * practice, no source).
 */
#include "brinefront/convert.h"
#include "brinefront/tank.h"

#include <stdio.h>
#include <string.h>

static const struct {
    const char *name;
    double diameter_in, height_in;
    double low_ft3, high_ft3; /* common practice, no source */
} sizes[] = {
    {"8x44", 8.0, 44.0, 0.75, 0.75},   {"9x48", 9.0, 48.0, 1.0, 1.0},
    {"10x54", 10.0, 54.0, 1.5, 1.5},   {"12x52", 12.0, 52.0, 2.0, 2.0},
    {"13x54", 13.0, 54.0, 2.5, 2.5},   {"14x65", 14.0, 65.0, 3.0, 3.5},
    {"16x65", 16.0, 65.0, 4.0, 5.0},   {"18x65", 18.0, 65.0, 5.0, 6.0},
    {"21x62", 21.0, 62.0, 7.0, 8.0},   {"24x72", 24.0, 72.0, 10.0, 10.0},
    {"30x72", 30.0, 72.0, 15.0, 15.0}, {"36x72", 36.0, 72.0, 20.0, 20.0},
};
enum { SIZES = sizeof sizes / sizeof *sizes };

size_t bf_tank_size_count(void)
{
    return SIZES;
}

bf_tank_size bf_tank_size_get(size_t index)
{
    return (bf_tank_size){.name = sizes[index].name,
                          .diameter_m = sizes[index].diameter_in * BF_M_PER_IN,
                          .height_m = sizes[index].height_in * BF_M_PER_IN,
                          .resin_low_m3 = sizes[index].low_ft3 * BF_M3_PER_FT3,
                          .resin_high_m3 = sizes[index].high_ft3 * BF_M3_PER_FT3};
}

bf_status bf_tank_size_find(const char *name, bf_tank_size *out, bf_error *err)
{
    char names[12 * SIZES] = "";
    for (size_t i = 0; i < SIZES; i++) {
        if (strcmp(name, sizes[i].name) == 0) {
            *out = bf_tank_size_get(i);
            return BF_OK;
        }
        const size_t used = strlen(names);
        (void)snprintf(names + used, sizeof names - used, "%s%s", i > 0 ? ", " : "", sizes[i].name);
    }
    return bf_error_set(err, BF_E_INPUT, "bf_tank_size_find",
                        "there is no common size \"%.40s\"; the sizes, diameter by height in "
                        "inches, are %s; state diameter and height of any other",
                        name, names);
}
