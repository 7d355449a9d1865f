#include "study/became.h"

#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "source/diag.h"
#include "study/answer.h"
#include "study/errors.h"
#include "study/twins.h"

/* A variable of more values is not asked for value by value; of the engine
 * for one question, a second or two. */
enum { MOST_VALUES = 8, MOST_EFFORT = 5000000 };

/* One version. */
struct side {
    struct study study;
    struct errors errors;
    const uint32_t *slot; /* per slot of the old model: its own */
    struct lowered lowered;
    struct flat flat;
    uint32_t first;       /* watch of the first thing asked */
    enum { CAN_NOT, CAN, CAN_PERHAPS } *can;
};

struct asking_both {
    struct arena *arena;
    const struct became_asked *asked;
    VEC(struct became) all;
    struct side was, is;
};

/* ---- what is asked ---- */

static const struct flat_cell *cell_of(const struct side *side, uint32_t slot)
{
    for (uint32_t i = 0; i < side->flat.n_cells; i++)
        if (side->flat.cells[i].kind == PLACE_SLOT &&
            side->flat.cells[i].index == slot)
            return &side->flat.cells[i];
    return NULL;
}

/* Of the machine, with few values, the same in both. */
static bool is_asked(const struct asking_both *a, uint32_t slot)
{
    const struct flat_cell *was, *is;

    if (a->asked->was->slots[slot].home != SLOT_MACHINE ||
        a->is.slot[slot] == MODEL_NONE)
        return false;
    was = cell_of(&a->was, slot);
    is = cell_of(&a->is, a->is.slot[slot]);
    return was != NULL && is != NULL && was->low == is->low &&
           was->high == is->high && was->unit == 1 && is->unit == 1 &&
           was->high - was->low < MOST_VALUES;
}

static bool is_in(const struct side *side, const struct answer *answer,
                  uint32_t slot)
{
    for (uint32_t i = 0; i < answer->slice->n_cells; i++)
        if (&side->flat.cells[answer->slice->cells[i].cell] ==
            cell_of(side, slot))
            return true;
    return false;
}

/* Has the variable a part in whether the output is on? */
static bool has_part(struct side *side, uint32_t actuator, uint32_t slot)
{
    const flat_expr value = side->lowered.command[actuator];
    const struct question question = {.values = &value, .n_values = 1,
                                      .apart = true};
    struct answer answer;
    bool part;

    answer_slice(&side->study, &question, &answer);
    part = is_in(side, &answer, side->slot[slot]);
    answer_release(&answer);
    return part;
}

static void add(struct asking_both *a, uint32_t actuator, uint32_t slot,
                int64_t from, int64_t value)
{
    vec_push(&a->all, ((struct became){.actuator = actuator, .slot = slot,
                                       .from = from, .value = value}));
}

static void add_output(struct asking_both *a, uint32_t actuator)
{
    add(a, actuator, MODEL_NONE, 0, 0);
    for (uint32_t slot = 0; slot < a->asked->was->n_slots; slot++) {
        const struct flat_cell *cell;

        if (!is_asked(a, slot) || (!has_part(&a->was, actuator, slot) &&
                                   !has_part(&a->is, actuator, slot)))
            continue;
        cell = cell_of(&a->was, slot);
        for (int64_t v = cell->low; v <= cell->high; v++)
            add(a, actuator, slot, v, v);
    }
}

static void add_movements(struct asking_both *a, uint32_t slot)
{
    const struct flat_cell *cell = cell_of(&a->was, slot);

    for (int64_t from = cell->low; from <= cell->high; from++)
        for (int64_t to = cell->low; to <= cell->high; to++)
            if (from != to)
                add(a, MODEL_NONE, slot, from, to);
}

static void add_all(struct asking_both *a)
{
    const struct became_asked *asked = a->asked;

    for (uint32_t i = 0; i < asked->n_outputs; i++)
        if (asked->differs[i] && asked->outputs[i].actuator != MODEL_NONE &&
            asked->outputs[i].type->kind == TYPE_BOOL)
            add_output(a, asked->outputs[i].actuator);
    for (uint32_t slot = 0; slot < asked->was->n_slots; slot++)
        if (is_asked(a, slot))
            add_movements(a, slot);
}

/* ---- watches ---- */

static flat_expr both_hold(struct side *side, flat_expr a, flat_expr b)
{
    return flat_binary(side->lowered.builder, FLAT_AND, a, b);
}

static flat_expr is_value(struct side *side, flat_expr expr, int64_t value)
{
    struct flat_builder *b = side->lowered.builder;

    return flat_binary(b, FLAT_EQ, expr, flat_const(b, value));
}

/* In the first scan nothing has moved. */
static flat_expr not_first(struct side *side)
{
    struct flat_builder *b = side->lowered.builder;
    uint32_t hole = 0;

    while (side->flat.hole_kind[hole] != HOLE_FIRST)
        hole++;
    return flat_not(b, flat_leaf(b, FLAT_HOLE, hole, 0, 1));
}

static flat_expr condition(struct side *side, const struct became *asked)
{
    const struct flat_cell *cell;
    flat_expr before, at;

    if (asked->slot == MODEL_NONE)
        return side->lowered.command[asked->actuator];
    at = is_value(side, side->lowered.slot_value[side->slot[asked->slot]],
                  asked->value);
    if (asked->actuator != MODEL_NONE)
        return both_hold(side, side->lowered.command[asked->actuator], at);
    cell = cell_of(side, side->slot[asked->slot]);
    before = flat_leaf(side->lowered.builder, FLAT_CELL,
                       (uint32_t)(cell - side->flat.cells), cell->low,
                       cell->high);
    return both_hold(side, not_first(side),
                     both_hold(side, is_value(side, before, asked->from),
                               at));
}

static void put_watches(const struct asking_both *a, struct side *side)
{
    uint32_t n = side->flat.n_watches;
    struct flat_watch *watches = arena_array(a->arena, n + a->all.n + 1,
                                             sizeof *watches);
    struct flat_node *nodes;

    memcpy(watches, side->flat.watches, n * sizeof *watches);
    for (uint32_t i = 0; i < a->all.n; i++)
        watches[n + i] = (struct flat_watch){
            WATCH_BRANCH, i, 0, condition(side, &a->all.at[i])};
    side->first = n;
    side->flat.watches = watches;
    side->flat.n_watches = n + (uint32_t)a->all.n;
    side->flat.n_nodes = flat_builder_count(side->lowered.builder);
    nodes = arena_array(a->arena, side->flat.n_nodes, sizeof *nodes);
    memcpy(nodes, flat_nodes(side->lowered.builder),
           side->flat.n_nodes * sizeof *nodes);
    side->flat.nodes = nodes;
    side->can = arena_array(a->arena, a->all.n + 1, sizeof *side->can);
}

/* ---- asking ---- */

/* Of what is not known to be impossible, from the first to the one before the
 * end. */
static void ask(const struct asking_both *a, struct side *side,
                uint32_t first, uint32_t end, bool free_times)
{
    uint32_t *watches = arena_array(a->arena, end - first + 1,
                                    sizeof *watches);
    bool *until = arena_array(a->arena, end - first + 1, sizeof *until);
    struct question question = {
        .watches = watches, .until = until, .faults = a->asked->faults,
        .free_times = free_times, .most_effort = MOST_EFFORT, .apart = true};
    struct answer answer;
    bool sure;

    for (uint32_t i = first; i < end; i++)
        if (side->can[i] != CAN_NOT) {
            until[question.n_watches] = true;
            watches[question.n_watches++] = side->first + i;
        }
    if (question.n_watches == 0)
        return;
    answer_find(&side->study, &question, &answer);
    sure = answer_complete(&answer) && !answer_dead_end(&answer);
    for (uint32_t i = 0; i < question.n_watches; i++)
        side->can[watches[i] - side->first] =
            answer_level(&answer, watches[i]) != 0 ? CAN
            : sure                                 ? CAN_NOT
                                                   : CAN_PERHAPS;
    answer_release(&answer);
}

/* What is one question: the same output and variable. */
static uint32_t end_of(const struct asking_both *a, uint32_t first)
{
    uint32_t end = first + 1;

    while (end < a->all.n &&
           a->all.at[end].actuator == a->all.at[first].actuator &&
           a->all.at[end].slot == a->all.at[first].slot)
        end++;
    return end;
}

/* Movements that take any time show what is impossible. */
static void ask_all(const struct asking_both *a, struct side *side)
{
    for (uint32_t i = 0; i < a->all.n; i++)
        side->can[i] = CAN_PERHAPS;
    for (uint32_t i = 0; i < a->all.n; i = end_of(a, i)) {
        if (side->study.model->n_movements > 0)
            ask(a, side, i, end_of(a, i), true);
        ask(a, side, i, end_of(a, i), false);
    }
}

static bool open_side(struct asking_both *a, struct side *side,
                      const struct model *model)
{
    struct diags *diags = diags_new(a->arena);
    bool opened = study_open(&side->study, a->arena, model,
                             a->asked->setting, diags);

    diags_free(diags);
    if (!opened)
        return false;
    errors_judge(&side->study, &side->errors);
    side->lowered = *side->study.lowered;
    side->flat = *side->lowered.flat;
    return true;
}

/* From now on questions see the watches that were added. */
static void use_watches(const struct asking_both *a, struct side *side)
{
    put_watches(a, side);
    side->lowered.flat = &side->flat;
    side->study.lowered = &side->lowered;
    side->study.memo = NULL;
    side->study.share = NULL;
}

static void find_slots(struct asking_both *a)
{
    uint32_t n = a->asked->was->n_slots;
    uint32_t *was = arena_array(a->arena, (size_t)n + 1, sizeof *was);
    uint32_t *is = arena_array(a->arena, (size_t)n + 1, sizeof *is);

    for (uint32_t i = 0; i < n; i++) {
        was[i] = i;
        is[i] = MODEL_NONE;
    }
    for (uint32_t i = 0; i < a->asked->is->n_slots; i++)
        if (a->asked->slots[i] != MODEL_NONE)
            is[a->asked->slots[i]] = i;
    a->was.slot = was;
    a->is.slot = is;
}

static enum came came(int was, int is)
{
    if (was == CAN_PERHAPS || is == CAN_PERHAPS)
        return CAME_NOT_KNOWN;
    if (was == is)
        return CAME_SAME;
    return is == CAN ? CAME_NEW : CAME_GONE;
}

static void close_side(struct side *side, struct lowered *own)
{
    side->study.lowered = own;
    errors_release(&side->errors);
    study_close(&side->study);
}

static const struct all_became *find(struct asking_both *a)
{
    struct all_became *out = ARENA_NEW(a->arena, struct all_became);
    struct became *all;

    find_slots(a);
    add_all(a);
    use_watches(a, &a->was);
    use_watches(a, &a->is);
    ask_all(a, &a->was);
    ask_all(a, &a->is);
    all = arena_array(a->arena, a->all.n + 1, sizeof *all);
    for (uint32_t i = 0; i < a->all.n; i++) {
        all[i] = a->all.at[i];
        all[i].came = came(a->was.can[i], a->is.can[i]);
    }
    *out = (struct all_became){all, (uint32_t)a->all.n, a->asked->faults};
    vec_release(&a->all);
    return out;
}

const struct all_became *became_find(struct arena *arena,
                                     const struct became_asked *asked)
{
    struct asking_both a = {.arena = arena, .asked = asked};
    const struct all_became *out = NULL;
    bool was = open_side(&a, &a.was, asked->was);
    bool is = open_side(&a, &a.is, asked->is);
    struct lowered *own_was = a.was.study.lowered;
    struct lowered *own_is = a.is.study.lowered;

    if (was && is)
        out = find(&a);
    close_side(&a.was, own_was);
    close_side(&a.is, own_is);
    return out;
}
