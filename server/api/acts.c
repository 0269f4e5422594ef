/* What can be done to a row: see acts.h. */
#include <inttypes.h>
#include <string.h>

#include "api/acts.h"
#include "api/names.h"
#include "base/nearest.h"
#include "base/number.h"
#include "model/kinds.h"
#include "store/record.h"

static const char *kind_name(size_t i, const void *with)
{
	(void)with;
	return kinds[i]->name;
}

enum err_code find_kind(const char *name, const struct kind **out, struct err *err)
{
	const struct kind *k = kind_find(name);
	const char *near;

	if (k) {
		*out = k;
		return ERR_NONE;
	}
	near = nearest_word(name, kind_count(), kind_name, NULL);
	return nearest_refuse(err, ERR_NOT_FOUND, "kind", "no_such_kind", near,
			      "There is no kind %s", name);
}

enum err_code find_written_kind(const char *name, const struct kind **out, struct err *err)
{
	const struct kind *k;
	enum err_code rc = find_kind(name, &k, err);

	if (rc)
		return rc;
	if (!kind_is_written(k))
		return err_set(err, ERR_METHOD, "kind", "not_written_here",
			       "Rows of %s are not written at this address.", k->name);
	*out = k;
	return ERR_NONE;
}

static enum err_code no_such_row(const struct kind *k, const char *text, struct err *err)
{
	err_set(err, ERR_NOT_FOUND, "id", "no_such_row", "There is no row %s in %s.", text,
		k->name);
	err_arg(err, "id", "%s", text);
	return ERR_NOT_FOUND;
}

static bool is_row_of(const struct kind *asked, const struct kind *found)
{
	return asked == found || (!strcmp(asked->name, "places") && found->is_place);
}

enum err_code find_row(struct book *b, const struct kind *k, const char *text, int64_t *id,
		       struct err *err)
{
	struct key_row row;
	struct uuid key;
	enum err_code rc;

	if (k == &readings_kind)
		return no_such_row(k, text, err); /* they have no id of their own */
	if (number_read_int(text, '.', id))
		return *id > 0 ? ERR_NONE : no_such_row(k, text, err);
	if (!uuid_read(text, &key))
		return no_such_row(k, text, err);
	rc = store_find_key(book_store(b), &key, &row, err);
	if (rc == ERR_NOT_FOUND || (!rc && !is_row_of(k, row.kind)))
		return no_such_row(k, text, err);
	if (!rc)
		*id = row.id;
	return rc;
}

enum err_code get_row(struct request *req, const struct kind *k, const char *text,
		      struct record **out, struct err *err)
{
	struct err why;
	int64_t id;
	enum err_code rc = find_row(req->book, k, text, &id, err);

	if (rc)
		return rc;
	err_clear(&why);
	rc = store_get(book_store(req->book), k, id, req->arena, out, &why);
	if (rc == ERR_NOT_FOUND)
		return no_such_row(k, text, err);
	if (rc)
		*err = why;
	return rc;
}

static void set_hand(const struct request *req, struct entry_in *in)
{
	in->hand.now = req->now;
	in->hand.tablet = request_header(req, "X-Weirbook-Tablet");
}

enum err_code act_create(struct request *req, struct entry_in *in, struct record **kept,
			 struct err *err)
{
	enum err_code rc = book_resolve(req->book, in->values, true, err);
	bool repeat;

	if (rc)
		return rc;
	set_hand(req, in);
	return book_create(req->book, in->values, &in->hand, req->arena, kept, &repeat, err);
}

enum err_code act_patch(struct request *req, const struct kind *k, int64_t id, struct entry_in *in,
			int64_t if_version, struct record **kept, struct err *err)
{
	enum err_code rc = book_resolve(req->book, in->values, true, err);

	if (rc)
		return rc;
	set_hand(req, in);
	return book_patch(req->book, k, id, in->values, in->given, if_version, in->from_day,
			  &in->hand, req->arena, kept, err);
}

enum err_code act_strike(struct request *req, const struct kind *k, int64_t id, struct entry_in *in,
			 bool restore, struct record **kept, struct err *err)
{
	set_hand(req, in);
	if (restore)
		return book_restore(req->book, k, id, &in->hand, req->arena, kept, err);
	return book_strike(req->book, k, id, &in->hand, req->arena, kept, err);
}
