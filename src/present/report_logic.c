#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/report_parts.h"

/* What was met. */
struct met {
    const struct model *model;
    struct text actuators, programs; /* names, each with ", " before it */
};

/* Is it among these names? */
static bool is_listed(const struct text *list, const char *name, size_t n)
{
    const char *at = text_str(list);

    while (*at != '\0') {
        size_t have;

        at += 2;
        have = strcspn(at, ",");
        if (have == n && memcmp(at, name, n) == 0)
            return true;
        at += have;
    }
    return false;
}

static void list(struct text *to, const char *name, size_t n)
{
    if (is_listed(to, name, n))
        return;
    text_add(to, ", ");
    text_add_bytes(to, name, n);
}

/* The program of a path such as "Main.timer.Q". */
static void meet_slot(struct met *met, uint32_t slot)
{
    const struct slot *of = &met->model->slots[slot];
    size_t n = strcspn(of->path, ".");

    if (of->home == SLOT_PROGRAM && of->path[n] == '.')
        list(&met->programs, of->path, n);
}

static void meet_actuator(struct met *met, const struct actuator *actuator)
{
    list(&met->actuators, actuator->name->spelling,
         strlen(actuator->name->spelling));
    if (actuator->command != MODEL_NONE)
        meet_slot(met, actuator->command);
}

static void meet_variable(struct met *met, uint32_t slot)
{
    for (uint32_t i = 0; i < met->model->n_actuators; i++)
        if (met->model->actuators[i].slot == slot) {
            meet_actuator(met, &met->model->actuators[i]);
            return;
        }
    meet_slot(met, slot);
}

static void meet(struct met *met, const struct code_expr *expr)
{
    if (expr == NULL)
        return;
    if (expr->op == CODE_COMMANDED)
        meet_actuator(met, &met->model->actuators[expr->index]);
    else if (expr->op == CODE_READ)
        meet_slot(met, expr->index);
    else if (expr->op == CODE_TRUE_FOR)
        meet(met, met->model->clocks[expr->index].held);
    else if (expr->op == CODE_VARIABLE &&
             expr->variable.base == CODE_GLOBAL)
        meet_variable(met, expr->variable.index);
    meet(met, expr->left);
    meet(met, expr->right);
    for (uint32_t i = 0; i < expr->n_args; i++)
        meet(met, expr->args[i].value);
}

void report_logic(struct text *words, const struct model *model,
                  const struct requirement *requirement)
{
    struct met met = {.model = model};

    meet(&met, requirement->a);
    meet(&met, requirement->b);
    meet(&met, requirement->c);
    for (uint32_t i = 0; i < requirement->n_started_by; i++)
        meet(&met, requirement->started_by[i]);
    for (uint32_t i = 0; i < requirement->n_cancelled_by; i++)
        meet(&met, requirement->cancelled_by[i]);
    if (met.actuators.n > 0)
        text_add(words, text_str(&met.actuators) + 2);
    if (met.programs.n > 0)
        text_printf(words, "%sin %s", met.actuators.n > 0 ? "\n" : "",
                    text_str(&met.programs) + 2);
    if (words->n == 0)
        text_add(words, "names the machine alone");
    text_release(&met.actuators);
    text_release(&met.programs);
}
