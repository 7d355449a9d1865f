#include "lower/decided.h"

#include "check/decision.h"
#include "lower/term.h"

const struct decision_part *decided_begin(struct sym *sym,
                                          const struct code_expr *expr)
{
    const struct decision_part *part;
    if (!sym->model->decisions || sym->silent)
        return NULL;
    part = decisions_part(sym->model->decisions, expr);
    if (part && part->decision != MODEL_NONE) {
        const struct decision *d =
            &sym->model->decisions->at[part->decision];
        for (uint32_t i = 0; i < d->n_conditions; i++)
            sym->asked[d->first + i] = term_false(sym->builder);
    }
    return part;
}

/* A condition that stands there twice has one value, wherever it is
 * evaluated. */
static void note(struct sym *sym, uint32_t condition, flat_expr value)
{
    sym->condition[condition] = value;
    sym->asked[condition] = term_or(sym->builder, sym->asked[condition],
                                    sym->path);
}

static flat_expr has(struct sym *sym, const struct decision *d,
                     uint32_t vector)
{
    struct flat_builder *b = sym->builder;
    flat_expr all = sym->path;
    for (uint32_t i = 0; i < d->n_conditions; i++) {
        flat_expr value = sym->condition[d->first + i];
        flat_expr asked = sym->asked[d->first + i];
        if (!(vector >> i & 1))
            value = flat_not(b, value);
        if (asked != sym->path)
            value = term_or(b, flat_not(b, asked), value);
        all = term_and(b, all, value);
    }
    return all;
}

void decided_end(struct sym *sym, const struct decision_part *part,
                 flat_expr value)
{
    const struct decision *d;
    if (!part)
        return;
    if (part->condition != MODEL_NONE)
        note(sym, part->condition, value);
    if (part->decision == MODEL_NONE)
        return;
    d = &sym->model->decisions->at[part->decision];
    for (uint32_t i = 0; i < d->n_vectors; i++) {
        flat_expr *vector = &sym->vector[d->first_vector + i];
        *vector = term_or(sym->builder, *vector, has(sym, d, d->vectors[i]));
    }
}
