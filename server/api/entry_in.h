/* An entry as JSON brings it, read into a row of values by the dictionary. */
#ifndef WEIRBOOK_API_ENTRY_IN_H
#define WEIRBOOK_API_ENTRY_IN_H

#include "api/json_in.h"
#include "book/book.h"
#include "model/record.h"

/* What the body is for: it decides which members may stand beside the fields. */
enum entry_use {
	USE_CREATE = 1, /* key, confirm, queued, clock_offset_s */
	USE_PATCH = 2,  /* confirm, queued, why, change_why, from_day */
	USE_ACT = 4,    /* a strike or restore, no fields: confirm, queued, why */
	USE_BATCH = 8   /* beside one of the above: op, kind, key, id, version */
};

#define NO_DAY INT64_MIN

struct entry_in {
	struct record *values; /* of the arena; references not resolved */
	bool *given;           /* by field index: the member was there, null included */
	struct hand hand;      /* now is the caller's to set */
	int64_t from_day;      /* NO_DAY when not given */
};

/*
 * Reads object into *out.  uses is one of the above, perhaps with USE_BATCH.  Adds every fault it finds:
 * unknown_field (arg nearest), server_set, wrong_type, not_text, not_a_number, and those of field_read.  A
 * kind with a field of its own named why or from_day takes that member as the field; change_why is the reason of
 * a correction in every kind, and goes before why.  Texts belong to arena.
 */
enum err_code entry_in_read(const struct json_t *object, const struct kind *k, int uses,
			    struct arena *arena, struct entry_in *out, struct err *err);

#endif
