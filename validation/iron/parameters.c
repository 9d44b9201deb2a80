/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of parameters in docs/iron.md, printed from the program's own. Here stand only the
 * symbols of that page and the units it thinks in. */
#include "iron/parameters.h"

#include "brinefront/iron.h"

#include <stdio.h>
#include <string.h>

static const struct {
    const char *field, *symbol, *unit;
    double per_SI;
} shown[] = {
    {"oxidation_mol2_per_m6_Pa_s", "kH", "mol2 L-2 atm-1 min-1", 1.0 / BF_IRON_SI_PER_KH},
    {"oxidation_activation_J_per_mol", "Ea", "kJ/mol", 1e-3},
    {"surface_access", "a_s", "", 1.0},
    {"iron_over_magnesium", "", "", 1.0},
    {"manganese_over_magnesium", "", "", 1.0},
    {"filter_per_m", "lambda0", "1/m", 1.0},
    {"filter_size_exponent", "m", "", 1.0},
    {"filter_velocity_exponent", "n", "", 1.0},
    {"ageing_factor", "f_age", "", 1.0},
    {"bead_water_eq_per_m3", "cbar", "eq/L", 1e-3},
    {"catalysis_kg_per_m3", "S_cat", "g/L", 1.0},
    {"brine_precipitation", "", "", 1.0},
    {"brine_removal", "", "", 1.0},
    {"binding_per_s", "k_bind", "1/d", BF_IRON_S_PER_DAY},
    {"backwash_per_s", "k_bw", "1/min", 60.0},
    {"sites_eq_per_mol", "beta", "eq/mol", 1.0},
    {"shell_kg_per_m3", "rho_d", "g/L", 1.0},
    {"shell_diffusivity_ratio", "D_sh/D", "", 1.0},
    {"shell_share", "f_s", "", 1.0},
    {"bead_blocking_kg_per_m3", "S_D", "g/L", 1.0},
    {"floc_kg_per_m3", "rho_int", "g/L", 1.0},
    {"dithionite_use", "eta", "", 1.0},
    {"reduction_per_s", "k", "1/min", 60.0},
    {"reduction_aged", "", "", 1.0},
    {"reduction_bisulfite", "", "", 1.0},
    {"moisture_new", "W0", "%", 100.0},
    {"moisture_m3_per_kg", "k_Cl", "points per g/L", 100.0},
    {"chloramine_weight", "w", "", 1.0},
    {"chlorine_catalysis_kg_per_m3", "S_ox", "g/L", 1.0},
};

void iron_parameters_print(FILE *file)
{
    (void)fputs("| symbol | default | range | unit | basis | what it is | source |\n"
                "|---|---|---|---|---|---|---|\n",
                file);
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        const bf_iron_parameter parameter = bf_iron_parameter_get(p);
        size_t s = 0;
        while (s < sizeof shown / sizeof *shown && strcmp(shown[s].field, parameter.name) != 0) {
            s++;
        }
        /* One that is not among them shows its field, whose name ends in its unit. */
        const int labelled = s < sizeof shown / sizeof *shown;
        const double per = labelled ? shown[s].per_SI : 1.0;
        (void)fprintf(file, "| %s | %.4g | %.4g to %.4g | %s | %s | %s | %s |\n",
                      labelled ? shown[s].symbol : parameter.name, per * parameter.value,
                      per * parameter.low, per * parameter.high, labelled ? shown[s].unit : "SI",
                      bf_iron_basis_word(parameter.basis), parameter.meaning, parameter.source);
    }
}
