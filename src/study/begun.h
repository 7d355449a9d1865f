/* begun.h - what a first review text of a control text says.
 *
 * Every row is a guess made of names, types, comments and use, and carries
 * its reason, so that people can see it and put it right.  Nothing here is
 * ever part of a result.
 */
#ifndef KEEPCLEAR_STUDY_BEGUN_H
#define KEEPCLEAR_STUDY_BEGUN_H

#include <stdbool.h>
#include <stdint.h>

#include "study/vocabulary.h"

struct type;

#define BEGUN_NONE UINT32_MAX

enum begun_kind {
    BEGUN_FREE, /* an input of which nothing is said, an output not listed */
    BEGUN_BUTTON, BEGUN_STOP, BEGUN_SWITCH, BEGUN_SELECTOR, BEGUN_SENSOR,
    BEGUN_VALVE, BEGUN_MOTOR, BEGUN_LAMP, BEGUN_HORN, BEGUN_OUTPUT
};

/* Why a stop has the contacts that it has. */
enum begun_contacts { CONTACTS_ASSUMED, CONTACTS_BY_NAME, CONTACTS_BY_USE };

/* An input or output of the programs. */
struct begun_signal {
    const char *name;    /* as declared, without its program */
    const char *path;    /* "Main.stop_ok" */
    const char *comment; /* behind the declaration; "" */
    bool own_comment;    /* it speaks of no other signal */
    const char *title;
    const struct type *type;
    uint32_t slot;
    bool input;
    enum begun_kind kind;
    const char *why; /* of the kind, or why nothing is said of it */
    bool opening;    /* STOP: FALSE stops */
    enum begun_contacts contacts;
    bool sensor_word; /* nothing else is known, but it looks like one */
    struct words words;
    uint32_t mechanism; /* SENSOR: the one that it sees an end of */
    uint32_t end;       /* 0 or 1 of it */
    bool paired;        /* one of two directions */
};

/* A part that moves between two ends. */
struct begun_mechanism {
    const char *name, *variable;
    const char *positions[3]; /* the ends 0 and 1, and what lies between;
                                 with one sensor end 1 is NULL */
    uint32_t sensors[2]; /* signals; sensors[1] may be BEGUN_NONE */
    uint32_t drives[2];  /* what moves it to the end, or BEGUN_NONE */
    enum axis axis;
    int sign;            /* of the end 0 */
    struct words stem;
};

/* Two outputs that drive to and fro. */
struct begun_pair {
    uint32_t one, other; /* one has the sign 1 */
    enum axis axis;
    struct words stem;
};

struct beginning {
    const char *name;          /* of the review */
    const char *const *lines;  /* of the review text that it needs to be
                                  read: FIXED, UNKNOWN */
    uint32_t n_lines;
    bool declares;             /* a control text of UNKNOWN blocks belongs
                                  to it */
    bool has_task;             /* a configuration says how long a scan is */
    struct begun_signal *signals; /* inputs, then outputs, as declared */
    uint32_t n_signals;
    struct begun_mechanism *mechanisms;
    uint32_t n_mechanisms;
    struct begun_pair *pairs;
    uint32_t n_pairs;
    const char *prefixes[3]; /* of faults, hazards, requirements */
};

/* How much is guessed, when not all of it can be read. */
enum begun_boldness { BEGUN_PLAIN, BEGUN_SIGNALS, BEGUN_MACHINE };

#endif
