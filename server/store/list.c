/*
 * Lists of records: one composed statement each, kept prepared for the next list of the same form.
 *
 * Parameters: 1 from_day, 2 to_day, 3 and 4 the widest instants of those days (or what is asked), 5 and 6 the cursor, 7 the
 * limit, from 8 on what the filters want, in their order.
 */
#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/strbuf.h"
#include "base/zone.h"
#include "store/internal.h"
#include "store/record.h"

enum {
	P_FROM_DAY = 1,
	P_TO_DAY,
	P_FROM_INSTANT,
	P_TO_INSTANT,
	P_AFTER_INSTANT,
	P_AFTER_ID,
	P_LIMIT,
	P_FILTERS
};

/* A farm day lies within so many seconds of the same day in UTC, whatever the zone and the hour it begins. */
enum { WIDEST_SHIFT_S = 2 * DAY_SECONDS };

struct record_list {
	struct store *store;
	const struct kind_shape *shape;
	struct cached_list *cached; /* NULL: handle is our own */
	sqlite3_stmt *handle;
	struct record *record;
	bool ended; /* another step would start the statement again */
	struct arena arena;
};

void store_lists_close(struct store *st)
{
	for (int i = 0; i < LIST_CACHE_MAX; i++) {
		sqlite3_finalize(st->lists[i].handle);
		free(st->lists[i].sql);
	}
}

static bool has_days(const struct list_query *q, const struct kind_shape *shape)
{
	return shape->has_day &&
	       (q->from_day != INT64_MIN || q->to_day != INT64_MAX || q->since || q->until);
}

/* What a filter's column must be; takes its parameters from *p on. */
static void add_match(struct strbuf *sql, const struct list_filter *filter, size_t *p)
{
	const struct field *f = filter->field;

	if (filter->n_any == 0 && filter->equals.type == VALUE_NONE) {
		strbuf_adds(sql, " IS NULL");
		return;
	}
	if (filter->n_any == 0) {
		strbuf_addf(sql, " = ?%zu%s", (*p)++,
			    f && (f->kind == KIND_CODE || f->kind == KIND_NAME) ? " COLLATE NOCASE"
										: "");
		return;
	}
	strbuf_adds(sql, " IN (");
	for (size_t i = 0; i < filter->n_any; i++)
		strbuf_addf(sql, "%s?%zu", i ? ", " : "", (*p)++);
	strbuf_addc(sql, ')');
}

/* From the row, or from one that it refers to, on to the row that has the filter's field. */
static void add_step(struct strbuf *sql, const struct kind *k, const struct list_filter *filter,
		     size_t step, size_t *p)
{
	const bool there = step == filter->n_via;
	const struct field *f = there ? filter->field : filter->via[step];

	if (f)
		sql_column(sql, k, f);
	else
		strbuf_adds(sql, "a.id");
	if (there) {
		add_match(sql, filter, p);
		return;
	}
	k = kind_find(f->refers_to);
	strbuf_adds(sql, " IN (SELECT a.id");
	sql_from(sql, k);
	strbuf_adds(sql, " WHERE ");
	add_step(sql, k, filter, step + 1, p);
	strbuf_addc(sql, ')');
}

static void add_filters(struct strbuf *sql, const struct list_query *q)
{
	size_t p = P_FILTERS;

	for (size_t i = 0; i < q->n_filters; i++) {
		strbuf_adds(sql, " AND ");
		add_step(sql, q->kind, &q->filters[i], 0, &p);
	}
}

static void add_conditions(struct strbuf *sql, const struct list_query *q,
			   const struct kind_shape *shape)
{
	const char *after = q->newest_first ? "<" : ">";

	strbuf_adds(sql, " WHERE 1");
	if (shape->has_struck && !q->all)
		strbuf_adds(sql, q->with_struck ? " AND a.struck_at IS NOT NULL"
						: " AND a.struck_at IS NULL");
	add_filters(sql, q);
	if (has_days(q,
		     shape)) /* the instants are implied: they let the index of the order serve */
		strbuf_adds(sql, " AND a.day BETWEEN ?1 AND ?2 AND a.instant BETWEEN ?3 AND ?4");
	if (q->has_cursor && shape->instant_sql)
		strbuf_addf(sql, " AND (%s, %s) %s (?5, ?6)", shape->instant_sql,
			    shape->has_row ? "a.id" : "a.probe_id", after);
	else if (q->has_cursor)
		strbuf_addf(sql, " AND a.id %s ?6", after);
}

static void add_order(struct strbuf *sql, const struct list_query *q,
		      const struct kind_shape *shape)
{
	const char *way = q->newest_first ? " DESC" : "";

	strbuf_adds(sql, " ORDER BY ");
	if (q->by_key && !shape->instant_sql) {
		if (shape->code != SIZE_MAX)
			strbuf_adds(sql, "a.code IS NULL, a.code, ");
		if (shape->name != SIZE_MAX)
			strbuf_addf(sql, "a.\"%s\", ", shape->fields[shape->name]->name);
	}
	if (shape->instant_sql)
		strbuf_addf(sql, "%s%s, ", shape->instant_sql, way);
	if (!shape->has_row)
		strbuf_addf(sql, "a.probe_id%s", way);
	else
		strbuf_addf(sql, "a.%s%s", q->by_key ? "key" : "id", way);
	strbuf_adds(sql, " LIMIT ?7");
}

/* A free place in the cache: one with this very text, else the one that was used the longest ago. */
static struct cached_list *cache_place(struct store *st, const char *sql)
{
	struct cached_list *oldest = NULL;

	for (int i = 0; i < LIST_CACHE_MAX; i++) {
		struct cached_list *c = &st->lists[i];

		if (c->busy)
			continue;
		if (c->sql && strcmp(c->sql, sql) == 0)
			return c;
		if (!oldest || c->last_used < oldest->last_used)
			oldest = c;
	}
	return oldest;
}

static enum err_code prepare_list(struct store *st, const struct strbuf *sql, struct record_list *l,
				  struct err *err)
{
	struct cached_list *c = cache_place(st, sql->text);
	enum err_code rc;

	if (!c)
		return store_prepare(st, sql->text, sql->length, &l->handle, err);
	if (!c->sql || strcmp(c->sql, sql->text) != 0) {
		sqlite3_finalize(c->handle);
		free(c->sql);
		memset(c, 0, sizeof(*c));
		rc = store_prepare(st, sql->text, sql->length, &c->handle, err);
		if (rc)
			return rc;
		c->sql = xmalloc(sql->length + 1);
		memcpy(c->sql, sql->text, sql->length + 1);
	}
	c->busy = true;
	c->last_used = ++st->list_clock;
	l->cached = c;
	l->handle = c->handle;
	return ERR_NONE;
}

static int64_t day_start(int64_t day)
{
	return day < INT64_MIN / DAY_SECONDS || day > INT64_MAX / DAY_SECONDS ? day
									      : day * DAY_SECONDS;
}

static void bind_value(sqlite3_stmt *s, int p, const struct value *v)
{
	if (v->type == VALUE_INT)
		sqlite3_bind_int64(s, p, v->i);
	else if (v->type == VALUE_REAL)
		sqlite3_bind_double(s, p, v->r);
	else if (v->type == VALUE_TEXT) /* the caller's text may be gone before the list is */
		sqlite3_bind_text(s, p, v->text, -1, SQLITE_TRANSIENT);
}

/* In the order of add_filters. */
static void bind_filters(sqlite3_stmt *s, const struct list_query *q)
{
	int p = P_FILTERS;

	for (size_t i = 0; i < q->n_filters; i++) {
		const struct list_filter *filter = &q->filters[i];

		for (size_t v = 0; v < filter->n_any; v++)
			sqlite3_bind_int64(s, p++, filter->any[v]);
		if (filter->n_any == 0 && filter->equals.type != VALUE_NONE)
			bind_value(s, p++, &filter->equals);
	}
}

static int64_t first_instant(const struct list_query *q)
{
	const int64_t from = day_start(q->from_day);
	const int64_t widest =
		from < INT64_MIN + WIDEST_SHIFT_S ? INT64_MIN : from - WIDEST_SHIFT_S;

	return q->since && *q->since > widest ? *q->since : widest;
}

static int64_t last_instant(const struct list_query *q)
{
	const int64_t to = day_start(q->to_day);
	const int64_t widest = to > INT64_MAX - WIDEST_SHIFT_S - DAY_SECONDS
				       ? INT64_MAX
				       : to + WIDEST_SHIFT_S + DAY_SECONDS;

	return q->until && *q->until < widest ? *q->until : widest;
}

/* Parameters that the text leaves out answer SQLITE_RANGE, which is no fault. */
static void bind_list(struct record_list *l, const struct list_query *q)
{
	sqlite3_stmt *s = l->handle;

	sqlite3_bind_int64(s, P_FROM_DAY, q->from_day);
	sqlite3_bind_int64(s, P_TO_DAY, q->to_day);
	sqlite3_bind_int64(s, P_FROM_INSTANT, first_instant(q));
	sqlite3_bind_int64(s, P_TO_INSTANT, last_instant(q));
	sqlite3_bind_int64(s, P_AFTER_INSTANT, q->after_instant);
	sqlite3_bind_int64(s, P_AFTER_ID, q->after_id);
	sqlite3_bind_int64(s, P_LIMIT, q->limit > 0 ? q->limit : -1);
	bind_filters(s, q);
}

enum err_code record_list_open(struct store *st, const struct list_query *q,
			       struct record_list **out, struct err *err)
{
	struct record_list *l = xmalloc(sizeof(*l));
	struct strbuf sql;
	enum err_code rc;

	assert(!(q->by_key && q->has_cursor));
	memset(l, 0, sizeof(*l));
	l->store = st;
	l->shape = store_shape(st, q->kind);
	arena_init(&l->arena);
	strbuf_init(&sql);
	sql_select(&sql, q->kind, l->shape);
	add_conditions(&sql, q, l->shape);
	add_order(&sql, q, l->shape);
	rc = prepare_list(st, &sql, l, err);
	strbuf_release(&sql);
	if (rc) {
		record_list_close(l);
		return rc;
	}
	bind_list(l, q);
	l->record = record_new(q->kind, &l->arena);
	*out = l;
	return ERR_NONE;
}

enum err_code record_list_next(struct record_list *l, const struct record **out, struct err *err)
{
	int result = l->ended ? SQLITE_DONE : sqlite3_step(l->handle);

	l->ended = result != SQLITE_ROW;
	if (result == SQLITE_DONE)
		return ERR_NOT_FOUND;
	if (result != SQLITE_ROW)
		return store_fault(l->store, result, err);
	row_read(l->handle, l->shape, l->record);
	*out = l->record;
	return ERR_NONE;
}

void record_list_close(struct record_list *l)
{
	if (!l)
		return;
	if (l->cached) {
		sqlite3_reset(l->handle);
		sqlite3_clear_bindings(l->handle);
		l->cached->busy = false;
	} else {
		sqlite3_finalize(l->handle);
	}
	arena_release(&l->arena);
	free(l);
}
