/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report tells of a bed month by month. */
#include "report/foul/foul_quantities.h"

#define SI(text)                                                                                   \
    {                                                                                              \
        [BF_UNITS_SI] = (text)                                                                     \
    }

const bf__foul_quantity bf__foul_quantities[BF__FOUL_QUANTITIES] = {
    {{.name = {"capacity_kgr_per_ft3", "capacity_eq_per_L"},
      .head = {NULL, "capacity"},
      .kind = BF__QUANTITY_CAPACITY,
      .width = 10,
      .decimals = {1, 3}},
     .source = BF_CAMPAIGN_POTENTIAL,
     .range_width = 15,
     .range_decimals = {1, 2}},
    {{.head = {"of", "new"}, .kind = BF__QUANTITY_SHARE, .width = 6},
     .source = BF__FOUL_CAPACITY_OF_NEW},
    {{.name = SI("hardness_mg_per_L_CaCO3"),
      .head = {"hardness", "mean"},
      .kind = BF__QUANTITY_LEAKAGE,
      .width = 10,
      .decimals = {2, 2}},
     .source = BF_CAMPAIGN_HARDNESS},
    {{.name = SI("iron_mg_per_L"),
      .head = {"iron", "mean"},
      .per = "mg/L",
      .width = 8,
      .decimals = {3, 3}},
     .source = BF_CAMPAIGN_IRON,
     .need = BF__FOUL_WITH_IRON},
    {{.name = SI("manganese_mg_per_L"),
      .head = {"manganese", "mean"},
      .per = "mg/L",
      .width = 11,
      .decimals = {3, 3}},
     .source = BF_CAMPAIGN_MANGANESE,
     .need = BF__FOUL_WITH_MANGANESE},
    {{.head = {"pressure", "drop"}, .kind = BF__QUANTITY_PRESSURE, .width = 10, .decimals = {2, 1}},
     .source = BF__FOUL_PRESSURE_DROP},
    {{.name = SI("pressure_drop_per_clean"),
      .head = {"times", "clean"},
      .width = 8,
      .decimals = {2, 2}},
     .source = BF_CAMPAIGN_PRESSURE},
    {{.name = SI("loose_iron_g_per_L_bed"),
      .head = {NULL, "loose"},
      .kind = BF__QUANTITY_DEPOSIT,
      .width = 9,
      .decimals = {1, 3}},
     .source = BF_CAMPAIGN_LOOSE,
     .stays = 1},
    {{.name = {"bound_iron_g_per_ft3_bed", "bound_iron_g_per_L_bed"},
      .head = {NULL, "bound"},
      .kind = BF__QUANTITY_DEPOSIT,
      .width = 9,
      .decimals = {1, 3}},
     .source = BF_CAMPAIGN_BOUND,
     .stays = 1,
     .range_width = 18,
     .range_decimals = {1, 3}},
    {{.name = SI("bound_iron_top_tenth_g_per_L_bed"),
      .head = {"bound in", "top tenth"},
      .kind = BF__QUANTITY_DEPOSIT,
      .width = 11,
      .decimals = {1, 3}},
     .source = BF_CAMPAIGN_BOUND_TOP,
     .stays = 1},
    {{.name = SI("retention_percent"),
      .head = {"kept", "of iron"},
      .kind = BF__QUANTITY_SHARE,
      .width = 9,
      .decimals = {1, 1}},
     .source = BF_CAMPAIGN_RETENTION,
     .need = BF__FOUL_WITH_IRON,
     .stays = 1},
    {{.head = {"sites", "of new"}, .kind = BF__QUANTITY_SHARE, .width = 8, .decimals = {1, 1}},
     .source = BF__FOUL_SITES_OF_NEW,
     .stays = 1},
    {{.name = SI("resin_capacity_eq_per_L"), .kind = BF__QUANTITY_CAPACITY},
     .source = BF_CAMPAIGN_CAPACITY},
    {{.name = SI("alkalinity_lowest_meq_per_L"),
      .head = {"alkalinity", "lowest"},
      .per = "meq/L",
      .width = 12,
      .decimals = {2, 2}},
     .source = BF_CAMPAIGN_ALKALINITY,
     .need = BF__FOUL_WITH_IRON_AND_ALKALINITY,
     .stays = 1},
    {{.name = SI("moisture_percent"),
      .head = {NULL, "moisture"},
      .kind = BF__QUANTITY_SHARE,
      .width = 10,
      .decimals = {1, 1}},
     .source = BF_CAMPAIGN_MOISTURE,
     .need = BF__FOUL_WITH_CHLORINE,
     .stays = 1},
};

static bf__span times(bf__span span, double factor)
{
    return (bf__span){factor * span.expected, factor * span.low, factor * span.high};
}

bf__span bf__foul_value(const bf_foul_report *report, const bf__foul_quantity *quantity, double day)
{
    switch (quantity->source) {
    case BF__FOUL_CAPACITY_OF_NEW:
        return times(bf__foul_row_span(report, BF_CAMPAIGN_POTENTIAL, day),
                     1.0 / bf__foul_new_eq_per_m3(report->series));
    case BF__FOUL_SITES_OF_NEW:
        return times(bf__foul_row_span(report, BF_CAMPAIGN_CAPACITY, day),
                     1.0 / report->spec->bed.resin.capacity_eq_per_m3);
    case BF__FOUL_PRESSURE_DROP:
        return times(bf__foul_row_span(report, BF_CAMPAIGN_PRESSURE, day),
                     bf__campaign_clean_drop_Pa(report->spec, day));
    default: return bf__foul_row_span(report, (bf_campaign_quantity)quantity->source, day);
    }
}
