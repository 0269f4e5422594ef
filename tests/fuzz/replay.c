/*
 * Runs every fuzz target over its corpus, and over small changes of each input: always the same ones, so
 * that a failure comes again.  A target that breaks aborts; what it was fed is printed before.
 */
#include <check.h>
#include <dirent.h>
#include <signal.h>
#include <string.h>

#include "fuzz.h"

#include "base/strbuf.h"
#include "run_suites.h"
#include "support.h"

enum { CHANGES = 300, EDITS_MAX = 4 };

static const struct target {
	const char *name;
	int (*run)(const uint8_t *data, size_t size);
} targets[] = {
	{ "csv", fuzz_csv },   { "field", fuzz_field }, { "json", fuzz_json },
	{ "time", fuzz_time }, { "uri", fuzz_uri },     { "zone", fuzz_zone },
};

static const struct strbuf *running; /* for the message alone */
static const char *running_name;

static void say_what_ran(int number)
{
	fprintf(stderr, "signal %d on input from %s, %zu bytes:", number, running_name,
		running->length);
	for (size_t i = 0; i < running->length && i < 2000; i++)
		fprintf(stderr, " %02x", (unsigned char)running->text[i]);
	fprintf(stderr, "\n");
	signal(number, SIG_DFL);
	raise(number);
}

/* A copy of its own size, so that the sanitizer sees a read behind the end. */
static void run(const struct target *t, const struct strbuf *input)
{
	uint8_t *copy = malloc(input->length ? input->length : 1);

	memcpy(copy, input->text, input->length);
	running = input;
	ck_assert_int_eq(t->run(copy, input->length), 0);
	free(copy);
}

static void edit(struct strbuf *s, struct chance *chance)
{
	static const char bytes[] = "\"\"\n\r,;:.-+ 0919TZeM\0\x7F\x80\xC3\xCC\xFF";
	size_t at = s->length ? (size_t)chance_between(chance, 0, (int64_t)s->length - 1) : 0;
	char byte = bytes[chance_between(chance, 0, (int64_t)sizeof(bytes) - 2)];

	switch (s->length ? chance_between(chance, 0, 4) : 0) {
	case 0: /* one more byte */
		strbuf_addc(s, byte);
		if (s->length > 1) {
			memmove(s->text + at + 1, s->text + at, s->length - 1 - at);
			s->text[at] = byte;
		}
		break;
	case 1: /* one less */
		memmove(s->text + at, s->text + at + 1, s->length - at - 1);
		s->length--;
		break;
	case 2: /* another */
		s->text[at] = byte;
		break;
	case 3: /* one bit */
		s->text[at] = (char)(s->text[at] ^ (1 << chance_between(chance, 0, 7)));
		break;
	default: /* cut short */
		s->length = at;
		break;
	}
}

static void run_with_changes(const struct target *t, const struct strbuf *input)
{
	struct chance chance = { .state = 1 };
	struct strbuf changed;

	run(t, input);
	strbuf_init(&changed);
	for (int i = 0; i < CHANGES; i++) {
		strbuf_clear(&changed);
		strbuf_add(&changed, input->text, input->length);
		for (int64_t n = chance_between(&chance, 1, EDITS_MAX); n > 0; n--)
			edit(&changed, &chance);
		run(t, &changed);
	}
	strbuf_release(&changed);
}

static void read_file(const char *path, struct strbuf *out)
{
	FILE *file = fopen(path, "rb");
	char bytes[4096];
	size_t n;

	ck_assert_msg(file != NULL, "%s cannot be read", path);
	strbuf_clear(out);
	while ((n = fread(bytes, 1, sizeof(bytes), file)) > 0)
		strbuf_add(out, bytes, n);
	fclose(file);
}

START_TEST(a_target_stands_its_corpus_and_changes_of_it)
{
	const struct target *t = &targets[_i];
	const char *source = getenv("srcdir");
	char folder[3000], path[4000];
	struct strbuf input;
	struct dirent *entry;
	int n = 0;
	DIR *dir;

	snprintf(folder, sizeof(folder), "%s/tests/fuzz/corpus/%s", source ? source : ".", t->name);
	dir = opendir(folder);
	ck_assert_msg(dir != NULL, "%s cannot be read: run by make check, or set srcdir", folder);
	strbuf_init(&input);
	running = &input;
	running_name = path;
	signal(SIGABRT, say_what_ran);
	signal(SIGSEGV, say_what_ran);
	while ((entry = readdir(dir)) != NULL) {
		if (entry->d_name[0] == '.')
			continue;
		snprintf(path, sizeof(path), "%s/%s", folder, entry->d_name);
		read_file(path, &input);
		run_with_changes(t, &input);
		n++;
	}
	closedir(dir);
	strbuf_release(&input);
	ck_assert_msg(n >= 5, "%s has only %d inputs", folder, n);
}
END_TEST

static Suite *fuzz_suite(void)
{
	Suite *s = suite_create("fuzz");
	TCase *tc = tcase_create("replay");

	suite_add_tcase(s, tc);
	tcase_set_timeout(tc, 120);
	tcase_add_loop_test(tc, a_target_stands_its_corpus_and_changes_of_it, 0,
			    sizeof(targets) / sizeof(targets[0]));
	return s;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		fuzz_suite,
		NULL,
	};

	return run_suites(suites);
}
