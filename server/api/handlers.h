/* The handlers that routes.c names; each stands in the file of its subject. */
#ifndef WEIRBOOK_API_HANDLERS_H
#define WEIRBOOK_API_HANDLERS_H

#include "api/request.h"

/* health.c */
enum err_code get_health(struct request *req, struct response *res, struct err *err);
/* demo.c */
enum err_code get_demo(struct request *req, struct response *res, struct err *err);
enum err_code post_demo(struct request *req, struct response *res, struct err *err);
/* record_page.c */
enum err_code get_record_page(struct request *req, struct response *res, struct err *err);
/* openapi.c */
enum err_code get_openapi(struct request *req, struct response *res, struct err *err);
/* farm.c */
enum err_code get_farm(struct request *req, struct response *res, struct err *err);
enum err_code patch_farm(struct request *req, struct response *res, struct err *err);
/* list.c */
enum err_code get_list(struct request *req, struct response *res, struct err *err);
/* csv_out.c */
enum err_code get_list_csv(struct request *req, struct response *res, struct err *err);
/* readings.c */
enum err_code get_readings(struct request *req, struct response *res, struct err *err);
enum err_code post_readings(struct request *req, struct response *res, struct err *err);
/* readings_csv_out.c */
enum err_code get_readings_csv(struct request *req, struct response *res, struct err *err);
/* records.c */
enum err_code get_one(struct request *req, struct response *res, struct err *err);
enum err_code post_one(struct request *req, struct response *res, struct err *err);
enum err_code patch_one(struct request *req, struct response *res, struct err *err);
enum err_code post_strike(struct request *req, struct response *res, struct err *err);
enum err_code post_restore(struct request *req, struct response *res, struct err *err);
/* events.c */
enum err_code get_events(struct request *req, struct response *res, struct err *err);
/* batch.c */
enum err_code post_batch(struct request *req, struct response *res, struct err *err);
/* several.c */
enum err_code post_several(struct request *req, struct response *res, struct err *err);
/* alike.c */
enum err_code get_alike(struct request *req, struct response *res, struct err *err);
/* import.c */
enum err_code post_import(struct request *req, struct response *res, struct err *err);
/* calc.c */
enum err_code get_calculators(struct request *req, struct response *res, struct err *err);
enum err_code get_calculation(struct request *req, struct response *res, struct err *err);
/* labels.c */
enum err_code get_qr(struct request *req, struct response *res, struct err *err);
enum err_code get_code(struct request *req, struct response *res, struct err *err);
/* tablets.c */
enum err_code post_tablet(struct request *req, struct response *res, struct err *err);
/* reports.c */
enum err_code get_report(struct request *req, struct response *res, struct err *err);
/* report_csv.c */
enum err_code get_report_csv(struct request *req, struct response *res, struct err *err);

#endif
