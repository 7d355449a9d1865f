/* caught.h - for each requirement one wrong change of the control text that
 * it catches, with the sequence in which it breaks then. */
#ifndef KEEPCLEAR_STUDY_CAUGHT_H
#define KEEPCLEAR_STUDY_CAUGHT_H

#include <stdint.h>

struct change;
struct findings;
struct load_request;
struct loaded;
struct study_setting;
struct unguarded_findings;

struct caught {
    const struct change *change;     /* NULL: none of those looked at */
    struct loaded *changed;          /* the changed text, loaded */
    const struct findings *findings; /* of it, this requirement alone */
};

/* Per requirement of the model: the first change that breaks it, else the
 * first that it notices otherwise.  request: how the run was loaded.  To be
 * released; lies in the arena of `loaded`. */
struct caught *caught_find(struct loaded *loaded,
                           const struct load_request *request,
                           const struct study_setting *setting,
                           const struct unguarded_findings *found);
void caught_release(struct caught *caught, uint32_t n_requirements);

#endif
