/* vocabulary.h - what the words in the names of signals mean.
 *
 * English, German, French and Italian, as people write them in names: without
 * accents, in one piece or in several.  A word may have several meanings.
 */
#ifndef KEEPCLEAR_STUDY_VOCABULARY_H
#define KEEPCLEAR_STUDY_VOCABULARY_H

#include <stdbool.h>
#include <stdint.h>

struct arena;

enum meaning {
    MEANING_STOP,    /* whoever uses it wants everything to stand still */
    MEANING_HEALTHY, /* TRUE is the good state: ok, nc */
    MEANING_START,
    MEANING_RESET,
    MEANING_BUTTON,
    MEANING_SWITCH,
    MEANING_SENSOR,
    MEANING_VALVE,
    MEANING_MOTOR,
    MEANING_LAMP,
    MEANING_HORN,
    MEANING_FILLER,  /* says nothing: is, at, the number of a card */
    MEANINGS
};

/* Ways in which a part of a machine can be moved to and fro. */
enum axis { AXIS_OPENING, AXIS_HEIGHT, AXIS_REACH, AXIS_GRIP, AXIS_TURN };

/* A direction or an end of a way. */
struct direction {
    enum axis axis;
    int sign;   /* 1 or -1: open, up, out, gripped are 1 */
    bool place; /* an end, not a movement */
};

enum { MOST_WORDS = 16, MOST_WORD = 40 };

/* A name cut into words, in lower case. */
struct words {
    uint32_t n;
    const char *at[MOST_WORDS];
};

/* Cut at _, before a capital and around digits. */
struct words words_of(struct arena *arena, const char *name);

/* Has one of the words this meaning?  That word, or NULL. */
const char *words_meaning(const struct words *words, enum meaning meaning);

/* Do the two names differ in one word only, and are the words opposites?
 * *at gets the number of that word, *one and *other their directions. */
bool words_opposite(const struct words *a, const struct words *b,
                    uint32_t *at, struct direction pair[2]);

/* The direction that a word names; false: none.  place: look at ends first. */
bool words_direction(const char *word, bool place, struct direction *found);

/* The words that name the part itself: neither the one at `without` nor any
 * that has a meaning. */
struct words words_stem(const struct words *words, uint32_t without);

bool words_same(const struct words *a, const struct words *b);

#endif
