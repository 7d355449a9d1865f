#include "check/sight.h"

static void add_variable(const struct draft *draft,
                         const struct code_expr *expr, struct sight *sight)
{
    enum slot_home home = draft->slots.at[expr->variable.index].home;
    bool before = expr->when == CODE_PREVIOUS;

    if (home == SLOT_MACHINE) {
        sight->outside = true;
        sight->machine_before |= before;
    } else if (home == SLOT_RECORDER) {
        sight->outside = true;
    } else if (home == SLOT_PROGRAM || home == SLOT_GLOBAL) {
        if (!sight->program)
            sight->place = expr->span;
        sight->program = true;
    }
}

static void add_leaf(const struct draft *draft,
                     const struct code_expr *expr, struct sight *sight)
{
    bool before = expr->when == CODE_PREVIOUS;

    sight->past |= before;
    switch (expr->op) {
    case CODE_VARIABLE: add_variable(draft, expr, sight); break;
    case CODE_HAND:
    case CODE_CONTACT:
        sight->outside = true;
        /* fall through */
    case CODE_READ:
        sight->hand_before |= before;
        sight->hand_now |= !before;
        /* fall through */
    case CODE_COMMANDED:
        if (expr->op >= CODE_READ) {
            if (!sight->program)
                sight->place = expr->span;
            sight->program = true;
        }
        break;
    case CODE_SENSOR:
        sight->outside = true;
        sight->machine_before |= before;
        break;
    case CODE_TRUE_FOR: sight->clock = true; break;
    default: break;
    }
}

void sight_add(const struct draft *draft, const struct code_expr *expr,
               const struct code_expr *except, struct sight *sight)
{
    if (!expr || expr == except)
        return;
    add_leaf(draft, expr, sight);
    for (uint32_t i = 0; i < expr->variable.n_steps; i++)
        sight_add(draft, expr->variable.steps[i].value, except, sight);
    sight_add(draft, expr->left, except, sight);
    sight_add(draft, expr->right, except, sight);
    for (uint32_t i = 0; i < expr->n_args; i++)
        sight_add(draft, expr->args[i].value, except, sight);
}
