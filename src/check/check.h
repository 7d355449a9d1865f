/* check.h - from the syntax tree to the checked tree. */
#ifndef KEEPCLEAR_CHECK_CHECK_H
#define KEEPCLEAR_CHECK_CHECK_H

struct arena;
struct diags;
struct model;
struct names;
struct sources;
struct tree_run;

struct check_context {
    struct arena *arena; /* the model lies here */
    struct names *names;
    const struct sources *sources;
    struct diags *diags;
};

/* Resolves and checks all texts of a run.  NULL when there is an error; all
 * mistakes found are in diags, each once, with place and what to do.
 * Without a review text (run->review.name NULL) the model has a scan of
 * 100 ms, marked assumed, every program input free, no machine and no
 * requirement. */
const struct model *check_run(const struct check_context *context,
                              const struct tree_run *run);

#endif
