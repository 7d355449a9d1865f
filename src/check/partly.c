#include "check/partly.h"

#include "check/widening.h"

static bool has_bits(const struct type *type)
{
    return type && (type->kind == TYPE_BITS || type->kind == TYPE_INTEGER);
}

static uint64_t from_outside(const struct draft *draft, uint32_t slot)
{
    const struct use *use = &draft->uses.at[slot];

    return use->whole_written || !use->bits_written
               ? 0 : use->bits_read & ~use->bits_written;
}

/* A variable of a program or a block that stands at no place is its own. */
static bool ask_of(struct draft *draft, const struct symbol *symbol,
                   uint32_t slot)
{
    return symbol->kind == SYMBOL_VARIABLE && has_bits(symbol->type) &&
           symbol->variable.base != CODE_IN_OUT && slot < draft->uses.n &&
           !draft->slots.at[slot].temp && !draft->uses.at[slot].shared &&
           !symbol->constant && from_outside(draft, slot) &&
           widening_part(draft, symbol->span, from_outside(draft, slot));
}

static bool ask_all(struct draft *draft, const struct scope *scope,
                    uint32_t frame, bool located)
{
    bool asked = false;

    for (size_t i = 0; i < scope->all.n; i++) {
        const struct symbol *symbol = scope->all.at[i];

        if (symbol->section != TREE_VAR_EXTERNAL &&
            (symbol->location || !located))
            asked |= ask_of(draft, symbol, frame + symbol->variable.index);
    }
    return asked;
}

bool partly_ask(struct draft *draft)
{
    bool asked = ask_all(draft, &draft->globals, 0, false);

    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->programs.at[i].frame != MODEL_NONE)
            asked |= ask_all(draft, &draft->program_units.at[i]->scope,
                             draft->programs.at[i].frame, true);
    for (size_t i = 0; i < draft->laid.n; i++)
        asked |= ask_all(draft, &draft->laid.at[i].unit->scope,
                         draft->laid.at[i].slot, true);
    return asked;
}
