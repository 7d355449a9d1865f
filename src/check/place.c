#include "check/place.h"

#include "check/need.h"

static struct unit *unit_at_hand(const struct draft *draft)
{
    return draft->open.n ? draft->open.at[draft->open.n - 1] : NULL;
}

void place_declared(struct draft *draft, const struct tree_var *var,
                    const struct symbol *symbol)
{
    struct unit *unit = unit_at_hand(draft);
    struct symbol entry = {.name = var->place,
                           .kind = symbol->kind,
                           .span = symbol->span,
                           .placed = symbol,
                           .placed_in = unit};

    if (!var->place)
        return;
    vec_push(&draft->placed,
             ((struct placed){var->location, var->located, symbol->type,
                              symbol->span, unit}));
    if ((!unit || unit->pou->kind == POU_PROGRAM) &&
        !scope_find(&draft->places, var->place))
        scope_put(&draft->places, draft->arena, &entry);
}

static uint32_t frame_of(const struct draft *draft, const struct unit *unit)
{
    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->program_units.at[i] == unit)
            return draft->programs.at[i].frame;
    return MODEL_NONE;
}

const struct symbol *place_shared(struct draft *draft,
                                  const struct scope *scope,
                                  const struct tree_var *var)
{
    struct symbol *other = ARENA_NEW(draft->arena, struct symbol);
    const struct type *type;

    if (!var->place ||
        !place_find(draft, unit_at_hand(draft), var->place, other))
        return NULL;
    type = draft->type_of(draft, scope, var->type);
    return type && other->type &&
                   (type_same(type, other->type) ||
                    (type_elementary(type) &&
                     type_base(type) == type_base(other->type)))
               ? other : NULL;
}

/* Does a PROGRAM that is needed declare it? */
static bool in_program(const struct draft *draft, const struct name *place)
{
    for (const struct tree_pou *pou = draft->run->pous.first; pou;
         pou = pou->next)
        for (const struct tree_var_block *block = pou->blocks.first;
             block && pou->kind == TREE_PROGRAM &&
             need_has(draft->need, pou->name->name);
             block = block->next)
            for (const struct tree_var *var = block->vars.first; var;
                 var = var->next)
                if (var->place == place)
                    return true;
    return false;
}

bool place_needed(const struct draft *draft, const struct tree_var *var)
{
    return !scope_find(&draft->places, var->name) &&
           need_has(draft->need, var->name) && !in_program(draft, var->name);
}

bool place_find(const struct draft *draft, const struct unit *unit,
                const struct name *name, struct symbol *out)
{
    const struct symbol *entry = scope_find(&draft->places, name);
    uint32_t frame;

    if (!entry)
        return false;
    *out = *entry->placed;
    if (!entry->placed_in || entry->placed_in == unit)
        return true;
    frame = frame_of(draft, entry->placed_in);
    if (frame == MODEL_NONE)
        return false;
    out->variable.base = CODE_GLOBAL;
    out->variable.index += frame;
    return true;
}
