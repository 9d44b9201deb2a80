// SPDX-License-Identifier: GPL-3.0-or-later
// Runs a bed to its steady cycle and prints what leaves it while the brine passes.
#include <brinefront/brinefront.h>
#include <cstdio>
#include <memory>
#include <string>

int main()
{
    const std::string text = "water: {hardness: 18 gpg}\n"
                             "bed: {resin_volume: 1.5 ft3}\n";
    auto input = std::make_unique<bf_case>(); // large: not for the stack
    auto study = std::make_unique<bf_cycle_study>();
    bf_error err = {};

    bf_status status =
        bf_case_read_text(text.data(), text.size(), "my bed", input.get(), nullptr, &err);
    if (status == BF_OK) {
        status = bf_cycle_study_run(&input->rating, 100.0, 0, study.get(), &err);
    }
    for (std::size_t step = 0; status == BF_OK && step < study->recipe.count; step++) {
        if (!bf_step_is_brining(&study->recipe.step[step])) {
            continue;
        }
        std::size_t count = 0;
        const bf_trace_point *point = bf_trace_points(study->trace, step, &count);
        std::printf("%s: bed volumes, hardness and all cations in eq/m3\n",
                    study->recipe.step[step].type->name);
        for (std::size_t i = 0; i < count; i += 20) {
            std::printf("%8.3f %8.2f %8.2f\n", point[i].bed_volumes, point[i].hardness_eq_per_m3,
                        point[i].normality_eq_per_m3);
        }
    }
    if (status != BF_OK) {
        std::fprintf(stderr, "%s: %s\n", err.where, err.message);
    }
    bf_cycle_study_free(study.get());
    return status == BF_OK ? 0 : 1;
}
