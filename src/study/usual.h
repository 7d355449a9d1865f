/* usual.h - the faults that are usually looked at for what a review text
 * names: contacts, sensors, wires, actuators, relays, programs, supplies.
 *
 * A list to begin with, after the fault lists of ISO 13849-2:2012 (which annex
 * holds what is read on a public page, the details are from memory).
 */
#ifndef KEEPCLEAR_STUDY_USUAL_H
#define KEEPCLEAR_STUDY_USUAL_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct effect;
struct loaded;
struct model;

/* Where a fault of the list comes from. */
enum usual_source {
    USUAL_ANNEX_A, /* mechanical */
    USUAL_ANNEX_C, /* hydraulic */
    USUAL_ANNEX_D, /* electrical */
    USUAL_PRACTICE /* common practice, no source */
};

struct usual {
    const char *heading; /* of the part that begins here, or NULL */
    const char *name;    /* free in all texts of the run, or of the fault that
                            says the same already */
    bool said;           /* it does */
    const struct effect *effects; /* what it is: of one kind */
    uint32_t n_effects;
    const char *note;    /* what breaks */
    enum usual_source source;
    bool excluded;       /* usually excluded, for a reason */
};

struct usual_list {
    const struct usual *at;
    uint32_t n;
};

/* In the arena of what was loaded. */
struct usual_list usual_faults(struct loaded *loaded);

#endif
