/* sentence.h - plain sentences in groups, and the writer of them. */
#ifndef KEEPCLEAR_PRESENT_SENTENCE_H
#define KEEPCLEAR_PRESENT_SENTENCE_H

#include <stdint.h>

#include "base/text.h"
#include "base/vec.h"
#include "present/plainly.h"

struct arena;
struct name;

struct sentence {
    const char *name; /* "R1", "A3"; NULL: it has none */
    const char *words;
};

struct sentence_group {
    const char *heading;
    const struct sentence *at;
    uint32_t n; /* at least 1 */
};

struct sentence_writer {
    struct arena *arena;
    const struct model *model;
    struct plainly plainly;            /* writes into words */
    struct text words;                 /* of the sentence at hand */
    VEC(struct sentence) at;           /* of the group at hand */
    VEC(struct sentence_group) groups;
};

/* Ends the sentence that stands in w->words; name may be NULL. */
void sentence_end(struct sentence_writer *w, const struct name *name);

/* Ends the group; one without sentences is left out. */
void sentence_group_end(struct sentence_writer *w, const char *heading);

/* ", because ...; confirmed by ..." or that nobody did; ends the words. */
void sentence_reason(struct sentence_writer *w, const char *because,
                     const char *confirmed_by);

#endif
