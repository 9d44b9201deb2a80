/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How each kind of quantity leaves the model: its unit in each unit system, and the way there from
 * SI. The only place where SI becomes the units of a reader. */
#ifndef BF_BASE_QUANTITIES_H
#define BF_BASE_QUANTITIES_H

#include "brinefront/unit_system.h"

/* What a number is, with the SI unit it comes in. */
typedef enum bf__quantity {
    BF__QUANTITY_PLAIN,       /* a count, or a number in a unit of its own: shown as it comes */
    BF__QUANTITY_LENGTH,      /* m */
    BF__QUANTITY_BEAD,        /* m, of a bead */
    BF__QUANTITY_AREA,        /* m2 */
    BF__QUANTITY_RESIN,       /* m3 of resin */
    BF__QUANTITY_WATER,       /* m3 of water in a bed or a regeneration */
    BF__QUANTITY_SUPPLY,      /* m3 of water in a run or a year */
    BF__QUANTITY_BED_VOLUMES, /* m3 of water per m3 of resin */
    BF__QUANTITY_FLOW,        /* m3/s */
    BF__QUANTITY_VELOCITY,    /* m/s */
    BF__QUANTITY_BED_VOLUMES_PER_TIME, /* 1/s */
    BF__QUANTITY_PRESSURE,             /* Pa */
    BF__QUANTITY_TEMPERATURE,          /* K */
    BF__QUANTITY_SECONDS,              /* s: min in U.S. units */
    BF__QUANTITY_MINUTES,              /* s */
    BF__QUANTITY_HOURS,                /* s */
    BF__QUANTITY_DAYS,                 /* s */
    BF__QUANTITY_MASS,                 /* kg */
    BF__QUANTITY_DOSE,                 /* kg of salt per m3 of resin */
    BF__QUANTITY_MASS_PER_VOLUME,      /* kg/m3 of anything else */
    BF__QUANTITY_DISSOLVED,            /* kg/m3 in water */
    BF__QUANTITY_METAL,                /* g of iron or manganese per m3 of water */
    BF__QUANTITY_ALKALINITY,           /* eq/m3 */
    BF__QUANTITY_MASS_FRACTION,        /* kg/kg */
    BF__QUANTITY_CAPACITY,             /* eq/m3 of resin */
    BF__QUANTITY_HELD,                 /* eq in a whole bed */
    BF__QUANTITY_HELD_CACO3,           /* kg of CaCO3 in a whole bed */
    BF__QUANTITY_LEAKAGE,              /* eq/m3 of hardness in softened water */
    BF__QUANTITY_HARDNESS,             /* eq/m3 of hardness in a feed */
    BF__QUANTITY_SETTING,              /* eq/m3 of hardness as a valve is set to it */
    BF__QUANTITY_EFFICIENCY,           /* kg of CaCO3 per kg of salt */
    BF__QUANTITY_WASTE,                /* m3 per kg of CaCO3 */
    BF__QUANTITY_WASTE_PER_EQ,         /* m3 per eq of hardness */
    BF__QUANTITY_DEPOSIT,              /* kg per m3 of resin */
    BF__QUANTITY_ADDITION,             /* eq of hardness counted per g of iron */
    BF__QUANTITY_CONDUCTIVITY,         /* S/m */
    BF__QUANTITY_DIFFUSIVITY,          /* m2/s */
    BF__QUANTITY_ENERGY_PER_MOLE,      /* J/mol */
    BF__QUANTITY_SHARE,                /* - */
    BF__QUANTITY_SAMPLES,              /* - */
    BF__QUANTITIES
} bf__quantity;

/* number = SI*scale + shift. */
typedef struct bf__unit {
    const char *text;   /* "mg/L CaCO3"; "" for a plain number */
    const char *column; /* the same in the head of a narrow column, whose legend says CaCO3 */
    double scale;
    double shift;
    int decimals; /* behind the point where numbers stand in a column */
} bf__unit;

bf__unit bf__quantity_unit(bf__quantity quantity, bf_unit_system units);

/* A number of SI in the units of a reader. */
double bf__quantity_show(bf__quantity quantity, bf_unit_system units, double si);

#endif
