/* exit.h - exit codes of every verb. */
#ifndef KEEPCLEAR_CLI_EXIT_H
#define KEEPCLEAR_CLI_EXIT_H

enum cli_exit {
    CLI_KEPT = 0,         /* every requirement kept and put to the test */
    CLI_BROKEN = 1,       /* something broken or not put to the test */
    CLI_INPUT = 2,        /* the input is wrong */
    CLI_NOT_FINISHED = 3, /* not finished or not decided */
    CLI_INTERNAL = 4      /* internal error, full disk, closed output */
};

#endif
