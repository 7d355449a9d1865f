/* The choice of ways, on lists that can be told by hand, and on random ones
 * against what was asked: all facts shown, nothing that can be left out. */
#include "study/handcover.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"

enum { MOST_WAYS = 8, MOST_STEPS = 4, FACTS = 10 };

struct trial {
    struct cover_way ways[MOST_WAYS];
    struct cover_step steps[MOST_WAYS][MOST_STEPS];
    uint32_t facts[MOST_WAYS][MOST_STEPS][FACTS];
    uint32_t n;
    uint32_t count[FACTS];
};

/* A way of steps; each digit is a fact, a space begins the next step. */
static void add_way(struct trial *trial, const char *words, uint32_t extra)
{
    uint32_t way = trial->n++, step = 0;

    for (; *words != '\0'; words++) {
        struct cover_step *at = &trial->steps[way][step];

        if (*words == ' ')
            step++;
        else
            trial->facts[way][step][at->n_facts++] = (uint32_t)(*words - '0');
    }
    for (uint32_t k = 0; k <= step; k++)
        trial->steps[way][k].facts = trial->facts[way][k];
    trial->ways[way] = (struct cover_way){.steps = trial->steps[way],
                                          .n_steps = step + 1,
                                          .extra = extra};
}

static void choose(struct trial *trial)
{
    struct arena *arena = arena_new();

    handcover_choose(arena, trial->ways, trial->n, FACTS, trial->count);
    arena_free(arena);
}

static void lengths_are(const struct trial *trial, const char *digits)
{
    assert_int_equal(strlen(digits), trial->n);
    for (uint32_t i = 0; i < trial->n; i++)
        assert_int_equal(trial->ways[i].length, digits[i] - '0');
}

/* Each of both can go, but not both. */
static void one_of_two_alike_stays(void **state)
{
    struct trial trial = {.n = 0};

    (void)state;
    add_way(&trial, "12", 1);
    add_way(&trial, "12", 1);
    choose(&trial);
    lengths_are(&trial, "10");
    assert_int_equal(trial.count[1], 1);
}

/* Each of three shows only what the two others show together; without one of
 * them no other one can go. */
static void a_ring_loses_one(void **state)
{
    struct trial trial = {.n = 0};

    (void)state;
    add_way(&trial, "12", 0);
    add_way(&trial, "23", 0);
    add_way(&trial, "31", 0);
    choose(&trial);
    lengths_are(&trial, "110");
}

/* The one that was taken first for all it shows is not needed in the end. */
static void the_first_choice_can_go(void **state)
{
    struct trial trial = {.n = 0};

    (void)state;
    add_way(&trial, "1234", 0);
    add_way(&trial, "125", 0);
    add_way(&trial, "346", 0);
    choose(&trial);
    lengths_are(&trial, "011");
}

/* What only one shows keeps it, however dear it is. */
static void the_only_one_stays(void **state)
{
    struct trial trial = {.n = 0};

    (void)state;
    add_way(&trial, "1 2 3", 0);
    add_way(&trial, "3 9", 100);
    choose(&trial);
    lengths_are(&trial, "22");
    assert_int_equal(trial.count[9], 1);
    assert_int_equal(trial.count[3], 1);
}

static void ends_that_show_nothing_go(void **state)
{
    struct trial trial = {.n = 0};

    (void)state;
    add_way(&trial, "1 2 3", 0);
    add_way(&trial, "3 4", 0);
    add_way(&trial, "5  ", 0);
    choose(&trial);
    lengths_are(&trial, "221");
}

/* What a step shows again later in the same way is shown by the first. */
static void a_way_that_repeats_itself(void **state)
{
    struct trial trial = {.n = 0};

    (void)state;
    add_way(&trial, "1 2 1", 0);
    choose(&trial);
    lengths_are(&trial, "2");
}

/* ---- at random ---- */

static uint32_t pick(uint64_t *seed, uint32_t count)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)((*seed >> 33) % count);
}

static void make(struct trial *trial, uint64_t *seed)
{
    uint32_t n = 1 + pick(seed, MOST_WAYS);

    memset(trial, 0, sizeof *trial);
    while (trial->n < n) {
        char words[MOST_STEPS * (FACTS + 1) + 1];
        size_t at = 0;
        uint32_t steps = 1 + pick(seed, MOST_STEPS);

        for (uint32_t k = 0; k < steps; k++) {
            if (k > 0)
                words[at++] = ' ';
            for (uint32_t fact = 0; fact < FACTS; fact++)
                if (pick(seed, 5) == 0)
                    words[at++] = (char)('0' + fact);
        }
        words[at] = '\0';
        add_way(trial, words, pick(seed, 3));
    }
}

/* How often each fact is shown by so many steps of each way. */
static void count_facts(const struct trial *trial, const uint32_t *length,
                        uint32_t *count)
{
    memset(count, 0, FACTS * sizeof *count);
    for (uint32_t i = 0; i < trial->n; i++)
        for (uint32_t k = 0; k < length[i]; k++)
            for (uint32_t f = 0; f < trial->steps[i][k].n_facts; f++)
                count[trial->facts[i][k][f]]++;
}

static bool shows_all(const struct trial *trial, const uint32_t *length)
{
    uint32_t whole[MOST_WAYS], all[FACTS], shown[FACTS];

    for (uint32_t i = 0; i < trial->n; i++)
        whole[i] = trial->ways[i].n_steps;
    count_facts(trial, whole, all);
    count_facts(trial, length, shown);
    for (uint32_t fact = 0; fact < FACTS; fact++)
        if (all[fact] > 0 && shown[fact] == 0)
            return false;
    return true;
}

static void nothing_is_lost_or_spare(void **state)
{
    uint64_t seed = 11;
    unsigned left_out = 0;

    (void)state;
    for (int k = 0; k < 3000; k++) {
        struct trial trial;
        uint32_t length[MOST_WAYS], counted[FACTS];

        make(&trial, &seed);
        choose(&trial);
        for (uint32_t i = 0; i < trial.n; i++)
            length[i] = trial.ways[i].length;
        assert_true(shows_all(&trial, length));
        count_facts(&trial, length, counted);
        assert_memory_equal(counted, trial.count, sizeof counted);
        for (uint32_t i = 0; i < trial.n; i++) {
            uint32_t shorter[MOST_WAYS];

            left_out += length[i] == 0;
            memcpy(shorter, length, trial.n * sizeof *shorter);
            while (shorter[i] > 0) {
                shorter[i]--;
                assert_false(shows_all(&trial, shorter));
            }
        }
    }
    assert_in_range(left_out, 1000, 100000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_of_two_alike_stays),
        cmocka_unit_test(a_ring_loses_one),
        cmocka_unit_test(the_first_choice_can_go),
        cmocka_unit_test(the_only_one_stays),
        cmocka_unit_test(ends_that_show_nothing_go),
        cmocka_unit_test(a_way_that_repeats_itself),
        cmocka_unit_test(nothing_is_lost_or_spare),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
