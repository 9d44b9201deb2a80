/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A command of the library at a terminal or in a script. */
#ifndef BF_CLI_FRAME_H
#define BF_CLI_FRAME_H

#include "brinefront/answer.h"

/* Exit codes: the computation was done; it could not be done; the input is wrong. A signal ends
 * with 128 and its number. */
enum { EXIT_DONE = 0, EXIT_NOT_DONE = 1, EXIT_WRONG_INPUT = 2, EXIT_SIGNAL = 128 };

/* Ask `command` what the arguments say, and deliver the answer. argv[0] is the command's full name,
 * for its help. @return an exit code */
int frame_run(const bf_command *command, int argc, char **argv);

#endif
