/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SIGINT and SIGTERM ask a computation to stop; nothing else happens in the handler. */
#include "signals.h"

#include <signal.h>
#include <string.h>

/* The one thing that a signal handler may touch, and so the one mutable global of the program. */
static volatile sig_atomic_t caught;

static void catch_one(int number)
{
    caught = number;
}

void signals_catch(void)
{
    struct sigaction action;
    memset(&action, 0, sizeof action);
    action.sa_handler = catch_one;
    action.sa_flags = (int)SA_RESETHAND;
    (void)sigemptyset(&action.sa_mask);
    (void)sigaction(SIGINT, &action, NULL);
    (void)sigaction(SIGTERM, &action, NULL);
}

int signals_caught(void)
{
    return (int)caught;
}
