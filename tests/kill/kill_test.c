/*
 * Killed while writing: crews post feedings with keys of their own and note a key only when the whole 201
 * was read; the program is killed without warning at a random moment and started again.  Every noted key
 * must be there exactly once, one that was not noted once or not at all, and sent again it must be there
 * once.  The file must be sound and the ledger's rules must hold after each kill.
 *
 * WEIRBOOK_KILLS says how many times (50 when not given), WEIRBOOK_KILL_SEED which moments.
 * Left out: a power cut.  What was written but not synced survives a kill; it is the disk's to lose.
 */
#include <check.h>
#include <inttypes.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>

#include "http/server.h"
#include "http_client.h"
#include "program.h"
#include "run_suites.h"

enum { CREWS = 4, KILLS = 50, NOTED_MAX = 4096, SHORTEST_MS = 20, LONGEST_MS = 300 };

#define WRITE_HEAD                                                                                 \
	"POST /api/%s HTTP/1.1\r\nHost: localhost\r\nX-Weirbook: 1\r\n"                            \
	"Content-Type: application/json\r\nContent-Length: %zu\r\n\r\n%s"

struct crew {
	int number;
	int round;
	const char *address;
	int next;  /* keys are (crew, next): a number is never used twice */
	int first; /* of this round */
	int noted; /* keys first..noted-1 were answered 201; noted..next-1 (none or one) were not */
	int last_status;
};

static int seed;
static bool disk_fails;

/* A version 4 UUID that tells who made it. */
static void key_of(char key[37], int crew, int number)
{
	snprintf(key, 37, "%08x-0000-4000-8000-%012x", crew + 1, number);
}

static int post(struct client *c, const char *kind, const char *body, struct answer *a)
{
	char request[1024];

	snprintf(request, sizeof(request), WRITE_HEAD, kind, strlen(body), body);
	client_sends(c, request);
	return client_read(c, a, false) ? a->status : 0;
}

/* The answer's status, 0 when none came.  While the disk fails 503 is an answer too. */
static int post_feeding(struct client *c, int crew, int number)
{
	char key[37], body[256];
	struct answer a;
	int status;

	key_of(key, crew, number);
	snprintf(body, sizeof(body),
		 "{\"key\":\"%s\",\"tank_id\":2,\"feed_id\":1,\"amount_g\":%d,"
		 "\"at\":\"2026-03-0%dT0%d:%02d:00Z\",\"confirm\":true}",
		 key, 100 + number % 900, 1 + crew, number / 60 % 10, number % 60);
	status = post(c, "feedings", body, &a);
	ck_assert_msg(status == 201 || status == 0 || (disk_fails && status == 503), "%d: %s",
		      status, a.body);
	if (status == 503)
		ck_assert_msg(strstr(a.body, "not_confirmed") != NULL, "%s", a.body);
	answer_release(&a);
	return status;
}

/* Posts until the program dies. */
static void *feed(void *arg)
{
	struct crew *w = arg;
	struct client c;

	w->first = w->noted = w->next;
	if (!client_try(&c, w->address))
		return NULL;
	while (w->next - w->first < NOTED_MAX) {
		w->last_status = post_feeding(&c, w->number, w->next++);
		if (w->last_status != 201)
			break;
		w->noted = w->next;
	}
	client_close(&c);
	return NULL;
}

static void nap(int ms)
{
	struct timespec t = { .tv_sec = ms / 1000, .tv_nsec = (ms % 1000) * 1000000L };

	nanosleep(&t, NULL);
}

static void set_up(const char *address)
{
	static const struct {
		const char *kind, *body;
	} rows[] = {
		{ "loops", "{\"code\":\"L1\",\"name\":\"North\",\"water_volume_l\":40000}" },
		{ "tanks", "{\"code\":\"T1\",\"name\":\"One\",\"loop_id\":1,\"volume_l\":7800}" },
		{ "feeds", "{\"name\":\"Grower\",\"protein_pct\":36}" },
	};
	struct client c;
	struct answer a;

	client_open(&c, address);
	for (size_t i = 0; i < sizeof(rows) / sizeof(*rows); i++) {
		ck_assert_int_eq(post(&c, rows[i].kind, rows[i].body, &a), 201);
		answer_release(&a);
	}
	client_close(&c);
}

static int get_status(struct client *c, const char *path)
{
	char request[256];
	struct answer a;
	int status;

	snprintf(request, sizeof(request), "GET %s HTTP/1.1\r\nHost: localhost\r\n\r\n", path);
	client_sends(c, request);
	status = client_read(c, &a, false) ? a.status : 0;
	answer_release(&a);
	return status;
}

/* All that was noted is there; what was not is there or not, and after sending it again it is. */
static void check_crew(const struct crew *w)
{
	char path[64] = "/api/feedings/";
	struct client c;

	client_open(&c, w->address);
	for (int n = w->first; n < w->next; n++) {
		int status;

		key_of(path + strlen("/api/feedings/"), w->number, n);
		status = get_status(&c, path);
		if (n < w->noted)
			ck_assert_msg(status == 200,
				      "round %d, seed %d: %s was answered 201, now %d", w->round,
				      seed, path, status);
		else
			ck_assert_msg(status == 200 || status == 404, "%s: %d", path, status);
	}
	for (int n = w->noted; n < w->next; n++)
		ck_assert_int_eq(post_feeding(&c, w->number, n), 201);
	client_close(&c);
}

static void check_file(const char *file)
{
	char *arguments[] = { "check", "--db", (char *)file, NULL };
	char out[4096];

	ck_assert_msg(program_run(arguments, out, sizeof(out)) == 0, "weirbook check: %s", out);
}

/* One round: serve, write, kill, serve again, look.  Returns how many were noted. */
static int run_round(struct program *p, const char *file, struct crew crews[CREWS], int ms)
{
	pthread_t threads[CREWS];
	int noted = 0;

	for (int i = 0; i < CREWS; i++) {
		crews[i].address = p->address;
		ck_assert_int_eq(pthread_create(&threads[i], NULL, feed, &crews[i]), 0);
	}
	nap(ms);
	ck_assert(WIFSIGNALED(program_end(p, SIGKILL)));
	for (int i = 0; i < CREWS; i++)
		pthread_join(threads[i], NULL);
	check_file(file);
	program_serve(p, file);
	for (int i = 0; i < CREWS; i++) {
		check_crew(&crews[i]);
		noted += crews[i].noted - crews[i].first;
		crews[i].round++;
	}
	return noted;
}

/* Marks each key of the list in seen[crew][number]; a key that no crew made fails. */
static void count_keys(const char *body, uint8_t *seen[CREWS], const struct crew crews[CREWS])
{
	static const char mark[] = "\"key\":\"";

	for (const char *at = strstr(body, mark); at; at = strstr(at, mark)) {
		unsigned crew, number;

		at += strlen(mark);
		ck_assert_int_eq(sscanf(at, "%8x-0000-4000-8000-%12x", &crew, &number), 2);
		ck_assert_uint_ge(crew, 1);
		ck_assert_uint_le(crew, CREWS);
		ck_assert_int_lt((int)number, crews[crew - 1].next);
		seen[crew - 1][number]++;
	}
}

/* Walks the whole list, page by page. */
static void check_each_is_there_once(const char *address, const struct crew crews[CREWS])
{
	char request[512], after[256] = "";
	uint8_t *seen[CREWS];
	struct client c;

	for (int i = 0; i < CREWS; i++)
		seen[i] = calloc((size_t)crews[i].next + 1, 1);
	client_open(&c, address);
	do {
		struct answer a;
		const char *next;

		snprintf(request, sizeof(request),
			 "GET /api/feedings?limit=1000&fields=key%s%s HTTP/1.1\r\n"
			 "Host: localhost\r\n\r\n",
			 *after ? "&after=" : "", after);
		client_sends(&c, request);
		ck_assert(client_read(&c, &a, false));
		ck_assert_msg(a.status == 200, "%d: %s", a.status, a.body);
		count_keys(a.body, seen, crews);
		next = strstr(a.body, "\"next\":\"");
		after[0] = '\0';
		if (next)
			ck_assert_int_eq(sscanf(next, "\"next\":\"%255[^\"]", after), 1);
		answer_release(&a);
	} while (*after);
	client_close(&c);
	for (int i = 0; i < CREWS; i++) {
		for (int n = 0; n < crews[i].next; n++)
			ck_assert_msg(seen[i][n] == 1, "crew %d, number %d is there %d times", i, n,
				      seen[i][n]);
		free(seen[i]);
	}
}

static int number_in(const char *variable, int fallback)
{
	const char *text = getenv(variable);

	return text && *text ? atoi(text) : fallback;
}

START_TEST(acknowledged_entries_survive_being_killed)
{
	struct crew crews[CREWS] = { 0 };
	struct program program;
	char folder[256], file[300];
	int rounds = number_in("WEIRBOOK_KILLS", KILLS), noted = 0;
	unsigned chance;

	seed = number_in("WEIRBOOK_KILL_SEED", (int)time(NULL));
	chance = (unsigned)seed;
	folder_new(folder);
	snprintf(file, sizeof(file), "%s/weirbook.db", folder);
	program_serve(&program, file);
	set_up(program.address);
	for (int i = 0; i < CREWS; i++)
		crews[i].number = i;
	for (int round = 0; round < rounds; round++) {
		int ms = SHORTEST_MS + rand_r(&chance) % (LONGEST_MS - SHORTEST_MS + 1);

		noted += run_round(&program, file, crews, ms);
	}
	check_each_is_there_once(program.address, crews);
	ck_assert_int_eq(program_end(&program, SIGTERM), 0);
	check_file(file);
	/* A test that wrote next to nothing would prove nothing. */
	ck_assert_int_gt(noted, rounds);
	printf("%d kills, %d entries acknowledged, seed %d\n", rounds, noted, seed);
	folder_remove(folder);
}
END_TEST

/*
 * The disk fails in the middle of a commit (EFBIG stands for any I/O error): what was being kept is told to
 * be unknown, the program ends by itself, and the next start has all that was acknowledged.
 */
START_TEST(disk_that_fails_on_commit_loses_nothing_acknowledged)
{
	struct crew crews[CREWS] = { 0 };
	pthread_t threads[CREWS];
	struct program program;
	char folder[256], file[300];
	struct stat st;
	int status, noted = 0, told = 0;

	folder_new(folder);
	snprintf(file, sizeof(file), "%s/weirbook.db", folder);
	program_serve(&program, file);
	set_up(program.address);
	ck_assert_int_eq(program_end(&program, SIGTERM), 0);
	ck_assert_int_eq(stat(file, &st), 0);
	disk_fails = true;
	program_limit_files(st.st_size + 100000);
	program_serve(&program, file);
	for (int i = 0; i < CREWS; i++) {
		crews[i].number = i;
		crews[i].address = program.address;
		ck_assert_int_eq(pthread_create(&threads[i], NULL, feed, &crews[i]), 0);
	}
	for (int i = 0; i < CREWS; i++)
		pthread_join(threads[i], NULL);
	for (int i = 0; i < CREWS; i++)
		told += crews[i].last_status == 503;
	ck_assert_int_ge(told, 1);
	ck_assert_int_eq(waitpid(program.pid, &status, 0), program.pid);
	ck_assert_msg(WIFEXITED(status) && WEXITSTATUS(status) == SERVER_LOST_STATUS, "%x", status);
	disk_fails = false;
	program_limit_files(0);
	check_file(file);
	program_serve(&program, file);
	for (int i = 0; i < CREWS; i++) {
		crews[i].address = program.address;
		check_crew(&crews[i]);
		noted += crews[i].noted - crews[i].first;
	}
	check_each_is_there_once(program.address, crews);
	ck_assert_int_gt(noted, CREWS);
	ck_assert_int_eq(program_end(&program, SIGTERM), 0);
	folder_remove(folder);
}
END_TEST

static Suite *killed_while_writing_suite(void)
{
	Suite *suite = suite_create("killed while writing");
	TCase *t = tcase_create("kill");

	tcase_set_timeout(t, 600);
	tcase_add_test(t, acknowledged_entries_survive_being_killed);
	tcase_add_test(t, disk_that_fails_on_commit_loses_nothing_acknowledged);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		killed_while_writing_suite,
		NULL,
	};

	return run_suites(suites);
}
