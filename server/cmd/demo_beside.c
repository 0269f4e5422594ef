/* Starts and ends the demo farm beside a farm: see demo_beside.h.  What that program does is demo.c's. */
#include "cmd/demo_beside.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/log.h"
#include "base/spawn.h"

extern char **environ;

void demo_beside_init(struct demo_beside *d, struct app *app, const struct arguments *args)
{
	*d = (struct demo_beside){ .app = app, .args = args, .said = -1 };
}

/* Its arguments: the words point into the texts. */
struct command_line {
	char db[4096], listen[64], beside[16], host[1024], web[4096];
	char *words[20];
	size_t n;
};

static void add(struct command_line *c, const char *name, char *value)
{
	static char names[][12] = { "weirbook", "demo",       "--fresh", "--db", "--listen",
				    "--beside", "--open-lan", "--host",  "--web" };

	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++)
		if (strcmp(names[i], name) == 0)
			c->words[c->n++] = names[i];
	if (value)
		c->words[c->n++] = value;
}

/* A setting of this service that the demo takes over. */
static void pass_on(struct command_line *c, const struct demo_beside *d, enum setting s, char *room,
		    size_t size)
{
	const char *given = d->args->given[s];

	if (!given)
		return;
	snprintf(room, size, "%s", given);
	add(c, settings[s].name, settings[s].value ? room : NULL);
}

static void write_command_line(struct command_line *c, const struct demo_beside *d,
			       const char *listen)
{
	const char *port = strrchr(listen, ':');

	*c = (struct command_line){ .n = 0 };
	snprintf(c->db, sizeof(c->db), "%s.demo", d->app->db_path);
	snprintf(c->listen, sizeof(c->listen), "%.*s:0", (int)(port - listen), listen);
	snprintf(c->beside, sizeof(c->beside), "%s", port + 1);
	add(c, "weirbook", NULL);
	add(c, "demo", NULL);
	add(c, "--fresh", NULL);
	add(c, "--db", c->db);
	add(c, "--listen", c->listen);
	add(c, "--beside", c->beside);
	pass_on(c, d, SETTING_OPEN_LAN, c->host, sizeof(c->host));
	pass_on(c, d, SETTING_HOST, c->host, sizeof(c->host));
	pass_on(c, d, SETTING_WEB, c->web, sizeof(c->web));
}

/* It prints to out.  0 when it could not be started. */
static pid_t start(const struct demo_beside *d, const char *listen, int out)
{
	struct command_line line;

	write_command_line(&line, d, listen);
	return spawn_child(&(struct spawn){ .file = "/proc/self/exe",
					    .arguments = line.words,
					    .environment = environ,
					    .out = out });
}

bool demo_beside_start(struct demo_beside *d, const char *listen)
{
	int ends[2];

	if (d->pid)
		return true;
	if (pipe2(ends, O_CLOEXEC | O_NONBLOCK) != 0)
		return false;
	d->pid = start(d, listen, ends[1]);
	close(ends[1]);
	if (!d->pid) {
		close(ends[0]);
		return false;
	}
	d->said = ends[0];
	d->n = 0;
	atomic_store(&d->app->demo_port, DEMO_MAKING);
	return true;
}

static void hear_no_more(struct demo_beside *d)
{
	if (d->said >= 0)
		close(d->said);
	d->said = -1;
}

/* The port of "... serves http://localhost:41234/ from ...", or 0. */
static int port_said(const char *text)
{
	const char *at = strstr(text, " serves http://");
	const char *end = at ? strstr(at, "/ from ") : NULL;

	while (end && end > at && end[-1] >= '0' && end[-1] <= '9')
		end--;
	return end && end[-1] == ':' ? (int)strtol(end, NULL, 10) : 0;
}

static void hear(struct demo_beside *d)
{
	const ssize_t got = read(d->said, d->text + d->n, sizeof(d->text) - 1 - d->n);

	if (got > 0)
		d->n += (size_t)got;
	d->text[d->n] = '\0';
	const int port = port_said(d->text);
	if (port)
		atomic_store(&d->app->demo_port, port);
	/* What it prints after that is read by nobody: to close the pipe is to be deaf, not to end it. */
	if (port || got == 0 || d->n == sizeof(d->text) - 1)
		hear_no_more(d);
}

static void forget(struct demo_beside *d)
{
	hear_no_more(d);
	d->pid = 0;
	atomic_store(&d->app->demo_port, 0);
}

void demo_beside_step(struct demo_beside *d)
{
	int status;

	if (!d->pid)
		return;
	if (d->said >= 0)
		hear(d);
	if (waitpid(d->pid, &status, WNOHANG) == d->pid) {
		log_line("the demo farm beside this one has ended");
		forget(d);
	}
}

void demo_beside_finish(struct demo_beside *d)
{
	if (!d->pid)
		return;
	kill(d->pid, SIGTERM);
	while (waitpid(d->pid, NULL, 0) < 0 && errno == EINTR)
		;
	forget(d);
}

void demo_beside_follow(void)
{
	prctl(PR_SET_PDEATHSIG, SIGTERM);
	if (getppid() == 1) /* it ended before we asked */
		raise(SIGTERM);
}
