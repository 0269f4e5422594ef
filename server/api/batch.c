/* POST /api/batch: what a tablet has kept, each entry in a savepoint of its own, answered in
 * order. */
#include <inttypes.h>
#include <string.h>

#include "api/acts.h"
#include "api/answer_list.h"
#include "api/handlers.h"
#include "api/json_record.h"
#include "api/response.h"

static const struct op {
	const char *name;
	int uses;   /* enum entry_use: what its item is read for */
	int status; /* of its answer when it is kept */
} ops[] = {
	{ .name = "create", .uses = USE_CREATE, .status = 201 },
	{ .name = "patch", .uses = USE_PATCH, .status = 200 },
	{ .name = "strike", .uses = USE_ACT, .status = 200 },
	{ .name = "restore", .uses = USE_ACT, .status = 200 },
};
enum { N_OPS = sizeof(ops) / sizeof(ops[0]) };

static enum err_code find_op(const struct json_t *item, const struct op **out, struct err *err)
{
	const char *name = "create";

	if (json_in_text(item, "op", &name, err))
		return ERR_INPUT;
	for (size_t i = 0; i < N_OPS; i++)
		if (!strcmp(ops[i].name, name)) {
			*out = &ops[i];
			return ERR_NONE;
		}
	return err_set(err, ERR_INPUT, "op", "not_a_choice",
		       "op is create, patch, strike or restore.");
}

static enum err_code item_kind(const struct json_t *item, const struct kind **out, struct err *err)
{
	const char *name = NULL;

	if (json_in_text(item, "kind", &name, err))
		return ERR_INPUT;
	if (!name)
		return err_set(err, ERR_INPUT, "kind", "required",
			       "kind is missing: the path of the kind, as feedings.");
	return find_written_kind(name, out, err);
}

/* The row that a patch, strike or restore is about, by its key or id. */
static enum err_code item_row(struct request *req, const struct json_t *item, const struct kind *k,
			      int64_t *id, struct err *err)
{
	const char *key = NULL;

	*id = 0;
	if (json_in_text(item, "key", &key, err) || json_in_int(item, "id", id, err))
		return ERR_INPUT;
	if (key)
		return find_row(req->book, k, key, id, err);
	if (*id > 0)
		return ERR_NONE;
	return err_set(err, ERR_INPUT, "key", "required",
		       "key is missing: which row this is about.");
}

static enum err_code do_item(struct request *req, const struct json_t *item, const struct op *op,
			     struct record **kept, struct err *err)
{
	const struct kind *k;
	struct entry_in in;
	int64_t id = 0, version = 0;
	enum err_code rc = item_kind(item, &k, err);

	if (!rc)
		rc = entry_in_read(item, k, op->uses | USE_BATCH, req->arena, &in, err);
	if (!rc && op->uses == USE_CREATE)
		return act_create(req, &in, kept, err);
	if (!rc)
		rc = item_row(req, item, k, &id, err);
	if (!rc)
		rc = json_in_int(item, "version", &version, err);
	if (rc)
		return rc;
	if (op->uses == USE_PATCH)
		return act_patch(req, k, id, &in, version, kept, err);
	return act_strike(req, k, id, &in, !strcmp(op->name, "restore"), kept, err);
}

/* One item in its savepoint; a refused one is undone and takes nothing from the others. */
static enum err_code item_in_savepoint(struct request *req, const struct json_t *item,
				       const struct op **op, struct record **kept, struct err *err)
{
	struct store *st = book_store(req->book);
	enum err_code rc;

	if (!item)
		return err_set(err, ERR_INPUT, "", "no_object", "An entry must be an object.");
	rc = find_op(item, op, err);
	if (!rc)
		rc = store_savepoint(st, err);
	if (rc)
		return rc;
	rc = do_item(req, item, *op, kept, err);
	if (rc)
		store_undo(st);
	else
		rc = store_release(st, err);
	return rc;
}

static void answer_item(struct request *req, const struct json_t *item, struct json_out *j)
{
	struct record *kept = NULL;
	const struct op *op = NULL;
	struct err err;
	enum err_code rc;

	err_clear(&err);
	rc = item_in_savepoint(req, item, &op, &kept, &err);
	err.code = rc && !err.code ? rc : err.code;
	json_out_open(j, '{');
	json_out_name(j, "status");
	if (rc) {
		json_out_int(j, status_of(err.code));
		json_out_name(j, "problem");
		problem_write(j, &err, rc == ERR_STALE ? kept : NULL);
	} else {
		json_out_int(j, op->status);
		json_out_name(j, "entry");
		json_record_write(j, kept, NULL);
	}
	json_out_close(j, '}');
}

enum err_code post_batch(struct request *req, struct response *res, struct err *err)
{
	static const struct list_asked asked = {
		.name = "entries",
		.most = 500,
		.missing = "entries is missing: a list of what to keep.",
		.too_many = "A batch holds at most 500 entries; send the rest after it.",
		.answer = answer_item,
	};

	return answer_list(req, res, &asked, err);
}
