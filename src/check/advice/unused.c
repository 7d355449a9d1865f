#include "check/advice/unused.h"

#include "check/advice/say.h"
#include "check/need.h"

static uint32_t size_of(const struct symbol *symbol)
{
    return symbol->kind == SYMBOL_INSTANCE ? symbol->unit->pou->size
                                           : symbol->type->size;
}

/* Does the body read, or (any) touch it? */
static bool touches(const struct trail *trail, const struct symbol *symbol,
                    bool any)
{
    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if ((any || event->kind == TRAIL_READ) &&
            trail_touches(event, symbol->variable, size_of(symbol)))
            return true;
    }
    return false;
}

static bool slots_noted(const struct draft *draft, uint64_t slot,
                        uint32_t size, bool any)
{
    for (uint32_t i = 0; i < size && slot + i < draft->uses.n; i++) {
        const struct use *use = &draft->uses.at[slot + i];

        if (use->read.file || (any && (use->written.file ||
                                       use->wired.file ||
                                       use->driven.file)))
            return true;
    }
    return false;
}

/* Was it used while all texts were checked, review texts among them?  A
 * program may run more than once. */
static bool is_noted(const struct subject *subject,
                     const struct symbol *symbol, bool any)
{
    const struct draft *draft = subject->draft;

    for (size_t p = 0; p < draft->program_units.n; p++) {
        uint64_t slot = symbol->variable.index +
                        (uint64_t)draft->programs.at[p].frame;

        if (draft->program_units.at[p] == subject->unit &&
            slots_noted(draft, slot, size_of(symbol), any))
            return true;
    }
    return false;
}

static void input(struct draft *draft, const char *subject,
                  const struct symbol *symbol)
{
    say(draft,
        &(struct remark){.kind = REMARK_INPUT_NOT_READ,
                         .subject = subject,
                         .span = symbol->span,
                         .hint = "read it, or take it out"},
        "nothing reads the input '%s': whatever it says changes nothing",
        draft_spelling(draft, symbol->name, symbol->span));
}

static void variable(struct draft *draft, const char *subject,
                     const struct symbol *symbol)
{
    say(draft,
        &(struct remark){.kind = REMARK_VARIABLE_NOT_USED,
                         .subject = subject,
                         .span = symbol->span,
                         .hint = "use it, or take it out"},
        "nothing uses '%s'",
        draft_spelling(draft, symbol->name, symbol->span));
}

static bool is_input(const struct symbol *symbol)
{
    return symbol->section == TREE_VAR_INPUT || symbol->at_input;
}

static void declared(const struct subject *subject,
                     const struct symbol *symbol)
{
    bool any = !is_input(symbol);
    const char *name =
        arena_printf(subject->draft->arena, "%s.%s",
                     subject->unit->name->spelling,
                     draft_spelling(subject->draft, symbol->name,
                                    symbol->span));

    if (touches(&subject->trail, symbol, any) ||
        is_noted(subject, symbol, any))
        return;
    if (any)
        variable(subject->draft, name, symbol);
    else
        input(subject->draft, name, symbol);
}

void unused_advise(const struct subject *subject)
{
    const struct scope *scope = &subject->unit->scope;

    for (size_t i = 0; i < scope->all.n; i++) {
        const struct symbol *symbol = scope->all.at[i];

        if ((symbol->kind == SYMBOL_VARIABLE ||
             symbol->kind == SYMBOL_INSTANCE) &&
            symbol->variable.base != CODE_GLOBAL && !symbol->constant &&
            !symbol->hidden && symbol->section != TREE_VAR_EXTERNAL &&
            symbol->name != subject->unit->name && size_of(symbol))
            declared(subject, symbol);
    }
}

static void global(struct draft *draft, const struct symbol *symbol)
{
    uint32_t slot = symbol->variable.index;
    const char *name = draft_spelling(draft, symbol->name, symbol->span);

    if (symbol->constant || !symbol->type || !symbol->type->size ||
        slots_noted(draft, slot, symbol->type->size, false))
        return;
    if (symbol->at_input || (slot < draft->uses.n &&
                             draft->uses.at[slot].driven.file))
        input(draft, name, symbol);
    else if (!slots_noted(draft, slot, symbol->type->size, true))
        variable(draft, name, symbol);
}

/* Parts that are not needed are not read, and may use a global. */
static bool is_all_read(const struct draft *draft)
{
    for (const struct tree_pou *pou = draft->run->pous.first; pou;
         pou = pou->next)
        if (!need_has(draft->need, pou->name->name))
            return false;
    return true;
}

void unused_advise_globals(struct draft *draft)
{
    if (!is_all_read(draft))
        return;
    for (size_t i = 0; i < draft->globals.all.n; i++)
        if (draft->globals.all.at[i]->kind == SYMBOL_VARIABLE)
            global(draft, draft->globals.all.at[i]);
}
