/* The Check program of this folder: one suite a file; and what the suites share. */
#include "store_tests.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "model/kinds.h"
#include "support/run_suites.h"

struct store *st;
struct arena arena;
struct err err;

static uint64_t next_key;
static char folder[64];

void set_up_idle(void)
{
	err_clear(&err);
	arena_init(&arena);
	next_key = 1;
	ck_ok(store_open(":memory:", STORE_WRITE, &st, &err));
}

void set_up(void)
{
	set_up_idle();
	ck_ok(store_begin(st, &err));
}

void tear_down(void)
{
	store_close(st);
	st = NULL;
	arena_release(&arena);
}

int64_t keep(struct record *r)
{
	if (uuid_is_zero(&r->key))
		r->key = sample_key(next_key++);
	r->version = 1;
	ck_ok(store_insert(st, r, sample_fingerprint, &err));
	return r->id;
}

static int64_t the_loop(void)
{
	const struct kind *k = NULL;
	int64_t id = 0;

	if (store_find_code(st, "L1", &k, &id, &err) == ERR_NONE)
		return id;
	struct record *r = record_new(&loops_kind, &arena);
	record_set_text(r, "code", "L1");
	record_set_real(r, "water_volume_l", 90000);
	return keep(r);
}

int64_t keep_tank(const char *code)
{
	struct record *r = record_new(&tanks_kind, &arena);

	record_set_text(r, "code", code);
	record_set_int(r, "loop_id", the_loop());
	record_set_real(r, "volume_l", 7800);
	return keep(r);
}

int64_t keep_feed(const char *name)
{
	struct record *r = record_new(&feeds_kind, &arena);

	record_set_text(r, "name", name);
	record_set_real(r, "protein_pct", 38);
	return keep(r);
}

int64_t keep_feeding(int64_t tank_id, int64_t feed_id, int64_t at, double amount_g)
{
	struct record *r = record_new(&feedings_kind, &arena);

	r->instant = at;
	record_set_int(r, "tank_id", tank_id);
	record_set_int(r, "feed_id", feed_id);
	record_set_real(r, "amount_g", amount_g);
	record_set_int(r, "at", at);
	record_set_int(r, "day", at / 86400);
	return keep(r);
}

struct list_query all_of(const struct kind *k)
{
	return (struct list_query){ .kind = k, .from_day = INT64_MIN, .to_day = INT64_MAX };
}

int64_t count_rows(struct list_query q)
{
	struct record_list *l = NULL;
	const struct record *r = NULL;
	int64_t n = 0;
	enum err_code rc;

	ck_ok(record_list_open(st, &q, &l, &err));
	while ((rc = record_list_next(l, &r, &err)) == ERR_NONE)
		n++;
	ck_assert_int_eq(rc, ERR_NOT_FOUND);
	record_list_close(l);
	return n;
}

const char *path_to(const char *name)
{
	if (!folder[0]) {
		/* in memory where there is such a folder: nothing here needs a disk to be waited for */
		const char *tmp = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";

		snprintf(folder, sizeof(folder), "%s/weirbook-XXXXXX", tmp);
		ck_assert_ptr_nonnull(mkdtemp(folder));
	}
	return arena_printf(&arena, "%s/%s", folder, name);
}

void tear_down_folder(void)
{
	DIR *d = folder[0] ? opendir(folder) : NULL;
	struct dirent *entry;
	char path[400];

	while (d && (entry = readdir(d))) {
		snprintf(path, sizeof(path), "%s/%s", folder, entry->d_name);
		if (entry->d_name[0] != '.')
			unlink(path);
	}
	if (d)
		closedir(d);
	if (folder[0])
		rmdir(folder);
	folder[0] = '\0';
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		round_trip_suite, find_suite, list_suite,  transaction_suite,
		fault_suite,      file_suite, query_suite, NULL,
	};

	return run_suites(suites);
}
