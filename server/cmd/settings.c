/* The table of settings.  Reading them from the command line is left to command.c. */
#include "cmd/settings.h"

const struct setting_row settings[SETTING__MAX] = {
	[SETTING_DB] = { .name = "--db",
			 .value = "FILE",
			 .fallback = "weirbook.db in $STATE_DIRECTORY, else in weirbook/ of the "
				     "user's data folder",
			 .help = "the record" },
	[SETTING_LISTEN] = { .name = "--listen",
			     .value = "ADDR:PORT",
			     .fallback = "127.0.0.1:8080",
			     .help = "where to serve; port 0 takes a free one and prints it" },
	[SETTING_OPEN_LAN] = { .name = "--open-lan",
			       .help = "serve the whole network: everybody on it can read and "
				       "write, without signing in" },
	[SETTING_HOST] = { .name = "--host",
			   .value = "NAME,...",
			   .help = "names by which browsers reach this service, beside localhost" },
	[SETTING_WEB] = { .name = "--web",
			  .value = "DIR",
			  .help = "read web files from DIR, not from the program (development)" },
	[SETTING_ALARM_COMMAND] = { .name = "--alarm-command",
				    .value = "FILE",
				    .help = "run FILE when an alarm is raised or cleared (a siren, "
					    "a "
					    "relay); no substitute for a wired alarm" },
	[SETTING_FRESH] = { .name = "--fresh",
			    .help = "make the demo farm anew; the file before is kept as "
				    "FILE.old" },
	[SETTING_BESIDE] = { .name = "--beside",
			     .value = "PORT",
			     .help = "the port of the farm that it stands beside; it ends with "
				     "that "
				     "service, which gives this by itself" },
	[SETTING_DRY_RUN] = { .name = "--dry-run",
			      .help = "say what would happen, and keep nothing" },
	[SETTING_SEPARATOR] = { .name = "--separator",
				.value = "CHAR",
				.fallback = ",",
				.help = "what stands between cells: , or ; or tab" },
	[SETTING_DECIMAL] = { .name = "--decimal",
			      .value = "CHAR",
			      .fallback = ".",
			      .help = "the decimal sign of numbers: . or ," },
	[SETTING_HELP] = { .name = "--help", .help = "print this" },
};
