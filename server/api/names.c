/* The dictionary's own words: see names.h. */
#include "api/names.h"

const char *kind_class_name(enum kind_class class)
{
	static const char *const names[] = {
		[CLASS_SET_UP] = "set_up",
		[CLASS_LOT] = "lot",
		[CLASS_ENTRY] = "entry",
		[CLASS_SYSTEM] = "system",
	};

	return names[class];
}

const char *field_kind_name(enum field_kind kind)
{
	static const char *const names[KIND__MAX] = {
		[KIND_TEXT] = "text",       [KIND_CODE] = "code",
		[KIND_NAME] = "name",       [KIND_INTEGER] = "integer",
		[KIND_REAL] = "real",       [KIND_BOOL] = "bool",
		[KIND_CHOICE] = "choice",   [KIND_WORDS] = "words",
		[KIND_NUMBERS] = "numbers", [KIND_CLOCKS] = "clocks",
		[KIND_CLOCK] = "clock",     [KIND_DAY] = "day",
		[KIND_TIME] = "time",       [KIND_REFERENCE] = "reference",
		[KIND_UUID] = "uuid",
	};

	return names[kind];
}

const char *field_of_column(const struct kind *k, const char *column)
{
	const size_t i = kind_column_index(k, column);

	return i == SIZE_MAX ? NULL : kind_field(k, i)->name;
}

bool kind_is_written(const struct kind *k)
{
	return k->class != CLASS_SYSTEM;
}
