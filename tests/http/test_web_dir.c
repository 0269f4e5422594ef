/* --web DIR gives plain files of that folder and nothing else. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "http/web_dir.h"
#include "http_tests.h"
#include "program.h"

static char folder[256];

static void put(const char *name, const char *text)
{
	char path[400];
	FILE *f;

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	f = fopen(path, "w");
	ck_assert_ptr_nonnull(f);
	fputs(text, f);
	fclose(f);
}

static const char *const names[] = { "web/index.html", "web/js/main.js", "web/.hidden.js",
				     "web/notes.txt",  "secret.js",      "web/js" };

static void make_folder(void)
{
	char path[400];

	folder_new(folder);
	snprintf(path, sizeof(path), "%s/web", folder);
	mkdir(path, 0700);
	snprintf(path, sizeof(path), "%s/web/js", folder);
	mkdir(path, 0700);
	for (int i = 0; i < 5; i++)
		put(names[i], names[i]);
	snprintf(path, sizeof(path), "%s/web/folder.js", folder);
	mkdir(path, 0700);
}

static void drop_folder(void)
{
	static const char *const last[] = { "web/js", "web/folder.js", "web", "" };
	char path[400];

	for (int i = 0; i < 5; i++) {
		snprintf(path, sizeof(path), "%s/%s", folder, names[i]);
		unlink(path);
	}
	for (int i = 0; i < 4; i++) {
		snprintf(path, sizeof(path), "%s/%s", folder, last[i]);
		rmdir(path);
	}
}

static const struct {
	const char *method, *path;
	const char *text; /* NULL: not answered */
} cases[] = {
	{ "GET", "/", "web/index.html" },
	{ "GET", "/index.html", "web/index.html" },
	{ "GET", "/farm/feedings/12", "web/index.html" },
	{ "GET", "/at/T1", "web/index.html" },
	{ "GET", "/healthz", NULL },
	{ "GET", "/js/none", NULL },
	{ "GET", "/api/farm", NULL },
	{ "GET", "/js/main.js", "web/js/main.js" },
	{ "POST", "/js/main.js", NULL },
	{ "GET", "/js/none.js", NULL },
	{ "GET", "/notes.txt", NULL },
	{ "GET", "/folder.js", NULL },
	{ "GET", "/.hidden.js", NULL },
	{ "GET", "/js/../index.html", NULL },
	{ "GET", "/../secret.js", NULL },
	{ "GET", "/js/../../secret.js", NULL },
	{ "GET", "//js/main.js", NULL },
	{ "GET", "/js\\main.js", NULL },
	{ "GET", "/api/js/main.js", NULL },
};

START_TEST(only_plain_files_of_the_folder_are_given)
{
	struct arena arena;
	struct request req;
	struct response res;
	char dir[400];

	snprintf(dir, sizeof(dir), "%s/web", folder);
	arena_init(&arena);
	request_init(&req, &arena);
	response_init(&res);
	req.method = cases[_i].method;
	req.path = cases[_i].path;
	ck_assert_int_eq(web_dir_answer(dir, &req, &res), cases[_i].text != NULL);
	if (cases[_i].text) {
		ck_assert_str_eq(res.body.text, cases[_i].text);
		ck_assert_int_eq(res.status, 200);
		ck_assert_str_eq(res.cache_control, "no-store");
	} else {
		ck_assert_int_eq(res.status, 0);
	}
	response_release(&res);
	arena_release(&arena);
}
END_TEST

Suite *web_dir_suite(void)
{
	Suite *suite = suite_create("web dir");
	TCase *t = tcase_create("web dir");

	tcase_add_checked_fixture(t, make_folder, drop_folder);
	tcase_add_loop_test(t, only_plain_files_of_the_folder_are_given, 0,
			    sizeof(cases) / sizeof(*cases));
	suite_add_tcase(suite, t);
	return suite;
}
