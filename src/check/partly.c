#include "check/partly.h"

#include "check/widening.h"

static bool has_bits(const struct type *type)
{
    return type && (type->kind == TYPE_BITS || type->kind == TYPE_INTEGER);
}

/* Those of the bits that no text writes; none where a text writes the
 * whole, or nothing of it. */
static uint64_t unwritten(const struct use *use, uint64_t bits)
{
    return use->whole_written || !use->bits_written
               ? 0 : bits & ~use->bits_written;
}

/* A variable of a program or a block that stands at no place is its own. */
static bool ask_of(struct draft *draft, const struct symbol *symbol,
                   uint32_t slot)
{
    const struct use *use = &draft->uses.at[slot];

    return has_bits(symbol->type) && !draft->slots.at[slot].temp &&
           !use->shared && !unwritten(use, use->bits_lent) &&
           unwritten(use, use->bits_read) &&
           widening_part(draft, symbol->span,
                         unwritten(use, use->bits_read));
}

/* What cannot be told apart bit by bit, parts of arrays and structures and
 * what a callee has as VAR_IN_OUT, is written by others in the whole. */
static bool share_of(struct draft *draft, const struct symbol *symbol,
                     uint32_t slot)
{
    for (uint32_t i = 0; i < symbol->type->size; i++) {
        struct use *use = &draft->uses.at[slot + i];
        uint64_t bits = use->bits_lent;

        if (!type_elementary(symbol->type))
            bits |= use->bits_read;
        use->shared |= unwritten(use, bits) && !use->driven.file;
    }
    return false;
}

/* Does so with each variable that others could write. */
static bool each(struct draft *draft, const struct scope *scope,
                 uint32_t frame, bool located,
                 bool (*act)(struct draft *draft,
                             const struct symbol *symbol, uint32_t slot))
{
    bool asked = false;

    for (size_t i = 0; i < scope->all.n; i++) {
        const struct symbol *symbol = scope->all.at[i];
        uint32_t slot = frame + symbol->variable.index;

        if (symbol->kind == SYMBOL_VARIABLE && symbol->type &&
            !symbol->type->remembers &&
            symbol->section != TREE_VAR_EXTERNAL &&
            symbol->variable.base != CODE_IN_OUT && !symbol->constant &&
            (symbol->location || !located) &&
            (size_t)slot + symbol->type->size <= draft->uses.n)
            asked |= act(draft, symbol, slot);
    }
    return asked;
}

static bool all(struct draft *draft,
                bool (*act)(struct draft *draft, const struct symbol *symbol,
                            uint32_t slot))
{
    bool asked = each(draft, &draft->globals, 0, false, act);

    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->programs.at[i].frame != MODEL_NONE)
            asked |= each(draft, &draft->program_units.at[i]->scope,
                          draft->programs.at[i].frame, true, act);
    for (size_t i = 0; i < draft->laid.n; i++)
        asked |= each(draft, &draft->laid.at[i].unit->scope,
                      draft->laid.at[i].slot, true, act);
    return asked;
}

bool partly_ask(struct draft *draft)
{
    return all(draft, ask_of);
}

void partly_share(struct draft *draft)
{
    all(draft, share_of);
}
