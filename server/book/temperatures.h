/* Daily temperatures of tanks, as growth needs them. */
#ifndef WEIRBOOK_BOOK_TEMPERATURES_H
#define WEIRBOOK_BOOK_TEMPERATURES_H

#include "base/id_set.h"
#include "book/book.h"
#include "domain/temperature.h"

/* Days before the first entry for which temperatures are read, so that a last known one is
 * found. */
enum { TEMPERATURE_LOOK_BACK_DAYS = 60 };
/* And after the last, so that a gap at the end is filled as it will be when later entries come. */
enum { TEMPERATURE_LOOK_AHEAD_DAYS = TEMPERATURE_GAP_DAYS + 1 };

/*
 * The series of each tank for farm days first_day to last_day, degrees Celsius: its own mean, else
 * that of the loop that it was in that day (the mean of its tanks, its sump and its own tests),
 * short gaps filled.  out has room for tanks->n; what it points to is the arena's.
 */
enum err_code temperatures_load(struct book *b, const struct id_set *tanks, int64_t first_day,
				int64_t last_day, struct arena *arena, struct temperature_days *out,
				struct err *err);

#endif
