/* shortest.h - the sequence that belongs to one requirement. */
#ifndef KEEPCLEAR_CLI_SHORTEST_H
#define KEEPCLEAR_CLI_SHORTEST_H

#include <stdbool.h>
#include <stdint.h>

struct findings;
struct loaded;
struct options;
struct replay;

struct shortest {
    const struct findings *findings;
    const struct replay *sequence; /* not NULL when the code is 0 */
    uint32_t requirement;
    bool breach; /* it ends in a breach: there is a chain of causes */
    bool impossible; /* after it, what is asked for can never be */
    const char *name;              /* of the requirement, as declared */
    const char *title;
    const char *what;   /* "the shortest way to break it", ... */
    const char *at_end; /* "R3 is broken", ... */
};

/* Judges that requirement alone: the shortest way to break it, or the
 * example of what is possible.  0, or an exit code with a message. */
int shortest_find(const struct options *options, const struct loaded *loaded,
                  const char *requirement, struct shortest *found);

#endif
