/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront COMMAND [OPTION...]: the commands that the library answers, by name. */
#include "frame.h"

#include "brinefront/libraries.h"
#include "brinefront/version.h"

#include <argp.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

static void print_help(FILE *out)
{
    (void)fprintf(out, "Usage: brinefront COMMAND [OPTION...] CASE\n\n"
                       "Simulates a softening bed through service and regeneration.\n\n");
    for (size_t c = 0; c < bf_command_count(); c++) {
        const bf_command command = bf_command_get(c);
        (void)fprintf(out, "  %-8s %s\n", command.name, command.summary);
    }
    (void)fprintf(out,
                  "\nCASE is a file that describes water, bed and regeneration; - reads standard "
                  "input.\n`brinefront COMMAND --help` lists a command's options.\n\n"
                  "Exit: 0 the computation was done, 1 it could not be done, 2 the input is "
                  "wrong, 130 or 143 it was stopped by Ctrl-C or SIGTERM.\n");
}

static void print_version(void)
{
    bf_library libraries[BF_LIBRARIES];
    bf_libraries(libraries);
    (void)printf("brinefront %s\n", bf_version());
    for (size_t i = 0; i < BF_LIBRARIES; i++) {
        (void)printf("  %s %s: %s\n", libraries[i].name, libraries[i].version,
                     libraries[i].purpose);
    }
}

/* What was printed may still wait in memory: did it get out? */
static int finish_printing(void)
{
    if (fflush(stdout) == 0 && ferror(stdout) == 0) {
        return EXIT_DONE;
    }
    perror("brinefront: cannot write standard output");
    return EXIT_NOT_DONE;
}

int main(int argc, char **argv)
{
    argp_err_exit_status = EXIT_WRONG_INPUT;
    (void)signal(SIGPIPE, SIG_IGN); /* a reader that went away is a failed write, and said so */
    if (argc < 2) {
        print_help(stderr);
        return EXIT_WRONG_INPUT;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_help(stdout);
        return finish_printing();
    }
    if (strcmp(argv[1], "--version") == 0) {
        print_version();
        return finish_printing();
    }
    bf_command command;
    bf_error err = {0};
    if (bf_command_find(argv[1], &command, &err) != BF_OK) {
        (void)fprintf(stderr, "brinefront: %s\n", err.message);
        return EXIT_WRONG_INPUT;
    }
    char name[64];
    (void)snprintf(name, sizeof name, "brinefront %s", command.name);
    argv[1] = name;
    return frame_run(&command, argc - 1, argv + 1);
}
