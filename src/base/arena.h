/* arena.h - memory that is freed as a whole.
 *
 * One arena per phase; what lies in it borrows freely from the same arena
 * and is never freed singly.
 */
#ifndef KEEPCLEAR_BASE_ARENA_H
#define KEEPCLEAR_BASE_ARENA_H

#include <stddef.h>

struct arena;

/* A new, empty arena; never NULL (out of memory goes to base_fail). */
struct arena *arena_new(void);

/* Frees the arena and all that lies in it; NULL is allowed. */
void arena_free(struct arena *arena);

/* size bytes, zeroed, aligned to 16; size 0 gives a valid pointer.  Never
 * NULL. */
void *arena_alloc(struct arena *arena, size_t size);

/* count * size bytes with a checked product. */
void *arena_array(struct arena *arena, size_t count, size_t size);

/* A copy of n bytes followed by a NUL. */
char *arena_copy(struct arena *arena, const char *bytes, size_t n);

/* printf into the arena; the result ends in NUL. */
char *arena_printf(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Bytes handed out so far. */
size_t arena_used(const struct arena *arena);

/* Gives to the system what was freed, by arenas or otherwise, and lies idle;
 * that takes a moment. */
void arena_give_back(void);

/* One zeroed object of a type. */
#define ARENA_NEW(arena, type) ((type *)arena_alloc((arena), sizeof(type)))

#endif
