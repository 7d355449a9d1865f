/* apart.h - the first scan in which outputs of two versions differ, output by
 * output.
 *
 * Each output is asked for in a slice of its own, where the machine follows
 * the old version for ever.  No path is left out of that, so what never
 * differs there never does; and up to the first scan in which any output that
 * drives the machine differs nothing is put in that both versions would not
 * do.  What differs later only is asked for once more, with those outputs,
 * behind whose difference paths end.
 */
#ifndef KEEPCLEAR_STUDY_APART_H
#define KEEPCLEAR_STUDY_APART_H

#include "study/findings.h"
#include "study/answer.h"
#include "study/twins.h"

/* Outputs with the same situations share an answer. */
struct apart_answer {
    struct answer answer;
    enum stop_reason stop;    /* STOP_NONE: what it does not show never is */
};

/* What apart_before may cost. */
struct apart_bound {
    uint32_t too_many; /* outputs that differ earlier: with so many it was too
                          much for an engine; at first UINT32_MAX */
    uint32_t left;     /* questions */
};

struct apart {
    struct twins *pair;
    struct arena *arena;
    uint32_t faults;          /* at most so many appear */
    uint32_t n;               /* watches: as twins.h lays them out */
    uint32_t *level;          /* per watch: of its first scan; 0: never, or
                                 not found */
    struct apart_answer *at;
    uint32_t n_answers;
    const uint32_t *of;       /* per output: its answer, or MODEL_NONE: both
                                 have one expression */
    struct apart_bound bound;
    bool up_to_error;         /* errors were met, which end paths now */
};

struct apart_asked {
    uint32_t faults;
    bool free_times;          /* movements take any time; no more is asked */
    bool first_only;          /* only whether anything differs */
    struct apart_bound bound; /* as it was left with fewer faults */
};

/* Asks.  Run-time errors that can be reached become ends of the pair's
 * study. */
void apart_find(struct apart *apart, struct arena *arena, struct twins *pair,
                const struct apart_asked *asked);
void apart_release(struct apart *apart);

uint32_t apart_output(const struct apart *apart, uint32_t watch);

/* Why it is not known of a watch that was not found whether it holds. */
enum stop_reason apart_stop(const struct apart *apart, uint32_t watch);

/* No output that drives the machine differs before this scan; UINT32_MAX:
 * none ever does. */
uint32_t apart_first(const struct apart *apart);

/* The first scan in which a watch holds before any other output that drives
 * the machine has differed; 0: never, or not found: *stop says why.  The
 * answer, to be released, is of that question. */
uint32_t apart_before(struct apart *apart, uint32_t watch,
                      struct answer *answer, enum stop_reason *stop);

#endif
