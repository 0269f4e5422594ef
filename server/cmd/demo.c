/* weirbook demo: an invented farm, brought to today, then served. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/zone.h"
#include "cmd/commands.h"
#include "cmd/csv_folder.h"
#include "cmd/db_file.h"
#include "cmd/demo_beside.h"
#include "cmd/demo_files.h"
#include "cmd/service.h"

/* The last day of fixtures/demo, a Wednesday.  The farm is moved by whole weeks, so that its weekdays stay
 * and its last entries are of the newest such day that is not ahead. */
enum { LAST_YEAR = 2026, LAST_MONTH = 11, LAST_DAY = 18 };

static const char fixture_zone[] = "Atlantic/Canary"; /* of fixtures/demo/farm.csv */

static int64_t weeks_ahead(int64_t now)
{
	const int64_t last = day_from_civil(LAST_YEAR, LAST_MONTH, LAST_DAY);
	const int64_t today = day_of_instant(now);

	/* Up to six days of what lies after now are left out: today is alive on every weekday. */
	return (today - last + 6) / 7 * 7;
}

/*
 * The demo farm lies where its reader is: its times are local, so that the morning's round is this morning's
 * whichever zone this computer keeps.  The zone is the one of TZ, else of /etc/timezone, else the fixture's.
 */
static const char *zone_here(struct arena *arena)
{
	char text[64] = "";
	const char *tz = getenv("TZ");
	struct zone *zone = NULL;

	if (tz && tz[0] && tz[0] != ':') {
		snprintf(text, sizeof(text), "%s", tz);
	} else {
		FILE *f = fopen("/etc/timezone", "r");
		if (f && !fgets(text, sizeof(text), f))
			text[0] = '\0';
		if (f)
			fclose(f);
	}
	text[strcspn(text, "\r\n ")] = '\0';
	if (!text[0] || zone_load(text, &zone, NULL))
		return NULL;
	zone_free(zone);
	return arena_strdup(arena, text);
}

/* farm.csv with another time zone. */
static const char *with_zone(const char *text, const char *zone, struct arena *arena)
{
	const char *at = strstr(text, fixture_zone);

	if (!zone || !at)
		return text;
	return arena_printf(arena, "%.*s%s%s", (int)(at - text), text, zone,
			    at + strlen(fixture_zone));
}

/* The demo farm as a set to import, with the zone of this computer. */
static struct import_file *files_here(struct arena *arena)
{
	struct import_file *files = arena_array(arena, n_demo_files, sizeof(*files));

	for (size_t i = 0; i < n_demo_files; i++) {
		const bool is_farm = strcmp(demo_files[i].name, "farm.csv") == 0;
		const char *text = is_farm ? with_zone(demo_files[i].text, zone_here(arena), arena)
					   : demo_files[i].text;
		files[i] = (struct import_file){ .name = demo_files[i].name,
						 .text = text,
						 .length = strlen(text) };
	}
	return files;
}

static enum err_code make(const char *path, struct arena *arena, struct err *err)
{
	const int64_t now = (int64_t)time(NULL);
	const struct import_options options = { .separator = ',',
						.decimal = '.',
						.now = now,
						.shift_days = weeks_ahead(now),
						.leave_out_future = true };
	struct import_result result = { 0 };

	const enum err_code rc =
		import_into(path, files_here(arena), n_demo_files, &options, arena, &result, err);
	for (size_t i = 0; i < result.n_errors && i < 10; i++)
		fprintf(stderr, "%s:%zu: %s\n", result.errors[i].file, result.errors[i].line,
			result.errors[i].item.message);
	return rc;
}

/* The files that SQLite keeps of one record: its own, its log, and the log's index. */
static const char *const file_ends[] = { "", "-wal", "-shm" };
enum { N_FILE_ENDS = sizeof(file_ends) / sizeof(file_ends[0]) };

static void drop(const char *path, struct arena *arena)
{
	for (size_t i = 0; i < N_FILE_ENDS; i++)
		unlink(arena_printf(arena, "%s%s", path, file_ends[i]));
}

/* --db may have named a record that matters: what stands there is kept as FILE.old. */
static void set_aside(const char *path, struct arena *arena)
{
	for (size_t i = 0; i < N_FILE_ENDS; i++)
		rename(arena_printf(arena, "%s%s", path, file_ends[i]),
		       arena_printf(arena, "%s.old%s", path, file_ends[i]));
}

static bool is_there(const char *path)
{
	struct stat st;

	return stat(path, &st) == 0;
}

/* Makes the farm beside path and moves it there, so that a half-made one is never served. */
static enum err_code make_once(const char *path, bool fresh, struct arena *arena, struct err *err)
{
	const char *making = arena_printf(arena, "%s.making", path);

	if (is_there(path) && !fresh)
		return ERR_NONE;
	printf("making the demo farm ...\n");
	fflush(stdout);
	drop(making, arena);
	const enum err_code rc = make(making, arena, err);
	if (rc)
		return rc;
	set_aside(path, arena);
	if (rename(making, path) != 0)
		return err_set(err, ERR_UNAVAILABLE, "", "not_written", "%s cannot be made.", path);
	drop(making, arena);
	return ERR_NONE;
}

static int run(const struct arguments *args)
{
	struct arena arena;
	struct err err;
	int status = service_check_arguments(args), lock = -1;

	if (status)
		return status;
	if (args->given[SETTING_BESIDE])
		demo_beside_follow();
	arena_init(&arena);
	err_clear(&err);
	const char *path = db_file(args, "demo.db", &arena, &err);
	if (path && !db_make_folder(path, &arena, &err))
		lock = db_lock(path, &arena, &err);
	if (lock >= 0 && make_once(path, args->given[SETTING_FRESH] != NULL, &arena, &err)) {
		db_unlock(lock);
		lock = -1;
	}
	status = lock >= 0 ? service_run(args, path, true) : command_failed(&err);
	db_unlock(lock);
	arena_release(&arena);
	return status;
}

static const enum setting takes[] = {
	SETTING_DB,  SETTING_FRESH,         SETTING_LISTEN, SETTING_OPEN_LAN, SETTING_HOST,
	SETTING_WEB, SETTING_ALARM_COMMAND, SETTING_BESIDE, SETTING__MAX
};

const struct command command_demo = { .name = "demo",
				      .operands = "",
				      .summary = "serves an invented farm to try things on; it is "
						 "kept between starts",
				      .takes = takes,
				      .run = run };
