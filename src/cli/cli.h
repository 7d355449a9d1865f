/* cli.h - the command line: verbs, options, exit codes. */
#ifndef KEEPCLEAR_CLI_CLI_H
#define KEEPCLEAR_CLI_CLI_H

/* Exit codes of every verb. */
enum cli_exit {
    CLI_KEPT = 0,         /* every requirement kept and put to the test */
    CLI_BROKEN = 1,       /* something broken or not put to the test */
    CLI_INPUT = 2,        /* the input is wrong */
    CLI_NOT_FINISHED = 3, /* not finished or not decided */
    CLI_INTERNAL = 4      /* internal error, full disk, closed output */
};

/* The whole program; the result is its exit code. */
int cli_main(int argc, char **argv);

#endif
