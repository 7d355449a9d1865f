/* sentence_parts.h - the groups of present/sentences.h, and the writer that
 * they have in common. */
#ifndef KEEPCLEAR_PRESENT_SENTENCE_PARTS_H
#define KEEPCLEAR_PRESENT_SENTENCE_PARTS_H

#include "base/text.h"
#include "base/vec.h"
#include "present/plainly.h"
#include "present/sentences.h"

struct arena;
struct name;

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

/* CONTROL, SCAN, RUNS, POWER, RETAIN ANY, FIXED, SHARED, UNKNOWN,
 * CONTROLLER: what runs, and how. */
void sentences_of_run(struct sentence_writer *w);

/* FAULTS, ONE CAUSE OF, NOTICING. */
void sentences_of_faults(struct sentence_writer *w);

/* HAZARDS; then, behind the requirements, TEMPLATES and USE, INTENDED,
 * ACCEPTED. */
void sentences_of_hazards(struct sentence_writer *w);
void sentences_of_claims(struct sentence_writer *w);

/* SCENARIO: what is played, and what is expected. */
void sentences_of_scenarios(struct sentence_writer *w);

#endif
