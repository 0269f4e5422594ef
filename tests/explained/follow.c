/* Opens the lists that explain a figure, as a screen does: see explained_tests.h. */
#include "api/api_tests.h"
#include "explained_tests.h"

#include <stdio.h>
#include <string.h>

static json_t *lists, *rows; /* by address; by "kind/id" */

static int digit(char c)
{
	return c >= 'a' ? c - 'a' + 10 : c >= 'A' ? c - 'A' + 10 : c - '0';
}

/* ask() takes a target that is decoded already. */
static void decode(const char *address, char *out, size_t size)
{
	size_t n = 0;

	for (const char *p = address; *p && n + 1 < size; p++) {
		if (*p == '%' && p[1] && p[2]) {
			out[n++] = (char)(digit(p[1]) * 16 + digit(p[2]));
			p += 2;
		} else {
			out[n++] = *p;
		}
	}
	out[n] = '\0';
}

static bool add_page(const char *address, const char *after, json_t *all, char next[64])
{
	static char target[32768], decoded[32768];

	snprintf(target, sizeof(target), "%s%climit=1000%s%s", address,
		 strchr(address, '?') ? '&' : '?', *after ? "&after=" : "", after);
	decode(target, decoded, sizeof(decoded));

	const struct answer a = get(decoded);
	const json_t *items = json_object_get(a.json, "items");
	const char *more = json_string_value(json_object_get(a.json, "next"));

	if (a.status != 200)
		fprintf(stderr, "%s: %d %s\n", address, a.status, a.body);
	else
		json_array_extend(all, (json_t *)items);
	snprintf(next, 64, "%s", more ? more : "");
	return a.status == 200;
}

/* "/api/crop-lots/12" is one entry, "/api/crop-lots?..." a list. */
static json_t *open_list(const char *address)
{
	json_t *all = json_array();
	char after[64] = "", next[64];
	bool good;

	if (!strchr(address, '?') && strchr(address + strlen("/api/"), '/')) {
		const struct answer a = get(address);

		if (a.status == 200)
			json_array_append(all, a.json);
		return a.status == 200 ? all : (json_decref(all), NULL);
	}
	do {
		good = add_page(address, after, all, next);
		snprintf(after, sizeof(after), "%s", next);
	} while (good && *after);
	return good ? all : (json_decref(all), NULL);
}

const json_t *entries_at(const char *address)
{
	json_t *known;

	if (!lists)
		lists = json_object();
	known = json_object_get(lists, address);
	if (!known) {
		known = open_list(address);
		json_object_set_new(lists, address, known ? known : json_null());
	}
	return json_is_array(known) ? known : NULL;
}

const json_t *row_of_kind(const char *kind, json_int_t id)
{
	char target[96];
	json_t *known;

	if (!rows)
		rows = json_object();
	snprintf(target, sizeof(target), "/api/%s/%lld", kind, (long long)id);
	known = json_object_get(rows, target);
	if (!known) {
		const struct answer a = get(target);

		ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
		known = a.json;
		json_object_set(rows, target, known);
	}
	return known;
}

void forget_lists(void)
{
	json_decref(lists);
	lists = NULL;
	forget_answers();
}

void forget_rows(void)
{
	json_decref(rows);
	rows = NULL;
}
