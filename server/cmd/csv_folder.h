/* A folder of CSV files in memory, and an import of such a set into a file. */
#ifndef WEIRBOOK_CMD_CSV_FOLDER_H
#define WEIRBOOK_CMD_CSV_FOLDER_H

#include "book/import.h"

struct csv_folder {
	struct import_file *files; /* texts are mapped, not copied */
	size_t n;
};

/* Maps every *.csv of the folder, by name.  ERR_INPUT no_folder, no_files. */
enum err_code csv_folder_open(const char *path, struct arena *arena, struct csv_folder *out,
			      struct err *err);
void csv_folder_close(struct csv_folder *folder);

/* Opens the record at path (made when missing), imports, commits, and works out what rests on it. */
enum err_code import_into(const char *path, const struct import_file *files, size_t n,
			  const struct import_options *options, struct arena *arena,
			  struct import_result *result, struct err *err);

#endif
