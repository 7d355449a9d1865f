#include "check/alias.h"

#include "base/ensure.h"
#include "check/inside.h"
#include "check/spread.h"

/* One slot of a VAR_IN_OUT. */
struct touched {
    bool read, written;
};

static struct alias *find(const struct draft *draft, const struct unit *unit,
                          uint32_t in_out)
{
    for (size_t i = 0; i < draft->aliases.n; i++)
        if (draft->aliases.at[i].unit == unit &&
            draft->aliases.at[i].in_out == in_out)
            return &draft->aliases.at[i];
    return NULL;
}

static struct alias *make(struct draft *draft, const struct unit *unit,
                          uint32_t in_out)
{
    struct alias *alias = find(draft, unit, in_out);
    uint32_t size;

    if (alias)
        return alias;
    ENSURE(in_out < unit->pou->n_in_out);
    size = unit->pou->in_out_size[in_out];
    vec_push(&draft->aliases,
             ((struct alias){unit, in_out, size,
                             arena_array(draft->arena, (size_t)size + 1,
                                         sizeof(struct touched))}));
    return &draft->aliases.at[draft->aliases.n - 1];
}

/* What is to be marked, and whether any mark is new. */
struct marking {
    struct touched *at;
    uint32_t size;
    bool reads, writes, news;
};

static void mark(void *context, uint32_t slot)
{
    struct marking *m = context;

    if (slot >= m->size)
        return;
    m->news |= (m->reads && !m->at[slot].read) ||
               (m->writes && !m->at[slot].written);
    m->at[slot].read |= m->reads;
    m->at[slot].written |= m->writes;
}

void alias_touch(struct env *env, const struct code_variable *variable,
                 uint32_t size, bool writes)
{
    struct alias *alias = make(env->draft, env->unit, variable->index);
    struct marking m = {alias->at, alias->size, !writes, writes, false};

    spread_visit(variable, size, variable->offset, mark, &m);
}

void alias_hand(struct env *env, const struct unit *callee, uint32_t in_out,
                const struct code_variable *variable, struct span span)
{
    struct handed handed = {.by = env->unit,
                            .frame = env->frame,
                            .to = callee,
                            .in_out = in_out,
                            .variable = *variable,
                            .span = span};

    if (variable->base == CODE_LOCAL && env->frame == MODEL_NONE &&
        !inside_has(env->unit))
        return; /* of a function: nothing of it is driven from outside */
    vec_push(&env->draft->handed, handed);
}

/* ---- when all bodies are known ---- */

struct noting {
    struct draft *draft;
    const struct handed *handed;
    bool reads, writes;
};

static void note(void *context, uint32_t slot)
{
    struct noting *n = context;

    if (slot >= n->draft->uses.n)
        return;
    if (n->reads)
        draft_note(&n->draft->uses.at[slot].read, n->handed->span);
    if (n->writes)
        draft_note(&n->draft->uses.at[slot].written, n->handed->span);
    n->draft->uses.at[slot].whole_written |= n->writes;
}

/* One slot of a callee's VAR_IN_OUT, seen in what was handed over to it. */
static bool pass_slot(struct draft *draft, const struct handed *handed,
                      uint32_t slot, const struct touched *touched)
{
    const struct code_variable *variable = &handed->variable;
    bool inside = variable->base == CODE_LOCAL && handed->frame == MODEL_NONE;
    uint32_t first =
        variable->index +
        (variable->base == CODE_LOCAL && !inside ? handed->frame : 0);
    struct noting n = {draft, handed, touched->read, touched->written};
    struct code_variable part = *variable;
    const struct span none = {0};

    if (variable->base == CODE_IN_OUT) {
        struct alias *alias = make(draft, handed->by, variable->index);
        struct marking m = {alias->at, alias->size, touched->read,
                            touched->written, false};

        spread_visit(variable, 1, variable->offset + slot, mark, &m);
        return m.news;
    }
    part.index += slot;
    if (inside)
        inside_touch(draft, handed->by, &part, 1,
                     (struct inner){
                         .read = touched->read ? handed->span : none,
                         .written = touched->written ? handed->span : none,
                         .whole_written = touched->written});
    else
        spread_visit(variable, 1, first + slot, note, &n);
    return false;
}

static bool pass_on(struct draft *draft, const struct handed *handed)
{
    const struct alias *alias = find(draft, handed->to, handed->in_out);
    struct touched *at = alias ? alias->at : NULL;
    uint32_t size = alias ? alias->size : 0;
    bool news = false;

    for (uint32_t i = 0; i < size; i++)
        if (at[i].read || at[i].written)
            news |= pass_slot(draft, handed, i, &at[i]);
    return news;
}

void alias_note(struct draft *draft)
{
    bool news;

    do {
        news = false;
        for (size_t i = 0; i < draft->handed.n; i++)
            news |= pass_on(draft, &draft->handed.at[i]);
    } while (news);
}

bool alias_writes(const struct draft *draft, const struct unit *unit,
                  uint32_t in_out)
{
    const struct alias *alias = find(draft, unit, in_out);

    for (uint32_t i = 0; alias && i < alias->size; i++)
        if (alias->at[i].written)
            return true;
    return false;
}
