/* The fields that every kind of a class has after its own.  See record.h. */
#include "model/record.h"

#define SERVER_SET .server_set = true

#define STRUCK                                                                                     \
	PLAIN("received_at", KIND_TIME, SERVER_SET),       /* when the service took it */          \
		PLAIN("struck_at", KIND_TIME, SERVER_SET), /* struck out; empty: it stands */      \
		PLAIN("struck_why", KIND_TEXT, SERVER_SET)

const struct field set_up_common[] = {
	PLAIN("retired_on", KIND_DAY),
	PLAIN("note", KIND_TEXT),
	STRUCK,
};
const size_t n_set_up_common = sizeof(set_up_common) / sizeof(set_up_common[0]);

const struct field entry_common[] = {
	PLAIN("at", KIND_TIME), /* when it happened; empty: by day alone */
	PLAIN("day", KIND_DAY), /* the farm's day; derived from at when that is given */
	PLAIN("staff_id", KIND_REFERENCE, .refers_to = "staff"),
	PLAIN("incident_id", KIND_REFERENCE, .refers_to = "incidents"),
	PLAIN("note", KIND_TEXT),
	PLAIN("tablet_at", KIND_TIME, SERVER_SET), /* at by the tablet's own clock */
	PLAIN("unsure", KIND_BOOL, SERVER_SET),    /* the clock could not be trusted */
	PLAIN("look", KIND_TEXT, SERVER_SET),      /* to look at: codes of what was odd, or empty */
	STRUCK,
};
const size_t n_entry_common = sizeof(entry_common) / sizeof(entry_common[0]);

const struct field line_common[] = {
	PLAIN("note", KIND_TEXT),
	STRUCK,
};
const size_t n_line_common = sizeof(line_common) / sizeof(line_common[0]);
