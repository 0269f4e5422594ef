/* Zones from TZif files (RFC 8536, version 2 and later), local time and the farm's day: see zone.h.
 * Leap-second files ("right/") are refused: instants are Unix seconds. */
#include "base/zone.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/zone_rule.h"

/* Files say "always" by about -2^59; anything further could not be added to. */
#define CHANGE_MAX (INT64_C(1) << 60)

enum {
	HEADER_SIZE = 44,
	TYPE_SIZE = 6,
	FILE_MAX = 1 << 20,
	NAME_MAX_LENGTH = 64,
	OFFSET_LEAST_S = -89999, /* RFC 8536 section 3.2: utoff should lie between these */
	OFFSET_MOST_S = 93599,
	WINDOW_S = 30 * 3600 /* more than any offset: all that shares a local time lies within */
};

static const char zone_folder[] = "/usr/share/zoneinfo";

struct change {
	int64_t at;
	int offset_s; /* from at on */
};

struct zone {
	char name[NAME_MAX_LENGTH + 1];
	int first_offset_s; /* before the first change */
	size_t n_changes;
	struct change *changes; /* owned, ascending */
	bool has_rule;          /* after the last change */
	struct zone_rule rule;
};

struct counts {
	uint64_t ut, standard, leap, time, type, characters;
};

static uint64_t big_endian(const uint8_t *p, size_t n)
{
	uint64_t value = 0;

	for (size_t i = 0; i < n; i++)
		value = value << 8 | p[i];
	return value;
}

static bool read_header(const uint8_t *p, size_t n, struct counts *out)
{
	if (n < HEADER_SIZE || memcmp(p, "TZif", 4) != 0 || p[4] < '2')
		return false;
	*out = (struct counts){
		.ut = big_endian(p + 20, 4),
		.standard = big_endian(p + 24, 4),
		.leap = big_endian(p + 28, 4),
		.time = big_endian(p + 32, 4),
		.type = big_endian(p + 36, 4),
		.characters = big_endian(p + 40, 4),
	};
	return true;
}

/* Bytes of the data block that follows a header, with times of this size. */
static uint64_t block_size(const struct counts *c, uint64_t time_size)
{
	return c->time * (time_size + 1) + c->type * TYPE_SIZE + c->characters +
	       c->leap * (time_size + 4) + c->standard + c->ut;
}

/* The offset of local time type i, or false when it lies outside of what RFC 8536 allows. */
static bool type_offset(const uint8_t *types, uint64_t i, int *out)
{
	int32_t offset_s = (int32_t)(uint32_t)big_endian(types + i * TYPE_SIZE, 4);

	*out = offset_s;
	return offset_s >= OFFSET_LEAST_S && offset_s <= OFFSET_MOST_S;
}

static bool read_changes(struct zone *z, const uint8_t *block, const struct counts *c)
{
	const uint8_t *indexes = block + c->time * 8;
	const uint8_t *types = indexes + c->time;

	if (c->type == 0 || c->type > 256 || c->leap > 0 ||
	    !type_offset(types, 0, &z->first_offset_s))
		return false;
	z->n_changes = (size_t)c->time;
	z->changes = xmalloc(z->n_changes * sizeof(z->changes[0]));
	for (size_t i = 0; i < z->n_changes; i++) {
		struct change *change = &z->changes[i];

		change->at = (int64_t)big_endian(block + i * 8, 8);
		if (change->at < -CHANGE_MAX || change->at > CHANGE_MAX || indexes[i] >= c->type ||
		    !type_offset(types, indexes[i], &change->offset_s) ||
		    (i > 0 && change->at <= z->changes[i - 1].at))
			return false;
	}
	return true;
}

/* "\nTZ text\n"; an empty text means that nothing is known of later times. */
static bool read_footer(struct zone *z, const uint8_t *p, size_t n)
{
	const uint8_t *end = n > 0 ? memchr(p + 1, '\n', n - 1) : NULL;

	if (!end || p[0] != '\n')
		return false;
	if (end == p + 1)
		return true;
	z->has_rule = true;
	return zone_rule_read((const char *)p + 1, (size_t)(end - p - 1), &z->rule);
}

static bool read_file(struct zone *z, const uint8_t *p, size_t n)
{
	struct counts c;

	if (!read_header(p, n, &c) || block_size(&c, 4) > n - HEADER_SIZE)
		return false;

	size_t skip = HEADER_SIZE + (size_t)block_size(&c, 4);

	p += skip;
	n -= skip;
	if (!read_header(p, n, &c) || block_size(&c, 8) > n - HEADER_SIZE)
		return false;
	p += HEADER_SIZE;
	n -= HEADER_SIZE;

	size_t size = (size_t)block_size(&c, 8);

	return read_changes(z, p, &c) && read_footer(z, p + size, n - size);
}

/* Letters, digits, _ + - and / between parts: no dot, so that no name leads out of the folder. */
static bool name_is_plain(const char *name)
{
	size_t n = strnlen(name, NAME_MAX_LENGTH + 1);

	return n > 0 && n <= NAME_MAX_LENGTH && name[0] != '/' &&
	       strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_+-/") ==
		       n;
}

static enum err_code not_a_zone(const char *name, struct err *err)
{
	err_set(err, ERR_INPUT, "time_zone", "not_a_time_zone",
		"\"%.64s\" is not a time zone this computer knows: give an IANA name such as "
		"Europe/Berlin.",
		name);
	return ERR_INPUT;
}

enum err_code zone_from_bytes(const char *name, const void *bytes, size_t n, struct zone **out,
			      struct err *err)
{
	if (!name_is_plain(name))
		return not_a_zone(name, err);

	struct zone *z = xmalloc(sizeof(*z));

	memset(z, 0, sizeof(*z));
	memcpy(z->name, name, strlen(name));
	if (!read_file(z, bytes, n)) {
		zone_free(z);
		return not_a_zone(name, err);
	}
	*out = z;
	return ERR_NONE;
}

static struct zone *utc(void)
{
	struct zone *z = xmalloc(sizeof(*z));

	memset(z, 0, sizeof(*z));
	memcpy(z->name, "UTC", 4);
	return z;
}

enum err_code zone_load(const char *name, struct zone **out, struct err *err)
{
	char path[sizeof(zone_folder) + 1 + NAME_MAX_LENGTH];
	enum err_code rc;
	uint8_t *bytes;
	FILE *file;
	size_t n;

	if (strcmp(name, "UTC") == 0) {
		*out = utc();
		return ERR_NONE;
	}
	if (!name_is_plain(name))
		return not_a_zone(name, err);
	snprintf(path, sizeof(path), "%s/%s", zone_folder, name);
	file = fopen(path, "rb");
	if (!file)
		return not_a_zone(name, err);
	bytes = xmalloc(FILE_MAX);
	n = fread(bytes, 1, FILE_MAX, file); /* a folder reads as 0 bytes */
	rc = zone_from_bytes(name, bytes, n, out, err);
	free(bytes);
	fclose(file);
	return rc;
}

void zone_free(struct zone *z)
{
	if (!z)
		return;
	free(z->changes);
	free(z);
}

const char *zone_name(const struct zone *z)
{
	return z->name;
}

/* How many changes lie at or before this instant. */
static size_t changes_until(const struct zone *z, int64_t at)
{
	size_t low = 0, high = z->n_changes;

	while (low < high) {
		size_t middle = low + (high - low) / 2;

		if (z->changes[middle].at <= at)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

int zone_offset_s(const struct zone *z, int64_t at)
{
	size_t n = changes_until(z, at);

	if (n == z->n_changes && z->has_rule)
		return zone_rule_offset_s(&z->rule, at);
	return n > 0 ? z->changes[n - 1].offset_s : z->first_offset_s;
}

static bool next_change(const struct zone *z, int64_t at, int64_t *out)
{
	size_t n = changes_until(z, at);

	if (n < z->n_changes) {
		*out = z->changes[n].at;
		return true;
	}
	return z->has_rule && zone_rule_next_change(&z->rule, at, out);
}

static int64_t local_seconds(const struct civil *c)
{
	return day_from_civil(c->year, c->month, c->day) * DAY_SECONDS + c->hour * 3600 +
	       c->minute * 60 + c->second;
}

/* Goes through the stretches of one offset each around the local time, and keeps what shows it. */
enum local_time zone_to_utc(const struct zone *z, const struct civil *local, int64_t *at,
			    int64_t *later)
{
	const int64_t wanted = local_seconds(local);
	int64_t from = wanted - WINDOW_S;
	int64_t match[2], jump = wanted, end;
	size_t n = 0;
	bool jumped = false, more;

	do {
		int offset_s = zone_offset_s(z, from);
		int64_t candidate = wanted - offset_s;

		more = next_change(z, from, &end);
		if (candidate >= from && (!more || candidate < end) && n < 2)
			match[n++] = candidate;
		if (more) {
			if (!jumped && end + offset_s <= wanted &&
			    wanted < end + zone_offset_s(z, end)) {
				jump = end;
				jumped = true;
			}
			from = end;
		}
	} while (more && from <= wanted + WINDOW_S);
	if (later)
		*later = n == 2 ? match[1] : n == 1 ? match[0] : jump;
	*at = n > 0 ? match[0] : jump;
	return n == 2 ? LOCAL_REPEATED : n == 1 ? LOCAL_ONE : LOCAL_SKIPPED;
}

void zone_to_local(const struct zone *z, int64_t at, struct civil *out)
{
	int64_t local = at + zone_offset_s(z, at);
	int64_t day = day_of_instant(local);
	int rest = (int)(local - day * DAY_SECONDS);

	day_to_civil(day, out);
	out->hour = rest / 3600;
	out->minute = rest / 60 % 60;
	out->second = rest % 60;
}

int64_t farm_day_start(const struct zone *z, int day_begins_hour, int64_t day)
{
	struct civil c;
	int64_t at;

	day_to_civil(day, &c);
	c.hour = day_begins_hour;
	zone_to_utc(z, &c, &at, NULL);
	return at;
}

int64_t farm_day(const struct zone *z, int day_begins_hour, int64_t at)
{
	struct civil c;
	int64_t day;

	zone_to_local(z, at, &c);
	day = day_from_civil(c.year, c.month, c.day);
	while (at < farm_day_start(z, day_begins_hour, day))
		day--;
	while (at >= farm_day_start(z, day_begins_hour, day + 1))
		day++;
	return day;
}
