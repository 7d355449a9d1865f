/* Chains of causes of small texts, sentence by sentence. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/causes.h"
#include "reference/replay.h"
#include "study/check.h"
#include "study/needs.h"
#include "study/why.h"
#include "tests/support/checked.h"

/* Inputs a and b are buttons, the output y is a valve. */
struct example {
    const char *title, *variables, *body, *machine, *requirement;
    const char *sentences;
};

static const struct example examples[] = {
    {
        .title = "AND that is TRUE: both sides",
        .variables = "x : BOOL;",
        .body = "x := a AND b;\n"
                "y := x;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2)\n"
            "2. 0.0 s y came on, because x came on (3) [test.st, line 12]\n"
            "3. 0.0 s x came on, because button a was pressed (5) and "
            "button b was pressed (4) [test.st, line 11]\n"
            "4. 0.0 s button b was pressed, already at power-up\n"
            "5. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "OR that is TRUE: one side",
        .variables = "x : BOOL;",
        .body = "y := a OR b;",
        .machine = "",
        .requirement = "NEVER y AND NOT a",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2) and button a was "
            "not pressed\n"
            "2. 0.0 s y came on, because button b was pressed (3) "
            "[test.st, line 11]\n"
            "3. 0.0 s button b was pressed, already at power-up\n",
    },
    {
        .title = "a variable that stays: what set it",
        .variables = "x : BOOL;",
        .body = "IF a THEN\n"
                "  x := TRUE;\n"
                "ELSIF b THEN\n"
                "  x := FALSE;\n"
                "END_IF;\n"
                "y := x;",
        .machine = "",
        .requirement = "NEVER y AND NOT a",
        .sentences =
            "1. 0.1 s R1 breaks, because y was on (2) and button a was let "
            "go (3)\n"
            "2. 0.1 s y stayed on, because x was on (4) [test.st, line 16]\n"
            "3. 0.1 s button a was let go\n"
            "4. 0.0 s x came on, because button a was pressed (5) "
            "[test.st, lines 12, 11 and 13]\n"
            "5. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "a variable that stays: each branch that was not run",
        .variables = "x : SINT(0..2); later : BOOL;",
        .body = "IF a AND later THEN\n"
                "  x := 1;\n"
                "ELSIF b AND later THEN\n"
                "  x := 2;\n"
                "END_IF;\n"
                "later := TRUE;\n"
                "y := x = 0;",
        .machine = "",
        .requirement = "NEVER y AND FALLING a AND FALLING b",
        .sentences =
            "1. 0.1 s R1 breaks, because y was on (2), button a was let go "
            "(5) and button b was let go (4)\n"
            "2. 0.1 s y stayed on, because x was 0 (3) [test.st, line 17]\n"
            "3. 0.1 s x stayed 0, because button a was let go (5) and "
            "button b was let go (4); it was so from the beginning "
            "[test.st, lines 11, 13 and 9]\n"
            "4. 0.1 s button b was let go\n"
            "5. 0.1 s button a was let go\n",
    },
    {
        .title = "CASE: the selector and the branch",
        .variables = "s : SINT(0..2);",
        .body = "CASE s OF\n"
                "  0: IF a THEN s := 1; END_IF;\n"
                "  1: IF b THEN s := 2; END_IF;\n"
                "END_CASE;\n"
                "y := s = 2;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.1 s R1 breaks, because y came on (2)\n"
            "2. 0.1 s y came on, because s became 2 (3) [test.st, line 15]\n"
            "3. 0.1 s s became 2, because button b was pressed (4) and s "
            "was 1 (5) [test.st, lines 13 and 11]\n"
            "4. 0.1 s button b was pressed\n"
            "5. 0.0 s s became 1, because button a was pressed (6) and s "
            "was 0 (7) [test.st, lines 12 and 11]\n"
            "6. 0.0 s button a was pressed, already at power-up\n"
            "7. 0.0 s s was 0 from the beginning [test.st, line 9]\n",
    },
    {
        .title = "TON on",
        .variables = "t : TON;",
        .body = "t(IN := a, PT := T#200ms);\n"
                "y := t.Q;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.2 s R1 breaks, because y came on (2)\n"
            "2. 0.2 s y came on, because t.Q came on (3) [test.st, line 12]\n"
            "3. 0.2 s t.Q came on, because its IN had been on for 0.2 s, "
            "counted from 0.0 s: button a was held (4) [test.st, line 11]\n"
            "4. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "TON off: its time is not over",
        .variables = "t : TON;",
        .body = "t(IN := a, PT := T#200ms);\n"
                "y := a AND NOT t.Q;",
        .machine = "",
        .requirement = "NEVER y AND b",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2) and button b was "
            "pressed (4)\n"
            "2. 0.0 s y came on, because button a was pressed (5) and t.Q "
            "was off (3) [test.st, line 12]\n"
            "3. 0.0 s t.Q stayed off, because its IN had not yet been on "
            "for 0.2 s, counted from 0.0 s: button a was pressed (5) "
            "[test.st, line 11]\n"
            "4. 0.0 s button b was pressed, already at power-up\n"
            "5. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "TOF on after its IN went off",
        .variables = "t : TOF;",
        .body = "t(IN := a, PT := T#200ms);\n"
                "y := t.Q;",
        .machine = "",
        .requirement = "NEVER y AND NOT a",
        .sentences =
            "1. 0.1 s R1 breaks, because y was on (2) and button a was let "
            "go (4)\n"
            "2. 0.1 s y stayed on, because t.Q was on (3) [test.st, line 12]\n"
            "3. 0.1 s t.Q stayed on, because it stays on for 0.2 s after "
            "its IN went off, counted from 0.1 s: button a was let go (4) "
            "[test.st, line 11]\n"
            "4. 0.1 s button a was let go\n",
    },
    {
        .title = "TP on after its IN went off",
        .variables = "t : TP;",
        .body = "t(IN := a, PT := T#200ms);\n"
                "y := t.Q;",
        .machine = "",
        .requirement = "NEVER y AND NOT a",
        .sentences =
            "1. 0.1 s R1 breaks, because y was on (2) and button a was let "
            "go (4)\n"
            "2. 0.1 s y stayed on, because t.Q was on (3) [test.st, line 12]\n"
            "3. 0.1 s t.Q stayed on, because its pulse lasts 0.2 s, "
            "counted from 0.0 s: button a was pressed at 0.0 s (5) "
            "[test.st, line 11]\n"
            "4. 0.1 s button a was let go\n"
            "5. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "R_TRIG at its first call",
        .variables = "r : R_TRIG;",
        .body = "r(CLK := a);\n"
                "y := r.Q;",
        .machine = "",
        .requirement = "NEVER y AND b",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2) and button b was "
            "pressed (4)\n"
            "2. 0.0 s y came on, because r.Q came on (3) [test.st, line 12]\n"
            "3. 0.0 s r.Q came on, because at its first call after power "
            "came its CLK counts as changed: button a was pressed (5) "
            "[test.st, line 11]\n"
            "4. 0.0 s button b was pressed, already at power-up\n"
            "5. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "SR keeps",
        .variables = "l : SR;",
        .body = "l(S1 := a, R := b);\n"
                "y := l.Q1;",
        .machine = "",
        .requirement = "NEVER y AND NOT a",
        .sentences =
            "1. 0.1 s R1 breaks, because y was on (2) and button a was let "
            "go (4)\n"
            "2. 0.1 s y stayed on, because l.Q1 was on (3) [test.st, line 12]\n"
            "3. 0.1 s l.Q1 stayed on, because it keeps its value: l.Q1 "
            "came on at 0.0 s (5) [test.st, line 11]\n"
            "4. 0.1 s button a was let go\n"
            "5. 0.0 s l.Q1 came on, because button a was pressed (6) "
            "[test.st, line 11]\n"
            "6. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "RS: the reset is stronger",
        .variables = "l : RS;",
        .body = "l(S := a, R1 := b);\n"
                "y := l.Q1;",
        .machine = "",
        .requirement = "AFTER a, NO NOT y AND b UNTIL NOT a",
        .sentences =
            "1. 0.0 s R1 breaks, because y was off (2), button b was "
            "pressed (4) and button a was pressed (5)\n"
            "2. 0.0 s y stayed off, because l.Q1 was off (3) [test.st, "
            "line 12]\n"
            "3. 0.0 s l.Q1 stayed off, because button b was pressed (4) "
            "[test.st, line 11]\n"
            "4. 0.0 s button b was pressed, already at power-up\n"
            "5. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "a fault of an actuator",
        .variables = "x : BOOL;",
        .body = "y := a;",
        .machine = "  FAULTS\n"
                "    F1 'a welded' : a DOES NOT OPEN;\n"
                "    F2 'y touches the supply' : y SHORT TO SUPPLY;\n"
                "  END_FAULTS\n",
        .requirement = "NEVER y AND NOT PRESSED a DESPITE 1 FAULT",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2) and button a was "
            "not pressed\n"
            "2. 0.0 s y came on, because F2 appeared (3)\n"
            "3. 0.0 s fault F2: y touches the supply\n",
    },
    {
        .title = "a movement, and the actuator before it",
        .variables = "x : BOOL;",
        .body = "y := a;",
        .machine = "  MECHANISM M\n"
                "    VAR gap : (Open, Shut) := Open; END_VAR\n"
                "    MOVES gap FROM Open TO Shut WHILE y;\n"
                "  END_MECHANISM\n",
        .requirement = "gap MOVES ONLY WHILE b",
        .sentences =
            "1. 0.1 s R1 breaks, because gap became Shut (2) and button b "
            "was not pressed\n"
            "2. 0.1 s gap became Shut, because y was on (3) [test.review, "
            "line 10]\n"
            "3. 0.0 s y came on, because button a was pressed (4) "
            "[test.st, line 11]\n"
            "4. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "BY ITSELF: nothing had started it",
        .variables = "x : BOOL;",
        .body = "y := NOT a;",
        .machine = "",
        .requirement = "NEVER y BY ITSELF, STARTED BY b, CANCELLED BY a",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2); nothing had "
            "started it\n"
            "2. 0.0 s y came on, because button a was not pressed "
            "[test.st, line 11]\n",
    },
    {
        .title = "WITHIN: what opened it",
        .variables = "x : BOOL;",
        .body = "y := a AND NOT x;\n"
                "x := b;",
        .machine = "",
        .requirement = "WHEN a THEN NOT y WITHIN T#300ms",
        .sentences =
            "1. 0.2 s R1 breaks, because y was on (2) and button a was "
            "pressed at 0.0 s (4)\n"
            "2. 0.2 s y stayed on, because button a was held (4) and x was "
            "off (3) [test.st, line 11]\n"
            "3. 0.1 s x stayed off, because button b was not pressed "
            "[test.st, line 12]\n"
            "4. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "TRUE FOR: held so long",
        .variables = "x : BOOL;",
        .body = "y := a;",
        .machine = "",
        .requirement = "NEVER y AND (b TRUE FOR T#200ms)",
        .sentences =
            "1. 0.1 s R1 breaks, because y came on (2) and button b was "
            "held for 0.1 s (4)\n"
            "2. 0.1 s y came on, because button a was pressed (3) "
            "[test.st, line 11]\n"
            "3. 0.1 s button a was pressed\n"
            "4. 0.0 s button b was pressed, already at power-up\n",
    },
    {
        .title = "a variable that no text writes",
        .variables = "x : BOOL := TRUE;",
        .body = "y := x;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2)\n"
            "2. 0.0 s y came on, because x was on (3) [test.st, line 11]\n"
            "3. 0.0 s x was on, an input that no text writes\n",
    },
    {
        .title = "a pass of a loop: its number and what it went by",
        .variables = "i, n : INT;",
        .body = "n := 0;\n"
                "FOR i := 1 TO 3 DO\n"
                "  IF a AND i = 2 THEN n := i; END_IF;\n"
                "END_FOR;\n"
                "y := n = 2;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2)\n"
            "2. 0.0 s y came on, because n became 2 (3) [test.st, line "
            "15]\n"
            "3. 0.0 s n became 2, because button a was pressed (4) "
            "[test.st, lines 13 and 12, pass 2]\n"
            "4. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "EXIT: why the loop ended there",
        .variables = "i : INT;",
        .body = "FOR i := 1 TO 3 DO\n"
                "  IF b THEN EXIT; END_IF;\n"
                "END_FOR;\n"
                "y := i = 1;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2)\n"
            "2. 0.0 s y came on, because i became 1 (3) [test.st, line "
            "14]\n"
            "3. 0.0 s i became 1, because button b was pressed (4) "
            "[test.st, lines 11 and 12]\n"
            "4. 0.0 s button b was pressed, already at power-up\n",
    },
    {
        .title = "RETURN: what it skipped",
        .variables = "",
        .body = "y := b;\n"
                "IF a THEN RETURN; END_IF;\n"
                "y := FALSE;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2)\n"
            "2. 0.0 s y came on, because button b was pressed (4) and "
            "button a was pressed (3) [test.st, lines 11 and 12]\n"
            "3. 0.0 s button a was pressed, already at power-up\n"
            "4. 0.0 s button b was pressed, already at power-up\n",
    },
    {
        .title = "what stands behind RETURN: it was not taken",
        .variables = "",
        .body = "IF NOT a THEN RETURN; END_IF;\n"
                "y := b;",
        .machine = "",
        .requirement = "NEVER y",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2)\n"
            "2. 0.0 s y came on, because button b was pressed (3) and "
            "button a was pressed (4) [test.st, lines 12 and 11]\n"
            "3. 0.0 s button b was pressed, already at power-up\n"
            "4. 0.0 s button a was pressed, already at power-up\n",
    },
    {
        .title = "AND_THEN: the side that was not looked at is no cause",
        .variables = "",
        .body = "y := NOT (a AND_THEN b);",
        .machine = "",
        .requirement = "NEVER y AND b",
        .sentences =
            "1. 0.0 s R1 breaks, because y came on (2) and button b was "
            "pressed (3)\n"
            "2. 0.0 s y came on, because button a was not pressed "
            "[test.st, line 11]\n"
            "3. 0.0 s button b was pressed, already at power-up\n",
    },
};

static void read_example(const struct example *example,
                         struct checked *checked)
{
    struct text control = {0}, review = {0};

    text_printf(&control,
                "PROGRAM Main\nVAR_INPUT\n a : BOOL; b : BOOL;\nEND_VAR\n"
                "VAR_OUTPUT\n y : BOOL;\nEND_VAR\nVAR\n %s\nEND_VAR\n%s\n"
                "END_PROGRAM\n",
                example->variables, example->body);
    text_printf(&review,
                "REVIEW T 'test'\n  CONTROL 'test.st';\n  SCAN T#100ms;\n"
                "  CONTROLS\n    a : BUTTON 'button a'; "
                "b : BUTTON 'button b';\n    y : VALVE 'valve y';\n"
                "  END_CONTROLS\n%s  REQUIREMENTS\n    R1 'one' : %s;\n"
                "  END_REQUIREMENTS\nEND_REVIEW\n",
                example->machine, example->requirement);
    checked_init(checked, text_str(&control), text_str(&review));
    text_release(&control);
    text_release(&review);
    assert_non_null(checked->model);
}

static const struct findings *judge(struct checked *checked)
{
    const struct study_setting setting = {.quick = true};
    const struct findings *findings = check_model(
        checked->arena, checked->model, &setting, checked->diags);

    assert_non_null(findings);
    assert_null(findings->internal_error);
    return findings;
}

/* One sentence a line, single blanks; a line that does not begin with a
 * number goes on with the one before it. */
static void flatten(struct text *out, const char *at)
{
    for (; *at != '\0'; at++) {
        if (*at == '\n' && strspn(at + 1, " ") < 8)
            text_add_char(out, '\n');
        else if (*at != ' ' && *at != '\n')
            text_add_char(out, *at);
        else if (out->n > 0 && out->at[out->n - 1] != ' ' &&
                 out->at[out->n - 1] != '\n')
            text_add_char(out, ' ');
    }
}

static void says(const struct example *example)
{
    struct text text = {0}, flat = {0};
    const struct findings *findings;
    struct checked checked;

    read_example(example, &checked);
    findings = judge(&checked);
    assert_non_null(findings->requirements[0].sequence);
    causes_add(&text,
               why_broken(checked.arena, checked.model, 0,
                          findings->requirements[0].sequence),
               checked.sources);
    flatten(&flat, text_str(&text));
    if (strncmp(text_str(&flat), example->sentences,
                strlen(example->sentences) - 1) != 0)
        fail_msg("%s:\n%s", example->title, text_str(&flat));
    text_release(&text);
    text_release(&flat);
    checked_release(&checked);
}

static void test_sentences(void **unused)
{
    (void)unused;
    for (size_t i = 0; i < sizeof examples / sizeof examples[0]; i++)
        says(&examples[i]);
}

/* Kept: the output needs both inputs; nothing that a sequence could show. */
static void test_needs(void **unused)
{
    const struct example example = {
        .variables = "x : BOOL;",
        .body = "IF a THEN\n  x := b;\nELSE\n  x := FALSE;\nEND_IF;\n"
                "y := x;",
        .machine = "",
        .requirement = "y ONLY IF a",
    };
    const struct need_list *list;
    struct checked checked;

    (void)unused;
    read_example(&example, &checked);
    list = needs_of(checked.arena, checked.model, 0);
    assert_int_equal(list->n, 2); /* y, x: inputs need nothing */
    assert_int_equal(list->at[0].n_sites, 1);
    assert_int_equal(list->at[1].n_sites, 1); /* x := FALSE is no way */
    assert_int_equal(list->at[1].sites[0].n_guards, 1);
    assert_false(list->at[1].sites[0].negated[0]);
    checked_release(&checked);
}

/* The chain behind a value at a moment before the breach. */
static void test_value(void **unused)
{
    const struct example example = {
        .variables = "t : TON;",
        .body = "t(IN := a, PT := T#200ms);\ny := t.Q;",
        .machine = "",
        .requirement = "NEVER y",
    };
    const struct trace *trace;
    const struct findings *findings;
    const struct why *why;
    struct checked checked;

    (void)unused;
    read_example(&example, &checked);
    findings = judge(&checked);
    trace = why_trace(checked.arena, checked.model, 0,
                      findings->requirements[0].sequence);
    assert_int_equal(trace->n_scans, 3);
    why = why_value(checked.arena, trace, THING_SLOT,
                    checked.model->actuators[0].slot, 2);
    assert_int_equal(why->steps[0].fact.value, 0);
    assert_int_equal(why->steps[0].scan, 2);
    assert_int_equal(why->steps[1].account.rule, RULE_TIME_RUNS);
    assert_int_equal(why->steps[1].account.time, 200);
    assert_int_equal(why->steps[1].account.start, 1);
    checked_release(&checked);
}

/* The chain behind a run-time error. */
static void test_error(void **unused)
{
    const struct example example = {
        .variables = "n : SINT; r : SINT;",
        .body = "IF a THEN\n n := 100;\nEND_IF;\n"
                "r := 10 / (n - 100);\ny := b;",
        .machine = "",
        .requirement = "NEVER y AND NOT PRESSED b",
    };
    const struct findings *findings;
    const struct why *why;
    struct checked checked;

    (void)unused;
    read_example(&example, &checked);
    findings = judge(&checked);
    assert_int_equal(findings->n_errors, 1);
    assert_int_equal(findings->errors[0].sequence->n_scans, 1);
    why = why_error(checked.arena, checked.model,
                    findings->errors[0].sequence);
    assert_int_equal(why->n_steps, 3); /* error, n, the button */
    assert_int_equal(why->steps[0].account.kind, ACCOUNT_ERROR);
    assert_int_equal(why->steps[1].fact.value, 100);
    assert_int_equal(why->steps[2].fact.thing, THING_HAND);
    assert_int_equal(why->n_rest, 0);
    checked_release(&checked);
}

/* What has no sentence is named: of a chain of 20 links each is there. */
static void test_rest(void **unused)
{
    struct text variables = {0}, body = {0};
    struct example example = {.machine = "", .requirement = "NEVER y"};
    const struct findings *findings;
    const struct why *why;
    struct checked checked;

    (void)unused;
    text_add(&variables, "x0 : BOOL;");
    text_add(&body, "x0 := NOT a;\n");
    for (unsigned i = 1; i <= 20; i++) {
        text_printf(&variables, " x%u : BOOL;", i);
        text_printf(&body, "x%u := NOT x%u;\n", i, i - 1);
    }
    text_add(&body, "y := NOT x20;");
    example.variables = text_str(&variables);
    example.body = text_str(&body);
    read_example(&example, &checked);
    findings = judge(&checked);
    why = why_broken(checked.arena, checked.model, 0,
                     findings->requirements[0].sequence);
    assert_int_equal(why->n_steps, WHY_TOLD);
    assert_int_equal(why->n_steps + why->n_rest, 24); /* R1, y, x20..x0, a */
    assert_false(why->more);
    checked_release(&checked);
    text_release(&variables);
    text_release(&body);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sentences),
        cmocka_unit_test(test_needs),
        cmocka_unit_test(test_value),
        cmocka_unit_test(test_error),
        cmocka_unit_test(test_rest),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
