/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file bed.h
 * A column of resin and the water that stands in and above it: fill it, run water or brine through
 * it, look inside.
 *
 * The column is one-dimensional, depth counted from the top. Per cell: the normality C of the pore
 * water, the equivalents c of every tracked cation except Na, their fractions y in M shells of the
 * bead, and any local states that a source term adds. Na is the rest of each. Above the bed stands
 * the freeboard water, stirred or in layers as the densities have it (bf_freeboard_law).
 *
 *     eps dc/dt = -u dc/dz + eps D_L d2c/dz2 - S + sources,    S exchange, eq/(m3 bed s)
 */
#ifndef BRINEFRONT_BED_H
#define BRINEFRONT_BED_H

#include "brinefront/film.h"
#include "brinefront/resin.h"
#include "brinefront/selectivity.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How fast bead and water approach each other. The first is the model; the others are the
 *  idealisations for which closed solutions exist. */
typedef enum bf_rate_law {
    BF_RATE_FILM_AND_BEAD, /**< film outside, Nernst-Planck shells inside, in series */
    BF_RATE_FILM,          /**< film only: one shell, the bead is uniform */
    BF_RATE_BEAD,          /**< shells only: the film passes 1e4 times more than correlated */
    BF_RATE_LINEAR_DRIVING_FORCE, /**< dy/dt = k (y*(c) - y), one shell */
    BF_RATE_REACTION,   /**< dy/dt = k (x y_Na - y x_Na/alpha), one shell, constant alpha */
    BF_RATE_EQUILIBRIUM /**< one shell that follows the water within 1e-4 of a cell's passage */
} bf_rate_law;

/** How the equations of a time step are solved. Both solve the same equations to the same
 *  tolerance; results differ by less than ten times that. */
typedef enum bf_solver {
    BF_SOLVER_BLOCK, /**< by the bed's own structure */
    BF_SOLVER_BANDED /**< by the integrator library's banded matrix and difference quotients: some
                          fifty times slower, a check on the other */
} bf_solver;

/** What a flow does to the water above the bed. */
typedef enum bf_freeboard_law {
    BF_FREEBOARD_BY_DENSITY, /**< heavier water from above, lighter from below turn it over; lighter
                                  from above, heavier from below push it out in layers; waters of
                                  next to one density turn it over */
    BF_FREEBOARD_STIRRED     /**< one stirred volume, whatever enters */
} bf_freeboard_law;

/** Which way the water moves through the bed. */
typedef enum bf_direction { BF_FLOW_DOWN, BF_FLOW_UP } bf_direction;

/** The arrays a source term sees: quantity q of cell j at q[j], cells in order of FLOW. */
typedef struct bf_cells {
    size_t count;               /**< number of cells */
    size_t ions;                /**< of the set: cations tracked, without Na */
    size_t shells;              /**< of all classes of bead sizes */
    const double *depth_m;      /**< of the cell's middle below the top of the bed */
    const double *shell_share;  /**< shell_share[m]: of the resin's volume; their sum is 1 */
    const double *normality;    /**< C, eq/m3 */
    const double *const *pore;  /**< pore[i][j]: c of ion i of the set, eq/m3 */
    const double *const *shell; /**< shell[m * ions + i][j]: y of ion i in shell m, core first; the
                                     shells of one class of bead sizes after those of another */
    const double *const *local; /**< local[l][j]: local state l of this source */
} bf_cells;

/** Where a source term adds its rates, per second; same shapes as bf_cells. */
typedef struct bf_rates {
    double *normality;
    double *const *pore;
    double *const *shell;
    double *const *local;
} bf_rates;

/** The most local states that all sources of a bed can have together. */
enum { BF_BED_LOCALS = 16 };

/**
 * A source term: something that happens in a cell of the bed, brought by a caller or by a layer to
 * the right; the bed knows no more of it than this. To write one:
 *
 *  - Ion i of the arrays is ion i of the set that the bed's equilibrium was made for; find it by
 *    bf_ion_set_index(). Na is the rest: what leaves an ion and not the normality comes in as Na.
 *  - rate() ADDS d(state)/dt: pore water per m3 of pore water, shells as fractions, local states in
 *    a unit of your own. The mean fraction on the resin is the sum of shell_share[m] * shell[..].
 *  - Local states begin at zero, stay in their cell while water moves, and are read and set by
 *    bf_bed_local(), where they stand behind those of the sources before this one.
 *  - What a cell passes on to the next cell of the flow may be marched along j inside rate().
 *  - rate() and slope() must not allocate or print. They return 0, +1 (the state left the domain:
 *    take a shorter step) or -1 (give up: bf_bed_run() returns BF_E_SOLVER).
 *  - What a source does to the ions shows in bf_passage::imbalance_eq_per_m3: the bed cannot know
 *    where it went.
 *  - A bed copies the bf_source and borrows its context; both serve one thread at a time.
 *
 * slope() adds d(rate)/d(state) to a dense block over the cell's face states f = [pore ions, own
 * local states], F of them: row r, column s of cell j at block[r * (1 + F) + s][j]; column 0 is C,
 * column 1 + s face state s. Slopes by or of shells, and by other cells, may be left out where they
 * are slow against a time step. NULL: all of them are slow, or the rate is constant.
 *
 * Example: iron decays in the pore water at k_per_s, and a local state counts what did.
 *
 *     static int rate(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
 *     {
 *         const decay *own = context;
 *         (void)time_s;
 *         for (size_t j = 0; j < cells->count; j++) {
 *             double lost = own->k_per_s * cells->pore[own->iron][j];
 *             rates->pore[own->iron][j] -= lost;
 *             rates->normality[j] -= lost;
 *             rates->local[0][j] += lost;
 *         }
 *         return 0;
 *     }
 */
typedef struct bf_source {
    const char *name;
    size_t local_count;     /**< local states this term brings */
    double local_tolerance; /**< absolute tolerance of those, in their own unit, > 0 */
    void *context;          /**< handed back; not owned */
    int (*rate)(void *context, double time_s, const bf_cells *cells, const bf_rates *rates);
    int (*slope)(void *context, double time_s, const bf_cells *cells, double *const *block);
} bf_source;

typedef struct bf_bed_spec {
    double diameter_m;    /**< vessel inside diameter, 0.01 .. 10 */
    double depth_m;       /**< settled resin depth, 0.01 .. 10 */
    double freeboard_m;   /**< height of the water above the bed, 0 .. 10; 0: none */
    double temperature_K; /**< 273.15 .. 323.15 */
    bf_resin resin;
    bf_rate_law rate_law;
    bf_film_law film_law;
    double film_m_per_s; /**< film coefficient for every ion; NAN: by film_law */
    double coat_m; /**< thickness of still water in series with the film: what a coat on the beads
                        is worth; 0: clean beads */
    double dispersion_m2_per_s; /**< D_L; NAN: Chung & Wen; 0: none */
    double dispersion_factor;   /**< on Chung & Wen at the velocity of each flow, 0.1 .. 10; their
                                     data scatter by a factor 2. A D_L of one's own is as given */
    double rate_constant_per_s[BF_ION_COUNT]; /**< k of LINEAR_DRIVING_FORCE, REACTION; >= 0 */
    size_t cells;                             /**< along the bed, 4 .. 4096 */
    size_t shells;       /**< in the bead, 1 .. 16; laws with a uniform bead use 1 */
    size_t bead_classes; /**< of bead sizes, 1 .. BF_BEAD_CLASSES, where the resin's uniformity
                              coefficient is above 1; laws of film and bead only */
    bf_shell_law shell_law;
    bf_freeboard_law freeboard_law;
    double relative_tolerance;           /**< of the time integration, 1e-10 .. 1e-2 */
    double hardness_tolerance_eq_per_m3; /**< absolute, pore-water hardness; 1e-9 .. 1e-2 */
    bf_solver solver;
    const bf_source *sources; /**< copied; may be NULL */
    size_t source_count;
} bf_bed_spec;

/** 0.26 m by 0.76 m of gel_8 under half a bed depth of water, 20 C, 120 cells, 3 shells,
 *  2 classes of beads, film and dispersion as correlated, relative
 *  tolerance 5e-4, hardness to 1e-5 eq/m3. */
BF_API bf_bed_spec bf_bed_spec_default(void);

/** @return BF_OK; BF_E_RANGE naming the first field outside its range. */
BF_API BF_MUST_CHECK bf_status bf_bed_spec_check(const bf_bed_spec *spec, bf_error *err);

/** Cross-section of the vessel, pi/4 diameter^2, m2; and settled volume of the resin, m3. */
BF_API double bf_bed_area_m2(const bf_bed_spec *spec);
BF_API double bf_bed_volume_m3(const bf_bed_spec *spec);

typedef struct bf_bed bf_bed;

/**
 * Build a bed, all Na, its water at 1 eq/m3 of Na.
 *
 * @param selectivity  borrowed: must outlive the bed; shared freely between beds and threads
 * Ownership: *out is yours. A bed belongs to one thread at a time.
 * Cost: some 100 bytes a cell, shell and ion.
 */
BF_API BF_MUST_CHECK bf_status bf_bed_create(const bf_bed_spec *spec,
                                             const bf_selectivity *selectivity, bf_bed **out,
                                             bf_error *err);
BF_API void bf_bed_free(bf_bed *bed);

/** Make the bed uniform: resin at the given fractions, water in it and above it as given.
 *  @param resin_fraction  one per bf_ion; Na is the rest; NULL: all Na
 *  @param water_eq_per_m3 one per bf_ion; cations count; their sum is the normality, > 0 */
BF_API BF_MUST_CHECK bf_status bf_bed_fill(bf_bed *bed, const double *resin_fraction,
                                           const double *water_eq_per_m3, bf_error *err);

/** Mix the resin: each cell moves the given share of its own (0 none .. 1 all) to the bed's mean,
 *  shell by shell. What the bed holds stays the same to rounding. */
BF_API void bf_bed_mix(bf_bed *bed, double share);

/** Copy the whole state between beds of one shape (cells, shells, ions, local states). */
BF_API BF_MUST_CHECK bf_status bf_bed_copy(bf_bed *out, const bf_bed *input, bf_error *err);

/** One moment of a run, as the observer sees it. */
typedef struct bf_moment {
    double time_s;      /**< since the start of the run */
    double bed_volumes; /**< passed since the start of the run */
    const double
        *effluent_eq_per_m3; /**< one per bf_ion: cations leaving the vessel; Na is the rest */
    double hardness_eq_per_m3;
    double normality_eq_per_m3;
} bf_moment;

/** One stretch of flow. */
typedef struct bf_flow {
    bf_direction direction;
    double velocity_m_per_s;              /**< superficial, >= 0; 0: the bed stands */
    double duration_s;                    /**< the longest the flow lasts, > 0 */
    double inlet_eq_per_m3[BF_ION_COUNT]; /**< cations, all of them tracked; sum > 0 */
    bf_fluid fluid;                       /**< density and viscosity of what enters */
    double end_hardness_eq_per_m3; /**< stop when the effluent RISES through this; NAN: never. It
                                        counts only after the effluent has once been below it */
    int bypass_freeboard; /**< nonzero: the flow enters and leaves at the bed itself (a collector in
                               the bed's top, or a packed vessel); the freeboard water stands by */
    void (*observe)(
        void *context,
        const bf_moment
            *moment); /**< after every step, or of all steps at the end where layers stand above an
                        upward flow; may be NULL */
    void *context;
} bf_flow;

/** What a stretch of flow did. Amounts are equivalents per m3 of bed. */
typedef struct bf_passage {
    double duration_s;
    double bed_volumes;
    int reached_end_hardness;
    double in_eq_per_m3[BF_ION_COUNT];     /**< cations that entered */
    double out_eq_per_m3[BF_ION_COUNT];    /**< cations that left */
    double stored_eq_per_m3[BF_ION_COUNT]; /**< change of what bed and freeboard hold */
    double hardness_first_eq_per_m3; /**< effluent after half a bed volume; NAN if not reached */
    double hardness_low_eq_per_m3;   /**< lowest effluent hardness */
    double hardness_last_eq_per_m3;  /**< effluent hardness at the end */
    double imbalance_eq_per_m3;      /**< largest |in - out - stored| over the cations */
    long steps;                      /**< the solver's own; not a physical figure */
} bf_passage;

/** @return BF_OK; BF_E_RANGE; BF_E_SOLVER with what the integrator met, bed unchanged. */
BF_API BF_MUST_CHECK bf_status bf_bed_run(bf_bed *bed, const bf_flow *flow, bf_passage *out,
                                          bf_error *err);

/** Copy the state of a bed of other cells, linearly between their middles: a start for a finer or
 *  coarser run, not exact in what it holds. @return BF_OK; BF_E_RANGE for other shells, ions or
 *  local states */
BF_API BF_MUST_CHECK bf_status bf_bed_resample(bf_bed *out, const bf_bed *input, bf_error *err);

/** What the bed (without the freeboard water) holds now, mean over its volume. */
typedef struct bf_holding {
    double resin_fraction[BF_ION_COUNT]; /**< equivalent fractions, Na included */
    double pore_eq_per_m3[BF_ION_COUNT]; /**< per m3 of pore water, Na included */
} bf_holding;
BF_API bf_holding bf_bed_holding(const bf_bed *bed);

/** Profiles from the top down, `cells` values each; NULL arguments are left out. */
BF_API void bf_bed_profile(const bf_bed *bed, bf_ion ion, double *resin_fraction,
                           double *pore_eq_per_m3);
BF_API size_t bf_bed_cell_count(const bf_bed *bed);
/** Local state l (counted over all sources) from the top down. */
BF_API BF_MUST_CHECK bf_status bf_bed_local(const bf_bed *bed, size_t local, double *values,
                                            bf_error *err);
BF_API BF_MUST_CHECK bf_status bf_bed_set_local(bf_bed *bed, size_t local, const double *values,
                                                bf_error *err);

/** Mean absolute difference of the resin fractions of two beds of one shape, over the resin and the
 *  ions tracked: how far one cycle moved the bed. NAN for different shapes. */
BF_API double bf_bed_distance(const bf_bed *a, const bf_bed *b);

#ifdef __cplusplus
}
#endif
#endif
