/* moment.h - a result that is being explained, and one moment of it. */
#ifndef KEEPCLEAR_CLI_MOMENT_H
#define KEEPCLEAR_CLI_MOMENT_H

struct findings;
struct loaded;
struct options;
struct text;

struct moment {
    const struct options *options;
    const struct loaded *loaded;
    const struct findings *findings;
    struct text *out;
};

/* Why --of is as it is --at that time of the first sequence there is, and
 * what would have to be otherwise.  0, or CLI_INPUT after a complaint. */
int moment_explain(const struct moment *moment);

#endif
