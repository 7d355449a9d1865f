/* Whole check against the naive enumeration of the whole machine by the
 * reference interpreter: verdict for verdict, with the lengths of broken
 * ones.  (test_agreement.c compares what lies under the verdicts.) */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check/model.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "study/check.h"
#include "tests/support/left_out.h"
#include "tests/support/subject.h"

/* With sanitizers everything is many times slower: fewer machines then. */
#ifdef __SANITIZE_ADDRESS__
enum { CHECKED = 25, PACED = 8 };
#elif defined TEST_WHOLE
enum { CHECKED = 60, PACED = 24 };
#else
enum { CHECKED = 20, PACED = 8 };
#endif

/* Every time of a scan is one more way on: smaller machines there. */
static uint64_t most_states(const struct subject *s)
{
    return s->range || s->every ? 700 : 2500;
}

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

/* Is anything else in the way of "kept": with the most faults of the run, a
 * run-time error or a dead end anywhere? */
static const struct naive_result *ask_whole(const struct subject *s,
                                            uint32_t requirement,
                                            uint32_t faults,
                                            const bool *allowed)
{
    const struct naive_setting setting = {
        .step = {.fault_limit = faults, .allowed = allowed},
        .requirement = requirement,
        .most_states = most_states(s),
    };

    return naive_explore(s->arena, s->machine, &setting);
}

static bool all_triggers(const struct subject *s, uint32_t requirement,
                         const struct naive_result *naive)
{
    for (uint32_t t = 0; t < s->model->requirements[requirement].n_triggers;
         t++)
        if (!naive->trigger[t])
            return false;
    return true;
}

/* The verdict that the enumeration of the whole asks for. */
static enum verdict wanted(const struct subject *s, uint32_t requirement,
                           const struct naive_result *own,
                           const struct naive_result *whole)
{
    if (own->breach_level != 0)
        return VERDICT_BROKEN;
    if (whole->error_level != 0 || whole->dead_end)
        return VERDICT_NOT_FINISHED;
    return all_triggers(s, requirement, own) ? VERDICT_KEPT
                                             : VERDICT_NOT_TESTED;
}

static uint32_t most_faults(const struct model *model)
{
    uint32_t most = 0;

    for (uint32_t r = 0; r < model->n_requirements; r++)
        if (model->requirements[r].despite + model->requirements[r].another >
            most)
            most = model->requirements[r].despite +
                   model->requirements[r].another;
    return most;
}

static bool judge(const struct subject *s,
                  const struct requirement_finding *finding,
                  unsigned verdicts[5], unsigned parts[6])
{
    enum verdict whole_verdict;
    const struct requirement *r =
        &s->model->requirements[finding->requirement];
    const struct naive_result *own = ask_whole(
        s, finding->requirement, r->despite, r->despite_of);
    const struct naive_result *whole = ask_whole(
        s, finding->requirement, most_faults(s->model), NULL);

    if (!own->complete || !whole->complete ||
        r->another) /* test_noticing.c */
        return true;
    verdicts[finding->verdict]++;
    /* A breach beside a dead end of assumptions that the requirement does
     * not share may not be completed; it is then said not to be finished. */
    if (own->breach_level != 0 && whole->dead_end &&
        finding->verdict == VERDICT_NOT_FINISHED)
        return true;
    whole_verdict = wanted(s, finding->requirement, own, whole);
    if (whole_verdict == VERDICT_KEPT)
        return left_out_agrees(s, finding, parts);
    return check_that(s, finding->verdict == whole_verdict,
                      "verdicts differ") &&
           check_that(s, finding->verdict != VERDICT_BROKEN ||
                             finding->sequence->n_scans == own->breach_level,
                      "lengths differ");
}

static void judge_like(const struct subject *like, unsigned n,
                       unsigned verdicts[5])
{
    const struct study_setting setting = {.most_situations = 200000,
                                          .quick = true};
    unsigned parts[6] = {0};
    bool same = true;

    for (uint64_t seed = like->seed; same && seed < like->seed + n; seed++) {
        struct subject s = *like;
        const struct findings *findings;

        s.seed = seed;

        subject_read(&s, false);
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        if (findings->internal_error != NULL)
            same = check_that(&s, false, findings->internal_error);
        for (uint32_t i = 0; same && i < findings->n_requirements; i++)
            same = judge(&s, &findings->requirements[i], verdicts, parts);
        subject_release(&s);
    }
    print_message("kept %u, broken %u, not put to the test %u, not finished "
                  "%u\n", verdicts[0], verdicts[1], verdicts[2],
                  verdicts[4]);
    print_message("of what is kept in the whole: by the logic %u, by the "
                  "wiring alone %u, without a part of either %u\n",
                  parts[PART_LOGIC], parts[PART_WIRING], parts[PART_NONE]);
    assert_true(same);
}

static void verdicts_agree_with_naive_enumeration(void **state)
{
    unsigned verdicts[5] = {0};

    (void)state;
    judge_like(&(struct subject){.seed = 1001}, CHECKED, verdicts);
#ifndef __SANITIZE_ADDRESS__ /* so few machines need not show it */
    assert_true(verdicts[VERDICT_KEPT] > CHECKED / 20);
#endif
    assert_true(verdicts[VERDICT_BROKEN] > CHECKED / 3);
    assert_true(verdicts[VERDICT_NOT_TESTED] > CHECKED / 12);
    assert_true(verdicts[VERDICT_NOT_FINISHED] > CHECKED / 25);
}

/* Seeds whose machines are walked within seconds: every setting left open
 * doubles what there is to walk. */
static void judge_controllers(unsigned *verdicts)
{
    static const uint64_t seeds[] = {
#ifndef __SANITIZE_ADDRESS__
        13951, 20201, 20251,
#endif
        20101};

    for (size_t i = 0; i < sizeof seeds / sizeof *seeds; i++)
        judge_like(&(struct subject){.seed = seeds[i], .settings = true}, 4,
                   verdicts);
}

static void verdicts_agree_whatever_the_pace(void **state)
{
    unsigned verdicts[5] = {0};

    (void)state;
    judge_like(&(struct subject){.seed = 5001, .range = true}, PACED / 2,
               verdicts);
    judge_like(&(struct subject){.seed = 8501, .loops = true}, PACED / 2,
               verdicts);
    judge_controllers(verdicts);
    judge_like(&(struct subject){.seed = 17801, .noticing = true},
               PACED, verdicts);
    judge_like(&(struct subject){.seed = 6001, .every = true}, PACED / 2,
               verdicts);
    judge_like(&(struct subject){.seed = 6501, .range = true, .every = true},
               PACED / 4, verdicts);
    assert_true(verdicts[VERDICT_KEPT] > PACED / 24);
    assert_true(verdicts[VERDICT_BROKEN] > PACED / 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(verdicts_agree_with_naive_enumeration),
        cmocka_unit_test(verdicts_agree_whatever_the_pace),
    };

    return cmocka_run_group_tests_name("verdicts", tests, NULL, NULL);
}
