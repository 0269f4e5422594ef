/* See answer_list.h. */
#include "api/answer_list.h"

static enum err_code find_list(const struct json_t *body, const struct list_asked *asked,
			       const struct json_t **out, struct err *err)
{
	const char *const known[] = { asked->name, NULL };
	const struct json_t *list = json_in_list(body, asked->name);
	const enum err_code rc = json_in_known(body, known, err);

	if (rc)
		return rc;
	if (!list)
		return err_set(err, ERR_INPUT, asked->name, "required", "%s", asked->missing);
	if (json_in_count(list) > asked->most)
		return err_set(err, ERR_TOO_LARGE, asked->name, "too_many", "%s", asked->too_many);
	*out = list;
	return ERR_NONE;
}

enum err_code answer_list(struct request *req, struct response *res, const struct list_asked *asked,
			  struct err *err)
{
	struct json_t *body = NULL; /* owned */
	const struct json_t *list = NULL;
	struct json_out j;
	enum err_code rc = json_in_read(req->body, req->body_length, &body, err);

	if (!rc)
		rc = find_list(body, asked, &list, err);
	if (rc)
		goto out;
	j = response_json(res, 200);
	json_out_open(&j, '{');
	json_out_name(&j, "answers");
	json_out_open(&j, '[');
	for (size_t i = 0; i < json_in_count(list); i++)
		asked->answer(req, json_in_object_at(list, i), &j);
	json_out_close(&j, ']');
	json_out_close(&j, '}');
out:
	json_in_free(body);
	return rc;
}
