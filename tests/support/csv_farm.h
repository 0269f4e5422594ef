/* A farm in memory, imported from a folder of fixtures. */
#ifndef WEIRBOOK_TESTS_CSV_FARM_H
#define WEIRBOOK_TESTS_CSV_FARM_H

#include "book/book.h"
#include "book/import.h"

struct csv_farm {
	struct store *store;
	struct book *book;
	struct arena arena;
};

/* An empty farm in memory. */
void csv_farm_new(struct csv_farm *f);
/* Imports fixtures/FOLDER into it, but for what lies after now; fails the test, and says why, when it is refused. */
void csv_farm_import(struct csv_farm *f, const char *folder, int64_t now);
/* An empty farm with fixtures/FOLDER in it. */
void csv_farm_open(struct csv_farm *f, const char *folder, int64_t now);
void csv_farm_close(struct csv_farm *f);

/* The path of a file below fixtures/, wherever the tests run. */
const char *fixture_path(struct arena *arena, const char *name);

#endif
