/* A way into a dead end of one assumption, completed by what another one
 * wants: in the last scan, where nothing fits, that one wants nothing.  The
 * machine is invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "tests/support/trial.h"

static const char control[] =
    "TYPE Mode : (Idle, Run, Hold); END_TYPE\n"
    "PROGRAM Main\n"
    "VAR_INPUT a, b, c, s : BOOL; END_VAR VAR_OUTPUT y : BOOL; END_VAR\n"
    "VAR mode : Mode; m1 : BOOL; END_VAR\n"
    "y := (NOT a OR NOT s) AND (m1 OR mode = Idle);\n"
    "END_PROGRAM\n";

/* A2 reads what a does, and so takes A1 in; A1 does not read what A2 does. */
static const char review[] =
    "REVIEW Small 'invented'\nSCAN T#100ms;\n"
    "CONTROLS a : BUTTON 'a'; b : BUTTON 'b' CONTACTS OPENING;\n"
    "  y : VALVE 'y'; END_CONTROLS\n"
    "WIRING OUT VAR k1 : BOOL; END_VAR\n"
    "  k1 := COMMANDED y AND b; y := k1; END_WIRING\n"
    "MECHANISM Gate VAR gap : (Shut, Narrow, Wide) := Wide; END_VAR\n"
    "  IF leaking THEN MAY gap := Shut; END_MAY; END_IF; END_MECHANISM\n"
    "FAULTS leaking : IN MECHANISM; F2 : a SHORT TO b;\n"
    "  F3 : k1 DOES NOT OPEN, INTERMITTENT, FOLLOWS FROM leaking; END_FAULTS\n"
    "ASSUMPTIONS\n"
    "  A1 'it' : gap <> Shut OR NOT PREVIOUS a BECAUSE 'invented';\n"
    "  A2 'it' : NOT (b AND PREVIOUS y) BECAUSE 'invented'; END_ASSUMPTIONS\n"
    "NOTICING DIAGNOSTIC READ a AND READ b; DEMAND FALLING c; END_NOTICING\n"
    "REQUIREMENTS R1 'it' : NEVER RISING y AND b\n"
    "  DESPITE 1 FAULT AND ANOTHER AFTER AN UNNOTICED ONE; END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void dead_ends_are_shown(void **state)
{
    const struct study_setting setting = {.engine = ENGINE_BOTH};
    const struct findings *found;
    struct trial trial;

    (void)state;
    trial_open(&trial, control, review);
    found = check_model(trial.arena, trial.text.model, &setting,
                        trial.text.diags);
    assert_non_null(found);
    assert_null(found->internal_error);
    assert_int_equal(found->n_dead_ends, 2);
    for (uint32_t i = 0; i < found->n_dead_ends; i++)
        assert_non_null(found->dead_ends[i].sequence);
    trial_close(&trial);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dead_ends_are_shown),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
