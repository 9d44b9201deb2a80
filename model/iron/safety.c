/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What anybody should know before a resin is cleaned with chemicals: words, each with its source.
 * Whoever prints a cleaning prints these beside it. */
#include "brinefront/cleaning.h"

#include <assert.h>

static const bf_safety_fact facts[] = {
    {"sulfur dioxide",
     "Dithionite and bisulfite give off sulfur dioxide with acid or moisture. It is immediately "
     "dangerous at 100 ppm; work in moving air, and leave at the first sting. A smell of it in the "
     "treated water means that the bed was not rinsed enough.",
     "NIOSH, immediately dangerous concentrations: sulfur dioxide, 100 ppm (May 1994)"},
    {"never mix",
     "Never bring an acid or a reductant together with hypochlorite or any other chlorine product: "
     "acid sets chlorine gas free, a reductant reacts violently. Rinse fully between the two.",
     "from memory"},
    {"damp dithionite",
     "Dry sodium dithionite that gets damp heats itself and can catch fire. Keep it closed, dry "
     "and "
     "away from acids.",
     "from memory"},
    {"wetted parts",
     "Hydrochloric acid attacks brass, steel and some stainless parts of valves and tanks. Check "
     "every part it will touch.",
     "from memory"},
    {"rinse to drain",
     "After acid the resin stands in the hydrogen form: the first water is acid and carries the "
     "metals it released. Rinse to drain, regenerate with twice the salt, and let nobody drink of "
     "it until conductivity and pH are those of normal service. After a reductant, brine at once, "
     "or the iron oxidises again.",
     "resin makers' cleaning instructions; doubled brine as they say for aluminium"},
    {"trained hands",
     "Concentrated acids and reductants belong in the hands of trained people with goggles, gloves "
     "and the product's safety data sheet; some places ask for a licence to use or to discharge "
     "them.",
     "common practice, no source"},
    {"septic systems",
     "Spent acid upsets the life in a septic system, and a reductant takes its oxygen. Neutralise "
     "or dilute before discharge, and ask whoever owns the drain.",
     "from memory"},
};

size_t bf_cleaning_safety_count(void)
{
    return sizeof facts / sizeof *facts;
}

bf_safety_fact bf_cleaning_safety_get(size_t index)
{
    assert(index < bf_cleaning_safety_count());
    return facts[index];
}
