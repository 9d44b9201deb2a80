/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All uncertain constants at once: a band of capacity around the two published
 * tables.
 *
 * The constants marked so in uncertain.c are drawn independently, each evenly
 * between its limits (evenly in the logarithm where the limits are factors):
 * the sources give limits and no distributions. The draws are the first SAMPLES
 * points of Sobol's sequence (GSL), so they are the same every time. Each
 * sample rates both tables at all their doses.
 *
 *   validation_band --write FILE                     compute, and write the
 * table validation_band --compare FILE [--every N]       compute every Nth
 * sample; fail where one moved validation_band --print FILE the band, as
 * Markdown validation_band --draw FILE                      the band, as SVG
 */
#include "uncertain.h"

#include "../source.h"
#include "try.h"

#include "brinefront/convert.h"

#include <gsl/gsl_qrng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SAMPLES = 128, POINTS = 16, BOTH = 2 };

/* Another compiler's steps move the capacity by 0.01 %. */
static const double drift = 0.002;

static const char *const sources[BOTH] = {"resin_bulletin", "magazine_table"};
static const char *const titles[BOTH] = {"resin table, 500 mg/L", "magazine table, 400 mg/L"};

/* A published capacity, and what the samples give there; row 0 of the samples
 * has nothing moved. */
typedef struct point_band {
    size_t table;
    double pounds, published;
    double capacity[SAMPLES + 1]; /* kgr/ft3; NAN: no rating */
} point_band;

typedef struct band {
    size_t points;
    point_band point[POINTS];
} band;

static bf_status read_points(band *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_status status = BF_OK;
    for (size_t t = 0; t < BOTH; t++) {
        TRY(source_read(sources[t], &data, err));
        for (size_t row = 1; row < data.rows && out->points < POINTS; row++) {
            point_band *span = &out->point[out->points++];
            span->table = t;
            span->pounds = source_number(&data, row, "dose_lb_per_ft3");
            span->published = source_number(&data, row, "capacity_kgr_per_ft3");
        }
    }
done:
    return status;
}

/* ---- computing
 * ------------------------------------------------------------------------------
 */

static bf_status draw_positions(double position[SAMPLES + 1][64], bf_error *err)
{
    size_t count = 0;
    for (size_t k = 0; k < uncertain_count(); k++) {
        count += uncertain_get(k)->in_band != 0;
    }
    gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)count);
    if (sequence == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "band", "no sequence of %zu dimensions", count);
    }
    for (size_t s = 1; s <= SAMPLES; s++) {
        (void)gsl_qrng_get(sequence, position[s]);
    }
    gsl_qrng_free(sequence);
    return BF_OK;
}

static bf_status compute(const band *range, size_t sample, double *capacity, bf_error *err)
{
    static double position[SAMPLES + 1][64];
    static int samples;
    bf_status status = BF_OK;
    if (!samples) {
        TRY(draw_positions(position, err));
        samples = 1;
    }
    for (size_t p = 0; p < range->points; p++) {
        uncertain_bed bed;
        bf_steady_result steady;
        size_t next = 0;
        TRY(uncertain_bed_of(sources[range->point[p].table], &bed, err));
        for (size_t k = 0; k < uncertain_count() && sample > 0; k++) {
            if (uncertain_get(k)->in_band) {
                uncertain_set(&bed, k, position[sample][next++]);
            }
        }
        TRY(uncertain_rate(&bed, range->point[p].pounds * BF_KG_PER_M3_PER_LB_PER_FT3, &steady,
                           err));
        capacity[p] = steady.cycle.outcome == BF_RATED
                          ? steady.cycle.capacity_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3
                          : (double)NAN;
    }
done:
    return status;
}

/* ---- the file
 * -------------------------------------------------------------------------------
 */

static void write_head(const band *range, char *text, size_t room)
{
    size_t length = (size_t)snprintf(text, room, "sample");
    for (size_t p = 0; p < range->points && length < room; p++) {
        length += (size_t)snprintf(text + length, room - length, ",%s_%g_lb_per_ft3",
                                   sources[range->point[p].table], range->point[p].pounds);
    }
}

static bf_status write_band(const char *file_name, band *range, bf_error *err)
{
    char head[600];
    bf_status status = BF_OK;
    double capacity[POINTS];
    write_head(range, head, sizeof head);
    FILE *file = fopen(file_name, "w");
    if (file == NULL) {
        return bf_error_set(err, BF_E_WRITE, file_name, "cannot be written");
    }
    (void)fprintf(file, "%s\n", head);
    for (size_t s = 0; s <= SAMPLES && status == BF_OK; s++) {
        status = compute(range, s, capacity, err);
        (void)fprintf(file, "%zu", s);
        for (size_t p = 0; p < range->points; p++) {
            (void)fprintf(file, ",%.2f", capacity[p]);
        }
        (void)fprintf(file, "\n");
    }
    int failed = ferror(file);
    failed |= fclose(file);
    return status == BF_OK && failed ? bf_error_set(err, BF_E_WRITE, file_name, "cannot be written")
                                     : status;
}

static bf_status read_band(const char *file_name, band *out, bf_error *err)
{
    char head[600];
    char text[600];
    size_t sample = 0;
    int is_band = 1;
    write_head(out, head, sizeof head);
    FILE *file = fopen(file_name, "r");
    if (file == NULL) {
        return bf_error_set(err, BF_E_FILE, file_name, "cannot be opened");
    }
    is_band = fgets(text, sizeof text, file) != NULL && strncmp(text, head, strlen(head)) == 0 &&
              text[strlen(head)] == '\n';
    for (; is_band && sample <= SAMPLES && fgets(text, sizeof text, file) != NULL; sample++) {
        char *rest = text;
        is_band = strtoul(rest, &rest, 10) == sample;
        for (size_t p = 0; p < out->points && is_band; p++) {
            char *start = rest + 1;
            is_band = *rest == ',';
            out->point[p].capacity[sample] = is_band ? strtod(start, &rest) : 0.0;
            is_band = is_band && rest != start;
        }
        is_band = is_band && *rest == '\n';
    }
    is_band = is_band && sample == SAMPLES + 1 && fgets(text, sizeof text, file) == NULL;
    (void)fclose(file);
    return is_band ? BF_OK
                   : bf_error_set(err, BF_E_INPUT, file_name, "is not the band of this program");
}

static bf_status compare(const band *before, size_t every, size_t *moved, bf_error *err)
{
    bf_status status = BF_OK;
    double capacity[POINTS];
    for (size_t s = 0; s <= SAMPLES; s += every) {
        TRY(compute(before, s, capacity, err));
        int same = 1;
        (void)printf("sample %zu:", s);
        for (size_t p = 0; p < before->points; p++) {
            double was = before->point[p].capacity[s];
            int both_none = isnan(was) && isnan(capacity[p]);
            same = same && (both_none || fabs(capacity[p] / was - 1.0) <= drift);
            (void)printf(" %.2f", capacity[p]);
        }
        (void)printf("%s\n", same ? "" : "  MOVED");
        *moved += !same;
    }
done:
    return status;
}

/* ---- what comes of it
 * ----------------------------------------------------------------------- */

typedef struct summary {
    size_t rated;
    double least, p10, p50, p90, most;
} summary;

static summary summarise(const point_band *span)
{
    double sorted[SAMPLES];
    summary total = {0};
    for (size_t s = 1; s <= SAMPLES; s++) {
        if (!isnan(span->capacity[s])) {
            sorted[total.rated++] = span->capacity[s];
        }
    }
    gsl_sort(sorted, 1, total.rated);
    if (total.rated > 0) {
        total.least = sorted[0];
        total.most = sorted[total.rated - 1];
        total.p10 = gsl_stats_quantile_from_sorted_data(sorted, 1, total.rated, 0.1);
        total.p50 = gsl_stats_quantile_from_sorted_data(sorted, 1, total.rated, 0.5);
        total.p90 = gsl_stats_quantile_from_sorted_data(sorted, 1, total.rated, 0.9);
    }
    return total;
}

static void print_band(const band *range)
{
    size_t in_middle = 0;
    size_t in_span = 0;
    (void)printf("## All uncertain constants together\n\n"
                 "![Band of capacity from all uncertain constants, with the two published "
                 "tables]"
                 "(figures/band.svg)\n\n"
                 "The constants of the table above (all but the strength correction left "
                 "out) drawn "
                 "together, independently, evenly\nbetween their limits, evenly in the "
                 "logarithm where "
                 "these are factors: %d points of Sobol's sequence, both tables\nrated "
                 "with each at all "
                 "doses (brine strength moves too, though the magazine states 10 %%). "
                 "Capacity, "
                 "kgr/ft3;\npercentiles over the samples that have a rating. Written by "
                 "`validation_band`.\n\n"
                 "| table | dose | published | nothing moved | P10 | P50 | P90 | least | "
                 "most | no rating | "
                 "published lies |\n|---|---|---|---|---|---|---|---|---|---|---|\n",
                 SAMPLES);
    for (size_t p = 0; p < range->points; p++) {
        const point_band *point = &range->point[p];
        summary s = summarise(point);
        int middle = point->published >= s.p10 && point->published <= s.p90;
        int span = point->published >= s.least && point->published <= s.most;
        in_middle += middle != 0;
        in_span += span != 0;
        (void)printf("| %s | %g lb/ft3 | %.1f | %.1f | %.1f | %.1f | %.1f | %.1f | "
                     "%.1f | %zu of %d "
                     "| %s |\n",
                     titles[point->table], point->pounds, point->published, point->capacity[0],
                     s.p10, s.p50, s.p90, s.least, s.most, SAMPLES - s.rated, SAMPLES,
                     middle ? "inside P10 to P90"
                     : span ? "outside P10 to P90, inside the span"
                            : "outside the span");
    }
    (void)printf("\nOf the %zu published numbers %zu lie inside P10 to P90 and %zu inside "
                 "the full "
                 "span. The band is what the constants\nleave open, not what the unstated "
                 "conditions do; both act on every comparison above.\n",
                 range->points, in_middle, in_span);
}

/* ---- the figure
 * -----------------------------------------------------------------------------
 */

static double x_of(double pounds)
{
    return 60.0 + (pounds - 4.0) / 12.0 * 630.0;
}

static double y_of(double kgr)
{
    return 390.0 - (kgr - 10.0) / 30.0 * 360.0;
}

typedef double choose(const summary *total);
static double least_of(const summary *total)
{
    return total->least;
}
static double most_of(const summary *total)
{
    return total->most;
}
static double p10_of(const summary *total)
{
    return total->p10;
}
static double p50_of(const summary *total)
{
    return total->p50;
}
static double p90_of(const summary *total)
{
    return total->p90;
}

static void corner(const band *range, size_t p, choose *edge)
{
    summary s = summarise(&range->point[p]);
    (void)printf("%.1f,%.1f ", x_of(range->point[p].pounds), y_of(edge(&s)));
}

/* Along one edge of the first table's points and back along the other. */
static void polygon(const band *range, choose *low, choose *high, const char *style)
{
    size_t count = 0;
    (void)printf("<%s points=\"", high != NULL ? "polygon" : "polyline");
    while (count < range->points && range->point[count].table == 0) {
        corner(range, count++, low);
    }
    while (high != NULL && count > 0) {
        corner(range, --count, high);
    }
    (void)printf("\" %s/>\n", style);
}

static void text_at(double x, double y, const char *anchor, const char *text)
{
    (void)printf("<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%s</text>\n", x, y, anchor, text);
}

static void axes(void)
{
    char label[24];
    for (int kgr = 10; kgr <= 40; kgr += 5) {
        (void)printf("<path d=\"M60 %.1fH690\" stroke=\"#dddddd\"/>\n", y_of(kgr));
        (void)snprintf(label, sizeof label, "%d", kgr);
        text_at(52.0, y_of(kgr) + 4.0, "end", label);
    }
    for (int pounds = 4; pounds <= 16; pounds += 2) {
        (void)printf("<path d=\"M%.1f 390v5\" stroke=\"#000000\"/>\n", x_of(pounds));
        (void)snprintf(label, sizeof label, "%d", pounds);
        text_at(x_of(pounds), 408.0, "middle", label);
    }
    (void)printf("<path d=\"M60 30V390H690\" stroke=\"#000000\" fill=\"none\"/>\n");
    text_at(375.0, 430.0, "middle", "salt, lb/ft3");
    (void)printf("<text transform=\"translate(18,210) rotate(-90)\" "
                 "text-anchor=\"middle\">capacity, "
                 "kgr/ft3</text>\n");
}

/* Published numbers; beside those of the second table its own P10 to P90, as
 * its feed differs. */
static void draw_points(const band *range)
{
    for (size_t p = 0; p < range->points; p++) {
        const point_band *span = &range->point[p];
        double x = x_of(span->pounds);
        double y = y_of(span->published);
        if (span->table == 0) {
            (void)printf("<circle cx=\"%.1f\" cy=\"%.1f\" r=\"5\" fill=\"#d55e00\"/>\n", x, y);
        } else {
            summary s = summarise(span);
            x += 9.0;
            (void)printf("<path d=\"M%.1f %.1fV%.1fM%.1f %.1fh8M%.1f %.1fh8\" "
                         "stroke=\"#009e73\" "
                         "stroke-width=\"2\"/>\n",
                         x, y_of(s.p10), y_of(s.p90), x - 4.0, y_of(s.p10), x - 4.0, y_of(s.p90));
            (void)printf("<rect x=\"%.1f\" y=\"%.1f\" width=\"9\" height=\"9\" "
                         "fill=\"#009e73\"/>\n",
                         x - 4.5, y - 4.5);
        }
    }
}

static void legend(void)
{
    static const char *const words[] = {"all samples, 500 mg/L", "P10 to P90", "median",
                                        "resin table, 500 mg/L",
                                        "magazine table; bar: its P10 to P90 at 400 mg/L"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        double y = 262.0 + 22.0 * (double)i;
        text_at(392.0, y + 4.0, "start", words[i]);
        switch (i) {
        case 0:
        case 1:
            (void)printf("<rect x=\"364\" y=\"%.1f\" width=\"20\" height=\"12\" "
                         "fill=\"%s\"/>\n",
                         y - 6.0, i == 0 ? "#d6e6f2" : "#9cc3e0");
            break;
        case 2:
            (void)printf("<path d=\"M364 %.1fh20\" stroke=\"#0072b2\" stroke-width=\"2\"/>\n", y);
            break;
        case 3:
            (void)printf("<circle cx=\"374\" cy=\"%.1f\" r=\"5\" fill=\"#d55e00\"/>\n", y);
            break;
        default:
            (void)printf("<rect x=\"369.5\" y=\"%.1f\" width=\"9\" height=\"9\" "
                         "fill=\"#009e73\"/>\n",
                         y - 4.5);
        }
    }
}

static void draw(const band *range)
{
    (void)printf("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 720 440\" "
                 "width=\"720\" "
                 "height=\"440\" font-family=\"Helvetica,sans-serif\" font-size=\"13\">\n"
                 "<rect width=\"720\" height=\"440\" fill=\"#ffffff\"/>\n");
    polygon(range, least_of, most_of, "fill=\"#d6e6f2\"");
    polygon(range, p10_of, p90_of, "fill=\"#9cc3e0\"");
    axes();
    polygon(range, p50_of, NULL, "fill=\"none\" stroke=\"#0072b2\" stroke-width=\"2\"");
    draw_points(range);
    legend();
    (void)printf("</svg>\n");
}

int main(int count, char **arguments)
{
    static band range; /* too large for the stack */
    bf_error err = {0};
    size_t moved = 0;
    const char *command = count > 2 ? arguments[1] : "";
    long every = count == 5 && strcmp(arguments[3], "--every") == 0 ? atol(arguments[4]) : 1;
    bf_status status = read_points(&range, &err);
    if (strcmp(command, "--write") == 0 && count == 3) {
        status = status == BF_OK ? write_band(arguments[2], &range, &err) : status;
    } else if ((strcmp(command, "--print") == 0 || strcmp(command, "--draw") == 0) && count == 3) {
        status = status == BF_OK ? read_band(arguments[2], &range, &err) : status;
        if (status == BF_OK) {
            (strcmp(command, "--print") == 0 ? print_band : draw)(&range);
        }
    } else if (strcmp(command, "--compare") == 0 && (count == 3 || count == 5) && every > 0) {
        status = status == BF_OK ? read_band(arguments[2], &range, &err) : status;
        status = status == BF_OK ? compare(&range, (size_t)every, &moved, &err) : status;
    } else {
        (void)fprintf(stderr, "validation_band --write FILE | --print FILE | --draw FILE | "
                              "--compare FILE [--every N]\n");
        return 2;
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
        return 2;
    }
    return moved > 0;
}
