#include "check/advice/writes.h"

#include <string.h>

#include "check/advice/say.h"

enum { NEAR_WRITES = 16 }; /* of one output that are compared with each */

/* Or a value that nobody wrote (execution.h). */
static bool is_constant(const struct trail_event *event)
{
    return event->value && (event->value->op == CODE_CONST ||
                            (event->value->op == CODE_ANY &&
                             event->value->n_args == 0));
}

/* ---- between two writes ---- */

static bool is_local(struct code_variable variable)
{
    return variable.base == CODE_LOCAL;
}

static bool same_place(const struct trail_event *a,
                       const struct trail_event *b)
{
    return trail_same(a->variable, b->variable) && a->reach == b->reach;
}

/* Could the event use what `write` stored?  A write of a part, or of one
 * element of several, is taken for a use, too. */
static bool uses(const struct trail_event *event,
                 const struct trail_event *write)
{
    struct code_variable variable = write->variable;

    if (event->kind == TRAIL_LEAVE)
        return true;
    if (event->kind == TRAIL_WRITE)
        return trail_touches(event, variable, write->reach) &&
               !same_place(event, write);
    if (event->kind == TRAIL_READ)
        return trail_touches(event, variable, write->reach) ||
               (event->variable.base == CODE_IN_OUT && !is_local(variable));
    return is_local(variable)
               ? trail_touches(event, variable, write->reach)
               : !event->pou->standard;
}

/* Is what `write` stored used by an event behind `from`, before `to`? */
static bool is_used_between(const struct trail *trail, size_t write,
                            size_t from, size_t to)
{
    for (size_t i = from + 1; i < to; i++)
        if (uses(&trail->events.at[i], &trail->events.at[write]) &&
            !trail_exclusive(trail, trail->events.at[write].node,
                             trail->events.at[i].node))
            return true;
    return false;
}

/* A value given first, so that what follows need not always give one. */
static bool is_default(const struct trail *trail,
                       const struct trail_event *first,
                       const struct trail_event *second)
{
    return is_constant(first) &&
           trail_within(trail, second->node, first->node);
}

/* ---- values that nothing reads ---- */

/* The write that takes the value of `from` away before anything reads it,
 * or TRAIL_NONE. */
static size_t overwritten_by(const struct trail *trail, size_t from)
{
    const struct trail_event *first = &trail->events.at[from];
    size_t before = from, at = first->next;

    if (trail->nodes.at[first->node].loop || first->maybe)
        return TRAIL_NONE;
    for (; at != TRAIL_NONE; before = at, at = trail->events.at[at].next) {
        const struct trail_event *second = &trail->events.at[at];

        if (is_used_between(trail, from, before, at))
            break;
        if (!second->maybe && !is_default(trail, first, second) &&
            trail_within(trail, first->node, second->node))
            return at;
    }
    return TRAIL_NONE;
}

static void overwritten(const struct subject *subject, size_t from,
                        size_t at)
{
    const struct trail *trail = &subject->trail;
    const struct trail_event *first = &trail->events.at[from];

    say(subject->draft,
        &(struct remark){.kind = REMARK_VALUE_OVERWRITTEN,
                         .subject = say_variable(subject->draft,
                                                 subject->unit,
                                                 first->variable),
                         .span = first->span,
                         .also = trail->events.at[at].span,
                         .hint = "join the two into one assignment, or put "
                                 "the stronger one last"},
        "what is stored here has no effect: %s stores another value before "
        "anything reads it",
        say_line(subject->draft, first->span, trail->events.at[at].span));
}

/* ---- outputs ---- */

static bool is_commanded(const struct draft *draft, uint32_t slot)
{
    for (size_t i = 0; i < draft->actuators.n; i++)
        if (draft->actuators.at[i].command == slot)
            return true;
    return false;
}

static bool is_output(const struct subject *subject,
                      struct code_variable variable)
{
    const struct draft *draft = subject->draft;

    if (variable.base == CODE_IN_OUT)
        return false;
    if (variable.base == CODE_GLOBAL)
        return is_commanded(draft, variable.index) ||
               (variable.index < draft->uses.n &&
                draft->uses.at[variable.index].symbol &&
                draft->uses.at[variable.index].symbol->at_output);
    for (size_t i = 0; i < subject->unit->scope.all.n; i++) {
        const struct symbol *symbol = subject->unit->scope.all.at[i];

        if (symbol->kind == SYMBOL_VARIABLE && symbol->type &&
            symbol->variable.base == CODE_LOCAL &&
            variable.index >= symbol->variable.index &&
            variable.index - symbol->variable.index < symbol->type->size)
            return symbol->section == TREE_VAR_OUTPUT || symbol->at_output;
    }
    return false;
}

/* 0, 0.0, FALSE, the first item. */
static bool is_off(const struct code_expr *value)
{
    const struct type *type = type_base(value->type);

    if (type->kind != TYPE_REAL)
        return !value->value;
    return value->value > 0 && value->value % 2 == 1 &&
           type->numbers[value->value / 2] == 0;
}

/* Two places that set one output as each sees fit.  Not meant: a default
 * above, a last word that takes it off, a latch of two IFs. */
static bool disagree(const struct trail *trail, size_t a, size_t b)
{
    const struct trail_event *first = &trail->events.at[a];
    const struct trail_event *second = &trail->events.at[b];

    if (trail->nodes.at[second->node].loop)
        return false; /* passes differ */
    if (first->maybe || second->maybe || first->stmt == second->stmt ||
        trail_exclusive(trail, first->node, second->node) ||
        is_default(trail, first, second) ||
        is_used_between(trail, a, a, b))
        return false;
    if (is_constant(second) && is_off(second->value))
        return false;
    return !(is_constant(first) && is_constant(second) &&
             second->value->type->kind == TYPE_BOOL);
}

/* A write that another place overrides, or TRAIL_NONE. */
static size_t overridden_by(const struct trail *trail, size_t a)
{
    size_t b = trail->events.at[a].next;

    if (overwritten_by(trail, a) != TRAIL_NONE)
        return TRAIL_NONE; /* told as such */
    for (unsigned n = 0; b != TRAIL_NONE && n < NEAR_WRITES; n++) {
        if (disagree(trail, a, b))
            return b;
        b = trail->events.at[b].next;
    }
    return TRAIL_NONE;
}

/* One remark for an output, however many places write it; a: the first. */
static void twice(const struct subject *subject, size_t a)
{
    const struct trail *trail = &subject->trail;
    const struct trail_event *first, *second;
    size_t b = TRAIL_NONE;

    for (; a != TRAIL_NONE; a = first->next) {
        first = &trail->events.at[a];
        b = overridden_by(trail, a);
        if (b != TRAIL_NONE)
            break;
    }
    if (b == TRAIL_NONE)
        return;
    second = &trail->events.at[b];
    say(subject->draft,
        &(struct remark){.kind = REMARK_OUTPUT_WRITTEN_TWICE,
                         .subject = say_variable(subject->draft,
                                                 subject->unit,
                                                 second->variable),
                         .span = second->span,
                         .also = first->span,
                         .hint = "write it in one place, from all the "
                                 "conditions"},
        "%s writes this output, too, and both can run in one scan: the "
        "value written here wins, whatever was decided there",
        say_line(subject->draft, second->span, first->span));
}

/* Is it the first write of its place? */
static void mark_later(const struct trail *trail, bool *later)
{
    for (size_t i = 0; i < trail->events.n; i++)
        if (trail->events.at[i].next != TRAIL_NONE)
            later[trail->events.at[i].next] = true;
}

void writes_advise(const struct subject *subject)
{
    const struct trail *trail = &subject->trail;
    bool *later = arena_array(subject->draft->arena, trail->events.n + 1,
                              sizeof *later);

    mark_later(trail, later);
    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];
        size_t by = TRAIL_NONE;

        if (event->kind != TRAIL_WRITE ||
            event->variable.base == CODE_IN_OUT)
            continue;
        if (event->value)
            by = overwritten_by(trail, i);
        if (by != TRAIL_NONE)
            overwritten(subject, i, by);
        if (!later[i] && is_output(subject, event->variable))
            twice(subject, i);
    }
}

/* ---- two programs ---- */

/* What the programs write, units below them included. */
struct owners {
    struct draft *draft;
    VEC(struct span) written;  /* per slot, by the programs before */
    VEC(struct span) now;      /* per slot, by this one */
    VEC(const struct code_pou *) seen;
};

static void own(struct owners *owners, const struct trail_event *event)
{
    uint64_t from = event->variable.index;

    for (uint64_t i = from; i < from + event->reach; i++)
        if (i < owners->now.n)
            draft_note(&owners->now.at[i], event->span);
}

static void collect(struct owners *owners, const struct code_pou *pou)
{
    struct trail trail;

    for (size_t i = 0; i < owners->seen.n; i++)
        if (owners->seen.at[i] == pou)
            return;
    vec_push(&owners->seen, pou);
    trail_make(&trail, pou->body, pou->n_body);
    for (size_t i = 0; i < trail.events.n; i++) {
        const struct trail_event *event = &trail.events.at[i];

        if (event->kind == TRAIL_CALL && event->pou)
            collect(owners, event->pou);
        if (event->kind == TRAIL_WRITE &&
            event->variable.base == CODE_GLOBAL)
            own(owners, event);
    }
    trail_release(&trail);
}

static bool is_place(struct span a, struct span b)
{
    return a.file == b.file && a.from == b.from;
}

static void tell_owners(struct owners *owners, uint32_t slot)
{
    struct draft *draft = owners->draft;
    struct span first = owners->written.at[slot];
    struct span second = owners->now.at[slot];

    if (!second.file)
        return;
    if (!first.file) {
        owners->written.at[slot] = second;
        return;
    }
    if (is_place(first, second) ||
        (slot && is_place(second, owners->now.at[slot - 1])))
        return; /* one program twice; the next element of an array */
    say(draft,
        &(struct remark){.kind = REMARK_WRITTEN_BY_TWO_PROGRAMS,
                         .subject = draft->slots.at[slot].path,
                         .span = second,
                         .also = first,
                         .hint = "let one program write it, and give the "
                                 "other a variable of its own"},
        "%s, which another program runs, writes this variable, too: what "
        "it holds depends on which of them ran last",
        say_line(draft, second, first));
}

void writes_advise_programs(struct draft *draft)
{
    struct owners owners = {.draft = draft};

    for (size_t i = 0; i < draft->slots.n; i++)
        vec_push(&owners.written, (struct span){0});
    for (size_t p = 0; p < draft->n_running; p++) {
        vec_clear(&owners.now);
        vec_clear(&owners.seen);
        for (size_t i = 0; i < draft->slots.n; i++)
            vec_push(&owners.now, (struct span){0});
        collect(&owners, draft->programs.at[p].pou);
        for (uint32_t i = 0; i < draft->slots.n; i++)
            tell_owners(&owners, i);
    }
    vec_release(&owners.written);
    vec_release(&owners.now);
    vec_release(&owners.seen);
}
