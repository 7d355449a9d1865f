#include "reference/part.h"

#include <string.h>

#include "base/arena.h"
#include "reference/layout.h"
#include "reference/leans.h"
#include "reference/targets.h"

struct part_inside {
    struct machine *machine;
    const struct model *model;
    const struct layout *layout;
    struct step_setting setting;
    uint32_t requirement;
    struct leans *leans;
    uint32_t size;           /* words of a set */
    int64_t *held;           /* the state in which all else is held */
    uint64_t *known;         /* the part: choices, words */
    uint64_t *cheap;         /* its words, and choices decided now */
    const uint64_t **reads;  /* per assumption */
    bool *dropped;           /* per assumption: as given, or not in the part */
    bool *still;             /* per row: power and faults */
    bool grew;

    /* the state whose plays are run */
    int64_t *from;
    uint32_t *choices;
    bool *decided;
    uint32_t *order; /* rows that were decided, in that order */
    uint32_t n_order;
    bool begun;
};

static uint32_t word_bit(const struct part_inside *p, uint32_t word)
{
    return p->model->n_choices + word;
}

static bool is_kept(const struct part_inside *p, uint32_t word)
{
    return (word >= p->layout->at[PLACE_FAULT] &&
            word < p->layout->at[PLACE_WAS_DARK]) ||
           word == p->layout->at[PLACE_WAS_DARK];
}

bool part_has(const struct part *part, uint32_t word)
{
    const struct part_inside *p = part->inside;

    return is_kept(p, word) || leans_has(p->known, word_bit(p, word));
}

void part_hold(const struct part *part, int64_t *state)
{
    for (uint32_t i = 0; i < part->inside->layout->words; i++)
        if (!part_has(part, i))
            state[i] = part->inside->held[i];
}

bool part_grew(struct part *part)
{
    bool grew = part->inside->grew;

    part->inside->grew = false;
    return grew;
}

/* ---- growing ---- */

static bool add(struct part_inside *p, leans_set set)
{
    bool added = false;

    for (uint32_t i = 0; i < p->size; i++) {
        added = added || (set[i] & ~p->known[i]);
        p->known[i] |= set[i];
    }
    p->grew = p->grew || added;
    return added;
}

static bool shares(const struct part_inside *p, leans_set set)
{
    for (uint32_t i = 0; i < p->size; i++)
        if (set[i] & p->known[i])
            return true;
    return false;
}

/* Takes in the assumptions that have come to share something with it. */
static void take_in(struct part_inside *p)
{
    bool more = true;

    while (more) {
        more = false;
        for (uint32_t i = 0; i < p->model->n_assumptions; i++) {
            if (!p->reads[i] || !p->dropped[i] || !shares(p, p->reads[i]))
                continue;
            p->dropped[i] = false;
            p->grew = more = true;
            add(p, p->reads[i]);
        }
    }
}

static bool leads_on(const struct part_inside *p,
                     const struct step_result *step)
{
    return step->end == STEP_JUDGED && !step->breach[p->requirement] &&
           step->trigger[p->requirement][0];
}

/* ---- the choices of a scan ---- */

/* How long a scan takes has a part in every age, and is always tried. */
static void decide(struct part_inside *p, leans_set set)
{
    for (uint32_t i = 0; i < p->model->n_choices; i++) {
        bool time = p->model->choices[i].kind == CHOICE_TIME;

        if ((!time && !leans_has(set, i)) || p->still[i] || p->decided[i])
            continue;
        p->decided[i] = true;
        p->order[p->n_order++] = i;
    }
}

/* What the words of the part become may lean on further words, and so on. */
static void look(struct part_inside *p, const struct step_result *step)
{
    leans_set set = leans_outcome(p->leans);
    bool more = true;

    decide(p, set);
    add(p, set);
    while (more && leads_on(p, step)) {
        more = false;
        for (uint32_t i = 0; i < p->layout->words; i++) {
            if (!leans_has(p->known, word_bit(p, i)))
                continue;
            set = leans_word(p->leans, i);
            decide(p, set);
            more = add(p, set) || more;
        }
    }
    take_in(p);
}

/* The value after this one: rest, then the others ascending. */
static uint32_t value_after(const struct choice *choice, uint32_t value)
{
    uint32_t rest = machine_rest(choice);
    uint32_t next = value == rest ? 0 : value + 1;

    return next == rest ? next + 1 : next;
}

/* The row decided last turns first; one that is through is open again. */
static bool turn(struct part_inside *p)
{
    while (p->n_order > 0) {
        uint32_t row = p->order[p->n_order - 1];
        const struct choice *choice = &p->model->choices[row];
        uint32_t next = value_after(choice, p->choices[row]);

        if (next < choice->count) {
            p->choices[row] = next;
            return true;
        }
        p->choices[row] = machine_rest(choice);
        p->decided[row] = false;
        p->n_order--;
    }
    return false;
}

void part_begin(struct part *part, const int64_t *state)
{
    struct part_inside *p = part->inside;

    memcpy(p->from, state, p->layout->words * sizeof *p->from);
    for (uint32_t i = 0; i < p->model->n_choices; i++) {
        p->choices[i] = p->still[i] ? 0 : machine_rest(&p->model->choices[i]);
        p->decided[i] = false;
    }
    p->n_order = 0;
    p->begun = false;
}

static void mark_cheap(struct part_inside *p)
{
    memcpy(p->cheap, p->known, p->size * sizeof *p->cheap);
    for (uint32_t i = 0; i < p->model->n_choices; i++)
        if (!p->decided[i])
            p->cheap[i / 64] &= ~(UINT64_C(1) << (i % 64));
}

const struct step_result *part_next(struct part *part)
{
    struct part_inside *p = part->inside;
    const struct step_result *step;

    if (p->begun && !turn(p))
        return NULL;
    p->begun = true;
    memcpy(part->after, p->from, p->layout->words * sizeof *p->from);
    mark_cheap(p);
    step = leans_step(p->leans, &p->setting, p->choices, part->after);
    look(p, step);
    return step;
}

/* ---- beginning and end ---- */

static void mark(uint64_t *set, uint32_t bit)
{
    set[bit / 64] |= UINT64_C(1) << (bit % 64);
}

static void mark_place(const struct part_inside *p, uint64_t *set,
                       enum place_kind kind, uint32_t index)
{
    mark(set, word_bit(p, layout_at(p->layout, kind, index)));
}

static void mark_rows(const struct part_inside *p, uint64_t *set,
                      enum choice_kind kind)
{
    for (uint32_t i = 0; i < p->model->n_choices; i++)
        if (p->model->choices[i].kind == kind)
            mark(set, i);
}

static void mark_control(const struct part_inside *p, uint64_t *set,
                         uint32_t control)
{
    mark_place(p, set, PLACE_HAND_LAST, control);
    mark(set, p->model->controls[control].choice);
}

/* The machine as it becomes in this scan: any choice of it may have a part. */
static void mark_slot(const struct part_inside *p, uint64_t *set,
                      uint32_t index)
{
    const struct slot *slot = &p->model->slots[index];

    mark_place(p, set, PLACE_SLOT, index);
    if (slot->driver == DRIVER_CHOICE)
        mark(set, slot->driver_index);
    if (slot->home == SLOT_MACHINE)
        mark_rows(p, set, CHOICE_MACHINE);
}

/* All that an assumption could read, now or of the judging before. */
static void mark_text(const struct part_inside *p, uint64_t *set,
                      const struct code_expr *expr)
{
    if (!expr)
        return;
    switch (expr->op) {
    case CODE_CONST: case CODE_FAULT: case CODE_POWER: case CODE_COLD:
    case CODE_WARM: case CODE_ELAPSED:
        return;
    case CODE_VARIABLE:
        mark_slot(p, set, expr->variable.index);
        return;
    case CODE_HAND:
        mark_control(p, set, expr->index);
        return;
    case CODE_CONTACT:
        mark_control(p, set, p->model->contacts[expr->index].control);
        return;
    case CODE_SENSOR:
        mark_text(p, set, p->model->sensors[expr->index].on_when);
        mark_text(p, set, p->model->sensors[expr->index].on_when_previous);
        return;
    case CODE_COMMANDED:
        mark_place(p, set, PLACE_COMMANDED_LAST, expr->index);
        return;
    default:
        break;
    }
    if (expr->op <= CODE_TRUE_FOR || expr->op == CODE_CALL)
        memset(set, 0xff, p->size * sizeof *set);
    mark_text(p, set, expr->left);
    mark_text(p, set, expr->right);
    for (uint32_t i = 0; i < expr->n_args; i++)
        mark_text(p, set, expr->args[i].value);
}

static bool calls(const struct code_expr *expr)
{
    for (uint32_t i = 0; expr && i < expr->n_args; i++)
        if (expr->op == CODE_CALL || calls(expr->args[i].value))
            return true;
    return expr && (expr->op == CODE_CALL || calls(expr->left) ||
                    calls(expr->right));
}

/* Could an error happen in it, it counts from the beginning. */
static bool can_fail(const struct part_inside *p,
                     const struct code_expr *condition)
{
    return p->model->n_errors > 0 &&
           (targets_fails(condition) || calls(condition));
}

static void read_assumptions(struct arena *arena, struct part_inside *p)
{
    uint32_t n = p->model->n_assumptions;

    p->reads = arena_array(arena, n + 1, sizeof *p->reads);
    p->dropped = arena_array(arena, n + 1, sizeof *p->dropped);
    for (uint32_t i = 0; i < n; i++) {
        const struct code_expr *condition =
            p->model->assumptions[i].condition;
        uint64_t *copy;

        p->dropped[i] = true;
        if (p->setting.dropped && p->setting.dropped[i])
            continue;
        copy = arena_array(arena, p->size, sizeof *copy);
        mark_text(p, copy, condition);
        p->reads[i] = copy;
        if (can_fail(p, condition))
            add(p, copy);
    }
    p->setting.dropped = p->dropped;
}

struct part *part_new(struct arena *arena, struct machine *machine,
                      const struct step_setting *setting,
                      uint32_t requirement, const int64_t *state)
{
    struct part *part = ARENA_NEW(arena, struct part);
    struct part_inside *p = ARENA_NEW(arena, struct part_inside);
    const struct model *model = machine_model(machine);
    uint32_t words = machine_words(machine);

    *p = (struct part_inside){
        .machine = machine, .model = model, .setting = *setting,
        .layout = machine_layout(machine), .requirement = requirement,
        .leans = leans_new(arena, machine, requirement)};
    if (!p->leans)
        return NULL;
    p->setting.first = false;
    p->size = leans_size(p->leans);
    p->known = arena_array(arena, p->size, sizeof *p->known);
    p->cheap = arena_array(arena, p->size, sizeof *p->cheap);
    p->held = arena_array(arena, words + 1, sizeof *p->held);
    p->from = arena_array(arena, words + 1, sizeof *p->from);
    p->choices = arena_array(arena, model->n_choices + 1, sizeof(uint32_t));
    p->order = arena_array(arena, model->n_choices + 1, sizeof(uint32_t));
    p->decided = arena_array(arena, model->n_choices + 1, sizeof(bool));
    p->still = arena_array(arena, model->n_choices + 1, sizeof(bool));
    for (uint32_t i = 0; i < model->n_choices; i++)
        p->still[i] = model->choices[i].kind == CHOICE_FAULT ||
                      model->choices[i].kind == CHOICE_POWER;
    memcpy(p->held, state, words * sizeof *p->held);
    leans_prefer(p->leans, p->cheap);
    read_assumptions(arena, p);
    *part = (struct part){p->choices, p->decided,
                          arena_array(arena, words + 1, sizeof(int64_t)), p};
    return part;
}

void part_release(struct part *part)
{
    leans_release(part->inside->leans);
}
