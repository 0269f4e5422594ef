/*
 * Runs a command of the farm's own (a siren, a relay) when an alarm is raised or cleared.  Off unless a file is
 * named.  It is no substitute for an alarm that is wired: this computer, its disk, its power or the network may be
 * what fails.
 *
 * The command gets fixed arguments and no shell:
 *
 *     FILE raised|cleared PLACE QUANTITY VALUE LEVEL
 *     FILE raised T2 do_mg_l 2.6 stop_low
 *
 * "-" stands for what there is not.  LEVEL is low, stop_low, high, stop_high, silent, old, or noted (by a person).
 * After a start, alarms that last and that nobody has seen are told again.
 */
#ifndef WEIRBOOK_JOBS_ALARM_CALL_H
#define WEIRBOOK_JOBS_ALARM_CALL_H

#include <stdbool.h>
#include <stdint.h>
#include <sys/types.h>

#include "book/book.h"

enum {
	CALL_LIMIT_S = 10,     /* then the command and what it started are ended */
	CALLS_AT_ONCE = 4,     /* running */
	CALLS_A_MINUTE = 20,   /* more wait; what is cleared meanwhile is not told at all */
	CALL_SAME_AFTER_S = 30 /* for the same place and quantity */
};

struct alarm_call; /* what the command was told of one alarm */

struct alarm_calls {
	const char *file; /* NULL: off; borrowed */
	struct alarm_call *told;
	size_t n, room;
	bool started;         /* the first look was made */
	bool waiting;         /* something is to be told later */
	int64_t seen_version; /* of the record, when it was last looked at */
	int64_t made[CALLS_A_MINUTE];
	size_t n_made; /* in all */
	struct {
		pid_t pid; /* 0: none */
		int64_t since_s;
		bool ended; /* it was killed and is not reaped yet */
	} running[CALLS_AT_ONCE];
};

void alarm_calls_init(struct alarm_calls *c, const char *file);

/* Tells what has changed, ends what runs too long, and reaps what is done.  Never waits.  now_s: a clock that does
 * not jump.  On the writer's thread. */
void alarm_calls_step(struct alarm_calls *c, struct book *b, int64_t now_s);

/* Ends what still runs and gives back what c holds. */
void alarm_calls_finish(struct alarm_calls *c);

#endif
