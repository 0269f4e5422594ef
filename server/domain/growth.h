/*
 * Growth of fish: pure functions of numbers.
 *
 * Thermal growth (TGC): W2 = (W1^(1/3) + k/1000 * degree-days)^3, k in g^(1/3) per 1000
 * degree-days.
 *   Source: Iwama & Tautz (1981), Can. J. Fish. Aquat. Sci. 38, 649-656 (as in docs/formulas).
 * Specific growth (SGR): W2 = W1 * exp(k/100 * days), k in % per day.  Standard definition (Ricker
 * 1979).
 */
#ifndef WEIRBOOK_DOMAIN_GROWTH_H
#define WEIRBOOK_DOMAIN_GROWTH_H

enum growth_model {
	GROWTH_NONE,    /* no growth known: the weight stays */
	GROWTH_THERMAL, /* k is a thermal growth coefficient */
	GROWTH_SPECIFIC /* k is a specific growth rate, % per day */
};

/* What a model needs to know about a stretch of time. */
struct growth_span {
	/* sum of T d, T capped at the species' optimum; NAN when T was never known */
	double degree_days;
	double days;       /* elapsed, with fractions */
	double known_days; /* of these with a known temperature */
};

/* Adds a span that follows, or lies beside, the one in `to`; degree_days NAN spoils the sum. */
void growth_span_add(struct growth_span *to, const struct growth_span *more);

/* Weight in g after span, from weight_g > 0: weight_g itself for GROWTH_NONE.  Never below 1 % of
 * weight_g (a stand of ours: no coefficient starves a fish to nothing).  NAN in, NAN out. */
double growth_weight_g(enum growth_model model, double k, double weight_g,
		       const struct growth_span *span);

/* The coefficient that carries weight1_g to weight2_g; NAN for weights not above 0, an empty span
 * or GROWTH_NONE. */
double growth_coefficient(enum growth_model model, double weight1_g, double weight2_g,
			  const struct growth_span *span);

/* SGR = 100 ln(W2/W1)/d, % per day; NAN unless all are above 0. */
double growth_sgr_pct_day(double weight1_g, double weight2_g, double days);

/* TGC = 1000 (W2^(1/3) - W1^(1/3)) / degree-days; NAN unless all are above 0. */
double growth_tgc(double weight1_g, double weight2_g, double degree_days);

/* The degree-days in which a TGC carries weight1_g to weight2_g, the other way round; NAN unless
 * all are above 0. */
double growth_degree_days(double tgc, double weight1_g, double weight2_g);

/*
 * Where the weight lies on a scale on which the model's growth is a straight line: cube root for
 * thermal, natural logarithm for specific.  d_scale is its slope, d(scale)/dW, so that an error in
 * grams times d_scale is an error on the scale.  Used to carry standard errors.  weight_g above 0;
 * a model that is not thermal counts as specific.
 */
double growth_scale(enum growth_model model, double weight_g);
/* The weight at a place on that scale; 0 below the cube root's 0. */
double growth_unscale(enum growth_model model, double at);
double growth_d_scale(enum growth_model model, double weight_g);

#endif
