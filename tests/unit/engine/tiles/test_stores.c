/* What holds half finished scans, results of sections and situations. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "base/hash.h"
#include "engine/tiles/recall.h"
#include "engine/tiles/stage.h"
#include "engine/tiles/table.h"

/* ---- stage ---- */

static void equal_ones_merge(void **state)
{
    struct budget budget = {0, 0};
    struct stage s;

    (void)state;
    assert_true(stage_init(&s, &budget, 2, 1));
    for (unsigned round = 0; round < 3; round++) {
        for (uint64_t i = 0; i < 3000; i++) {
            uint64_t entry[3] = {i % 1000, i % 7, (uint64_t)1 << i % 11};

            entry[1] = entry[0] * 3;
            assert_true(stage_add(&s, entry));
        }
        assert_int_equal(s.n, 1000);
        for (uint32_t i = 0; i < s.n; i++) {
            uint64_t all = 0;

            for (uint64_t j = i; j < 3000; j += 1000)
                all |= (uint64_t)1 << j % 11;
            assert_int_equal(stage_at(&s, i)[0], i);
            assert_int_equal(stage_at(&s, i)[2], all);
        }
        stage_clear(&s);
        assert_int_equal(s.n, 0);
        stage_add(&s, (uint64_t[]){5, 6, 7});
        stage_clear(&s); /* few: taken out singly */
    }
    stage_release(&s);
    assert_int_equal(budget.held, 0);
}

static void full_stages_say_so(void **state)
{
    struct budget budget = {0, 1 << 16};
    uint64_t n = 0;
    struct stage s;

    (void)state;
    assert_true(stage_init(&s, &budget, 1, 0));
    while (stage_add(&s, &n))
        n++;
    assert_int_equal(n, s.n);
    assert_true(n >= 64);
    assert_true(budget.held <= budget.most);
    n = 0;
    assert_true(stage_add(&s, &n)); /* known ones still are */
    stage_clear(&s);
    n = 77;
    assert_true(stage_add(&s, &n));
    assert_int_equal(s.n, 1);
    stage_release(&s);
}

/* ---- memo ---- */

static uint64_t stored(uint64_t key)
{
    return key * 31 + 7;
}

static void recalls(struct memo *m, uint64_t key)
{
    uint64_t record[2] = {key, stored(key)};
    const uint64_t *found = recall_find(m, &key);

    if (found)
        assert_int_equal(found[1], stored(key));
    else
        recall_add(m, record, 2);
}

static void remembers(void **state)
{
    struct budget budget = {0, 0};
    struct memo m;

    (void)state;
    recall_init(&m, &budget, 1);
    for (unsigned round = 0; round < 20; round++)
        for (uint64_t key = 0; key < 20000; key++)
            recalls(&m, key);
    assert_false(m.given_up);
    assert_int_equal(m.misses, 20000);
    recall_release(&m);
    assert_int_equal(budget.held, 0);
}

static void gives_up(void **state)
{
    struct budget budget = {0, 0};
    struct memo m;

    (void)state;
    recall_init(&m, &budget, 1);
    for (uint64_t key = 0; key < 80000; key++)
        recalls(&m, key);
    assert_true(m.given_up);
    assert_int_equal(budget.held, 0);
}

static void small_memos_begin_anew(void **state)
{
    struct budget budget = {0, 1 << 16};
    struct memo m;

    (void)state;
    recall_init(&m, &budget, 1);
    for (uint64_t i = 0; i < 200000; i++)
        recalls(&m, i % 100 == 99 ? i : i % 100);
    assert_false(m.given_up);
    assert_true(budget.held <= budget.most);
    assert_true(m.hits > 150000);
    recall_release(&m);
}

/* ---- table ---- */

static void levels_of_situations(void **state)
{
    struct budget budget = {0, 0};
    struct table *t = table_new(&budget, 2, 0);
    uint64_t found = 0;

    (void)state;
    for (uint64_t level = 0; level < 5; level++) {
        for (uint64_t i = 0; i < 20000; i++) {
            uint64_t n = i + level * 10000;
            uint64_t entry[2] = {hash_word(n), n % 3};

            assert_true(table_add(t, entry, 1, 2, &found));
        }
        assert_true(table_turn(t));
        assert_int_equal(table_level(t), level ? 10000 : 20000);
    }
    assert_int_equal(found, 60000);
    assert_int_equal(table_count(t), 60000);
    for (uint64_t n = 0; n < 60000; n++) {
        assert_int_equal(table_at(t, n)[0], hash_word(n));
        assert_int_equal(table_at(t, n)[1], n % 3);
    }
    table_free(t);
    assert_int_equal(budget.held, 0);
}

static void levels_of_tiles(void **state)
{
    struct budget budget = {0, 0};
    struct table *t = table_new(&budget, 1, 7);
    uint64_t entries[4][4] = { /* words of a scan that are not stored */
        {8, 99, 5, 0}, {9, 99, 1, 1}, {8, 98, 0, 6}, {8, 97, 5, 2}};
    uint64_t entry[3], found = 0;

    (void)state;
    assert_true(table_add(t, entries[0], 3, 4, &found));
    assert_int_equal(found, 2 + 2 + 2);
    assert_true(table_turn(t));
    assert_int_equal(table_level(t), 2);
    table_level_at(t, 0, entry);
    assert_int_equal(entry[0], 8);
    assert_int_equal(entry[1], 5);
    assert_int_equal(entry[2], 6);
    assert_true(table_add(t, entries[3], 1, 4, &found));
    assert_int_equal(found, 6);
    entries[3][2] = 7;
    assert_true(table_add(t, entries[3], 1, 4, &found));
    assert_int_equal(found, 7);
    assert_true(table_turn(t));
    assert_int_equal(table_level(t), 1);
    table_level_at(t, 0, entry);
    assert_int_equal(entry[1], 2);
    assert_int_equal(entry[2], 0);
    assert_int_equal(table_at(t, 0)[1], 7);
    assert_true(table_turn(t));
    assert_int_equal(table_level(t), 0);
    table_free(t);
}

/* Without bitmaps and of one word: in the compact set. */
static void levels_of_words(void **state)
{
    struct budget budget = {0, 0};
    struct table *t = table_of_bits(&budget, 41);
    uint64_t found = 0, at = 0, entry, n = 0, sum = 0;

    (void)state;
    for (uint64_t level = 0; level < 5; level++) {
        for (uint64_t i = 0; i < 200000; i++) {
            uint64_t word = hash_word(i + level * 100000) >> 23;

            assert_true(table_add(t, &word, 1, 1, &found));
            sum += (i >= 100000 || level == 0) * word;
        }
        assert_true(table_turn(t));
        assert_int_equal(table_level(t), level ? 100000 : 200000);
        for (uint64_t i = 0; i < table_level(t); i++) {
            table_level_at(t, i, &entry);
            assert_int_equal(entry, hash_word(n++) >> 23);
        }
    }
    assert_int_equal(found, 600000);
    assert_int_equal(table_count(t), 600000);
    for (n = 0; n < TABLE_FIRST; n++)
        assert_int_equal(*table_at(t, n), hash_word(n) >> 23);
    for (n = 0; table_each(t, &at, &entry); n++)
        sum -= entry;
    assert_int_equal(n, 600000);
    assert_int_equal(sum, 0);
    assert_true(table_turn(t));
    assert_int_equal(table_level(t), 0);
    table_free(t);
    assert_int_equal(budget.held, 0);
}

static void limits(void **state)
{
    struct budget budget = {0, 4 << 20}, none = {0, 100};
    struct table *t = table_new(&budget, 1, 0);
    uint64_t found = 0, n = 0;

    (void)state;
    assert_null(table_new(&none, 1, 0));
    while (table_add(t, &n, 1, 1, &found))
        n++;
    assert_int_equal(found, n);
    assert_int_equal(table_count(t), n);
    assert_true(budget.held <= budget.most);
    assert_true(n > 100000);
    table_free(t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equal_ones_merge),
        cmocka_unit_test(full_stages_say_so),
        cmocka_unit_test(remembers),
        cmocka_unit_test(gives_up),
        cmocka_unit_test(small_memos_begin_anew),
        cmocka_unit_test(levels_of_situations),
        cmocka_unit_test(levels_of_tiles),
        cmocka_unit_test(levels_of_words),
        cmocka_unit_test(limits),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
