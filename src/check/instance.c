#include "check/instance.h"

const struct type *instance_type(struct draft *draft, struct unit *unit)
{
    const struct code_pou *pou = unit->pou;
    struct type *type;
    int64_t *initials;

    if (unit->type)
        return unit->type;
    type = ARENA_NEW(draft->arena, struct type);
    initials = arena_array(draft->arena, pou->size, sizeof *initials);
    for (uint32_t i = 0; i < pou->n_vars; i++) {
        const struct code_frame_var *var = &pou->vars[i];

        for (uint32_t k = 0; k < code_var_size(var); k++)
            initials[var->offset + k] =
                var->initials ? var->initials[k] : var->initial;
    }
    *type = (struct type){.kind = TYPE_BLOCK, .name = unit->name,
                          .size = pou->size, .initials = initials,
                          .unit = unit, .remembers = true};
    unit->type = type;
    return type;
}
