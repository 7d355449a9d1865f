/* Every form of requirement over scripted hands, ties included, against
 * tables worked out by hand from docs/notes/step.md, section 5. */
#include "lower/judging.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"
#include "tests/support/text_model.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT p, q, r : BOOL; END_VAR\n"
    "VAR_OUTPUT y : BOOL; END_VAR\n"
    "y := p;\n"
    "END_PROGRAM\n";

static const char frame[] =
    "REVIEW Forms 'invented'\n"
    "SCAN T#100ms;\n"
    "CONTROLS p : BUTTON; q : BUTTON; r : BUTTON; y : LAMP; END_CONTROLS\n"
    "REQUIREMENTS R : %s; END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void start(struct text_model *text, const char *requirement)
{
    struct arena *arena = arena_new();
    text_model_init(text, control, arena_printf(arena, frame, requirement),
                    false);
    arena_free(arena);
    assert_non_null(text->run);
}

static void press(struct text_model *text, char p, char q, char r)
{
    text_model_choose(text, "p", (uint32_t)(p - '0'));
    text_model_choose(text, "q", (uint32_t)(q - '0'));
    text_model_choose(text, "r", (uint32_t)(r - '0'));
    text_model_scan(text);
}

/* One digit per scan for each hand and for the breach. */
static void judged(const char *requirement, const char *p, const char *q,
                   const char *r, const char *breach)
{
    struct text_model text;
    start(&text, requirement);
    for (size_t i = 0; p[i]; i++) {
        press(&text, p[i], q[i], r[i]);
        if (text_model_breach(&text, 0) != (breach[i] == '1'))
            fail_msg("%s: scan %zu of %s", requirement, i + 1, breach);
    }
    text_model_release(&text);
}

static void without_memory(void **state)
{
    (void)state;
    judged("NEVER p AND q", "0101", "0011", "0000", "0001");
    judged("ALWAYS p OR q", "0101", "0011", "0000", "1000");
    judged("p ONLY IF q", "0101", "0011", "0000", "0100");
    judged("POSSIBLE p AND q", "0101", "0011", "0000", "0001");
}

/* Where a and c meet, a counts; the scan of c is included. */
static void after_until(void **state)
{
    (void)state;
    judged("AFTER p, NO q UNTIL r", "0100010", "0110111", "0001011",
           "0110011");
}

/* The breach is what is looked for, the trigger where it is asked. */
static void possible_again(void **state)
{
    struct text_model text;
    (void)state;
    judged("ALWAYS POSSIBLE AGAIN p", "0101", "0011", "0000", "0101");
    judged("ALWAYS POSSIBLE AGAIN p WHILE q BY r", "0101", "0011", "0000",
           "0001");
    start(&text, "ALWAYS POSSIBLE AGAIN p WHILE q");
    for (int i = 0; i < 4; i++) {
        press(&text, "0101"[i], "0011"[i], '0');
        assert_int_equal(text_model_trigger(&text, 0, 0), i == 2);
    }
    text_model_release(&text);
}

static void within(void **state)
{
    static const char form[] =
        "WHEN p, THEN q WITHIN T#200ms SAMPLED, UNLESS r";
    (void)state;
    judged(form, "1000011000", "0000110000", "0000000100", "0011000000");
    /* the oldest open one decides */
    judged(form, "1110", "0000", "0000", "0011");
    /* less than a scan is no time at all */
    judged("WHEN p, THEN q WITHIN T#50ms SAMPLED", "0110", "0010", "0000",
           "0100");
}

static void durations(void **state)
{
    (void)state;
    judged("p NO LONGER THAN T#200ms SAMPLED", "11101101111", "00000000000",
           "00000000000", "00100000011");
    judged("p AT LEAST T#200ms SAMPLED", "1011011100", "0000000000",
           "0000000000", "0100000000");
    judged("NEVER p TRUE FOR T#200ms SAMPLED", "1111011", "0000000",
           "0000000", "0011000");
}

static void by_itself(void **state)
{
    (void)state;
    judged("NEVER y BY ITSELF, STARTED BY q, CANCELLED BY r", "100101011",
           "001111011", "000000010", "100001010");
    /* within the cycle r a fall of y does not disarm */
    judged("NEVER y BY ITSELF, STARTED BY q, IN CYCLE r", "0101010",
           "0111111", "0110000", "0000010");
}

/* In the first scan a hand has no edge, an actuator may rise. */
static void edges(void **state)
{
    (void)state;
    judged("NEVER RISING p", "1011", "0000", "0000", "0010");
    judged("NEVER FALLING p", "1010", "0000", "0000", "0101");
    judged("NEVER RISING y", "1011", "0000", "0000", "1010");
    judged("NEVER PREVIOUS y AND NOT y", "1011", "0000", "0000", "0100");
    judged("NEVER RISING (COMMANDED y)", "1011", "0000", "0000", "1010");
    judged("NEVER RISING (READ Main.p)", "1011", "0000", "0000", "0010");
}

static void triggers(void **state)
{
    struct text_model text;
    (void)state;
    start(&text, "NEVER p AND q");
    press(&text, '1', '0', '0');
    assert_int_not_equal(text_model_trigger(&text, 0, 0),
                         text_model_trigger(&text, 0, 1));
    press(&text, '1', '1', '0');
    assert_true(text_model_trigger(&text, 0, 0));
    assert_true(text_model_trigger(&text, 0, 1));
    text_model_release(&text);
}

static void ages_saturate(void **state)
{
    struct text_model text;
    (void)state;
    start(&text, "WHEN p, THEN q WITHIN T#200ms SAMPLED");
    const struct flat_cell *age =
        text_model_cell(&text, PLACE_MONITOR_AGE, 0);
    assert_non_null(age);
    assert_int_equal(age->low, 0);
    assert_int_equal(age->high, 200);
    assert_int_equal(age->unit, 100);
    text_model_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_memory), cmocka_unit_test(after_until),
        cmocka_unit_test(within),         cmocka_unit_test(durations),
        cmocka_unit_test(by_itself),      cmocka_unit_test(edges),
        cmocka_unit_test(triggers),       cmocka_unit_test(ages_saturate),
        cmocka_unit_test(possible_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
