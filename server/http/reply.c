/* From struct response to what libmicrohttpd sends: body, compression, headers. */
#include "http/reply.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "api/static_files.h"
#include "http/compress.h"

enum {
	WORTH_PACKING = 1400,             /* bytes: what fits one packet gains nothing */
	PACKED_AT_MOST = 64 * 1024 * 1024 /* a larger one would hold up its thread */
};

static const struct {
	const char *name, *value;
} always[] = {
	{ .name = "X-Content-Type-Options", .value = "nosniff" },
	{ .name = "Cross-Origin-Resource-Policy", .value = "same-origin" },
};

/* A page may load what is ours; what is no page (and no worker, which has its own policy) may do nothing,
 * and says so in fewer bytes. */
static const char page_policy[] =
	"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
	"connect-src 'self'; font-src 'self'; manifest-src 'self'; worker-src 'self'; "
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
static const char other_policy[] = "default-src 'none'; frame-ancestors 'none'";
static const char worker_policy[] =
	"default-src 'none'; script-src 'self'; connect-src 'self'; frame-ancestors 'none'";

/* What is sent, before it is an MHD_Response. */
struct reply {
	struct MHD_Response *mhd;
	const char *etag;
	const char *content_type;
	bool packed; /* gzip */
	bool varies; /* another client might get it otherwise packed */
};

static bool accepts_gzip(const struct request *req)
{
	const char *accepted = request_header(req, "Accept-Encoding");
	const char *gzip = accepted ? strstr(accepted, "gzip") : NULL;
	const char *q = gzip ? gzip + 4 + strspn(gzip + 4, " ") : NULL;

	/* "gzip;q=0", "gzip; q=0.000" refuse it. */
	if (!q || *q != ';')
		return gzip != NULL;
	q += 1 + strspn(q + 1, " ");
	return !(strncmp(q, "q=0", 3) == 0 && q[3 + strspn(q + 3, ".0")] <= ',');
}

/* Weak comparison of one opaque tag with a list, RFC 9110 8.8.3.2 and 13.1.2. */
static bool list_has_tag(const char *list, const char *etag)
{
	size_t n;

	if (strncmp(etag, "W/", 2) == 0)
		etag += 2;
	n = strlen(etag);
	while (*list) {
		list += strspn(list, " \t,");
		if (*list == '*')
			return true;
		if (strncmp(list, "W/", 2) == 0)
			list += 2;
		if (strncmp(list, etag, n) == 0 && strchr(" \t,", list[n]))
			return true;
		list += strcspn(list, ",");
	}
	return false;
}

static bool client_has_it(const struct request *req, const struct response *res, const char *etag)
{
	const char *tags = request_header(req, "If-None-Match");

	return res->status == 200 && etag && tags && req->method &&
	       (strcmp(req->method, "GET") == 0 || strcmp(req->method, "HEAD") == 0) &&
	       list_has_tag(tags, etag);
}

static struct MHD_Response *from_memory(size_t n, const void *bytes,
					enum MHD_ResponseMemoryMode mode)
{
	struct MHD_Response *mhd =
		MHD_create_response_from_buffer(n, (void *)(uintptr_t)bytes, mode);

	if (!mhd)
		abort(); /* out of memory */
	return mhd;
}

static struct MHD_Response *from_nothing(void)
{
	return from_memory(0, "", MHD_RESPMEM_PERSISTENT);
}

static void fill_from_file(struct reply *r, const struct request *req, const struct static_file *f)
{
	r->content_type = f->content_type;
	r->varies = true;
	r->packed = accepts_gzip(req);
	if (r->packed) {
		r->mhd = from_memory(f->gzip_length, f->gzip, MHD_RESPMEM_PERSISTENT);
	} else {
		size_t n;
		char *plain = compress_unpack(f->gzip, f->gzip_length, &n);

		r->mhd = from_memory(n, plain, MHD_RESPMEM_MUST_FREE);
	}
}

static void fill_from_fd(struct reply *r, struct response *res)
{
	struct stat st;

	if (fstat(res->fd, &st) != 0 || st.st_size < 0)
		abort(); /* our own open, unlinked file */
	r->mhd = MHD_create_response_from_fd64((uint64_t)st.st_size, res->fd);
	if (!r->mhd)
		abort();
	res->fd = -1;
}

static void fill_from_body(struct reply *r, const struct request *req, struct response *res)
{
	size_t n = res->body.length;
	char *text;

	r->varies = n >= WORTH_PACKING;
	if (n == 0) {
		r->mhd = from_nothing();
		return;
	}
	if (r->varies && n <= PACKED_AT_MOST && accepts_gzip(req)) {
		size_t packed;

		text = compress_pack(res->body.text, n, &packed);
		r->packed = true;
		n = packed;
	} else {
		text = strbuf_detach(&res->body, NULL);
	}
	r->mhd = from_memory(n, text, MHD_RESPMEM_MUST_FREE);
}

static void add(struct reply *r, const char *name, const char *value)
{
	if (value)
		MHD_add_response_header(r->mhd, name, value);
}

/* A packed body is another representation: its tag may only be compared weakly. */
static void add_etag(struct reply *r, bool is_file)
{
	char weak[128];

	if (!r->etag)
		return;
	if (r->packed && !is_file && strncmp(r->etag, "W/", 2) != 0 &&
	    snprintf(weak, sizeof(weak), "W/%s", r->etag) < (int)sizeof(weak))
		add(r, "ETag", weak);
	else
		add(r, "ETag", r->etag);
}

/* Only plain characters, so that a name can never end the header's quotes. */
static void add_file_name(struct reply *r, const char *name)
{
	char value[160];
	char clean[96];
	size_t n = 0;

	for (; *name && n + 1 < sizeof(clean); name++) {
		bool plain = (*name >= 'a' && *name <= 'z') || (*name >= 'A' && *name <= 'Z') ||
			     (*name >= '0' && *name <= '9') || strchr("._-", *name);

		clean[n++] = plain ? *name : '_';
	}
	clean[n] = '\0';
	snprintf(value, sizeof(value), "attachment; filename=\"%s\"", clean);
	add(r, "Content-Disposition", value);
}

/* By what the answer is, not by what is sent of it: the headers of a 304 replace those of the page.  A style
 * sheet or script has none: the page's holds, and each byte is sent a hundred times. */
static const char *policy_for(const struct response *res, const char *path)
{
	const char *type = res->file ? res->file->content_type : res->content_type;

	if (path && strcmp(path, "/sw.js") == 0)
		return worker_policy;
	if (type && strncmp(type, "text/html", 9) == 0)
		return page_policy;
	if (type &&
	    (strncmp(type, "text/css", 8) == 0 || strncmp(type, "text/javascript", 15) == 0))
		return NULL;
	return other_policy;
}

static void add_headers(struct reply *r, const struct response *res, const char *path, bool close)
{
	char seconds[16];

	for (size_t i = 0; i < sizeof(always) / sizeof(*always); i++)
		add(r, always[i].name, always[i].value);
	add(r, "Content-Security-Policy", policy_for(res, path));
	add(r, "Referrer-Policy", policy_for(res, path) == page_policy ? "no-referrer" : NULL);
	add(r, "Content-Type", r->content_type);
	add(r, "Cache-Control",
	    res->cache_control ? res->cache_control
			       : (res->status >= 400 ? "no-store" : "no-cache"));
	add(r, "Content-Encoding", r->packed ? "gzip" : NULL);
	add(r, "Vary", r->varies ? "Accept-Encoding" : NULL);
	add(r, "Vary", res->vary);
	add_etag(r, res->file != NULL);
	add(r, "Location", res->location);
	add(r, "Allow", res->allow);
	if (res->file_name)
		add_file_name(r, res->file_name);
	if (res->retry_after_s > 0) {
		snprintf(seconds, sizeof(seconds), "%d", res->retry_after_s);
		add(r, "Retry-After", seconds);
	}
	add(r, "Connection", close ? "close" : NULL);
}

struct MHD_Response *reply_build(const struct request *req, struct response *res, bool close,
				 unsigned *status)
{
	struct reply r = { .content_type =
				   res->content_type ? res->content_type : "application/json",
			   .etag = res->file ? res->file->etag : res->etag };

	*status = (unsigned)res->status;
	if (client_has_it(req, res, r.etag)) {
		*status = 304;
		r.mhd = from_nothing();
		r.content_type = NULL;
	} else if (res->file) {
		fill_from_file(&r, req, res->file);
	} else if (res->fd >= 0) {
		fill_from_fd(&r, res);
	} else {
		fill_from_body(&r, req, res);
	}
	/* What was left unsaid with 304 is what would have been said with 200 (RFC 9110, 15.4.5). */
	r.varies = r.varies || *status == 304;
	add_headers(&r, res, req->path, close);
	return r.mhd;
}

struct MHD_Response *reply_stream(const struct response *res, size_t block,
				  MHD_ContentReaderCallback read, void *with,
				  MHD_ContentReaderFreeCallback done)
{
	struct reply r = { .content_type = res->content_type };

	r.mhd = MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, block, read, with, done);
	if (!r.mhd)
		abort(); /* out of memory */
	add_headers(&r, res, NULL, false);
	return r.mhd;
}
