/* One row of the queries newest_water_tests and water_tests_between, which share their columns. */
#ifndef WEIRBOOK_BOOK_WATER_ROW_H
#define WEIRBOOK_BOOK_WATER_ROW_H

#include "book/water.h"

/* A measured quantity of the row that stands; value NAN where it was not measured. */
struct reading water_row_reading(struct stmt *q, enum quantity quantity);

#endif
