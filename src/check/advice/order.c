#include "check/advice/order.h"

#include <string.h>

#include "check/advice/course.h"
#include "check/advice/say.h"

/* ---- variables that begin anew in each run ---- */

/* Was a first value written in the declaration? */
static bool has_initial(const struct unit *unit, const struct name *name)
{
    for (const struct tree_var_block *block = unit->tree->blocks.first;
         block; block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->name == name)
                return var->initial != NULL;
    return false;
}

static bool begins_anew(const struct subject *subject,
                        const struct symbol *symbol)
{
    bool function = subject->unit->pou->kind == POU_FUNCTION;

    return symbol->kind == SYMBOL_VARIABLE && !symbol->constant &&
           symbol->type->size == 1 &&
           symbol->variable.base == CODE_LOCAL &&
           symbol->name != subject->unit->name &&
           (symbol->section == TREE_VAR_TEMP ||
            (function && symbol->section == TREE_VAR)) &&
           !has_initial(subject->unit, symbol->name);
}

static void temporary(const struct subject *subject,
                      const struct symbol *symbol)
{
    struct course course = {.offset = symbol->variable.index};

    course_always(&course, subject->unit->pou);
    if (!course.unready.file)
        return;
    say(subject->draft,
        &(struct remark){.kind = REMARK_TEMP_READ_BEFORE_WRITTEN,
                         .subject = say_variable(subject->draft,
                                                 subject->unit,
                                                 symbol->variable),
                         .span = course.unready,
                         .hint = "write it first on every way to this "
                                 "place, or make it a VAR if it shall be "
                                 "remembered"},
        "'%s' can be read here before it was written: it keeps nothing from "
        "the run before, and some controllers hold anything there",
        draft_spelling(subject->draft, symbol->name, symbol->span));
}

/* Of a result with parts each part may be assigned on its own. */
static bool is_single(const struct code_pou *pou)
{
    const struct code_frame_var *row = say_row(pou, pou->result);

    return row && code_var_size(row) == 1;
}

static void result(const struct subject *subject)
{
    const struct code_pou *pou = subject->unit->pou;
    struct course course = {.offset = pou->result};

    if (pou->kind != POU_FUNCTION || !is_single(pou) ||
        course_always(&course, pou))
        return;
    say(subject->draft,
        &(struct remark){.kind = REMARK_RESULT_NOT_ALWAYS_ASSIGNED,
                         .subject = subject->unit->name->spelling,
                         .span = pou->span,
                         .hint = "assign the result first, then let the "
                                 "branches change it"},
        "there is a way through '%s' that assigns no result: some "
        "controllers then hand back anything",
        subject->unit->name->spelling);
}

/* ---- outputs of blocks ---- */

/* What depends on an output that was read early: slots of the frame, global
 * slots and VAR_IN_OUTs. */
struct taint {
    const struct subject *subject;
    bool *known[3]; /* by enum code_base */
    uint64_t n[3];
    const struct trail_event *call;
    bool circle; /* an input of the block depends on it */
};

static void taint_begin(struct taint *taint, const struct subject *subject)
{
    const struct code_pou *pou = subject->unit->pou;

    taint->subject = subject;
    taint->n[CODE_LOCAL] = pou->size;
    taint->n[CODE_GLOBAL] = subject->draft->slots.n;
    taint->n[CODE_IN_OUT] = pou->n_in_out;
    for (int b = 0; b < 3; b++)
        taint->known[b] = vec_grow(NULL, &(size_t){0}, taint->n[b] + 1, 1);
    for (int b = 0; b < 3; b++)
        memset(taint->known[b], 0, taint->n[b] + 1);
}

static void taint_end(struct taint *taint)
{
    for (int b = 0; b < 3; b++)
        vec_free(taint->known[b]);
}

static uint64_t end_of(const struct taint *taint,
                       const struct trail_event *event)
{
    enum code_base base = event->variable.base;
    uint64_t to = event->variable.index +
                  (uint64_t)(base == CODE_IN_OUT ? 1 : event->reach);

    return to < taint->n[base] ? to : taint->n[base];
}

static bool is_tainted(const struct taint *taint,
                       const struct trail_event *event)
{
    const bool *known = taint->known[event->variable.base];

    for (uint64_t i = event->variable.index; i < end_of(taint, event); i++)
        if (known[i])
            return true;
    return false;
}

/* A part that depends makes all of an instance depend. */
static void add_taint(struct taint *taint, const struct trail_event *event)
{
    bool *known = taint->known[event->variable.base];

    for (uint64_t i = event->variable.index; i < end_of(taint, event); i++)
        known[i] = true;
}

static bool reads_tainted(const struct taint *taint, uint32_t top)
{
    const struct trail *trail = &taint->subject->trail;

    for (size_t i = trail->tops.at[top]; i < trail->tops.at[top + 1]; i++)
        if (trail->events.at[i].kind == TRAIL_READ &&
            is_tainted(taint, &trail->events.at[i]))
            return true;
    return false;
}

static void spread(struct taint *taint, uint32_t top)
{
    const struct trail *trail = &taint->subject->trail;

    if (!reads_tainted(taint, top))
        return;
    for (size_t i = trail->tops.at[top]; i < trail->tops.at[top + 1]; i++)
        if (trail->events.at[i].kind == TRAIL_WRITE ||
            trail->events.at[i].kind == TRAIL_CALL) {
            add_taint(taint, &trail->events.at[i]);
            taint->circle |= trail_touches(&trail->events.at[i],
                                           taint->call->variable,
                                           taint->call->reach);
        }
}

/* What the block is called with hangs on what was read of it: whichever way
 * round they stand, one scan lies between. */
static bool is_circle(const struct subject *subject,
                      const struct trail_event *read,
                      const struct trail_event *call)
{
    struct taint taint = {.call = call};
    bool circle;

    taint_begin(&taint, subject);
    add_taint(&taint, call);
    for (uint32_t top = read->top; top < call->top; top++)
        spread(&taint, top);
    circle = taint.circle || read->top == call->top ||
             reads_tainted(&taint, call->top);
    taint_end(&taint);
    return circle;
}

static bool is_of(const struct trail_event *event,
                  const struct code_frame_var *row)
{
    return trail_touches(event,
                         (struct code_variable){.base = CODE_LOCAL,
                                                .index = row->offset},
                         row->pou->size);
}

static void early(const struct subject *subject,
                  const struct code_frame_var *row)
{
    const struct trail *trail = &subject->trail;
    const struct trail_event *read = NULL, *call = NULL;

    for (size_t i = 0; i < trail->events.n && !call; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if (!is_of(event, row))
            continue;
        if (event->kind == TRAIL_CALL)
            call = event;
        else if (event->kind == TRAIL_READ && !read)
            read = event;
    }
    if (!read || !call || is_circle(subject, read, call))
        return;
    say(subject->draft,
        &(struct remark){.kind = REMARK_OUTPUT_READ_BEFORE_CALL,
                         .subject = say_declared(subject->draft,
                                                 subject->unit, row),
                         .span = read->span,
                         .also = call->span,
                         .hint = "call the block first, then read it"},
        "'%s' is called on %s only, so this reads what it said in the scan "
        "before",
        draft_spelling(subject->draft, row->name, row->span),
        say_line(subject->draft, read->span, call->span));
}

void order_advise(const struct subject *subject)
{
    const struct code_pou *pou = subject->unit->pou;
    const struct scope *scope = &subject->unit->scope;

    for (size_t i = 0; i < scope->all.n; i++)
        if (begins_anew(subject, scope->all.at[i]))
            temporary(subject, scope->all.at[i]);
    result(subject);
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].pou)
            early(subject, &pou->vars[i]);
}
