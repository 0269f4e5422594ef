/* One line to standard error, with the UTC time; control characters are escaped; rate limited. */
#ifndef WEIRBOOK_BASE_LOG_H
#define WEIRBOOK_BASE_LOG_H

void log_line(const char *format, ...) __attribute__((format(printf, 1, 2)));

#endif
