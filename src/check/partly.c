#include "check/partly.h"

#include "check/resolve.h"
#include "check/unit.h"
#include "check/widening.h"

enum { BITS = 63 };

/* The BOOLs in the order of their bits. */
static uint32_t rank_of(uint64_t bits, uint32_t bit)
{
    return (uint32_t)__builtin_popcountll(bits & ((UINT64_C(1) << bit) - 1));
}

static void declare_bit(struct draft *draft, struct unit_vars *vars,
                        const struct symbol *word, uint32_t bit)
{
    const struct name *name = names_of(
        draft->names, arena_printf(draft->arena, "%s.%u",
                                   draft_spelling(draft, word->name,
                                                  word->span), bit));
    struct symbol symbol = {
        .name = name,
        .kind = SYMBOL_VARIABLE,
        .span = word->span,
        .type = draft->types.boolean,
        .section = TREE_VAR,
        .variable = {.base = CODE_LOCAL, .index = vars->size},
        .hidden = true,
        .location = word->location};
    struct code_frame_var row = {.name = name,
                                 .type = draft->types.boolean,
                                 .offset = vars->size,
                                 .initial = word->value >> bit & 1};

    if (vars->size >= DRAFT_MAX_SLOTS)
        return; /* the program's slots are too many: reported when unfolded */
    vars->size++;
    vec_push(&vars->rows, row);
    scope_put(vars->scope, draft->arena, &symbol);
}

static bool has_bits(const struct type *type)
{
    return type && (type->kind == TYPE_BITS || type->kind == TYPE_INTEGER);
}

void partly_declare(struct draft *draft, struct unit_vars *vars,
                    struct symbol *symbol)
{
    if (symbol->kind != SYMBOL_VARIABLE || !has_bits(symbol->type) ||
        symbol->variable.base != CODE_LOCAL || !vars->control ||
        vars->all_temp)
        return;
    symbol->outside = widening_bits(draft, symbol->span);
    for (uint32_t bit = 0; bit < BITS; bit++)
        if (symbol->outside >> bit & 1)
            declare_bit(draft, vars, symbol, bit);
}

/* The symbol of the BOOL stands behind that of the word, wherever that was
 * copied to. */
bool partly_found(const struct draft *draft, struct found *found,
                  uint32_t bit)
{
    const struct symbol *word = found->symbol;

    if (found->kind != FOUND_VARIABLE || found->type != word->type ||
        found->variable.n_steps || !(word->outside >> bit & 1))
        return false;
    found->variable = code_behind(found->variable,
                                  1 + rank_of(word->outside, bit));
    found->type = draft->types.boolean;
    return true;
}

/* ---- what the next round is for ---- */

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
