/* Runs the farm's own command on alarms: see alarm_call.h.  Which alarms there are is the book's. */
#include "jobs/alarm_call.h"

#include <errno.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "base/log.h"
#include "base/number.h"
#include "base/spawn.h"
#include "book/open_alarms.h"

struct alarm_call {
	int64_t id;
	char place[64], quantity[64], level[16], value[NUMBER_TEXT_MAX];
	bool told;    /* raised was told, or need not be */
	bool is_open; /* as of the last look */
	int64_t at_s; /* when the command was last run for it */
};

void alarm_calls_init(struct alarm_calls *c, const char *file)
{
	*c = (struct alarm_calls){ .file = file, .seen_version = -1 };
}

/* --- running the command ---------------------------------------------------------------------------- */

/* 0 when it could not be started. */
static pid_t start(const char *file, char *const arguments[])
{
	static char path[] = "PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin";
	char *const environment[] = { path, NULL };

	return spawn_child(&(struct spawn){ .file = file,
					    .arguments = arguments,
					    .environment = environment,
					    .out = -1,
					    .own_group = true });
}

static void say_how_it_ended(int status)
{
	if (WIFEXITED(status) && WEXITSTATUS(status) != 0)
		log_line("the alarm command ended with status %d", WEXITSTATUS(status));
	else if (WIFSIGNALED(status))
		log_line("the alarm command was ended by signal %d", WTERMSIG(status));
}

static void reap(struct alarm_calls *c, int64_t now_s)
{
	for (int i = 0; i < CALLS_AT_ONCE; i++) {
		int status;
		const pid_t pid = c->running[i].pid;

		if (!pid)
			continue;
		const pid_t got = waitpid(pid, &status, WNOHANG);
		if (got == pid || (got < 0 && errno == ECHILD)) {
			if (got == pid)
				say_how_it_ended(status);
			c->running[i].pid = 0;
		} else if (!c->running[i].ended && now_s - c->running[i].since_s >= CALL_LIMIT_S) {
			log_line("the alarm command ran for %d seconds: it is ended", CALL_LIMIT_S);
			kill(-pid, SIGKILL);
			c->running[i].ended = true;
		}
	}
}

static int free_place(const struct alarm_calls *c)
{
	for (int i = 0; i < CALLS_AT_ONCE; i++)
		if (!c->running[i].pid)
			return i;
	return -1;
}

/* An alarm that trembles is told once in a while; a stop is never held back for that. */
static bool may_call(const struct alarm_calls *c, const struct alarm_call *a, int64_t now_s)
{
	const int64_t oldest = c->made[c->n_made % CALLS_A_MINUTE];

	if (free_place(c) < 0 || (c->n_made >= CALLS_A_MINUTE && now_s - oldest < 60))
		return false;
	for (size_t i = 0; i < c->n && !alarm_is_stop(a->level); i++)
		if (c->told[i].at_s && now_s - c->told[i].at_s < CALL_SAME_AFTER_S &&
		    c->told[i].id != a->id && strcmp(c->told[i].place, a->place) == 0 &&
		    strcmp(c->told[i].quantity, a->quantity) == 0)
			return false;
	return true;
}

/* False: later. */
static bool call(struct alarm_calls *c, struct alarm_call *a, const char *what, int64_t now_s)
{
	char file[4096], kind[8];
	char *const arguments[] = { file, kind, a->place, a->quantity, a->value, a->level, NULL };

	if (!may_call(c, a, now_s))
		return false;
	snprintf(file, sizeof(file), "%s", c->file);
	snprintf(kind, sizeof(kind), "%s", what);
	const int at = free_place(c);
	const pid_t pid = start(c->file, arguments);
	if (pid)
		log_line("the alarm command was told: %s %s %s %s %s", what, a->place, a->quantity,
			 a->value, a->level);
	else
		log_line("the alarm command could not be started");
	c->running[at].pid = pid;
	c->running[at].since_s = now_s;
	c->running[at].ended = false;
	c->made[c->n_made++ % CALLS_A_MINUTE] = now_s;
	a->at_s = now_s;
	return true;
}

/* --- what to tell ----------------------------------------------------------------------------------- */

static struct alarm_call *find(struct alarm_calls *c, int64_t id)
{
	for (size_t i = 0; i < c->n; i++)
		if (c->told[i].id == id)
			return &c->told[i];
	return NULL;
}

static struct alarm_call *add(struct alarm_calls *c, const struct open_alarm *o)
{
	struct alarm_call *a;

	if (c->n == c->room) {
		c->room = c->room ? 2 * c->room : 16;
		c->told = xrealloc(c->told, c->room * sizeof(*c->told));
	}
	a = &c->told[c->n++];
	*a = (struct alarm_call){ .id = o->id, .told = !c->started && o->seen_by_id };
	snprintf(a->place, sizeof(a->place), "%s", o->place ? o->place : "-");
	snprintf(a->quantity, sizeof(a->quantity), "%s", o->quantity);
	snprintf(a->level, sizeof(a->level), "%s", o->level ? o->level : "noted");
	if (isnan(o->value))
		snprintf(a->value, sizeof(a->value), "-");
	else
		number_write_real(a->value, o->value);
	return a;
}

static void meet(struct alarm_calls *c, const struct open_alarm *o)
{
	struct alarm_call *a = find(c, o->id);

	if (!a)
		a = add(c, o);
	a->is_open = true;
}

static void look(struct alarm_calls *c, struct book *b)
{
	struct arena arena;
	struct err err;
	struct open_alarm *open;
	size_t n;

	arena_init(&arena);
	err_clear(&err);
	if (open_alarms_load(b, &arena, &open, &n, &err)) {
		log_line("alarms cannot be read for the alarm command");
		c->waiting = true;
	} else {
		for (size_t i = 0; i < c->n; i++)
			c->told[i].is_open = false;
		for (size_t i = 0; i < n; i++)
			meet(c, &open[i]);
		c->started = true;
	}
	arena_release(&arena);
}

/* One kind of news; stops are told before limits. */
static void tell(struct alarm_calls *c, bool raised, bool stops, int64_t now_s)
{
	for (size_t i = 0; i < c->n; i++) {
		struct alarm_call *a = &c->told[i];

		if (a->is_open != raised || a->told == raised || alarm_is_stop(a->level) != stops)
			continue;
		if (call(c, a, raised ? "raised" : "cleared", now_s))
			a->told = raised;
		else
			c->waiting = true;
	}
}

/* What is over and told, or was never told, is forgotten; later, if it holds back another one of its kind. */
static void forget(struct alarm_calls *c, int64_t now_s)
{
	size_t kept = 0;

	for (size_t i = 0; i < c->n; i++) {
		const struct alarm_call *a = &c->told[i];

		if (a->is_open || a->told || (a->at_s && now_s - a->at_s < CALL_SAME_AFTER_S))
			c->told[kept++] = *a;
	}
	c->n = kept;
}

void alarm_calls_step(struct alarm_calls *c, struct book *b, int64_t now_s)
{
	if (!c->file)
		return;
	reap(c, now_s);
	const int64_t version = store_version(book_store(b));
	if (version == c->seen_version && !c->waiting)
		return;
	c->seen_version = version;
	c->waiting = false;
	look(c, b);
	tell(c, true, true, now_s);
	tell(c, true, false, now_s);
	tell(c, false, true, now_s);
	tell(c, false, false, now_s);
	forget(c, now_s);
}

void alarm_calls_finish(struct alarm_calls *c)
{
	for (int i = 0; i < CALLS_AT_ONCE; i++) {
		if (!c->running[i].pid)
			continue;
		kill(-c->running[i].pid, SIGKILL);
		waitpid(c->running[i].pid, NULL, 0);
	}
	free(c->told);
	*c = (struct alarm_calls){ .file = NULL };
}
