/*
 * Numbers as text: see number.h.  The C library turns digits into a double and back, but never sees
 * a decimal point: what it writes is taken apart digit by digit, and what it reads is "digits e
 * exponent", which is the same in every locale.
 */
#include "base/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DIGITS = 15, DIGITS_READ = 40, EXPONENT_MAX = 1000000 };

/* 0.d1 d2 d3 ... would be value / 10^(exponent + 1); so d1.d2d3... * 10^exponent. */
struct decimal {
	bool negative;
	char digits[DIGITS_READ + 2];
	size_t n;
	long exponent;
};

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

int hex_digit(char c)
{
	if (c >= '0' && c <= '9')
		return c - '0';
	if (c >= 'a' && c <= 'f')
		return c - 'a' + 10;
	if (c >= 'A' && c <= 'F')
		return c - 'A' + 10;
	return -1;
}

static double decimal_to_double(const struct decimal *d)
{
	char text[DIGITS_READ + 40];

	snprintf(text, sizeof(text), "%s%se%ld", d->negative ? "-" : "", d->digits,
		 d->exponent - (long)d->n + 1);
	return strtod(text, NULL);
}

/* value must be finite. */
static void decimal_of_double(struct decimal *d, double value)
{
	char text[64];
	const char *p = text;

	snprintf(text, sizeof(text), "%.*e", DIGITS - 1, value);
	d->negative = *p == '-';
	d->n = 0;
	for (; *p && *p != 'e'; p++)
		if (is_digit(*p))
			d->digits[d->n++] = *p;
	d->digits[d->n] = '\0';
	d->exponent = *p ? strtol(p + 1, NULL, 10) : 0;
}

double number_round15(double value)
{
	struct decimal d;

	if (!isfinite(value))
		return value;
	decimal_of_double(&d, value);

	double rounded = decimal_to_double(&d) + 0.0; /* + 0.0 makes a negative zero plain */

	if (isfinite(rounded))
		return rounded;
	return value < 0 ? -1.79769313486231e308 : 1.79769313486231e308;
}

static size_t write_plain(char *out, const struct decimal *d)
{
	size_t n = 0;
	long exponent = d->exponent;

	if (exponent < 0) {
		out[n++] = '0';
		out[n++] = '.';
		for (long i = -1; i > exponent; i--)
			out[n++] = '0';
	}
	for (size_t i = 0; i < d->n; i++) {
		out[n++] = d->digits[i];
		if ((long)i == exponent && i + 1 < d->n)
			out[n++] = '.';
	}
	for (long i = (long)d->n; i <= exponent; i++)
		out[n++] = '0';
	return n;
}

static size_t write_scientific(char *out, const struct decimal *d)
{
	size_t n = 0;

	out[n++] = d->digits[0];
	if (d->n > 1) {
		out[n++] = '.';
		memcpy(out + n, d->digits + 1, d->n - 1);
		n += d->n - 1;
	}
	return n + (size_t)snprintf(out + n, NUMBER_TEXT_MAX - 1 - n, "e%ld", d->exponent);
}

size_t number_write_int(char out[NUMBER_TEXT_MAX], int64_t value)
{
	char digits[NUMBER_TEXT_MAX];
	uint64_t rest = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
	size_t at = sizeof(digits), n = 0;

	do {
		digits[--at] = (char)('0' + rest % 10);
		rest /= 10;
	} while (rest);
	if (value < 0)
		out[n++] = '-';
	memcpy(out + n, digits + at, sizeof(digits) - at);
	n += sizeof(digits) - at;
	out[n] = '\0';
	return n;
}

/*
 * Most numbers of a farm are whole, or have up to three decimals: these need no printf.  0 for any
 * other. A quotient is rounded as a decimal of at most 15 digits is when it is read, so when they
 * are equal that decimal is the one that the long way finds.
 */
static size_t write_short(char out[NUMBER_TEXT_MAX], double value)
{
	const double scaled = value * 1000;
	size_t n;
	int64_t thousandths;
	int decimals;

	if (!(fabs(scaled) < 1e15))
		return 0;
	thousandths = (int64_t)(scaled < 0 ? scaled - 0.5 : scaled + 0.5);
	if ((double)thousandths / 1000 != value)
		return 0;
	if (value < 0 && thousandths > -1000) { /* -0 would lose its sign */
		out[0] = '-';
		out[1] = '0';
		n = 2;
	} else {
		n = number_write_int(out, thousandths / 1000);
	}
	decimals = abs((int)(thousandths % 1000));
	if (!decimals)
		return n;
	out[n++] = '.';
	for (int digit = 100; decimals; digit /= 10) {
		out[n++] = (char)('0' + decimals / digit);
		decimals %= digit;
	}
	out[n] = '\0';
	return n;
}

size_t number_write_real(char out[NUMBER_TEXT_MAX], double value)
{
	struct decimal d;
	size_t n = write_short(out, value);

	if (n)
		return n;
	if (!isfinite(value))
		return (size_t)snprintf(out, NUMBER_TEXT_MAX, "%s", isnan(value) ? "nan" : "inf");
	decimal_of_double(&d, number_round15(value));
	while (d.n > 1 && d.digits[d.n - 1] == '0')
		d.n--;
	d.digits[d.n] = '\0';
	if (d.negative)
		out[n++] = '-';
	if (d.exponent < -5 || d.exponent >= DIGITS)
		n += write_scientific(out + n, &d);
	else
		n += write_plain(out + n, &d);
	out[n] = '\0';
	return n;
}

/* Digits beyond DIGITS_READ can only break a tie, so one mark that there were any is enough. */
static void take_digit(struct decimal *d, char c, bool *more)
{
	if (d->n == 0 && c == '0') {
		return;
	} else if (d->n < DIGITS_READ) {
		d->digits[d->n++] = c;
	} else if (c != '0') {
		*more = true;
	}
}

/* Reads "[-+]digits"; NULL when there is no digit. */
static const char *read_exponent(const char *p, long *out)
{
	bool negative = *p == '-';
	long e = 0;

	if (*p == '-' || *p == '+')
		p++;
	if (!is_digit(*p))
		return NULL;
	for (; is_digit(*p); p++)
		if (e < EXPONENT_MAX)
			e = e * 10 + (*p - '0');
	*out = negative ? -e : e;
	return p;
}

static bool read_decimal(const char *p, char point, struct decimal *d)
{
	bool more = false;
	long before = 0, after_zeros = 0, e = 0;

	d->negative = *p == '-';
	d->n = 0;
	if (*p == '-' || *p == '+')
		p++;
	if (!is_digit(*p))
		return false;
	for (; is_digit(*p); p++) {
		take_digit(d, *p, &more);
		if (d->n > 0)
			before++;
	}
	if (*p == point) {
		if (!is_digit(*++p))
			return false;
		for (; is_digit(*p); p++) {
			take_digit(d, *p, &more);
			if (d->n == 0)
				after_zeros++;
		}
	}
	if (*p == 'e' || *p == 'E')
		p = read_exponent(p + 1, &e);
	if (!p || *p)
		return false;
	d->exponent = e + (before > 0 ? before - 1 : -after_zeros - 1);
	if (more)
		d->digits[d->n++] = '1';
	if (d->n == 0)
		d->digits[d->n++] = '0';
	d->digits[d->n] = '\0';
	return true;
}

bool number_read_real(const char *text, char decimal, double *out)
{
	struct decimal d;

	if (!read_decimal(text, decimal, &d))
		return false;

	double exact = decimal_to_double(&d);

	if (!isfinite(exact))
		return false;
	*out = number_round15(exact);
	return true;
}

bool number_read_int(const char *text, char decimal, int64_t *out)
{
	const int64_t most = (INT64_C(1) << 53) - 1;
	const char *p = text;
	bool negative = *p == '-';
	int64_t value = 0;

	if (*p == '-' || *p == '+')
		p++;
	if (!is_digit(*p))
		return false;
	for (; is_digit(*p); p++) {
		value = value * 10 + (*p - '0');
		if (value > most)
			return false;
	}
	if (*p == decimal) {
		if (*++p != '0')
			return false;
		while (*p == '0')
			p++;
	}
	if (*p)
		return false;
	*out = negative ? -value : value;
	return true;
}
