/* eval.h - what is known of a scan while some of its choices are undecided.
 *
 * Every node of a plan is unknown or known; a known one holds the value it
 * has whatever the undecided choices will be.  Deciding only ever makes
 * unknown nodes known, and is taken back in reverse order.
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_EVAL_H
#define KEEPCLEAR_ENGINE_CONCRETE_EVAL_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct plan;

struct eval {
    const struct plan *plan;
    uint8_t *known;    /* per node: 0 or 1 */
    int64_t *value;    /* per node: meaningful where known */
    uint8_t *base;     /* known before a situation is loaded */
    uint32_t *pass;    /* nodes that a loaded situation can make known, */
    uint32_t n_pass;   /* children before parents */
    uint32_t *trail;   /* nodes made known by decisions, in order */
    uint32_t n_trail;
    uint64_t work;     /* nodes looked at so far, the same on any machine */
};

/* Lies in the arena. */
struct eval *eval_new(struct arena *arena, const struct plan *plan);

/* Takes the choices for which fixed has an index as constants (NULL: none);
 * to be called before eval_load. */
void eval_fix(struct eval *eval, const uint32_t *fixed);

/* Begins a scan from cell values (by cell number of the slice; NULL in the
 * first scan); all choices but the fixed ones are undecided. */
void eval_load(struct eval *eval, const int64_t *cells);

/* Decides a choice and all that follows from it. */
void eval_decide(struct eval *eval, uint32_t row, uint32_t index);

/* Takes back all decisions made since n_trail was mark. */
void eval_undo(struct eval *eval, uint32_t mark);

/* The choice row that an unknown node reads next; never FLAT_NONE. */
uint32_t eval_reads(const struct eval *eval, uint32_t node);

#endif
