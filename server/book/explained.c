/* See explained.h. */
#include "book/explained.h"

#include <assert.h>
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/strbuf.h"

/* So many ids make an address of some 3 kB, and the service takes 500 of one filter. */
enum { IDS_MAX = 400 };

struct explained_entries *explained_add(struct explained_lists *l, const char *kind,
					const char *address)
{
	l->entries = arena_grow(l->arena, l->entries, l->n, &l->room, sizeof(*l->entries));
	l->entries[l->n] = (struct explained_entries){
		.kind = kind, .count = NO_INT, .sum = NAN, .address = address
	};
	return &l->entries[l->n++];
}

void explained_give(const struct explained_lists *l, struct explanation *e)
{
	e->entries = l->entries;
	e->n_entries = l->n;
}

const char *explained_span(struct book *b, int64_t begin, int64_t end, struct arena *arena)
{
	const int64_t first = book_day(b, begin), last = book_day(b, end - 1);
	char from[TIME_TEXT_MAX], to[TIME_TEXT_MAX];

	if (begin == book_day_start(b, first))
		day_write(from, first);
	else
		time_write(from, begin);
	if (end == book_day_start(b, last + 1))
		day_write(to, last);
	else
		time_write(to, end - 1);
	return arena_printf(arena, "from=%s&to=%s", from, to);
}

const char *explained_ids(const int64_t *ids, size_t n, struct arena *arena)
{
	struct strbuf text;

	strbuf_init(&text);
	for (size_t i = 0; i < n; i++)
		strbuf_addf(&text, "%s%lld", i ? "," : "", (long long)ids[i]);

	const char *kept = arena_strdup(arena, text.text);

	strbuf_release(&text);
	return kept;
}

const char *explained_text(const char *text, struct arena *arena)
{
	struct strbuf out;

	strbuf_init(&out);
	for (const unsigned char *p = (const unsigned char *)text; *p; p++)
		if (*p < 128 && (isalnum(*p) || strchr("-._~", *p)))
			strbuf_addc(&out, (char)*p);
		else
			strbuf_addf(&out, "%%%02X", *p);

	const char *kept = arena_strdup(arena, out.text);

	strbuf_release(&out);
	return kept;
}

static struct chosen_set *set_of(struct chosen_entries *c, const struct kind *kind,
				 const char *part)
{
	for (size_t i = 0; i < c->n; i++)
		if (c->sets[i].kind == kind && c->sets[i].part == part)
			return &c->sets[i];
	assert(c->n < sizeof(c->sets) / sizeof(c->sets[0]));
	c->sets[c->n] = (struct chosen_set){ .kind = kind, .part = part };
	return &c->sets[c->n++];
}

void chosen_add(struct chosen_entries *c, const struct kind *kind, const char *part, int64_t id,
		struct arena *arena)
{
	id_set_add(&set_of(c, kind, part)->ids, id, arena);
}

void chosen_list(const struct chosen_entries *c, struct explained_lists *out)
{
	for (size_t i = 0; i < c->n; i++) {
		const struct chosen_set *set = &c->sets[i];

		for (size_t at = 0; at < set->ids.n; at += IDS_MAX) {
			const size_t n = set->ids.n - at < IDS_MAX ? set->ids.n - at : IDS_MAX;
			const char *ids = explained_ids(set->ids.ids + at, n, out->arena);
			struct explained_entries *e = explained_add(
				out, set->kind->name,
				arena_printf(out->arena, "/api/%s?id=%s", set->kind->name, ids));

			e->count = (int64_t)n;
			e->part = set->part;
		}
	}
}
