/* comparing.h - two versions are loaded, compared and told. */
#ifndef KEEPCLEAR_CLI_COMPARING_H
#define KEEPCLEAR_CLI_COMPARING_H

struct options;
struct text;

/* With --signed of a control text: that one against the one that the review
 * names, or --control; else as the options of `compare` say.  Adds what is
 * told to out; gives the exit code of `compare`, after a complaint where that
 * is CLI_INPUT or CLI_INTERNAL. */
int comparing_run(const struct options *options, struct text *out);

#endif
