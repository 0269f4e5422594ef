/* See sim_farm.h.  Growth is reckoned here by its own few lines, not by the code under test. */
#include "simulated/sim_farm.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/strbuf.h"
#include "base/zone.h"

const char *const sim_tank_codes[SIM_TANKS] = { "SA", "SB", "SC", "SD" };
const char *const sim_lot_codes[SIM_LOTS] = { "L1", "L2", "L3", "L4" };

static const double cv = 0.20;
static const double k_mean = 1.0;          /* g^(1/3) per 1000 degree-days */
static const double true_conversion = 1.4; /* feed over growth */
static const int weigh_every = 21;         /* days */

enum { SAMPLE = 40 };

struct cell {
	int64_t fish;
	double mean_g;
	double k;
	int64_t since; /* instant up to which mean_g is grown */
};

struct sim {
	const struct sim_options *o;
	uint64_t state;
	struct cell cells[SIM_TANKS][SIM_LOTS];
	double temperature_c; /* of the day at hand, in every tank */
	int64_t day, begin;   /* and its first instant */
	struct strbuf moves, deaths, weighings, feedings, tests, counts;
	struct strbuf nowhere; /* what happens after the last day that is written down */
	bool silent;
	struct sim_truth *t;
};

/* SplitMix64: a fixed stream for a fixed seed, on every machine. */
static uint64_t next_bits(struct sim *s)
{
	uint64_t z = (s->state += 0x9E3779B97F4A7C15u);

	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
	return z ^ (z >> 31);
}

static double uniform(struct sim *s)
{
	return ((double)(next_bits(s) >> 11) + 0.5) / 9007199254740992.0;
}

/* Normal deviate (Box and Muller). */
static double normal(struct sim *s)
{
	const double u = uniform(s), v = uniform(s);

	return sqrt(-2.0 * log(u)) * cos(6.283185307179586 * v);
}

static struct strbuf *book(struct sim *s, struct strbuf *rows)
{
	return s->silent ? &s->nowhere : rows;
}

static void draw_k(struct sim *s, struct cell *c)
{
	c->k = k_mean + s->o->k_spread * normal(s);
	if (c->k < 0.3)
		c->k = 0.3;
}

/* Grows a cell to an instant of the day at hand; what it gains is eaten for. */
static void grow(struct sim *s, int tank, int lot, int64_t at)
{
	struct cell *c = &s->cells[tank][lot];
	const double days = (double)(at - c->since) / 86400.0;
	const double root = cbrt(c->mean_g) + c->k / 1000.0 * s->temperature_c * days;

	c->since = at;
	if (c->fish == 0)
		return;
	const double gain = (double)c->fish * (root * root * root - c->mean_g);
	c->mean_g = root * root * root;
	s->t->gain_g[tank] += gain;
}

static const char *when(int64_t at, char out[TIME_TEXT_MAX])
{
	time_write(out, at);
	return out;
}

/* A weight as the scale shows it, or nothing where a noisy farm does not weigh. */
static const char *weight(struct sim *s, double g, bool noisy_weighs, char out[32])
{
	if (s->o->noisy && !noisy_weighs)
		out[0] = '\0';
	else
		snprintf(out, 32, "%.9g", s->o->noisy ? g * (1.0 + 0.005 * normal(s)) : g);
	return out;
}

static void stock(struct sim *s, int tank, int lot, int64_t fish, double mean_g, int64_t at)
{
	struct cell *c = &s->cells[tank][lot];
	char time[TIME_TEXT_MAX];

	*c = (struct cell){ .fish = fish, .mean_g = mean_g, .since = at };
	draw_k(s, c);
	if (!s->t->stocked_day[tank])
		s->t->stocked_day[tank] = s->day;
	/* fry come with their weight, noisy or not */
	strbuf_addf(book(s, &s->moves), "%s,%s,,%s,%lld,%.9g,stocking\n", when(at, time),
		    sim_lot_codes[lot], sim_tank_codes[tank], (long long)fish,
		    (double)fish * mean_g);
}

/* How fish are picked that move. */
enum picking {
	AS_THEY_COME,  /* counted; a noisy farm does not weigh them */
	GRADED,        /* by size, and weighed */
	GRADED_BY_EYE, /* by size, how far nobody knows; a noisy farm does not weigh them */
};

static const double by_eye_sd = 0.15; /* of the picked part's mean over the whole's */

static double picked_mean(struct sim *s, enum picking how, double mean_g)
{
	if (how == GRADED)
		return 1.15 * mean_g;
	return how == GRADED_BY_EYE ? mean_g * (1.0 + by_eye_sd * normal(s)) : mean_g;
}

static void move(struct sim *s, int from, int to, int lot, int64_t fish, enum picking how,
		 int64_t at)
{
	struct cell *a = &s->cells[from][lot], *b = &s->cells[to][lot];
	char time[TIME_TEXT_MAX], g[32];

	grow(s, from, lot, at);
	grow(s, to, lot, at);
	const double mass = (double)fish * picked_mean(s, how, a->mean_g);
	a->mean_g = ((double)a->fish * a->mean_g - mass) / (double)(a->fish - fish);
	a->fish -= fish;
	b->mean_g = ((double)b->fish * b->mean_g + mass) / (double)(b->fish + fish);
	b->fish += fish;
	draw_k(s, b);
	if (!s->t->stocked_day[to])
		s->t->stocked_day[to] = s->day;
	strbuf_addf(book(s, &s->moves), "%s,%s,%s,%s,%lld,%s,%s\n", when(at, time),
		    sim_lot_codes[lot], sim_tank_codes[from], sim_tank_codes[to], (long long)fish,
		    weight(s, mass, how == GRADED, g),
		    how == AS_THEY_COME ? "splitting" : "grading");
}

/* Fish that die are a little lighter than the rest. */
static void die(struct sim *s, int tank, int lot, int64_t fish, int64_t at)
{
	struct cell *c = &s->cells[tank][lot];
	char time[TIME_TEXT_MAX], g[32];

	if (c->fish <= fish)
		return;
	grow(s, tank, lot, at);
	const double mass = (double)fish * c->mean_g * (0.9 + 0.1 * uniform(s));
	c->mean_g = ((double)c->fish * c->mean_g - mass) / (double)(c->fish - fish);
	c->fish -= fish;
	s->t->gain_g[tank] -= mass;
	s->t->dead_g[tank] += mass;
	s->t->dead[tank] += fish;
	strbuf_addf(book(s, &s->deaths), "%s,%s,%s,%lld,%s\n", when(at, time), sim_tank_codes[tank],
		    sim_lot_codes[lot], (long long)fish, weight(s, mass, false, g));
}

/* All fish, or a sample of single fish that spread around the mean; then a new period begins. */
static void weigh(struct sim *s, int tank, int lot, int64_t at)
{
	struct cell *c = &s->cells[tank][lot];
	char time[TIME_TEXT_MAX];

	if (c->fish == 0)
		return;
	grow(s, tank, lot, at);
	const int64_t n = s->o->noisy && c->fish > SAMPLE ? SAMPLE : c->fish;
	double mass = (double)n * c->mean_g;
	if (s->o->noisy)
		mass *= 1.0 +
			cv / sqrt((double)n) * sqrt(1.0 - (double)n / (double)c->fish) * normal(s);
	strbuf_addf(book(s, &s->weighings), "%s,%s,%s,%lld,%.9g\n", when(at, time),
		    sim_tank_codes[tank], sim_lot_codes[lot], (long long)n, mass);
	draw_k(s, c);
}

static void measure(struct sim *s)
{
	char time[TIME_TEXT_MAX];

	for (int t = 0; t < SIM_TANKS; t++)
		strbuf_addf(book(s, &s->tests), "%s,%s,%.4f\n", when(s->begin + 7 * 3600, time),
			    sim_tank_codes[t],
			    s->temperature_c + (s->o->noisy ? 0.2 * normal(s) : 0.0));
}

/* The day's feed, in two meals: what was grown today, wavering. */
static void feed(struct sim *s, int tank, double grown_g)
{
	char time[TIME_TEXT_MAX];
	const double g = round(grown_g * true_conversion * (1.0 + 0.1 * (uniform(s) - 0.5)));

	if (!(g > 1.0))
		return;
	const double first = floor(g / 2.0);
	strbuf_addf(book(s, &s->feedings), "%s,%s,Pellet,%.9g\n", when(s->begin + 8 * 3600, time),
		    sim_tank_codes[tank], first);
	strbuf_addf(book(s, &s->feedings), "%s,%s,Pellet,%.9g\n", when(s->begin + 17 * 3600, time),
		    sim_tank_codes[tank], g - first);
	s->t->feed_g[tank] += g;
}

/* A statement of how many there are; in truth a few were gone since this morning (a heron). */
static void count(struct sim *s, int tank, int lot, int64_t at)
{
	struct cell *c = &s->cells[tank][lot];
	char time[TIME_TEXT_MAX];

	grow(s, tank, lot, at);
	if (c->fish < 50)
		return;
	s->t->gain_g[tank] -= 3.0 * c->mean_g; /* missing fish give nothing */
	c->fish -= 3;
	strbuf_addf(book(s, &s->counts), "%s,%s,%s,%lld\n", when(at, time), sim_tank_codes[tank],
		    sim_lot_codes[lot], (long long)c->fish);
}

/* What is special on some days. */
static void happenings(struct sim *s, int d)
{
	const int64_t noon = s->begin + 12 * 3600;

	if (d == 1)
		stock(s, 0, 0, 800, 20.0, noon);
	if (d == 2)
		stock(s, 1, 1, 500, 60.0, noon);
	if (d == 30) /* a third lot shares tank SB */
		stock(s, 1, 2, 200, 40.0, noon);
	if (d == 44) /* graded: the bigger 300 of L1 go to SC */
		move(s, 0, 2, 0, 300, GRADED, noon);
	if (d == 45)
		stock(s, 3, 3, 400, 30.0, noon);
	if (d == 60) /* and the third lot leaves SB for SD, where L4 swims */
		move(s, 1, 3, 2, 150, AS_THEY_COME, noon);
	if (d == 75)
		count(s, 0, 0, noon);
	/* a third of L4 is picked by eye for SC: what stays in SD is not known as well */
	if (d == 88 && !s->o->written_days)
		move(s, 3, 2, 3, 150, GRADED_BY_EYE, noon);
}

static bool weighing_day(const struct sim *s, int d)
{
	/* noisy: nothing is weighed on the last nine days, so that the end is a projection */
	return d > 1 && d < s->o->days && d % weigh_every == 0 &&
	       !(s->o->noisy && d > s->o->days - 9);
}

static void live(struct sim *s, int d)
{
	double before[SIM_TANKS], dead_before[SIM_TANKS];

	memcpy(before, s->t->gain_g, sizeof(before));
	memcpy(dead_before, s->t->dead_g, sizeof(dead_before));
	measure(s);
	happenings(s, d);
	for (int t = 0; t < SIM_TANKS; t++)
		for (int l = 0; l < SIM_LOTS; l++) {
			if (s->cells[t][l].fish > 0 && uniform(s) < 0.15)
				die(s, t, l, 1 + (int64_t)(2.0 * uniform(s)), s->begin + 13 * 3600);
			if (weighing_day(s, d))
				weigh(s, t, l, s->begin + 15 * 3600);
		}
	for (int t = 0; t < SIM_TANKS; t++) {
		for (int l = 0; l < SIM_LOTS; l++) {
			grow(s, t, l, s->begin + 86400);
			if (d == s->o->days && !s->o->noisy) /* the books end with a weighing */
				weigh(s, t, l, s->begin + 86400);
		}
		const double lost = s->t->dead_g[t] - dead_before[t];
		feed(s, t, s->t->gain_g[t] - before[t] + lost);
	}
}

static void add_file(struct sim_farm *out, struct arena *arena, const char *name, const char *head,
		     struct strbuf *rows)
{
	const char *text = arena_printf(arena, "%s\n%s", head, rows ? rows->text : "");

	out->files[out->n_files++] =
		(struct import_file){ .name = name, .text = text, .length = strlen(text) };
	if (rows)
		strbuf_release(rows);
}

static void add_set_up(struct sim_farm *out, struct arena *arena, const struct sim_options *o)
{
	add_file(out, arena, "farm.csv", "name,time_zone\nA simulated farm,UTC", NULL);
	add_file(out, arena, "loops.csv", "code,water_volume_l\nW1,100000", NULL);
	add_file(out, arena, "tanks.csv",
		 "code,loop,volume_l\nSA,W1,20000\nSB,W1,20000\nSC,W1,20000\nSD,W1,20000", NULL);
	add_file(out, arena, "species.csv",
		 arena_printf(arena,
			      "name,tgc_prior,tgc_prior_sd,temperature_optimum_c,conversion_floor,"
			      "market_weight_g\n"
			      "Fish,1,%.9g,32,0.9,%.9g",
			      o->k_spread > 0.0 ? o->k_spread : 0.1, out->truth.market_g),
		 NULL);
	add_file(out, arena, "feeds.csv", "name,protein_pct\nPellet,36", NULL);
	add_file(out, arena, "fish-lots.csv", "code,species\nL1,Fish\nL2,Fish\nL3,Fish\nL4,Fish",
		 NULL);
}

static void add_entries(struct sim_farm *out, struct arena *arena, struct sim *s)
{
	add_file(out, arena, "fish-moves.csv", "at,fish_lot,from_tank,to_tank,fish,weight_g,reason",
		 &s->moves);
	add_file(out, arena, "fish-deaths.csv", "at,tank,fish_lot,fish,weight_g", &s->deaths);
	add_file(out, arena, "fish-counts.csv", "at,tank,fish_lot,counted", &s->counts);
	add_file(out, arena, "weighings.csv", "at,tank,fish_lot,fish,weight_g", &s->weighings);
	add_file(out, arena, "feedings.csv", "at,tank,feed,amount_g", &s->feedings);
	add_file(out, arena, "water-tests.csv", "at,place,temperature_c", &s->tests);
}

void sim_farm_run(const struct sim_options *options, struct arena *arena, struct sim_farm *out)
{
	struct sim s = { .o = options, .state = options->seed, .t = &out->truth };
	struct strbuf *texts[] = { &s.moves,    &s.deaths, &s.weighings,
				   &s.feedings, &s.tests,  &s.counts };
	const int64_t first = day_from_civil(2026, 1, 5);

	*out = (struct sim_farm){ 0 };
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		strbuf_init(texts[i]);
		strbuf_adds(texts[i], "");
	}
	strbuf_init(&s.nowhere);
	for (int d = 1; d <= options->days; d++) {
		s.day = first + d;
		s.begin = s.day * 86400;
		s.silent = options->written_days && d > options->written_days;
		if (d == options->written_days + 1)
			out->truth.written_until = s.begin;
		s.temperature_c = 27.0 + 1.5 * sin((double)d / 9.0) + 0.4 * normal(&s);
		live(&s, d);
		for (int c = 0; c < SIM_TANKS * SIM_LOTS && d < SIM_DAYS; c++)
			out->truth.mean_g[c / SIM_LOTS][c % SIM_LOTS][d] =
				s.cells[c / SIM_LOTS][c % SIM_LOTS].mean_g;
	}
	out->truth.last_instant = s.begin + 86400;
	for (int t = 0; t < SIM_TANKS; t++)
		for (int l = 0; l < SIM_LOTS; l++) {
			out->truth.fish[t][l] = s.cells[t][l].fish;
			out->truth.mass_g[t][l] = (double)s.cells[t][l].fish * s.cells[t][l].mean_g;
		}
	strbuf_release(&s.nowhere);
	out->truth.market_g = 1000.0;
	if (options->market_day) /* the weight that some lot has on that day: it is met in time */
		out->truth.market_g =
			out->truth.mean_g[options->seed % 2 ? 1 : 3][options->seed % 2 ? 1 : 3]
					 [options->market_day];
	add_set_up(out, arena, options);
	add_entries(out, arena, &s);
}
