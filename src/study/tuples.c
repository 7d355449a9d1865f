#include "study/tuples.h"

#include <string.h>

#include "base/ensure.h"
#include "base/hash.h"

static size_t find(const struct tuples *t, const uint64_t *words)
{
    size_t mask = t->places.n - 1;
    size_t place = hash_words(words, t->width) & mask;

    while (t->places.at[place] != 0 && t->width > 0 &&
           memcmp(tuples_at(t, t->places.at[place] - 1), words,
                  t->width * sizeof *words) != 0)
        place = (place + 1) & mask;
    return place;
}

static void grow(struct tuples *t)
{
    size_t n = t->places.n == 0 ? 64 : t->places.n * 2;

    vec_reserve(&t->places, n);
    t->places.n = n;
    memset(t->places.at, 0, n * sizeof *t->places.at);
    for (uint32_t i = 0; i < t->n; i++)
        t->places.at[find(t, tuples_at(t, i))] = i + 1;
}

const uint64_t *tuples_at(const struct tuples *t, uint32_t i)
{
    static const uint64_t nothing[1];

    ENSURE(i < t->n);
    return t->width == 0 ? nothing : t->words.at + (size_t)i * t->width;
}

uint32_t tuples_number(struct tuples *t, const uint64_t *words)
{
    size_t place;

    if (t->n >= t->places.n / 2)
        grow(t);
    place = find(t, words);
    if (t->places.at[place] != 0)
        return t->places.at[place] - 1;
    ENSURE(t->n < UINT32_MAX / 2);
    for (uint32_t i = 0; i < t->width; i++)
        vec_push(&t->words, words[i]);
    t->places.at[place] = ++t->n;
    return t->n - 1;
}

void tuples_release(struct tuples *t)
{
    vec_release(&t->words);
    vec_release(&t->places);
    t->n = 0;
}
