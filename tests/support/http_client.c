/* A plain HTTP client for tests.  It knows Content-Length, and nothing else of HTTP. */
#include "http_client.h"

#include <arpa/inet.h>
#include <check.h>
#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

bool client_try(struct client *c, const char *address)
{
	struct sockaddr_in to = { .sin_family = AF_INET };
	struct timeval patience = { .tv_sec = 20 };

	to.sin_port = htons((uint16_t)atoi(strrchr(address, ':') + 1));
	to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
	*c = (struct client){ .fd = socket(AF_INET, SOCK_STREAM, 0) };
	ck_assert_int_ge(c->fd, 0);
	setsockopt(c->fd, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof(patience));
	if (connect(c->fd, (struct sockaddr *)&to, sizeof(to)) == 0)
		return true;
	close(c->fd);
	return false;
}

void client_open(struct client *c, const char *address)
{
	ck_assert(client_try(c, address));
}

void client_close(struct client *c)
{
	close(c->fd);
	free(c->held);
	c->held = NULL;
}

void client_send(struct client *c, const char *bytes, size_t n)
{
	while (n > 0) {
		ssize_t sent = send(c->fd, bytes, n, MSG_NOSIGNAL);

		if (sent <= 0)
			return;
		bytes += sent;
		n -= (size_t)sent;
	}
}

void client_sends(struct client *c, const char *text)
{
	client_send(c, text, strlen(text));
}

static bool read_more(struct client *c)
{
	char block[65536];
	ssize_t n = recv(c->fd, block, sizeof(block), 0);

	if (n <= 0)
		return false;
	c->held = realloc(c->held, c->n_held + (size_t)n + 1);
	memcpy(c->held + c->n_held, block, (size_t)n);
	c->n_held += (size_t)n;
	c->held[c->n_held] = '\0';
	return true;
}

static void drop_held(struct client *c, size_t n)
{
	memmove(c->held, c->held + n, c->n_held - n + 1);
	c->n_held -= n;
}

bool client_read(struct client *c, struct answer *a, bool head_only)
{
	const char *end, *length;
	size_t head;

	memset(a, 0, sizeof(*a));
	while (!c->held || !(end = strstr(c->held, "\r\n\r\n")))
		if (!read_more(c))
			return false;
	head = (size_t)(end - c->held) + 4;
	ck_assert_uint_lt(head, sizeof(a->head));
	memcpy(a->head, c->held, head);
	drop_held(c, head);
	if (strncmp(a->head, "HTTP/1.1 100", 12) == 0)
		return client_read(c, a, head_only);
	length = answer_header(a, "Content-Length");
	a->length = length && !head_only ? strtoul(length, NULL, 10) : 0;
	while (c->n_held < a->length)
		if (!read_more(c))
			return false;
	a->body = malloc(a->length + 1);
	memcpy(a->body, c->held, a->length);
	a->body[a->length] = '\0';
	drop_held(c, a->length);
	a->status = atoi(a->head + 9);
	return true;
}

void answer_release(struct answer *a)
{
	free(a->body);
	a->body = NULL;
}

const char *answer_header(const struct answer *a, const char *name)
{
	static _Thread_local char value[1024];
	size_t n = strlen(name);

	for (const char *line = strstr(a->head, "\r\n"); line; line = strstr(line + 2, "\r\n"))
		if (strncasecmp(line + 2, name, n) == 0 && line[2 + n] == ':') {
			snprintf(value, sizeof(value), "%.*s", (int)strcspn(line + 4 + n, "\r"),
				 line + 4 + n);
			return value;
		}
	return NULL;
}

bool client_is_closed_within(struct client *c, int ms)
{
	struct pollfd p = { .fd = c->fd, .events = POLLIN };
	char block[4096];
	ssize_t n;

	do {
		if (poll(&p, 1, ms) <= 0)
			return false;
		n = recv(c->fd, block, sizeof(block), 0);
	} while (n > 0);
	return true;
}

int ask(const char *address, const char *request, struct answer *a)
{
	struct client c;

	client_open(&c, address);
	client_sends(&c, request);
	client_read(&c, a, strncmp(request, "HEAD", 4) == 0);
	client_close(&c);
	return a->status;
}
