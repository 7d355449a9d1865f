/* The smallest sets of faults that break a requirement, on random machines:
 * what the study finds, against one enumeration by the reference interpreter
 * for each set of up to two faults, with these faults and no others.
 *
 * Most random machines hold no redundancy, so that two faults seldom do what
 * one does not; a second kind has some contacts of one button, joined by a
 * random structure with a latch, and faults of every phrase and timing. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "study/faults.h"
#include "tests/support/subject.h"
#include "tests/support/text_model.h"

#ifdef __SANITIZE_ADDRESS__
enum { MACHINES = 100, LEAST = 5, JOINED = 30 };
#elif defined TEST_WHOLE
enum { MACHINES = 1600, LEAST = 100, JOINED = 120 };
#else
enum { MACHINES = 800, LEAST = 50, JOINED = 60 };
#endif

enum { MOST_STATES = 120, MOST_CAUSES = 6, MOST_WAYS = 128 };

struct tally {
    unsigned machines, asked, single, pairs, skipped;
};

/* A machine as both sides need it. */
struct asked {
    struct arena *arena;
    const struct model *model;
    struct machine *machine;
    struct diags *diags;
    const struct subject *subject; /* or NULL, and the texts */
    const char *control, *review;
};

static bool check_that(const struct asked *s, bool holds, const char *what)
{
    if (!holds && s->subject != NULL)
        subject_complain(s->subject, what);
    else if (!holds)
        print_message("%s\n%s%s\n", what, s->control, s->review);
    return holds;
}

/* A breach with no other faults than these: its level, 0 there is none.
 * False where that is too large to enumerate, or a path ends early. */
static bool enumerate(const struct asked *s, uint32_t requirement,
                      const uint32_t *causes, uint32_t n, uint32_t *level)
{
    bool *allowed = arena_array(s->arena, s->model->n_causes + 1,
                                sizeof *allowed);
    const struct naive_setting setting = {
        .step = {.fault_limit = n, .allowed = allowed},
        .requirement = requirement,
        .most_states = (1 + 2 * n) * MOST_STATES,
    };
    const struct naive_result *naive;

    for (uint32_t i = 0; i < n; i++)
        allowed[causes[i]] = true;
    naive = naive_explore(s->arena, s->machine, &setting);
    *level = naive->breach_level;
    return naive->complete && !naive->dead_end && naive->error_level == 0;
}

/* Few enough choices in one scan to be enumerated in reasonable time? */
static bool is_small(const struct asked *s)
{
    uint64_t ways = 1;

    for (uint32_t i = 0; i < s->model->n_choices && ways <= MOST_WAYS; i++)
        if (s->model->choices[i].kind != CHOICE_FAULT)
            ways *= s->model->choices[i].count;
    return s->model->n_causes > 0 && ways <= MOST_WAYS;
}

/* Of a machine with more of them only so many are studied. */
static uint32_t studied(const struct asked *s)
{
    return s->model->n_causes < MOST_CAUSES ? s->model->n_causes
                                            : MOST_CAUSES;
}

/* The level at which each set of one or two breaks it: alone [i][i]. */
struct table {
    uint32_t sound, level[MOST_CAUSES][MOST_CAUSES];
};

static bool tabulate(const struct asked *s, uint32_t requirement,
                     struct table *table)
{
    uint32_t n = studied(s);

    if (!enumerate(s, requirement, NULL, 0, &table->sound))
        return false;
    for (uint32_t i = 0; i < n; i++)
        for (uint32_t k = i; k < n; k++) {
            const uint32_t both[2] = {i, k};

            if (!enumerate(s, requirement, both, i == k ? 1 : 2,
                           &table->level[i][k]))
                return false;
        }
    return true;
}

/* Is that set one of the smallest? */
static bool is_minimal(const struct table *table, uint32_t i, uint32_t k)
{
    if (table->sound != 0 || table->level[i][k] == 0)
        return false;
    return i == k || (table->level[i][i] == 0 && table->level[k][k] == 0);
}

static const struct fault_set *found_set(const struct requirement_faults *of,
                                         uint32_t i, uint32_t k)
{
    for (uint32_t at = 0; at < of->n_sets; at++) {
        const struct fault_set *set = &of->sets[at];

        if (set->n == (i == k ? 1u : 2u) && set->causes[0] == i &&
            set->causes[set->n - 1] == k)
            return set;
    }
    return NULL;
}

static bool same_sets(const struct asked *s, const struct requirement_faults *of,
                      const struct table *table, struct tally *tally)
{
    uint32_t n = studied(s), count = 0;
    bool same = true;

    for (uint32_t i = 0; same && i < n; i++)
        for (uint32_t k = i; same && k < n; k++) {
            const struct fault_set *set = found_set(of, i, k);

            if (!is_minimal(table, i, k)) {
                same = check_that(s, set == NULL,
                                  "a set too many, or not the smallest");
                continue;
            }
            count++;
            tally->single += i == k;
            tally->pairs += i != k;
            same = check_that(s, set != NULL, "a set was not found") &&
                   check_that(s, set->found.sequence->n_scans ==
                                     table->level[i][k],
                              "the shortest sequences differ");
        }
    return same && check_that(s, count == of->n_sets, "numbers differ");
}

/* Finished, so that what is not said is not so? */
static bool is_finished(const struct requirement_faults *of)
{
    for (uint32_t i = 0; i < of->n_sizes; i++)
        if (of->sizes[i].verdict == VERDICT_NOT_FINISHED ||
            of->sizes[i].verdict == VERDICT_NOT_DECIDED)
            return false;
    return of->sound.verdict != VERDICT_NOT_FINISHED &&
           of->sound.verdict != VERDICT_NOT_DECIDED;
}

static bool same(const struct asked *s, const struct fault_findings *found,
                 struct tally *tally)
{
    bool agree = true, any = false;

    for (uint32_t r = 0; agree && r < found->n_requirements; r++) {
        const struct requirement_faults *of = &found->requirements[r];
        struct table table = {0};

        if (!is_finished(of) || !tabulate(s, of->requirement, &table)) {
            tally->skipped++;
            continue;
        }
        any = true;
        tally->asked++;
        agree = check_that(s, (of->sound.verdict == VERDICT_BROKEN) ==
                                  (table.sound != 0),
                           "verdicts without faults differ") &&
                same_sets(s, of, &table, tally);
    }
    tally->machines += any;
    return agree;
}

/* Studied, and held against enumeration. */
static bool ask(const struct asked *s, struct tally *tally)
{
    bool of[64] = {false};
    const struct faults_setting setting = {
        .study = {.most_situations = 20000, .quick = true},
        .together = 2, .of = of};
    const struct fault_findings *found;

    assert_true(s->model->n_causes <= sizeof of / sizeof *of);
    for (uint32_t c = 0; c < studied(s); c++)
        of[c] = true;
    found = faults_study(s->arena, s->model, &setting, s->diags);
    assert_non_null(found);
    return found->findings->internal_error == NULL
               ? same(s, found, tally)
               : check_that(s, false, found->findings->internal_error);
}

static bool machine(uint64_t seed, struct tally *tally)
{
    struct subject s = {.seed = seed, .noticing = seed % 3 == 0};
    struct asked asked;
    bool agree = true;

    subject_read(&s, false);
    asked = (struct asked){.arena = s.arena, .model = s.model,
                           .machine = s.machine, .diags = s.diags,
                           .subject = &s};
    if (is_small(&asked))
        agree = ask(&asked, tally);
    subject_release(&s);
    return agree;
}

/* ---- contacts of one button, joined ---- */

struct dice {
    uint64_t seed;
};

static uint32_t roll(struct dice *dice, uint32_t below)
{
    dice->seed = dice->seed * UINT64_C(6364136223846793005) +
                 UINT64_C(1442695040888963407);
    return (uint32_t)(dice->seed >> 33) % below;
}

static void add_term(struct dice *dice, uint32_t depth, struct text *out)
{
    if (depth == 0 || roll(dice, 4) == 0) {
        uint32_t leaf = roll(dice, 5);

        if (leaf < 4)
            text_printf(out, "c%u", leaf + 1);
        else
            text_add(out, "kept");
        return;
    }
    text_add(out, "(");
    add_term(dice, depth - 1, out);
    text_add(out, roll(dice, 2) == 0 ? " OR " : " AND ");
    add_term(dice, depth - 1, out);
    text_add(out, ")");
}

static void add_joined_control(struct dice *dice, struct text *out)
{
    text_add(out, "PROGRAM Main\nVAR_INPUT c1, c2, c3, c4 : BOOL; END_VAR\n"
                  "VAR_OUTPUT drive : BOOL; END_VAR\n"
                  "VAR kept : BOOL; END_VAR\n  kept := ");
    add_term(dice, 2, out);
    text_add(out, ";\n  drive := NOT (c1 AND c2 OR ");
    add_term(dice, 2, out);
    text_add(out, ");\nEND_PROGRAM\n");
}

static void add_joined_faults(struct dice *dice, struct text *out)
{
    static const char *const phrases[] = {
        "DOES NOT CLOSE", "DOES NOT OPEN", "STAYS", "WIRE OFF",
        "SHORT TO SUPPLY"};
    static const char *const timings[] = {
        "", "", ", INTERMITTENT", ", PRESENT FROM POWER_UP"};

    for (uint32_t i = 1; i <= 5; i++) {
        uint32_t on = i <= 4 ? i : 1 + roll(dice, 4);

        text_printf(out, "    F%u : c%u %s%s;\n", i, on,
                    phrases[roll(dice, 5)], timings[roll(dice, 4)]);
    }
    text_add(out, roll(dice, 4) != 0
                      ? "    F6 : drive MOVES WITHOUT COMMAND;\n"
                      : "    F6 : drive STAYS, FOLLOWS FROM F1;\n");
    if (roll(dice, 3) == 0)
        text_add(out, "    both 'one cause' : ONE CAUSE OF F2, F3;\n");
}

static void add_joined_review(struct dice *dice, struct text *out)
{
    text_add(out, "REVIEW Joined 'invented'\n  SCAN T#100ms;\n  CONTROLS\n"
                  "    demand : BUTTON 'demand' CONTACTS c1 CLOSING, "
                  "c2 CLOSING, c3 CLOSING, c4 CLOSING;\n"
                  "    drive : MOTOR 'drive';\n  END_CONTROLS\n  FAULTS\n");
    add_joined_faults(dice, out);
    text_add(out, "  END_FAULTS\n  REQUIREMENTS\n"
                  "    R1 : NEVER drive AND PRESSED demand;\n"
                  "    R2 : WHEN PRESSED demand, THEN NOT drive WITHIN "
                  "T#200ms SAMPLED, UNLESS NOT PRESSED demand;\n"
                  "    R3 : NEVER RISING drive AND PRESSED demand;\n"
                  "  END_REQUIREMENTS\nEND_REVIEW\n");
}

static bool joined(uint64_t seed, struct tally *tally)
{
    struct dice dice = {seed * 2654435761u};
    struct text control = {0}, review = {0};
    struct text_model text;
    struct asked asked;
    bool agree;

    add_joined_control(&dice, &control);
    add_joined_review(&dice, &review);
    text_model_init(&text, text_str(&control), text_str(&review), false);
    assert_non_null(text.model);
    asked = (struct asked){.arena = text.arena, .model = text.model,
                           .machine = machine_new(text.arena, text.model),
                           .diags = text.diags,
                           .control = text_str(&control),
                           .review = text_str(&review)};
    agree = ask(&asked, tally);
    text_model_release(&text);
    text_release(&control);
    text_release(&review);
    return agree;
}

static void print_tally(const struct tally *tally)
{
    print_message("%u machines, %u requirements, %u skipped; %u single "
                  "faults, %u pairs\n", tally->machines, tally->asked,
                  tally->skipped, tally->single, tally->pairs);
}

static void sets_agree_with_enumeration(void **state)
{
    struct tally tally = {0};
    bool agree = true;

    (void)state;
    for (uint64_t seed = 31001; agree && seed < 31001 + MACHINES; seed++)
        agree = machine(seed, &tally);
    print_tally(&tally);
    assert_true(agree);
    assert_true(tally.machines >= LEAST);
    assert_true(tally.single > 0);
}

static void pairs_agree_with_enumeration(void **state)
{
    struct tally tally = {0};
    bool agree = true;

    (void)state;
    for (uint64_t seed = 1; agree && seed <= JOINED; seed++)
        agree = joined(seed, &tally);
    print_tally(&tally);
    assert_true(agree);
    assert_true(tally.machines >= JOINED / 2);
    assert_true(tally.pairs >= JOINED / 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sets_agree_with_enumeration),
        cmocka_unit_test(pairs_agree_with_enumeration),
    };

    return cmocka_run_group_tests_name("random faults", tests, NULL, NULL);
}
