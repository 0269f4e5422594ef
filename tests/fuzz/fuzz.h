/*
 * What a fuzz target looks like.  FUZZ_TARGET(name) opens a function fuzz_name(data, size) that must return
 * 0 for any bytes; a claim that breaks is fuzz_want's.  The same file serves twice:
 *
 *   replay.c       a Check program that runs each target over tests/fuzz/corpus/<name>/ and small changes of it
 *   libFuzzer      clang -g -O1 -std=c11 -D_GNU_SOURCE -DFUZZ_ALONE -fsanitize=fuzzer,address,undefined
 *                  -Iserver tests/fuzz/fuzz_NAME.c server/base/?*.c server/model/?*.c -lsodium -lm
 *
 * A new target is one file, one line in replay.c and a folder of small inputs.
 */
#ifndef WEIRBOOK_FUZZ_H
#define WEIRBOOK_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int fuzz_csv(const uint8_t *data, size_t size);
int fuzz_field(const uint8_t *data, size_t size);
int fuzz_json(const uint8_t *data, size_t size);
int fuzz_time(const uint8_t *data, size_t size);
int fuzz_uri(const uint8_t *data, size_t size);
int fuzz_zone(const uint8_t *data, size_t size);

#ifdef FUZZ_ALONE
#define FUZZ_TARGET(name)                                                                          \
	int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);                              \
	int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)                               \
	{                                                                                          \
		return fuzz_##name(data, size);                                                    \
	}                                                                                          \
	int fuzz_##name(const uint8_t *data, size_t size)
#else
#define FUZZ_TARGET(name) int fuzz_##name(const uint8_t *data, size_t size)
#endif

#define fuzz_want(condition)                                                                       \
	do {                                                                                       \
		if (!(condition)) {                                                                \
			fprintf(stderr, "%s:%d: %s\n", __FILE__, __LINE__, #condition);            \
			abort();                                                                   \
		}                                                                                  \
	} while (0)

#endif
