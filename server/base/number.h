/* Numbers as text, the same on every machine and in every locale. */
#ifndef WEIRBOOK_BASE_NUMBER_H
#define WEIRBOOK_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { NUMBER_TEXT_MAX = 32 };

/* value rounded to 15 significant digits, so that reading what was written gives the same
 * double. */
double number_round15(double value);

/* Writes value with up to 15 significant digits, shortest form, '.' as point; returns the
 * length. */
size_t number_write_real(char out[NUMBER_TEXT_MAX], double value);

/* Writes value; returns the length. */
size_t number_write_int(char out[NUMBER_TEXT_MAX], int64_t value);

/* What a hexadecimal digit of either case stands for; -1 when it is none. */
int hex_digit(char c);

/* Strict decimal: [-+]?digits[.digits][e[-+]digits], all of text; false otherwise or when not
 * finite. decimal is '.' or ','.  Rounds to 15 digits. */
bool number_read_real(const char *text, char decimal, double *out);

/* Strict decimal integer in [-(2^53-1), 2^53-1]; "12.0" is taken, "12.5" is not. */
bool number_read_int(const char *text, char decimal, int64_t *out);

#endif
