/* The mini farm with a raft bed more, and short words for what happens to its plants. */
#ifndef WEIRBOOK_TESTS_CROP_FARM_H
#define WEIRBOOK_TESTS_CROP_FARM_H

#include "support/mini_farm.h"
#include "support/report_cells.h"

extern struct report_result seen; /* the last report on plants */

struct record *keep_row(const struct record *r);
void crop_farm_open(void);
void crop_farm_close(void);
struct record *sow(const char *code, const char *cubes, const char *day);
struct record *move_to_bed(const char *lot, const char *plants, const char *day);
struct record *cut(const char *lot, const char *pieces, const char *weight_g, const char *day);
void beds_on(const char *day);
void harvests(const char *by, const char *only);
size_t lot_row(const char *lot);
int64_t lot_whole(const char *lot, const char *column);
double lot_real(const char *lot, const char *column);

#endif
