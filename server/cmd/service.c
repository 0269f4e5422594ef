/* The running service: opens the file and its books, starts the server, waits for a signal, stops. */
#include "cmd/service.h"

#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "api/app.h"
#include "api/events.h"
#include "base/clock.h"
#include "base/log.h"
#include "cmd/demo_beside.h"
#include "cmd/demo_probes.h"
#include "cmd/hosts.h"
#include "cmd/service_check.h"
#include "http/server.h"
#include "jobs/alarm_call.h"
#include "jobs/alarms.h"
#include "jobs/upkeep.h"

struct opened { /* one connection with its book */
	struct store *store;
	struct book *book;
};

struct service {
	struct app app;
	struct opened writer, inline_reader, readers[SERVER_READERS];
	struct upkeep upkeep;
	struct alarm_calls calls;
	const char *alarm_command; /* NULL: none */
	struct service_check check;
	struct server *server;
	int64_t demo_told;         /* see demo_probes.h */
	struct demo_beside beside; /* on the writer's thread, once that runs */
};

static enum err_code open_one(const char *path, enum store_mode mode, struct opened *out,
			      struct err *err)
{
	enum err_code rc = store_open(path, mode, &out->store, err);

	return rc ? rc : book_open(out->store, &out->book, err);
}

static void close_one(struct opened *o)
{
	book_close(o->book);
	store_close(o->store);
}

/* The writer first: it makes or migrates the file that the readers then need. */
static enum err_code open_all(struct service *s, struct err *err)
{
	const char *path = s->app.db_path;
	enum err_code rc = open_one(path, STORE_WRITE, &s->writer, err);

	if (!rc)
		rc = open_one(path, STORE_READ, &s->inline_reader, err);
	for (int i = 0; !rc && i < SERVER_READERS; i++)
		rc = open_one(path, STORE_READ, &s->readers[i], err);
	if (!rc)
		events_note(&s->app, s->writer.store);
	return rc;
}

/* The writer last: it makes the final checkpoint when nobody reads. */
static void close_all(struct service *s)
{
	for (int i = 0; i < SERVER_READERS; i++)
		close_one(&s->readers[i]);
	close_one(&s->inline_reader);
	close_one(&s->writer);
}

static int64_t steady_s(void)
{
	return clock_steady_ms() / 1000;
}

/* *changed: alarms were raised or cleared, or places seen to. */
static bool look_at_alarms(struct service *s, bool *changed)
{
	bool more;

	*changed = false;
	if (atomic_load(&s->app.writing_off))
		return false;
	more = alarms_step(s->writer.book, (int64_t)time(NULL), changed);
	alarm_calls_step(&s->calls, s->writer.book, steady_s());
	return more;
}

static bool start_demo(void *with)
{
	struct service *s = with;

	return demo_beside_start(&s->beside, server_address(s->server));
}

static bool tell_demo_probes(struct service *s)
{
	return s->app.demo && !atomic_load(&s->app.writing_off) &&
	       demo_probes_step(s->writer.book, (int64_t)time(NULL), &s->demo_told);
}

static bool keep_up(void *with, bool idle)
{
	struct service *s = with;
	bool settles = idle && s->upkeep.unsettled, alarms;
	/* before the alarms: what is told now is not silent */
	const bool told = tell_demo_probes(s);
	bool more = upkeep_step(&s->upkeep, idle, steady_s());

	demo_beside_step(&s->beside);
	more = look_at_alarms(s, &alarms) || more;
	if (settles || alarms || told) /* that changed the record's version */
		events_note(&s->app, s->writer.store);
	atomic_store(&s->app.writing_off, s->upkeep.disk_full || atomic_load(&s->check.damaged));
	return more;
}

/* Only the main thread takes these signals; all others inherit the mask. */
static void block_signals(sigset_t *ends)
{
	signal(SIGPIPE, SIG_IGN);
	sigemptyset(ends);
	sigaddset(ends, SIGTERM);
	sigaddset(ends, SIGINT);
	pthread_sigmask(SIG_BLOCK, ends, NULL);
}

static void say_where(const struct service *s)
{
	const char *address = server_address(s->server);
	const char *port = strrchr(address, ':');

	if (strncmp(address, "127.", 4) == 0 || strncmp(address, "[::1]", 5) == 0)
		printf("Weirbook serves http://localhost%s/ from %s\n", port, s->app.db_path);
	else
		printf("Weirbook serves http://%s/ from %s\n", address, s->app.db_path);
	fflush(stdout);
}

static enum err_code serve(struct service *s, const char *listen, struct err *err)
{
	struct server_settings set = { .app = &s->app,
				       .listen = listen,
				       .inline_book = s->inline_reader.book,
				       .writer_book = s->writer.book,
				       .upkeep = keep_up,
				       .upkeep_with = s };
	sigset_t ends;
	int which;
	enum err_code rc;

	for (int i = 0; i < SERVER_READERS; i++)
		set.reader_books[i] = s->readers[i].book;
	upkeep_init(&s->upkeep, s->writer.book, s->app.db_path);
	alarm_calls_init(&s->calls, s->alarm_command);
	block_signals(&ends);
	rc = server_start(&set, &s->server, err);
	if (rc)
		return rc;
	say_where(s);
	service_check_start(&s->check, s->app.db_path);
	sigwait(&ends, &which);
	log_line("stopping");
	server_stop(s->server);
	service_check_stop(&s->check);
	alarm_calls_finish(&s->calls);
	demo_beside_finish(&s->beside);
	upkeep_finish(&s->upkeep);
	return ERR_NONE;
}

static void check_alarm_command(const char *file, struct err *err)
{
	struct stat st;

	if (!file || (file[0] == '/' && stat(file, &st) == 0 && S_ISREG(st.st_mode) &&
		      access(file, X_OK) == 0))
		return;
	err_set(err, ERR_INPUT, "alarm-command", "no_command",
		"%s cannot be run: --alarm-command takes the whole path of a program.", file);
}

int service_check_arguments(const struct arguments *args)
{
	const char *dir = args->given[SETTING_WEB];
	struct stat st;
	struct err err;

	err_clear(&err);
	if (args->given[SETTING_LISTEN])
		server_check_address(args->given[SETTING_LISTEN], &err);
	if (dir && (stat(dir, &st) != 0 || !S_ISDIR(st.st_mode)))
		err_set(&err, ERR_INPUT, "web", "no_folder",
			"%s is not a folder: --web takes the folder that holds index.html.", dir);
	check_alarm_command(args->given[SETTING_ALARM_COMMAND], &err);
	if (!err.code)
		return EXIT_FINE;
	command_failed(&err);
	return EXIT_ARGUMENTS;
}

/* Of a demo: the port of the farm beside it; 0 when it stands alone. */
static int beside_port(const struct arguments *args)
{
	const char *given = args->given[SETTING_BESIDE];

	return given ? (int)strtol(given, NULL, 10) : 0;
}

int service_run(const struct arguments *args, const char *path, bool demo)
{
	struct service s = { .alarm_command = args->given[SETTING_ALARM_COMMAND],
			     .app = { .db_path = path,
				      .web_dir = args->given[SETTING_WEB],
				      .open_lan = args->given[SETTING_OPEN_LAN] != NULL,
				      .demo = demo,
				      .beside = beside_port(args),
				      .start_demo = start_demo,
				      .start_demo_with = &s } };
	struct arena arena;
	struct err err;
	const char *listen;
	enum err_code rc;

	arena_init(&arena);
	err_clear(&err);
	s.app.build = hosts_build(&arena);
	s.app.hosts = hosts_allowed(args, &arena);
	listen = hosts_listen(args, &arena);
	demo_beside_init(&s.beside, &s.app, args);
	rc = open_all(&s, &err);
	if (!rc)
		rc = serve(&s, listen, &err);
	close_all(&s);
	arena_release(&arena);
	return rc ? command_failed(&err) : EXIT_FINE;
}
