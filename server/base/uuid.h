/* RFC 9562 identifiers, SHA-256 and the check character of label codes. */
#ifndef WEIRBOOK_BASE_UUID_H
#define WEIRBOOK_BASE_UUID_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct uuid {
	uint8_t byte[16];
};

enum { UUID_TEXT_MAX = 37 };

/* Canonical 36 characters, either case in, lower case out.  uuid_read takes any version and checks
 * the variant. */
bool uuid_read(const char *text, struct uuid *out);
void uuid_write(char out[UUID_TEXT_MAX], const struct uuid *u);
int uuid_compare(const struct uuid *a, const struct uuid *b); /* by bytes, as memcmp */
bool uuid_is_client(const struct uuid *u); /* version 4 or 7, which clients may make */
bool uuid_is_zero(const struct uuid *u);

/* Version 7 from Unix milliseconds and a good random source (RFC 9562 section 5.7). */
struct uuid uuid_v7(int64_t unix_ms);

/* Version 7 from given parts, for the check vector of RFC 9562 A.6. */
struct uuid uuid_v7_from(int64_t unix_ms, uint16_t rand_a, uint64_t rand_b);

/* Version 8 from the first 16 bytes of SHA-256 over bytes. */
struct uuid uuid_v8(const void *bytes, size_t n);

void sha256(uint8_t out[32], const void *bytes, size_t n);

/*
 * ISO 7064 MOD 37,36 check character over the letters and digits of text (hyphens are passed over,
 * case ignored).  Returns 0 when another character is met or there is nothing to check.
 */
char check_character(const char *text);
/* Whether its last letter or digit is the check character of those before it. */
bool check_character_holds(const char *text_with_check);

#endif
