/* The engine of the rules: which are judged, and what a finding leads to. */
#include "book/rules.h"

#include <assert.h>

#include "base/word_list.h"
#include "book/inside.h"

static const struct rule *const tables[] = { check_rules, row_rules, slip_rules, ask_rules };

enum { TABLES_MAX = sizeof(tables) / sizeof(tables[0]) };

enum err_code rules_refuse(const struct judgement *j, const char *field, const char *code,
			   const char *message)
{
	return err_set(j->err, ERR_INPUT, field, code, "%s", message);
}

void rules_mark(struct record *r, const char *code, struct arena *arena)
{
	const char *look = record_text(r, "look");

	if (word_list_has(look, code))
		return;
	record_set_text(r, "look", look ? arena_printf(arena, "%s %s", look, code) : code);
}

/* More slips and questions than any one kind can meet. */
enum { RULES_MET_MAX = 16 };

/* What has come together while the table is walked. */
struct verdict {
	struct err refused, asked;
	const struct rule *keep[RULES_MET_MAX]; /* found, and kept if the entry is */
	size_t n_keep;
	const char *marks[RULES_MET_MAX];
	size_t n_marks;
};

/* Large, and made for every entry: only what is read is set. */
static void verdict_init(struct verdict *v)
{
	err_clear(&v->refused);
	err_clear(&v->asked);
	v->n_keep = v->n_marks = 0;
}

static void keep_later(struct verdict *v, const struct rule *rule)
{
	if (!rule->keep)
		return;
	assert(v->n_keep < RULES_MET_MAX);
	v->keep[v->n_keep++] = rule;
}

static void mark_later(struct verdict *v, const struct rule *rule)
{
	if (rule->keep) {
		keep_later(v, rule);
		return;
	}
	assert(v->n_marks < RULES_MET_MAX);
	v->marks[v->n_marks++] = rule->code;
}

static void weigh_finding(struct verdict *v, const struct rule *rule, const struct hand *hand,
			  enum rules_scope scope, const struct err *found)
{
	const bool on_screen = hand->arrival == ARRIVES_ON_SCREEN;
	const bool keeps = scope == RULES_KEEPS;

	if (!keeps && (rule->sort == RULE_CHECK || (rule->sort == RULE_SLIP && on_screen)))
		err_append(&v->refused, found);
	else if (!keeps && rule->sort == RULE_ASK && on_screen && !hand->confirm)
		err_append(&v->asked, found);
	else if (keeps || on_screen)
		keep_later(v, rule);
	else
		mark_later(v, rule);
}

static bool is_judged(const struct rule *rule, const struct record *r, const struct hand *hand,
		      enum rules_scope scope)
{
	if (rule->kind && rule->kind != r->kind)
		return false;
	if (rule->sort == RULE_CHECK)
		return scope != RULES_KEEPS;
	if (!kind_has_time(r->kind))
		return false;
	if (rule->keep)
		return scope != RULES_CHECKS;
	return scope == RULES_ALL && hand->arrival != ARRIVES_IMPORTED;
}

static enum err_code judge_one(const struct rule *rule, const struct judgement *base,
			       enum rules_scope scope, struct verdict *v, struct err *err)
{
	struct err found;
	struct judgement j = *base;

	err_clear(&found);
	j.err = &found;

	enum err_code rc = rule->judge(&j);

	if (rc == ERR_INPUT || rc == ERR_CONFLICT) {
		weigh_finding(v, rule, j.hand, scope, &found);
		return ERR_NONE;
	}
	if (rc)
		err_append(err, &found);
	return rc;
}

enum err_code rules_judge(struct book *b, struct record *r, const struct record *before,
			  const struct hand *hand, enum rules_scope scope, struct arena *arena,
			  struct err *err)
{
	const struct judgement j = {
		.b = b, .r = r, .before = before, .hand = hand, .arena = arena
	};
	struct verdict verdict, *v = &verdict;

	verdict_init(v);

	for (size_t t = 0; t < TABLES_MAX; t++)
		for (const struct rule *rule = tables[t]; rule->code; rule++) {
			if (!is_judged(rule, r, hand, scope))
				continue;

			enum err_code rc = judge_one(rule, &j, scope, v, err);

			if (rc)
				return rc;
		}
	if (v->refused.n_items) {
		err_append(err, &v->refused);
		return ERR_INPUT;
	}
	if (v->asked.n_items) {
		err_append(err, &v->asked);
		return ERR_CONFLICT;
	}
	for (size_t i = 0; i < v->n_keep; i++)
		v->keep[i]->keep(r);
	/* What an earlier judging marked is judged afresh; an import brings its own marks. */
	if (scope == RULES_ALL && kind_has_time(r->kind) && hand->arrival != ARRIVES_IMPORTED)
		record_clear(r, "look");
	for (size_t i = 0; i < v->n_marks; i++)
		rules_mark(r, v->marks[i], arena);
	return ERR_NONE;
}

enum err_code rules_look_over(struct book *b, struct record *r, const struct hand *hand,
			      struct arena *arena, bool *changed, struct err *err)
{
	*changed = false;
	if (!kind_has_time(r->kind) || record_has(r, "struck_at"))
		return ERR_NONE;
	for (const struct rule *rule = slip_rules; rule->code; rule++) {
		struct err found;
		const struct judgement j = {
			.b = b, .r = r, .hand = hand, .arena = arena, .err = &found
		};

		if (rule->kind && rule->kind != r->kind)
			continue;
		err_clear(&found);

		enum err_code rc = rule->judge(&j);

		if (rc && rc != ERR_INPUT && rc != ERR_CONFLICT) {
			err_append(err, &found);
			return rc;
		}
		if (rc) {
			rules_mark(r, rule->code, arena);
			*changed = true;
		}
	}
	return ERR_NONE;
}
