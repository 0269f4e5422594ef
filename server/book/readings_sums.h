/* Inside the readings: their sums by hour and by farm day. */
#ifndef WEIRBOOK_BOOK_READINGS_SUMS_H
#define WEIRBOOK_BOOK_READINGS_SUMS_H

#include "book/readings.h"

/* The hour of UTC that an instant lies in, counted from 1970. */
int64_t hour_of(int64_t at);

/* Ids in an order of their own. */
struct id_list {
	int64_t *ids;
	size_t n, room;
};

/* All probes by code, those struck out too. */
enum err_code probes_list(struct book *b, struct arena *arena, struct id_list *out,
			  struct err *err);

/* Adds one reading, or a part that was summed before. */
void sums_add(struct sums *s, double value);
void sums_add_part(struct sums *s, const struct sums *part);

/* Hours [begin, end) of a probe made again from its readings, and the farm days that they lie in
 * from them. */
enum err_code sums_of_hours(struct book *b, int64_t probe_id, int64_t begin, int64_t end,
			    struct err *err);

/* Calls each with the rows of a table of sums, in order: hours or days [begin, end). */
enum err_code sums_read(struct book *b, enum query query, int64_t probe_id, int64_t begin,
			int64_t end, void (*each)(const struct sums *s, void *with), void *with,
			struct err *err);

/* The same of readings with instants [begin, end) that stand. */
enum err_code readings_read(struct book *b, int64_t probe_id, const struct wrong_stretches *wrong,
			    int64_t begin, int64_t end,
			    enum err_code (*each)(int64_t at, double value, void *with,
						  struct err *err),
			    void *with, struct err *err);

#endif
