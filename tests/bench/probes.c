#include "tests/bench/probes.h"

#include <math.h>
#include <pthread.h>
#include <stdlib.h>

#include "base/hash.h"
#include "base/os.h"
#include "tests/bench/clock.h"

enum { BATCH = 32, TURNS = 100000000 };

static void *compute(void *result)
{
    uint64_t x = 1;

    for (int i = 0; i < TURNS; i++)
        x = x * 6364136223846793005u + 1442695040888963407u;
    *(uint64_t *)result = x;
    return NULL;
}

double probe_two_threads(void)
{
    uint64_t results[2];
    pthread_t other;
    double start = clock_wall(), one;

    compute(&results[0]);
    one = clock_wall() - start;
    start = clock_wall();
    if (pthread_create(&other, NULL, compute, &results[1]))
        return 1;
    compute(&results[0]);
    pthread_join(other, NULL);
    return 2 * one / (clock_wall() - start);
}

uint64_t probe_key(uint64_t i)
{
    return hash_word(i + 1) >> 16;
}

static void insert(uint64_t *slots, uint64_t mask, uint64_t key)
{
    uint64_t i = key * UINT64_C(0x9E3779B97F4A7C15) >> 20 & mask;

    while (slots[i] && slots[i] != key + 1)
        i = (i + 1) & mask;
    slots[i] = key + 1;
}

double probe_inserts(uint64_t n)
{
    uint64_t mask = 1, keys[BATCH];
    uint64_t *slots;
    double start;

    while (mask < n + n / 3)
        mask *= 2;
    slots = os_map(mask * sizeof *slots);
    if (!slots)
        exit(1);
    mask--;
    start = clock_processor();
    for (uint64_t i = 0; i < n; i += BATCH) {
        for (int j = 0; j < BATCH; j++) {
            keys[j] = probe_key(i + (uint64_t)j);
            __builtin_prefetch(&slots[keys[j] * UINT64_C(0x9E3779B97F4A7C15)
                                      >> 20 & mask]);
        }
        for (int j = 0; j < BATCH; j++)
            insert(slots, mask, keys[j]);
    }
    start = clock_processor() - start;
    os_unmap(slots, (mask + 1) * sizeof *slots);
    return start;
}

double probe_bound(double n, double bits)
{
    return (bits - log2(n) + 1.443) / 8;
}
