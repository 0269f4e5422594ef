/* A folder of CSV files in memory, and an import of it: see csv_folder.h. */
#include "cmd/csv_folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_csv(const char *name)
{
	const size_t n = strlen(name);

	return n > 4 && strcmp(name + n - 4, ".csv") == 0 && name[0] != '.';
}

static int by_name(const void *a, const void *b)
{
	return strcmp(((const struct import_file *)a)->name, ((const struct import_file *)b)->name);
}

/* Lets go of the pages that were read: a large file need not stay in memory. */
static void let_go(const struct import_file *file, size_t upto)
{
	const size_t page = (size_t)sysconf(_SC_PAGESIZE);

	madvise((void *)(uintptr_t)file->text, upto / page * page, MADV_DONTNEED);
}

static enum err_code map_file(const char *folder, struct import_file *file, struct arena *arena,
			      struct err *err)
{
	const char *path = arena_printf(arena, "%s/%s", folder, file->name);
	struct stat st;
	const int fd = open(path, O_RDONLY | O_CLOEXEC);

	if (fd < 0 || fstat(fd, &st) != 0 || !S_ISREG(st.st_mode)) {
		err_set(err, ERR_INPUT, "", "unreadable", "%.200s cannot be read: %s.", file->name,
			strerror(errno));
		if (fd >= 0)
			close(fd);
		return ERR_INPUT;
	}
	file->length = (size_t)st.st_size;
	file->text = "";
	if (file->length > 0) {
		void *text = mmap(NULL, file->length, PROT_READ, MAP_PRIVATE, fd, 0);
		file->text = text == MAP_FAILED ? NULL : text;
		file->read_upto = let_go;
	}
	close(fd);
	if (!file->text)
		return err_set(err, ERR_UNAVAILABLE, "", "unreadable", "%.200s cannot be mapped.",
			       file->name);
	return ERR_NONE;
}

enum err_code csv_folder_open(const char *path, struct arena *arena, struct csv_folder *out,
			      struct err *err)
{
	DIR *dir = opendir(path);
	size_t room = 0;
	enum err_code rc = ERR_NONE;

	*out = (struct csv_folder){ 0 };
	if (!dir)
		return err_set(err, ERR_INPUT, "", "no_folder",
			       "%.200s is no folder that can be read: give the folder with the CSV "
			       "files.",
			       path);
	for (const struct dirent *e; (e = readdir(dir));) {
		if (!is_csv(e->d_name))
			continue;
		out->files = arena_grow(arena, out->files, out->n, &room, sizeof(*out->files));
		out->files[out->n++] =
			(struct import_file){ .name = arena_strdup(arena, e->d_name) };
	}
	closedir(dir);
	if (out->n == 0)
		return err_set(err, ERR_INPUT, "", "no_files", "%.200s holds no CSV files.", path);
	qsort(out->files, out->n, sizeof(*out->files), by_name);
	for (size_t i = 0; !rc && i < out->n; i++)
		rc = map_file(path, &out->files[i], arena, err);
	return rc;
}

void csv_folder_close(struct csv_folder *folder)
{
	for (size_t i = 0; i < folder->n; i++)
		if (folder->files[i].text && folder->files[i].length > 0)
			munmap((void *)(uintptr_t)folder->files[i].text, folder->files[i].length);
	folder->n = 0;
}

static enum err_code import_in_transaction(struct book *b, const struct import_file *files,
					   size_t n, const struct import_options *options,
					   struct arena *arena, struct import_result *result,
					   struct err *err)
{
	enum err_code rc = store_begin(book_store(b), err);

	if (rc)
		return rc;
	rc = book_import(b, files, n, options, arena, result, err);
	if (!rc && !options->dry_run)
		return store_commit(book_store(b), err);
	store_rollback(book_store(b));
	return rc;
}

enum err_code import_into(const char *path, const struct import_file *files, size_t n,
			  const struct import_options *options, struct arena *arena,
			  struct import_result *result, struct err *err)
{
	struct store *store = NULL;
	struct book *book = NULL;
	enum err_code rc = store_open(path, STORE_WRITE, &store, err);

	if (!rc)
		rc = book_open(store, &book, err);
	if (!rc)
		rc = import_in_transaction(book, files, n, options, arena, result, err);
	if (!rc && !options->dry_run)
		while (book_settle(book))
			;
	book_close(book);
	if (store && !rc)
		store_checkpoint(store);
	store_close(store);
	return rc;
}
