/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The hardness to count for iron, in words beside what the trade counts.
 *
 * Trade rules: 2 gpg per mg/L on a process engineering page, 3 to 5 on trade pages, 5 in several
 * operating manuals; no uniform method. Iron's own charge: 2 eq/mol, 0.105 gpg per mg/L.
 */
#include "report/compensation.h"

#include "brinefront/convert.h"
#include "report/assumptions.h"
#include "report/foul_read.h"
#include "report/foul_setting.h"
#include "report/foul_show.h"
#include "report/wrap.h"

#include <math.h>

/* gpg per mg/L as eq per g: eq/m3 per g/m3. */
static double trade(bf_unit_system units, double gpg_per_mg_per_L)
{
    return bf__show_addition(units, gpg_per_mg_per_L * BF_EQ_PER_M3_PER_GPG);
}

void bf__compensation_answer(const bf_compensation_report *report, bf_unit_system units,
                             const char *prefix, FILE *out)
{
    const bf_compensation *found = report->found;
    const char *unit = bf__unit_of_addition(units);
    bf__wrap page;
    FILE *lines = bf__wrap_open(&page, out);
    if (isnan(found->addition_eq_per_g)) {
        (void)fprintf(lines, "%sNo answer for a loss of %.3g %%: %s.\n", prefix,
                      100.0 * found->allowed_loss,
                      found->why != NULL ? found->why : "no addition tried keeps to it");
    } else {
        const double iron = bf__campaign_most_iron_mg_per_L(report->spec);
        const double hardness = bf__campaign_water(report->spec, 0.0)->hardness_eq_per_m3;
        (void)fprintf(lines,
                      "%sCount %.2g %s of iron, %.3g gpg (%.3g mg/L as CaCO3) on this water, and "
                      "regenerate each %.3g days: then the bed loses %.2g %% of its capacity, of "
                      "%.3g %% allowed.\n",
                      prefix, bf__show_addition(units, found->addition_eq_per_g), unit,
                      found->addition_eq_per_g * iron / BF_EQ_PER_M3_PER_GPG,
                      bf__mg_per_L_CaCO3(found->addition_eq_per_g * iron), found->at.days_between,
                      100.0 * found->at.capacity_loss, 100.0 * found->allowed_loss);
        (void)fprintf(lines,
                      "%sThat is to regenerate at %.0f %% of what the bed would hold by hardness "
                      "alone (operating manuals and trade pages: 50 to 75 %%).\n",
                      prefix, 100.0 * hardness / (hardness + found->addition_eq_per_g * iron));
    }
    if (!isnan(found->addition_eq_per_g) && !isnan(found->too_little_eq_per_g)) {
        (void)fprintf(lines, "%sToo little was found to be %.2g %s.\n", prefix,
                      bf__show_addition(units, found->too_little_eq_per_g), unit);
    }
    if (!found->falls) {
        (void)fprintf(lines,
                      "%sA larger addition sometimes lost more: the least is the least of those "
                      "tried.\n",
                      prefix);
    }
    if (*bf__iron_advice(report->spec)) {
        (void)fprintf(lines, "%s%s\n", prefix, bf__iron_advice(report->spec));
    }
    bf__wrap_close(&page, prefix, out);
}

void bf__compensation_rules(bf_unit_system units, const char *prefix, FILE *out)
{
    const double own = 1.0 / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    bf__wrap page;
    FILE *lines = bf__wrap_open(&page, out);
    (void)fprintf(
        lines,
        "%sBeside it, in %s: iron's own charge %.3g; trade rules %.3g (the lenient) and "
        "%.3g to %.3g (the usual; trade pages and operating manuals, which have no method "
        "in common). An addition beyond the charge is no exchange: it makes the bed "
        "regenerate earlier, before iron has aged.\n",
        prefix, bf__unit_of_addition(units), bf__show_addition(units, own), trade(units, 2.0),
        trade(units, 3.0), trade(units, 5.0));
    bf__wrap_close(&page, prefix, out);
}
