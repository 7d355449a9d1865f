/* The tailgate once more, written by hand for this one machine: no scanner,
 * no tree, no flat logic.  The depth at which R1 and R10 break, with any one
 * of the 14 faults and movements that take any time, must be the one that
 * keepclear finds, for the control text as it stands and for changed ones.
 * For the text as it stands the situations are counted too; in a changed text
 * simplification can make a remembered contact superfluous, and a situation
 * is counted by what is remembered. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "check/model.h"
#include "study/load.h"
#include "study/answer.h"

enum { SHUT, NARROW, HALT, WIDE };
enum { LOCKED, READY, RUNNING };
enum { UP, DOWN, LEFT, RIGHT, STOP_LEFT, STOP_RIGHT, STOP_CAB, RESET, HANDS };
enum { NO_FAULT, SINKING = 14, FAULTS };

enum change {
    AS_IT_STANDS, SINGLE_CONTACTS, ONE_SWITCH, PAST_THE_GAP, HOLDING_OPEN,
    STOP_FORGOTTEN, TIMER_IN_IF, TIED_BUTTON, RESET_STRONGER
};

/* What one scan leaves behind.  That power was off is not: neither R1 nor R10
 * asks for an edge of a hand. */
struct gate {
    unsigned stopped, fresh, reset_last, two_hand, running, age, late;
    unsigned gap, fault, lower, release, raise;
    unsigned left_last, wide_last, stop1_last, stop2_last;
};

/* What the controller and the supply line see. */
struct seen {
    unsigned up, down, left_on, left_off, right_on, right_off;
    unsigned stop1, stop2, right_ok, cab_ok, reset, wide1, wide2;
};

/* What may happen in a scan. */
struct chance {
    unsigned first, dark, hands, gap, fault;
};

static unsigned bit(unsigned hands, int which)
{
    return hands >> which & 1;
}

static struct seen sound(const struct chance *now)
{
    unsigned h = now->hands, wide = now->gap == WIDE;

    return (struct seen){
        bit(h, UP), bit(h, DOWN), bit(h, LEFT), !bit(h, LEFT), bit(h, RIGHT),
        !bit(h, RIGHT), !bit(h, STOP_LEFT), !bit(h, STOP_LEFT),
        !bit(h, STOP_RIGHT), !bit(h, STOP_CAB), bit(h, RESET), wide, wide};
}

static struct seen conduct(struct gate *g, const struct chance *now)
{
    struct seen s = sound(now);

    if (now->fault == 1)
        s.left_on |= g->left_last;
    if (now->fault == 5)
        s.wide1 = g->wide_last;
    if (now->fault == 9)
        s.stop1 |= g->stop1_last;
    if (now->fault == 10)
        s.stop2 |= g->stop2_last;
    g->left_last = s.left_on;
    g->wide_last = s.wide1;
    g->stop1_last = s.stop1;
    g->stop2_last = s.stop2;
    if (now->fault == 2)
        s.right_on = 1;
    if (now->fault == 3)
        s.left_on = s.right_on = s.left_on | s.right_on;
    if (now->fault == 4)
        s.left_off = 0;
    s.wide2 |= now->fault == 6;
    s.reset |= now->fault == 11;
    s.down |= now->fault == 12;
    return s;
}

static void two_hand(struct gate *g, const struct seen *s, enum change change)
{
    unsigned left = s->left_on && !s->left_off;
    unsigned right = s->right_on && !s->right_off;
    unsigned no_left = s->left_off && !s->left_on;
    unsigned no_right = s->right_off && !s->right_on;
    unsigned both = left && right, none = no_left && no_right;

    if (change == SINGLE_CONTACTS)
        both = s->left_on && s->right_on;
    if (change == TIED_BUTTON)
        none = no_left || no_right;
    if (change != TIMER_IN_IF || both) {
        if (g->two_hand != READY || none)
            g->running = g->age = g->late = 0;
        else if (!g->running)
            g->running = 1;
        g->late = g->late || g->age >= 3;
    }
    if (!g->fresh)
        g->two_hand = LOCKED;
    else if (g->two_hand == LOCKED)
        g->two_hand = none ? READY : LOCKED;
    else if (g->two_hand == READY)
        g->two_hand = g->late ? LOCKED : both ? RUNNING : READY;
    else if (!both)
        g->two_hand = LOCKED;
}

static void latch(struct gate *g, const struct seen *s, enum change change)
{
    unsigned ok = (change == STOP_FORGOTTEN || s->stop1) && s->right_ok &&
                  s->cab_ok;
    unsigned edge = s->reset && !g->reset_last;
    unsigned cab = s->up || s->down;
    unsigned rear = s->left_on || s->right_on || !s->left_off ||
                    !s->right_off;

    g->reset_last = s->reset;
    if (change == RESET_STRONGER)
        g->stopped = edge ? 0 : !ok ? 1 : g->stopped;
    else
        g->stopped = !ok ? 1 : edge ? 0 : g->stopped;
    if (g->stopped || edge || (cab && rear))
        g->fresh = 0;
    else if (!cab && !rear)
        g->fresh = 1;
}

/* The program; leaves what it asks for in raise, lower, release. */
static void control(struct gate *g, const struct seen *s, enum change change)
{
    unsigned wide = change == PAST_THE_GAP ? 1
                    : change == ONE_SWITCH ? s->wide1 || s->wide2
                                           : s->wide1 && s->wide2;
    unsigned down;

    latch(g, s, change);
    two_hand(g, s, change);
    down = (g->fresh && s->down && !s->up && wide) || g->two_hand == RUNNING;
    g->raise = g->fresh && s->up && !s->down;
    g->lower = down;
    g->release = change == HOLDING_OPEN ? g->fresh : down;
}

static struct gate scan(struct gate was, const struct chance *now,
                        enum change change)
{
    struct gate g = was;
    struct seen s = conduct(&g, now);
    unsigned supply = s.stop2 && s.right_ok;

    g.gap = now->gap;
    g.fault = now->fault;
    if (now->dark) {
        g.fresh = g.two_hand = g.running = g.age = g.late = 0;
        g.reset_last = 1;
        g.raise = g.lower = g.release = 0;
    } else {
        if (!now->first && g.running && g.age < 3)
            g.age++;
        control(&g, &s, change);
    }
    g.raise = g.raise && supply;
    g.lower = now->fault == 7 ? was.lower
                              : (g.lower && supply) || now->fault == 13;
    g.release = now->fault == 8 ? was.release : g.release && supply;
    return g;
}

/* ---- every situation ---- */

enum { TABLE = 1 << 17, MOST = 1 << 16 };

struct search {
    enum change change;
    bool r10; /* else R1 */
    uint64_t *table;
    struct gate *found;
    size_t n;
    unsigned level, broken;
};

static uint64_t key(const struct gate *g)
{
    const unsigned v[] = {g->stopped, g->fresh, g->reset_last, g->two_hand,
        g->running, g->age, g->late, g->gap, g->fault, g->lower,
        g->release, g->raise, g->left_last, g->wide_last, g->stop1_last,
        g->stop2_last};
    static const unsigned char width[] = {1, 1, 1, 2, 1, 2, 1, 2, 4, 1, 1,
                                          1, 1, 1, 1, 1};
    uint64_t k = 1;

    for (size_t i = 0; i < sizeof v / sizeof *v; i++)
        k = k << width[i] | v[i];
    return k;
}

static void add(struct search *search, const struct gate *g)
{
    uint64_t k = key(g), at = k * UINT64_C(0x9E3779B97F4A7C15) >> 47;

    while (search->table[at] && search->table[at] != k)
        at = (at + 1) % TABLE;
    if (search->table[at])
        return;
    assert_true(search->n < MOST);
    search->table[at] = k;
    search->found[search->n++] = *g;
}

static void judge(struct search *search, const struct gate *g, unsigned hands)
{
    bool down = g->lower && g->release;
    bool stop = bit(hands, STOP_LEFT) || bit(hands, STOP_RIGHT);
    bool both = bit(hands, LEFT) && bit(hands, RIGHT);

    if (down && (search->r10 ? stop : g->gap != WIDE && !both) &&
        !search->broken)
        search->broken = search->level;
}

/* All hands that A1 and A2 allow. */
static void with_hands(struct search *search, struct gate was,
                       struct chance now)
{
    for (now.hands = 0; now.hands < 1u << HANDS; now.hands++) {
        struct gate g;

        if (bit(now.hands, UP) &&
            (bit(now.hands, DOWN) || bit(now.hands, RESET)))
            continue;
        g = scan(was, &now, search->change);
        judge(search, &g, now.hands);
        add(search, &g);
    }
}

static void with_gaps(struct search *search, struct gate was,
                      struct chance now)
{
    bool sinking = now.fault == SINKING;

    for (int move = -1; move <= 1; move++) {
        if (move < 0 && !(was.lower && was.release && was.gap > SHUT))
            continue;
        if (move > 0 && !(was.raise && was.gap < WIDE))
            continue;
        now.gap = was.gap + (unsigned)move;
        with_hands(search, was, now);
        if (sinking && now.gap > SHUT) {
            now.gap--;
            with_hands(search, was, now);
        }
    }
}

static void begin(struct search *search)
{
    for (unsigned start = 0; start < 4 * 16 * FAULTS; start++) {
        struct chance now = {.first = 1, .gap = start % 4,
                             .fault = start / 64};
        struct gate g = {.stopped = 1, .reset_last = 1,
                         .left_last = start >> 2 & 1,
                         .wide_last = start >> 3 & 1,
                         .stop1_last = start >> 4 & 1,
                         .stop2_last = start >> 5 & 1};

        with_hands(search, g, now);
    }
}

static void search_all(struct search *search)
{
    size_t done = 0;

    search->table = calloc(TABLE, sizeof *search->table);
    search->found = calloc(MOST, sizeof *search->found);
    search->level = 1;
    for (begin(search); done < search->n; ) {
        size_t end = search->n;

        search->level++;
        for (; done < end; done++)
            for (unsigned i = 0; i < 2 * FAULTS; i++) {
                struct gate was = search->found[done];
                struct chance now = {.dark = i % 2, .fault = i / 2};

                if (!was.fault || was.fault == now.fault)
                    with_gaps(search, was, now);
            }
    }
    free(search->table);
    free(search->found);
}

/* ---- the same by keepclear ---- */

static void agree(enum change change, const char *control, const char *name)
{
    struct load_request request = {
        .path = "models/tailgate/tailgate.review", .control = control};
    struct search search = {.change = change, .r10 = !strcmp(name, "R10")};
    struct study_setting setting = {0};
    struct loaded *loaded = load_run(&request);
    struct arena *arena = arena_new();
    struct study study;
    struct answer answer;
    uint32_t watch = 0;
    struct question question = {.watches = &watch, .n_watches = 1,
                                .faults = 1, .free_times = true};

    search_all(&search);
    assert_non_null(loaded->model);
    assert_true(study_open(&study, arena, loaded->model, &setting,
                           loaded->diags));
    for (uint32_t i = 0; i < loaded->model->n_requirements; i++)
        if (!strcmp(loaded->model->requirements[i].name->spelling, name))
            watch = study.lowered->breach[i];
    answer_find(&study, &question, &answer);
    if (change == AS_IT_STANDS)
        assert_int_equal(answer.reach->situations, search.n);
    assert_int_equal(answer_level(&answer, watch), search.broken);
    answer_release(&answer);
    study_close(&study);
    arena_free(arena);
    loaded_free(loaded);
}

#define CHANGED "models/tailgate/changes/"

static void test_as_it_stands(void **unused)
{
    (void)unused;
    agree(AS_IT_STANDS, NULL, "R1");
    agree(AS_IT_STANDS, NULL, "R10");
}

static void test_changed(void **unused)
{
    (void)unused;
    agree(SINGLE_CONTACTS, CHANGED "single_contacts.st", "R1");
    agree(ONE_SWITCH, CHANGED "one_switch_is_enough.st", "R1");
    agree(PAST_THE_GAP, CHANGED "past_the_safe_gap.st", "R1");
    agree(HOLDING_OPEN, CHANGED "load_holding_always_open.st", "R1");
    agree(STOP_FORGOTTEN, CHANGED "stop_rear_left_forgotten.st", "R10");
    agree(TIMER_IN_IF, CHANGED "timer_in_if.st", "R1");
    agree(TIED_BUTTON, CHANGED "tied_button_accepted.st", "R1");
    agree(RESET_STRONGER, CHANGED "reset_stronger_than_stop.st", "R10");
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_as_it_stands),
        cmocka_unit_test(test_changed),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
