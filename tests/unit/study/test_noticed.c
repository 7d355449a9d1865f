/* What the machine of tests/golden/good/noticing.review notices, worked out by
 * hand:
 *
 * F1 and F2 make both contacts of the closing button alike when it is let go,
 * which is the demand, and the lamp comes on in that scan.  Nothing looks at
 * the valve (F3) or at the wire of the wear pin (F4).  A worn part shows
 * whenever the gate shuts, which need not be before the button is let go; low
 * oil shows if somebody turns the service key.  A worn part that has shown
 * before the wire went off still shows; one that wears later does not. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check/model.h"
#include "reference/replay.h"
#include "study/another.h"
#include "study/noticed.h"
#include "tests/support/trial.h"

static const char CONTROL[] = "tests/golden/good/noticing.st";
static const char REVIEW[] = "tests/golden/good/noticing.review";

static uint32_t cause(const struct trial *trial, const char *name)
{
    const struct model *model = trial->text.model;

    for (uint32_t i = 0; i < model->n_causes; i++)
        if (!strcmp(model->causes[i].name->spelling, name))
            return i;
    fail_msg("no cause %s", name);
    return 0;
}

/* length: of the shortest way to a demand at which they are not noticed, 0:
 * there is none. */
static void is_noticed(struct trial *trial, const char *one,
                       const char *other, enum noticed noticed,
                       uint32_t length)
{
    uint32_t both[2] = {cause(trial, one), other ? cause(trial, other) : 0};
    struct dead_ends ends = {0};
    struct noticed_finding finding;

    noticed_ask(&trial->study, &ends, both, other ? 2 : 1, &finding);
    dead_ends_release(&ends);
    assert_null(trial->study.internal_error);
    if (finding.noticed != noticed)
        fail_msg("%s: %s", one, noticed_words(finding.noticed));
    assert_int_equal(finding.sequence ? finding.sequence->n_scans : 0,
                     length);
}

static void answers_as_worked_out(void **state)
{
    struct trial trial;

    (void)state;
    trial_open_files(&trial, CONTROL, REVIEW);
    is_noticed(&trial, "F1", NULL, NOTICED_BEFORE_DEMAND, 0);
    is_noticed(&trial, "F2", NULL, NOTICED_BEFORE_DEMAND, 0);
    is_noticed(&trial, "F3", NULL, NOTICED_NEVER, 2);
    is_noticed(&trial, "F4", NULL, NOTICED_NEVER, 2);
    is_noticed(&trial, "worn", NULL, NOTICED_IN_CYCLE, 2);
    is_noticed(&trial, "leaking", NULL, NOTICED_SOMETIMES, 2);
    is_noticed(&trial, "F1", "F3", NOTICED_BEFORE_DEMAND, 0);
    is_noticed(&trial, "worn", "F4", NOTICED_SOMETIMES, 2);
    trial_close(&trial);
}

/* A limit says nothing of "always" or "never". */
static void limits_leave_it_open(void **state)
{
    struct trial trial;

    (void)state;
    trial_open_files(&trial, CONTROL, REVIEW);
    trial.study.setting.most_situations = 2;
    is_noticed(&trial, "F1", NULL, NOTICED_NOT_FINISHED, 0);
    trial_close(&trial);
}

static uint32_t requirement(const struct trial *trial, const char *name)
{
    const struct model *model = trial->text.model;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (!strcmp(model->requirements[i].name->spelling, name))
            return i;
    fail_msg("no requirement %s", name);
    return 0;
}

static void pairs_that_are_noticed_do_not_count(void **state)
{
    const struct despite *despite;
    struct trial trial;

    (void)state;
    trial_open_files(&trial, CONTROL, REVIEW);
    despite = another_despite(&trial.study, NULL, requirement(&trial, "R2"));
    assert_int_equal(despite->faults, 2);
    assert_int_equal(despite->n_forbidden, 1);
    assert_int_equal(despite->forbidden[0].causes[0], cause(&trial, "F1"));
    assert_int_equal(despite->forbidden[0].causes[1], cause(&trial, "F2"));
    assert_int_equal(despite->unknown, STOP_NONE);
    despite = another_despite(&trial.study, NULL, requirement(&trial, "R4"));
    assert_int_equal(despite->n_forbidden, 0);
    trial_close(&trial);
}

/* With a limit no pair is left out, and what only a pair breaks that may be
 * noticed in time is not called broken. */
static void what_is_not_known_is_not_broken(void **state)
{
    const struct despite *despite;
    struct trial trial;

    (void)state;
    trial_open_files(&trial, CONTROL, REVIEW);
    trial.study.setting.most_situations = 2;
    despite = another_despite(&trial.study, NULL, requirement(&trial, "R2"));
    assert_int_equal(despite->n_forbidden, 0);
    assert_int_equal(despite->n_perhaps, 1);
    assert_int_equal(despite->unknown, STOP_SITUATIONS);
    trial_close(&trial);
}

/* The gate takes half a second.  What is worn shows in the scan in which it
 * wears: however quick the gate is.  A leak takes a fifth of a second to show:
 * that is soon enough only because the gate is no quicker. */
static const char TIMED_CONTROL[] =
    "PROGRAM Main\n"
    "  VAR_INPUT wear, oil : BOOL; END_VAR\n"
    "  VAR_OUTPUT lamp : BOOL; END_VAR\n"
    "  VAR low : TON; END_VAR\n"
    "  low(IN := oil, PT := T#200ms);\n"
    "  lamp := lamp OR wear OR low.Q;\n"
    "END_PROGRAM\n";
static const char TIMED_REVIEW[] =
    "REVIEW Timed\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    wear : SENSOR 'wear pin' ON WHEN worn;\n"
    "    oil  : SENSOR 'oil low' ON WHEN leaking;\n"
    "    lamp : LAMP 'fault lamp';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Gate\n"
    "    VAR gate : (Open, Shut) := Open; END_VAR\n"
    "    MOVES gate FROM Open TO Shut IN T#500ms .. T#600ms "
    "WHILE worn OR leaking;\n"
    "  END_MECHANISM\n"
    "  FAULTS worn : IN MECHANISM; leaking : IN MECHANISM; END_FAULTS\n"
    "  NOTICING DIAGNOSTIC lamp; DEMAND gate = Shut; END_NOTICING\n"
    "  REQUIREMENTS R1 : NEVER gate = Shut AND NOT lamp; END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void always_is_shown_without_times_first(void **state)
{
    static const char *const names[] = {"worn", "leaking"};
    struct trial trial;

    (void)state;
    trial_open(&trial, TIMED_CONTROL, TIMED_REVIEW);
    for (int i = 0; i < 2; i++) {
        const uint32_t one = cause(&trial, names[i]);
        struct dead_ends ends = {0};
        struct noticed_finding finding;

        noticed_ask(&trial.study, &ends, &one, 1, &finding);
        dead_ends_release(&ends);
        assert_null(trial.study.internal_error);
        assert_int_equal(finding.noticed, NOTICED_BEFORE_DEMAND);
        assert_int_equal(finding.coverage.without_times, i == 0);
    }
    trial_close(&trial);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_as_worked_out),
        cmocka_unit_test(limits_leave_it_open),
        cmocka_unit_test(pairs_that_are_noticed_do_not_count),
        cmocka_unit_test(what_is_not_known_is_not_broken),
        cmocka_unit_test(always_is_shown_without_times_first),
    };

    return cmocka_run_group_tests_name("noticed", tests, NULL, NULL);
}
