/* The test cases of server/http, one suite a file. */
#ifndef WEIRBOOK_TESTS_HTTP_TESTS_H
#define WEIRBOOK_TESTS_HTTP_TESTS_H

#include <check.h>

Suite *flow_suite(void);
Suite *gate_suite(void);
Suite *hostile_suite(void);
Suite *slow_suite(void);
Suite *stop_suite(void);
Suite *streams_suite(void);
Suite *web_dir_suite(void);

#endif
