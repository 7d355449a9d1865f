#include "study/writtenblock.h"

static const struct written *pair(struct written_walk *w, enum written_op op,
                                  const struct written *a,
                                  const struct written *b)
{
    return written_pair(w->arena, op, a, b, w->truth);
}

static const struct written *not_of(struct written_walk *w,
                                    const struct written *a)
{
    return written_not(w->arena, a);
}

/* Is there no other call in a scan? */
static bool alone(const struct written_walk *w, uint32_t slot)
{
    return !w->counting && w->total[slot] == 1;
}

/* ---- timers ---- */

static const struct written *timer(struct written_walk *w, uint32_t inner,
                                   enum code_standard standard)
{
    const struct written *in = written_now(w, inner + TIMER_IN);
    const struct written *time = written_made(w->arena, (struct written){
        .op = WRITTEN_TIME, .index = inner, .value = standard,
        .alone = alone(w, inner + TIMER_Q), .a = in, .type = w->truth});

    switch (standard) {
    case STANDARD_TON: return pair(w, WRITTEN_AND, in, time);
    case STANDARD_TOF: return pair(w, WRITTEN_OR, in, not_of(w, time));
    default: return time;
    }
}

/* ---- counters ---- */

static const struct written *counter(struct written_walk *w, uint32_t inner,
                                     enum code_standard standard, bool down)
{
    const struct written *up = written_now(w, inner + COUNTER_CU);
    const struct written *back = written_now(w, inner + COUNTER_R);
    const struct written *load = written_now(w, inner + COUNTER_LD);

    if (down)
        up = written_now(w, inner + COUNTER_CD);
    if (standard == STANDARD_CTD)
        back = load;
    return written_made(w->arena, (struct written){
        .op = WRITTEN_COUNT, .index = inner, .value = down,
        .alone = alone(w, inner + COUNTER_CV), .a = up, .b = back,
        .type = w->truth});
}

/* ---- edges and latches ---- */

/* CLK and what it was: an input keeps its value where a block is not called,
 * so that one scan before is as good as the last call. */
static const struct written *edge(struct written_walk *w, uint32_t clock,
                                  bool rises)
{
    const struct written *now = written_now(w, clock);
    const struct written *before =
        written_leaf(w->arena, WRITTEN_BEFORE, clock, w->truth);

    return rises ? pair(w, WRITTEN_AND, now, not_of(w, before))
                 : pair(w, WRITTEN_AND, not_of(w, now), before);
}

static const struct written *latch(struct written_walk *w, uint32_t inner,
                                   bool set_wins)
{
    const struct written *set = written_now(w, inner + LATCH_S);
    const struct written *reset = written_now(w, inner + LATCH_R);
    const struct written *was = written_reached(w, inner + LATCH_Q1);

    if (set_wins)
        return pair(w, WRITTEN_OR, set,
                    pair(w, WRITTEN_AND, not_of(w, reset), was));
    return pair(w, WRITTEN_AND, not_of(w, reset),
                pair(w, WRITTEN_OR, set, was));
}

/* ---- what is counted ---- */

static const struct written *if_so(struct written_walk *w,
                                   const struct written *condition,
                                   int64_t value)
{
    return written_if(w->arena, condition,
                      written_const(w->arena, value, NULL),
                      written_const(w->arena, 0, NULL));
}

/* CV: a load goes before counting, a reset before both. */
static const struct written *count(struct written_walk *w, uint32_t inner,
                                   enum code_standard standard)
{
    const struct type *type = w->model->slots[inner + COUNTER_CV].type;
    const struct written *cv = written_reached(w, inner + COUNTER_CV);

    if (standard != STANDARD_CTD)
        cv = written_pair(w->arena, WRITTEN_ADD, cv,
                          if_so(w, edge(w, inner + COUNTER_CU, true), 1),
                          type);
    if (standard != STANDARD_CTU)
        cv = written_pair(w->arena, WRITTEN_ADD, cv,
                          if_so(w, edge(w, inner + COUNTER_CD, true), -1),
                          type);
    cv = written_made(w->arena, (struct written){
        .op = WRITTEN_WITHIN, .a = cv, .type = type});
    if (standard != STANDARD_CTU)
        cv = written_if(w->arena, written_now(w, inner + COUNTER_LD),
                        written_now(w, inner + COUNTER_PV), cv);
    if (standard != STANDARD_CTD)
        cv = written_if(w->arena, written_now(w, inner + COUNTER_R),
                        written_const(w->arena, 0, type), cv);
    return cv;
}

/* ---- the outputs ---- */

/* NULL: none that can be read. */
static const struct written *of_timer(struct written_walk *w, uint32_t inner,
                                      enum code_standard standard,
                                      uint32_t offset)
{
    if (offset == TIMER_Q)
        return timer(w, inner, standard);
    return offset == TIMER_ET
               ? written_reckoned(w->arena, written_now(w, inner + TIMER_IN),
                                  written_now(w, inner + TIMER_PT), NULL)
               : NULL;
}

static const struct written *of_counter(struct written_walk *w,
                                        uint32_t inner,
                                        enum code_standard standard,
                                        uint32_t offset)
{
    bool up = offset == COUNTER_QU && standard != STANDARD_CTD;
    bool down = offset == COUNTER_QD && standard != STANDARD_CTU;

    if (up || down)
        return counter(w, inner, standard, down);
    return offset == COUNTER_CV ? count(w, inner, standard) : NULL;
}

static const struct written *output(struct written_walk *w, uint32_t inner,
                                    enum code_standard standard,
                                    uint32_t offset)
{
    switch (standard) {
    case STANDARD_TON: case STANDARD_TOF: case STANDARD_TP:
        return of_timer(w, inner, standard, offset);
    case STANDARD_R_TRIG: case STANDARD_F_TRIG:
        return offset == EDGE_Q ? edge(w, inner + EDGE_CLK,
                                       standard == STANDARD_R_TRIG) : NULL;
    case STANDARD_SR: case STANDARD_RS:
        return offset == LATCH_Q1
                   ? latch(w, inner, standard == STANDARD_SR) : NULL;
    case STANDARD_CTU: case STANDARD_CTD: case STANDARD_CTUD:
        return of_counter(w, inner, standard, offset);
    default: return NULL;
    }
}

/* Does it compare with one scan before?  Called more than once in a scan, that
 * is not the last call. */
static bool looks_back(enum code_standard standard, uint32_t offset)
{
    return standard == STANDARD_R_TRIG || standard == STANDARD_F_TRIG ||
           (standard >= STANDARD_CTU && offset == COUNTER_CV);
}

void writtenblock_call(struct written_walk *w, uint32_t inner,
                       const struct code_stmt *stmt)
{
    enum code_standard standard = stmt->pou->standard;

    for (uint32_t i = 0; i < stmt->pou->n_vars; i++) {
        uint32_t offset = stmt->pou->vars[i].offset;
        const struct written *said = output(w, inner, standard, offset);

        if (said == NULL)
            continue;
        if (looks_back(standard, offset) && !w->counting &&
            !alone(w, inner + offset))
            said = written_reckoned(w->arena, said, NULL, NULL);
        written_assign(w, inner + offset, said, &stmt->span);
    }
}
