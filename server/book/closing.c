/* See closing.h.  The figures are those of report feed-conversion, by tank. */
#include "book/closing.h"

#include <math.h>
#include <string.h>

#include "book/inside.h"
#include "book/report_list.h"
#include "model/kinds.h"
#include "store/record.h"

int64_t closing_next_month(int64_t month)
{
	return day_month_start(month + 31);
}

static double real_cell(const struct report_result *r, size_t row, const char *column)
{
	const struct value v = report_named_cell(r, &feed_conversion_report, row, column);

	return v.type == VALUE_REAL ? v.r : NAN;
}

enum err_code closing_figures(struct book *b, int64_t month, int64_t now, struct arena *arena,
			      struct tank_month **out, size_t *n, struct err *err)
{
	const struct report_query q = { .from_day = month,
					.to_day = closing_next_month(month) - 1,
					.day = NO_INT,
					.at = NO_INT,
					.by = "tank",
					.now = now };
	struct report_result r = { .arena = arena };
	enum err_code rc = feed_conversion_report.run(b, &q, &r, err);
	struct tank_month *all = arena_array(arena, r.n_rows + 1, sizeof(*all));

	for (size_t i = 0; !rc && i < r.n_rows; i++) {
		struct tank_month *m = &all[i];
		const struct kind *kind;

		*m = (struct tank_month){
			.tank = report_named_cell(&r, &feed_conversion_report, i, "tank").text,
			.feed_g = real_cell(&r, i, "feed_g"),
			.gain_g = real_cell(&r, i, "gain_g"),
			.fcr_economic = real_cell(&r, i, "fcr_economic"),
			.fcr_biological = real_cell(&r, i, "fcr_biological")
		};
		rc = store_find_code(b->store, m->tank, &kind, &m->tank_id, err);
	}
	if (rc)
		return rc;
	*out = all;
	*n = r.n_rows;
	return ERR_NONE;
}

static void set_known(struct record *line, const char *field, double v)
{
	if (!isnan(v))
		record_set_real(line, field, v);
}

enum err_code closing_keep(struct book *b, const struct record *closing, const struct hand *hand,
			   struct arena *arena, struct err *err)
{
	const struct hand own = { .arrival = ARRIVES_QUEUED, .now = hand->now };
	struct tank_month *months;
	size_t n;
	enum err_code rc = closing_figures(b, record_int(closing, "month", 0), hand->now, arena,
					   &months, &n, err);

	for (size_t i = 0; !rc && i < n; i++) {
		struct record *line = record_new(&closing_lines_kind, arena), *kept;
		bool repeat;

		record_set_int(line, "closing_id", closing->id);
		record_set_int(line, "tank_id", months[i].tank_id);
		set_known(line, "feed_g", months[i].feed_g);
		set_known(line, "gain_g", months[i].gain_g);
		set_known(line, "fcr_economic", months[i].fcr_economic);
		set_known(line, "fcr_biological", months[i].fcr_biological);
		rc = book_create(b, line, &own, arena, &kept, &repeat, err);
	}
	return rc;
}
