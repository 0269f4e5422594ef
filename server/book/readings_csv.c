/* See readings_csv.h.  Ten million rows are common: nothing is looked up or allocated for a row
 * that a row before it has had. */
#include "book/readings_csv.h"

#include <stdio.h>

#include "base/number.h"
#include "base/zone.h"
#include "book/import_row.h"
#include "book/inside.h"
#include "book/readings_sums.h"
#include "model/kinds.h"

enum { TELL_EVERY = 1 << 20 };
enum { PROBE, AT, VALUE, COLUMNS }; /* as the dictionary has the fields */

/* A file on its way in. */
struct reading_rows {
	struct readings_in *in;
	struct readings_file *f;
	struct import_head head;
	size_t cell[COLUMNS]; /* where each column stands */
	struct arena arena;   /* of one row */
};

/* Readings have no key and no version. */
static enum err_code place_columns(struct reading_rows *rows, struct err *err)
{
	for (size_t i = 0; i < rows->head.n; i++) {
		if (rows->head.column[i] < 0)
			return err_set(err, ERR_INPUT, rows->head.names[i], "unknown_column",
				       "readings have no column \"%.60s\".", rows->head.names[i]);
		rows->cell[rows->head.column[i]] = i;
	}
	return ERR_NONE;
}

static enum err_code required(const char *column, struct err *err)
{
	return err_set(err, ERR_INPUT, column, "required", "%s is missing.", column);
}

static enum err_code read_value(struct reading_rows *rows, const char *text, double *out,
				struct err *err)
{
	const char decimal = rows->f->options->decimal;
	struct value v;

	if (number_read_real(text, decimal, out))
		return ERR_NONE;
	if (!*text)
		return required("value", err);
	/* this says what is wrong with it */
	return field_read(kind_field(&readings_kind, VALUE), text, decimal, &rows->arena, &v, err);
}

static enum err_code read_at(const struct reading_rows *rows, const char *text, int64_t *out,
			     struct err *err)
{
	struct value v = { .type = VALUE_NONE };
	enum err_code rc;

	if (!*text)
		return required("at", err);
	rc = import_time_read(rows->in->b, kind_field(&readings_kind, AT), text,
			      rows->f->options->shift_days, &v, err);
	*out = v.i;
	return rc;
}

static enum err_code take_row(struct reading_rows *rows, const struct csv_row *row, struct err *err)
{
	const char *probe;
	double value = 0;
	int64_t at = 0;
	enum err_code rc, other;

	if (row->n != rows->head.n)
		return err_set(err, ERR_INPUT, "", "cell_count",
			       "The line has %zu cells; the head has %zu.", row->n, rows->head.n);
	probe = row->cells[rows->cell[PROBE]];
	rc = read_at(rows, row->cells[rows->cell[AT]], &at, err);
	other = read_value(rows, row->cells[rows->cell[VALUE]], &value, err);
	if (!*probe)
		rc = required("probe", err);
	if (rc || other)
		return rc ? rc : other;
	if (rows->f->options->leave_out_future && at > rows->f->options->now) {
		rows->f->left_out++;
		return ERR_NONE;
	}
	return readings_take(rows->in, probe, at, value, err);
}

static bool is_refused(enum err_code rc)
{
	return rc == ERR_INPUT || rc == ERR_MALFORMED;
}

static enum err_code take_next(struct reading_rows *rows, struct csv_reader *reader)
{
	struct csv_row row = { .line = reader->next_line };
	struct err err;
	enum err_code rc;

	err_clear(&err);
	arena_reset(&rows->arena);
	rc = csv_read(reader, &rows->arena, &row, &err);
	if (rc == ERR_NOT_FOUND)
		return rc;
	if (!rc)
		rc = take_row(rows, &row, &err);
	if (!is_refused(rc))
		return rc;
	rows->f->refuse(row.line, &err, rows->f->with);
	return ERR_NONE;
}

enum err_code readings_csv_take(struct readings_in *in, struct readings_file *f, struct err *err)
{
	struct reading_rows rows = { .in = in, .f = f };
	struct csv_reader reader;
	struct err fault;
	size_t told = 0;
	enum err_code rc;

	err_clear(&fault);
	arena_init(&rows.arena);
	rc = import_head_read(f->file, f->options, &reader, &in->arena, &rows.head, &fault);
	if (!rc)
		rc = place_columns(&rows, &fault);
	if (rc) {
		f->refuse(1, &fault, f->with);
		rc = ERR_NOT_FOUND;
	}
	while (!rc && !(rc = take_next(&rows, &reader)))
		if (reader.at - told >= TELL_EVERY && f->file->read_upto) {
			told = reader.at;
			f->file->read_upto(f->file, told);
		}
	arena_release(&rows.arena);
	if (rc == ERR_NOT_FOUND)
		return ERR_NONE;
	return err_set(err, rc, "", "import_failed", "The import stopped at %s, line %zu.",
		       f->file->name, reader.line);
}

/* --- out -------------------------------------------------------------------------------------- */

enum { FLUSH_AT = 1 << 16 };

struct writing {
	struct strbuf *out;
	const char *code;
	enum err_code (*flush)(void *with, struct err *err);
	void *with;
};

static enum err_code write_reading(int64_t at, double value, void *with, struct err *err)
{
	struct writing *w = with;
	char text[(int)TIME_TEXT_MAX + (int)NUMBER_TEXT_MAX];

	csv_write_cell(w->out, w->code, ',', true);
	strbuf_addc(w->out, ',');
	strbuf_add(w->out, text, time_write(text, at));
	strbuf_addc(w->out, ',');
	strbuf_add(w->out, text, number_write_real(text, value));
	csv_write_end(w->out);
	return w->out->length < FLUSH_AT ? ERR_NONE : w->flush(w->with, err);
}

static enum err_code write_probe(struct book *b, int64_t probe_id, const struct readings_wanted *w,
				 struct writing *writing, struct arena *arena, struct err *err)
{
	struct wrong_stretches wrong = { 0 };
	struct probe p;
	enum err_code rc = probe_load(b, probe_id, arena, &p, err);

	if (!rc && !w->wrong_too)
		rc = wrong_stretches_load(b, probe_id, arena, &wrong, err);
	if (rc)
		return rc;
	writing->code = p.code;
	return readings_read(b, probe_id, &wrong, w->begin, w->end, write_reading, writing, err);
}

enum err_code readings_csv_write(struct book *b, const struct readings_wanted *w,
				 struct strbuf *out,
				 enum err_code (*flush)(void *with, struct err *err), void *with,
				 struct err *err)
{
	struct writing writing = { .out = out, .flush = flush, .with = with };
	struct id_list probes = { 0 };
	struct arena arena;
	enum err_code rc = ERR_NONE;

	arena_init(&arena);
	strbuf_adds(out, "probe,at,value");
	csv_write_end(out);
	if (w->probe_id)
		rc = write_probe(b, w->probe_id, w, &writing, &arena, err);
	else
		rc = probes_list(b, &arena, &probes, err);
	for (size_t i = 0; !rc && i < probes.n; i++)
		rc = write_probe(b, probes.ids[i], w, &writing, &arena, err);
	arena_release(&arena);
	return rc ? rc : flush(with, err);
}
