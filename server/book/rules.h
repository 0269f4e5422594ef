/*
 * The rules of the trade, one const table: each rule is a function of its own that says which rule
 * of the record it holds.  The engine turns what a rule finds into a refusal, a question, or a mark
 * to look at, by how the entry arrives.
 */
#ifndef WEIRBOOK_BOOK_RULES_H
#define WEIRBOOK_BOOK_RULES_H

#include "book/book.h"

/* What a rule sees. */
struct judgement {
	struct book *b;
	const struct record *r;      /* as it is to stand: times set, references resolved */
	const struct record *before; /* as it stood, or NULL for a new one */
	const struct hand *hand;
	struct arena *arena;
	struct err *err; /* what the rule finds */
};

/* What a finding means. */
enum rule_sort {
	RULE_CHECK, /* the entry cannot be so: always refused, 422 */
	RULE_SLIP,  /* refused on screen, 422; queued or imported it is kept with a mark */
	RULE_ASK    /* asked on screen, 409; kept with confirm, or queued with a mark */
};

struct rule {
	const char *code;
	enum rule_sort sort;
	const struct kind *kind; /* NULL: any */
	/* A finding that is kept: changes the entry so that it can stand, instead of the mark.
	 * Such a rule is judged for imports and restores too. */
	void (*keep)(struct record *r);
	/* ERR_NONE: it holds.  ERR_INPUT or ERR_CONFLICT with an item: it does not.  Else an
	 * error. */
	enum err_code (*judge)(const struct judgement *j);
};

/* How much of the table is judged. */
enum rules_scope {
	RULES_ALL,    /* a new entry, or a correction of what the rules read */
	RULES_CHECKS, /* a correction that the trade does not mind, such as a note */
	RULES_KEEPS   /* a restore: only rules that change the entry so that it can stand */
};

/*
 * Judges a record; keep functions may change r, and marks go to r's look.  ERR_INPUT with all
 * refusals, else ERR_CONFLICT with all questions, else ERR_NONE.  An imported entry is never asked,
 * and its slips are left to rules_look_over, when all rows are there.
 */
enum err_code rules_judge(struct book *b, struct record *r, const struct record *before,
			  const struct hand *hand, enum rules_scope scope, struct arena *arena,
			  struct err *err);

/* Whether a slip of this row can be told only when an import's other rows are there: it says where
 * a lot stood.  Of other rows, what they refer to is enough, and that is there before them. */
bool rules_need_all_rows(const struct record *r);

/* Adds the code of every slip that row r shows now to its look.  *changed: r must be written. */
enum err_code rules_look_over(struct book *b, struct record *r, const struct hand *hand,
			      struct arena *arena, bool *changed, struct err *err);

/* A finding of a rule, said in a sentence: ERR_INPUT. */
enum err_code rules_refuse(const struct judgement *j, const char *field, const char *code,
			   const char *message);

/* Adds a code to look, once. */
void rules_mark(struct record *r, const char *code, struct arena *arena);

/* The parts of the table, ended by an empty rule: rules_checks.c, rules_rows.c, rules_slips.c,
 * rules_asks.c. */
extern const struct rule check_rules[];
extern const struct rule row_rules[];
extern const struct rule slip_rules[];
extern const struct rule ask_rules[];

#endif
