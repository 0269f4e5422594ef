/* The mini farm, for tests of the rules: what is refused, asked, kept with confirm, or marked to look at. */
#ifndef WEIRBOOK_TESTS_RULE_FARM_H
#define WEIRBOOK_TESTS_RULE_FARM_H

#include "support/mini_farm.h"

void rule_farm_open(void);
void rule_farm_close(void);
void ck_refused(const struct record *r, const char *code);
void ck_asked(const struct record *r, const char *code);
const char *arg(const char *name);
struct record *confirmed(const struct record *r);
struct record *arriving(enum arrival arrival, const struct record *r);
bool looks(const struct record *r, const char *code);

#endif
