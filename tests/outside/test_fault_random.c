/* The smallest sets of faults that break a requirement, on random machines:
 * what the study finds, against one enumeration by the reference interpreter
 * for each set of up to two faults, with these faults and no others. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "study/faults.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { MACHINES = 100, LEAST = 5 };
#else
enum { MACHINES = 1400, LEAST = 100 };
#endif

enum { MOST_STATES = 120, MOST_CAUSES = 4, MOST_WAYS = 160 };

struct tally {
    unsigned machines, asked, single, pairs, skipped;
};

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

/* A breach with no other faults than these: its level, 0 there is none.
 * False where that is too large to enumerate, or a path ends early. */
static bool enumerate(struct subject *s, uint32_t requirement,
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
static bool is_small(const struct subject *s)
{
    uint64_t ways = 1;

    for (uint32_t i = 0; i < s->model->n_choices && ways <= MOST_WAYS; i++)
        if (s->model->choices[i].kind != CHOICE_FAULT)
            ways *= s->model->choices[i].count;
    return s->model->n_causes > 0 && ways <= MOST_WAYS;
}

/* Of a machine with more of them only so many are studied. */
static uint32_t studied(const struct subject *s)
{
    return s->model->n_causes < MOST_CAUSES ? s->model->n_causes
                                            : MOST_CAUSES;
}

/* The level at which each set of one or two breaks it: alone [i][i]. */
struct table {
    uint32_t sound, level[MOST_CAUSES][MOST_CAUSES];
};

static bool tabulate(struct subject *s, uint32_t requirement,
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

static bool same_sets(struct subject *s, const struct requirement_faults *of,
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

static bool same(struct subject *s, const struct fault_findings *found,
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

static bool machine(uint64_t seed, struct tally *tally)
{
    bool of[64] = {false};
    const struct faults_setting setting = {
        .study = {.most_situations = 20000, .quick = true},
        .together = 2, .of = of};
    struct subject s = {.seed = seed, .noticing = seed % 3 == 0};
    const struct fault_findings *found;
    bool agree = true;

    subject_read(&s, false);
    assert_true(s.model->n_causes <= sizeof of / sizeof *of);
    for (uint32_t c = 0; c < studied(&s); c++)
        of[c] = true;
    if (is_small(&s)) {
        found = faults_study(s.arena, s.model, &setting, s.diags);
        assert_non_null(found);
        agree = found->findings->internal_error == NULL
                    ? same(&s, found, tally)
                    : check_that(&s, false, found->findings->internal_error);
    }
    subject_release(&s);
    return agree;
}

static void sets_agree_with_enumeration(void **state)
{
    struct tally tally = {0};
    bool agree = true;

    (void)state;
    for (uint64_t seed = 31001; agree && seed < 31001 + MACHINES; seed++)
        agree = machine(seed, &tally);
    print_message("%u machines, %u requirements, %u skipped; %u single "
                  "faults, %u pairs\n", tally.machines, tally.asked,
                  tally.skipped, tally.single, tally.pairs);
    assert_true(agree);
    assert_true(tally.machines >= LEAST);
    assert_true(tally.single > 0);
#ifndef __SANITIZE_ADDRESS__
    assert_true(tally.pairs > 0);
#endif
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sets_agree_with_enumeration),
    };

    return cmocka_run_group_tests_name("random faults", tests, NULL, NULL);
}
