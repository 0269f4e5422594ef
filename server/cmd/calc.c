/* weirbook calc NAME input=value...: one calculator from the command line; without a name the list. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "book/calculator.h"
#include "cmd/commands.h"
#include "cmd/db_file.h"

/* How many significant digits a person reads. */
enum { DIGITS = 6 };

static void list(void)
{
	for (size_t i = 0; calculators[i]; i++)
		printf("%-20s %s\n", calculators[i]->name, calculators[i]->summary);
}

/* The value of "name=value" among the operands. */
static const char *get(const char *name, void *with)
{
	const struct arguments *args = with;
	const size_t n = strlen(name);

	for (size_t i = 1; i < args->n_operands; i++)
		if (strncmp(args->operands[i], name, n) == 0 && args->operands[i][n] == '=')
			return args->operands[i] + n + 1;
	return NULL;
}

static bool is_input(const struct calculator *c, const char *operand)
{
	const size_t n = strcspn(operand, "=");

	for (size_t i = 0; operand[n] && i < c->n_inputs; i++)
		if (strlen(c->inputs[i].name) == n && strncmp(c->inputs[i].name, operand, n) == 0)
			return true;
	return false;
}

/* One line that says what to do. */
static int usage(const struct calculator *c, const char *wrong)
{
	fprintf(stderr, "weirbook: calc %s takes no %s; its inputs are", c->name, wrong);
	for (size_t i = 0; i < c->n_inputs; i++)
		fprintf(stderr, "%s %s=", i ? "," : "", c->inputs[i].name);
	fputs("\n", stderr);
	return EXIT_ARGUMENTS;
}

static void print(const struct calculator *c, const struct calc_values *out)
{
	for (size_t i = 0; i < c->n_outputs; i++) {
		const struct calc_field *f = &c->outputs[i];

		printf("%s ", f->name);
		if (f->kind == CALC_TEXT)
			printf("%s\n", out->text[i] ? out->text[i] : "-");
		else if (isnan(out->number[i]))
			puts("-");
		else
			printf("%.*g%s%s\n", DIGITS, out->number[i], f->unit ? " " : "",
			       f->unit ? f->unit : "");
	}
	if (c->caution)
		printf("Caution: %s\n", c->caution);
}

/* Opens the record for a calculator that reads it. */
static enum err_code open_book(const struct arguments *args, struct arena *arena,
			       struct store **store, struct book **book, struct err *err)
{
	const char *path = db_file(args, "weirbook.db", arena, err);
	enum err_code rc = path ? store_open(path, STORE_READ, store, err) : err->code;

	return rc ? rc : book_open(*store, book, err);
}

static int calculate(const struct arguments *args, const struct calculator *c)
{
	const struct calc_inputs given = { .get = get, .with = (void *)args };
	struct calc_values in, out;
	struct store *store = NULL;
	struct book *book = NULL;
	struct arena arena;
	struct err err;
	enum err_code rc = ERR_NONE;

	arena_init(&arena);
	err_clear(&err);
	if (c->reads_record)
		rc = open_book(args, &arena, &store, &book, &err);
	if (!rc)
		rc = calculator_run(c, book, &given, &in, &out, &arena, &err);
	if (!rc)
		print(c, &out);
	book_close(book);
	store_close(store);
	arena_release(&arena);
	return rc ? command_failed(&err) : EXIT_FINE;
}

static int run(const struct arguments *args)
{
	const struct calculator *c;

	if (args->n_operands == 0) {
		list();
		return EXIT_FINE;
	}
	c = calculator_find(args->operands[0]);
	if (!c) {
		fprintf(stderr, "weirbook: there is no calculator %s; weirbook calc lists them\n",
			args->operands[0]);
		return EXIT_ARGUMENTS;
	}
	for (size_t i = 1; i < args->n_operands; i++)
		if (!is_input(c, args->operands[i]))
			return usage(c, args->operands[i]);
	return calculate(args, c);
}

static const enum setting takes[] = { SETTING_DB, SETTING__MAX };

const struct command command_calc = { .name = "calc",
				      .operands = "[NAME [INPUT=VALUE]...]",
				      .most = 1 + CALC_FIELDS_MAX,
				      .summary = "works one calculator; lists them without a name",
				      .takes = takes,
				      .run = run };
