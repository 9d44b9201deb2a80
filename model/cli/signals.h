/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ctrl-C and SIGTERM ask a computation to stop; a second one ends the program at once. */
#ifndef BF_CLI_SIGNALS_H
#define BF_CLI_SIGNALS_H

void signals_catch(void);
/* The signal that came, 0: none. */
int signals_caught(void);

#endif
