/* writtenwalk.h - a walk over all texts of a scan in their order, with what
 * each variable is at that moment (written.h).
 *
 * It is made twice: the first one counts how often each variable is assigned,
 * so that the second one knows where a name has its last value.  Both decide
 * alike, by what is known beforehand.
 */
#ifndef KEEPCLEAR_STUDY_WRITTENWALK_H
#define KEEPCLEAR_STUDY_WRITTENWALK_H

#include <stddef.h>

#include "base/vec.h"
#include "study/writtenmake.h"

enum { WRITTEN_FLAGS = 48 };

/* What a variable was before it was written, or became in a branch. */
struct written_change {
    uint32_t slot;
    const struct written *value;
};

struct written_changes {
    struct written_change *at;
    size_t n;
};

struct written_walk {
    struct arena *arena;
    const struct model *model;
    const struct type *truth;   /* BOOL */
    const struct written **now; /* per slot; NULL: as before the scan.  Behind
                                   the slots, flags: what was left */
    VEC(struct written_change) log; /* what was there before each write */
    uint32_t *seen, round;      /* per slot: met in that round */
    uint32_t *done, *total;     /* assignments, per slot */
    struct written_slot *slots;
    bool counting;
    uint32_t flags;  /* in use */
    uint32_t returned;         /* the flag of RETURN */
    const uint32_t *innermost; /* those of EXIT and CONTINUE */
    uint32_t passes; /* of loops, until now */
    uint32_t nested; /* statements behind such as may leave */
    const struct written *vague; /* not NULL: what is assigned is reckoned, and
                                    from these names, too */
    bool early;      /* in WIRING IN: what comes behind is as it was */
    const uint32_t *alias; /* per VAR_IN_OUT of the text at hand: its first
                              slot, or MODEL_NONE where nobody knows */
    void (*run)(struct written_walk *w, uint32_t base,
                const struct code_stmt *stmts, uint32_t n);
};

/* Of this moment. */
const struct written *written_now(struct written_walk *w, uint32_t slot);

/* The same, whatever comes behind it. */
const struct written *written_reached(struct written_walk *w, uint32_t slot);

/* One assignment; span: where it stands, or NULL: no place for a reader. */
void written_assign(struct written_walk *w, uint32_t slot,
                    const struct written *value, const struct span *span);

/* Without counting it. */
void written_set(struct written_walk *w, uint32_t slot,
                 const struct written *value);

/* Flags: one more, FALSE; all but that many go. */
uint32_t written_flag(struct written_walk *w);
void written_flags_end(struct written_walk *w, uint32_t flags);

/* Does what comes next run at all? */
const struct written *written_live(struct written_walk *w);

/* The slots written since the log was that long, each once, with what they are
 * now (back: all is as it was then) or were then. */
struct written_changes written_since(struct written_walk *w, size_t mark,
                                     bool back);

/* Both ways come together: condition, what it is if it holds and if not. */
void written_merge(struct written_walk *w, const struct written *condition,
                   uint32_t slot, const struct written *yes,
                   const struct written *no);

#endif
