/* keyed.h - a user's lines `key = words`.  A line that is blank or begins
 * with # is none. */
#ifndef KEEPCLEAR_PRESENT_KEYED_H
#define KEEPCLEAR_PRESENT_KEYED_H

#include <stddef.h>

struct arena;

struct keyed_reader {
    const char *of;   /* what the lines are of: "words" */
    const char *form; /* how one is written: "key = words" */
    /* Takes a line; key and words are trimmed copies in the arena, key may be
     * changed.  NULL, or a sentence with what is wrong and what to do. */
    const char *(*take)(struct arena *arena, void *context, char *key,
                        const char *words);
    void *context;
};

/* NULL, or what is wrong with the first wrong line, and its number; it lies
 * in the arena. */
const char *keyed_read(struct arena *arena, const struct keyed_reader *reader,
                       const char *text, size_t n);

#endif
