/* Checks the file once the service answers, so that a start is quick however large the record is. */
#include "cmd/service_check.h"

#include "base/log.h"
#include "store/store.h"

static void note(const char *text, void *with)
{
	struct service_check *c = with;

	if (!atomic_exchange(&c->damaged, true))
		log_line("the file %s is damaged: no entry is taken; bring back the last good copy",
			 c->path);
	log_line("damage: %s", text);
}

static void *run(void *arg)
{
	struct service_check *c = arg;
	struct store *store = NULL;
	struct err err;

	err_clear(&err);
	if (store_open(c->path, STORE_READ, &store, &err) ||
	    store_check(store, true, note, c, &err))
		log_line("the file could not be checked: %s",
			 err.n_items ? err.items[0].message : "no reason is known");
	store_close(store);
	return NULL;
}

void service_check_start(struct service_check *c, const char *path)
{
	c->path = path;
	c->started = pthread_create(&c->thread, NULL, run, c) == 0;
}

void service_check_stop(struct service_check *c)
{
	if (c->started)
		pthread_join(c->thread, NULL);
	c->started = false;
}
