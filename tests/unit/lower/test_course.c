/* Whole scans: the first, dark ones, the return of power, wiring, recorders;
 * against docs/notes/step.md, section 3. */
#include "lower/course.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "tests/support/text_model.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT p : BOOL; END_VAR\n"
    "VAR_OUTPUT y : BOOL; END_VAR\n"
    "VAR m : INT (0 .. 7) := 3; t : TON; END_VAR\n"
    "VAR RETAIN n : INT (0 .. 7); k : TON; END_VAR\n"
    "IF n < 7 THEN n := n + 1; END_IF;\n"
    "IF m < 7 THEN m := m + 1; END_IF;\n"
    "t(IN := TRUE, PT := T#300ms); k(IN := TRUE, PT := T#700ms);\n"
    "y := p;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Power 'invented'\n"
    "SCAN T#100ms;\n"
    "CONTROLS p : BUTTON; y : VALVE; END_CONTROLS\n"
    "WIRING IN VAR seen : BOOL; END_VAR seen := y; Main.p := p; END_WIRING\n"
    "WIRING OUT VAR relay : BOOL; late : TON; END_VAR\n"
    "  late(IN := p, PT := T#200ms);\n"
    "  y := COMMANDED y AND NOT relay; relay := late.Q;\n"
    "END_WIRING\n"
    "MECHANISM M VAR gone : INT (0 .. 7); END_VAR\n"
    "  IF y AND gone < 7 THEN gone := gone + 1; END_IF;\n"
    "END_MECHANISM\n"
    "RECORDER Rec VAR count : INT (0 .. 7); END_VAR\n"
    "  IF power AND count < 7 THEN count := count + 1; END_IF;\n"
    "END_RECORDER\n"
    "REQUIREMENTS\n"
    "  Warm : NEVER warm; Cold : NEVER cold; Dark : NEVER NOT power;\n"
    "  Rise : NEVER RISING p; Move : NEVER RISING y;\n"
    "END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void start(struct text_model *text)
{
    text_model_init(text, control, review, false);
    assert_non_null(text->run);
    assert_int_equal(text->model->choices[0].kind, CHOICE_POWER);
}

static void scan(struct text_model *text, char p, char dark)
{
    text->run->choice[0] = (uint32_t)(dark - '0');
    text_model_choose(text, "p", (uint32_t)(p - '0'));
    text_model_scan(text);
}

static const char hands[] = "011101111";
static const char power[] = "100110000"; /* 1: dark, not read in scan 1 */

static void shows(const char *path, const char *values)
{
    struct text_model text;
    start(&text);
    for (size_t i = 0; values[i]; i++) {
        scan(&text, hands[i], power[i]);
        if (text_model_value(&text, path) != values[i] - '0')
            fail_msg("%s: scan %zu of %s", path, i + 1, values);
    }
    text_model_release(&text);
}

static void variables(void **state)
{
    (void)state;
    shows("Main.m", "456334567");
    shows("Main.n", "123334567");
    shows("Main.p", "011001111");
    shows("Main.y", "011001111");
    shows("Main.t.Q", "000000001");
    /* the retained timer: 0, 100, 200, stands still, 300, ... */
    shows("Main.k.Q", "000000000");
}

static void outside(void **state)
{
    (void)state;
    /* `late` follows the hand in the dark too: p from scan 2 to 4 */
    shows("relay", "000100011");
    shows("y", "011001110");
    shows("seen", "001110111");
    shows("gone", "001222345");
    shows("Rec.count", "123334567");
}

static void requirement(uint32_t number, const char *breach)
{
    struct text_model text;
    start(&text);
    for (size_t i = 0; breach[i]; i++) {
        scan(&text, hands[i], power[i]);
        if (text_model_breach(&text, number) != (breach[i] == '1'))
            fail_msg("%u: scan %zu of %s", number, i + 1, breach);
    }
    text_model_release(&text);
}

static void judged(void **state)
{
    (void)state;
    requirement(0, "000001000");
    requirement(1, "100000000");
    requirement(2, "000110000");
    requirement(3, "010000000"); /* scan 6: no edge when power returns */
    requirement(4, "010001000"); /* y was off in the dark */
}

static void retained_age_stands_still(void **state)
{
    static const int64_t shown[] = {0, 100, 200, 200, 200, 300, 400};
    struct text_model text;
    (void)state;
    start(&text);
    for (size_t i = 0; i < 7; i++) {
        scan(&text, hands[i], power[i]);
        assert_int_equal(text_model_value(&text, "Main.k.ET"), shown[i]);
    }
    text_model_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(variables), cmocka_unit_test(outside),
        cmocka_unit_test(judged),
        cmocka_unit_test(retained_age_stands_still),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
