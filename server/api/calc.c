/* GET /api/calc and /api/calc/NAME: calculators, drawn from their list. */
#include <math.h>
#include <string.h>

#include "api/cache.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/response.h"
#include "base/nearest.h"
#include "book/calculator.h"

static void write_text(struct json_out *j, const char *name, const char *text)
{
	if (text)
		json_out_name_text(j, name, text);
}

static void write_number(struct json_out *j, const char *name, double number)
{
	json_out_name(j, name);
	json_out_real(j, number);
}

static void write_words(struct json_out *j, const struct calc_field *f)
{
	json_out_name_open(j, "words", '[');
	for (size_t i = 0; f->words[i]; i++)
		json_out_text(j, f->words[i]);
	json_out_close(j, ']');
	if (!f->group_of)
		return;
	json_out_name_open(j, "groups", '[');
	for (size_t i = 0; f->words[i]; i++)
		json_out_text(j, f->group_of(i));
	json_out_close(j, ']');
}

static void write_field(struct json_out *j, const struct calc_field *f, bool input)
{
	static const char *const kinds_of[] = {
		[CALC_NUMBER] = "number", [CALC_WORD] = "word", [CALC_TEXT] = "text"
	};

	json_out_open(j, '{');
	write_text(j, "name", f->name);
	write_text(j, "kind", kinds_of[f->kind]);
	write_text(j, "unit", f->unit);
	if (input && f->kind == CALC_NUMBER) {
		write_number(j, "low", f->low);
		write_number(j, "high", f->high);
		if (f->has_usual)
			write_number(j, "usual", f->usual);
	}
	if (f->words)
		write_words(j, f);
	if (f->required) {
		json_out_name(j, "required");
		json_out_bool(j, true);
	}
	json_out_close(j, '}');
}

static void write_about(struct json_out *j, const struct calculator *c)
{
	write_text(j, "name", c->name);
	write_text(j, "topic", c->topic);
	write_text(j, "summary", c->summary);
	write_text(j, "formula", c->formula);
	write_text(j, "source", c->source);
	write_text(j, "caution", c->caution);
}

static void write_calculator(struct json_out *j, const struct calculator *c)
{
	json_out_open(j, '{');
	write_about(j, c);
	json_out_name_open(j, "inputs", '[');
	for (size_t i = 0; i < c->n_inputs; i++)
		write_field(j, &c->inputs[i], true);
	json_out_close(j, ']');
	json_out_name_open(j, "outputs", '[');
	for (size_t i = 0; i < c->n_outputs; i++)
		write_field(j, &c->outputs[i], false);
	json_out_close(j, ']');
	json_out_close(j, '}');
}

static void write_calculators(struct json_out *j)
{
	json_out_open(j, '{');
	json_out_name_open(j, "calculators", '[');
	for (size_t i = 0; calculators[i]; i++)
		write_calculator(j, calculators[i]);
	json_out_close(j, ']');
	json_out_close(j, '}');
}

enum err_code get_calculators(struct request *req, struct response *res, struct err *err)
{
	return answer_of_build(req, res, write_calculators, err);
}

static const char *name_at(size_t i, const void *with)
{
	(void)with;
	return calculators[i]->name;
}

static enum err_code find(const char *name, const struct calculator **out, struct err *err)
{
	const char *nearest;
	size_t n = 0;

	*out = calculator_find(name);
	if (*out)
		return ERR_NONE;
	while (calculators[n])
		n++;
	nearest = nearest_word(name, n, name_at, NULL);
	return nearest_refuse(err, ERR_NOT_FOUND, "", "no_such_calculator", nearest,
			      "There is no calculator %.60s", name);
}

static const char *get_input(const char *name, void *with)
{
	return request_query(with, name);
}

static void write_values(struct json_out *j, const char *name, const struct calc_field *fields,
			 size_t n, const struct calc_values *v)
{
	json_out_name_open(j, name, '{');
	for (size_t i = 0; i < n; i++) {
		json_out_name(j, fields[i].name);
		if (fields[i].kind == CALC_NUMBER)
			json_out_real(j, v->number[i]);
		else if (fields[i].kind == CALC_WORD && v->word[i] >= 0)
			json_out_text(j, fields[i].words[v->word[i]]);
		else if (fields[i].kind == CALC_TEXT && v->text[i])
			json_out_text(j, v->text[i]);
		else
			json_out_null(j);
	}
	json_out_close(j, '}');
}

enum err_code get_calculation(struct request *req, struct response *res, struct err *err)
{
	const char *known[CALC_FIELDS_MAX + 1] = { NULL };
	const struct calc_inputs given = { .get = get_input, .with = req };
	const struct calculator *c;
	struct calc_values in, out;
	struct json_out j;
	enum err_code rc = find(req->params[0], &c, err);

	if (rc)
		return rc;
	for (size_t i = 0; i < c->n_inputs; i++)
		known[i] = c->inputs[i].name;
	rc = query_check(req, known, NULL, err);
	if (!rc)
		rc = calculator_run(c, req->book, &given, &in, &out, req->arena, err);
	if (rc)
		return rc;
	j = response_json(res, 200);
	json_out_open(&j, '{');
	write_about(&j, c);
	write_values(&j, "inputs", c->inputs, c->n_inputs, &in);
	write_values(&j, "outputs", c->outputs, c->n_outputs, &out);
	json_out_close(&j, '}');
	return ERR_NONE;
}
