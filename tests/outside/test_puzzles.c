/* Puzzles whose numbers of situations, depths and answers are published,
 * written in the review language: scanner, parser, meaning and search are
 * tried together against values that were not made here.
 *
 * A board, bank or peg is a situation: nothing but the machine's own
 * variables is remembered.  One action in a scan, or none, so that what takes
 * d actions is first seen at level d + 1, and an answer of d actions is a
 * sequence of d + 1 scans: in the first scan nothing has moved yet.  "From
 * memory" values are well known and were recomputed by an independent
 * breadth-first search. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "engine/counted.h"
#include "engine/sets/shortest.h"
#include "engine/tiles/tiles.h"
#include "tests/support/generate.h"
#include "tests/support/same_reach.h"
#include "tests/support/same_tiles.h"
#include "tests/support/trial.h"

#define TEXTS "tests/outside/texts/"

/* What is published. */
struct published {
    uint64_t situations;
    const uint32_t *levels; /* sizes, 0-ended, of all levels; NULL: open */
    uint32_t n_levels;      /* 0: open */
};

/* The engine over sets finds the same, sequences included. */
static void agrees_over_sets(const struct trial *t)
{
    const struct slice *slice = t->answer.slice;
    struct exploration *x = t->answer.exploration;
    struct arena *arena = arena_new();
    struct sets *sets = sets_explore(slice, NULL);
    enum explore_end end;

    same_reach(slice, exploration_reach(arena, x), sets_reach(sets));
    for (uint32_t i = 0; i < slice->n_watches; i++)
        same_sequences(sequence_find(arena, x, GOAL_WATCH, i),
                       sets_sequence(arena, sets, GOAL_WATCH, i, &end));
    sets_free(sets);
    arena_free(arena);
}

/* The engine that keeps no ways finds the same, level by level; large ones
 * only as it would itself. */
static void agrees_in_tiles(struct trial *t)
{
    static const uint32_t bits[] = {TILES_AUTOMATIC, 0, 3};
    bool large = exploration_situations(t->answer.exploration) > 20000;

    for (size_t i = 0; i < (large ? 1 : 3); i++) {
        struct tiles *found = tiles_explore(t->answer.slice, NULL, bits[i]);

        same_tiles(t->answer.slice, tiles_reach(found),
                   t->answer.exploration);
        tiles_free(found);
    }
}

static void agrees(struct trial *t, struct published known)
{
    uint32_t n = known.n_levels;

    trial_explore(t);
    agrees_over_sets(t);
    assert_int_equal(exploration_situations(t->answer.exploration),
                     known.situations);
    for (uint32_t i = 0; known.levels && known.levels[i]; i++) {
        assert_int_equal(exploration_level_size(t->answer.exploration, i + 1),
                         known.levels[i]);
        n = i + 1;
    }
    if (n)
        assert_int_equal(exploration_levels(t->answer.exploration), n);
    agrees_in_tiles(t);
}

static void open_generated(struct trial *t, struct text *review)
{
    trial_open(t, generate_idle(), text_str(review));
    text_release(review);
}

static void open_file(struct trial *t, const char *review)
{
    trial_open_files(t, TEXTS "idle.st", review);
}

/* ---- sliding tiles ---- */

static void tiles(unsigned rows, unsigned columns, unsigned blank,
                  struct published known)
{
    struct text review = {0};
    struct trial t;

    generate_tiles(&review, rows, columns, blank);
    open_generated(&t, &review);
    agrees(&t, known);
    assert_int_equal(trial_level(&t, "Exchanged"), 0); /* half of all boards */
    if (known.situations < 1000)
        trial_enumerated(&t);
    trial_close(&t);
}

/* OEIS A089473, https://oeis.org/A089473: boards by number of moves, blank at
 * the beginning in a corner; 181440 boards. */
static void test_tiles_from_the_corner(void **unused)
{
    static const uint32_t a089473[] = {
        1, 2, 4, 8, 16, 20, 39, 62, 116, 152, 286, 396, 748, 1024, 1893,
        2512, 4485, 5638, 9529, 10878, 16993, 17110, 23952, 20224, 24047,
        15578, 14560, 6274, 3910, 760, 221, 2, 0};

    (void)unused;
    tiles(3, 3, 0, (struct published){181440, a089473, 0});
}

/* OEIS A089474, https://oeis.org/A089474: the same, blank in the centre. */
static void test_tiles_from_the_centre(void **unused)
{
    static const uint32_t a089474[] = {
        1, 4, 8, 8, 16, 32, 60, 72, 136, 200, 376, 512, 964, 1296, 2368,
        3084, 5482, 6736, 11132, 12208, 18612, 18444, 24968, 19632, 22289,
        13600, 11842, 4340, 2398, 472, 148, 0};

    (void)unused;
    tiles(3, 3, 4, (struct published){181440, a089474, 0});
}

/* From memory: 4!/2 boards in a circle of 12, and 6!/2 boards, at most 21
 * moves. */
static void test_small_tiles(void **unused)
{
    static const uint32_t circle[] = {1, 2, 2, 2, 2, 2, 1, 0};

    (void)unused;
    tiles(2, 2, 0, (struct published){12, circle, 0});
    tiles(2, 3, 0, (struct published){360, NULL, 22});
    tiles(3, 2, 0, (struct published){360, NULL, 22});
}

/* ---- towers ---- */

/* OEIS A000225, https://oeis.org/A000225: 2^n - 1 moves; 3^n situations.
 * From the ends of the shortest way every other one is nearer, so it is also
 * the farthest. */
static void test_towers_of_hanoi(void **unused)
{
    uint64_t situations = 1;

    (void)unused;
    for (unsigned discs = 1; discs <= 8; discs++) {
        uint32_t scans = UINT32_C(1) << discs; /* 2^n - 1 moves */
        struct text review = {0};
        struct trial t;

        situations *= 3;
        generate_hanoi(&review, discs);
        open_generated(&t, &review);
        agrees(&t, (struct published){situations, NULL, scans});
        assert_int_equal(trial_level(&t, "Moved"), scans);
        trial_replayed(&t, "Moved", scans);
        trial_enumerated(&t);
        trial_close(&t);
    }
}

/* ---- rivers and jugs ---- */

static void river(const char *review, struct published known, uint32_t over)
{
    struct trial t;

    open_file(&t, review);
    agrees(&t, known);
    assert_int_equal(trial_level(&t, "Over"), over);
    trial_enumerated(&t);
    if (over)
        trial_replayed(&t, "Over", over);
    trial_judges(&t, "Over", over ? VERDICT_BROKEN : VERDICT_NOT_TESTED,
                 over);
    /* Broken by exhaustion: what is shown is the scan it begins with. */
    trial_judges(&t, "CanBe", over ? VERDICT_KEPT : VERDICT_BROKEN,
                 over ? over : 1);
    trial_close(&t);
}

/* Seven crossings: http://mathhelpforum.com/discrete-math/15443-puzzle-print
 * .html; 10 situations, those not counted in which something is eaten. */
static void test_wolf_goat_cabbage(void **unused)
{
    (void)unused;
    river(TEXTS "river.review", (struct published){10, NULL, 8}, 8);
}

/* From memory: 5 crossings for two and two, 11 for three and three, none for
 * four and four with a boat for two.  Situations recomputed. */
static void test_missionaries_and_cannibals(void **unused)
{
    (void)unused;
    river(TEXTS "missionaries2.review", (struct published){12, NULL, 0}, 6);
    river(TEXTS "missionaries3.review", (struct published){16, NULL, 0}, 12);
    river(TEXTS "missionaries4.review", (struct published){11, NULL, 0}, 0);
}

/* From memory: 4 litres after 6 actions.  An action that changes nothing is
 * no other situation. */
static void test_jugs(void **unused)
{
    static const uint32_t levels[] = {1, 2, 3, 2, 2, 2, 2, 2, 0};
    struct trial t;

    (void)unused;
    open_file(&t, TEXTS "jugs.review");
    agrees(&t, (struct published){16, levels, 0});
    trial_replayed(&t, "Four", 7);
    trial_enumerated(&t);
    trial_judges(&t, "Four", VERDICT_BROKEN, 7);
    trial_close(&t);
}

/* ---- lamps ---- */

/* On 2 by 2 and 3 by 3 every set of pushes gives another pattern, so the
 * levels are binomial coefficients; on 4 by 4 one pattern in 16 can be
 * reached (from memory), at most 7 pushes.  Levels of 4 by 4 recomputed. */
static void test_lamps(void **unused)
{
    static const uint32_t two[] = {1, 4, 6, 4, 1, 0};
    static const uint32_t three[] = {1, 9, 36, 84, 126, 126, 84, 36, 9, 1, 0};
    static const uint32_t four[] = {1, 16, 120, 560, 1387, 1440, 540, 32, 0};
    static const struct published known[] = {
        {16, two, 0}, {512, three, 0}, {4096, four, 0}};

    (void)unused;
    for (unsigned n = 2; n <= 4; n++) {
        struct text review = {0};
        struct trial t;

        generate_lamps(&review, n);
        open_generated(&t, &review);
        agrees(&t, known[n - 2]);
        trial_enumerated(&t);
        trial_close(&t);
    }
}

/* ---- philosophers ---- */

enum { THINKS, WAITS, EATS };

static int64_t numbered(const struct trial *t, uint64_t situation,
                        const char *name, unsigned number)
{
    char path[24];

    snprintf(path, sizeof path, "%s%u", name, number);
    return trial_value(t, situation, path);
}

static bool can_act(const struct trial *t, uint64_t situation, unsigned who,
                    unsigned n, bool right_first)
{
    int64_t left = numbered(t, situation, "f", who);
    int64_t right = numbered(t, situation, "f", (who + 1) % n);
    int64_t doing = numbered(t, situation, "p", who);

    return doing == EATS || !(right_first == (doing == THINKS) ? right : left);
}

static unsigned deadlocks(const struct trial *t, unsigned n, bool one_right)
{
    uint64_t all = exploration_situations(t->answer.exploration);
    unsigned found = 0;

    for (uint64_t s = 0; s < all; s++) {
        bool stuck = true;

        for (unsigned who = 0; who < n; who++)
            stuck &= !can_act(t, s, who, n, one_right && who == 0);
        found += stuck;
    }
    return found;
}

static void philosophers(unsigned n, bool one_right, uint64_t situations)
{
    struct text review = {0};
    struct trial t;

    generate_philosophers(&review, n, one_right);
    open_generated(&t, &review);
    agrees(&t, (struct published){situations, NULL, 0});
    assert_int_equal(deadlocks(&t, n, one_right), !one_right);
    assert_int_equal(trial_level(&t, "Stuck"), one_right ? 0 : n + 1);
    if (!one_right)
        trial_replayed(&t, "Stuck", n + 1);
    trial_enumerated(&t);
    trial_close(&t);
}

/* Companion Pell numbers, https://oeis.org/A002203, with one deadlock after n
 * actions; Pell numbers, https://oeis.org/A000129, and no deadlock.  That the
 * situations are these numbers was recomputed. */
static void test_dining_philosophers(void **unused)
{
    static const uint64_t left[] = {6, 14, 34, 82, 198};
    static const uint64_t mixed[] = {5, 12, 29, 70, 169};

    (void)unused;
    for (unsigned n = 2; n <= 6; n++) {
        philosophers(n, false, left[n - 2]);
        philosophers(n, true, mixed[n - 2]);
    }
}

/* ---- knights, frogs ---- */

static void test_knights(void **unused)
{
    struct trial t;

    (void)unused;
    open_file(&t, TEXTS "knights.review");
    agrees(&t, (struct published){280, NULL, 0});
    trial_replayed(&t, "Swapped", 17);
    trial_enumerated(&t);
    trial_judges(&t, "Swapped", VERDICT_BROKEN, 17);
    trial_close(&t);
}

/* No piece can move: frogs go right, toads left. */
static bool at_rest(const struct trial *t, uint64_t situation, unsigned n)
{
    int64_t cell[16] = {0};
    unsigned blank = 2;

    for (unsigned i = 0; i <= 2 * n; i++)
        if ((cell[i + 2] = numbered(t, situation, "c", i)) == 0)
            blank = i + 2;
    return cell[blank - 1] != 1 && cell[blank - 2] != 1 &&
           cell[blank + 1] != 2 && cell[blank + 2] != 2;
}

/* OEIS A005563, https://oeis.org/A005563 (from memory): n^2 + 2n moves.
 * Situations, and those without a move, the goal among them: recomputed. */
static void test_frogs_and_toads(void **unused)
{
    static const uint64_t situations[] = {6, 23, 72, 195};
    static const unsigned ends[] = {1, 5, 14, 39};

    (void)unused;
    for (unsigned n = 1; n <= 4; n++) {
        struct text review = {0};
        unsigned found = 0;
        struct trial t;

        generate_frogs(&review, n);
        open_generated(&t, &review);
        agrees(&t, (struct published){situations[n - 1], NULL, 0});
        for (uint64_t s = 0; s < situations[n - 1]; s++)
            found += at_rest(&t, s, n);
        assert_int_equal(found, ends[n - 1]);
        trial_replayed(&t, "Changed", n * n + 2 * n + 1);
        trial_enumerated(&t);
        trial_close(&t);
    }
}

/* ---- registers and counters ---- */

/* From memory: taps 16, 14, 13, 11 give the longest cycle.  One situation a
 * level, and the last level is the pattern before the first scan: one cycle.
 * Here no scan is lost: the first already shifts. */
static void test_shift_register(void **unused)
{
    struct trial t;

    (void)unused;
    trial_open_files(&t, TEXTS "lfsr.st", TEXTS "lfsr.review");
    agrees(&t, (struct published){65535, NULL, 65535});
    assert_int_equal(trial_level(&t, "Again"), 65535);
    assert_int_equal(trial_level(&t, "Empty"), 0);
    trial_close(&t);
}

static void counter(unsigned n, struct text *control, uint32_t period)
{
    struct text review = {0};
    struct trial t;

    generate_counter_review(&review, n);
    trial_open(&t, text_str(control), text_str(&review));
    agrees(&t, (struct published){period, NULL, period});
    assert_int_equal(trial_level(&t, "Again"), period);
    trial_enumerated(&t);
    trial_replayed(&t, "Again", period);
    trial_close(&t);
    text_release(&review);
    text_release(control);
}

/* From memory: 2^n and 2n patterns, all of them in one cycle. */
static void test_counters(void **unused)
{
    (void)unused;
    for (unsigned n = 2; n <= 10; n++) {
        struct text gray = {0}, johnson = {0};

        generate_gray(&gray, n);
        counter(n, &gray, UINT32_C(1) << n);
        generate_johnson(&johnson, n);
        counter(n, &johnson, 2 * n);
    }
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tiles_from_the_corner),
        cmocka_unit_test(test_tiles_from_the_centre),
        cmocka_unit_test(test_small_tiles),
        cmocka_unit_test(test_towers_of_hanoi),
        cmocka_unit_test(test_wolf_goat_cabbage),
        cmocka_unit_test(test_missionaries_and_cannibals),
        cmocka_unit_test(test_jugs),
        cmocka_unit_test(test_lamps),
        cmocka_unit_test(test_dining_philosophers),
        cmocka_unit_test(test_knights),
        cmocka_unit_test(test_frogs_and_toads),
        cmocka_unit_test(test_shift_register),
        cmocka_unit_test(test_counters),
    };

    return cmocka_run_group_tests_name("puzzles", tests, NULL, NULL);
}
