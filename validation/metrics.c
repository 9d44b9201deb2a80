/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a comparison gathers, and every metric of it. */
#include "metrics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *name;
    int sense;
    const char *meaning;
} table[] = {
#define METRIC_ROW(name, sense, meaning) {#name, sense, meaning},
    METRIC_TABLE(METRIC_ROW)
#undef METRIC_ROW
};

metric metric_find(const char *name)
{
    int which = 0;
    while (which < METRIC_COUNT && strcmp(name, table[which].name) != 0) {
        which++;
    }
    return (metric)which;
}

const char *metric_name(metric which)
{
    return table[which].name;
}

const char *metric_meaning(metric which)
{
    return table[which].meaning;
}

int metric_sense(metric which)
{
    return table[which].sense;
}

/* fmax() drops a NAN; a comparison must not. */
static double larger(double a, double b)
{
    return isnan(a) || a >= b ? a : b;
}

static double largest(const outcome *out, int relative)
{
    double worst = out->points > 0 ? 0.0 : (double)NAN;
    for (size_t i = 0; i < out->points; i++) {
        double off = fabs(out->computed[i] - out->reference[i]);
        off = relative && off > 0.0 ? off / fabs(out->reference[i]) : off;
        worst = larger(off, worst);
    }
    return worst;
}

static double mean_relative(const outcome *out)
{
    double sum = 0.0;
    for (size_t i = 0; i < out->points; i++) {
        sum += fabs(out->computed[i] - out->reference[i]) / fabs(out->reference[i]);
    }
    return sum / (double)out->points; /* 0/0 is NAN */
}

static double outside(const outcome *out)
{
    double worst = out->points > 0 ? 0.0 : (double)NAN;
    for (size_t i = 0; i < out->points; i++) {
        double below = (out->low[i] - out->computed[i]) / fabs(out->low[i]);
        double above = (out->computed[i] - out->high[i]) / fabs(out->high[i]);
        /* The open side of a limit is infinite: infinity over infinity is no
     * distance. */
        below = isinf(out->low[i]) ? 0.0 * out->computed[i] : below;
        above = isinf(out->high[i]) ? 0.0 * out->computed[i] : above;
        worst = larger(larger(below, above), worst);
    }
    return worst;
}

static double factor(const outcome *out)
{
    double worst = out->points > 0 ? 1.0 : (double)NAN;
    for (size_t i = 0; i < out->points; i++) {
        double ratio = out->computed[i] / out->reference[i];
        worst = larger(ratio > 0.0 ? larger(ratio, 1.0 / ratio) : (double)NAN, worst);
    }
    return worst;
}

static double root_mean_square(const outcome *out)
{
    double sum = 0.0;
    for (size_t i = 0; i < out->points; i++) {
        double off = out->computed[i] - out->reference[i];
        sum += off * off;
    }
    return sqrt(sum / (double)out->points); /* 0/0 is NAN */
}

static int errors_have_logarithms(size_t count, const double *error)
{
    for (size_t i = 0; i < count; i++) {
        if (!(error[i] > 0.0 && error[i] < (double)INFINITY)) {
            return 0;
        }
    }
    return 1;
}

double metric_fitted_order(size_t count, const double *intervals, const double *error)
{
    double x_mean = 0.0;
    double y_mean = 0.0;
    if (count < 2 || !errors_have_logarithms(count, error)) {
        return (double)NAN;
    }
    for (size_t i = 0; i < count; i++) {
        x_mean += log(intervals[i]) / (double)count;
        y_mean += log(error[i]) / (double)count;
    }
    double xy = 0.0;
    double xx = 0.0;
    for (size_t i = 0; i < count; i++) {
        double x = log(intervals[i]) - x_mean;
        xy += x * (log(error[i]) - y_mean);
        xx += x * x;
    }
    return -xy / xx;
}

static double last_orders(const outcome *out)
{
    size_t n = out->grids;
    if (n < 3) {
        return (double)NAN;
    }
    double last = metric_fitted_order(2, out->intervals + n - 2, out->error + n - 2);
    double before = metric_fitted_order(2, out->intervals + n - 3, out->error + n - 3);
    return -larger(-last, -before);
}

static double falls(const outcome *out)
{
    if (out->grids < 2 || !errors_have_logarithms(out->grids, out->error)) {
        return (double)NAN;
    }
    double worst = 0.0;
    for (size_t i = 1; i < out->grids; i++) {
        worst = larger(out->error[i] / out->error[i - 1], worst);
    }
    return worst;
}

double metric_value(metric which, const outcome *out)
{
    switch (which) {
    case METRIC_max_abs:
    case METRIC_apart: return largest(out, 0);
    case METRIC_max_rel: return largest(out, 1);
    case METRIC_mean_rel: return mean_relative(out);
    case METRIC_outside: return outside(out);
    case METRIC_factor: return factor(out);
    case METRIC_rms: return root_mean_square(out);
    case METRIC_order:
        return out->grids >= 4 ? metric_fitted_order(out->grids, out->intervals, out->error)
                               : (double)NAN;
    case METRIC_last_orders: return last_orders(out);
    case METRIC_falls: return falls(out);
    case METRIC_COUNT: break;
    }
    return (double)NAN;
}

int metric_passes(metric which, double value, double tolerance)
{
    return metric_sense(which) > 0 ? value <= tolerance : value >= tolerance;
}

void outcome_add(outcome *out, double place, double computed, double reference)
{
    if (out->points == OUTCOME_POINTS) {
        out->computed[OUTCOME_POINTS - 1] = (double)NAN;
        return;
    }
    out->place[out->points] = place;
    out->computed[out->points] = computed;
    out->reference[out->points] = reference;
    out->low[out->points] = reference;
    out->high[out->points] = reference;
    out->points++;
}

/* @return nonzero when the text is "a", "<= a", ">= a" or "a to b" and nothing
 * else */
static int read_published(const char *text, double *low, double *high)
{
    int at_most = strncmp(text, "<= ", 3) == 0;
    int at_least = strncmp(text, ">= ", 3) == 0;
    const char *start = text + (at_most || at_least ? 3 : 0);
    char *end;
    *low = strtod(start, &end);
    *high = *low;
    if (end == start) {
        return 0;
    }
    if (at_most || at_least) {
        *(at_most ? low : high) = at_most ? -(double)INFINITY : (double)INFINITY;
    } else if (strncmp(end, " to ", 4) == 0) {
        start = end + 4;
        *high = strtod(start, &end);
        if (end == start || !(*high > *low)) {
            return 0;
        }
    }
    return *end == '\0';
}

void outcome_add_published(outcome *out, const outcome_label *label, double computed)
{
    double low;
    double high;
    size_t i = out->points;
    if (!read_published(label->published, &low, &high)) {
        low = high = (double)NAN;
    }
    double reference = isinf(low) ? high : isinf(high) ? low : 0.5 * (low + high);
    outcome_add(out, (double)i, i < OUTCOME_PUBLISHED ? computed : (double)NAN, reference);
    if (i < OUTCOME_PUBLISHED) {
        out->label[i] = *label;
        out->low[i] = low;
        out->high[i] = high;
    }
}

void outcome_add_grid(outcome *out, double intervals, double error)
{
    if (out->grids == OUTCOME_GRIDS) {
        out->error[OUTCOME_GRIDS - 1] = (double)NAN;
        return;
    }
    out->intervals[out->grids] = intervals;
    out->error[out->grids] = error;
    out->grids++;
}

void outcome_spot(outcome *out, double closed_form, double table_value, double allowed)
{
    out->spot = larger(fabs(closed_form - table_value) / allowed, out->spot);
    out->spots++;
}
