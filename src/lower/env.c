#include "lower/env.h"

#include "base/arena.h"
#include "base/ensure.h"

void env_init(struct env *env, struct arena *arena,
              struct flat_builder *builder, uint32_t n_slots)
{
    *env = (struct env){.builder = builder, .arena = arena};
    env->value = arena_array(arena, n_slots, sizeof *env->value);
    env->stamp = arena_array(arena, n_slots, sizeof *env->stamp);
    env->seen = arena_array(arena, n_slots, sizeof *env->seen);
    for (uint32_t i = 0; i < n_slots; i++)
        env->value[i] = FLAT_NONE;
}

void env_release(struct env *env)
{
    vec_release(&env->log);
}

flat_expr env_get(const struct env *env, uint32_t slot)
{
    ENSURE(env->value[slot] != FLAT_NONE);
    return env->value[slot];
}

void env_set(struct env *env, uint32_t slot, flat_expr value)
{
    ENSURE(value != FLAT_NONE);
    if (env->written)
        env->written[slot] = true;
    if (env->stored)
        env->stored[slot] = true;
    if (env->value[slot] == value)
        return;
    struct env_write write = {slot, env->value[slot]};
    vec_push(&env->log, write);
    env->value[slot] = value;
}

void env_set_if(struct env *env, flat_expr condition, uint32_t slot,
                flat_expr value)
{
    flat_expr old = env_get(env, slot);
    env_set(env, slot, flat_ite(env->builder, condition, value, old));
}

size_t env_mark(const struct env *env)
{
    return env->log.n;
}

/* Stamps the slots written since mark; seen becomes the value each had at
 * the mark.  Gives back how many there are. */
static size_t stamp_written(struct env *env, size_t mark)
{
    size_t n = 0;
    env->generation++;
    ENSURE(env->generation != 0);
    for (size_t i = mark; i < env->log.n; i++) {
        struct env_write write = env->log.at[i];
        if (env->stamp[write.slot] == env->generation)
            continue;
        env->stamp[write.slot] = env->generation;
        env->seen[write.slot] = write.value;
        n++;
    }
    return n;
}

/* The slots of the last stamp_written, with the values they hold now. */
static struct env_changes written(struct env *env, size_t mark, size_t n)
{
    struct env_changes changes = {
        arena_array(env->arena, n, sizeof *changes.at), 0};
    for (size_t i = mark; i < env->log.n; i++) {
        uint32_t slot = env->log.at[i].slot;
        if (env->stamp[slot] != env->generation)
            continue;
        env->stamp[slot] = 0;
        changes.at[changes.n++] =
            (struct env_write){slot, env->value[slot]};
    }
    ENSURE(changes.n == n);
    return changes;
}

struct env_changes env_take(struct env *env, size_t mark)
{
    ENSURE(mark <= env->log.n);
    size_t n = stamp_written(env, mark);
    struct env_changes changes = written(env, mark, n);
    while (env->log.n > mark) {
        struct env_write write = env->log.at[--env->log.n];
        env->value[write.slot] = write.value;
    }
    return changes;
}

void env_merge(struct env *env, size_t mark, flat_expr condition,
               const struct env_changes *then)
{
    struct env_changes other = env_take(env, mark);
    env->generation++;
    ENSURE(env->generation != 0);
    for (size_t i = 0; i < other.n; i++) {
        env->stamp[other.at[i].slot] = env->generation;
        env->seen[other.at[i].slot] = other.at[i].value;
    }
    for (size_t i = 0; i < then->n; i++) {
        uint32_t slot = then->at[i].slot;
        flat_expr kept = env->stamp[slot] == env->generation
                             ? env->seen[slot] : env_get(env, slot);
        env->stamp[slot] = 0;
        env_set(env, slot, flat_ite(env->builder, condition,
                                    then->at[i].value, kept));
    }
    for (size_t i = 0; i < other.n; i++) {
        uint32_t slot = other.at[i].slot;
        if (env->stamp[slot] != env->generation)
            continue;
        env_set(env, slot, flat_ite(env->builder, condition,
                                    env_get(env, slot), other.at[i].value));
    }
}
