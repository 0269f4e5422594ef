/* What labels need: a text as a QR code, and the row that a scanned code stands for. */
#include <qrencode.h>
#include <string.h>

#include "api/cache.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/response.h"
#include "base/uuid.h"
#include "store/record.h"

enum {
	TEXT_MAX = 200, /* an address with a code; more would print too fine to scan */
	QUIET = 4,      /* ISO/IEC 18004: the empty border, in modules */
	LABEL_MIN =
		9, /* of a code that a tablet makes: YYMMDD, its letter, a number, the check character */
};

/* One bar for each run of dark modules of a line, as relative moves of an SVG path. */
static void write_line(struct strbuf *out, const unsigned char *line, int width, int y)
{
	for (int x = 0; x < width; x++) {
		int n = 0;

		while (x + n < width && line[x + n] & 1)
			n++;
		if (n == 0)
			continue;
		strbuf_addf(out, "M%d %dh%dv1h-%dz", x + QUIET, y + QUIET, n, n);
		x += n;
	}
}

static void write_svg(struct strbuf *out, const QRcode *code)
{
	const int side = code->width + 2 * QUIET;

	strbuf_addf(out,
		    "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" "
		    "shape-rendering=\"crispEdges\"><path fill=\"#fff\" d=\"M0 0h%dv%dH0z\"/><path "
		    "d=\"",
		    side, side, side, side);
	for (int y = 0; y < code->width; y++)
		write_line(out, code->data + y * code->width, code->width, y);
	strbuf_adds(out, "\"/></svg>\n");
}

enum err_code get_qr(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { "text", NULL };
	const char *text = request_query(req, "text");
	const char *etag = etag_of_build(req);
	QRcode *code;
	enum err_code rc = query_check(req, known, NULL, err);

	if (rc)
		return rc;
	if (!text || !*text || strlen(text) > TEXT_MAX)
		return err_set(err, ERR_INPUT, "text", "bad_length",
			       "Say what the code holds, in 1 to %d bytes.", TEXT_MAX);
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	/* Level M gives back 15 % of a wet or scratched label. */
	code = QRcode_encodeString8bit(text, 0, QR_ECLEVEL_M);
	if (!code)
		return err_set(err, ERR_UNAVAILABLE, "", "no_memory", "Not now; try again.");
	write_svg(&res->body, code);
	QRcode_free(code);
	res->status = 200;
	res->content_type = "image/svg+xml";
	res->etag = etag;
	return ERR_NONE;
}

/* A code that is made by a tablet ends in a check character; where it does not hold, a letter was misread. */
static enum err_code unknown_code(const char *code, struct err *err)
{
	const bool misread = strlen(code) >= LABEL_MIN && !check_character_holds(code);

	err_set(err, ERR_NOT_FOUND, "", misread ? "misread_code" : "no_such_code",
		misread ? "Nothing has the code %.40s, and its last letter does not fit the "
			  "others: "
			  "it may be misread."
			: "Nothing has the code %.40s.",
		code);
	err_arg(err, "code", "%.40s", code);
	return ERR_NOT_FOUND;
}

enum err_code get_code(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	const char *code = req->params[0];
	const struct kind *kind;
	int64_t id;
	struct json_out j;
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = store_find_code(book_store(req->book), code, &kind, &id, err);
	if (rc)
		return rc == ERR_NOT_FOUND ? unknown_code(code, err) : rc;
	j = response_json(res, 200);
	json_out_open(&j, '{');
	json_out_name(&j, "code");
	json_out_text(&j, store_label(book_store(req->book), kind, id));
	json_out_name(&j, "kind");
	json_out_text(&j, kind->name);
	json_out_name(&j, "id");
	json_out_int(&j, id);
	json_out_close(&j, '}');
	return ERR_NONE;
}
