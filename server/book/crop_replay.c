/* Plays entries about plants into beds.  See crop_replay.h for the rules; crop_order.c brings them
 * in order. */
#include "book/crop_replay.h"

#include <math.h>
#include <stdlib.h>

#include "base/order.h"

int64_t crop_plants_estimated(int64_t cubes, double germination_pct)
{
	if (isnan(germination_pct))
		return cubes;
	return llround((double)cubes * germination_pct / 100.0);
}

int64_t crop_sites_emptied(int64_t plants, int64_t pieces, int64_t culled, bool cut_again,
			   bool empties)
{
	if (plants != CROP_NONE)
		return plants;
	if (cut_again)
		return empties ? CROP_NONE : 0;
	if (pieces == CROP_NONE)
		return CROP_NONE;
	return pieces + (culled == CROP_NONE ? 0 : culled);
}

struct crop_sums *crop_sums_of(const struct crop_state *s, int64_t lot)
{
	/* lot is the first member: an int64_t key compares with it */
	return s->n_lots ? bsearch(&lot, s->lots, s->n_lots, sizeof(*s->lots), order_int64) : NULL;
}

struct crop_bed *crop_bed_of(const struct crop_state *s, int64_t bed)
{
	return s->n_beds ? bsearch(&bed, s->beds, s->n_beds, sizeof(*s->beds), order_int64) : NULL;
}

struct crop_holding *crop_holding_of(const struct crop_state *s, int64_t lot, int64_t bed)
{
	const struct crop_sums *sums = crop_sums_of(s, lot);

	for (size_t i = sums ? sums->holdings : SIZE_MAX; i != SIZE_MAX; i = s->holdings[i].next)
		if (s->holdings[i].bed == bed)
			return &s->holdings[i];
	return NULL;
}

static int64_t days_between(int64_t first, int64_t last)
{
	return first == CROP_NONE || last == CROP_NONE || last < first ? CROP_NONE : last - first;
}

struct crop_took crop_took_of(const struct crop_sums *sums)
{
	struct crop_took took = { .sown_day = sums ? sums->sown_day : CROP_NONE,
				  .first_cut_at = CROP_NONE,
				  .from_sown = CROP_NONE,
				  .from_nursery = CROP_NONE,
				  .from_raft = CROP_NONE };

	if (!sums || sums->sown_day == CROP_NONE || sums->first_cut_at == CROP_NONE)
		return took;
	took.first_cut_at = sums->first_cut_at;
	took.from_sown = days_between(sums->sown_day, sums->first_cut_day);
	took.from_nursery = days_between(sums->nursery_day, sums->first_cut_day);
	took.from_raft = days_between(sums->first_cut_raft_day, sums->first_cut_day);
	return took;
}

static struct crop_holding *holding(struct crop_state *s, int64_t lot, int64_t bed)
{
	struct crop_holding *h = crop_holding_of(s, lot, bed);
	struct crop_sums *sums = crop_sums_of(s, lot);

	if (h)
		return h;
	s->holdings = arena_grow(s->arena, s->holdings, s->n_holdings, &s->holdings_room,
				 sizeof(*s->holdings));
	h = &s->holdings[s->n_holdings];
	*h = (struct crop_holding){ .lot = lot,
				    .bed = bed,
				    .since_day = CROP_NONE,
				    .moved_day = CROP_NONE,
				    .stage_day = CROP_NONE,
				    .next = sums->holdings };
	sums->holdings = s->n_holdings++;
	return h;
}

static void note_gap(struct crop_state *s, const struct crop_event *e, int64_t there, int64_t asked)
{
	s->gaps = arena_grow(s->arena, s->gaps, s->n_gaps, &s->gaps_room, sizeof(*s->gaps));
	s->gaps[s->n_gaps++] = (struct crop_gap){ .sort = e->sort,
						  .id = e->id,
						  .lot = e->lot,
						  .bed = e->bed,
						  .day = e->day,
						  .there = there,
						  .asked = asked };
}

static void unexplained(struct crop_state *s, struct crop_holding *h, int64_t plants, int64_t day)
{
	struct crop_sums *sums = crop_sums_of(s, h->lot);

	h->unexplained += plants;
	sums->unexplained += plants;
	if (!plants)
		return;
	s->found = arena_grow(s->arena, s->found, s->n_found, &s->found_room, sizeof(*s->found));
	s->found[s->n_found++] =
		(struct crop_found){ .lot = h->lot, .bed = h->bed, .day = day, .plants = plants };
}

/* The holding stands at plants from now on. */
static void stand_at(struct crop_state *s, struct crop_holding *h, int64_t plants)
{
	crop_sums_of(s, h->lot)->plants += plants - h->plants;
	h->plants = plants;
}

static void plant_rafts(struct crop_state *s, int64_t bed, int64_t lot, int64_t rafts, bool foot)
{
	struct crop_bed *b = crop_bed_of(s, bed);

	if (!b)
		return;
	b->queue = arena_grow(s->arena, b->queue, b->n, &b->room, sizeof(*b->queue));
	b->n = foot ? bed_prepend(b->queue, b->n, lot, rafts)
		    : bed_append(b->queue, b->n, lot, rafts);
}

static void free_rafts(struct crop_state *s, int64_t bed, int64_t lot, int64_t rafts)
{
	struct crop_bed *b = crop_bed_of(s, bed);

	if (b)
		b->n = bed_take(b->queue, b->n, lot, rafts);
}

static int64_t rafts_held(const struct crop_state *s, int64_t bed, int64_t lot)
{
	const struct crop_bed *b = crop_bed_of(s, bed);

	return b ? bed_rafts_of(b->queue, b->n, lot) : 0;
}

/* Plants come into a bed, on rafts (0: none). */
static struct crop_holding *fill(struct crop_state *s, const struct crop_event *e, int64_t bed,
				 int64_t rafts)
{
	struct crop_holding *h = holding(s, e->lot, bed);

	if (h->plants == 0) {
		h->since_day = e->day;
		h->moved_day = e->sort == CROP_MOVED ? e->day : CROP_NONE;
		h->stage_day = e->day;
		h->estimated = false;
	}
	stand_at(s, h, h->plants + e->plants);
	if (e->plants > 0)
		plant_rafts(s, bed, e->lot, rafts, e->foot);
	return h;
}

/*
 * Plants leave a bed.  rafts freed; CROP_NONE: by the share that leaves.  Closes the bed's book
 * when the entry empties it, and frees every raft once no plant is left on them.
 */
static void take(struct crop_state *s, const struct crop_event *e, int64_t plants, int64_t rafts)
{
	struct crop_holding *h = holding(s, e->lot, e->bed);

	if (rafts == CROP_NONE)
		rafts = bed_rafts_freed(rafts_held(s, e->bed, e->lot), h->plants, plants);
	if (plants > h->plants) {
		note_gap(s, e, h->plants, plants);
		unexplained(s, h, plants - h->plants, e->day);
		stand_at(s, h, plants);
	}
	stand_at(s, h, h->plants - plants);
	if (e->empties && h->plants > 0) {
		unexplained(s, h, -h->plants, e->day);
		stand_at(s, h, 0);
	}
	free_rafts(s, e->bed, e->lot, h->plants > 0 ? rafts : INT64_MAX);
}

static int64_t sites_of(const struct crop_state *s, int64_t bed, int64_t raft_sites)
{
	const struct crop_bed *b = crop_bed_of(s, bed);

	if (raft_sites != CROP_NONE)
		return raft_sites;
	return b ? b->size.sites_per_raft : 0;
}

static void play_sowing(struct crop_state *s, const struct crop_event *e)
{
	struct crop_sums *sums = crop_sums_of(s, e->lot);
	/* every cube takes a site, whether it comes up or not */
	struct crop_holding *h =
		fill(s, e, e->bed, bed_rafts_needed(e->cubes, sites_of(s, e->bed, CROP_NONE)));

	h->estimated = true;
	sums->sown_day = e->day;
	sums->sown_cubes = e->cubes;
	sums->came_up = e->plants;
}

static void play_count(struct crop_state *s, const struct crop_event *e)
{
	struct crop_holding *h = holding(s, e->lot, e->bed);

	if (e->germination && h->estimated)
		crop_sums_of(s, e->lot)->came_up += e->plants - h->plants;
	else
		unexplained(s, h, e->plants - h->plants, e->day);
	if (h->plants == 0 && e->plants > 0) {
		h->since_day = h->stage_day = e->day;
		plant_rafts(s, e->bed, e->lot,
			    bed_rafts_needed(e->plants, sites_of(s, e->bed, CROP_NONE)), false);
	}
	h->estimated = false;
	stand_at(s, h, e->plants);
	if (h->plants == 0)
		free_rafts(s, e->bed, e->lot, INT64_MAX);
}

/* Rafts pushed whole from one bed to another free as many as they take. */
static bool rafts_move_whole(const struct crop_state *s, const struct crop_event *e)
{
	int64_t sites = sites_of(s, e->bed, CROP_NONE);

	return e->rafts != CROP_NONE && e->raft_sites == CROP_NONE && sites > 0 &&
	       sites == sites_of(s, e->to_bed, CROP_NONE);
}

static bool same_stage(const struct crop_state *s, int64_t bed, int64_t other)
{
	const struct crop_bed *a = crop_bed_of(s, bed), *b = crop_bed_of(s, other);

	return a && b && a->stage == b->stage;
}

static void note_nursery(struct crop_state *s, const struct crop_event *e)
{
	struct crop_sums *sums = crop_sums_of(s, e->lot);
	const struct crop_bed *to = crop_bed_of(s, e->to_bed);

	if (sums->nursery_day == CROP_NONE && e->plants > 0 && to && to->stage == CROP_NURSERY)
		sums->nursery_day = e->day;
}

static void play_move(struct crop_state *s, const struct crop_event *e)
{
	struct crop_holding *from = holding(s, e->lot, e->bed), *to;
	bool whole = rafts_move_whole(s, e), estimated = from->estimated;
	int64_t rafts = e->rafts, stage_day = from->stage_day;

	if (rafts == CROP_NONE)
		rafts = bed_rafts_needed(e->plants, sites_of(s, e->to_bed, e->raft_sites));
	take(s, e, e->plants, whole ? e->rafts : CROP_NONE);
	/* What leaves nothing behind takes the estimate along: its germination is not counted
	 * yet. */
	estimated = estimated && holding(s, e->lot, e->bed)->plants == 0;
	to = fill(s, e, e->to_bed, rafts);
	to->estimated = to->estimated || estimated;
	/* respaced or pushed on: it has been at this stage for longer than in this bed */
	if (to->since_day == e->day && stage_day != CROP_NONE && same_stage(s, e->bed, e->to_bed))
		to->stage_day = stage_day;
	note_nursery(s, e);
}

static void play_loss(struct crop_state *s, const struct crop_event *e)
{
	struct crop_sums *sums = crop_sums_of(s, e->lot);
	const struct crop_bed *bed = crop_bed_of(s, e->bed);

	take(s, e, e->plants, 0);
	sums->lost += e->plants;
	sums->lost_at[bed ? bed->stage : CROP_RAFTS] += e->plants;
}

/* What days to harvest are learned from: the lot's first harvest, and since when those plants stood
 * on rafts. */
static void note_first_cut(struct crop_state *s, const struct crop_event *e)
{
	struct crop_sums *sums = crop_sums_of(s, e->lot);
	const struct crop_holding *h = holding(s, e->lot, e->bed);
	const struct crop_bed *bed = crop_bed_of(s, e->bed);

	if (sums->first_cut_at != CROP_NONE)
		return;
	sums->first_cut_at = e->instant;
	sums->first_cut_day = e->day;
	if (bed && bed->stage == CROP_RAFTS && h->plants > 0 && h->moved_day != CROP_NONE)
		sums->first_cut_raft_day = h->stage_day;
}

static void play_harvest(struct crop_state *s, const struct crop_event *e)
{
	struct crop_sums *sums = crop_sums_of(s, e->lot);
	int64_t plants = e->plants;

	if (plants == CROP_NONE)
		plants = e->empties ? holding(s, e->lot, e->bed)->plants : 0;
	if (plants > 0 || e->cut_again)
		note_first_cut(s, e);
	take(s, e, plants, plants > 0 ? e->rafts : 0);
	sums->harvested += plants;
	if (plants == 0 && sums->plants > 0)
		sums->last_cut_day = e->day;
}

static void play(struct crop_state *s, const struct crop_event *e)
{
	static void (*const plays[])(struct crop_state *, const struct crop_event *) = {
		[CROP_SOWN] = play_sowing,       [CROP_COUNTED] = play_count,
		[CROP_MOVED] = play_move,        [CROP_LOST] = play_loss,
		[CROP_HARVESTED] = play_harvest,
	};
	struct crop_sums *sums = crop_sums_of(s, e->lot);

	plays[e->sort](s, e);
	if (sums->plants > 0)
		sums->ended_at = CROP_NONE;
	else if (sums->ended_at == CROP_NONE)
		sums->ended_at = e->instant;
}

/* One struct crop_sums for each lot there is, by ascending id. */
static void list_lots(struct crop_state *s, const struct crop_event *events, size_t n)
{
	int64_t *ids = arena_array(s->arena, n + 1, sizeof(*ids));

	for (size_t i = 0; i < n; i++)
		ids[i] = events[i].lot;
	if (n)
		qsort(ids, n, sizeof(*ids), order_int64);
	s->lots = arena_array(s->arena, n + 1, sizeof(*s->lots));
	for (size_t i = 0; i < n; i++)
		if (i == 0 || ids[i] != ids[i - 1])
			s->lots[s->n_lots++] = (struct crop_sums){ .lot = ids[i],
								   .sown_day = CROP_NONE,
								   .last_cut_day = CROP_NONE,
								   .nursery_day = CROP_NONE,
								   .first_cut_at = CROP_NONE,
								   .first_cut_day = CROP_NONE,
								   .first_cut_raft_day = CROP_NONE,
								   .ended_at = CROP_NONE,
								   .holdings = SIZE_MAX };
}

void crop_replay_begin(struct crop_event *events, size_t n, struct crop_bed *beds, size_t n_beds,
		       struct arena *arena, struct crop_state *out)
{
	*out = (struct crop_state){ .arena = arena,
				    .beds = beds,
				    .n_beds = n_beds,
				    .events = events,
				    .n_events = n,
				    .until = INT64_MIN };
	for (size_t i = 0; i < n_beds; i++)
		beds[i].n = 0;
	list_lots(out, events, n);
	crop_order(events, n);
}

void crop_replay_on(struct crop_state *s, int64_t until)
{
	s->until = until;
	for (; s->next < s->n_events && s->events[s->next].instant <= until; s->next++)
		play(s, &s->events[s->next]);
}

void crop_replay(struct crop_event *events, size_t n, struct crop_bed *beds, size_t n_beds,
		 int64_t until, struct arena *arena, struct crop_state *out)
{
	crop_replay_begin(events, n, beds, n_beds, arena, out);
	out->until = until;
	/* within a day a loss may stand before what came earlier: all are looked at */
	for (size_t i = 0; i < n; i++)
		if (events[i].instant <= until)
			play(out, &events[i]);
	out->next = n;
}
