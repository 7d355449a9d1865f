#include "base/hash.h"

uint64_t hash_word(uint64_t word)
{
    word ^= word >> 33;
    word *= UINT64_C(0xff51afd7ed558ccd);
    word ^= word >> 33;
    word *= UINT64_C(0xc4ceb9fe1a85ec53);
    word ^= word >> 33;
    return word;
}

/* The added constant (2^64 divided by the golden ratio) keeps zero words
 * from vanishing. */
static uint64_t chain(uint64_t hash, uint64_t word)
{
    return hash_word((hash + UINT64_C(0x9e3779b97f4a7c15)) * 3 ^ word);
}

uint64_t hash_words(const uint64_t *words, size_t n)
{
    uint64_t hash = n;

    for (size_t i = 0; i < n; i++)
        hash = chain(hash, words[i]);
    return hash_word(hash);
}

/* Eight bytes at a time, put together by value so that the byte order of
 * the machine does not matter. */
static uint64_t gather(const char *bytes, size_t n)
{
    uint64_t word = 0;

    for (size_t i = 0; i < n; i++)
        word |= (uint64_t)(unsigned char)bytes[i] << (8 * i);
    return word;
}

uint64_t hash_bytes(const char *bytes, size_t n)
{
    uint64_t hash = n;

    for (size_t i = 0; i < n; i += 8)
        hash = chain(hash, gather(bytes + i, n - i < 8 ? n - i : 8));
    return hash_word(hash);
}
