/* Readings as exchange CSV, in and out: probe, at, value. */
#ifndef WEIRBOOK_BOOK_READINGS_CSV_H
#define WEIRBOOK_BOOK_READINGS_CSV_H

#include "base/strbuf.h"
#include "book/import.h"
#include "book/readings.h"

/* What a file is read for. */
struct readings_file {
	const struct import_file *file;
	const struct import_options *options; /* dry_run is the caller's */
	/* Told of each line that is refused, and of the head (line 1); the rest is read. */
	void (*refuse)(size_t line, const struct err *err, void *with);
	void *with;
	int64_t left_out; /* out: by leave_out_future */
};

/* Takes all rows of the file that can be taken.  A fault of the store ends it; what is refused is
 * no error. */
enum err_code readings_csv_take(struct readings_in *in, struct readings_file *f, struct err *err);

/* Which readings are written. */
struct readings_wanted {
	int64_t probe_id;   /* 0: of all probes, by their codes */
	int64_t begin, end; /* instants [begin, end) */
	bool wrong_too;     /* those in a stretch that was found wrong */
};

/* Writes head and rows, and calls flush now and then to take away what has gathered. */
enum err_code readings_csv_write(struct book *b, const struct readings_wanted *w,
				 struct strbuf *out,
				 enum err_code (*flush)(void *with, struct err *err), void *with,
				 struct err *err);

#endif
