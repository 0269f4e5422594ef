/* See order.h. */
#include "base/order.h"

int64_t later_of(int64_t a, int64_t b)
{
	return a > b ? a : b;
}

int64_t sooner_of(int64_t a, int64_t b)
{
	return a < b ? a : b;
}

int order_int64(const void *a, const void *b)
{
	const int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;

	return x < y ? -1 : x > y;
}
