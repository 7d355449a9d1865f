/* setting.h - where controllers differ: what the makers of controllers decide.
 *
 * Each place has choices, and one holds in a whole run.  The first choice is
 * what the standard says, where it says anything.
 */
#ifndef KEEPCLEAR_CHECK_SETTING_H
#define KEEPCLEAR_CHECK_SETTING_H

#include <stdbool.h>
#include <stdint.h>

/* Choices by value, in this order. */
enum setting_kind {
    SETTING_OVERFLOW,   /* reported, wraps, saturates */
    SETTING_LATCHES,    /* SR and RS: as named, swapped */
    SETTING_EDGES,      /* first call: as the standard's bodies, F_TRIG is
                           silent, both are */
    SETTING_COUNTERS,   /* up to the end of the type, up to PV */
    SETTING_CONDITIONS, /* AND, OR: both sides, as far as needed */
    SETTING_LOOPS,      /* variable behind FOR: counted on, last one used */
    SETTING_SUBRANGES,  /* without a value: lower limit, 0 */
    SETTING_PRESETS,    /* PT while timing: read at every call, latched */
    SETTING_ZERO_TIMES, /* PT = 0: in the same call, in the next one */
    SETTING_TIMERS,     /* time goes on: in every scan, in calls only */
    SETTING_ELAPSED,    /* ET stops: at PT, at the call that found the timer
                           over, never */
    SETTING_ROUNDING,   /* REAL to a whole number: nearest, halves to even,
                           halves away from 0; cut */
    SETTING_PLACES,     /* numbers of places count: each width by itself,
                           bytes, words.  Nobody says which is usual: it has
                           to be said where it matters (overlap.h) */
    SETTING_KINDS
};

enum { OVERFLOW_REPORTED, OVERFLOW_WRAPS, OVERFLOW_SATURATES };
enum { ELAPSED_PRESET, ELAPSED_OVERSHOOT, ELAPSED_ENDLESS };
enum { ROUNDING_EVEN, ROUNDING_AWAY, ROUNDING_CUT, ROUNDINGS };
enum { PLACES_WIDTHS, PLACES_BYTES, PLACES_WORDS, PLACES };
enum { EDGES_STANDARD, EDGES_FALL_SILENT, EDGES_SILENT };

struct setting {
    bool said;               /* in the review text */
    bool touched;            /* the control text leads there */
    bool any;                /* one of all choices, in `slot` */
    uint32_t value, slot;    /* value: unless any */
    const char *observed_by; /* or NULL */
    const char *because;     /* or NULL */
};

/* The word of a setting, and in words what a choice of it comes to: "an
 * overflow wraps". */
const char *setting_word(enum setting_kind kind);
const char *setting_says(enum setting_kind kind, uint32_t value);
uint32_t setting_choices(enum setting_kind kind);

/* A choice as it is written in a review text. */
const char *setting_choice(enum setting_kind kind, uint32_t value);

/* Whose slot it is. */
enum setting_kind setting_of_slot(const struct setting *settings,
                                  uint32_t slot);

#endif
