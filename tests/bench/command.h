/* command.h - the program as a process of its own, without its output. */
#ifndef KEEPCLEAR_BENCH_COMMAND_H
#define KEEPCLEAR_BENCH_COMMAND_H

#include <stdbool.h>
#include <sys/types.h>

struct command {
    pid_t id;
};

/* `keepclear VERB_AND_OPTIONS`, ended after so many processor seconds, or 20
 * times as many by the wall.  command_end has to be called for it. */
struct command command_start(const char *verb_and_options, unsigned seconds);

/* Waits for it; its processor seconds.  *ended: it was ended by a limit,
 * whatever it was doing. */
double command_end(struct command command, bool *ended);

#endif
