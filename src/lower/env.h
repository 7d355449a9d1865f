/* env.h - what the variables hold while a text is executed symbolically.
 *
 * One expression per slot of the model, with a log of what was overwritten,
 * so that a branch runs on a snapshot and is taken back:
 *
 *     size_t mark = env_mark(&env);
 *     ... execute THEN ...
 *     struct env_changes then = env_take(&env, mark);   (env as at mark)
 *     ... execute ELSE ...
 *     env_merge(&env, mark, condition, &then);
 *
 * Inside a branch values are unmuxed: a constant stays a constant.
 */
#ifndef KEEPCLEAR_LOWER_ENV_H
#define KEEPCLEAR_LOWER_ENV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/vec.h"
#include "logic/build.h"

struct env_write {
    uint32_t slot;
    flat_expr value; /* in the log: the old one; in changes: the new one */
};

/* Slots that a stretch of text changed, each once, ascending by the moment
 * of their first write. */
struct env_changes {
    struct env_write *at;
    size_t n;
};

struct env {
    struct flat_builder *builder;
    struct arena *arena;
    flat_expr *value; /* per slot */
    bool *written;    /* per slot: marked by env_set; NULL: nothing is */
    bool *stored;     /* the same for another asker (widen.c) */
    VEC(struct env_write) log;
    uint32_t *stamp;  /* per slot: generation in which it was seen */
    flat_expr *seen;  /* per slot: valid where stamp is the generation */
    uint32_t generation;
};

/* All slots hold FLAT_NONE; nothing is logged yet. */
void env_init(struct env *env, struct arena *arena,
              struct flat_builder *builder, uint32_t n_slots);
void env_release(struct env *env);

flat_expr env_get(const struct env *env, uint32_t slot);
void env_set(struct env *env, uint32_t slot, flat_expr value);

/* slot := condition ? value : as it is. */
void env_set_if(struct env *env, flat_expr condition, uint32_t slot,
                flat_expr value);

size_t env_mark(const struct env *env);

/* Takes everything written since mark back and hands out what it was; the
 * list lies in the arena. */
struct env_changes env_take(struct env *env, size_t mark);

/* The environment holds the ELSE side, written since mark; then holds the
 * other one from the same mark.  Afterwards every slot that either changed
 * holds condition ? then : else. */
void env_merge(struct env *env, size_t mark, flat_expr condition,
               const struct env_changes *then);

#endif
