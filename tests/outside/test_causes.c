/* What counts as a fault, and when each is there: random FAULTS sections, every
 * situation of them found by a plain walk over bits written from the rules,
 * against both implementations.  No source: the rules are docs/notes/step.md,
 * section 2. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/hash.h"
#include "base/text.h"
#include "engine/explore.h"
#include "reference/naive.h"
#include "tests/support/trial.h"

enum { MOST = 4, STATES = 1 << 2 * MOST, ROUNDS = 250, LEVELS = 12 };

static const uint32_t NONE = UINT32_MAX;

/* One FAULTS section; cause[i] is the number of its cause. */
struct section {
    uint64_t seed;
    uint32_t n, limit;
    bool grouped[MOST], goes[MOST], first[MOST], excluded[MOST];
    uint32_t follows[MOST], cause[MOST], n_causes;
    uint32_t was, target; /* what is present: before, at the breach */
    uint32_t pair[2]; /* never together, if n_pairs */
    uint32_t n_pairs;
};

static uint32_t any(struct section *s, uint32_t below)
{
    s->seed = hash_word(s->seed + 0x9e3779b97f4a7c15u);
    return (uint32_t)(s->seed >> 24) % below;
}

static void number_causes(struct section *s)
{
    bool group = false;

    s->n_causes = 0;
    for (uint32_t i = 0; i < s->n; i++) {
        s->cause[i] = NONE;
        if (!s->grouped[i] && !s->excluded[i])
            s->cause[i] = s->n_causes++;
        group = group || s->grouped[i];
    }
    for (uint32_t i = 0; i < s->n; i++)
        if (s->grouped[i])
            s->cause[i] = s->n_causes;
    s->n_causes += group;
}

static void make(struct section *s, uint64_t seed)
{
    memset(s, 0, sizeof *s);
    s->seed = seed;
    s->n = 2 + any(s, MOST - 1);
    for (uint32_t i = 0; i < s->n; i++) {
        uint32_t first = i > 0 ? any(s, i) : 0;

        s->goes[i] = any(s, 3) == 0;
        s->first[i] = !s->goes[i] && any(s, 3) == 0;
        s->excluded[i] = any(s, 8) == 0;
        s->grouped[i] = !s->excluded[i] && any(s, 3) == 0;
        s->follows[i] = i > 0 && any(s, 3) == 0 && !s->excluded[first]
                            ? first : NONE;
    }
    number_causes(s);
    s->limit = 1 + any(s, 3);
    s->was = any(s, 1u << s->n);
    s->target = s->was ^ (1u << any(s, s->n));
    if (s->n_causes > 1 && any(s, 2)) {
        s->pair[0] = any(s, s->n_causes);
        s->pair[1] = (s->pair[0] + 1 + any(s, s->n_causes - 1)) % s->n_causes;
        s->n_pairs = 1;
    }
}

/* ---- as text ---- */

static void write_faults(const struct section *s, struct text *out)
{
    const char *between = "  both : ONE CAUSE OF ";
    bool group = false;

    for (uint32_t i = 0; i < s->n; i++) {
        text_printf(out, "  F%u : IN MECHANISM%s%s", i,
                    s->goes[i] ? ", INTERMITTENT" : "",
                    s->first[i] ? ", PRESENT FROM POWER_UP" : "");
        if (s->follows[i] != NONE)
            text_printf(out, ", FOLLOWS FROM F%u", s->follows[i]);
        text_add(out, s->excluded[i] ? ", EXCLUDED BECAUSE 'invented';\n"
                                     : ";\n");
    }
    for (uint32_t i = 0; i < s->n; i++) {
        if (!s->grouped[i])
            continue;
        text_printf(out, "%sF%u", between, i);
        between = ", ";
        group = true;
    }
    text_add(out, group ? ";\n" : "");
}

static void write_present(const struct section *s, const char *before,
                          uint32_t present, struct text *out)
{
    for (uint32_t i = 0; i < s->n; i++)
        text_printf(out, " AND %s%sF%u", present >> i & 1 ? "" : "NOT ",
                    before, i);
}

static void write(const struct section *s, struct text *out)
{
    text_add(out, "REVIEW R\n  SCAN T#100ms;\n  FAULTS\n");
    write_faults(s, out);
    text_add(out, "  END_FAULTS\n  REQUIREMENTS\n  Q1 : NEVER ");
    for (uint32_t i = 0; i < s->n; i++)
        text_printf(out, "%sF%u", i > 0 ? " XOR " : "", i);
    text_printf(out, " DESPITE %u FAULTS;\n  Q2 : NEVER TRUE", s->limit);
    write_present(s, "", s->target, out);
    text_printf(out, " DESPITE %u FAULTS;\n  Q3 : NEVER TRUE", s->limit);
    write_present(s, "PREVIOUS ", s->was, out);
    write_present(s, "", s->target, out);
    text_printf(out, " DESPITE %u FAULTS;\n"
                     "  END_REQUIREMENTS\nEND_REVIEW\n", s->limit);
}

/* ---- the plain walk ---- */

/* Bits: what has occurred, then what is present. */
static uint32_t occur(const struct section *s, uint32_t occurred,
                      uint32_t chosen, bool first)
{
    for (uint32_t c = 0; c < s->n_causes; c++) {
        uint32_t pair = 0;
        bool at_first = true;

        for (uint32_t i = 0; i < s->n; i++)
            at_first = at_first && (s->cause[i] != c || s->first[i]);
        if (s->n_pairs > 0)
            pair = 1u << s->pair[0] | 1u << s->pair[1];
        if (!(chosen >> c & 1) || occurred >> c & 1 || (at_first && !first) ||
            (uint32_t)__builtin_popcount(occurred) >= s->limit ||
            (pair >> c & 1 && ((occurred | 1u << c) & pair) == pair))
            continue;
        occurred |= 1u << c;
    }
    return occurred;
}

static bool enabled(const struct section *s, uint32_t occurred, uint32_t fault)
{
    while (fault != NONE) {
        if (s->cause[fault] != NONE && occurred >> s->cause[fault] & 1)
            return true;
        fault = s->follows[fault];
    }
    return false;
}

static uint32_t appear(const struct section *s, uint32_t occurred,
                       uint32_t state, uint32_t chosen, bool first)
{
    uint32_t present = state >> MOST;

    for (uint32_t i = 0; i < s->n; i++) {
        bool own = s->goes[i] || s->grouped[i] || s->follows[i] != NONE;

        if (s->excluded[i] || !enabled(s, occurred, i))
            continue;
        if (!own)
            present |= 1u << i;
        else if (chosen >> i & 1 && (first || !s->first[i]))
            present = s->goes[i] ? present ^ 1u << i : present | 1u << i;
    }
    return occurred | present << MOST;
}

struct walk {
    uint32_t level[STATES]; /* first seen at; 0 never */
    uint32_t n_levels;
    uint32_t breach; /* of Q2 */
    uint32_t change; /* of Q3 */
};

static void scan(const struct section *s, struct walk *w, uint32_t state,
                 uint32_t level)
{
    for (uint32_t chosen = 0; chosen < STATES; chosen++) {
        uint32_t occurred = occur(s, state & ((1u << MOST) - 1),
                                  chosen & ((1u << MOST) - 1), level == 1);
        uint32_t to = appear(s, occurred, state, chosen >> MOST, level == 1);

        if (state >> MOST == s->was && to >> MOST == s->target &&
            w->change == 0)
            w->change = level;
        if (w->level[to] != 0)
            continue;
        w->level[to] = level;
        w->n_levels = level;
        if (to >> MOST == s->target && w->breach == 0)
            w->breach = level;
    }
}

static void walk(const struct section *s, struct walk *w)
{
    memset(w, 0, sizeof *w);
    scan(s, w, 0, 1);
    for (uint32_t level = 1; level < LEVELS && w->n_levels == level; level++)
        for (uint32_t state = 0; state < STATES; state++)
            if (w->level[state] == level)
                scan(s, w, state, level + 1);
    assert_true(w->n_levels < LEVELS);
}

/* How many differ in the bits of the mask and are first seen at the level. */
static uint32_t seen_at(const struct walk *w, uint32_t mask, uint32_t level)
{
    uint32_t first[STATES] = {0}, n = 0;

    for (uint32_t state = 0; state < STATES; state++)
        if (w->level[state] != 0 && (first[state & mask] == 0 ||
                                     w->level[state] < first[state & mask]))
            first[state & mask] = w->level[state];
    for (uint32_t state = 0; state < STATES; state++)
        n += first[state] == level;
    return n;
}

/* ---- both implementations ---- */

static void ask(struct trial *trial, const struct section *s,
                const struct cause_set *forbidden)
{
    const struct question question = {
        .watches = trial->study.lowered->breach, .n_watches = 3,
        .faults = s->limit, .forbidden = forbidden,
        .n_forbidden = s->n_pairs};

    answer_find(&trial->study, &question, &trial->answer);
    assert_true(answer_complete(&trial->answer));
    answer_walk(&trial->answer);
}

/* What is remembered: once nothing looks at it any more it is not. */
static uint32_t stored(const struct trial *trial)
{
    const struct slice *slice = trial->answer.slice;
    uint32_t mask = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct flat_cell *cell =
            &trial->study.lowered->flat->cells[slice->cells[i].cell];

        mask |= 1u << (cell->kind == PLACE_FAULT ? MOST + cell->index
                                                 : cell->index);
    }
    return mask;
}

static const struct naive_result *
enumerate(struct trial *trial, const struct section *s, uint32_t requirement,
          const struct cause_set *forbidden)
{
    const struct slice *slice = trial->answer.slice;
    struct naive_place *places = arena_array(
        trial->arena, slice->n_cells + 1, sizeof *places);
    const struct naive_setting setting = {
        .step = {.fault_limit = s->limit, .forbidden = forbidden,
                 .n_forbidden = s->n_pairs},
        .places = places, .n_places = slice->n_cells, .requirement = requirement,
        .most_states = 10 * STATES};

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct flat_cell *cell =
            &trial->study.lowered->flat->cells[slice->cells[i].cell];

        places[i] = (struct naive_place){
            {(enum place_kind)cell->kind, cell->index}, INT64_MAX};
    }
    return naive_explore(trial->arena, trial->study.machine, &setting);
}

static void compare(const struct section *s, const char *text)
{
    const struct cause_set forbidden = {s->pair, 2};
    const struct exploration *found;
    const struct naive_result *naive;
    struct trial trial;
    struct walk w;

    walk(s, &w);
    trial_open(&trial, "PROGRAM P\nVAR_OUTPUT y : BOOL; END_VAR\n"
                       "END_PROGRAM\n", text);
    ask(&trial, s, &forbidden);
    naive = enumerate(&trial, s, 1, &forbidden);
    found = trial.answer.exploration;
    for (uint32_t l = 1; l <= w.n_levels; l++) {
        uint32_t n = seen_at(&w, stored(&trial), l);

        assert_int_equal(l <= exploration_levels(found)
                             ? exploration_level_size(found, l) : 0, n);
        assert_int_equal(l <= naive->n_levels ? naive->levels[l - 1] : 0, n);
    }
    assert_true(exploration_levels(found) <= w.n_levels);
    assert_int_equal(trial_level(&trial, "Q2"), w.breach);
    assert_int_equal(naive->breach_level, w.breach);
    assert_int_equal(trial_level(&trial, "Q3"), w.change);
    assert_int_equal(enumerate(&trial, s, 2, &forbidden)->breach_level,
                     w.change);
    trial_close(&trial);
}

static void every_situation_of_random_faults(void **state)
{
    uint32_t pairs = 0, groups = 0, following = 0, excluded = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= ROUNDS; seed++) {
        struct text text = {0};
        struct section s;

        make(&s, seed);
        if (s.n_causes == 0)
            continue;
        write(&s, &text);
        compare(&s, text_str(&text));
        text_release(&text);
        pairs += s.n_pairs;
        for (uint32_t i = 0; i < s.n; i++) {
            groups += s.grouped[i];
            following += s.follows[i] != NONE;
            excluded += s.excluded[i];
        }
    }
    assert_true(pairs > ROUNDS / 5 && groups > ROUNDS / 3);
    assert_true(following > ROUNDS / 4 && excluded > ROUNDS / 8);
}

/* By hand: of n faults at most two occur, each at its own moment or both at
 * once: 1 + n + n (n - 1) / 2 situations, all at the first judging. */
static void sets_are_counted(void **state)
{
    (void)state;
    for (uint32_t n = 2; n <= MOST; n++) {
        struct section s = {.n = n, .limit = 2};
        struct text text = {0};
        struct walk w;

        for (uint32_t i = 0; i < n; i++)
            s.follows[i] = NONE;
        number_causes(&s);
        walk(&s, &w);
        assert_int_equal(seen_at(&w, STATES - 1, 1),
                         1 + n + n * (n - 1) / 2);
        assert_int_equal(w.n_levels, 1);
        write(&s, &text);
        compare(&s, text_str(&text));
        text_release(&text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sets_are_counted),
        cmocka_unit_test(every_situation_of_random_faults),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
