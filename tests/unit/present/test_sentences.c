/* A review text as plain sentences: each form and each kind of condition says
 * what it says, and nothing is turned round. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/sentences.h"
#include "tests/support/checked.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, ok, wide : BOOL; load : INT (0 .. 900); END_VAR\n"
    "VAR_INPUT at_two : BOOL; END_VAR\n"
    "VAR_OUTPUT run, bell : BOOL; END_VAR\n"
    "  run := go AND ok AND wide AND NOT at_two AND load < 500;\n"
    "END_PROGRAM\n";

static const char before[] =
    "REVIEW Hoist 'a hoist'\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'start button' AT 'panel' SEES 'the hook';\n"
    "    ok : STOP 'stop button' AT 'panel' LATCHING CONTACTS OPENING;\n"
    "    speed : SELECTOR (One, Two) 'speed lever' CONTACTS at_two ON Two;\n"
    "    load : NUMBER (0 .. 900) 'load';\n"
    "    wide : SENSOR 'top switch' ON WHEN place <> Low;\n"
    "    run : MOTOR 'hook rises' RETURNS BY SPRING;\n"
    "    bell : HORN 'bell';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Hook\n"
    "    VAR place : (Low, High) := Low; END_VAR\n"
    "    MOVES place FROM Low TO High IN T#200ms .. T#1s WHILE run;\n"
    "    MOVES place FROM High TO Low;\n"
    "  END_MECHANISM\n"
    "  ASSUMPTIONS\n"
    "    A1 'one hand' : NOT (PRESSED go AND PRESSED ok)\n"
    "      BECAUSE 'far apart';\n"
    "  END_ASSUMPTIONS\n"
    "  FAULTS F1 : run STAYS; END_FAULTS\n"
    "  HAZARDS H1 'crushing'; END_HAZARDS\n"
    "  REQUIREMENTS\n";

static const char behind[] = "  END_REQUIREMENTS\nEND_REVIEW\n";

/* The sentence of the requirement that is asked by these words. */
static void says(const char *asked, const char *wanted)
{
    struct checked checked;
    char review[4000];
    const char *words;

    snprintf(review, sizeof review, "%s R1 'r' : %s;\n%s", before, asked,
             behind);
    checked_init(&checked, control, review);
    assert_non_null(checked.model);
    words = sentences_requirement(checked.arena, checked.model,
                                  checked.sources,
                                  checked_requirement(&checked, "R1"));
    assert_string_equal(words, wanted);
    checked_release(&checked);
}

static void each_form(void **state)
{
    (void)state;
    says("NEVER run AND bell",
         "It never happens that hook rises is on and bell is on. It is asked "
         "for without faults.");
    says("ALWAYS NOT run OR ok DESPITE 1 FAULT",
         "At every moment hook rises is off or stop button is not pressed. It "
         "is to survive: one fault.");
    says("run ONLY IF PRESSED go",
         "Only if start button is held it may be that hook rises is on. It is "
         "asked for without faults.");
    says("AFTER PRESSED ok, NO run UNTIL RISING PRESSED go",
         "Once stop button is pressed, it never happens that hook rises is "
         "on, before start button is held from this moment on. It is asked "
         "for without faults.");
    says("WHEN NOT ok THEN NOT run WITHIN T#500ms, UNLESS bell",
         "Whenever stop button is pressed, then within 0.5 s (judged as 0.4 "
         "s): hook rises is off; unless before that bell is on. It is asked "
         "for without faults.");
    says("run NO LONGER THAN T#2s",
         "Once hook rises is on, that is over before it has lasted 2.0 s. It "
         "is asked for without faults.");
    says("run AT LEAST T#2s",
         "Once hook rises is on, that lasts at least 2.0 s. It is asked for "
         "without faults.");
    says("place MOVES ONLY WHILE run",
         "place moves only while hook rises is on. It is asked for without "
         "faults.");
    says("NEVER run BY ITSELF, STARTED BY PRESSED go, CANCELLED BY PRESSED ok",
         "It never begins by itself that hook rises is on: only after it came "
         "about anew that start button is held, and not if since then stop "
         "button is pressed or power went. It is asked for without faults.");
    says("POSSIBLE place = High",
         "From every power-up it can be brought about that place is High. It "
         "is asked for without faults.");
    says("ALWAYS POSSIBLE AGAIN place = Low WHILE NOT bell BY go",
         "From every situation in which bell is off it can be brought about "
         "again by start button that place is Low; all the way there bell is "
         "off. It is asked for without faults.");
}

static void conditions(void **state)
{
    (void)state;
    says("NEVER NOT (run AND PRESSED go)",
         "It never happens that not at the same time (hook rises is on and "
         "start button is held). It is asked for without faults.");
    says("NEVER NOT (run OR PRESSED go) AND wide",
         "It never happens that hook rises is off and start button is not "
         "held and top switch is on. It is asked for without faults.");
    says("NEVER run AND (bell OR NOT wide) AND at_two",
         "It never happens that hook rises is on and (bell is on or top "
         "switch is off) and speed lever is at Two. It is asked for without "
         "faults.");
    says("NEVER load >= 500 AND run",
         "It never happens that load is at least 500 and hook rises is on. "
         "It is asked for without faults.");
    says("NEVER NOT (load >= 500) AND NOT (place = Low)",
         "It never happens that load is below 500 and place is not Low. It is "
         "asked for without faults.");
    says("NEVER FALLING (run OR bell)",
         "It never happens that no longer (hook rises is on or bell is on). "
         "It is asked for without faults.");
    says("NEVER FALLING run",
         "It never happens that hook rises is off from this moment on. It is "
         "asked for without faults.");
    says("NEVER run AND NOT PREVIOUS run",
         "It never happens that hook rises is on and hook rises was off just "
         "before. It is asked for without faults.");
    says("NEVER run TRUE FOR T#1s AND COMMANDED bell",
         "It never happens that for 1.0 s (hook rises is on) and the program "
         "asks for bell. It is asked for without faults.");
    says("NEVER run XOR bell",
         "It never happens that `run XOR bell` holds. It is asked for without "
         "faults.");
}

/* The words of the sentence that begins so, or NULL. */
static const char *sentence(const struct sentence_group *groups, uint32_t n,
                            const char *begin)
{
    for (uint32_t g = 0; g < n; g++)
        for (uint32_t i = 0; i < groups[g].n; i++)
            if (strncmp(groups[g].at[i].words, begin, strlen(begin)) == 0)
                return groups[g].at[i].words;
    return NULL;
}

static void all_of_a_review(void **state)
{
    struct checked checked;
    char review[4000];
    const struct sentence_group *groups;
    uint32_t n;

    (void)state;
    snprintf(review, sizeof review, "%s R1 'r' AGAINST H1 : NEVER bell;\n%s",
             before, behind);
    checked_init(&checked, control, review);
    assert_non_null(checked.model);
    groups = sentences_make(checked.arena, checked.model, checked.sources,
                            &n);
    assert_string_equal(sentence(groups, n, "start button"),
        "start button: a button at panel, from where one sees: the hook. "
        "Contact go conducts while it is held.");
    assert_string_equal(sentence(groups, n, "stop button"),
        "stop button: a stop at panel; operated, it stays so until released. Contact "
        "ok opens while it is pressed.");
    assert_string_equal(sentence(groups, n, "top switch"),
        "top switch: a sensor, on while place is not Low.");
    assert_string_equal(sentence(groups, n, "hook rises:"),
        "hook rises: a motor, brought back by a spring; it does what the "
        "program asks.");
    assert_string_equal(sentence(groups, n, "place is one"),
        "place is one of Low, High; it is assumed to be Low at power-up.");
    assert_string_equal(sentence(groups, n, "place goes from Low"),
        "place goes from Low to High while hook rises is on; not before that "
        "has held for 0.2 s, and at the latest when it has held without a "
        "break for 1.0 s.");
    assert_string_equal(sentence(groups, n, "place goes from High"),
        "place goes from High to Low; at any moment, or never.");
    assert_string_equal(sentence(groups, n, "one hand"),
        "one hand: it is assumed of every moment: not at the same time (start "
        "button is held and stop button is pressed), because far apart; not "
        "confirmed by anybody.");
    assert_string_equal(sentence(groups, n, "r. It never"),
        "r. It never happens that bell is on. It is asked for without faults. "
        "Against: crushing.");
    checked_release(&checked);
}

/* What is assigned twice, or made of what comes later, is no sentence. */
static void wiring(void **state)
{
    static const char *const texts[] = {
        "run := COMMANDED run AND ok;",
        "run := COMMANDED run; run := run AND ok;",
        "run := COMMANDED run; IF NOT ok THEN run := FALSE; END_IF;",
        "run := bell; bell := COMMANDED bell;"};
    static const char *const wanted[] = {
        "hook rises is on exactly while the program asks for hook rises and "
        "contact ok is conducting.",
        "As it is written: `run := COMMANDED run;`",
        "As it is written: `run := COMMANDED run;`",
        "As it is written: `run := bell;`"};

    (void)state;
    for (int i = 0; i < 4; i++) {
        struct checked checked;
        char review[4000];
        const struct sentence_group *groups;
        uint32_t n;

        snprintf(review, sizeof review,
                 "%s R1 'r' : NEVER bell;\n  END_REQUIREMENTS\n"
                 "  WIRING OUT %s END_WIRING\nEND_REVIEW\n", before,
                 texts[i]);
        checked_init(&checked, control, review);
        assert_non_null(checked.model);
        groups = sentences_make(checked.arena, checked.model,
                                checked.sources, &n);
        assert_non_null(sentence(groups, n, wanted[i]));
        checked_release(&checked);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_form),
        cmocka_unit_test(conditions),
        cmocka_unit_test(all_of_a_review),
        cmocka_unit_test(wiring),
    };

    return cmocka_run_group_tests_name("sentences", tests, NULL, NULL);
}
