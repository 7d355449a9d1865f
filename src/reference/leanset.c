#include "reference/leanset.h"

#include "base/arena.h"

void leanset_init(struct leanset_room *room, struct arena *arena,
                  uint32_t bits)
{
    uint32_t size = bits / 64 + 1;
    uint64_t *single = arena_array(arena, (size_t)bits * size,
                                   sizeof *single);
    uint64_t *all = arena_array(arena, size, sizeof *all);

    for (uint32_t i = 0; i < bits; i++) {
        single[(size_t)i * size + i / 64] = UINT64_C(1) << (i % 64);
        all[i / 64] |= UINT64_C(1) << (i % 64);
    }
    *room = (struct leanset_room){
        size, single, arena_array(arena, size, sizeof *all), all};
}

bool leans_has(leans_set set, uint32_t bit)
{
    return set[bit / 64] >> (bit % 64) & 1;
}

leans_set leanset_single(const struct leanset_room *room, uint32_t bit)
{
    return room->single + (size_t)bit * room->size;
}

static bool within(uint32_t size, leans_set part, leans_set whole)
{
    for (uint32_t i = 0; i < size; i++)
        if (part[i] & ~whole[i])
            return false;
    return true;
}

leans_set leanset_both(const struct leanset_room *room, struct arena *arena,
                       leans_set a, leans_set b)
{
    uint64_t *set;

    if (within(room->size, b, a))
        return a;
    if (within(room->size, a, b))
        return b;
    set = arena_array(arena, room->size, sizeof *set);
    for (uint32_t i = 0; i < room->size; i++)
        set[i] = a[i] | b[i];
    return set;
}

static unsigned adds(uint32_t size, leans_set set, leans_set known)
{
    unsigned n = 0;

    for (uint32_t i = 0; i < size; i++)
        n += (unsigned)__builtin_popcountll(set[i] &
                                            ~(known ? known[i] : 0));
    return n;
}

leans_set leanset_cheaper(const struct leanset_room *room, leans_set a,
                          leans_set b, leans_set known)
{
    return adds(room->size, b, known) < adds(room->size, a, known) ? b : a;
}
