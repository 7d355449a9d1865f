/* lanes.h - what a timing diagram shows of a sequence, whatever its form. */
#ifndef KEEPCLEAR_PRESENT_LANES_H
#define KEEPCLEAR_PRESENT_LANES_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct findings;
struct replay;
struct shown_list;
struct text;
struct type;

enum {
    LANES_MOST_SCANS = 60, /* of a longer sequence the end is shown */
    LANES_MOST_LEVELS = 6  /* more numbers than that are no levels */
};

enum lane_group {
    LANE_FAULT,    /* power and faults */
    LANE_OPERATOR, /* controls and free inputs that are used */
    LANE_PROGRAM,  /* chosen variables */
    LANE_OUTPUT,   /* actuators that are on at some time */
    LANE_MACHINE
};

/* One line of the diagram; values and levels are of the scans shown. */
struct lane {
    enum lane_group group;
    const char *name;  /* as the texts spell it */
    const char *title; /* for people; the name where there is none */
    const struct type *type;
    bool on_off;            /* drawn as off and on */
    const int64_t *values;  /* per scan shown */
    const int64_t *levels;  /* the values that occur, ascending */
    uint32_t n_levels;
};

struct lanes {
    const struct lane *at;
    uint32_t n;
    uint32_t first;   /* number of the first scan shown */
    uint32_t n_scans; /* shown */
    const int64_t *times; /* per scan shown, and of the next one: ms */
    int64_t shortest, longest; /* scans, ms */
    const char *never_on; /* names of actuators that stay off, or "" */
};

/* by: further variables, or NULL.  All of it lies in the arena. */
struct lanes lanes_make(struct arena *arena, const struct findings *findings,
                        const struct replay *replay,
                        const struct shown_list *by);

/* A value of a lane as a user writes it. */
void lane_value(struct text *out, const struct lane *lane, int64_t value);

/* The heading of a group of lanes. */
const char *lane_heading(enum lane_group group);

#endif
