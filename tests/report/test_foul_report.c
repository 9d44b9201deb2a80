/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "years.h"

static years y;
START_TEST(render)
{
    years_set_up(&y, 360);
    years_fill(&y, BF_FOULING_EXPECTED, 0.3, 3.0);
    years_fill(&y, BF_FOULING_LOW, 0.05, 0.5);
    years_fill(&y, BF_FOULING_HIGH, 0.6, 9.0);
    strcpy(y.input.campaign.start, "2021-04-01");
    bf_observation obs[2] = {{.line = 2, .day = 200, .value = {25.0*45.727, 12000, NAN, NAN}}, {.line = 3, .day = 700, .value = {19.0*45.727, NAN, 14.0, 0.47}}};
    bf_observations os = {obs, 2};
    bf_foul_report r = years_report(&y);
    r.observations = &os;
    bf_report_foul_table(&r, BF_UNITS_US, stdout);
    bf_report_foul_table(&r, BF_UNITS_SI, stdout);
    years_tear_down(&y);
}
END_TEST
int main(void)
{
    const TTest *const tests[] = {render};
    return support_run("report.foul_report", tests, 1, 120);
}
