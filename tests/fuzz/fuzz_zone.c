/* Any bytes as a TZif file: what is taken answers for every instant, and local times lead back. */
#include "base/zone.h"
#include "fuzz.h"

static void want_way_back(const struct zone *z, int64_t at)
{
	struct civil local;
	int64_t first, later;

	zone_to_local(z, at, &local);
	fuzz_want(local.month >= 1 && local.month <= 12 && local.day >= 1 && local.day <= 31);
	fuzz_want(zone_to_utc(z, &local, &first, &later) != LOCAL_SKIPPED);
	fuzz_want(first <= at && first <= later);
}

FUZZ_TARGET(zone)
{
	/* 1890, 1970, 2011, 2026, 2100 and the years 3000 and 12000 */
	static const int64_t instants[] = { INT64_C(-2524521600), 0,
					    INT64_C(1325239200),  INT64_C(1774746000),
					    INT64_C(4102444800),  INT64_C(32503680000),
					    INT64_C(316516636800) };
	struct zone *z = NULL;
	enum err_code rc = zone_from_bytes("Our/Own", data, size, &z, NULL);

	fuzz_want(rc == ERR_NONE || rc == ERR_INPUT);
	fuzz_want((rc == ERR_NONE) == (z != NULL));
	for (size_t i = 0; z && i < sizeof(instants) / sizeof(instants[0]); i++) {
		int offset_s = zone_offset_s(z, instants[i]);

		fuzz_want(offset_s > -100000 && offset_s < 100000);
		want_way_back(z, instants[i]);
		farm_day(z, 4, instants[i]);
	}
	zone_free(z);
	return 0;
}
