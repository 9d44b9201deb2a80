/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness of the softened water against volume, drawn in letters. */
#include "base/quantities.h"
#include "report/cycle/cycle_parts.h"

#include <math.h>
#include <string.h>

enum { WIDTH = 64, HEIGHT = 12 };

/* A logarithmic scale in half decades: leakage and breakthrough differ by thousands. */
typedef struct chart {
    int height[WIDTH]; /* of the curve, in rows */
    double low, high;  /* of the scale, as log10 */
} chart;

static chart draw(const bf_cycle_report *report, double end)
{
    const double least_shown = 1e-4; /* mg/L: nothing, on this scale */
    chart drawn;
    double value[WIDTH];
    double least = (double)INFINITY;
    double most = 0.0;
    for (size_t x = 0; x < WIDTH; x++) {
        const double at = end * ((double)x + 1.0) / WIDTH;
        const double hardness = bf_trace_at(report->study->trace, 0, at).hardness_eq_per_m3;
        value[x] =
            fmax(bf__quantity_show(BF__QUANTITY_LEAKAGE, BF_UNITS_SI, hardness), least_shown);
        least = fmin(least, value[x]);
        most = fmax(most, value[x]);
    }
    drawn.low = floor(log10(least) * 2.0) / 2.0;
    drawn.high = fmax(ceil(log10(most) * 2.0) / 2.0, drawn.low + 0.5);
    for (size_t x = 0; x < WIDTH; x++) {
        const double share = (log10(value[x]) - drawn.low) / (drawn.high - drawn.low);
        drawn.height[x] = (int)fmin(floor(share * HEIGHT), HEIGHT - 1);
    }
    return drawn;
}

/* One row of the chart, without blanks at its end; a steep rise is drawn through. */
static void print_row(const chart *drawn, int row, FILE *out)
{
    char line[WIDTH + 1] = "";
    size_t length = 0;
    for (size_t x = 0; x < WIDTH; x++) {
        const int before = drawn->height[x > 0 ? x - 1 : 0];
        const int height = drawn->height[x];
        const int is_between = (row > before && row < height) || (row < before && row > height);
        line[x] = row == height ? '*' : is_between ? ':' : ' ';
        length = line[x] == ' ' ? length : x + 1;
    }
    (void)fprintf(out, "%9.3g |%.*s\n",
                  pow(10.0, drawn->low + (drawn->high - drawn->low) * (row + 0.5) / HEIGHT),
                  (int)length, line);
}

void bf__cycle_chart_print(const bf_cycle_report *report, FILE *out)
{
    const bf__unit volume = bf__quantity_unit(BF__QUANTITY_BED_VOLUMES, report->page.units);
    const double end = report->study->cycle[0].step[0].bed_volumes;
    size_t count;
    (void)bf_trace_points(report->study->trace, 0, &count);
    if (count < 2) {
        return;
    }
    const chart drawn = draw(report, end);
    (void)fprintf(out, "\nHardness of the softened water, mg/L as CaCO3, against volume\n\n");
    for (int row = HEIGHT - 1; row >= 0; row--) {
        print_row(&drawn, row, out);
    }
    (void)fprintf(out,
                  "          +----------------------------------------------------------------"
                  "\n%11s%-20.4g%*.4g %s\n",
                  "", 0.0, WIDTH - 28, volume.scale * end, volume.column);
}
