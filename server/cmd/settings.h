/* Every setting of every command, in one table: --help is printed from it. */
#ifndef WEIRBOOK_CMD_SETTINGS_H
#define WEIRBOOK_CMD_SETTINGS_H

enum setting {
	SETTING_DB,
	SETTING_LISTEN,
	SETTING_OPEN_LAN,
	SETTING_HOST,
	SETTING_WEB,
	SETTING_ALARM_COMMAND,
	SETTING_FRESH,
	SETTING_BESIDE,
	SETTING_DRY_RUN,
	SETTING_SEPARATOR,
	SETTING_DECIMAL,
	SETTING_HELP,
	SETTING__MAX
};

struct setting_row {
	const char *name;  /* "--db" */
	const char *value; /* what it takes, "FILE"; NULL: it stands alone */
	const char
		*fallback; /* what holds when it is not given, in words for --help; NULL: nothing */
	const char *help;  /* one line */
};

extern const struct setting_row settings[SETTING__MAX];

#endif
