/* cli.h - the command line: verbs and options. */
#ifndef KEEPCLEAR_CLI_CLI_H
#define KEEPCLEAR_CLI_CLI_H

/* The whole program; the result is its exit code (exit.h). */
int cli_main(int argc, char **argv);

#endif
