/* signalway.h - the way of a signal: by which contacts, wiring, variables,
 * latches and timers a control acts on which actuators.
 *
 * Made from what reads what in the texts (dependence.h), without asking what
 * can be reached.  Where a signal comes back, from an actuator or the machine
 * by a sensor or WIRING IN, a new way begins, which is not followed.
 *
 * What is one signal is one point: a contact and the program input of its
 * name, a command and its actuator without WIRING OUT, a standard block with
 * all its variables.
 */
#ifndef KEEPCLEAR_STUDY_SIGNALWAY_H
#define KEEPCLEAR_STUDY_SIGNALWAY_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"

struct arena;
struct code_pou;
struct lowered;
struct model;

enum waypoint_kind {
    WAYPOINT_CONTROL,  /* control `of` */
    WAYPOINT_CONTACT,  /* contact `of` */
    WAYPOINT_SENSOR,   /* sensor `of` */
    WAYPOINT_INPUT,    /* slot: a program input that nothing describes, or that
                          WIRING IN gives */
    WAYPOINT_RELAY,    /* slot: variable of the wiring */
    WAYPOINT_VARIABLE, /* slot of a program, function or block */
    WAYPOINT_BLOCK,    /* first slot of an instance, `pou` */
    WAYPOINT_PROGRAM,  /* program `of`, variables of it */
    WAYPOINT_COMMAND,  /* actuator `of`: what it is told, before WIRING OUT */
    WAYPOINT_ACTUATOR, /* actuator `of` */
    WAYPOINT_PART      /* slot: a variable of the machine */
};

struct waypoint {
    enum waypoint_kind kind;
    uint32_t of;
    const struct code_pou *pou; /* block */
    bool remembered;    /* its value outlives the scan and is read then */
    bool ends;          /* asked for, or where ways end */
    struct span place;  /* where it is first given a value; file 0: nowhere */
    uint32_t distance;  /* arrows from the nearest beginning */
};

struct way_arrow {
    uint32_t from, to; /* waypoints */
};

/* How much is drawn together. */
enum way_grain {
    WAY_VARIABLES, /* nothing */
    WAY_BLOCKS,    /* each instance of a block of the texts */
    WAY_PROGRAMS   /* and each program, but for what it commands */
};

struct signal_way {
    const struct model *model;
    const struct waypoint *points; /* by distance */
    uint32_t n_points;
    const struct way_arrow *arrows; /* by to, then from; none to itself */
    uint32_t n_arrows;
    enum way_grain grain;
    uint32_t n_finest;    /* points that WAY_VARIABLES would have */
    bool forward, backward; /* asked from where it begins, to where it ends */
    const char *from, *to; /* names asked for; to may be NULL */
    const char *failure;  /* a sentence with what to do, or NULL */
};

/* Of "NAME" or "FROM,TO": a control, contact, sensor or input: forward to the
 * actuators; an actuator or a part: backward to the controls; any other
 * variable: both.  grain: the finest with at most `most` points, else the
 * coarsest.  lowered: what lower_model made of the model.  Lies in the
 * arena. */
const struct signal_way *signalway_find(struct arena *arena,
                                        const struct model *model,
                                        const struct lowered *lowered,
                                        const char *name, uint32_t most);

#endif
