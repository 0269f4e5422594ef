/* weirbook import DIR: exchange CSV files into the record, all or nothing. */
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "book/import.h"
#include "cmd/commands.h"
#include "cmd/csv_folder.h"
#include "cmd/db_file.h"

static void print_errors(const struct import_result *r)
{
	for (size_t i = 0; i < r->n_errors; i++) {
		const struct import_error *e = &r->errors[i];
		fprintf(stderr, "%s:%zu: %s%s%s\n", e->file, e->line, e->item.field,
			e->item.field[0] ? ": " : "", e->item.message);
	}
	if (r->n_faults > r->n_errors)
		fprintf(stderr, "... and %zu more\n", r->n_faults - r->n_errors);
}

static void print_counts(const struct import_result *r, bool dry_run)
{
	int64_t added = 0, same = 0;

	for (size_t i = 0; kinds[i]; i++) {
		if (r->counts[i].added + r->counts[i].same == 0)
			continue;
		printf("%-16s %8lld new %8lld already there\n", kinds[i]->name,
		       (long long)r->counts[i].added, (long long)r->counts[i].same);
		added += r->counts[i].added;
		same += r->counts[i].same;
	}
	printf("%s%lld new, %lld already there, %lld to look at\n",
	       dry_run ? "dry run, nothing kept: " : "", (long long)added, (long long)same,
	       (long long)r->looks);
}

/* ',' unless told; "\t" is a tab. */
static char separator_of(const struct arguments *args)
{
	const char *given = args->given[SETTING_SEPARATOR];

	if (!given)
		return ',';
	return strcmp(given, "\\t") == 0 || strcmp(given, "tab") == 0 ? '\t' : given[0];
}

static enum err_code check_options(const struct import_options *o, struct err *err)
{
	if (o->separator != ',' && o->separator != ';' && o->separator != '\t')
		return err_set(err, ERR_INPUT, "", "bad_separator",
			       "--separator takes , or ; or tab.");
	if (o->decimal != '.' && o->decimal != ',')
		return err_set(err, ERR_INPUT, "", "bad_decimal", "--decimal takes . or ,");
	if (o->separator == o->decimal)
		return err_set(err, ERR_INPUT, "", "bad_separator",
			       "The separator and the decimal sign cannot both be a comma.");
	return ERR_NONE;
}

static int run(const struct arguments *args)
{
	const char *decimal = args->given[SETTING_DECIMAL];
	const struct import_options options = { .dry_run = args->given[SETTING_DRY_RUN] != NULL,
						.separator = separator_of(args),
						.decimal = decimal ? decimal[0] : '.',
						.now = (int64_t)time(NULL) };
	struct csv_folder folder = { 0 };
	struct import_result result = { 0 };
	struct arena arena;
	struct err err;
	int lock = -1;
	const char *path;

	arena_init(&arena);
	err_clear(&err);
	enum err_code rc = check_options(&options, &err);
	path = rc ? NULL : db_file(args, "weirbook.db", &arena, &err);
	if (!rc && !path)
		rc = err.code;
	if (!rc)
		rc = db_make_folder(path, &arena, &err);
	if (!rc && (lock = db_lock(path, &arena, &err)) < 0)
		rc = err.code;
	if (!rc)
		rc = csv_folder_open(args->operands[0], &arena, &folder, &err);
	if (!rc)
		rc = import_into(path, folder.files, folder.n, &options, &arena, &result, &err);
	print_errors(&result);
	if (!rc)
		print_counts(&result, options.dry_run);
	csv_folder_close(&folder);
	db_unlock(lock);
	const int status = rc ? command_failed(&err) : EXIT_FINE;
	arena_release(&arena);
	return status;
}

static const enum setting takes[] = { SETTING_DB, SETTING_DRY_RUN, SETTING_SEPARATOR,
				      SETTING_DECIMAL, SETTING__MAX };

const struct command command_import = { .name = "import",
					.operands = "DIR",
					.least = 1,
					.most = 1,
					.summary = "takes the exchange CSV files of a folder into "
						   "the record, all or nothing",
					.takes = takes,
					.run = run };
