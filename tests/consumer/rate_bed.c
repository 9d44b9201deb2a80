/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rates one bed: capacity and leakage at three salt doses. */
#include <brinefront/brinefront.h>
#include <stdio.h>
#include <string.h>

int main(void)
{
    static const char text[] = "water: {hardness: 18 gpg}\n"
                               "bed: {resin_volume: 1.5 ft3}\n";
    static bf_case input; /* large: not for the stack */
    static bf_dose_point points[3];
    const double dose_kg_per_m3[3] = {60.0, 100.0, 150.0};
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = dose_kg_per_m3, .count = 3};
    bf_error err = {0};

    if (bf_check_headers(&err) != BF_OK ||
        bf_case_read_text(text, strlen(text), "my bed", &input, NULL, &err) != BF_OK ||
        bf_dose_curve(&input.rating, &curve, points, NULL, &err) != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
        return 1;
    }
    for (int i = 0; i < 3; i++) {
        const bf_cycle_result *cycle = &points[i].steady.cycle;
        (void)printf("%3.0f g/L of salt: %.1f eq/m3, leakage %.4f eq/m3, %s\n",
                     points[i].dose_kg_per_m3, cycle->capacity_eq_per_m3,
                     cycle->leakage_mean_eq_per_m3, bf_outcome_words(cycle->outcome));
    }
    return 0;
}
