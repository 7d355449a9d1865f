/* rights.h - which text may read what (docs/notes/step.md, section 1). */
#ifndef KEEPCLEAR_CHECK_RIGHTS_H
#define KEEPCLEAR_CHECK_RIGHTS_H

#include "check/env.h"

enum thing {
    THING_HAND,
    THING_CONTACT,
    THING_SENSOR,
    THING_READ,
    THING_PROGRAM,
    THING_COMMANDED,
    THING_ACTUATOR,
    THING_MACHINE,
    THING_RECORDER,
    THING_RELAY_IN,
    THING_RELAY_OUT,
    THING_FAULT,
    THING_POWER,
    THING_START,
    THING_ELAPSED,
    THINGS
};

/* May env read a thing of this kind here?  If not, the refusal says what
 * may be read and how to say it. */
bool rights_read(const struct env *env, enum thing thing, struct span span);

/* May PREVIOUS, RISING, FALLING stand here?  Reports if not. */
bool rights_edge(const struct env *env, const char *word, struct span span);

/* May TRUE FOR stand here?  Reports if not. */
bool rights_clock(const struct env *env, struct span span);

/* "a MECHANISM", "an assumption", ... */
const char *rights_text(enum text_kind text);

#endif
