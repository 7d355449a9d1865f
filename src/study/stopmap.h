/* stopmap.h - what stops what, and what may go on while a stop is latched.
 *
 * A line is an actuator that can move something (valve, motor, or whatever
 * else a machine variable reads), or a part of the machine: a variable that
 * moves.  A column is a state of the controls: one stop pressed; every stop
 * pressed at once, where there are several; one rescue control held.  A
 * rescue control is found, not declared: something is on while every stop is
 * pressed, and then only while this control, or one of a few of which it is
 * one, is off its rest.
 *
 * Of an actuator a cell says what is so at one judging: the column and the
 * actuator then.  Of a part it says what was so while it moved: the column at
 * the judging before a machine step in which the variable changes, for it
 * was that judging's actuators that moved it.
 *
 * Everything counts over all reachable situations.  "By the wiring alone"
 * counts over a wider set: every command free in every scan, the programs
 * left out.
 */
#ifndef KEEPCLEAR_STUDY_STOPMAP_H
#define KEEPCLEAR_STUDY_STOPMAP_H

#include <stdbool.h>
#include <stdint.h>

#include "study/chart.h"

struct machine;
struct replay;

enum stopmap_kind {
    STOPMAP_STOP,   /* control `of` is pressed */
    STOPMAP_EVERY,  /* all stops are */
    STOPMAP_RESCUE  /* control `of` is held */
};

struct stopmap_column {
    enum stopmap_kind kind;
    uint32_t of;
    enum chart_state occurs; /* can it be so? */
};

struct stopmap_line {
    bool part;
    uint32_t of;              /* actuator; part: slot */
    const uint32_t *driven_by; /* part: actuators that it reads */
    uint32_t n_driven_by;
    const uint32_t *movements; /* part: of the model, in their order */
    uint32_t n_movements;
    enum chart_state occurs;  /* is it ever on; part: does it ever move */
};

/* Holds whenever the actuator is on in this column: an input stands so. */
struct stopmap_need {
    bool sensor;
    uint32_t of;    /* row of choices, sensor */
    uint32_t value; /* index; sensor: 0, 1 */
    bool other;     /* any position but this one */
};

/* How long what moved when the stop was pressed goes on, without a break and
 * without being begun anew (stoplasting.h). */
enum stopmap_lasts {
    STOPMAP_LASTS,          /* `lasting` judgings at most; 0: it is off in the
                               same scan */
    STOPMAP_LASTS_LONGER,   /* STOPMAP_LONGEST at least: followed no further */
    STOPMAP_LASTS_NOT_KNOWN /* `lasting` at least; a limit came */
};
enum { STOPMAP_LONGEST = 64 }; /* a power of 2 */

struct stopmap_cell {
    enum chart_state on;        /* part: moves */
    enum chart_state commanded; /* actuator: the programs ask for it */
    enum chart_state wired;     /* actuator: on with every command free;
                                   CHART_NEVER: off by the wiring alone */
    /* Of an actuator that can be on: */
    const struct stopmap_need *needs; /* every one holds whenever it is on */
    uint32_t n_needs;
    const uint32_t *hands; /* rows of controls: one of these at least is off
                              its rest whenever it is on, and of fewer of
                              them that is not so; none: nothing is known */
    uint32_t n_hands;
    bool needs_open;       /* a limit came before all needs were known */
    /* Of an actuator that can be on, a part that can move: */
    enum stopmap_lasts lasts;
    uint32_t lasting;
    const struct replay *shown; /* the shortest sequence to it, whose last
                                   scan has it; NULL: not asked for, or a
                                   limit came */
    /* Of a part: per movement of the line, then any other change. */
    const enum chart_state *moves;
};

struct stopmap {
    const struct model *model;
    const struct machine *machine; /* reads the states of sequences */
    struct stopmap_column *columns;
    uint32_t n_columns;
    struct stopmap_line *lines; /* each part behind the actuators that it
                                   alone, or it first, is driven by */
    uint32_t n_lines;
    struct stopmap_cell *cells; /* per line, per column */
    uint32_t n_stops;
    uint32_t faults;          /* so many may appear */
    uint64_t situations;      /* of the largest question; UINT64_MAX: more */
    uint32_t errors;          /* run-time errors at which paths end */
    bool errors_open;         /* others could not be excluded */
    bool dead_end;            /* assumptions may leave no way to go on */
    enum stop_reason stop;    /* why something is not known */
    const char *internal_error;
};

const struct stopmap_cell *stopmap_cell(const struct stopmap *map,
                                        uint32_t line, uint32_t column);

/* Is this actuator on, or this part moving, in that column in no reachable
 * situation, though both occur? */
bool stopmap_stops(const struct stopmap *map, uint32_t line, uint32_t column);

/* As chart_exit_code. */
int stopmap_exit_code(const struct stopmap *map);

#endif
