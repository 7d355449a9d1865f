/* shown.h - the variables by which a diagram is drawn. */
#ifndef KEEPCLEAR_STUDY_SHOWN_H
#define KEEPCLEAR_STUDY_SHOWN_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct model;
struct names;
struct type;

/* More of them are refused. */
enum { SHOWN_MOST = 16 };

enum shown_kind {
    SHOWN_SLOT,   /* index: slot */
    SHOWN_HAND,   /* index: control, its position */
    SHOWN_CONTACT /* index: contact, its sound value */
};

struct shown {
    enum shown_kind kind;
    uint32_t index;
    const char *name; /* as a user would write it */
    const struct type *type;
    bool two_words;   /* BOOL said as on and off */
};

struct shown_list {
    const struct shown *at;
    uint32_t n;
    const char *failure; /* a sentence with what to do, or NULL */
};

/* Reads "gap,Main.step": bare names or Program.name, regardless of case.  A
 * bare name is the real thing: machine, actuator, control or contact before
 * a variable of a program.  A sensor is shown as the program reads it. */
struct shown_list shown_read(struct arena *arena, struct names *names,
                             const struct model *model, const char *list);

/* A choice where nobody chose: the enumerations of the machine, else those
 * of the programs, else the actuators, else the first few variables of the
 * programs. */
struct shown_list shown_usual(struct arena *arena,
                              const struct model *model);

#endif
