/* Where the service listens and to which names it answers. */
#include "cmd/hosts.h"

#include "config.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { NAMES_MAX = 32, NAME_MAX_LENGTH = 253 };

static bool is_loopback(const char *address)
{
	return strncmp(address, "127.", 4) == 0 || strncmp(address, "[::1]:", 6) == 0;
}

const char *hosts_listen(const struct arguments *args, struct arena *arena)
{
	const char *given = args->given[SETTING_LISTEN];
	const char *port = given ? strrchr(given, ':') : NULL;

	if (args->given[SETTING_OPEN_LAN]) {
		fputs("--open-lan: anybody on this network can read and write the whole record, "
		      "until signing in exists. Use it only on a network of your own.\n",
		      stderr);
		return given ? given : "0.0.0.0:8080";
	}
	if (!given)
		return "127.0.0.1:8080";
	if (is_loopback(given) || !port)
		return given;
	fprintf(stderr,
		"Signing in does not exist yet, so only this computer is served (127.0.0.1%s, not "
		"%s). "
		"--open-lan serves everybody on the network, without signing in.\n",
		port, given);
	return arena_printf(arena, "127.0.0.1%s", port);
}

const char **hosts_allowed(const struct arguments *args, struct arena *arena)
{
	const char **names = arena_array(arena, NAMES_MAX + 3, sizeof(*names));
	const char *list = args->given[SETTING_HOST];
	char own[NAME_MAX_LENGTH + 1];
	size_t n = 0;

	while (list && *list && n < NAMES_MAX) {
		size_t length = strcspn(list, ",");

		if (length > 0)
			names[n++] = arena_strndup(arena, list, length);
		list += length;
		list += *list == ',';
	}
	if (args->given[SETTING_OPEN_LAN] && gethostname(own, sizeof(own)) == 0) {
		own[NAME_MAX_LENGTH] = '\0';
		names[n++] = arena_strdup(arena, own);
		names[n++] = arena_printf(arena, "%s.local", own);
	}
	return names;
}

const char *hosts_build(struct arena *arena)
{
	struct stat program;

	/* Size and time of the program file: no counter to forget, and the build stays reproducible. */
	if (stat("/proc/self/exe", &program) != 0)
		return PACKAGE_VERSION;
	return arena_printf(arena, "%llx%llx", (unsigned long long)program.st_mtime,
			    (unsigned long long)program.st_size);
}
