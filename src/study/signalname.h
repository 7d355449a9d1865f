/* signalname.h - the node of dependence.h that a name means. */
#ifndef KEEPCLEAR_STUDY_SIGNALNAME_H
#define KEEPCLEAR_STUDY_SIGNALNAME_H

#include <stddef.h>
#include <stdint.h>

struct arena;
struct model;

struct signal_name {
    uint32_t node;       /* MODEL_NONE: see failure */
    const char *failure; /* a sentence with what to do; "" for what is there
                            more than once */
};

/* Regardless of case: controls, contacts, sensors, actuators, then variables
 * by their whole path, then by its end, which must be one alone. */
struct signal_name signalname_find(struct arena *arena,
                                   const struct model *model,
                                   const char *name);

#endif
