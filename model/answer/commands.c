/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of commands. Only the frame (answer.c) asks for one, so that commands may use all else. */
#include "answer/frame.h"

#include <string.h>

static const bf__command *const commands[] = {&bf__command_check,   &bf__command_rate,
                                              &bf__command_cycle,   &bf__command_size,
                                              &bf__command_compare, &bf__command_foul};
enum { COMMANDS = sizeof commands / sizeof *commands };

size_t bf_command_count(void)
{
    return COMMANDS;
}

bf_command bf_command_get(size_t index)
{
    return commands[index]->about;
}

static const bf__command *find_command(const char *name, bf_error *err)
{
    char names[200] = "";
    for (size_t c = 0; c < COMMANDS; c++) {
        if (strcmp(name, commands[c]->about.name) == 0) {
            return commands[c];
        }
        (void)strncat(names, " ", sizeof names - strlen(names) - 1);
        (void)strncat(names, commands[c]->about.name, sizeof names - strlen(names) - 1);
    }
    (void)bf_error_set(err, BF_E_INPUT, "command", "no command \"%s\"; the commands are:%s", name,
                       names);
    return NULL;
}

bf_status bf_command_find(const char *name, bf_command *out, bf_error *err)
{
    const bf__command *command = find_command(name, err);
    if (command == NULL) {
        return BF_E_INPUT;
    }
    *out = command->about;
    return BF_OK;
}

bf_status bf__command_set(bf__frame *frame, bf_error *err)
{
    frame->command = find_command(frame->question->command, err);
    if (frame->command == NULL) {
        return BF_E_INPUT;
    }
    frame->leaves_protocol = frame->command->leaves_protocol;
    return BF_OK;
}
