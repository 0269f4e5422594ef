/* Lines to standard error: see log.h.  The only state outside a struct: what the rate limit
 * counts. */
#include "base/log.h"

#include <pthread.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <time.h>

#include "base/strbuf.h"
#include "base/zone.h"

/* At most so many lines in a stretch of so many seconds; what was left out is counted and said. */
enum { LINES_MAX = 200, STRETCH_S = 10, LINE_MAX_BYTES = 1000 };

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static int64_t stretch_from;
static unsigned lines, left_out;

static void write_line(int64_t now, const char *text)
{
	char at[TIME_TEXT_MAX];
	struct strbuf line;

	time_write(at, now);
	strbuf_init(&line);
	strbuf_addf(&line, "%s ", at);
	for (const char *p = text; *p; p++) {
		unsigned char c = (unsigned char)*p;

		if (c < 0x20 || c == 0x7F)
			strbuf_addf(&line, "\\x%02x", c);
		else
			strbuf_addc(&line, *p);
	}
	strbuf_addc(&line, '\n');
	fwrite(line.text, 1, line.length, stderr);
	strbuf_release(&line);
}

/* Whether one more line may go out; says first what was left out before. */
static bool may_write(int64_t now)
{
	char text[80];

	if (now - stretch_from >= STRETCH_S || now < stretch_from) {
		if (left_out > 0) {
			snprintf(text, sizeof(text), "%u lines were left out of this log",
				 left_out);
			write_line(now, text);
		}
		stretch_from = now;
		lines = 0;
		left_out = 0;
	}
	if (lines >= LINES_MAX) {
		left_out++;
		return false;
	}
	lines++;
	return true;
}

void log_line(const char *format, ...)
{
	char text[LINE_MAX_BYTES];
	va_list args;
	struct timespec now;

	va_start(args, format);
	vsnprintf(text, sizeof(text), format, args);
	va_end(args);
	clock_gettime(CLOCK_REALTIME, &now);
	pthread_mutex_lock(&lock);
	if (may_write(now.tv_sec))
		write_line(now.tv_sec, text);
	pthread_mutex_unlock(&lock);
}
