/*
 * What a new farm begins with for a species, until its own record says better: starting values with their sources, as
 * rows of the exchange CSV.  The grower changes them on Farm; permits and local rules for a species are theirs to ask about.
 */
const COMMON = 'common practice, no source';
const FAO = 'FAO Technical Paper 589 (2014), fish tolerances, from memory; stop limits: common practice, no source';
const SRAC = 'Rakocy (1989), Tank Culture of Tilapia, SRAC 282, from memory';

const limits = (rows) => rows.map(([quantity, low_stop, low, high, high_stop, source]) => ({ quantity, low_stop, low, high, high_stop, source }));
const steps = (rows) => rows.map(([weight_from_g, pct_body_weight_day, source = COMMON]) => ({ weight_from_g, pct_body_weight_day, source }));

/** By species: {species, limits, steps}, each a row or rows of its exchange file; masses in g, temperatures in degC.  begin.js writes them. */
export const HANDBOOK = {
  tilapia: {
    species: { name: 'Nile tilapia', scientific_name: 'Oreochromis niloticus', market_weight_g: 750, temperature_optimum_c: 29, tgc_prior: 1.07, tgc_prior_sd: 0.2, conversion_floor: 1.1, purge_days: 4, note: 'Growth: Rakocy, Masser and Losordo (2006), SRAC 454, at 28 degC (assumed); spread and floor: common practice, no source' },
    limits: limits([['do_mg_l', 3, 5, '', '', FAO], ['temperature_c', 17, 24, 31, 35, FAO], ['ph', 5.8, 6.4, 8, 9, COMMON], ['tan_mg_l', '', '', 2, 4, FAO], ['nh3_n_mg_l', '', '', 0.05, 0.4, COMMON], ['nitrite_n_mg_l', '', '', 1, 3, FAO], ['alkalinity_mg_l', '', 40, '', '', COMMON]]),
    steps: steps([[5, 10, SRAC], [20, 7, SRAC], [50, 4], [100, 2.9], [250, 1.9], [450, 1.6], [700, 1.4]]),
  },
  catfish: {
    species: { name: 'Channel catfish', scientific_name: 'Ictalurus punctatus', market_weight_g: 650, temperature_optimum_c: 28, tgc_prior: 0.9, tgc_prior_sd: 0.25, conversion_floor: 1.2, purge_days: 3, note: 'All figures: common practice, no source' },
    limits: limits([['do_mg_l', 3, 5, '', '', COMMON], ['temperature_c', 12, 22, 31, 34, COMMON], ['ph', 5.8, 6.4, 8.2, 9, COMMON], ['tan_mg_l', '', '', 2, 4, COMMON], ['nh3_n_mg_l', '', '', 0.05, 0.3, COMMON], ['nitrite_n_mg_l', '', '', 0.5, 2, COMMON], ['alkalinity_mg_l', '', 40, '', '', COMMON]]),
    steps: steps([[5, 6], [20, 4.2], [50, 3.1], [100, 2.4], [250, 1.9], [450, 1.55], [650, 1.4]]),
  },
};
