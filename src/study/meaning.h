/* meaning.h - what a column of a recorded log means in a model, and what its
 * values are there. */
#ifndef KEEPCLEAR_STUDY_MEANING_H
#define KEEPCLEAR_STUDY_MEANING_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/flat.h"

struct arena;
struct choice;
struct lowered;
struct model;
struct type;

/* Inputs stand for READ, actuators for COMMANDED; other variables of the
 * programs for themselves, as a scan leaves them. */
struct meaning {
    const char *name;     /* as it is said; NULL: nothing is meant */
    const char *why_not;  /* then why, a phrase */
    bool wrong;           /* and that is a mistake of who wrote it */
    const struct type *type;
    flat_expr value;      /* at a judging */
    const struct choice *cut; /* input whose values stand for others, or
                                 NULL */
};

/* What a name means; all lies in the arena. */
struct meaning meaning_of(struct arena *arena, const struct model *model,
                          const struct lowered *lowered, const char *name);

/* The value that a field of the log says; false: none of the type. */
bool meaning_read(const struct meaning *meaning, const char *field,
                  int64_t *value);

#endif
