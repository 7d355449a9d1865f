#include "base/arena.h"

#include <malloc.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"

enum { ALIGNMENT = 16, FIRST_BLOCK = 4096, LARGEST_BLOCK = 1 << 20 };

/* Blocks hang in a list, the one being filled first. */
struct block {
    struct block *next;
    size_t size, used;
    _Alignas(ALIGNMENT) char bytes[];
};

struct arena {
    struct block *blocks;
    size_t next_size;
    size_t handed_out;
};

static void *zeroed(size_t size)
{
    void *at = calloc(1, size);

    if (!at)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    return at;
}

struct arena *arena_new(void)
{
    struct arena *arena = zeroed(sizeof *arena);

    arena->next_size = FIRST_BLOCK;
    return arena;
}

void arena_free(struct arena *arena)
{
    if (!arena)
        return;
    while (arena->blocks) {
        struct block *next = arena->blocks->next;

        free(arena->blocks);
        arena->blocks = next;
    }
    free(arena);
}

static struct block *block_new(size_t size)
{
    struct block *block = zeroed(sizeof *block + size);

    block->size = size;
    return block;
}

/* An object too large for an ordinary block gets its own, put behind the
 * one being filled so that its rest is not lost. */
static struct block *block_for(struct arena *arena, size_t size)
{
    struct block *first = arena->blocks;
    struct block *block;

    if (first && first->size - first->used >= size)
        return first;
    if (first && size > arena->next_size / 4) {
        block = block_new(size);
        block->next = first->next;
        first->next = block;
        return block;
    }
    block = block_new(size > arena->next_size ? size : arena->next_size);
    block->next = first;
    arena->blocks = block;
    if (arena->next_size < LARGEST_BLOCK)
        arena->next_size *= 2;
    return block;
}

void *arena_alloc(struct arena *arena, size_t size)
{
    struct block *block;
    void *at;

    if (size > SIZE_MAX / 2)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    size =
        (size ? size + ALIGNMENT - 1 : ALIGNMENT) / ALIGNMENT * ALIGNMENT;
    block = block_for(arena, size);
    ENSURE(block->size - block->used >= size);
    at = block->bytes + block->used;
    block->used += size;
    arena->handed_out += size;
    return at;
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    return arena_alloc(arena, count * size);
}

char *arena_copy(struct arena *arena, const char *bytes, size_t n)
{
    char *copy;

    if (n == SIZE_MAX)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    copy = arena_alloc(arena, n + 1);
    if (n)
        memcpy(copy, bytes, n);
    return copy;
}

char *arena_printf(struct arena *arena, const char *format, ...)
{
    va_list args, again;
    char *out;
    int n;

    va_start(args, format);
    va_copy(again, args);
    n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    ENSURE(n >= 0);
    out = arena_alloc(arena, (size_t)n + 1);
    vsnprintf(out, (size_t)n + 1, format, again);
    va_end(again);
    return out;
}

size_t arena_used(const struct arena *arena)
{
    return arena->handed_out;
}

void arena_give_back(void)
{
    malloc_trim(0);
}
