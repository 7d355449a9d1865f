/* section.h - one section of a scan: what it makes of a half finished one.
 *
 * It looks only at what it reads; results are remembered under that key.
 * What comes out is (words & ~touch) | the words of an outcome; of the bitmap
 * what the outcome selects, with the bits in `freed` made free and then
 * narrowed to what the outcome stores.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_SECTION_H
#define KEEPCLEAR_ENGINE_TILES_SECTION_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/places.h"
#include "engine/tiles/recall.h"

struct eval;
struct fork;
struct plan;
struct straight;

enum outcome_kind {
    OUTCOME_ON,    /* it goes on */
    OUTCOME_DEAD,  /* no input fits the assumptions */
    OUTCOME_ENDED, /* end `number` holds: it goes no further */
    OUTCOME_SEEN   /* the watch can hold */
};

/* Of an outcome's first word. */
#define OUTCOME_KIND(word) ((enum outcome_kind)((word) & 3))
#define OUTCOME_REDUCED(word) (((word) >> 2 & 1) != 0)
#define OUTCOME_NUMBER(word) ((uint32_t)((word) >> 8))

/* How the last work of a section ended. */
enum section_left { SECTION_DONE, SECTION_STOPPED, SECTION_FULL };

struct section {
    const struct scan_form *form;
    const struct part *part;
    const struct places *places;
    const struct rest *rest;
    uint32_t n_words, set_words; /* of a half finished scan, of a bitmap */
    uint32_t stride;  /* of an outcome: kind, words, selects, stores */
    uint64_t *key, *touch;
    uint32_t freed;   /* tile bits, one bit each */
    uint64_t worked;  /* outcomes worked out, not remembered ones */
    uint64_t quick;   /* those of them that took no forks, and */
    uint64_t nodes;   /* nodes worked out for these */
    enum section_left left; /* not done: its outcomes are not all there */
    bool (*goes_on)(void *context); /* asked now and then; NULL: it does */
    void *context;
    /* the rest is section.c's own */
    struct memo memo;
    const struct plan *plan;
    struct eval *eval;
    struct fork *fork;
    struct straight *straight; /* NULL: it reads too many choices */
    uint32_t *index_of;        /* with it: per choice row, being decided */
    uint32_t *cells, n_cells; /* that it reads, marks behind them */
    uint32_t *rows, n_rows;   /* choice rows */
    int64_t *values;          /* per cell and mark */
    uint64_t *record;         /* key, number of outcomes, outcomes */
    uint64_t n_outcomes, room; /* room: words of the record */
    uint32_t *index;          /* of outcomes by what they are */
    uint64_t n_index;
    uint64_t unlooked;        /* outcomes so far, to look for a stop */
};

/* Words of a half finished scan: more are not provided for. */
enum { SECTION_MOST_WORDS = 256 };

struct outcomes {
    const uint64_t *at;
    uint64_t n;
};

/* What a section is made from: a part of a course. */
struct section_place {
    const struct scan_form *form;
    const struct places *places;
    const struct rest *rest;
    const struct part *part;
};

void section_init(struct section *section, struct arena *arena,
                  const struct section_place *place, struct budget *budget);
void section_release(struct section *section);

/* All outcomes for these words; valid until the next call.  None where the
 * section was left: see `left`. */
struct outcomes section_work(struct section *section, const uint64_t *words);

#endif
