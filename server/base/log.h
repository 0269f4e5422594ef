/*
 * The service's log: lines to standard error, which the service manager keeps.  Safe from any
 * thread.  Where they go from there is left to it.
 */
#ifndef WEIRBOOK_BASE_LOG_H
#define WEIRBOOK_BASE_LOG_H

/* One line with the UTC time; at most 1,000 bytes, the rest is cut; control characters are escaped.
 * More than 200 in 10 seconds are left out, and the next line after says how many. */
void log_line(const char *format, ...) __attribute__((format(printf, 1, 2)));

#endif
