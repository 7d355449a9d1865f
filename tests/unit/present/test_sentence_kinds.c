/* Whatever can be declared in a review text has its sentence: the rules of the
 * grammar are gone over, and for each alternative of them the words that a
 * text with it gets.  One that is new to the grammar fails here until it has
 * a line, and with that a sentence. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "present/sentences.h"
#include "study/load.h"
#include "source/diag.h"
#include "tests/support/checked.h"

/* ---- the texts ---- */

static const char control[] =
    "TYPE Gear : (Low, High); END_TYPE\n"
    "FUNCTION_BLOCK Helper VAR_INPUT x : BOOL; END_VAR\n"
    "VAR_OUTPUT q : BOOL; END_VAR q := x; END_FUNCTION_BLOCK\n"
    "FUNCTION_BLOCK Strange VAR_INPUT x : BOOL; END_VAR\n"
    "VAR_OUTPUT q : BOOL; END_VAR END_FUNCTION_BLOCK\n"
    "PROGRAM Main\n"
    "VAR_INPUT go, ok, wide, at_two, key, led, lit : BOOL;\n"
    "  load : INT (0 .. 900); END_VAR\n"
    "VAR bus, told : BOOL; l : SR; h : Helper; s : Strange; END_VAR\n"
    "VAR_OUTPUT run, bell, amber, drive, relay : BOOL; END_VAR\n"
    "  h(x := go); s(x := go); l(S1 := go, R := NOT ok);\n"
    "  run := h.q AND ok AND wide AND NOT at_two AND load < 500 AND bus;\n"
    "  bell := told OR key OR led OR lit OR l.Q1 OR s.q; amber := bell;\n"
    "  drive := run; relay := run;\n"
    "  told := FALSE;\n"
    "END_PROGRAM\n"
    "PROGRAM Slow VAR i, spare : BOOL; END_VAR i := NOT i; END_PROGRAM\n";

/* Beside it what cannot stand in one text with it. */
static const char review[] =
    "REVIEW Hoist 'a hoist'\n"
    "  CONTROL 'test.st';\n"
    "  SCAN T#80ms .. T#100ms BY T#20ms;\n"
    "  RUNS Slow EVERY 3 SCANS;\n"
    "  POWER MAY FAIL;\n"
    "  RETAIN ANY;\n"
    "  FIXED Main.bus := TRUE BECAUSE 'there is no bus' CONFIRMED BY 'me';\n"
    "  SHARED Main.told;\n"
    "  UNKNOWN Strange BECAUSE 'bought';\n"
    "  TYPE Place : (Cellar, Attic); END_TYPE\n"
    "  CONTROLLER 'bench controller'\n"
    "    LATCHES : SWAPPED OBSERVED BY 'bench sheet 3';\n"
    "  END_CONTROLLER\n"
    "  CONTROLS\n"
    "    go : BUTTON GREEN 'start button' AT 'panel' SEES 'the hook';\n"
    "    ok : STOP 'stop button' LATCHING CONTACTS OPENING;\n"
    "    key : SWITCH 'key' CONTACTS CLOSING;\n"
    "    speed : SELECTOR (One, Two) 'lever' CONTACTS at_two ON Two;\n"
    "    load : NUMBER (0 .. 900) 'load';\n"
    "    both : BUTTON 'twin' CONTACTS led CLOSING, lit OPENING;\n"
    "    wide : SENSOR 'top switch' ON WHEN place = Attic;\n"
    "    run : VALVE 'hook rises' RETURNS BY SPRING;\n"
    "    drive : MOTOR 'winch';\n"
    "    amber : LAMP YELLOW 'warning';\n"
    "    bell : HORN 'bell';\n"
    "    relay : OUTPUT 'to the crane';\n"
    "  END_CONTROLS\n"
    "  WIRING OUT run := COMMANDED run AND ok; END_WIRING\n"
    "  MECHANISM Hook\n"
    "    VAR place : Place := Cellar; n : (A, B); END_VAR\n"
    "    MOVES place FROM Cellar TO Attic IN T#200ms .. T#1s WHILE run;\n"
    "    MOVES place FROM Attic TO Cellar IN T#300ms ..;\n"
    "    MOVES n FROM A TO B;\n"
    "    IF jammed THEN MAY n := A; END_MAY; END_IF;\n"
    "  END_MECHANISM\n"
    "  ASSUMPTIONS A1 'one hand' : NOT (PRESSED go AND PRESSED ok)\n"
    "    BECAUSE 'far apart'; END_ASSUMPTIONS\n"
    "  FAULTS\n"
    "    F1 : ok DOES NOT OPEN;\n"
    "    F2 : go DOES NOT CLOSE, INTERMITTENT;\n"
    "    F3 : run STAYS, PRESENT FROM POWER_UP;\n"
    "    F4 : wide WIRE OFF, FOLLOWS FROM F1;\n"
    "    F5 : go SHORT TO SUPPLY, EXCLUDED BECAUSE 'own duct';\n"
    "    F6 : led SHORT TO lit;\n"
    "    F7 : drive MOVES WITHOUT COMMAND;\n"
    "    F8 : wide DISPLACED BY -1 ALONG place;\n"
    "    F9 : PROGRAM Slow STOPS;\n"
    "    jammed 'hook jammed' : IN MECHANISM;\n"
    "    F11 : wide, ok WIRE OFF;\n"
    "    water 'water' : ONE CAUSE OF F2, F6;\n"
    "  END_FAULTS\n"
    "  NOTICING DIAGNOSTIC bell; DEMAND RISING PRESSED go;\n"
    "    CYCLE RISING wide; REPAIR FALLING key; END_NOTICING\n"
    "  RECORDER Seen VAR high : BOOL; END_VAR high := high OR wide;\n"
    "  END_RECORDER\n"
    "  HAZARDS H1 'crushing'; END_HAZARDS\n"
    "  REQUIREMENTS\n"
    "    R1 'r1' AGAINST H1 REFERS TO 'line 3' READ BY 'me'\n"
    "      : NEVER run AND bell;\n"
    "    R2 REFERS TO 'line 4' : ALWAYS NOT run OR ok;\n"
    "    R3 : run ONLY IF PRESSED go;\n"
    "    R4 : AFTER PRESSED ok, NO run UNTIL PRESSED go;\n"
    "    R5 : WHEN NOT ok THEN NOT run WITHIN T#1s SAMPLED, UNLESS bell;\n"
    "    R6 : run NO LONGER THAN T#2s SAMPLED;\n"
    "    R7 : run AT LEAST T#3s SAMPLED;\n"
    "    R8 : place MOVES ONLY WHILE run;\n"
    "    R9 : NEVER run BY ITSELF, STARTED BY PRESSED go;\n"
    "    R10 : NEVER drive BY ITSELF, STARTED BY PRESSED go, IN CYCLE bell;\n"
    "    R11 : NEVER bell BY ITSELF, STARTED BY PRESSED go,\n"
    "      CANCELLED BY PRESSED ok;\n"
    "    R12 : NEVER amber BY ITSELF, STARTED BY PRESSED go,\n"
    "      IN CYCLE bell, CANCELLED BY PRESSED ok;\n"
    "    R13 : POSSIBLE place = Attic;\n"
    "    R14 : ALWAYS POSSIBLE AGAIN run WHILE NOT bell BY go;\n"
    "    R15 : NEVER run DESPITE 1 FAULT AND ANOTHER AFTER AN UNNOTICED ONE;\n"
    "    R16 : NEVER run DESPITE 1 OF F1, F3 AND ANOTHER AFTER AN UNNOTICED\n"
    "      ONE, EXCEPT UNTIL NOTICED;\n"
    "    R17 : NEVER run DESPITE 1 OF F1, F3 EXCEPT WITHIN T#1s SAMPLED OF\n"
    "      FAULT;\n"
    "  END_REQUIREMENTS\n"
    "  INTENDED D1 'longer' : bell MAY DIFFER WHEN NOT wide; END_INTENDED\n"
    "  ACCEPTED variable_not_used ON Slow.spare BECAUSE 'later';\n"
    "    unguarded ON Slow AT 'TRUE: FALSE' BECAUSE 'idle'; END_ACCEPTED\n"
    "  SCENARIO S1 'a try'\n"
    "    START n AT A; HOLD go; WAIT; RELEASE go; WAIT T#200ms;\n"
    "    TURN speed TO Two; SET load := 7; SCAN T#80ms; FAULT F1; WAIT;\n"
    "    MOVE place TO Attic; WAIT; POWER OFF; WAIT; POWER ON; WAIT;\n"
    "    EXPECT NOT run 'still'; EXPECT BROKEN R2 'so it is';\n"
    "  END_SCENARIO\n"
    "END_REVIEW\n";

static const char other_control[] =
    "PROGRAM Main VAR_INPUT go, back : BOOL; END_VAR\n"
    "VAR_OUTPUT run : BOOL; END_VAR run := go AND NOT back; END_PROGRAM\n";

static const char other_review[] =
    "REVIEW Other 'another'\n"
    "  SCAN T#50ms;\n"
    "  POWER STAYS BECAUSE 'a battery';\n"
    "  CONTROLS go : BUTTON; run : MOTOR; END_CONTROLS\n"
    "  WIRING IN back := run; END_WIRING\n"
    "  REQUIREMENTS R1 : NEVER run; END_REQUIREMENTS\n"
    "END_REVIEW\n";

static const char with_template[] =
    "models/templates/hold_to_run/hold_to_run.review";

/* ---- what each of them gets ---- */

/* An alternative of a rule by its words; those with the same words share a
 * line. */
static const struct row {
    const char *alternative, *sentence;
} rows[] = {
    {"review_item CONTROL", "Read were the texts test.review, test.st."},
    {"review_item TEMPLATES", "made by the template HoldToRun"},
    {"review_item SCAN", "One scan takes 0.05 s."},
    {"review_item RUNS EVERY SCANS", "Of 3 scans the program Slow runs in one"},
    {"review_item POWER MAY FAIL", "Power may go between any two scans"},
    {"review_item POWER STAYS", "Power is assumed to stay, because a battery"},
    {"review_item RETAIN ANY", "may have any value when power comes"},
    {"review_item FIXED", "Main.bus is assumed to be TRUE for good, because"},
    {"review_item SHARED", "Main.told is written by others too"},
    {"review_item UNKNOWN", "What Strange does is not known"},
    {"review_item CONTROLLER END_CONTROLLER",
     "In this controller SR lets reset win, RS lets set win; observed by"},
    {"review_item CONTROLS END_CONTROLS", "start button: a green button"},
    {"review_item WIRING END_WIRING", "hook rises is on exactly while the"},
    {"review_item MECHANISM END_MECHANISM", "place is one of Cellar, Attic"},
    {"review_item ASSUMPTIONS END_ASSUMPTIONS", "one hand: it is assumed"},
    {"review_item INTENDED END_INTENDED", "longer: beside another version"},
    {"review_item ACCEPTED END_ACCEPTED", "Accepted is variable_not_used in"},
    {"review_item FAULTS END_FAULTS", "stop button does not open: contact"},
    {"review_item NOTICING END_NOTICING", "The machine shows a fault while"},
    {"review_item SCENARIO END_SCENARIO", "a try. Played, one after the"},
    {"claims RECORDER END_RECORDER", "As it is written: `high := high OR"},
    {"claims HAZARDS END_HAZARDS", "crushing. Against it: R1."},
    {"claims REQUIREMENTS END_REQUIREMENTS", "r1. It never happens that"},
    {"reason BECAUSE", "because far apart; not confirmed by anybody."},
    {"reason BECAUSE CONFIRMED BY", "because there is no bus; confirmed by me"},
    {"scan_times BY", "takes 0.08 s to 0.1 s, each any time of that in steps"},
    {"signal_words AT", "a green button at panel"},
    {"signal_words SEES", "from where one sees: the hook"},
    {"signal_words COLOUR", "warning: a yellow lamp"},
    {"signal_words LATCHING", "a stop; operated, it stays so until released"},
    {"signal_words RETURNS BY SPRING", "brought back by a spring"},
    {"signal_words CONTACTS", "Contact ok opens while it is pressed"},
    {"signal_words ON WHEN", "on while place is Attic"},
    {"signal_kind SELECTOR", "lever: a selector, with the positions One, Two"},
    {"signal_kind NUMBER", "load: a number, from 0 to 900"},
    {"signal_word BUTTON", "twin: a button"},
    {"signal_word STOP", "stop button: a stop"},
    {"signal_word SWITCH", "key: a switch"},
    {"signal_word SENSOR", "top switch: a sensor"},
    {"signal_word VALVE", "hook rises: a valve"},
    {"signal_word MOTOR", "winch: a motor"},
    {"signal_word LAMP", "warning: a yellow lamp"},
    {"signal_word HORN", "bell: a horn"},
    {"signal_word OUTPUT", "to the crane: an output"},
    {"contact ON", "Contact at_two conducts at Two"},
    {"contact_kind CLOSING", "Contact led conducts while it is held"},
    {"contact_kind OPENING", "Contact lit opens while it is held"},
    {"wiring_side IN", "back is on exactly while run is on, as it stood one"},
    {"wiring_side OUT", "contact ok is conducting."},
    {"movement MOVES FROM TO", "n goes from A to B; at any moment, or never"},
    {"times IN", "not before that has held for 0.2 s, and at the latest"},
    {"accepted ON", "Accepted is that no requirement notices a change in Slow"},
    {"intended MAY DIFFER WHEN", "bell may differ while top switch is off"},
    {"faults ONE CAUSE OF", "F2, F6 have one cause"},
    {"fault_said INTERMITTENT", "The fault may come and go at any moment"},
    {"fault_said PRESENT FROM POWER_UP", "is there from power-up on or never"},
    {"fault_said FOLLOWS FROM", "it may follow from F1"},
    {"fault_said EXCLUDED", "The fault is excluded, never looked at, because"},
    {"fault_kind SHORT TO", "led touches lit: both conduct if one does"},
    {"fault_kind DISPLACED BY ALONG", "as if place stood 1 position back"},
    {"fault_kind PROGRAM STOPS", "program Slow does not run"},
    {"fault_kind IN MECHANISM", "said where the machine reads its name"},
    {"fault_phrase DOES NOT OPEN", "contact ok stays conducting once it"},
    {"fault_phrase DOES NOT CLOSE", "contact go stays open once it is open"},
    {"fault_phrase STAYS", "output run stays as it is"},
    {"fault_phrase WIRE OFF", "sensor wide has its wire off: it is FALSE; con"},
    {"fault_phrase SHORT TO SUPPLY", "contact go touches the supply"},
    {"fault_phrase MOVES WITHOUT COMMAND", "output drive may be anything"},
    {"notices DIAGNOSTIC", "The machine shows a fault while bell is on"},
    {"notices DEMAND", "The safety function is needed again at the moment"},
    {"notices CYCLE", "A work cycle ends, and the next begins, at the moment"},
    {"notices REPAIR", "A fault that was shown has been put right"},
    {"references REFERS TO", "It refers to: line 4; clause not checked"},
    {"references REFERS TO READ BY", "It refers to: line 3; read by me."},
    {"form NEVER", "It never happens that hook rises is on and bell is on"},
    {"form ALWAYS", "At every moment hook rises is off or stop button"},
    {"form ONLY IF", "Only if start button is held it may be that"},
    {"form AFTER NO UNTIL", "Once stop button is pressed, it never happens"},
    {"form WHEN THEN WITHIN", "Whenever stop button is pressed, then within"},
    {"form NO LONGER THAN", "that is over before it has lasted 2.0 s"},
    {"form AT LEAST", "that lasts at least 3.0 s"},
    {"form MOVES ONLY WHILE", "place moves only while hook rises is on"},
    {"form NEVER BY ITSELF STARTED BY", "It never begins by itself that hook"},
    {"form POSSIBLE", "From every power-up it can be brought about that"},
    {"form ALWAYS POSSIBLE AGAIN", "all the way there bell is off"},
    {"form USE", "Requirements whose names begin with jog are made by the"},
    {"by BY", "brought about again by start button that"},
    {"by_itself IN CYCLE",
     "that winch is on: only after it came about anew that start button is "
     "held, and not if power went since then; interrupted and begun again it "
     "may be while bell is on"},
    {"by_itself CANCELLED BY",
     "that bell is on: only after it came about anew that start button is "
     "held, and not if since then stop button is pressed"},
    {"by_itself IN CYCLE CANCELLED BY",
     "stop button is pressed or power went; interrupted and begun again"},
    {"unless UNLESS", "unless before that bell is on"},
    {"despite DESPITE", "It is to survive: any one of 9 faults"},
    {"despite DESPITE OF", "It is to survive: any one of 2 faults, and"},
    {"despite DESPITE OF EXCEPT", "any one of 2 faults · except within 1.0 s"},
    {"despite EXCEPT", NULL}, /* refused without DESPITE */
    {"another_said AND ANOTHER AFTER AN UNNOTICED ONE",
     "and another after one that is not always noticed"},
    {"excepted UNTIL NOTICED", "except until it is noticed"},
    {"excepted WITHIN OF FAULT", "except within 1.0 s of a fault"},
    {"scenario_step HOLD", "start button held; 1 scan"},
    {"scenario_step RELEASE", "start button no longer held; 2 scans"},
    {"scenario_step TURN TO", "lever at Two"},
    {"scenario_step SET", "load at 7"},
    {"scenario_step MOVE TO", "place goes to Attic; 1 scan"},
    {"scenario_step START AT", "at the start n A"},
    {"scenario_step FAULT", "fault F1 appears; 1 scan"},
    {"scenario_step POWER OFF", "power goes; 1 scan"},
    {"scenario_step POWER ON", "power returns; 1 scan"},
    {"scenario_step WAIT", "2 scans"},
    {"scenario_step SCAN", "from now on a scan takes 0.08 s"},
    {"scenario_step EXPECT", "expected: hook rises is off (still)"},
    {"scenario_step EXPECT BROKEN", "expected: R2 is broken (so it is)"},
};

enum { ROWS = sizeof rows / sizeof *rows };

/* ---- the grammar ---- */

static const char *const rules[] = {
    "review_item", "claims", "reason", "scan_times", "signal_words",
    "signal_kind", "signal_word", "contact", "contact_kind", "wiring_side",
    "movement", "times", "accepted", "assumptions", "intended", "faults",
    "fault_said", "fault_kind", "fault_phrase", "notices", "hazards",
    "references", "form", "by", "by_itself", "unless", "despite",
    "another_said", "excepted", "scenario_step"};

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || c == '_';
}

/* Words of the language, and kinds of words that stand for several. */
static bool is_word(const char *at, size_t n)
{
    static const char *const classes[] = {"IDENT", "STRING", "NUMBER",
                                          "DURATION", "LOCATION"};

    for (size_t i = 0; i < sizeof classes / sizeof *classes; i++)
        if (at[-1] != '"' && strlen(classes[i]) == n &&
            memcmp(classes[i], at, n) == 0)
            return false;
    return true;
}

/* "form AT LEAST", of an alternative without what is in braces. */
static void take_words(struct text *key, const char *at, const char *end)
{
    unsigned deep = 0;

    for (; at < end; at++) {
        size_t n = 0;

        deep += *at == '{';
        deep -= *at == '}';
        while (deep == 0 && is_letter(at[n]) && at + n < end)
            n++;
        if (n == 0)
            continue;
        if ((at[-1] == '"' || at[-1] == ' ') && is_word(at, n)) {
            text_add_char(key, ' ');
            text_add_bytes(key, at, n);
        }
        at += n - 1;
    }
}

static bool is_listed(const char *key)
{
    for (size_t i = 0; i < ROWS; i++)
        if (strcmp(rows[i].alternative, key) == 0)
            return true;
    return false;
}

/* The end of the alternative that begins at `at`. */
static const char *alternative_end(const char *at, const char *rule_end)
{
    const char *end = strstr(at, "\n    | ");

    return end == NULL || end > rule_end ? rule_end : end;
}

/* What is put in the place of a mistake declares nothing. */
static bool mends(const char *at, const char *end)
{
    const char *error = strstr(at, " error ");

    return error != NULL && error < end;
}

static unsigned look_at_rule(const char *grammar, const char *rule)
{
    char head[64];
    const char *at, *rule_end;
    unsigned n = 0;

    snprintf(head, sizeof head, "\n%s\n    : ", rule);
    at = strstr(grammar, head);
    if (at == NULL)
        fail_msg("the grammar has no rule %s", rule);
    at += strlen(head) - 1;
    rule_end = strstr(at, "\n    ;");
    while (at < rule_end) {
        const char *end = alternative_end(at, rule_end);
        struct text key = {0};

        text_add(&key, rule);
        if (!mends(at, end))
            take_words(&key, at, end);
        if (key.n > strlen(rule) && !is_listed(text_str(&key)))
            fail_msg("'%s' has no sentence: write one "
                     "(present/sentence_parts.h), and its line here",
                     text_str(&key));
        n += key.n > strlen(rule);
        text_release(&key);
        at = end + (end < rule_end ? strlen("\n    |") : 0);
    }
    return n;
}

static void every_kind_is_listed(void **state)
{
    struct text grammar = {0};
    unsigned n = 0;

    (void)state;
    assert_int_equal(os_read_file("grammar/parser.y", 1 << 20,
                                  &grammar), OS_OK);
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
        n += look_at_rule(text_str(&grammar), rules[i]);
    assert_true(n >= ROWS); /* no line is for nothing */
    text_release(&grammar);
}

/* ---- the sentences ---- */

static void add_all(struct text *out, struct arena *arena,
                    const struct model *model, const struct sources *sources)
{
    uint32_t n;
    const struct sentence_group *groups =
        sentences_make(arena, model, sources, &n);

    for (uint32_t g = 0; g < n; g++)
        for (uint32_t i = 0; i < groups[g].n; i++)
            text_printf(out, "%s\n", groups[g].at[i].words);
}

static void add_checked(struct text *out, const char *control_text,
                        const char *review_text)
{
    struct checked checked;

    checked_init(&checked, control_text, review_text);
    if (checked.model == NULL)
        fail_msg("%s", diags_at(checked.diags, 0)->message);
    add_all(out, checked.arena, checked.model, checked.sources);
    checked_release(&checked);
}

static void each_has_its_sentence(void **state)
{
    const struct load_request request = {.path = with_template};
    struct loaded *loaded = load_run(&request);
    struct text said = {0};

    (void)state;
    add_checked(&said, control, review);
    add_checked(&said, other_control, other_review);
    assert_non_null(loaded->model);
    add_all(&said, loaded->arena, loaded->model, loaded->sources);
    loaded_free(loaded);
    for (size_t i = 0; i < ROWS; i++)
        if (rows[i].sentence != NULL &&
            strstr(text_str(&said), rows[i].sentence) == NULL)
            fail_msg("'%s' is not said as '%s' in:\n%s", rows[i].alternative,
                     rows[i].sentence, text_str(&said));
    text_release(&said);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_is_listed),
        cmocka_unit_test(each_has_its_sentence),
    };

    return cmocka_run_group_tests_name("sentence kinds", tests, NULL, NULL);
}
