#include "engine/concrete/cost.h"

#include "base/ensure.h"
#include "engine/concrete/expand.h"
#include "engine/concrete/plan.h"

enum { MOVEMENT_BITS = 22, FAULT_BITS = 20, OPERATOR_BITS = 22 };

static cost make(uint64_t operators, uint64_t faults, uint64_t movements)
{
    ENSURE(operators < (1u << OPERATOR_BITS) - 1);
    ENSURE(faults < (1u << FAULT_BITS));
    ENSURE(movements < (1u << MOVEMENT_BITS));
    return operators << (FAULT_BITS + MOVEMENT_BITS) |
           faults << MOVEMENT_BITS | movements;
}

uint64_t cost_operator(cost c)
{
    return c >> (FAULT_BITS + MOVEMENT_BITS);
}

uint64_t cost_fault(cost c)
{
    return c >> MOVEMENT_BITS & ((1u << FAULT_BITS) - 1);
}

uint64_t cost_movement(cost c)
{
    return c & ((1u << MOVEMENT_BITS) - 1);
}

cost cost_add(cost a, cost b)
{
    if (a == COST_NEVER || b == COST_NEVER)
        return COST_NEVER;
    return make(cost_operator(a) + cost_operator(b),
                cost_fault(a) + cost_fault(b),
                cost_movement(a) + cost_movement(b));
}

cost cost_here(struct expander *x)
{
    const struct plan *p = x->plan;
    const uint32_t *choice = x->fork->choice;
    uint64_t operators = 0, faults = 0, movements = 0;

    for (uint32_t row = 0; row < p->n_choices; row++) {
        const struct flat_choice *c = &p->choices[row];

        if (choice[row] == FLAT_NONE)
            continue;
        if (c->kind == FLAT_OPERATOR || c->kind == FLAT_INPUT)
            operators += choice[row] != c->rest;
        else if (c->kind == FLAT_FAULT)
            faults += c->cause != FLAT_NONE && choice[row] == 1;
    }
    for (uint32_t i = 0; i < p->motions.n; i++)
        movements += expander_value(x, p->motions.at[i]) != 0;
    return make(operators, faults, movements);
}

void cost_prices(const struct plan *p, cost *price, uint32_t *free)
{
    for (uint32_t row = 0; row < p->n_choices; row++) {
        const struct flat_choice *c = &p->choices[row];
        bool operator = c->kind == FLAT_OPERATOR || c->kind == FLAT_INPUT;
        bool fault = c->kind == FLAT_FAULT && c->cause != FLAT_NONE;

        price[row] = operator ? make(1, 0, 0)
                     : fault && c->count == 2 ? make(0, 1, 0) : 0;
        free[row] = operator ? c->rest : 0;
    }
}

void cost_choices(const struct expander *x, uint32_t *choices)
{
    const struct plan *p = x->plan;

    for (uint32_t row = 0; row < p->n_choices; row++) {
        choices[row] = x->fork->choice[row];
        if (choices[row] == FLAT_NONE)
            choices[row] = plan_rest(&p->choices[row]);
    }
}

bool cost_before(const struct flat_choice *rows, uint32_t n,
                 const uint32_t *a, const uint32_t *b)
{
    for (uint32_t i = 0; i < n; i++) {
        uint32_t left = plan_place(&rows[i], a[i]);
        uint32_t right = plan_place(&rows[i], b[i]);

        if (left != right)
            return left < right;
    }
    return false;
}
