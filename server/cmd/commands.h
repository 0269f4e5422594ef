/* The commands, one file each. */
#ifndef WEIRBOOK_CMD_COMMANDS_H
#define WEIRBOOK_CMD_COMMANDS_H

#include "cmd/command.h"

extern const struct command command_backup;
extern const struct command command_calc;
extern const struct command command_check;
extern const struct command command_demo;
extern const struct command command_describe;
extern const struct command command_export;
extern const struct command command_import;
extern const struct command command_rebuild;
extern const struct command command_serve;
extern const struct command command_version;

#endif
