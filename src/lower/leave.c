#include "lower/leave.h"

#include "lower/term.h"

/* ---- arms within arms ---- */

void nest_begin(const struct sym *sym, struct nest *nest)
{
    *nest = (struct nest){.path = sym->path};
}

bool nest_leads_in(const struct sym *sym)
{
    return sym->env.written != NULL || !term_is(sym->builder, sym->path, 0);
}

bool nest_enter(struct sym *sym, struct nest *nest, flat_expr condition)
{
    struct nested arm = {env_mark(&sym->env), condition};

    if (!term_is(sym->builder, condition, 1)) {
        vec_push(&nest->arms, arm);
        sym->path = term_and(sym->builder, sym->path, condition);
    }
    return nest_leads_in(sym);
}

void nest_end(struct sym *sym, struct nest *nest)
{
    for (size_t i = nest->arms.n; i-- > 0;) {
        struct nested arm = nest->arms.at[i];
        struct env_changes changes = env_take(&sym->env, arm.mark);

        env_merge(&sym->env, arm.mark, arm.condition, &changes);
    }
    vec_release(&nest->arms);
    sym->path = nest->path;
}

/* ---- what was left ---- */

_Static_assert((int)LEAVE_KINDS == (int)SYM_EXTRA, "a place for each");

static uint32_t place(const struct sym *sym, enum leave kind)
{
    return sym->model->n_slots + (uint32_t)kind;
}

void leave_now(struct sym *sym, enum leave kind)
{
    env_set(&sym->env, place(sym, kind), term_true(sym->builder));
}

void leave_end(struct sym *sym, enum leave kind)
{
    env_set(&sym->env, place(sym, kind), term_false(sym->builder));
}

bool leave_stay(struct sym *sym, struct nest *nest)
{
    struct flat_builder *b = sym->builder;
    flat_expr left = term_false(b);

    for (int kind = 0; kind < LEAVE_KINDS; kind++)
        left = term_or(b, left, env_get(&sym->env,
                                        place(sym, (enum leave)kind)));
    if (term_is(b, left, 0))
        return true;
    if (!nest_enter(sym, nest, flat_not(b, left)))
        return false;
    for (int kind = 0; kind < LEAVE_KINDS; kind++)
        leave_end(sym, (enum leave)kind);
    return true;
}
