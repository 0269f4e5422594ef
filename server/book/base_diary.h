/* The base diary of a loop: what base it uses for its feed, and when, how much and which is due
 * next. */
#ifndef WEIRBOOK_BOOK_BASE_DIARY_H
#define WEIRBOOK_BOOK_BASE_DIARY_H

#include "book/explained.h"
#include "book/loop_days.h"

enum { DIARY_DAYS = 56 }; /* what it learns from */

struct base_diary {
	double used_g_kg, used_se_g_kg; /* g of CaCO3 a kg of feed; NAN: cannot be said */
	double handbook_g_kg;
	double handbook_share;      /* of used_g_kg, 0 to 1 */
	int64_t intervals;          /* own ones that it rests on */
	double alkalinity_mg_l;     /* newest test; NAN */
	int64_t tested_on;          /* NO_INT */
	double alkalinity_now_mg_l; /* since then: doses less what the feed used; NAN */
	double level_mg_l;          /* mean of the own tests, the limit at least */
	double floor_mg_l;
	double ph;
	int64_t ph_on;        /* NO_INT */
	int64_t last_on;      /* day of the last dose; NO_INT */
	const char *last;     /* its material */
	int64_t due_on;       /* NO_INT: cannot be said */
	const char *due;      /* "potassium" or "calcium" */
	const char *material; /* of the farm, that brings it; NULL: none is set up */
	double amount_g;      /* of that material; NAN */
	double caco3_g;
	const char *state;           /* ok, due, late, stalls, unknown */
	struct chosen_entries under; /* the tests and doses that all this rests on */
	int64_t unreadable; /* doses whose material has no formula that is known: not counted */
};

/* days: the loop's feed of the DIARY_DAYS that end today (what is planted is not asked).  Texts are
 * the arena's. */
enum err_code base_diary(struct book *b, const struct water_loop *loop,
			 const struct loop_days *days, size_t at_loop, int64_t now,
			 struct arena *arena, struct base_diary *out, struct err *err);

#endif
