/* The standard blocks against their published behaviour: as timing diagrams,
 * and as requirements in which the inputs do what they like.
 *
 * Sources: timers IEC 61131-3 (tables 37, 38 in the edition of 2003, 46 in
 * that of 2013), edges (35; 44), bistables (34; 43); read in the timing
 * diagrams and bodies of an open runtime's standard library whose comments
 * say they are taken from the standard, and on two makers' help pages.  The
 * lines are drawn here at scans of 100 ms with PT of three scans. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/timeline.h"
#include "tests/support/trial.h"

/* One block, all of whose outputs are variables of the program. */
#define TIMER(kind, time)                                                     \
    "PROGRAM Main\n"                                                          \
    "VAR_INPUT go : BOOL; END_VAR\n"                                          \
    "VAR_OUTPUT q : BOOL; et : TIME; END_VAR\n"                               \
    "VAR block : " kind "; END_VAR\n"                                         \
    "block(IN := go, PT := " time ", Q => q, ET => et);\n"                    \
    "END_PROGRAM\n"
#define EDGE(kind)                                                            \
    "PROGRAM Main\n"                                                          \
    "VAR_INPUT go : BOOL; END_VAR\nVAR_OUTPUT q : BOOL; END_VAR\n"            \
    "VAR block : " kind "; END_VAR\n"                                         \
    "block(CLK := go, Q => q);\n"                                             \
    "END_PROGRAM\n"
#define LATCH(kind, set, reset)                                               \
    "PROGRAM Main\n"                                                          \
    "VAR_INPUT s, r : BOOL; END_VAR\nVAR_OUTPUT q : BOOL; END_VAR\n"          \
    "VAR block : " kind "; END_VAR\n"                                         \
    "block(" set " := s, " reset " := r, Q1 => q);\n"                         \
    "END_PROGRAM\n"

/* ---- timing diagrams ---- */

static const struct timeline diagrams[] = {
    {"TON", TIMER("TON", "T#300ms"), 100,
     {{"go", "__------__--_-----"}},
     {{"q",  "_____---________--"},
      {"et", "000123330001001233"}}},

    {"TON, on from power-up", TIMER("TON", "T#300ms"), 100,
     {{"go", "------_"}},
     {{"q",  "___---_"},
      {"et", "0123330"}}},

    /* Where runtimes differ: here the call that sees IN, not the next one. */
    {"TON without a delay", TIMER("TON", "T#0ms"), 100,
     {{"go", "_--_-_"}},
     {{"q",  "_--_-_"},
      {"et", "000000"}}},

    /* No tail before the first IN; ET stands at PT until IN comes again; IN
     * that comes again in time keeps Q and takes ET back. */
    {"TOF", TIMER("TOF", "T#300ms"), 100,
     {{"go", "____--______--__-____-"}},
     {{"q",  "____-----___--------_-"},
      {"et", "0000000123330001001230"}}},

    /* IN longer than the pulse: ET stands at PT until IN goes. */
    {"TP, long IN", TIMER("TP", "T#300ms"), 100,
     {{"go", "_------__"}},
     {{"q",  "_---_____"},
      {"et", "001233300"}}},

    /* IN shorter than the pulse, and coming again within: one pulse only. */
    {"TP, short IN", TIMER("TP", "T#300ms"), 100,
     {{"go", "_-_______-_-_____"}},
     {{"q",  "_---_____---_____"},
      {"et", "00120000001200000"}}},

    /* IN that came within the pulse and stays starts no other one. */
    {"TP, IN again and held", TIMER("TP", "T#300ms"), 100,
     {{"go", "-_-----_-__"}},
     {{"q",  "---_____---"},
      {"et", "01233330012"}}},

    {"R_TRIG", EDGE("R_TRIG"), 100,
     {{"go", "__---_-__--"}},
     {{"q",  "__-___-__-_"}}},

    {"R_TRIG, on from power-up", EDGE("R_TRIG"), 100,
     {{"go", "---_--"}},
     {{"q",  "-___-_"}}},

    {"F_TRIG, on from power-up", EDGE("F_TRIG"), 100,
     {{"go", "---__-_"}},
     {{"q",  "___-__-"}}},

    /* A pulse from nothing in the first call: as the standard's body says. */
    {"F_TRIG, off from power-up", EDGE("F_TRIG"), 100,
     {{"go", "___-__"}},
     {{"q",  "-___-_"}}},

    {"SR", LATCH("SR", "S1", "R"), 100,
     {{"s", "_-____-_--_"}, {"r", "_____-__--_"}},
     {{"q", "_----_-----"}}},

    {"RS", LATCH("RS", "S", "R1"), 100,
     {{"s", "_-____-_--_"}, {"r", "_____-__--_"}},
     {{"q", "_----_--___"}}},
};

static void test_timing_diagrams(void **unused)
{
    (void)unused;
    for (size_t i = 0; i < sizeof diagrams / sizeof *diagrams; i++)
        timeline_holds(&diagrams[i]);
}

/* ---- requirements, with inputs that do what they like ---- */

struct expected {
    const char *name;
    enum verdict verdict;
    uint32_t length;
};

#define BEGIN(controls)                                                       \
    "REVIEW Block\n  SCAN T#100ms;\n  CONTROLS " controls " END_CONTROLS\n"
#define IN BEGIN("go : BUTTON;")
#define LATCHED BEGIN("s : BUTTON; r : BUTTON;")
#define END "  END_REQUIREMENTS\nEND_REVIEW\n"

static void judged(const char *control, const char *review,
                   const struct expected *expected)
{
    struct trial t;

    trial_open(&t, control, review);
    for (; expected->name; expected++)
        trial_judges(&t, expected->name, expected->verdict,
                     expected->length);
    trial_explore(&t);
    trial_enumerated(&t);
    trial_close(&t);
}

static void test_ton(void **unused)
{
    static const struct expected expected[] = {
        {"Delayed", VERDICT_KEPT, 0},
        {"NotLater", VERDICT_BROKEN, 4},
        {"Both", VERDICT_KEPT, 0},
        {"AtOnceOff", VERDICT_KEPT, 0},
        {"StandsAtPt", VERDICT_KEPT, 0},
        {NULL, VERDICT_KEPT, 0}};

    (void)unused;
    judged(TIMER("TON", "T#300ms"), IN "  REQUIREMENTS\n"
           "    Delayed : q ONLY IF go TRUE FOR T#300ms SAMPLED;\n"
           "    NotLater : q ONLY IF go TRUE FOR T#400ms SAMPLED;\n"
           "    Both : ALWAYS q = (go TRUE FOR T#300ms SAMPLED);\n"
           "    AtOnceOff : q ONLY IF go AND Main.et > T#0ms;\n"
           "    StandsAtPt : NEVER Main.et > T#300ms;\n" END, expected);
}

static void test_tof(void **unused)
{
    static const struct expected expected[] = {
        {"NotBeforeIn", VERDICT_KEPT, 0},
        {"Meanwhile", VERDICT_KEPT, 0},
        {"Tail", VERDICT_KEPT, 0},
        {"NoLessTail", VERDICT_BROKEN, 4},
        {"Again", VERDICT_KEPT, 0},
        {NULL, VERDICT_KEPT, 0}};

    (void)unused;
    judged(TIMER("TOF", "T#300ms"), IN
           "  RECORDER Past VAR seen : BOOL; END_VAR seen := seen OR go;\n"
           "  END_RECORDER\n  REQUIREMENTS\n"
           "    NotBeforeIn : q ONLY IF seen;\n"
           "    Meanwhile : go ONLY IF q AND Main.et = T#0ms;\n"
           "    Tail : q AND NOT go NO LONGER THAN T#300ms SAMPLED;\n"
           "    NoLessTail : q AND NOT go NO LONGER THAN T#200ms SAMPLED;\n"
           "    Again : q AT LEAST T#400ms SAMPLED;\n" END, expected);
}

static void test_tp(void **unused)
{
    static const struct expected expected[] = {
        {"NotLonger", VERDICT_KEPT, 0},
        {"NotShorter", VERDICT_KEPT, 0},
        {"NoLongerPulse", VERDICT_BROKEN, 4},
        {"AnEdgeEach", VERDICT_KEPT, 0},
        {"OffBetween", VERDICT_KEPT, 0},
        {"CanBeAgain", VERDICT_KEPT, 5},
        {NULL, VERDICT_KEPT, 0}};

    (void)unused;
    judged(TIMER("TP", "T#300ms"), IN
           "  RECORDER Past VAR pulses : INT (0 .. 2); END_VAR\n"
           "    IF RISING q AND pulses < 2 THEN pulses := pulses + 1; END_IF;\n"
           "  END_RECORDER\n  REQUIREMENTS\n"
           "    NotLonger : q NO LONGER THAN T#300ms SAMPLED;\n"
           "    NotShorter : q AT LEAST T#300ms SAMPLED;\n"
           "    NoLongerPulse : q AT LEAST T#400ms SAMPLED;\n"
           "    AnEdgeEach : NEVER RISING q AND NOT go;\n"
           "    OffBetween : RISING q ONLY IF cold OR RISING go;\n"
           "    CanBeAgain : POSSIBLE pulses = 2;\n" END, expected);
}

/* PT between two scans: it ends with the scan after it, and ET stands at PT
 * (one family of controllers shows the overshoot; the standard's diagrams
 * have ET at PT). */
static void test_between_two_scans(void **unused)
{
    static const struct expected expected[] = {
        {"StandsAtPt", VERDICT_KEPT, 0},
        {"ReachesPt", VERDICT_KEPT, 4},
        {NULL, VERDICT_KEPT, 0}};
    static const struct expected ton[] = {
        {"Delayed", VERDICT_KEPT, 0}, {NULL, VERDICT_KEPT, 0}};
    static const struct expected tp[] = {
        {"NotShorter", VERDICT_KEPT, 0}, {NULL, VERDICT_KEPT, 0}};
    static const char shown[] = IN "  REQUIREMENTS\n"
        "    StandsAtPt : NEVER Main.et > T#250ms;\n"
        "    ReachesPt : POSSIBLE Main.et = T#250ms;\n" END;
    static const struct expected tof[] = {
        {"StandsAtPt", VERDICT_KEPT, 0},
        {"ReachesPt", VERDICT_KEPT, 5},
        {NULL, VERDICT_KEPT, 0}};

    (void)unused;
    judged(TIMER("TON", "T#250ms"), shown, expected);
    judged(TIMER("TP", "T#250ms"), shown, expected);
    judged(TIMER("TOF", "T#250ms"), shown, tof);
    judged(TIMER("TON", "T#250ms"), IN "  REQUIREMENTS\n"
           "    Delayed : ALWAYS q = (go TRUE FOR T#300ms SAMPLED);\n" END,
           ton);
    judged(TIMER("TP", "T#250ms"), IN "  REQUIREMENTS\n"
           "    NotShorter : q AT LEAST T#300ms SAMPLED;\n" END, tp);
}

static void test_edges(void **unused)
{
    static const struct expected rising[] = {
        {"Edge", VERDICT_KEPT, 0},
        {"Held", VERDICT_BROKEN, 1},
        {"OneScan", VERDICT_KEPT, 0},
        {NULL, VERDICT_KEPT, 0}};
    static const struct expected falling[] = {
        {"Edge", VERDICT_KEPT, 0},
        {"Nothing", VERDICT_BROKEN, 1},
        {"OneScan", VERDICT_KEPT, 0},
        {NULL, VERDICT_KEPT, 0}};

    (void)unused;
    judged(EDGE("R_TRIG"), IN "  REQUIREMENTS\n"
           "    Edge : ALWAYS q = (RISING go OR cold AND go);\n"
           "    Held 'held at power-up is no edge' : NEVER q AND cold;\n"
           "    OneScan : NEVER q AND PREVIOUS q;\n" END, rising);
    judged(EDGE("F_TRIG"), IN "  REQUIREMENTS\n"
           "    Edge : ALWAYS q = (FALLING go OR cold AND NOT go);\n"
           "    Nothing 'no edge without one' : NEVER q AND cold;\n"
           "    OneScan : NEVER q AND PREVIOUS q;\n" END, falling);
}

static void test_bistables(void **unused)
{
    static const struct expected set[] = {
        {"Stronger", VERDICT_BROKEN, 1},
        {"Sets", VERDICT_KEPT, 0},
        {"Keeps", VERDICT_KEPT, 0},
        {NULL, VERDICT_KEPT, 0}};
    static const struct expected reset[] = {
        {"Stronger", VERDICT_KEPT, 0},
        {"Sets", VERDICT_BROKEN, 1},
        {"Keeps", VERDICT_KEPT, 0},
        {NULL, VERDICT_KEPT, 0}};
    static const char review[] = LATCHED "  REQUIREMENTS\n"
        "    Stronger 'reset is stronger' : NEVER q AND r;\n"
        "    Sets 'set is stronger' : s ONLY IF q;\n"
        "    Keeps : NEVER NOT s AND NOT r AND q <> PREVIOUS q;\n" END;

    (void)unused;
    judged(LATCH("SR", "S1", "R"), review, set);
    judged(LATCH("RS", "S", "R1"), review, reset);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_timing_diagrams),
        cmocka_unit_test(test_ton),
        cmocka_unit_test(test_tof),
        cmocka_unit_test(test_tp),
        cmocka_unit_test(test_between_two_scans),
        cmocka_unit_test(test_edges),
        cmocka_unit_test(test_bistables),
    };

    return cmocka_run_group_tests_name("blocks", tests, NULL, NULL);
}
