/* See rule_farm.h. */
#include "support/rule_farm.h"

#include <check.h>
#include <string.h>

#include "book/rules.h"

void rule_farm_open(void)
{
	mini_farm_open(&own_farm);
}

void rule_farm_close(void)
{
	mini_farm_close(&own_farm);
}

void ck_refused(const struct record *r, const char *code)
{
	ck_assert_int_eq(mini_create(&own_farm, r, NULL), ERR_INPUT);
	ck_assert_msg(err_has(&own_farm.err, code), "not %s but %s", code,
		      own_farm.err.items[0].code);
}

void ck_asked(const struct record *r, const char *code)
{
	ck_assert_int_eq(mini_create(&own_farm, r, NULL), ERR_CONFLICT);
	ck_assert_msg(err_has(&own_farm.err, code), "not %s but %s", code,
		      own_farm.err.items[0].code);
}

const char *arg(const char *name)
{
	for (size_t i = 0; i < own_farm.err.items[0].n_args; i++)
		if (strcmp(own_farm.err.items[0].args[i].name, name) == 0)
			return own_farm.err.items[0].args[i].text;
	return "(no such argument)";
}

struct record *confirmed(const struct record *r)
{
	own_farm.hand.confirm = true;

	struct record *kept = mini_keep(&own_farm, r);

	own_farm.hand.confirm = false;
	return kept;
}

struct record *arriving(enum arrival arrival, const struct record *r)
{
	own_farm.hand.arrival = arrival;

	struct record *kept = mini_keep(&own_farm, r);

	own_farm.hand.arrival = ARRIVES_ON_SCREEN;
	return kept;
}

bool looks(const struct record *r, const char *code)
{
	return record_has(r, "look") && strcmp(record_text(r, "look"), code) == 0;
}
