#include "check/advice/unused.h"

#include "check/advice/say.h"

static uint32_t size_of(const struct symbol *symbol)
{
    return symbol->kind == SYMBOL_INSTANCE ? symbol->unit->pou->size : 1;
}

/* Does the body read, or (any) touch it? */
static bool touches(const struct trail *trail, const struct symbol *symbol,
                    bool any)
{
    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if ((any || event->kind == TRAIL_READ) &&
            event->variable.base == symbol->variable.base &&
            event->variable.index >= symbol->variable.index &&
            event->variable.index - symbol->variable.index <
                size_of(symbol))
            return true;
    }
    return false;
}

/* The uses that were noted while all texts were checked, review texts
 * among them; NULL for a variable that has no slot of its own. */
static const struct use *use_of(const struct subject *subject,
                                const struct symbol *symbol)
{
    const struct draft *draft = subject->draft;

    for (size_t p = 0; p < draft->program_units.n; p++) {
        uint64_t slot = symbol->variable.index +
                        (uint64_t)draft->programs.at[p].frame;

        if (draft->program_units.at[p] == subject->unit &&
            slot < draft->uses.n)
            return &draft->uses.at[slot];
    }
    return NULL;
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
    const struct use *use = use_of(subject, symbol);
    const char *name =
        arena_printf(subject->draft->arena, "%s.%s",
                     subject->unit->name->spelling,
                     draft_spelling(subject->draft, symbol->name,
                                    symbol->span));

    if (is_input(symbol)) {
        if (!touches(&subject->trail, symbol, false) &&
            !(use && use->read.file))
            input(subject->draft, name, symbol);
    } else if (!touches(&subject->trail, symbol, true) &&
               !(use && (use->read.file || use->written.file ||
                         use->wired.file || use->driven.file))) {
        variable(subject->draft, name, symbol);
    }
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
            symbol->name != subject->unit->name)
            declared(subject, symbol);
    }
}

void unused_advise_globals(struct draft *draft)
{
    for (size_t i = 0; i < draft->slots.n && i < draft->uses.n; i++) {
        const struct use *use = &draft->uses.at[i];

        if (!use->symbol || use->program || use->symbol->constant ||
            use->read.file)
            continue;
        if (use->symbol->at_input || use->driven.file)
            input(draft, draft->slots.at[i].path, use->symbol);
        else if (!use->written.file && !use->wired.file)
            variable(draft, draft->slots.at[i].path, use->symbol);
    }
}
