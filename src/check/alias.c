#include "check/alias.h"

#include "base/ensure.h"
#include "check/inside.h"
#include "check/spread.h"

/* One slot of a VAR_IN_OUT: what is done with it, and with which of its bits
 * alone. */
struct touched {
    bool read, written, whole_written;
    uint64_t bits_read, bits_written;
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
    struct alias *alias;
    struct touched done;
    bool news;
};

static void mark(void *context, uint32_t slot)
{
    struct marking *m = context;
    const struct touched *done = &m->done;
    struct touched *at;

    if (slot >= m->alias->size)
        return;
    at = &m->alias->at[slot];
    m->news |= (done->read && !at->read) ||
               (done->written && !at->written) ||
               (done->whole_written && !at->whole_written) ||
               (done->bits_read & ~at->bits_read) ||
               (done->bits_written & ~at->bits_written);
    at->read |= done->read;
    at->written |= done->written;
    at->whole_written |= done->whole_written;
    at->bits_read |= done->bits_read;
    at->bits_written |= done->bits_written;
}

void alias_touch(struct env *env, const struct code_variable *variable,
                 uint32_t size, struct inner done)
{
    struct marking m = {
        .alias = make(env->draft, env->unit, variable->index),
        .done = {.read = done.read.file,
                 .written = done.written.file,
                 .whole_written = done.whole_written,
                 .bits_read = done.bits_read,
                 .bits_written = done.bits_written}};

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
    struct inner done;
};

static void note(void *context, uint32_t slot)
{
    struct noting *n = context;

    if (slot < n->draft->uses.n)
        inside_done(&n->draft->uses.at[slot], &n->done);
}

/* Bits that a callee reads are told apart from those that are read where the
 * variable is named. */
static struct inner as_done(const struct handed *handed,
                            const struct touched *touched)
{
    struct inner done = {.bits_lent = touched->bits_read,
                         .bits_written = touched->bits_written,
                         .whole_written = touched->whole_written};

    if (touched->read)
        done.read = handed->span;
    if (touched->written)
        done.written = handed->span;
    return done;
}

/* One slot of a callee's VAR_IN_OUT, seen in what was handed over to it. */
static bool pass_slot(struct draft *draft, const struct handed *handed,
                      uint32_t slot, const struct touched *touched)
{
    const struct code_variable *variable = &handed->variable;
    bool inside = variable->base == CODE_LOCAL && handed->frame == MODEL_NONE;
    struct noting n = {draft, as_done(handed, touched)};
    struct code_variable part = *variable;

    if (variable->base == CODE_IN_OUT) {
        struct marking m = {
            .alias = make(draft, handed->by, variable->index),
            .done = *touched};

        spread_visit(variable, 1, variable->offset + slot, mark, &m);
        return m.news;
    }
    part.index += slot;
    if (inside)
        inside_touch(draft, handed->by, &part, 1, n.done);
    else
        spread_visit(&part, 1,
                     part.index + (variable->base == CODE_LOCAL
                                       ? handed->frame : 0),
                     note, &n);
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
