/* Are faults noticed in time?  What the engines and the study say, against
 * enumeration by the reference interpreter: levels of everything that is
 * watched, the canonical sequence to an unnoticed demand, and the answer that
 * follows from what was seen. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/cause_set.h"
#include "check/model.h"
#include "engine/explore.h"
#include "engine/sequence.h"
#include "lower/lower.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "study/check.h"
#include "study/despite.h"
#include "study/noticed.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { MACHINES = 20, WALKED = 20 };
#elif defined TEST_WHOLE
enum { MACHINES = 100, WALKED = 100 };
#else /* 22145 is among those walked */
enum { MACHINES = 50, WALKED = 88 };
#endif

enum { MOST_STATES = 400 };

struct tally {
    unsigned sets, skipped, untimed, answers[NOTICED_NOT_FINISHED + 1];
};

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

/* A set of causes of faults of one machine. */
struct asked {
    struct subject *s;
    const uint32_t *causes;
    uint32_t n;
    bool *allowed;
};

static const struct naive_result *enumerate(const struct asked *asked,
                                            const bool *counted)
{
    const struct naive_setting setting = {
        .step = {.fault_limit = asked->n, .allowed = asked->allowed,
                 .studied = asked->causes, .n_studied = asked->n,
                 .counted = counted},
        .requirement = MODEL_NONE,
        .notice = 1 + NOTICE_PASSED,
        .most_states = MOST_STATES,
    };

    return naive_explore(asked->s->arena, asked->s->machine, &setting);
}

static const struct slice *sliced(const struct asked *asked,
                                  uint32_t *watches)
{
    struct subject *s = asked->s;
    uint32_t all[16], ends[64], n_ends = 0;
    struct slice_request request = {
        .watches = watches, .n_watches = NOTICE_PARTS, .ends = ends,
        .faults = asked->n, .allowed = asked->allowed,
        .studied = asked->causes, .n_studied = asked->n,
        .with_assumptions = all,
        .n_with_assumptions = s->model->n_assumptions};

    assert_true(s->model->n_assumptions <= 16);
    for (uint32_t i = 0; i < s->model->n_assumptions; i++)
        all[i] = i;
    for (uint32_t e = 0; e < s->model->n_errors && n_ends < 64; e++)
        if (s->lowered->error[e] != FLAT_NONE)
            ends[n_ends++] = s->lowered->error[e];
    request.n_ends = n_ends;
    for (uint32_t i = 0; i < NOTICE_PARTS; i++)
        watches[i] = s->lowered->notice + i;
    return slice_build(s->arena, s->lowered->builder, s->lowered->flat,
                       &request);
}

/* What is seen at all, and the shortest way to an unnoticed demand. */
static bool same_watches(const struct asked *asked, const struct slice *slice,
                         struct exploration *found,
                         const struct naive_result *naive)
{
    uint32_t n = asked->s->model->n_choices;
    const struct sequence *sequence;
    bool same = exploration_watch_level(found, NOTICE_PASSED) ==
                naive->breach_level;

    for (uint32_t i = 0; same && i < NOTICE_PARTS; i++)
        same = (exploration_watch_level(found, i) != 0) == naive->notice[i];
    if (!check_that(asked->s, same, "levels of what is noticed differ") ||
        naive->breach_level == 0)
        return same;
    sequence = sequence_find(asked->s->arena, found, GOAL_WATCH,
                             NOTICE_PASSED);
    for (uint32_t i = 0; same && i < sequence->length * n; i++)
        if (slice->used[i % n])
            same = sequence->choices[i] == naive->sequence[i];
    return check_that(asked->s, same, "canonical sequences differ");
}

/* The answer that follows from what was seen, docs/notes/step.md, 13. */
static enum noticed wanted(const struct model *model,
                           const struct naive_result *naive)
{
    const bool *seen = naive->notice;

    if (!seen[NOTICE_PASSED])
        return seen[NOTICE_DEMAND] ? NOTICED_BEFORE_DEMAND
                                   : NOTICED_NO_DEMAND;
    if (!seen[NOTICE_SEEN])
        return NOTICED_NEVER;
    return model->noticing.cycle != NULL && seen[NOTICE_CYCLE] &&
                   !seen[NOTICE_ROUND]
               ? NOTICED_IN_CYCLE : NOTICED_SOMETIMES;
}

/* Assumptions outside are asked with the most faults of the run. */
static bool ends_with_more(const struct asked *asked,
                           const struct study *study)
{
    const struct naive_setting setting = {
        .step = {.fault_limit = study->most_faults},
        .requirement = MODEL_NONE,
        .most_states = 20 * MOST_STATES,
    };
    const struct naive_result *naive =
        naive_explore(asked->s->arena, asked->s->machine, &setting);

    return naive->dead_end || !naive->complete;
}

static bool same_answer(const struct asked *asked, struct study *study,
                        struct dead_ends *ends,
                        const struct naive_result *naive,
                        struct tally *tally)
{
    struct noticed_finding finding;

    if (naive->error_level != 0) /* nobody has judged where paths end */
        return true;
    noticed_ask(study, ends, asked->causes, asked->n, &finding);
    if (study->internal_error != NULL)
        return check_that(asked->s, false, study->internal_error);
    tally->sets++;
    tally->answers[finding.noticed]++;
    tally->untimed += finding.coverage.without_times;
    if (naive->dead_end)
        return true;
    if (finding.noticed == NOTICED_NOT_FINISHED)
        return check_that(asked->s, finding.stop == STOP_DEAD_END &&
                                        ends_with_more(asked, study),
                          "not finished without a reason");
    return check_that(asked->s,
                      finding.noticed == wanted(asked->s->model, naive),
                      "answers differ") &&
           check_that(asked->s,
                      (finding.sequence != NULL) ==
                          naive->notice[NOTICE_PASSED],
                      "a sequence is missing, or one too many");
}

static bool same(const struct asked *asked, struct study *study,
                 struct dead_ends *ends, struct tally *tally)
{
    const struct explore_setting setting = {.most_situations = MOST_STATES};
    uint32_t watches[NOTICE_PARTS];
    const struct slice *slice = sliced(asked, watches);
    struct exploration *found = explore(slice, &setting);
    const struct naive_result *naive = NULL;
    bool agrees = true;

    if (exploration_end(found) == EXPLORE_COMPLETE)
        naive = enumerate(asked, slice->used);
    if (naive == NULL || !naive->complete)
        tally->skipped++;
    else
        agrees = same_watches(asked, slice, found, naive) &&
                 same_answer(asked, study, ends, naive, tally);
    exploration_free(found);
    return agrees;
}

static bool ask_all(struct subject *s, struct study *study,
                    struct tally *tally)
{
    struct dead_ends ends = {0};
    uint32_t n = s->model->n_causes;
    bool agree = true;

    for (uint32_t i = 0; agree && i < n; i++)
        for (uint32_t k = i; agree && k < n && k <= i + 1; k++) {
            const uint32_t causes[2] = {i, k};
            struct asked asked = {s, causes, i == k ? 1 : 2, NULL};

            asked.allowed = arena_array(s->arena, n, sizeof(bool));
            asked.allowed[i] = asked.allowed[k] = true;
            agree = same(&asked, study, &ends, tally);
        }
    dead_ends_release(&ends);
    return agree;
}

static bool machine(uint64_t seed, bool range, struct tally *tally)
{
    const struct study_setting setting = {.most_situations = 20000};
    struct subject s = {.seed = seed, .noticing = true, .range = range};
    struct study study;
    bool agree;

    subject_read(&s, false);
    assert_true(study_open(&study, s.arena, s.model, &setting, s.diags));
    agree = ask_all(&s, &study, tally);
    study_close(&study);
    subject_release(&s);
    return agree;
}

static void answers_agree_with_enumeration(void **state)
{
    struct tally tally = {0};
    bool agree = true;

    (void)state;
    for (uint64_t seed = 21001; agree && seed < 21001 + MACHINES; seed++)
        agree = machine(seed, seed % 8 == 0, &tally);
    print_message("%u sets, too large: %u, decided without movement times: %u;",
                  tally.sets, tally.skipped, tally.untimed);
    for (int i = 0; i <= NOTICED_NOT_FINISHED; i++)
        print_message(" %s %u", noticed_words((enum noticed)i),
                      tally.answers[i]);
    print_message("\n");
    assert_true(agree);
#ifndef __SANITIZE_ADDRESS__
    assert_true(tally.untimed > 0);
    /* A whole cycle is rare among them: tests/unit/study/test_noticed.c. */
    for (int i = 0; i <= NOTICED_NO_DEMAND; i++)
        assert_true(i == NOTICED_IN_CYCLE || tally.answers[i] > 0);
#endif
}

/* ---- a second fault after one that is not always noticed ---- */

struct pairs_tally {
    unsigned asked, forbidden, broken, saved, shorter;
};

/* Pairs of causes that are both always noticed, by enumeration; false: that
 * is too large. */
static bool in_time(struct subject *s, const bool *allowed, bool *noticed)
{
    for (uint32_t i = 0; i < s->model->n_causes; i++) {
        struct asked asked = {s, &i, 1, NULL};
        const struct naive_result *naive;

        if (!allowed[i])
            continue;
        asked.allowed = arena_array(s->arena, s->model->n_causes,
                                    sizeof(bool));
        asked.allowed[i] = true;
        naive = enumerate(&asked, NULL);
        if (!naive->complete)
            return false;
        noticed[i] = wanted(s->model, naive) == NOTICED_BEFORE_DEMAND;
    }
    return true;
}

static const struct naive_result *
with_pairs(const struct subject *s, uint32_t requirement, const bool *noticed,
           struct pairs_tally *tally)
{
    uint32_t n = s->model->n_causes, count = 0;
    struct cause_set *sets = arena_array(s->arena, (size_t)n * n + 1,
                                         sizeof *sets);
    uint32_t *both = arena_array(s->arena, (size_t)n * n * 2 + 1,
                                 sizeof *both);
    const struct requirement *asked = &s->model->requirements[requirement];

    for (uint32_t i = 0; i < n; i++)
        for (uint32_t k = i + 1; k < n; k++) {
            both[2 * count] = i;
            both[2 * count + 1] = k;
            if (noticed[i] && noticed[k])
                sets[count] = (struct cause_set){&both[2 * count], 2};
            count += noticed[i] && noticed[k];
        }
    tally->forbidden += count > 0;
    const struct naive_setting setting = {
        .step = {.fault_limit = 2, .allowed = asked->despite_of,
                 .forbidden = sets, .n_forbidden = count},
        .requirement = requirement,
        .most_states = 10 * MOST_STATES,
    };
    return naive_explore(s->arena, s->machine, &setting);
}

/* Those of which it is not known whether they are noticed count as well. */
static bool *with_unknown(const struct subject *s, const bool *noticed,
                          const struct requirement_finding *finding)
{
    uint32_t n = s->model->n_causes;
    bool *perhaps = arena_array(s->arena, n + 1, sizeof *perhaps);

    for (uint32_t i = 0; i < n; i++) {
        enum noticed known = finding->despite->noticed[i].noticed;

        perhaps[i] = noticed[i] || known == NOTICED_NOT_FINISHED ||
                     known == NOTICED_NOT_DECIDED;
    }
    return perhaps;
}

/* What is shown is the shortest of what is known, and it is told where more
 * than that is shorter. */
static bool same_lengths(const struct subject *s,
                         const struct requirement_finding *finding,
                         const bool *noticed, struct pairs_tally *tally)
{
    uint32_t requirement = finding->requirement;
    struct pairs_tally unused = {0};
    const bool *perhaps = with_unknown(s, noticed, finding);
    const struct naive_result *known =
        with_pairs(s, requirement, perhaps, &unused);
    const struct naive_result *all =
        with_pairs(s, requirement, noticed, &unused);

    if (finding->sequence == NULL || !known->complete || !all->complete)
        return true;
    tally->shorter += finding->perhaps_shorter;
    return check_that(s, finding->sequence->n_scans == known->breach_level,
                      "lengths over pairs differ") &&
           check_that(s, finding->perhaps_shorter ==
                             (all->breach_level < known->breach_level),
                      "whether there may be a shorter one");
}

static bool same_pairs(struct subject *s,
                       const struct requirement_finding *finding,
                       struct pairs_tally *tally)
{
    const struct requirement *asked =
        &s->model->requirements[finding->requirement];
    bool *noticed = arena_array(s->arena, s->model->n_causes + 1,
                                sizeof *noticed);
    bool *none = arena_array(s->arena, s->model->n_causes + 1, sizeof *none);
    const struct naive_result *naive, *any;
    struct pairs_tally unused = {0};

    if (!asked->another || finding->verdict == VERDICT_NOT_FINISHED ||
        !in_time(s, asked->despite_of, noticed))
        return true;
    naive = with_pairs(s, finding->requirement, noticed, tally);
    any = with_pairs(s, finding->requirement, none, &unused);
    if (!naive->complete || !any->complete || naive->error_level != 0)
        return true;
    tally->asked++;
    tally->broken += naive->breach_level != 0;
    tally->saved += naive->breach_level != any->breach_level;
    return check_that(s, (finding->verdict == VERDICT_BROKEN) ==
                             (naive->breach_level != 0),
                      "verdicts over pairs differ") &&
           same_lengths(s, finding, noticed, tally);
}

static void pairs_agree_with_enumeration(void **state)
{
    const struct study_setting setting = {.most_situations = 20000,
                                          .quick = true};
    struct pairs_tally tally = {0};
    bool agree = true;

    (void)state;
    for (uint64_t seed = 22060; agree && seed < 22060 + WALKED; seed++) {
        struct subject s = {.seed = seed, .noticing = true};
        const struct findings *findings;

        subject_read(&s, false);
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        if (findings->internal_error != NULL)
            agree = check_that(&s, false, findings->internal_error);
        for (uint32_t i = 0; agree && i < findings->n_requirements; i++)
            agree = same_pairs(&s, &findings->requirements[i], &tally);
        subject_release(&s);
    }
    print_message("%u asked, %u with pairs left out, %u broken, %u otherwise "
                  "with all pairs, %u perhaps shorter\n", tally.asked,
                  tally.forbidden, tally.broken, tally.saved,
                  tally.shorter);
    assert_true(agree);
#ifndef __SANITIZE_ADDRESS__
    /* Seed 22145: its assumptions leave no way to go on somewhere, so that it
     * is not known of any fault whether it is noticed. */
    assert_true(tally.forbidden > 0 && tally.broken > 0 &&
                tally.shorter > 0);
#endif
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_agree_with_enumeration),
        cmocka_unit_test(pairs_agree_with_enumeration),
    };

    return cmocka_run_group_tests_name("noticing", tests, NULL, NULL);
}
