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
enum { PARTS = 60, NEEDS = 40 };
#else
enum { PARTS = 150, NEEDS = 200 };
#endif

static bool kept_in_the_whole(const struct requirement_finding *finding)
{
    return finding->verdict == VERDICT_KEPT || finding->part == PART_NONE;
}

static void parts_agree_with_enumeration(void **state)
{
    const struct study_setting setting = {.most_situations = 100000,
                                          .quick = true};
    unsigned parts[6] = {0};
    bool same = true;

    (void)state;
    for (uint64_t seed = 3001; same && seed < 3001 + PARTS; seed++) {
        struct subject s = {.seed = seed, .leaning = seed % 2 == 0};
        const struct findings *findings;

        subject_read(&s, false);
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        assert_null(findings->internal_error);
        for (uint32_t i = 0; same && i < findings->n_requirements; i++)
            if (kept_in_the_whole(&findings->requirements[i]))
                same = left_out_agrees(&s, &findings->requirements[i],
                                       parts);
        subject_release(&s);
    }
    print_message("by the logic %u, by the wiring alone %u, without a part "
                  "of either %u\n", parts[PART_LOGIC], parts[PART_WIRING],
                  parts[PART_NONE]);
    assert_true(same);
    assert_true(parts[PART_LOGIC] > PARTS / 20);
    assert_true(parts[PART_WIRING] > PARTS / 15);
    assert_true(parts[PART_NONE] > PARTS / 15);
}

/* ---- needed assumptions ---- */

static const uint64_t MOST_STATES = 1500;

static uint32_t most_faults(const struct model *model)
{
    uint32_t most = 0;

    for (uint32_t r = 0; r < model->n_requirements; r++)
        if (model->requirements[r].despite > most)
            most = model->requirements[r].despite;
    return most;
}

/* Would it be called kept without these: 1 yes, 0 no, -1 too large. */
static int kept_without(const struct subject *s, uint32_t requirement,
                        unsigned set)
{
    const struct requirement *r = &s->model->requirements[requirement];
    bool *dropped = arena_array(s->arena, s->model->n_assumptions + 1,
                                sizeof *dropped);
    struct naive_setting setting = {
        .step = {.fault_limit = r->despite, .allowed = r->despite_of,
                 .dropped = dropped},
        .requirement = requirement,
        .most_states = MOST_STATES,
    };
    const struct naive_result *own, *whole;

    for (uint32_t a = 0; a < s->model->n_assumptions; a++)
        dropped[a] = set >> a & 1;
    own = naive_explore(s->arena, s->machine, &setting);
    if (own->breach_level != 0)
        return 0;
    setting.step.fault_limit = most_faults(s->model);
    setting.step.allowed = NULL;
    whole = naive_explore(s->arena, s->machine, &setting);
    if (whole->error_level != 0 || whole->dead_end)
        return 0;
    return own->complete && whole->complete ? 1 : -1;
}

/* The same by the outcomes of all sets; false when one is too large. */
static bool need_by_sets(const struct subject *s, uint32_t requirement,
                         enum need need[8])
{
    unsigned n = s->model->n_assumptions, all = (1u << n) - 1, dropped = 0;
    int kept[8];

    for (unsigned set = 0; set <= all; set++) {
        kept[set] = kept_without(s, requirement, set);
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

static bool needs_agree(const struct subject *s,
                        const struct requirement_finding *finding,
                        unsigned needs[3])
{
    enum need need[8];
    bool same = finding->need_state == NEED_KNOWN;

    if (!need_by_sets(s, finding->requirement, need))
        return true;
    for (uint32_t a = 0; same && a < s->model->n_assumptions; a++) {
        same = finding->need[a] == need[a];
        needs[need[a]]++;
        if (!same)
            print_message("R%u A%u: need %d, by sets %d\n",
                          finding->requirement + 1, a + 1,
                          (int)finding->need[a], (int)need[a]);
    }
    if (!same)
        subject_complain(s, "needed assumptions differ");
    return same;
}

static void needs_agree_with_all_sets(void **state)
{
    const struct study_setting setting = {.most_situations = 100000};
    unsigned needs[3] = {0};
    bool same = true;

    (void)state;
    for (uint64_t seed = 5001; same && seed < 5001 + NEEDS; seed++) {
        struct subject s = {.seed = seed, .leaning = true};
        const struct findings *findings;

        subject_read(&s, false);
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        assert_null(findings->internal_error);
        assert_true(s.model->n_assumptions <= 3);
        for (uint32_t i = 0; same && i < findings->n_requirements; i++)
            if (findings->requirements[i].verdict == VERDICT_KEPT &&
                s.model->n_assumptions > 0)
                same = needs_agree(&s, &findings->requirements[i], needs);
        subject_release(&s);
    }
    print_message("assumptions: not needed %u, in the set %u, needed in "
                  "every set %u\n", needs[NEED_NO], needs[NEED_IN_SET],
                  needs[NEED_EVERY]);
    assert_true(same);
    assert_true(needs[NEED_NO] > NEEDS / 10);
    assert_true(NEEDS < 100 || needs[NEED_IN_SET] > 0);
    assert_true(NEEDS < 100 || needs[NEED_EVERY] > NEEDS / 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_agree_with_enumeration),
        cmocka_unit_test(needs_agree_with_all_sets),
    };

    return cmocka_run_group_tests_name("at will", tests, NULL, NULL);
}
