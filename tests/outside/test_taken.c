/* Which branches and statements are reached, with and without faults, held
 * against enumeration by the reference interpreter on random machines. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "reference/naive.h"
#include "study/branches.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 40, WANTED = 6 };
#else
enum { SEEDS = 500, WANTED = 120 };
#endif

enum { MOST_STATES = 200, MOST_SITUATIONS = 4000000 };

struct tally {
    unsigned compared, states[5], by_faults;
};

static const struct naive_result *walk(const struct subject *s,
                                       uint32_t faults)
{
    const struct naive_setting setting = {
        .step = {.fault_limit = faults},
        .requirement = MODEL_NONE,
        .most_states = MOST_STATES,
    };

    return naive_explore(s->arena, s->machine, &setting);
}

static bool usable(const struct naive_result *result)
{
    return result->complete && !result->dead_end && result->error_level == 0;
}

static bool same(const struct subject *s, enum branch_state found, bool plain,
                 bool fault, struct tally *tally)
{
    enum branch_state wanted = plain   ? BRANCH_TAKEN
                               : fault ? BRANCH_WITH_FAULT
                                       : BRANCH_NEVER;

    tally->states[found]++;
    if (found == wanted)
        return true;
    print_message("state %d where enumeration gives %d\n", (int)found,
                  (int)wanted);
    subject_complain(s, "branches or statements");
    return false;
}

static bool compare(const struct subject *s, const struct taken *taken,
                    struct tally *tally)
{
    const struct naive_result *plain = walk(s, 0);
    const struct naive_result *fault = walk(s, taken->faults);
    bool good = true;

    if (!usable(plain) || !usable(fault))
        return true;
    tally->compared++;
    for (uint32_t i = 0; good && i < s->model->n_branches; i++) {
        good = same(s, taken->branch[i], plain->branch[i], fault->branch[i],
                    tally);
        tally->by_faults += taken->branch_by[i].n > 0;
    }
    for (uint32_t i = 0; good && i < s->model->n_stretches; i++)
        good = same(s, taken->stretch[i], plain->stretch[i],
                    fault->stretch[i], tally);
    return good;
}

static bool try_seed(uint64_t seed, struct tally *tally)
{
    static const struct study_setting setting = {0};
    struct subject s = {.seed = seed, .loops = seed % 3 == 0};
    struct study study;
    struct rehearsal nothing = {0};
    bool good = true;

    subject_read(&s, false);
    if (s.model->n_errors == 0 &&
        study_open(&study, s.arena, s.model, &setting, s.diags)) {
        nothing.branch = arena_array(s.arena, s.model->n_branches + 1,
                                     sizeof(bool));
        nothing.stretch = arena_array(s.arena, s.model->n_stretches + 1,
                                      sizeof(bool));
        good = compare(&s, branches_judge(&study,
                                          seed % 2 == 0 ? rehearse(&study)
                                                        : &nothing,
                                          MOST_SITUATIONS), tally);
        study_close(&study);
    }
    subject_release(&s);
    return good;
}

static void test_random(void **unused)
{
    struct tally tally = {0};

    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        assert_true(try_seed(seed, &tally));
    print_message("%u machines: %u reached, %u only with a fault (%u of them "
                  "branches whose faults are named), %u never\n",
                  tally.compared, tally.states[BRANCH_TAKEN],
                  tally.states[BRANCH_WITH_FAULT], tally.by_faults,
                  tally.states[BRANCH_NEVER]);
    assert_true(tally.compared >= WANTED);
    assert_true(tally.states[BRANCH_NEVER] > 0);
#ifndef __SANITIZE_ADDRESS__
    assert_true(tally.states[BRANCH_WITH_FAULT] > 0 && tally.by_faults > 0);
#endif
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
