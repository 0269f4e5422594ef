/* Reads the command line by the tables of commands and settings, and prints --help from them. */
#include "cmd/command.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static const struct command *find_command(const char *name)
{
	for (size_t i = 0; commands[i]; i++)
		if (strcmp(commands[i]->name, name) == 0)
			return commands[i];
	return NULL;
}

static void print_all(void)
{
	puts("Weirbook keeps the whole record of a farm that grows fish and raft crops in shared "
	     "water.\n\nCommands:");
	for (size_t i = 0; commands[i]; i++)
		printf("  weirbook %-10s %-6s %s\n", commands[i]->name, commands[i]->operands,
		       commands[i]->summary);
	puts("\nweirbook COMMAND --help says more about each.");
}

static void print_setting(enum setting s)
{
	const struct setting_row *row = &settings[s];

	printf("  %s%s%s\n        %s\n", row->name, row->value ? " " : "",
	       row->value ? row->value : "", row->help);
	if (row->fallback)
		printf("        not given: %s\n", row->fallback);
}

static void print_command(const struct command *c)
{
	printf("weirbook %s%s%s [settings]\n  %s\n\nSettings:\n", c->name, *c->operands ? " " : "",
	       c->operands, c->summary);
	for (const enum setting *s = c->takes; *s != SETTING__MAX; s++)
		print_setting(*s);
	print_setting(SETTING_HELP);
}

static bool takes(const struct command *c, enum setting s)
{
	for (const enum setting *t = c->takes; *t != SETTING__MAX; t++)
		if (*t == s)
			return true;
	return s == SETTING_HELP;
}

static int bad(const struct command *c, const char *what, const char *which)
{
	fprintf(stderr, "weirbook: %s%s; see weirbook %s%s--help\n", what, which, c ? c->name : "",
		c ? " " : "");
	return EXIT_ARGUMENTS;
}

/* The setting that text names, alone or as "--name=VALUE"; *value points behind the '='. */
static enum setting find_setting(const struct command *c, const char *text, const char **value)
{
	size_t n = strcspn(text, "=");

	*value = text[n] ? text + n + 1 : NULL;
	for (enum setting s = 0; s < SETTING__MAX; s++)
		if (takes(c, s) && strlen(settings[s].name) == n &&
		    strncmp(settings[s].name, text, n) == 0)
			return s;
	return SETTING__MAX;
}

/* Takes the setting at argv[*at], with its value, which may be the next one. */
static int take_setting(const struct command *c, int argc, char **argv, int *at,
			struct arguments *args)
{
	const char *value;
	const enum setting s = find_setting(c, argv[*at], &value);

	if (s == SETTING__MAX)
		return bad(c, "there is no setting ", argv[*at]);
	if (args->given[s])
		return bad(c, "give this setting once: ", settings[s].name);
	if (settings[s].value && !value && *at + 1 < argc)
		value = argv[++*at];
	if (!settings[s].value == !!value || (value && !*value))
		return bad(c,
			   settings[s].value ? "a value is missing after "
					     : "no value is taken by ",
			   settings[s].name);
	args->given[s] = value ? value : "";
	return EXIT_FINE;
}

/* Takes what follows the command's name; operands are moved to the front of argv. */
static int take_arguments(const struct command *c, int argc, char **argv, struct arguments *args)
{
	bool only_operands = false;
	int status = EXIT_FINE;

	args->operands = argv;
	for (int i = 0; i < argc && !status; i++) {
		if (only_operands || argv[i][0] != '-' || argv[i][1] == '\0')
			args->operands[args->n_operands++] = argv[i];
		else if (strcmp(argv[i], "--") == 0)
			only_operands = true;
		else
			status = take_setting(c, argc, argv, &i, args);
	}
	return status;
}

static int check_operands(const struct command *c, const struct arguments *args)
{
	if (args->n_operands < c->least)
		return bad(c, "still needed: ", c->operands);
	if (args->n_operands > c->most)
		return bad(c, "one argument too many: ", args->operands[c->most]);
	return EXIT_FINE;
}

int command_main(int argc, char **argv)
{
	struct arguments args = { 0 };
	const struct command *c;
	int status;

	if (argc < 2 || strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
		print_all();
		return EXIT_FINE;
	}
	c = find_command(argv[1]);
	if (!c)
		return bad(NULL, "there is no command ", argv[1]);
	status = take_arguments(c, argc - 2, argv + 2, &args);
	if (!status && args.given[SETTING_HELP]) {
		print_command(c);
		return EXIT_FINE;
	}
	if (!status)
		status = check_operands(c, &args);
	return status ? status : c->run(&args);
}

int command_failed(const struct err *err)
{
	for (size_t i = 0; i < err->n_items; i++)
		fprintf(stderr, "weirbook: %s\n", err->items[i].message);
	if (err->n_items == 0)
		fprintf(stderr, "weirbook: something went wrong (code %d)\n", err->code);
	return EXIT_FAILED;
}
