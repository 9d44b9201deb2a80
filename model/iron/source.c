/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron as a source term of the bed: what oxidises, where it stays, and what that takes from the
 * water.
 *
 *     in the water     r_w = eps (K1 + K2 S_s) O c/2
 *     on the resin     r_a = f_age K1 f^2 (1 + S_x/S_cat) O Q y/2
 *     oxygen           O_j = O_(j-1)/(1 + kappa tau),  kappa = (r_w + r_a)/(4 O),  tau = dz/u
 *     suspended        p_j = p_(j-1) e + r_w tau g,    e = exp(-lambda dz), g = (1 - e)/(lambda dz)
 *     alkalinity       A_j = A_(j-1) - 2 (r_w + r_a) tau
 *     loose            dS_s/dt = (p_(j-1) - p_j)/tau + r_w - k_bind S_s
 *     bound            dS_x/dt = r_a + k_bind S_s
 *     dissolved        eps dc/dt += -2 r_w            exchanged  dy_m/dt += -2 r_a y_m/(Q y)
 *     normality        eps dC/dt += -2 (r_w + r_a)
 *
 * c Fe2+ in the pore water, C its normality, eq/m3; y fraction of Fe on the resin, y_m that of a
 * shell, Q capacity eq/m3; O dissolved oxygen, p suspended Fe, A alkalinity, per m3 of water; S_s,
 * S_x mol per m3 of bed; r mol of Fe per m3 of bed and second; eps void; u superficial velocity, dz
 * cell; K1 per O of bf_iron_oxidation_per_s(), K2 per O and S_s of the surface law, f^2 Donnan.
 *
 * Where the charge goes: dissolved iron leaves the normality with its two charges and takes two of
 * alkalinity. Iron that ages on the resin frees two sites; two Na+ of the water fill them, so the
 * water loses two of normality and two of alkalinity. Na is the rest on both sides, so nothing else
 * has to be said.
 *
 * Discretisation: the water is marched along the cells, oxygen upwind and implicit (never below
 * zero, first order in dz), suspended iron exact for a production constant in the cell. All steps
 * telescope, so that what enters less what leaves is what the cells took, to rounding.
 * Slopes: exact within a cell. What a cell does to the oxygen of the cells behind it, and what
 * shells do, is left out: slow against the time steps.
 *
 * Assumes: oxygen and floc pass in a time in which deposits do not change (a bed holds 1e-4 of the
 * iron in its pore water); what the freeboard holds back of them is nothing; pH is prescribed; the
 * ferric deposit of a cell stands in its pore water; shells age at one rate; manganese does not
 * oxidise. The sites that bound iron blocks are taken from the bed between cycles, not here.
 * Not modelled here: water at rest, brine (its rate and solubility differ), dispersion of oxygen.
 */
#include "brinefront/iron_source.h"

#include "brinefront/fouling.h"

#include <math.h>
#include <stdlib.h>

struct bf_iron_source {
    bf_iron_spec spec;
    bf_ion_set ions;
    size_t iron; /* its place in the set */
    int is_divalent[BF_CATION_COUNT];
    double cell_m, cells, void_fraction, total_capacity_eq_per_m3, bead_diameter_m;
    double oxygen_in, suspended_in, alkalinity_in;
    double free_rate;    /* K1 */
    double surface_rate; /* K2 */
    double kg_per_mol;
    /* of the run */
    double cell_s;    /* tau, of superficial velocity */
    double passing;   /* e */
    double smoothing; /* g */
};

/* What one cell does, and what it leaves of oxygen, floc and alkalinity. */
typedef struct cell_balance {
    double oxygen, suspended, alkalinity; /* behind the cell */
    double in_water, on_resin, settles;   /* r_w, r_a and the catch, mol/(m3 s) */
    double free_share, aged_share;        /* omega and alpha: r over O */
    double donnan, root;                  /* f, and the root in it */
} cell_balance;

static double mean_on_resin(const bf_iron_source *s, const bf_cells *cells, size_t j)
{
    double y = 0.0;
    for (size_t m = 0; m < cells->shells; m++) {
        y += cells->shell_share[m] * cells->shell[m * cells->ions + s->iron][j];
    }
    return y;
}

/* f of the water of a cell: cbar f^2 = one f + two. */
static int donnan(const bf_iron_source *s, double normality, const double *const *pore, size_t j,
                  cell_balance *out)
{
    double two = 0.0;
    for (size_t i = 0; i < s->ions.count; i++) {
        two += s->is_divalent[i] ? pore[i][j] : 0.0;
    }
    const double one = normality - two;
    const double square = one * one + 4.0 * s->spec.bead_water_eq_per_m3 * two;
    if (!(normality > 0.0) || !(square > 0.0)) {
        return 1;
    }
    out->root = sqrt(square);
    out->donnan = (one + out->root) / (2.0 * s->spec.bead_water_eq_per_m3);
    return 0;
}

/* Moves oxygen, floc and alkalinity in *b through a cell. */
static void pass_cell(const bf_iron_source *s, double dissolved, double on_resin, double loose,
                      double bound, cell_balance *b)
{
    const double catalysis = 1.0 + s->kg_per_mol * bound / s->spec.catalysis_kg_per_m3;
    b->free_share = 0.5 * s->void_fraction * (s->free_rate + s->surface_rate * loose) * dissolved;
    b->aged_share = 0.5 * s->spec.ageing_factor * s->free_rate * b->donnan * b->donnan * catalysis *
                    s->total_capacity_eq_per_m3 * on_resin;
    const double kappa = BF_OXYGEN_PER_IRON * (b->free_share + b->aged_share);
    b->oxygen /= 1.0 + kappa * s->cell_s;
    b->in_water = b->free_share * b->oxygen;
    b->on_resin = b->aged_share * b->oxygen;
    const double before = b->suspended;
    b->suspended = before * s->passing + b->in_water * s->cell_s * s->smoothing;
    b->settles = (before - b->suspended) / s->cell_s + b->in_water;
    b->alkalinity -= BF_ALKALINITY_EQ_PER_IRON * (b->in_water + b->on_resin) * s->cell_s;
}

static cell_balance inlet(const bf_iron_source *s)
{
    return (cell_balance){
        .oxygen = s->oxygen_in, .suspended = s->suspended_in, .alkalinity = s->alkalinity_in};
}

static int rate(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    (void)time_s;
    const bf_iron_source *s = context;
    cell_balance b = inlet(s);
    for (size_t j = 0; j < cells->count; j++) {
        const double loose = cells->local[BF_IRON_LOOSE][j];
        const double y = mean_on_resin(s, cells, j);
        if (donnan(s, cells->normality[j], cells->pore, j, &b) != 0) {
            return 1;
        }
        pass_cell(s, cells->pore[s->iron][j], y, loose, cells->local[BF_IRON_BOUND][j], &b);
        rates->pore[s->iron][j] -= 2.0 * b.in_water / s->void_fraction;
        rates->normality[j] -= 2.0 * (b.in_water + b.on_resin) / s->void_fraction;
        const double ageing =
            bf_iron_ageing_per_s(&s->spec, s->free_rate * b.oxygen, b.donnan * b.donnan,
                                 s->kg_per_mol * cells->local[BF_IRON_BOUND][j]);
        for (size_t m = 0; m < cells->shells; m++) {
            const size_t row = m * s->ions.count + s->iron;
            rates->shell[row][j] -= ageing * cells->shell[row][j];
        }
        const double binds = s->spec.binding_per_s * loose;
        rates->local[BF_IRON_LOOSE][j] += b.settles - binds;
        rates->local[BF_IRON_BOUND][j] += b.on_resin + binds;
    }
    const size_t last = cells->count - 1;
    rates->local[BF_IRON_OXYGEN_OUT][last] += b.oxygen / s->cell_s;
    rates->local[BF_IRON_SUSPENDED_OUT][last] += b.suspended / s->cell_s;
    rates->local[BF_IRON_ALKALINITY_OUT][last] += b.alkalinity / s->cell_s;
    return 0;
}

/* Writes d(rates)/d(one state) into a column of the block, from d(omega) and d(alpha). */
static void add_column(const bf_iron_source *s, const cell_balance *b, size_t j, size_t last,
                       size_t column, double d_free, double d_aged, double *const *block)
{
    const size_t e = s->ions.count;
    const size_t wide = 1 + e + BF_IRON_LOCALS;
    const double kappa = BF_OXYGEN_PER_IRON * (b->free_share + b->aged_share);
    const double d_oxygen =
        -b->oxygen * s->cell_s / (1.0 + kappa * s->cell_s) * BF_OXYGEN_PER_IRON * (d_free + d_aged);
    const double d_in_water = b->oxygen * d_free + b->free_share * d_oxygen;
    const double d_on_resin = b->oxygen * d_aged + b->aged_share * d_oxygen;
    double *const *row = block + e * wide; /* first local */
    block[s->iron * wide + column][j] -= 2.0 * d_in_water / s->void_fraction;
    row[BF_IRON_LOOSE * wide + column][j] += (1.0 - s->smoothing) * d_in_water;
    row[BF_IRON_BOUND * wide + column][j] += d_on_resin;
    if (j == last) {
        row[BF_IRON_OXYGEN_OUT * wide + column][j] += d_oxygen / s->cell_s;
        row[BF_IRON_SUSPENDED_OUT * wide + column][j] += s->smoothing * d_in_water;
        row[BF_IRON_ALKALINITY_OUT * wide + column][j] -=
            BF_ALKALINITY_EQ_PER_IRON * (d_in_water + d_on_resin);
    }
}

static int slope(void *context, double time_s, const bf_cells *cells, double *const *block)
{
    (void)time_s;
    const bf_iron_source *s = context;
    const size_t e = s->ions.count;
    const size_t wide = 1 + e + BF_IRON_LOCALS;
    const size_t last = cells->count - 1;
    cell_balance b = inlet(s);
    for (size_t j = 0; j < cells->count; j++) {
        const double dissolved = cells->pore[s->iron][j];
        const double loose = cells->local[BF_IRON_LOOSE][j];
        const double bound = cells->local[BF_IRON_BOUND][j];
        if (donnan(s, cells->normality[j], cells->pore, j, &b) != 0) {
            return 1;
        }
        pass_cell(s, dissolved, mean_on_resin(s, cells, j), loose, bound, &b);
        /* d(alpha) = 2 alpha df/f, with df = (f d(one) + d(two))/root. */
        const double by_f = 2.0 * b.aged_share / (b.donnan * b.root);
        add_column(s, &b, j, last, 0, 0.0, by_f * b.donnan, block);
        for (size_t i = 0; i < e; i++) {
            const double d_free =
                i == s->iron ? 0.5 * s->void_fraction * (s->free_rate + s->surface_rate * loose)
                             : 0.0;
            const double d_aged = s->is_divalent[i] ? by_f * (1.0 - b.donnan) : 0.0;
            add_column(s, &b, j, last, 1 + i, d_free, d_aged, block);
        }
        const double d_free = 0.5 * s->void_fraction * s->surface_rate * dissolved;
        add_column(s, &b, j, last, 1 + e + BF_IRON_LOOSE, d_free, 0.0, block);
        const double d_aged = b.aged_share / (s->spec.catalysis_kg_per_m3 / s->kg_per_mol + bound);
        add_column(s, &b, j, last, 1 + e + BF_IRON_BOUND, 0.0, d_aged, block);
        block[(e + BF_IRON_LOOSE) * wide + 1 + e + BF_IRON_LOOSE][j] -= s->spec.binding_per_s;
        block[(e + BF_IRON_BOUND) * wide + 1 + e + BF_IRON_LOOSE][j] += s->spec.binding_per_s;
    }
    return 0;
}

/* All of it but what hangs on the velocity. */
static void fill(bf_iron_source *source, const bf_iron_spec *spec, const bf_iron_water *water,
                 const bf_bed_spec *bed, const bf_ion_set *ions)
{
    source->spec = *spec;
    source->ions = *ions;
    source->iron = bf_ion_set_index(ions, BF_ION_FE);
    for (size_t i = 0; i < ions->count; i++) {
        source->is_divalent[i] = bf_ion_get(ions->ion[i])->charge == 2;
    }
    source->cells = (double)bed->cells;
    source->cell_m = bed->depth_m / source->cells;
    source->void_fraction = bed->resin.void_fraction;
    source->total_capacity_eq_per_m3 = bed->resin.total_capacity_eq_per_m3;
    source->bead_diameter_m = bed->resin.bead_diameter_m;
    source->kg_per_mol = 1e-3 * bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    source->oxygen_in = water->oxygen_mol_per_m3;
    source->suspended_in = 1e-3 * water->colloidal_iron_g_per_m3 / source->kg_per_mol;
    source->alkalinity_in = water->alkalinity_eq_per_m3;
    /* Both laws are proportional to oxygen (and the deposit): one unit of each gives the factor. */
    source->free_rate = bf_iron_oxidation_per_s(
        spec, water->temperature_K, water->pH,
        bf_oxygen_pressure_Pa(1.0, water->temperature_K, water->salinity_g_per_kg));
    source->surface_rate = bf_iron_surface_oxidation_per_s(
        spec, water->pH, 1.0, source->kg_per_mol / source->void_fraction);
}

bf_status bf_iron_source_create(const bf_iron_spec *spec, const bf_iron_water *water,
                                const bf_bed_spec *bed, const bf_ion_set *ions,
                                bf_iron_source **out, bf_error *err)
{
    *out = NULL;
    bf_status status = bf_iron_spec_check(spec, err);
    if (status == BF_OK) {
        status = bf_iron_water_check(water, err);
    }
    if (status == BF_OK) {
        status = bf_bed_spec_check(bed, err);
    }
    if (status != BF_OK) {
        return status;
    }
    if (bf_ion_set_index(ions, BF_ION_FE) == ions->count) {
        return bf_error_set(err, BF_E_RANGE, "bf_iron_source_create",
                            "the bed does not track iron; put it into its set of ions");
    }
    bf_iron_source *source = calloc(1, sizeof *source);
    if (source == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_iron_source_create",
                            "no memory for a source term");
    }
    fill(source, spec, water, bed, ions);
    /* Until a velocity is stated: that of one bed volume in three minutes (20 an
     * hour, common practice, no source). */
    status = bf_iron_source_set_velocity(source, bed->depth_m / 180.0, err);
    if (status != BF_OK) {
        bf_iron_source_free(source);
        return status;
    }
    *out = source;
    return BF_OK;
}

void bf_iron_source_free(bf_iron_source *source)
{
    free(source);
}

bf_status bf_iron_source_set_velocity(bf_iron_source *source, double velocity_m_per_s,
                                      bf_error *err)
{
    if (!(velocity_m_per_s > 0.0 && isfinite(velocity_m_per_s))) {
        return bf_error_set(err, BF_E_RANGE, "bf_iron_source_set_velocity",
                            "velocity is %g m/s; iron is followed in running water only, so state "
                            "one above zero",
                            velocity_m_per_s);
    }
    const double filter =
        bf_iron_filter_per_m(&source->spec, source->bead_diameter_m, velocity_m_per_s);
    const double caught = bf_iron_captured(filter, source->cell_m);
    source->cell_s = source->cell_m / velocity_m_per_s;
    source->passing = 1.0 - caught;
    source->smoothing = caught / (filter * source->cell_m);
    return BF_OK;
}

bf_source bf_iron_source_term(bf_iron_source *source)
{
    return (bf_source){.name = "iron",
                       .local_count = BF_IRON_LOCALS,
                       .local_tolerance = 1e-6, /* mol/m3, numerical choice: 6e-8 g/L of deposit */
                       .context = source,
                       .rate = rate,
                       .slope = slope};
}

bf_status bf_iron_source_profile(const bf_iron_source *source, const bf_bed *bed,
                                 bf_direction direction, double *oxygen_mol_per_m3,
                                 double *suspended_mol_per_m3, double *alkalinity_eq_per_m3,
                                 bf_error *err)
{
    const size_t n = bf_bed_cell_count(bed);
    const size_t e = source->ions.count;
    if ((double)n != source->cells) {
        return bf_error_set(err, BF_E_RANGE, "bf_iron_source_profile",
                            "the bed has %zu cells and the source term %.0f; make them for one "
                            "spec",
                            n, source->cells);
    }
    /* Rows: pore water of the set, C, Fe on the resin, loose, bound. */
    double *memory = calloc((e + 4) * n, sizeof *memory);
    if (memory == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_iron_source_profile", "no memory for a profile");
    }
    const double *pore[BF_CATION_COUNT];
    double *normality = memory + e * n;
    double *on_resin = normality + n;
    double *loose = on_resin + n;
    double *bound = loose + n;
    bf_bed_profile(bed, BF_ION_NA, NULL, normality);
    for (size_t i = 0; i < e; i++) {
        double *row = memory + i * n;
        bf_bed_profile(bed, source->ions.ion[i], NULL, row);
        pore[i] = row;
        for (size_t k = 0; k < n; k++) {
            normality[k] += row[k];
        }
    }
    bf_bed_profile(bed, BF_ION_FE, on_resin, NULL);
    bf_status status = bf_bed_local(bed, BF_IRON_LOOSE, loose, err);
    if (status == BF_OK) {
        status = bf_bed_local(bed, BF_IRON_BOUND, bound, err);
    }
    cell_balance b = inlet(source);
    for (size_t k = 0; k < n && status == BF_OK; k++) {
        const size_t j = direction == BF_FLOW_DOWN ? k : n - 1 - k;
        if (donnan(source, normality[j], pore, j, &b) != 0) {
            status = bf_error_set(err, BF_E_RANGE, "bf_iron_source_profile",
                                  "the water of cell %zu has no cations", j);
            break;
        }
        pass_cell(source, pore[source->iron][j], on_resin[j], loose[j], bound[j], &b);
        if (oxygen_mol_per_m3 != NULL) {
            oxygen_mol_per_m3[j] = b.oxygen;
        }
        if (suspended_mol_per_m3 != NULL) {
            suspended_mol_per_m3[j] = b.suspended;
        }
        if (alkalinity_eq_per_m3 != NULL) {
            alkalinity_eq_per_m3[j] = b.alkalinity;
        }
    }
    free(memory);
    return status;
}
