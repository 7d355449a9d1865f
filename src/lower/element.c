#include "lower/element.h"

#include "logic/given.h"
#include "lower/term.h"

/* The comparisons of indices within a condition. */
struct tests {
    flat_expr at[SYM_TESTS];
    uint32_t n;
};

static void add_tests(const struct flat_builder *builder, flat_expr when,
                      struct tests *tests)
{
    flat_expr todo[SYM_TESTS] = {when};
    uint32_t n = 1;

    while (n > 0 && tests->n < SYM_TESTS) {
        flat_expr at = todo[--n];
        const struct flat_node *node = flat_node(builder, at);

        if (node->op == FLAT_EQ)
            tests->at[tests->n++] = at;
        if (node->op != FLAT_AND || n + 2 > SYM_TESTS)
            continue;
        todo[n++] = node->b;
        todo[n++] = node->a;
    }
}

void element_note(struct sym *sym, uint32_t slot, flat_expr when)
{
    struct element *element = &sym->element[slot];

    if (term_is(sym->builder, when, 1))
        return;
    for (uint32_t i = 0; i < element->n; i++)
        if (element->when[i] == when)
            return;
    if (element->n < SYM_TESTS)
        element->when[element->n++] = when;
    element->from = FLAT_NONE;
}

static flat_expr split(struct sym *sym, const struct element *element,
                       flat_expr value)
{
    struct tests tests = {0};

    for (uint32_t i = 0; i < element->n; i++)
        add_tests(sym->builder, element->when[i], &tests);
    for (uint32_t i = 0; i < tests.n; i++) {
        uint32_t steps = flat_builder_count(sym->builder);

        if (steps > sym->splitting)
            return value;
        sym->splitting -= steps;
        value = given_split(sym->builder, value, tests.at[i]);
    }
    for (uint32_t i = 0; i < element->n; i++) {
        uint32_t steps = flat_builder_count(sym->builder);

        if (steps > sym->splitting)
            return value;
        sym->splitting -= steps;
        value = given_condition(sym->builder, value, element->when[i]);
    }
    return value;
}

flat_expr element_value(struct sym *sym, uint32_t slot, flat_expr value)
{
    struct element *element = &sym->element[slot];

    if (element->n == 0)
        return value;
    if (element->from != value) {
        element->to = split(sym, element, value);
        element->from = value;
    }
    return element->to;
}

void element_settle(struct sym *sym)
{
    for (uint32_t i = 0; i < sym->model->n_slots; i++) {
        struct element *element = &sym->element[i];

        if (element->n == 0)
            continue;
        env_set(&sym->env, i,
                element_value(sym, i, env_get(&sym->env, i)));
        element->n = 0;
    }
}
