/* See openapi_schema.h. */
#include "api/openapi_schema.h"

#include <stdio.h>

void openapi_ref(struct json_out *j, const char *prefix, const char *name)
{
	char text[160];

	snprintf(text, sizeof(text), "#/components/schemas/%s%s", prefix, name);
	json_out_open(j, '{');
	json_out_name_text(j, "$ref", text);
	json_out_close(j, '}');
}

/* JSON Schema's type and format of each kind of field. */
static const struct {
	const char *type, *format, *items;
} shapes[KIND__MAX] = {
	[KIND_TEXT] = { .type = "string" },
	[KIND_CODE] = { .type = "string" },
	[KIND_NAME] = { .type = "string" },
	[KIND_INTEGER] = { .type = "integer" },
	[KIND_REAL] = { .type = "number" },
	[KIND_BOOL] = { .type = "boolean" },
	[KIND_CHOICE] = { .type = "string" },
	[KIND_WORDS] = { .type = "array", .items = "string" },
	[KIND_NUMBERS] = { .type = "array", .items = "number" },
	[KIND_CLOCKS] = { .type = "array", .items = "string" },
	[KIND_CLOCK] = { .type = "string" },
	[KIND_DAY] = { .type = "string", .format = "date" },
	[KIND_TIME] = { .type = "string", .format = "date-time" },
	[KIND_REFERENCE] = { .type = "integer" },
	[KIND_UUID] = { .type = "string", .format = "uuid" },
};

static void words(struct json_out *j, const char *const *list)
{
	json_out_name_open(j, "enum", '[');
	for (; *list; list++)
		json_out_text(j, *list);
	json_out_close(j, ']');
}

static void bounds(struct json_out *j, const struct field *f)
{
	if (!f->has_range)
		return;
	json_out_name(j, "minimum");
	json_out_real(j, f->lo);
	json_out_name(j, "maximum");
	json_out_real(j, f->hi);
}

static void list_items(struct json_out *j, const struct field *f)
{
	json_out_name_open(j, "items", '{');
	json_out_name_text(j, "type", shapes[f->kind].items);
	if (f->kind == KIND_NUMBERS)
		bounds(j, f);
	if (f->words)
		words(j, f->words);
	json_out_close(j, '}');
}

static void describe_field(struct json_out *j, const struct field *f)
{
	char text[160];

	if (f->refers_to)
		snprintf(text, sizeof(text), "id of a row of %s; a key is taken too", f->refers_to);
	else if (f->unit)
		snprintf(text, sizeof(text), "%s", f->unit);
	else if (f->kind == KIND_CODE)
		snprintf(text, sizeof(text), "unique over all kinds");
	else
		return;
	json_out_name_text(j, "description", text);
}

static void field_schema(struct json_out *j, const struct field *f, bool may_be_null)
{
	json_out_open(j, '{');
	if (may_be_null) {
		json_out_name_open(j, "type", '[');
		json_out_text(j, shapes[f->kind].type);
		json_out_text(j, "null");
		json_out_close(j, ']');
	} else if (f->refers_to) {
		json_out_name_open(j, "type", '[');
		json_out_text(j, "integer");
		json_out_text(j, "string");
		json_out_close(j, ']');
	} else {
		json_out_name_text(j, "type", shapes[f->kind].type);
	}
	if (shapes[f->kind].format)
		json_out_name_text(j, "format", shapes[f->kind].format);
	if (shapes[f->kind].items)
		list_items(j, f);
	else if (f->words && !may_be_null)
		words(j, f->words);
	if (f->kind != KIND_NUMBERS)
		bounds(j, f);
	if (f->server_set) {
		json_out_name(j, "readOnly");
		json_out_bool(j, true);
	}
	describe_field(j, f);
	json_out_close(j, '}');
}

static void own_members(struct json_out *j)
{
	static const struct field own[] = {
		{ .name = "id", .kind = KIND_INTEGER, .server_set = true },
		{ .name = "key", .kind = KIND_UUID },
		{ .name = "version", .kind = KIND_INTEGER, .server_set = true },
	};

	for (size_t i = 0; i < sizeof(own) / sizeof(own[0]); i++) {
		json_out_name(j, own[i].name);
		field_schema(j, &own[i], false);
	}
}

static void kind_schema(struct json_out *j, const struct kind *k)
{
	const size_t n = kind_field_count(k);
	bool any = false;

	json_out_name_open(j, k->name, '{');
	json_out_name_text(j, "type", "object");
	json_out_name_open(j, "properties", '{');
	own_members(j);
	for (size_t i = 0; i < n; i++) {
		json_out_name(j, kind_field(k, i)->name);
		field_schema(j, kind_field(k, i), false);
		any = any || kind_field(k, i)->required;
	}
	json_out_close(j, '}');
	if (any) {
		json_out_name_open(j, "required", '[');
		for (size_t i = 0; i < n; i++)
			if (kind_field(k, i)->required)
				json_out_text(j, kind_field(k, i)->name);
		json_out_close(j, ']');
	}
	json_out_close(j, '}');
}

static void report_schema(struct json_out *j, const struct report *r)
{
	char name[96];

	snprintf(name, sizeof(name), "report-%s", r->name);
	json_out_name_open(j, name, '{');
	json_out_name_text(j, "type", "object");
	json_out_name_text(j, "description", "One row. A figure that is not known is null.");
	json_out_name_open(j, "properties", '{');
	for (size_t i = 0; i < r->n_columns; i++) {
		json_out_name(j, r->columns[i].name);
		field_schema(j, &r->columns[i], true);
	}
	json_out_close(j, '}');
	json_out_close(j, '}');
}

/* Fixed schemas, of what is no kind. */
static const char problem_schema[] =
	"{\"type\":\"object\",\"description\":\"RFC 9457 problem details\",\"properties\":{"
	"\"type\":{\"type\":\"string\"},\"title\":{\"type\":\"string\"},"
	"\"status\":{\"type\":\"integer\"},\"detail\":{\"type\":\"string\"},"
	"\"errors\":{\"type\":\"array\",\"items\":{\"type\":\"object\",\"properties\":{"
	"\"field\":{\"type\":\"string\"},\"code\":{\"type\":\"string\"},"
	"\"message\":{\"type\":\"string\"},\"args\":{\"type\":\"object\","
	"\"additionalProperties\":{\"type\":\"string\"}}}}}}}";

void openapi_components(struct json_out *j)
{
	json_out_name_open(j, "components", '{');
	json_out_name_open(j, "schemas", '{');
	for (size_t i = 0; kinds[i]; i++)
		kind_schema(j, kinds[i]);
	for (size_t i = 0; reports[i]; i++)
		report_schema(j, reports[i]);
	json_out_name(j, "problem");
	json_out_raw(j, problem_schema);
	json_out_close(j, '}');
	json_out_close(j, '}');
}
