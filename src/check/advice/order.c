#include "check/advice/order.h"

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

static void result(const struct subject *subject)
{
    const struct code_pou *pou = subject->unit->pou;
    struct course course = {.offset = pou->result};

    if (pou->kind != POU_FUNCTION || course_always(&course, pou))
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

/* What depends on an output that was read early. */
struct taint {
    const struct subject *subject;
    const struct code_frame_var *row;
    VEC(struct code_variable) known;
};

static bool is_tainted(const struct taint *taint,
                       struct code_variable variable)
{
    const struct code_frame_var *row;

    for (size_t i = 0; i < taint->known.n; i++)
        if (trail_same(taint->known.at[i], variable))
            return true;
    if (variable.base != CODE_LOCAL)
        return false;
    row = say_row(taint->subject->unit->pou, variable.index);
    if (!row || !row->pou)
        return false;
    if (row == taint->row)
        return true;
    for (size_t i = 0; i < taint->known.n; i++)
        if (taint->known.at[i].base == CODE_LOCAL &&
            say_row(taint->subject->unit->pou, taint->known.at[i].index) ==
                row)
            return true;
    return false;
}

static bool reads_tainted(const struct taint *taint, uint32_t top)
{
    const struct trail *trail = &taint->subject->trail;

    for (size_t i = 0; i < trail->events.n; i++)
        if (trail->events.at[i].top == top &&
            trail->events.at[i].kind == TRAIL_READ &&
            is_tainted(taint, trail->events.at[i].variable))
            return true;
    return false;
}

static void spread(struct taint *taint, uint32_t top)
{
    const struct trail *trail = &taint->subject->trail;

    if (!reads_tainted(taint, top))
        return;
    for (size_t i = 0; i < trail->events.n; i++)
        if (trail->events.at[i].top == top &&
            trail->events.at[i].kind != TRAIL_READ &&
            !is_tainted(taint, trail->events.at[i].variable))
            vec_push(&taint->known, trail->events.at[i].variable);
}

/* What the block is called with hangs on what was read of it: whichever way
 * round they stand, one scan lies between. */
static bool is_circle(const struct subject *subject,
                      const struct code_frame_var *row, uint32_t from,
                      uint32_t to)
{
    struct taint taint = {.subject = subject, .row = row};
    bool circle;

    for (uint32_t top = from; top < to; top++)
        spread(&taint, top);
    circle = from == to || reads_tainted(&taint, to);
    vec_release(&taint.known);
    return circle;
}

static bool is_of(const struct trail_event *event,
                  const struct code_frame_var *row)
{
    return event->variable.base == CODE_LOCAL &&
           event->variable.index >= row->offset &&
           event->variable.index - row->offset < row->pou->size;
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
    if (!read || !call || is_circle(subject, row, read->top, call->top))
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
