#include "study/outputs.h"

#include <ctype.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/load.h"

struct list {
    const struct model *model;
    VEC(struct pair_output) at;
};

static bool is_commanded(const struct model *model, uint32_t slot)
{
    for (uint32_t a = 0; a < model->n_actuators; a++)
        if (model->actuators[a].command == slot)
            return true;
    return false;
}

static bool is_output(const struct tree_var_block *block,
                      const struct tree_var *var, bool program)
{
    if (var->location != NULL && var->location[0] == '%')
        return toupper((unsigned char)var->location[1]) == 'Q';
    return program && block->section == TREE_VAR_OUTPUT;
}

/* Every variable of the model that was declared there. */
static void add_declared(struct list *list, struct span span)
{
    const struct model *model = list->model;

    for (uint32_t s = 0; s < model->n_slots; s++) {
        const struct slot *slot = &model->slots[s];

        if ((slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL) &&
            slot->span.file == span.file && slot->span.from == span.from &&
            !slot->temp && !is_commanded(model, s))
            vec_push(&list->at, ((struct pair_output){MODEL_NONE, s}));
    }
}

static void add_blocks(struct list *list, const struct tree_var_block *block,
                       bool program)
{
    for (; block != NULL; block = block->next)
        for (const struct tree_var *var = block->vars.first; var != NULL;
             var = var->next)
            if (is_output(block, var, program))
                add_declared(list, var->span);
}

struct pair_outputs outputs_of(struct arena *arena,
                               const struct loaded *loaded)
{
    struct list list = {.model = loaded->model};
    const struct tree_run *run = loaded->run;
    struct pair_output *copy;
    uint32_t n;

    for (uint32_t a = 0; a < list.model->n_actuators; a++)
        vec_push(&list.at, ((struct pair_output){
            a, list.model->actuators[a].command}));
    add_blocks(&list, run->globals.first, false);
    for (const struct tree_pou *pou = run->pous.first; pou != NULL;
         pou = pou->next)
        add_blocks(&list, pou->blocks.first, pou->kind == TREE_PROGRAM);
    n = (uint32_t)list.at.n;
    copy = arena_array(arena, (size_t)n + 1, sizeof *copy);
    for (uint32_t i = 0; i < n; i++)
        copy[i] = list.at.at[i];
    vec_release(&list.at);
    return (struct pair_outputs){copy, n};
}

const char *outputs_name(struct arena *arena, const struct model *model,
                         const struct pair_output *output)
{
    if (output->actuator != MODEL_NONE)
        return arena_printf(
            arena, "%s",
            model->actuators[output->actuator].name->spelling);
    return arena_printf(arena, "%s", model->slots[output->slot].path);
}
