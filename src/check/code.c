#include "check/code.h"

uint32_t code_var_size(const struct code_frame_var *var)
{
    return var->type ? var->type->size : var->pou->size;
}

uint32_t code_reach(const struct code_variable *variable, uint32_t size)
{
    uint32_t reach = size;

    for (uint32_t i = 0; i < variable->n_steps; i++) {
        const struct code_index *step = &variable->steps[i];

        reach += (uint32_t)(step->high - step->low) * step->stride;
    }
    return reach;
}

struct code_variable code_behind(struct code_variable variable,
                                 uint32_t slots)
{
    if (variable.base == CODE_IN_OUT)
        variable.offset += slots;
    else
        variable.index += slots;
    return variable;
}
