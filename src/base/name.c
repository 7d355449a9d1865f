#include "base/name.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "base/text.h"
#include "base/utf8.h"
#include "base/vec.h"

enum { FIRST_SLOTS = 64 };

/* Open addressing; slots is a power of two and at most half full.  folded
 * is room for the name being looked up. */
struct names {
    struct arena *arena;
    VEC(const struct name *) slots;
    uint32_t count;
    struct text folded;
};

static void make_slots(struct names *names, size_t n)
{
    vec_reserve(&names->slots, n);
    memset(names->slots.at, 0, n * sizeof *names->slots.at);
    names->slots.n = n;
}

struct names *names_new(struct arena *arena)
{
    struct names *names = calloc(1, sizeof *names);

    if (!names)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    names->arena = arena;
    make_slots(names, FIRST_SLOTS);
    return names;
}

void names_free(struct names *names)
{
    if (!names)
        return;
    vec_release(&names->slots);
    text_release(&names->folded);
    free(names);
}

/* The standard's identifiers have letters of ASCII only; of others those with
 * two bytes have small letters here.  The result must not depend on a
 * locale. */
static void fold(char *bytes, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        struct utf8_char c = utf8_next(bytes + i, n - i);
        uint32_t small;

        if (c.bytes == 1) {
            if (bytes[i] >= 'A' && bytes[i] <= 'Z')
                bytes[i] = (char)(bytes[i] - 'A' + 'a');
            continue;
        }
        small = utf8_small(c.code);
        if (small != c.code) {
            bytes[i] = (char)(0xc0 | small >> 6);
            bytes[i + 1] = (char)(0x80 | (small & 0x3f));
        }
        i += c.bytes - 1;
    }
}

/* The slot that holds this folded name, or the free one where it belongs. */
static size_t find_slot(const struct names *names, const char *folded,
                        size_t n)
{
    size_t mask = names->slots.n - 1;
    size_t slot = hash_bytes(folded, n) & mask;

    for (;; slot = (slot + 1) & mask) {
        const struct name *there = names->slots.at[slot];

        if (!there ||
            (there->length == n && !memcmp(there->folded, folded, n)))
            return slot;
    }
}

static void grow(struct names *names)
{
    VEC(const struct name *) old = {0};

    vec_reserve(&old, names->slots.n);
    for (size_t i = 0; i < names->slots.n; i++)
        if (names->slots.at[i])
            vec_push(&old, names->slots.at[i]);
    make_slots(names, names->slots.n * 2);
    for (size_t i = 0; i < old.n; i++) {
        const struct name *name = old.at[i];

        names->slots.at[find_slot(names, name->folded, name->length)] =
            name;
    }
    vec_release(&old);
}

static const struct name *make_name(struct names *names, const char *bytes,
                                    size_t n)
{
    struct name *name = ARENA_NEW(names->arena, struct name);

    ENSURE(n < UINT32_MAX && names->count < UINT32_MAX);
    name->spelling = arena_copy(names->arena, bytes, n);
    name->folded = arena_copy(names->arena, names->folded.at, n);
    name->length = (uint32_t)n;
    name->id = names->count++;
    return name;
}

const struct name *names_intern(struct names *names, const char *bytes,
                                size_t n)
{
    size_t slot;

    text_clear(&names->folded);
    text_add_bytes(&names->folded, bytes, n);
    fold(names->folded.at, n);
    slot = find_slot(names, names->folded.at, n);
    if (names->slots.at[slot])
        return names->slots.at[slot];
    if (names->count >= names->slots.n / 2) {
        grow(names);
        slot = find_slot(names, names->folded.at, n);
    }
    names->slots.at[slot] = make_name(names, bytes, n);
    return names->slots.at[slot];
}

const struct name *names_of(struct names *names, const char *string)
{
    return names_intern(names, string, strlen(string));
}

/* A stretch of a folded name. */
struct part {
    const char *at;
    size_t n;
};

static struct part skip(struct part part, size_t n)
{
    return (struct part){part.at + n, part.n - n};
}

static unsigned least(unsigned a, unsigned b)
{
    return a < b ? a : b;
}

/* Changes (a letter more, less, other, or two swapped) from a to b; any
 * number above limit means "too many".  Recursion is at most limit deep. */
static unsigned changes(struct part a, struct part b, unsigned limit)
{
    unsigned best = limit + 1;

    while (a.n && b.n && *a.at == *b.at) {
        a = skip(a, 1);
        b = skip(b, 1);
    }
    if (!a.n && !b.n)
        return 0;
    if (limit == 0)
        return 1;
    if (a.n)
        best = least(best, 1 + changes(skip(a, 1), b, limit - 1));
    if (b.n)
        best = least(best, 1 + changes(a, skip(b, 1), limit - 1));
    if (a.n && b.n)
        best = least(best, 1 + changes(skip(a, 1), skip(b, 1), limit - 1));
    if (a.n > 1 && b.n > 1 && a.at[0] == b.at[1] && a.at[1] == b.at[0])
        best = least(best, 1 + changes(skip(a, 2), skip(b, 2), limit - 1));
    return best;
}

const struct name *name_nearest(const struct name *wanted,
                                const struct name *const *candidates,
                                size_t count)
{
    const struct name *best = NULL;
    unsigned limit = least(2, wanted->length / 3);

    for (size_t i = 0; i < count; i++) {
        struct part a = {wanted->folded, wanted->length};
        struct part b = {candidates[i]->folded, candidates[i]->length};
        unsigned distance;

        if (candidates[i] == wanted)
            continue;
        distance = changes(a, b, limit);
        if (distance > limit)
            continue;
        best = candidates[i];
        if (distance <= 1)
            return best;
        limit = distance - 1; /* only a nearer one is of interest now */
    }
    return best;
}

const char *name_point(const char *path)
{
    return *path == '%' ? NULL : strchr(path, '.');
}
