/* The listening socket: an address in numbers, so that what is opened is what was written. */
#include <arpa/inet.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "http/inside.h"

enum { BACKLOG = 128 };

union address {
	struct sockaddr any;
	struct sockaddr_in four;
	struct sockaddr_in6 six;
};

/* "ADDR:PORT" or "[ADDR6]:PORT". */
static bool read_address(const char *where, union address *out, socklen_t *length)
{
	char host[64];
	const char *colon = strrchr(where, ':');
	char *end = NULL;
	unsigned long port = colon ? strtoul(colon + 1, &end, 10) : 0;
	size_t n = colon ? (size_t)(colon - where) : 0;

	if (n == 0 || n >= sizeof(host) || !colon[1] || strspn(colon + 1, "0123456789") > 5 ||
	    *end || port > 65535)
		return false;
	memcpy(host, where, n);
	host[n] = '\0';
	memset(out, 0, sizeof(*out));
	if (host[0] == '[' && host[n - 1] == ']') {
		host[n - 1] = '\0';
		out->six.sin6_family = AF_INET6;
		out->six.sin6_port = htons((uint16_t)port);
		*length = sizeof(out->six);
		return inet_pton(AF_INET6, host + 1, &out->six.sin6_addr) == 1;
	}
	out->four.sin_family = AF_INET;
	out->four.sin_port = htons((uint16_t)port);
	*length = sizeof(out->four);
	return inet_pton(AF_INET, host, &out->four.sin_addr) == 1;
}

static void write_address(int fd, char address[80])
{
	union address a;
	socklen_t length = sizeof(a);
	char host[INET6_ADDRSTRLEN] = "";

	memset(&a, 0, sizeof(a));
	getsockname(fd, &a.any, &length);
	if (a.any.sa_family == AF_INET6) {
		inet_ntop(AF_INET6, &a.six.sin6_addr, host, sizeof(host));
		snprintf(address, 80, "[%s]:%u", host, (unsigned)ntohs(a.six.sin6_port));
	} else {
		inet_ntop(AF_INET, &a.four.sin_addr, host, sizeof(host));
		snprintf(address, 80, "%s:%u", host, (unsigned)ntohs(a.four.sin_port));
	}
}

static enum err_code take_address(const char *where, union address *out, socklen_t *length,
				  struct err *err)
{
	if (read_address(where, out, length))
		return ERR_NONE;
	return err_set(err, ERR_INPUT, "listen", "bad_address",
		       "\"%s\" is not an address: write it like 127.0.0.1:8080 or [::1]:8080.",
		       where);
}

enum err_code server_check_address(const char *listen, struct err *err)
{
	union address a;
	socklen_t length;

	return take_address(listen, &a, &length, err);
}

int listen_on(const char *where, char address[80], struct err *err)
{
	union address a = { .six = { 0 } };
	socklen_t length = 0;
	int fd, one = 1;

	if (take_address(where, &a, &length, err))
		return -1;
	fd = socket(a.any.sa_family, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
	if (fd >= 0 && setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &one, sizeof(one)) == 0 &&
	    bind(fd, &a.any, length) == 0 && listen(fd, BACKLOG) == 0) {
		write_address(fd, address);
		return fd;
	}
	err_set(err, ERR_UNAVAILABLE, "listen", "cannot_listen",
		"Cannot listen on %s: %s. Take another port with --listen.", where,
		strerror(errno));
	if (fd >= 0)
		close(fd);
	return -1;
}
