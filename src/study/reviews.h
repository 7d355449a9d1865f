/* reviews.h - where two review texts differ, item by item.
 *
 * Items are partners by their names and compared by their words, blanks and
 * comments apart; requirements that changed also by what breaks them, as long
 * as the machine is the same (asks.h).
 */
#ifndef KEEPCLEAR_STUDY_REVIEWS_H
#define KEEPCLEAR_STUDY_REVIEWS_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"
#include "study/asks.h"

struct arena;
struct loaded;

/* What became of an item. */
enum review_change {
    REVIEW_ADDED, REVIEW_REMOVED, REVIEW_CHANGED,
    REVIEW_EXCLUDED,    /* a fault that never appears now */
    REVIEW_FEWER_FAULTS /* a requirement that is to survive fewer */
};

struct review_difference {
    const char *kind; /* "assumption", "fault", ... */
    const char *name;
    enum review_change change;
    enum asks asks;  /* a requirement that changed: by proof */
    bool shows_less; /* less is shown than before, or it may be */
    struct span was, is; /* where it stands; file 0: nowhere */
};

struct review_differences {
    const struct review_difference *at;
    uint32_t n, n_less;
};

/* Both loads must have a model; setting: of the proofs about requirements
 * that changed.  Lies in the arena. */
const struct review_differences *reviews_compare(
    struct arena *arena, const struct loaded *was, const struct loaded *is,
    const struct study_setting *setting);

#endif
