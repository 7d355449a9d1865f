#include "reference/vector.h"

#include <string.h>

#include "check/decision.h"

const struct decision_part *vector_begin(struct scan *scan,
                                          const struct code_expr *expr)
{
    const struct decisions *all = scan->model->decisions;
    const struct decision_part *part;

    if (all == NULL || expr == NULL)
        return NULL;
    part = decisions_part(all, expr);
    if (part != NULL && part->decision != MODEL_NONE) {
        const struct decision *decision = &all->at[part->decision];

        memset(scan->asked + decision->first, 0,
               decision->n_conditions * sizeof(bool));
    }
    return part;
}

static bool fits(const struct scan *scan, const struct decision *decision,
                 uint32_t vector)
{
    const bool *asked = scan->asked + decision->first;
    const bool *value = scan->condition + decision->first;

    for (uint32_t i = 0; i < decision->n_conditions; i++)
        if (asked[i] && value[i] != (vector >> i & 1))
            return false;
    return true;
}

void vector_end(struct scan *scan, const struct decision_part *part,
                 bool value)
{
    const struct decision *decision;

    if (part == NULL || scan->failed)
        return;
    if (part->condition != MODEL_NONE) {
        scan->asked[part->condition] = true;
        scan->condition[part->condition] = value;
    }
    if (part->decision == MODEL_NONE)
        return;
    decision = &scan->model->decisions->at[part->decision];
    for (uint32_t i = 0; i < decision->n_vectors; i++)
        if (fits(scan, decision, decision->vectors[i]))
            scan->vector[decision->first_vector + i] = true;
}
