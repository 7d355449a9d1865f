/* Exercises of every course in control logic: what must come out is beyond
 * doubt, and the shortest way can be found by hand.  Common practice, no
 * source.  In each, situations are counted by the reference interpreter as
 * well. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/trial.h"

enum { MOST_ASKED = 4 };

struct exercise {
    const char *control, *review;
    struct {
        const char *requirement;
        uint32_t broken; /* length of the shortest way, 0: kept */
    } asked[MOST_ASKED];
};

static void solve(const struct exercise *exercise)
{
    struct trial t;

    trial_open(&t, exercise->control, exercise->review);
    for (unsigned i = 0; i < MOST_ASKED; i++) {
        const char *requirement = exercise->asked[i].requirement;
        uint32_t broken = exercise->asked[i].broken;

        if (requirement)
            trial_judges(&t, requirement,
                         broken ? VERDICT_BROKEN : VERDICT_KEPT, broken);
    }
    trial_explore(&t);
    trial_enumerated(&t);
    trial_close(&t);
}

#define SCAN "  SCAN T#100ms;\n"
#define REQUIRE "  REQUIREMENTS\n"
#define END "  END_REQUIREMENTS\nEND_REVIEW\n"

/* ---- start, stop, holding itself ---- */

#define SEAL_IN(logic)                                                        \
    "PROGRAM Main\nVAR_INPUT start, halt : BOOL; END_VAR\n"                   \
    "VAR_OUTPUT run : BOOL; END_VAR\n"                                        \
    "VAR edge : R_TRIG; held : BOOL := TRUE; END_VAR\n" logic                 \
    "\nEND_PROGRAM\n"
#define SEAL_IN_BLOCK(kind, set, reset)                                       \
    "PROGRAM Main\nVAR_INPUT start, halt : BOOL; END_VAR\n"                   \
    "VAR_OUTPUT run : BOOL; END_VAR\nVAR latch : " kind "; END_VAR\n"         \
    "latch(" set " := start, " reset " := halt, Q1 => run);\nEND_PROGRAM\n"

static const char seal_in[] =
    "REVIEW SealIn\n" SCAN
    "  CONTROLS start : BUTTON; halt : BUTTON; run : MOTOR; END_CONTROLS\n"
    REQUIRE "    Stops : NEVER run AND halt;\n"
            "    Holds : FALLING run ONLY IF halt;\n"
            "    Starts : NEVER run BY ITSELF, STARTED BY start;\n" END;

static void test_start_and_stop(void **unused)
{
    (void)unused;
    solve(&(struct exercise){
        SEAL_IN("run := (start OR run) AND NOT halt;"), seal_in,
        {{"Stops", 0}, {"Holds", 0}, {"Starts", 1}}});
    solve(&(struct exercise){
        SEAL_IN("run := start OR run AND NOT halt;"), seal_in,
        {{"Stops", 1}, {"Holds", 0}, {"Starts", 1}}});
    solve(&(struct exercise){SEAL_IN_BLOCK("RS", "S", "R1"), seal_in,
        {{"Stops", 0}, {"Holds", 0}, {"Starts", 1}}});
    solve(&(struct exercise){SEAL_IN_BLOCK("SR", "S1", "R"), seal_in,
        {{"Stops", 1}, {"Holds", 0}, {"Starts", 1}}});
    /* A start held at power-up: an edge for R_TRIG too, unless the program
     * begins with "it was held". */
    solve(&(struct exercise){
        SEAL_IN("edge(CLK := start); run := (edge.Q OR run) AND NOT halt;"),
        seal_in, {{"Stops", 0}, {"Holds", 0}, {"Starts", 1}}});
    solve(&(struct exercise){
        SEAL_IN("run := (start AND NOT held OR run) AND NOT halt;\n"
                "held := start;"),
        seal_in, {{"Stops", 0}, {"Holds", 0}, {"Starts", 0}}});
    /* Set and never reset: start, and in the next scan stop. */
    solve(&(struct exercise){
        SEAL_IN("IF start AND NOT halt THEN run := TRUE; END_IF;"), seal_in,
        {{"Stops", 2}}});
}

/* A stop that opens notices its broken wire, one that closes does not; a
 * welded contact is noticed by neither. */
#define STOP_WITH(contacts, faults)                                           \
    "REVIEW SealIn\n" SCAN                                                    \
    "  CONTROLS start : BUTTON; halt : STOP CONTACTS " contacts ";\n"         \
    "    run : MOTOR; END_CONTROLS\n  FAULTS " faults " END_FAULTS\n"         \
    REQUIRE "    Stops : NEVER run AND PRESSED halt DESPITE 1 FAULT;\n" END

static void test_wire_of_a_stop(void **unused)
{
    static const char opening[] =
        "PROGRAM Main\nVAR_INPUT start, halt : BOOL; END_VAR\n"
        "VAR_OUTPUT run : BOOL; END_VAR\n"
        "run := (start OR run) AND halt;\nEND_PROGRAM\n";
    static const char closing[] =
        "PROGRAM Main\nVAR_INPUT start, halt : BOOL; END_VAR\n"
        "VAR_OUTPUT run : BOOL; END_VAR\n"
        "run := (start OR run) AND NOT halt;\nEND_PROGRAM\n";

    (void)unused;
    solve(&(struct exercise){opening, STOP_WITH("OPENING",
        "Off : halt WIRE OFF;"), {{"Stops", 0}}});
    solve(&(struct exercise){closing, STOP_WITH("CLOSING",
        "Off : halt WIRE OFF;"), {{"Stops", 1}}});
    solve(&(struct exercise){opening, STOP_WITH("OPENING",
        "Welded : halt DOES NOT OPEN;"), {{"Stops", 1}}});
    solve(&(struct exercise){closing, STOP_WITH("CLOSING",
        "Welded : halt DOES NOT CLOSE;"), {{"Stops", 1}}});
}

/* ---- a motor with two directions ---- */

#define TWO_WAYS(logic)                                                       \
    "PROGRAM Main\nVAR_INPUT go_up, go_down : BOOL; END_VAR\n"                \
    "VAR_OUTPUT up, down : BOOL; END_VAR\n"                                   \
    "VAR up_last, down_last : BOOL; END_VAR\n" logic "\nEND_PROGRAM\n"

static const char two_ways[] =
    "REVIEW TwoWays\n" SCAN
    "  CONTROLS go_up : BUTTON; go_down : BUTTON;\n"
    "    up : MOTOR; down : MOTOR; END_CONTROLS\n"
    REQUIRE "    NotBoth : NEVER up AND down;\n"
            "    OneScan : up AND down NO LONGER THAN T#100ms SAMPLED;\n" END;

static void test_two_directions(void **unused)
{
    (void)unused;
    solve(&(struct exercise){TWO_WAYS("up := go_up; down := go_down;"),
        two_ways, {{"NotBoth", 1}, {"OneScan", 2}}});
    solve(&(struct exercise){
        TWO_WAYS("up := go_up AND NOT down; down := go_down AND NOT up;"),
        two_ways, {{"NotBoth", 0}}});
    /* Each looks at the other of the last scan: both on, but for one scan. */
    solve(&(struct exercise){
        TWO_WAYS("up := go_up AND NOT down_last;\n"
                 "down := go_down AND NOT up_last;\n"
                 "up_last := up; down_last := down;"),
        two_ways, {{"NotBoth", 1}, {"OneScan", 0}}});
}

/* ---- a roller door with end switches ---- */

#define ROLLER(watchdog)                                                      \
    "PROGRAM Main\nVAR_INPUT go_up, go_down, not_open, not_shut : BOOL;\n"    \
    "END_VAR\nVAR_OUTPUT up, down : BOOL; END_VAR\n"                          \
    "VAR runs : TON; END_VAR\n"                                               \
    "up := go_up AND NOT go_down AND not_open;\n"                             \
    "down := go_down AND NOT go_up AND not_shut;\n" watchdog                  \
    "\nEND_PROGRAM\n"

#define ROLLER_REVIEW(despite)                                                \
    "REVIEW Roller\n" SCAN                                                    \
    "  CONTROLS go_up : BUTTON; go_down : BUTTON;\n"                          \
    "    not_open : SENSOR ON WHEN door <> Wide AND door <> Beyond;\n"        \
    "    not_shut : SENSOR ON WHEN door <> Shut;\n"                           \
    "    up : MOTOR; down : MOTOR; END_CONTROLS\n"                            \
    "  MECHANISM Door\n"                                                      \
    "    VAR door : (Shut, Half, Wide, Beyond) := Shut; END_VAR\n"            \
    "    MOVES door FROM Shut TO Half WHILE up;\n"                            \
    "    MOVES door FROM Half TO Wide WHILE up;\n"                            \
    "    MOVES door FROM Wide TO Beyond WHILE up;\n"                          \
    "    MOVES door FROM Wide TO Half WHILE down;\n"                          \
    "    MOVES door FROM Half TO Shut WHILE down;\n"                          \
    "  END_MECHANISM\n"                                                       \
    "  FAULTS Stuck : not_open STAYS; END_FAULTS\n"                           \
    REQUIRE "    Within_ends : NEVER door = Beyond" despite ";\n"             \
    "    Bounded : up NO LONGER THAN T#300ms SAMPLED" despite ";\n" END

static void test_roller_door(void **unused)
{
    static const char plain[] = ROLLER("");
    static const char watched[] =
        ROLLER("runs(IN := up OR down, PT := T#300ms);\n"
               "up := up AND NOT runs.Q; down := down AND NOT runs.Q;");

    (void)unused;
    /* A door that gets no farther keeps the motor on: four scans. */
    solve(&(struct exercise){plain, ROLLER_REVIEW(""),
        {{"Within_ends", 0}, {"Bounded", 4}}});
    /* Up in scan 1; half, wide, beyond in 2, 3, 4. */
    solve(&(struct exercise){plain, ROLLER_REVIEW(" DESPITE 1 FAULT"),
        {{"Within_ends", 4}, {"Bounded", 4}}});
    solve(&(struct exercise){watched, ROLLER_REVIEW(" DESPITE 1 FAULT"),
        {{"Within_ends", 4}, {"Bounded", 0}}});
}

/* ---- traffic lights ---- */

#define LIGHTS(gap)                                                           \
    "TYPE Phase : (A, AtoB, B, BtoA); END_TYPE\n"                             \
    "PROGRAM Main\nVAR_INPUT wanted : BOOL; END_VAR\n"                        \
    "VAR_OUTPUT green_a, green_b : BOOL; END_VAR\n"                           \
    "VAR phase : Phase; red : TON; END_VAR\n"                                 \
    "red(IN := phase = AtoB OR phase = BtoA, PT := " gap ");\n"               \
    "CASE phase OF\n"                                                         \
    "  A: IF wanted THEN phase := AtoB; END_IF;\n"                            \
    "  AtoB: IF red.Q THEN phase := B; END_IF;\n"                             \
    "  B: IF wanted THEN phase := BtoA; END_IF;\n"                            \
    "  BtoA: IF red.Q THEN phase := A; END_IF;\n"                             \
    "END_CASE;\n"                                                             \
    "green_a := phase = A; green_b := phase = B;\nEND_PROGRAM\n"

static const char lights[] =
    "REVIEW Lights\n" SCAN
    "  CONTROLS wanted : BUTTON; green_a : LAMP; green_b : LAMP;\n"
    "  END_CONTROLS\n"
    REQUIRE "    NotBoth : NEVER green_a AND green_b;\n"
            "    AllRed : NOT green_a AND NOT green_b\n"
            "             AT LEAST T#300ms SAMPLED;\n"
            "    Turns : POSSIBLE FALLING green_b;\n" END;

/* Red from the scan that wants it; the timer sees it one scan later, which
 * with a time of 0 is all there is. */
static void test_traffic_lights(void **unused)
{
    struct trial t;

    (void)unused;
    solve(&(struct exercise){LIGHTS("T#200ms"), lights,
        {{"NotBoth", 0}, {"AllRed", 0}}});
    solve(&(struct exercise){LIGHTS("T#0ms"), lights,
        {{"NotBoth", 0}, {"AllRed", 2}}});
    solve(&(struct exercise){LIGHTS("T#100ms"), lights,
        {{"NotBoth", 0}, {"AllRed", 3}}});
    trial_open(&t, LIGHTS("T#200ms"), lights);
    trial_judges(&t, "Turns", VERDICT_KEPT, 5);
    trial_close(&t);
}

/* ---- a lift and its door ---- */

#define LIFT(inputs, guard)                                                   \
    "PROGRAM Main\nVAR_INPUT call, let_out, " inputs " : BOOL; END_VAR\n"     \
    "VAR_OUTPUT drive, opens : BOOL; END_VAR\n"                               \
    "VAR shut_last : BOOL := TRUE; END_VAR\n"                                 \
    "drive := call AND NOT let_out AND " guard ";\n"                          \
    "opens := let_out AND NOT drive;\n"                                       \
    "shut_last := shut_1;\nEND_PROGRAM\n"

#define LIFT_REVIEW(sensors, faults, despite)                                 \
    "REVIEW Lift\n" SCAN                                                      \
    "  CONTROLS call : BUTTON; let_out : BUTTON;\n" sensors                   \
    "    drive : MOTOR; opens : MOTOR; END_CONTROLS\n"                        \
    "  MECHANISM Door VAR door : (Closed, Ajar) := Closed; END_VAR\n"         \
    "    MOVES door FROM Closed TO Ajar WHILE opens;\n"                       \
    "    MOVES door FROM Ajar TO Closed WHILE NOT opens;\n"                   \
    "  END_MECHANISM\n" faults                                                \
    REQUIRE "    Closed_moves : drive ONLY IF door = Closed" despite ";\n" END

#define SHUT_1 "    shut_1 : SENSOR ON WHEN door = Closed;\n"
#define SHUT_2 "    shut_2 : SENSOR ON WHEN door = Closed;\n"
#define SHORTS                                                                \
    "  FAULTS S1 : shut_1 SHORT TO SUPPLY; S2 : shut_2 SHORT TO SUPPLY;\n"    \
    "    J1 : shut_1 STAYS; J2 : shut_2 STAYS; END_FAULTS\n"

static void test_lift_door(void **unused)
{
    static const char one[] = LIFT("shut_1", "shut_1");
    static const char late[] = LIFT("shut_1", "shut_last");
    static const char two[] = LIFT("shut_1, shut_2", "shut_1 AND shut_2");

    (void)unused;
    solve(&(struct exercise){one, LIFT_REVIEW(SHUT_1, "", ""),
        {{"Closed_moves", 0}}});
    /* The door of the last scan: let out in scan 1, called in scan 2. */
    solve(&(struct exercise){late, LIFT_REVIEW(SHUT_1, "", ""),
        {{"Closed_moves", 2}}});
    solve(&(struct exercise){one, LIFT_REVIEW(SHUT_1,
        "  FAULTS S1 : shut_1 SHORT TO SUPPLY; END_FAULTS\n",
        " DESPITE 1 FAULT"), {{"Closed_moves", 2}}});
    solve(&(struct exercise){two, LIFT_REVIEW(SHUT_1 SHUT_2, SHORTS,
        " DESPITE 1 FAULT"), {{"Closed_moves", 0}}});
    solve(&(struct exercise){two, LIFT_REVIEW(SHUT_1 SHUT_2, SHORTS,
        " DESPITE 2 FAULTS"), {{"Closed_moves", 2}}});
}

/* ---- two guards, two channels: a fault that the other guard hides ---- */

#define GUARDS(inputs, logic)                                                 \
    "PROGRAM Main\nVAR_INPUT start, " inputs " : BOOL; END_VAR\n"             \
    "VAR_OUTPUT run : BOOL; END_VAR\n"                                        \
    "VAR error_1, error_2, differ : BOOL; END_VAR\n" logic                    \
    "\nEND_PROGRAM\n"

#define GUARDS_REVIEW(wiring)                                                 \
    "REVIEW Guards\n" SCAN                                                    \
    "  CONTROLS start : BUTTON; run : MOTOR;\n"                               \
    "    guard_1 : SWITCH 'guard 1 closed' CONTACTS g1a CLOSING,\n"           \
    "              g1b CLOSING;\n"                                            \
    "    guard_2 : SWITCH 'guard 2 closed' CONTACTS g2a CLOSING,\n"           \
    "              g2b CLOSING;\n"                                            \
    "  END_CONTROLS\n  WIRING IN " wiring " END_WIRING\n"                     \
    "  FAULTS Welded : g1a DOES NOT OPEN; END_FAULTS\n"                       \
    REQUIRE                                                                   \
    "    Locked : AFTER Main.differ, NO run UNTIL cold DESPITE 1 FAULT;\n"    \
    "    Guarded : run ONLY IF PRESSED guard_1 AND PRESSED guard_2\n"         \
    "              DESPITE 1 FAULT;\n" END

/* The channels differ when guard 1 is open and its contact welded.  Opening
 * guard 2 as well opens both channels of the series: the error goes, and in
 * scan 3 it runs with the fault in it.  Guarded holds either way: the second
 * channel is there. */
static void test_masked_fault(void **unused)
{
    static const char series[] = GUARDS("a, b",
        "differ := a <> b;\n"
        "error_1 := (error_1 OR differ) AND (a OR b);\n"
        "run := start AND a AND b AND NOT error_1;");
    static const char apart[] = GUARDS("a1, b1, a2, b2",
        "differ := a1 <> b1 OR a2 <> b2;\n"
        "error_1 := (error_1 OR a1 <> b1) AND (a1 OR b1);\n"
        "error_2 := (error_2 OR a2 <> b2) AND (a2 OR b2);\n"
        "run := start AND a1 AND b1 AND a2 AND b2\n"
        "       AND NOT error_1 AND NOT error_2;");

    (void)unused;
    solve(&(struct exercise){series,
        GUARDS_REVIEW("Main.a := g1a AND g2a; Main.b := g1b AND g2b;"),
        {{"Locked", 3}, {"Guarded", 0}}});
    solve(&(struct exercise){apart,
        GUARDS_REVIEW("Main.a1 := g1a; Main.b1 := g1b; Main.a2 := g2a;\n"
                      "    Main.b2 := g2b;"),
        {{"Locked", 0}, {"Guarded", 0}}});
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_start_and_stop),
        cmocka_unit_test(test_wire_of_a_stop),
        cmocka_unit_test(test_two_directions),
        cmocka_unit_test(test_roller_door),
        cmocka_unit_test(test_traffic_lights),
        cmocka_unit_test(test_lift_door),
        cmocka_unit_test(test_masked_fault),
    };

    return cmocka_run_group_tests_name("exercises", tests, NULL, NULL);
}
