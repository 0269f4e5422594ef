/* A plain HTTP client that sends exactly the bytes it is given. */
#ifndef WEIRBOOK_TESTS_SUPPORT_HTTP_CLIENT_H
#define WEIRBOOK_TESTS_SUPPORT_HTTP_CLIENT_H

#include <stdbool.h>
#include <stddef.h>

struct client {
	int fd;
	char *held; /* read, not yet part of an answer */
	size_t n_held;
};

struct answer {
	int status; /* 0: the connection ended before a whole answer */
	char head[4096];
	char *body; /* owned, NUL-terminated */
	size_t length;
};

void client_open(struct client *c,
		 const char *address); /* "127.0.0.1:41234"; fails the test if it cannot */
bool client_try(struct client *c, const char *address); /* false: nobody listens */
void client_close(struct client *c);

void client_send(struct client *c, const char *bytes,
		 size_t n); /* errors are left to the next read */
void client_sends(struct client *c, const char *text);

/* Reads one answer; head_only: to a HEAD, or 304.  True when it was whole. */
bool client_read(struct client *c, struct answer *a, bool head_only);
void answer_release(struct answer *a);

/* Value of a header, NULL when absent; lives until the thread asks again. */
const char *answer_header(const struct answer *a, const char *name);

/* True when the other side closed (or reset) within ms. */
bool client_is_closed_within(struct client *c, int ms);

/* Opens, sends, reads one answer, closes; the status. */
int ask(const char *address, const char *request, struct answer *a);

#endif
