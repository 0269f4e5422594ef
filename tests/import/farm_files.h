/* A farm in memory that takes folders of CSV files from fixtures/. */
#ifndef WEIRBOOK_TESTS_FARM_FILES_H
#define WEIRBOOK_TESTS_FARM_FILES_H

#include <stdbool.h>

#include "book/import.h"

struct farm {
	struct store *store;
	struct book *book;
	struct arena arena;
	struct err err; /* of the last import */
	struct import_options options;
	struct import_result result;
};

/* An empty farm; a transaction is open.  options: '.' and ',', the clock at now. */
void farm_open(struct farm *f, const char *now);
void farm_close(struct farm *f);

/* Imports all CSV files of a folder below fixtures/. */
enum err_code farm_import(struct farm *f, const char *folder);
/* The same; fails the test with the first faults when it is refused. */
void farm_must_import(struct farm *f, const char *folder);
/* Imports one file given as text. */
enum err_code farm_import_text(struct farm *f, const char *name, const char *text);

/* Rows of a kind that stand. */
int farm_rows(struct farm *f, const char *kind);

/* The path of a file below fixtures/, and its text ("" when there is none).  Owned by the arena. */
const char *fixture_path(struct arena *arena, const char *name);
const char *fixture_text(struct arena *arena, const char *name);

/* The errors of the last import: "file line column code\n" each, column "-" where there is none. */
const char *farm_errors(struct farm *f);

#endif
