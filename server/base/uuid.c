/* Identifiers, SHA-256 and the check character: see uuid.h. */
#include "base/uuid.h"

#include <sodium.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"

enum { MODULUS = 36 };

static bool is_hyphen_place(size_t i)
{
	return i == 8 || i == 13 || i == 18 || i == 23;
}

bool uuid_read(const char *text, struct uuid *out)
{
	struct uuid u = { { 0 } };
	size_t n = 0; /* hex digits taken */

	for (size_t i = 0; i < UUID_TEXT_MAX - 1; i++) {
		if (is_hyphen_place(i)) {
			if (text[i] != '-')
				return false;
			continue;
		}

		int digit = hex_digit(text[i]);

		if (digit < 0)
			return false;
		u.byte[n / 2] = (uint8_t)((u.byte[n / 2] << 4 | digit) & 0xFF);
		n++;
	}
	if (text[UUID_TEXT_MAX - 1] != '\0' || (u.byte[8] & 0xC0) != 0x80)
		return false;
	*out = u;
	return true;
}

void uuid_write(char out[UUID_TEXT_MAX], const struct uuid *u)
{
	static const char digits[] = "0123456789abcdef";
	size_t n = 0;

	for (size_t i = 0; i < UUID_TEXT_MAX - 1; i++) {
		if (is_hyphen_place(i)) {
			out[i] = '-';
			continue;
		}
		out[i] = digits[n % 2 ? u->byte[n / 2] & 15 : u->byte[n / 2] >> 4];
		n++;
	}
	out[UUID_TEXT_MAX - 1] = '\0';
}

int uuid_compare(const struct uuid *a, const struct uuid *b)
{
	return memcmp(a->byte, b->byte, sizeof(a->byte));
}

bool uuid_is_client(const struct uuid *u)
{
	int version = u->byte[6] >> 4;

	return (u->byte[8] & 0xC0) == 0x80 && (version == 4 || version == 7);
}

bool uuid_is_zero(const struct uuid *u)
{
	static const struct uuid zero;

	return uuid_compare(u, &zero) == 0;
}

static void set_version(struct uuid *u, unsigned version)
{
	u->byte[6] = (uint8_t)((u->byte[6] & 0x0F) | version << 4);
	u->byte[8] = (uint8_t)((u->byte[8] & 0x3F) | 0x80);
}

struct uuid uuid_v7_from(int64_t unix_ms, uint16_t rand_a, uint64_t rand_b)
{
	struct uuid u;
	uint64_t ms = (uint64_t)unix_ms;

	for (size_t i = 0; i < 6; i++)
		u.byte[i] = (uint8_t)(ms >> (40 - 8 * i) & 0xFF);
	u.byte[6] = (uint8_t)(rand_a >> 8 & 0xFF);
	u.byte[7] = (uint8_t)(rand_a & 0xFF);
	for (size_t i = 0; i < 8; i++)
		u.byte[8 + i] = (uint8_t)(rand_b >> (56 - 8 * i) & 0xFF);
	set_version(&u, 7);
	return u;
}

struct uuid uuid_v7(int64_t unix_ms)
{
	struct {
		uint64_t b;
		uint16_t a;
	} rand;

	if (sodium_init() < 0)
		abort(); /* no source of randomness: keys would collide */
	randombytes_buf(&rand.a, sizeof(rand.a));
	randombytes_buf(&rand.b, sizeof(rand.b));
	return uuid_v7_from(unix_ms, rand.a, rand.b);
}

struct uuid uuid_v8(const void *bytes, size_t n)
{
	uint8_t hash[32];
	struct uuid u;

	sha256(hash, bytes, n);
	memcpy(u.byte, hash, sizeof(u.byte));
	set_version(&u, 8);
	return u;
}

void sha256(uint8_t out[32], const void *bytes, size_t n)
{
	_Static_assert(crypto_hash_sha256_BYTES == 32, "SHA-256 is 32 bytes");
	crypto_hash_sha256(out, bytes, n);
}

static int code_value(char c)
{
	if (c >= '0' && c <= '9')
		return c - '0';
	if (c >= 'A' && c <= 'Z')
		return c - 'A' + 10;
	if (c >= 'a' && c <= 'z')
		return c - 'a' + 10;
	return -1;
}

/* ISO 7064 hybrid system: after each character p = 2 * (p + a mod 36, with 0 as 36) mod 37. */
static int next_p(int p, int a)
{
	int s = (p + a) % MODULUS;

	return (s == 0 ? MODULUS : s) * 2 % (MODULUS + 1);
}

static char check_of(const char *text, size_t length)
{
	int p = MODULUS;
	bool any = false;

	for (size_t i = 0; i < length; i++) {
		if (text[i] == '-')
			continue;

		int a = code_value(text[i]);

		if (a < 0)
			return 0;
		p = next_p(p, a);
		any = true;
	}
	if (!any)
		return 0;
	return "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"[(MODULUS + 1 - p) % MODULUS];
}

char check_character(const char *text)
{
	return check_of(text, strlen(text));
}

bool check_character_holds(const char *text_with_check)
{
	size_t n = strlen(text_with_check);

	if (n < 2)
		return false;

	int last = code_value(text_with_check[n - 1]);
	char want = check_of(text_with_check, n - 1);

	return want != 0 && last == code_value(want);
}
