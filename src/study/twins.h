/* twins.h - two versions of a control text side by side, with one machine.
 *
 * Both are lowered, and the programs of the new one are put into the logic of
 * the old one: they read the same hands, faults, power, time and machine and
 * have variables of their own.  The machine follows the old one.  So what is
 * asked of both holds as long as all outputs that drive it agree (apart.h).
 */
#ifndef KEEPCLEAR_STUDY_TWINS_H
#define KEEPCLEAR_STUDY_TWINS_H

#include "study/partner.h"
#include "study/study.h"

/* What is compared: an actuator as it is commanded, or an output of the text
 * that the review does not speak of. */
struct twins_output {
    const char *name, *title; /* title: of the actuator, else the name */
    uint32_t actuator;        /* the same in both, or MODEL_NONE */
    uint32_t was, is;         /* slots, without an actuator */
    const struct type *type;
    bool drives;              /* something reads it: machine, wiring, program,
                                 assumption */
    bool identical;           /* the same expression of the same things */
};

struct twins {
    struct study study; /* its logic is that of both, its model that of the old
                           one with the choice rows of both */
    struct version was, is;       /* rows aligned (partner.h) */
    struct machine *old_machine, *new_machine;
    const uint32_t *slots;        /* per slot of the new one: partner.h */
    const uint32_t *row;          /* per row of the new one: row of both */
    const struct twins_output *outputs;
    uint32_t n_outputs;
    uint32_t difference; /* first watch: two per output (WATCH_DIFFERENCE),
                            what is intended left out; behind them one for
                            each intended difference */
    const uint32_t *parted; /* per output: it has differed in the scan before;
                               MODEL_NONE where it drives nothing or cannot */
    uint32_t error;      /* first watch of the new one's error sites */
    uint32_t n_errors;
    const bool *rough_row; /* per row of both: its values are a few of too
                              many */
    bool rough;          /* there is such a row */
    const struct twins_breach *breaches; /* per requirement of the new one;
                                            TWINS_AT_WILL only */
};

/* A requirement and the old one of its name: watches. */
struct twins_breach {
    uint32_t partner;  /* MODEL_NONE: there is none */
    uint32_t was, is;  /* the old one, the new one is broken */
    uint32_t only_old, only_new; /* in the same scan the other one is not */
};

/* What runs between inputs and actuators. */
enum twins_way {
    TWINS_WHOLE,     /* both programs and the machine */
    TWINS_READ_FREE, /* no machine and no assumptions: what the programs read
                        has any value in every scan */
    TWINS_AT_WILL    /* no programs and no assumptions: actuators and what
                        programs write have any value; what is judged may
                        differ, and outputs are not compared */
};

struct twins_asked {
    struct version was, is;
    const struct renames *renames;
    const struct study_setting *setting;
    enum twins_way way;
};

/* Puts both side by side; all of it lies in the arena.  NULL: done; else a
 * sentence why they cannot be, or "" where diags says so. */
const char *twins_open(struct twins *pair, struct arena *arena,
                      const struct twins_asked *asked, struct diags *diags);
void twins_close(struct twins *pair);

#endif
