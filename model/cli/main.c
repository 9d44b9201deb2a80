/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront COMMAND [OPTION...]: the table of commands. */
#include "command.h"

#include <argp.h>
#include <stdio.h>
#include <string.h>

static const command commands[] = {
    {"rate", "capacity, leakage and salt efficiency against salt dose", command_rate},
};
enum { COMMANDS = sizeof commands / sizeof *commands };

static void print_help(FILE *out)
{
    (void)fprintf(out, "Usage: brinefront COMMAND [OPTION...] CASE\n\n"
                       "Simulates a softening bed through service and regeneration.\n\n");
    for (size_t c = 0; c < COMMANDS; c++) {
        (void)fprintf(out, "  %-8s %s\n", commands[c].name, commands[c].summary);
    }
    (void)fprintf(out,
                  "\nCASE is a file that describes water, bed and regeneration; - reads standard "
                  "input.\n`brinefront COMMAND --help` lists a command's options.\n\n"
                  "Exit: 0 the computation was done, 1 it could not be done, 2 the input is "
                  "wrong.\n");
}

int command_complain(bf_status status, const bf_error *err, const bf_notes *notes,
                     const char *file_name)
{
    int findings = 0;
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        if (note.kind == BF_NOTE_FINDING) {
            if (note.line > 0) {
                (void)fprintf(stderr, "%s:%ld:%ld: ", file_name, note.line, note.column);
            } else {
                (void)fprintf(stderr, "%s: ", file_name);
            }
            (void)fprintf(stderr, "%s: %s\n", note.where, note.text);
            findings++;
        }
    }
    if (findings == 0) {
        (void)fprintf(stderr, "brinefront: %s\n", err->message);
    }
    return status == BF_E_INPUT || status == BF_E_FILE || status == BF_E_RANGE ? EXIT_WRONG_INPUT
                                                                               : EXIT_NOT_DONE;
}

int main(int argc, char **argv)
{
    argp_err_exit_status = EXIT_WRONG_INPUT;
    if (argc < 2) {
        print_help(stderr);
        return EXIT_WRONG_INPUT;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_help(stdout);
        return EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        (void)printf("brinefront %s\n", BF_VERSION);
        return EXIT_DONE;
    }
    for (size_t c = 0; c < COMMANDS; c++) {
        if (strcmp(argv[1], commands[c].name) == 0) {
            char name[64];
            (void)snprintf(name, sizeof name, "brinefront %s", commands[c].name);
            argv[1] = name;
            return commands[c].run(argc - 1, argv + 1);
        }
    }
    (void)fprintf(stderr, "brinefront: no command \"%s\"; the commands are:", argv[1]);
    for (size_t c = 0; c < COMMANDS; c++) {
        (void)fprintf(stderr, " %s", commands[c].name);
    }
    (void)fputc('\n', stderr);
    return EXIT_WRONG_INPUT;
}
