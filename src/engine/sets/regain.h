/* regain.h - can it be brought about from every situation in which it is
 * asked? */
#ifndef KEEPCLEAR_ENGINE_SETS_REGAIN_H
#define KEEPCLEAR_ENGINE_SETS_REGAIN_H

#include "engine/sets/asked.h"
#include "engine/sets/sets.h"

struct arena;

enum regain {
    REGAIN_ALWAYS,
    REGAIN_NOT, /* there is a situation from which it cannot */
    REGAIN_LOST /* a limit was met */
};

/* What is found, and where it cannot be brought about, wanted and no limit
 * was met, the way there (astray.h); else NULL. */
struct regain_found {
    enum regain regain;
    const struct sequence *astray;
};

/* Of a run that is complete; the meaning is that of docs/notes/step.md,
 * section 8.  Those situations from which the goal can be brought about grow
 * backwards from the goal until nothing is added; then none of those in
 * which it is asked may lie outside. */
enum regain sets_regain(struct sets *sets, const struct regain_asked *asked);

/* The same, with the way; it lies in the arena. */
struct regain_found sets_regain_way(struct arena *arena, struct sets *sets,
                                    const struct regain_asked *asked);

#endif
