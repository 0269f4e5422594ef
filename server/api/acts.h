/* The four things that can be done to a row, once its JSON is read: shared by single requests and batches. */
#ifndef WEIRBOOK_API_ACTS_H
#define WEIRBOOK_API_ACTS_H

#include "api/entry_in.h"
#include "api/request.h"

/* Kind by its path, or ERR_NOT_FOUND (no_such_kind, arg nearest). */
enum err_code find_kind(const char *name, const struct kind **out, struct err *err);

/* As find_kind, for writing: the farm, readings and changes are not written here (ERR_METHOD). */
enum err_code find_written_kind(const char *name, const struct kind **out, struct err *err);

/* Row by its id or key, as text.  A place of any kind is found among places too.  ERR_NOT_FOUND: no_such_row. */
enum err_code find_row(struct book *b, const struct kind *k, const char *text, int64_t *id,
		       struct err *err);

/* find_row, and the row itself. */
enum err_code get_row(struct request *req, const struct kind *k, const char *text,
		      struct record **out, struct err *err);

/*
 * Each reads in->values or in->hand, with now from req, and gives *kept (the request's arena).  Errors are
 * those of book_create and its kin.  On ERR_STALE *kept is the row as it stands.
 */
enum err_code act_create(struct request *req, struct entry_in *in, struct record **kept,
			 struct err *err);
/* if_version: 0 none came, -1 one came that cannot hold. */
enum err_code act_patch(struct request *req, const struct kind *k, int64_t id, struct entry_in *in,
			int64_t if_version, struct record **kept, struct err *err);
enum err_code act_strike(struct request *req, const struct kind *k, int64_t id, struct entry_in *in,
			 bool restore, struct record **kept, struct err *err);

#endif
