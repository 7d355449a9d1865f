/* Has the logic a part in what is kept?  The engine on the flat logic without
 * its programs against the reference interpreter on a machine whose programs
 * were replaced by texts that may do anything; and the needed assumptions
 * against enumeration with every set of them dropped. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/naive.h"
#include "study/check.h"
#include "tests/support/left_out.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { PARTS = 30, NEEDS = 30 };
#elif defined TEST_WHOLE
enum { PARTS = 120, NEEDS = 120 };
#else
enum { PARTS = 60, NEEDS = 60 };
#endif

/* All of them are asked; said so, the rehearsal before is a short one. */
static const bool every[] = {true, true, true};

/* Machines are tried until so many of them could be compared. */
enum { MOST_SEEDS = 4000, MOST_SETS = 8 };

static bool kept_in_the_whole(const struct requirement_finding *finding)
{
    return finding->verdict == VERDICT_KEPT || finding->part == PART_NONE;
}

static unsigned sum(const unsigned *of, unsigned n)
{
    unsigned all = 0;

    for (unsigned i = 0; i < n; i++)
        all += of[i];
    return all;
}

/* False when it does not agree. */
static bool compare_parts(uint64_t seed, unsigned parts[6],
                          unsigned *machines)
{
    const struct study_setting setting = {.most_situations = 5000,
                                          .quick = true,
                                          .only = every};
    struct subject s = {.seed = seed, .leaning = seed % 4 != 0};
    const struct findings *findings;
    unsigned before = sum(parts, 6);
    bool same = true;

    subject_read(&s, false);
    assert_true(s.model->n_requirements <= 3);
    findings = check_model(s.arena, s.model, &setting, s.diags);
    assert_non_null(findings);
    assert_null(findings->internal_error);
    for (uint32_t i = 0; same && i < findings->n_requirements; i++)
        if (kept_in_the_whole(&findings->requirements[i]))
            same = left_out_agrees(&s, &findings->requirements[i], parts);
    subject_release(&s);
    *machines += sum(parts, 6) > before;
    return same;
}

static void parts_agree_with_enumeration(void **state)
{
    unsigned parts[6] = {0}, machines = 0;
    uint64_t seed = 3001;
    bool same = true;

    (void)state;
    while (same && machines < PARTS && seed < 3001 + MOST_SEEDS)
        same = compare_parts(seed++, parts, &machines);
    print_message("%u machines: by the logic %u, by the wiring alone %u, "
                  "without a part of either %u\n", machines,
                  parts[PART_LOGIC], parts[PART_WIRING], parts[PART_NONE]);
    assert_true(same);
    assert_int_equal(machines, PARTS);
    assert_true(parts[PART_LOGIC] > PARTS / 5);
    assert_true(parts[PART_WIRING] > PARTS / 5);
    assert_true(parts[PART_NONE] > PARTS / 5);
}

/* ---- needed assumptions ---- */

static const uint64_t MOST_STATES = 300;

/* One machine, its assumptions dropped in every combination. */
struct sets {
    const struct subject *subject;
    int whole[MOST_SETS]; /* no error and no dead end: 1 yes, 0 no, -1 too
                             large, -2 not asked yet */
    unsigned needs[3];
};

static uint32_t most_faults(const struct model *model)
{
    uint32_t most = 0;

    for (uint32_t r = 0; r < model->n_requirements; r++)
        if (model->requirements[r].despite > most)
            most = model->requirements[r].despite;
    return most;
}

static const struct naive_result *reach(const struct sets *sets,
                                        unsigned set, uint32_t requirement,
                                        const struct step_setting *step)
{
    const struct subject *s = sets->subject;
    bool *dropped = arena_array(s->arena, s->model->n_assumptions + 1,
                                sizeof *dropped);
    struct naive_setting setting = {
        .step = *step,
        .requirement = requirement,
        .most_states = MOST_STATES,
    };

    for (uint32_t a = 0; a < s->model->n_assumptions; a++)
        dropped[a] = set >> a & 1;
    setting.step.dropped = dropped;
    return naive_explore(s->arena, s->machine, &setting);
}

static int sound_without(struct sets *sets, unsigned set)
{
    const struct step_setting step = {
        .fault_limit = most_faults(sets->subject->model)};
    const struct naive_result *whole;

    if (sets->whole[set] == -2) {
        whole = reach(sets, set, 0, &step);
        sets->whole[set] = whole->error_level != 0 || whole->dead_end
                               ? 0 : whole->complete ? 1 : -1;
    }
    return sets->whole[set];
}

/* Would it be called kept without these: 1 yes, 0 no, -1 too large. */
static int kept_without(struct sets *sets, uint32_t requirement, unsigned set)
{
    const struct requirement *r =
        &sets->subject->model->requirements[requirement];
    const struct step_setting step = {.fault_limit = r->despite,
                                      .allowed = r->despite_of};
    const struct naive_result *own = reach(sets, set, requirement, &step);

    if (own->breach_level != 0)
        return 0;
    if (!own->complete)
        return -1;
    return sound_without(sets, set);
}

/* The same by the outcomes of all sets; false when one is too large. */
static bool need_by_sets(struct sets *sets, uint32_t requirement,
                         enum need need[MOST_SETS])
{
    unsigned n = sets->subject->model->n_assumptions;
    unsigned all = (1u << n) - 1, dropped = 0;
    int kept[MOST_SETS];

    for (unsigned set = 0; set <= all; set++) {
        kept[set] = kept_without(sets, requirement, set);
        if (kept[set] < 0)
            return false;
    }
    for (unsigned a = 0; a < n; a++) {
        need[a] = NEED_NO;
        if (!kept[all] && !kept[dropped | 1u << a])
            need[a] = kept[1u << a] ? NEED_IN_SET : NEED_EVERY;
        else
            dropped |= 1u << a;
    }
    return kept[0] == 1;
}

static bool needs_agree(struct sets *sets,
                        const struct requirement_finding *finding)
{
    enum need need[MOST_SETS];
    bool same = finding->need_state == NEED_KNOWN;

    if (!need_by_sets(sets, finding->requirement, need))
        return true;
    for (uint32_t a = 0; same && a < sets->subject->model->n_assumptions;
         a++) {
        same = finding->need[a] == need[a];
        sets->needs[need[a]]++;
        if (!same)
            print_message("R%u A%u: need %d, by sets %d\n",
                          finding->requirement + 1, a + 1,
                          (int)finding->need[a], (int)need[a]);
    }
    if (!same)
        subject_complain(sets->subject, "needed assumptions differ");
    return same;
}

/* False when it does not agree. */
static bool compare_needs(uint64_t seed, unsigned needs[3],
                          unsigned *machines)
{
    const struct study_setting setting = {.most_situations = 5000,
                                          .only = every};
    struct subject s = {.seed = seed, .leaning = true};
    struct sets sets = {.subject = &s};
    const struct findings *findings;
    bool same = true;

    for (unsigned set = 0; set < MOST_SETS; set++)
        sets.whole[set] = -2;
    subject_read(&s, false);
    assert_true(s.model->n_requirements <= 3);
    assert_true(s.model->n_assumptions <= 3);
    if (s.model->n_assumptions > 0 && sound_without(&sets, 0) == 1) {
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        assert_null(findings->internal_error);
        for (uint32_t i = 0; same && i < findings->n_requirements; i++)
            if (findings->requirements[i].verdict == VERDICT_KEPT)
                same = needs_agree(&sets, &findings->requirements[i]);
    }
    subject_release(&s);
    *machines += sum(sets.needs, 3) > 0;
    for (int i = 0; i < 3; i++)
        needs[i] += sets.needs[i];
    return same;
}

static void needs_agree_with_all_sets(void **state)
{
    unsigned needs[3] = {0}, machines = 0;
    uint64_t seed = 5001;
    bool same = true;

    (void)state;
    while (same && machines < NEEDS && seed < 5001 + MOST_SEEDS)
        same = compare_needs(seed++, needs, &machines);
    print_message("%u machines: assumptions not needed %u, in the set %u, "
                  "needed in every set %u\n", machines, needs[NEED_NO],
                  needs[NEED_IN_SET], needs[NEED_EVERY]);
    assert_true(same);
    assert_int_equal(machines, NEEDS);
    assert_true(needs[NEED_NO] > NEEDS / 3);
    assert_true(needs[NEED_IN_SET] > NEEDS / 20);
    assert_true(needs[NEED_EVERY] > NEEDS / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_agree_with_enumeration),
        cmocka_unit_test(needs_agree_with_all_sets),
    };

    return cmocka_run_group_tests_name("at will", tests, NULL, NULL);
}
