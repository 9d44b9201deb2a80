/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront COMMAND [OPTION...]: the table of commands. */
#include "command.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>

static const command commands[] = {
    {"check", "a case printed back, with what follows from it", command_check},
    {"rate", "capacity, leakage and salt efficiency against salt dose", command_rate},
    {"cycle", "one cycle from inside: effluent, elution, the bed after each step", command_cycle},
    {"size", "the least dose, bed, salt or end point for what is wanted", command_size},
    {"compare", "beds side by side, and what differences lie beyond the band", command_compare},
    {"foul", "years of a bed on water with iron: what stays in it, what that costs", command_foul},
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

int command_complain(bf_status status, const bf_error *err, const bf_notes *notes,
                     const char *file_name)
{
    int findings = 0;
    const char *name = strcmp(file_name, "-") == 0 ? "standard input" : file_name;
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        if (note.kind == BF_NOTE_FINDING) {
            if (note.line > 0) {
                (void)fprintf(stderr, "%s:%ld:%ld: ", name, note.line, note.column);
            } else {
                (void)fprintf(stderr, "%s: ", name);
            }
            const char *where = strcmp(note.where, name) == 0 ? "" : note.where;
            (void)fprintf(stderr, "%s%s%s\n", where, *where ? ": " : "", note.text);
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
