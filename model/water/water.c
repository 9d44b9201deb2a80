/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From what a laboratory sheet states to a complete, electroneutral water.
 *
 *     sum of cations = sum of anions,   imbalance = (cations - anions)/(cations + anions)
 *     TDS = sum_i M_i c_i               (M of bicarbonate halved: drying drives off CO2 and water)
 *     TDS = 6.5 kg/m3 per S/m           (0.65 mg/L per uS/cm at 25 C)
 *
 * c   concentration, eq/m3 (= meq/L);  M  equivalent mass, g/eq
 * TDS total dissolved solids, as the residue on drying
 *
 * Rules of thumb and where they come from:
 *   TDS over conductivity: J. D. Hem, USGS Water-Supply Paper 2254 (1985), gives 0.55 to 0.75 for
 *     natural waters, from memory; 0.65 between them is common practice, no source.
 *   Residue of bicarbonate: 2 HCO3 -> CO3 + CO2 + H2O leaves 60.008 of 122.032 g (arithmetic).
 *   Ca:Mg of 2 by equivalents, sodium of 2 eq/m3, 20 C and pH 7.5 by default, 2 % between
 *     statements of one thing: common practice, no source.
 *   Imbalance: more than 5 % deserves a second look, more than 10 % is refused: common practice, no
 *     source (laboratories hold themselves to 2-5 %).
 *
 * Not modelled: silica and organic matter in TDS; carbonate and hydroxide apart from
 * alkalinity; H+ in the balance (0.1 eq/m3 at pH 4); precipitation and oxidation.
 */
#include "brinefront/water.h"

#include "brinefront/convert.h"

#include <math.h>
#include <stdio.h>

#define WHERE "bf_water_complete"

/* Sources: head of the file. */
static const double usual_calcium_to_magnesium = 2.0;
static const double usual_sodium_eq_per_m3 = 2.0;
static const double usual_temperature_K = 293.15;
static const double usual_pH = 7.5;
static const double solids_kg_per_m3_per_S_per_m = 6.5;
static const double bicarbonate_residue_g_per_eq = 30.004;
static const double same_thing_twice = 0.02;
static const double imbalance_noted = 0.05;
static const double imbalance_refused = 0.10;

/* What every step below reads and writes. */
typedef struct completion {
    const bf_water_analysis *given;
    bf_water *out;
    bf_notes *notes;
    bf_error *err;
} completion;

static int is_stated(double value)
{
    return !isnan(value);
}

static double mg_per_L(bf_ion ion, double eq_per_m3)
{
    return eq_per_m3 * bf_ion_equivalent_mass_g_per_eq(ion);
}

static double hardness_mg_per_L_CaCO3(double eq_per_m3)
{
    return eq_per_m3 * BF_G_CACO3_PER_EQ;
}

/* "water.sodium" */
static const char *ion_key(bf_ion ion, char key[32])
{
    (void)snprintf(key, 32, "water.%s", bf_ion_get(ion)->name);
    return key;
}

bf_water_analysis bf_water_analysis_default(void)
{
    bf_water_analysis analysis = {.hardness_eq_per_m3 = NAN,
                                  .calcium_to_magnesium = NAN,
                                  .dissolved_solids_kg_per_m3 = NAN,
                                  .conductivity_S_per_m = NAN,
                                  .temperature_K = NAN,
                                  .pH = NAN};
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        analysis.ion_eq_per_m3[i] = NAN;
    }
    return analysis;
}

/* A value that was stated must lie in its range; `scale` turns SI into the unit of the message. */
static bf_status check_value(const char *name, double value, double low, double high, double scale,
                             const char *unit, bf_error *err)
{
    if (is_stated(value) && !(value >= low && value <= high)) {
        return bf_error_set(err, BF_E_RANGE, WHERE, "%s is %g%s; state %g to %g%s", name,
                            scale * value, unit, scale * low, scale * high, unit);
    }
    return BF_OK;
}

/* 0 to 50 C: what the model covers, as bed/spec.c has it. */
static bf_status check_temperature(double temperature_K, bf_error *err)
{
    if (is_stated(temperature_K) && !(temperature_K >= 273.15 && temperature_K <= 323.15)) {
        double t = temperature_K - BF_K_AT_0_C;
        return bf_error_set(err, BF_E_RANGE, WHERE,
                            "water temperature is %.1f C (%.0f F); state 0 to 50 C (32 to 122 F)",
                            t, 32.0 + 1.8 * t);
    }
    return BF_OK;
}

/* Accepted ranges: common practice, no source; wider than any water that a softener meets. */
static bf_status check_analysis(const bf_water_analysis *given, bf_error *err)
{
    bf_status status =
        check_value("hardness", given->hardness_eq_per_m3, 0.0, 2000.0, 1.0, " meq/L", err);
    for (bf_ion i = 0; i < BF_ION_COUNT && status == BF_OK; i++) {
        status = check_value(bf_ion_get(i)->name, given->ion_eq_per_m3[i], 0.0, 2000.0, 1.0,
                             " meq/L", err);
    }
    if (status == BF_OK) {
        status = check_value("calcium to magnesium", given->calcium_to_magnesium, 1e-3, 1e3, 1.0,
                             " by equivalents", err);
    }
    if (status == BF_OK) {
        status = check_value("dissolved solids", given->dissolved_solids_kg_per_m3, 1e-3, 100.0,
                             1e3, " mg/L", err);
    }
    if (status == BF_OK) {
        status = check_value("conductivity", given->conductivity_S_per_m, 1e-4, 15.0, 1e4, " uS/cm",
                             err);
    }
    if (status == BF_OK) {
        status = check_value("pH", given->pH, 4.0, 11.0, 1.0, "", err);
    }
    return status == BF_OK ? check_temperature(given->temperature_K, err) : status;
}

static void complete_temperature_and_pH(const completion *c)
{
    c->out->temperature_K = c->given->temperature_K;
    c->out->pH = c->given->pH;
    if (!is_stated(c->given->temperature_K)) {
        c->out->temperature_K = usual_temperature_K;
        bf_notes_add(c->notes, BF_NOTE_ASSUMED, "water.temperature",
                     "no temperature is stated: taken as 20 C (68 F)");
    }
    if (!is_stated(c->given->pH)) {
        c->out->pH = usual_pH;
        bf_notes_add(c->notes, BF_NOTE_ASSUMED, "water.pH", "no pH is stated: taken as 7.5");
    }
    if (c->out->pH < 5.0 || c->given->ion_eq_per_m3[BF_ION_H] > 0.0) {
        bf_notes_add(c->notes, BF_NOTE_CAUTION, "water.pH",
                     "hydrogen ion (%.2g meq/L at pH %.1f) is left out of the balance of ions and "
                     "counts as absent",
                     1e3 * pow(10.0, -c->out->pH), c->out->pH);
    }
}

/* The ratio that was stated, or the usual one. */
static double calcium_to_magnesium(const completion *c)
{
    if (is_stated(c->given->calcium_to_magnesium)) {
        return c->given->calcium_to_magnesium;
    }
    bf_notes_add(c->notes, BF_NOTE_ASSUMED, "water.calcium_to_magnesium",
                 "nothing says how hardness is shared: calcium taken as %g times magnesium by "
                 "equivalents",
                 usual_calcium_to_magnesium);
    return usual_calcium_to_magnesium;
}

static void note_deduced(const completion *c, bf_ion ion, const char *from)
{
    char key[32];
    double value = c->out->ion_eq_per_m3[ion];
    bf_notes_add(c->notes, BF_NOTE_DEDUCED, ion_key(ion, key), "%s of %.3g meq/L (%.3g mg/L) %s",
                 bf_ion_get(ion)->name, value, mg_per_L(ion, value), from);
}

/* One of calcium and magnesium is stated: the other is the rest of the hardness. */
static bf_status rest_of_hardness(const completion *c, bf_ion known, bf_ion unknown)
{
    double hardness = c->given->hardness_eq_per_m3;
    double rest = hardness - c->given->ion_eq_per_m3[known];
    if (rest < -same_thing_twice * hardness) {
        return bf_error_set(c->err, BF_E_RANGE, WHERE,
                            "%s of %.3g meq/L is more than the hardness, %.3g meq/L (%.4g mg/L as "
                            "CaCO3); correct one of them",
                            bf_ion_get(known)->name, c->given->ion_eq_per_m3[known], hardness,
                            hardness_mg_per_L_CaCO3(hardness));
    }
    c->out->ion_eq_per_m3[unknown] = rest > 0.0 ? rest : 0.0;
    note_deduced(c, unknown, "is what calcium and magnesium leave of the hardness");
    return BF_OK;
}

/* Rule 1: fill in calcium and magnesium. */
static bf_status share_hardness(const completion *c)
{
    double *calcium = &c->out->ion_eq_per_m3[BF_ION_CA];
    double *magnesium = &c->out->ion_eq_per_m3[BF_ION_MG];
    double hardness = c->given->hardness_eq_per_m3;
    int has_calcium = is_stated(c->given->ion_eq_per_m3[BF_ION_CA]);
    int has_magnesium = is_stated(c->given->ion_eq_per_m3[BF_ION_MG]);
    if (has_calcium && has_magnesium) {
        return BF_OK;
    }
    if (is_stated(hardness) && (has_calcium || has_magnesium)) {
        return has_calcium ? rest_of_hardness(c, BF_ION_CA, BF_ION_MG)
                           : rest_of_hardness(c, BF_ION_MG, BF_ION_CA);
    }
    if (!is_stated(hardness) && !has_calcium && !has_magnesium) {
        return bf_error_set(c->err, BF_E_RANGE, WHERE,
                            "no hardness is stated; state the hardness, or calcium and magnesium");
    }
    double ratio = calcium_to_magnesium(c);
    if (has_calcium) {
        *magnesium = *calcium / ratio;
        note_deduced(c, BF_ION_MG, "follows from calcium and the ratio of the two");
    } else if (has_magnesium) {
        *calcium = *magnesium * ratio;
        note_deduced(c, BF_ION_CA, "follows from magnesium and the ratio of the two");
    } else {
        *magnesium = hardness / (1.0 + ratio);
        *calcium = hardness - *magnesium;
        note_deduced(c, BF_ION_CA, "follows from hardness and the ratio to magnesium");
        note_deduced(c, BF_ION_MG, "follows from hardness and the ratio to calcium");
    }
    return BF_OK;
}

/* What was stated about hardness twice must agree. A hardness by titration holds Sr and Ba too. */
static bf_status check_hardness(const completion *c)
{
    const double *ion = c->out->ion_eq_per_m3;
    double sum = ion[BF_ION_CA] + ion[BF_ION_MG];
    double titrated = sum + ion[BF_ION_SR] + ion[BF_ION_BA];
    double hardness = c->given->hardness_eq_per_m3;
    double ratio = c->given->calcium_to_magnesium;
    double allowed = same_thing_twice * hardness;
    c->out->hardness_eq_per_m3 = titrated;
    if (!(sum > 0.0)) {
        return bf_error_set(
            c->err, BF_E_RANGE, WHERE,
            "hardness is 0; state more than 0, for without it there is nothing to soften");
    }
    if (is_stated(hardness) && fabs(sum - hardness) > allowed &&
        fabs(titrated - hardness) > allowed) {
        return bf_error_set(c->err, BF_E_RANGE, WHERE,
                            "hardness of %.4g mg/L as CaCO3 is stated, but calcium and magnesium "
                            "sum to %.4g mg/L as CaCO3; leave one out, or bring them within %g %%",
                            hardness_mg_per_L_CaCO3(hardness), hardness_mg_per_L_CaCO3(sum),
                            100.0 * same_thing_twice);
    }
    if (is_stated(ratio) && fabs(ion[BF_ION_CA] / sum - ratio / (1.0 + ratio)) > same_thing_twice) {
        return bf_error_set(c->err, BF_E_RANGE, WHERE,
                            "calcium to magnesium is stated as %.3g, but their amounts are %.3g "
                            "and %.3g meq/L; leave the ratio out, or bring them together",
                            ratio, ion[BF_ION_CA], ion[BF_ION_MG]);
    }
    return BF_OK;
}

static double sum_of_cations(const bf_water *water)
{
    double sum = 0.0;
    for (bf_ion i = 0; i < BF_ION_CL; i++) {
        sum += water->ion_eq_per_m3[i];
    }
    return sum;
}

static double sum_of_anions(const bf_water *water)
{
    double sum = 0.0;
    for (bf_ion i = BF_ION_CL; i < BF_ION_COUNT; i++) {
        sum += water->ion_eq_per_m3[i];
    }
    return sum;
}

static int anions_are_stated(const bf_water_analysis *given)
{
    return is_stated(given->ion_eq_per_m3[BF_ION_HCO3]) &&
           is_stated(given->ion_eq_per_m3[BF_ION_CL]) &&
           is_stated(given->ion_eq_per_m3[BF_ION_SO4]);
}

/* The anion that stands for all that nobody stated; chloride where nothing is missing. */
static bf_ion filling_anion(const bf_water_analysis *given)
{
    static const bf_ion candidates[] = {BF_ION_CL, BF_ION_HCO3, BF_ION_SO4};
    for (size_t i = 0; i < sizeof candidates / sizeof *candidates; i++) {
        if (!is_stated(given->ion_eq_per_m3[candidates[i]])) {
            return candidates[i];
        }
    }
    return BF_ION_CL;
}

static double residue_g_per_eq(bf_ion ion)
{
    return ion == BF_ION_HCO3 ? bicarbonate_residue_g_per_eq : bf_ion_equivalent_mass_g_per_eq(ion);
}

/* Sodium that makes up the dissolved solids, with the filling anion that comes along:
 * TDS = residue of the ions so far + M_Na n + M_fill (cations + n - anions). May be below 0. */
static double sodium_from_solids(const completion *c, double solids_g_per_m3)
{
    double residue = 0.0;
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        residue += residue_g_per_eq(i) * c->out->ion_eq_per_m3[i];
    }
    double fill = residue_g_per_eq(filling_anion(c->given));
    double gap = sum_of_cations(c->out) - sum_of_anions(c->out);
    return (solids_g_per_m3 - residue - fill * gap) /
           (bf_ion_equivalent_mass_g_per_eq(BF_ION_NA) + fill);
}

/* Dissolved solids as stated, or from conductivity, or NAN. */
static double dissolved_solids_kg_per_m3(const completion *c)
{
    if (is_stated(c->given->dissolved_solids_kg_per_m3) ||
        !is_stated(c->given->conductivity_S_per_m)) {
        return c->given->dissolved_solids_kg_per_m3;
    }
    double solids = solids_kg_per_m3_per_S_per_m * c->given->conductivity_S_per_m;
    bf_notes_add(c->notes, BF_NOTE_ASSUMED, "water.conductivity",
                 "dissolved solids taken as %.3g mg/L, 0.65 mg/L for each uS/cm (natural waters "
                 "have 0.55 to 0.75)",
                 1e3 * solids);
    return solids;
}

/* Rule 2: fill in sodium. Here every ion of `out` that nobody stated is 0. */
static void complete_sodium(const completion *c)
{
    double *sodium = &c->out->ion_eq_per_m3[BF_ION_NA];
    if (is_stated(c->given->ion_eq_per_m3[BF_ION_NA])) {
        return;
    }
    if (anions_are_stated(c->given)) {
        *sodium = fmax(sum_of_anions(c->out) - sum_of_cations(c->out), 0.0);
        note_deduced(c, BF_ION_NA, "is what the anions leave to the other cations");
        return;
    }
    double solids = dissolved_solids_kg_per_m3(c);
    if (!is_stated(solids)) {
        *sodium = usual_sodium_eq_per_m3;
        bf_notes_add(c->notes, BF_NOTE_ASSUMED, "water.sodium",
                     "nothing says how much sodium there is: taken as %.3g meq/L (%.3g mg/L)",
                     *sodium, mg_per_L(BF_ION_NA, *sodium));
        return;
    }
    double found = sodium_from_solids(c, 1e3 * solids);
    *sodium = fmax(found, 0.0);
    note_deduced(c, BF_ION_NA, "makes up the dissolved solids");
    if (found < 0.0) {
        bf_notes_add(c->notes, BF_NOTE_CAUTION, "water.dissolved_solids",
                     "dissolved solids of %.4g mg/L are less than the other ions weigh: check them "
                     "against the hardness",
                     1e3 * solids);
    }
}

/* How far the analysis is from balance, where enough of it was stated to tell: everything was, or
 * one side is in excess although part of the other is still missing. */
static double imbalance_as_stated(const completion *c, double gap, double total)
{
    int all_anions = anions_are_stated(c->given);
    int sodium = is_stated(c->given->ion_eq_per_m3[BF_ION_NA]);
    int cations_in_excess = all_anions && gap > 0.0;
    int anions_in_excess = sodium && gap < 0.0;
    if ((all_anions && sodium) || cations_in_excess || anions_in_excess) {
        return gap / total;
    }
    return NAN;
}

static bf_status judge_imbalance(const completion *c, double imbalance)
{
    double percent = 100.0 * fabs(imbalance);
    const char *excess = imbalance > 0.0 ? "cations" : "anions";
    const char *filler = imbalance > 0.0 ? "chloride" : "sodium";
    if (percent > 100.0 * imbalance_refused) {
        return bf_error_set(c->err, BF_E_RANGE, WHERE,
                            "%s are in excess by %.1f %% of all ions; correct the analysis to "
                            "within %g %%, or leave %s out to have it fill the gap",
                            excess, percent, 100.0 * imbalance_refused, filler);
    }
    bf_notes_add(c->notes, percent > 100.0 * imbalance_noted ? BF_NOTE_CAUTION : BF_NOTE_DEDUCED,
                 "water", "the analysis is out of balance by %.2g %% (%s in excess)", percent,
                 excess);
    return BF_OK;
}

/* Rule 3: fill the side that is short. */
static bf_status balance_charges(const completion *c)
{
    bf_water *out = c->out;
    double cations = sum_of_cations(out);
    double anions = sum_of_anions(out);
    double gap = cations - anions;
    /* Numerical choice: far above rounding, far below any analysis. */
    int is_rounding = fabs(gap) <= 1e-9 * (cations + anions);
    out->imbalance = imbalance_as_stated(c, gap, cations + anions);
    if (is_stated(out->imbalance) && !is_rounding) {
        bf_status status = judge_imbalance(c, out->imbalance);
        if (status != BF_OK) {
            return status;
        }
    }
    bf_ion fill = gap > 0.0 ? filling_anion(c->given) : BF_ION_NA;
    out->ion_eq_per_m3[fill] += fabs(gap);
    if (!is_rounding) {
        note_deduced(c, fill,
                     gap > 0.0 ? "makes the anions equal the cations"
                               : "makes the cations equal the anions");
    }
    out->normality_eq_per_m3 = sum_of_cations(out);
    return BF_OK;
}

/* Ions that no rule fills in are absent unless stated. */
static void note_absent_ions(const completion *c)
{
    static const bf_ion ruled[] = {BF_ION_NA, BF_ION_CA,   BF_ION_MG, BF_ION_H,
                                   BF_ION_CL, BF_ION_HCO3, BF_ION_SO4};
    char list[240] = "";
    size_t used = 0;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        int is_ruled = is_stated(c->given->ion_eq_per_m3[i]);
        for (size_t r = 0; r < sizeof ruled / sizeof *ruled; r++) {
            is_ruled |= ruled[r] == (bf_ion)i;
        }
        if (!is_ruled) {
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used == 0 ? "" : ", ",
                                     bf_ion_get((bf_ion)i)->name);
        }
    }
    if (used > 0) {
        bf_notes_add(c->notes, BF_NOTE_ASSUMED, "water", "taken as absent, being unstated: %s",
                     list);
    }
}

static void caution_about_metals(const completion *c)
{
    static const bf_ion metals[] = {BF_ION_FE, BF_ION_MN};
    for (size_t i = 0; i < sizeof metals / sizeof *metals; i++) {
        char key[32];
        double value = c->out->ion_eq_per_m3[metals[i]];
        if (value > 0.0) {
            bf_notes_add(
                c->notes, BF_NOTE_CAUTION, ion_key(metals[i], key),
                "%s of %.3g mg/L counts as a dissolved divalent ion and exchanges as one; "
                "that air or chlorine turns it into a solid is followed in a campaign only",
                bf_ion_get(metals[i])->name, mg_per_L(metals[i], value));
        }
    }
}

bf_status bf_water_complete(const bf_water_analysis *analysis, bf_water *out, bf_notes *notes,
                            bf_error *err)
{
    bf_water water = {0};
    completion c = {.given = analysis, .out = &water, .notes = notes, .err = err};
    bf_status status = check_analysis(analysis, err);
    if (status != BF_OK) {
        return status;
    }
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        int counts = is_stated(analysis->ion_eq_per_m3[i]) && i != BF_ION_H;
        water.ion_eq_per_m3[i] = counts ? analysis->ion_eq_per_m3[i] : 0.0;
    }
    complete_temperature_and_pH(&c);
    status = share_hardness(&c);
    if (status == BF_OK) {
        status = check_hardness(&c);
    }
    if (status != BF_OK) {
        return status;
    }
    note_absent_ions(&c);
    caution_about_metals(&c);
    complete_sodium(&c);
    status = balance_charges(&c);
    if (status == BF_OK) {
        *out = water;
    }
    return status;
}
