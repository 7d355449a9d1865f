/* load.h - reading the texts of a run: files to checked tree. */
#ifndef KEEPCLEAR_STUDY_LOAD_H
#define KEEPCLEAR_STUDY_LOAD_H

#include <stdbool.h>
#include <stddef.h>

#include "lang/review.h"

struct arena;
struct diags;
struct model;
struct names;
struct sources;
struct text;

/* A text that stands for what is in a file. */
struct load_instead {
    const char *path; /* as the run names the file */
    const char *text;
    size_t n;
};

struct load_request {
    const char *path;    /* a review text (.review) or control text */
    const char *control; /* replaces the first control text that the review
                            names, or NULL */
    const char *const *controls; /* replace all that the review names, paths
                                    as they are; or NULL */
    int n_controls;
    char *const *more;   /* further control texts beside a control text */
    int n_more;
    const char *review;  /* the review text of control texts, when it stands
                            in no file; or NULL */
    const char *declared; /* one more control text that stands in no file */
    const char *alone;    /* this PROGRAM alone runs, and what is global may
                             have any value before each scan; or NULL */
    enum tree_spelling spelling; /* what is said of spellings */
    const struct load_instead *instead; /* or NULL */
    const struct tree_run *beside; /* its REAL numbers are numbers of this run
                                      too, so that values of both can be
                                      compared; or NULL */
};

/* All that belongs to one run; freed as a whole. */
struct loaded {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    const struct model *model; /* NULL when there are errors */
    const struct tree_run *run; /* what was read */
    bool parsed; /* what is wrong with the texts stands in parts of them */
    const char *failure;       /* a file could not be read: a sentence with
                                  what to do; NULL otherwise */
};

/* Reads, parses and checks.  A text whose first word is REVIEW is a review
 * text, any other a control text; CONTROL paths are relative to the review.
 * Never NULL. */
struct loaded *load_run(const struct load_request *request);

/* Reads one text and appends it, laid out evenly, to out; out stays as it is
 * when there is an error.  No model is made.  Never NULL. */
struct loaded *load_layout(const char *path, struct text *out);

void loaded_free(struct loaded *loaded);

/* Largest text that is read, bytes. */
#define LOAD_LIMIT ((size_t)64 << 20)

#endif
