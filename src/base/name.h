/* name.h - interned identifiers.
 *
 * Identifiers of IEC 61131-3 do not regard case (2013 edition, 6.1.2, from
 * memory): "Gate" and "GATE" intern to the same struct name, so names
 * compare by pointer.
 */
#ifndef KEEPCLEAR_BASE_NAME_H
#define KEEPCLEAR_BASE_NAME_H

#include <stddef.h>
#include <stdint.h>

struct arena;

struct name {
    const char *spelling; /* as first written, NUL-ended */
    const char *folded;   /* in lower case, NUL-ended */
    uint32_t length;      /* bytes, the same for both */
    uint32_t id;          /* 0, 1, 2, ... in order of first appearance */
};

struct names;

/* A table whose names live in the arena. */
struct names *names_new(struct arena *arena);

/* Frees the table itself; the names stay with the arena. */
void names_free(struct names *names);

/* The one name for these n bytes; made when it is new. */
const struct name *names_intern(struct names *names, const char *bytes,
                                size_t n);

/* Same for a C string. */
const struct name *names_of(struct names *names, const char *string);

/* The first point of the path of a variable, or NULL; the points within a
 * place (%IX0.3) are none. */
const char *name_point(const char *path);

/* The known name nearest in spelling to wanted among count candidates (at
 * most two changes, at most a third of the length), or NULL: for "did you
 * mean". */
const struct name *name_nearest(const struct name *wanted,
                                const struct name *const *candidates,
                                size_t count);

#endif
