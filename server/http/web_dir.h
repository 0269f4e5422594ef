/* --web DIR: web files straight from a folder, for whoever works on them. */
#ifndef WEIRBOOK_HTTP_WEB_DIR_H
#define WEIRBOOK_HTTP_WEB_DIR_H

#include <stdbool.h>

#include "api/request.h"

/* Answers req from dir when it asks for a plain file there (a screen's address is index.html).  False: not ours. */
bool web_dir_answer(const char *dir, const struct request *req, struct response *res);

#endif
