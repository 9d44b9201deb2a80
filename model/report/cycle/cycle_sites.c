/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What holds the sites of the resin at the end of each step, by tenths of the bed. */
#include "report/cycle/cycle_parts.h"

static int is_iron_or_manganese(bf_ion ion)
{
    return ion == BF_ION_FE || ion == BF_ION_MN;
}

/* Share of the sites that the ions chosen hold in a cell, at the end of a step. */
static double held_in_cell(const bf_trace *trace, size_t step, size_t cell,
                           int (*is_chosen)(bf_ion ion))
{
    double held = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (is_chosen((bf_ion)i)) {
            held += bf_trace_resin_fraction(trace, step, (bf_ion)i)[cell];
        }
    }
    return held;
}

static void print_step(const bf_cycle_study *study, size_t step, int decimals,
                       int (*is_chosen)(bf_ion ion), FILE *out)
{
    enum { PARTS = 10 };
    double part[PARTS] = {0};
    double weight[PARTS] = {0};
    double mean = 0.0;
    for (size_t k = 0; k < study->cells; k++) {
        const double held = held_in_cell(study->trace, step, k, is_chosen);
        const size_t tenth = k * PARTS / study->cells;
        part[tenth] += held;
        weight[tenth] += 1.0;
        mean += held / (double)study->cells;
    }
    (void)fprintf(out, "%-12s", study->cycle[0].step[step].name);
    for (size_t p = 0; p < PARTS; p++) {
        if (weight[p] > 0.0) {
            (void)fprintf(out, " %4.*f", decimals, 100.0 * part[p] / weight[p]);
        } else {
            (void)fprintf(out, " %4s", ""); /* fewer cells than tenths */
        }
    }
    (void)fprintf(out, " %6.*f\n", decimals + 1, 100.0 * mean);
}

static void print_sites(const bf_cycle_study *study, const char *what, int decimals,
                        int (*is_chosen)(bf_ion ion), FILE *out)
{
    (void)fprintf(out,
                  "\nSites of the resin that hold %s, %%, by tenths of the bed from the top\n\n"
                  "end of          1    2    3    4    5    6    7    8    9   10    bed\n",
                  what);
    for (size_t s = 0; s < bf_trace_step_count(study->trace); s++) {
        size_t count;
        (void)bf_trace_points(study->trace, s, &count);
        if (count > 0) {
            print_step(study, s, decimals, is_chosen, out);
        }
    }
}

void bf__cycle_sites_print(const bf_cycle_report *report, FILE *out)
{
    print_sites(report->study, "hardness", 0, bf_ion_is_hardness, out);
    if (bf__cycle_has_iron(report)) {
        print_sites(report->study, "iron and manganese", 1, is_iron_or_manganese, out);
    }
}
