/* Any text as a day, an instant, a time of day, a number or a key: what is taken reads back the same. */
#include <string.h>

#include "base/arena.h"
#include "base/number.h"
#include "base/uuid.h"
#include "base/zone.h"
#include "fuzz.h"

static void read_calendar(const char *text)
{
	char written[TIME_TEXT_MAX];
	int64_t day, at, again;
	int minutes;

	if (day_read(text, &day)) {
		day_write(written, day);
		fuzz_want(strcmp(written, text) == 0);
	}
	if (time_read(text, &at)) {
		time_write(written, at);
		/* an offset can lead a few hours out of the years that are read */
		fuzz_want(!time_read(written, &again) || again == at);
	}
	if (time_of_day_read(text, &minutes))
		fuzz_want(minutes >= 0 && minutes < 1440);
}

static void read_number(const char *text, char decimal)
{
	char written[NUMBER_TEXT_MAX];
	double real, again;
	int64_t whole;

	if (number_read_real(text, decimal, &real)) {
		fuzz_want(real - real >= 0);
		fuzz_want(number_write_real(written, real) < NUMBER_TEXT_MAX);
		fuzz_want(number_read_real(written, '.', &again));
		fuzz_want(!(again < real) && !(again > real));
	}
	if (number_read_int(text, decimal, &whole))
		fuzz_want(number_read_real(text, decimal, &real) && real <= 9007199254740992.0 &&
			  real >= -9007199254740992.0);
}

static void read_key(const char *text)
{
	struct uuid u, again;
	char written[UUID_TEXT_MAX];

	if (uuid_read(text, &u)) {
		uuid_write(written, &u);
		fuzz_want(uuid_read(written, &again) && uuid_compare(&u, &again) == 0);
	}

	char check = check_character(text);
	char with_check[80];

	if (check && strlen(text) < sizeof(with_check) - 1) {
		snprintf(with_check, sizeof(with_check), "%s%c", text, check);
		fuzz_want(check_character_holds(with_check));
	}
}

FUZZ_TARGET(time)
{
	struct arena arena;
	const char *text;

	arena_init(&arena);
	text = arena_strndup(&arena, (const char *)data, size);
	read_calendar(text);
	read_number(text, '.');
	read_number(text, ',');
	read_key(text);
	arena_release(&arena);
	return 0;
}
