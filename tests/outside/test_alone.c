/* Texts without a PROGRAM: each function and block is judged by itself, with
 * any inputs, and what is found is what a PROGRAM written by hand finds. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/shell.h"

/* Judges a control text; its exit code. */
static int check(const char *text)
{
    shell_put(shell_place(), "a.st", text);
    return shell_run("%s check %s/a.st 2>&1", shell_program(), shell_place());
}

static void a_function(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION Half : INT\nVAR_INPUT x : INT (0 .. 100); END_VAR\n"
        "Half := x / 2;\nEND_FUNCTION\n"), 0);
    shell_expect("FUNCTION Half (");
    shell_expect("called once in every scan with any inputs");
    shell_expect("No run-time error can occur.");
    shell_expect("1 function or block judged, each by itself: in 1 no");
    assert_int_equal(check(
        "FUNCTION Part : INT\nVAR_INPUT x, y : INT (0 .. 100); END_VAR\n"
        "Part := x / y;\nEND_FUNCTION\n"), 1);
    shell_expect("a division by zero");
}

/* A block remembers: the counter overflows after some scans only. */
static void a_block(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION_BLOCK Count\nVAR_INPUT go : BOOL; END_VAR\n"
        "VAR_OUTPUT n : INT (0 .. 9); END_VAR\n"
        "IF go THEN n := n + 1; END_IF;\nEND_FUNCTION_BLOCK\n"), 1);
    shell_expect("a value outside the range of its variable");
    shell_expect("10 scans");
    assert_int_equal(check(
        "FUNCTION_BLOCK Count\nVAR_INPUT go : BOOL; END_VAR\n"
        "VAR_OUTPUT n : INT (0 .. 9); END_VAR\n"
        "IF go AND n < 9 THEN n := n + 1; END_IF;\n"
        "END_FUNCTION_BLOCK\n"), 0);
}

/* The variable that a caller lends may have any value before each call. */
static void lent_variables(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION_BLOCK Swap\n"
        "VAR_IN_OUT a, b : INT (0 .. 9); END_VAR\nVAR t : INT (0 .. 9); "
        "END_VAR\nt := a; a := b; b := t;\nEND_FUNCTION_BLOCK\n"), 0);
    assert_int_equal(check(
        "FUNCTION Grow : BOOL\n"
        "VAR_IN_OUT a : INT (0 .. 9); END_VAR\n"
        "a := a + 1;\nGrow := TRUE;\nEND_FUNCTION\n"), 1);
    shell_expect("a value outside the range of its variable");
}

/* Types written in place, open arrays, names that the PROGRAM would take. */
static void of_every_type(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION_BLOCK Season\n"
        "VAR_INPUT mode : (Winter, Summer) := Summer; called : BOOL; "
        "END_VAR\nVAR_OUTPUT heat : BOOL; END_VAR\n"
        "CASE mode OF Winter: heat := called; Summer: heat := FALSE; "
        "END_CASE;\nEND_FUNCTION_BLOCK\n"), 0);
    assert_int_equal(check(
        "FUNCTION Any : BOOL\nVAR_IN_OUT a : ARRAY [*] OF BOOL; END_VAR\n"
        "VAR i : INT; END_VAR\n"
        "FOR i := LOWER_BOUND(a, 1) TO UPPER_BOUND(a, 1) DO\n"
        "  Any := Any OR a[i];\nEND_FOR;\nEND_FUNCTION\n"), 0);
    shell_expect("its open arrays with indices 0 to 7");
    assert_int_equal(check(
        "TYPE Pair : STRUCT x, y : INT (0 .. 3); END_STRUCT; END_TYPE\n"
        "FUNCTION Sum : INT\nVAR_INPUT p : Pair; result : INT (0 .. 1); "
        "END_VAR\nSum := p.x + p.y + result;\nEND_FUNCTION\n"), 0);
}

/* One that is not read leaves the others to be judged. */
static void the_others_are_judged(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION Bad : INT\nVAR_INPUT p : POINTER TO INT; END_VAR\n"
        "Bad := p^;\nEND_FUNCTION\n"
        "FUNCTION Good : BOOL\nVAR_INPUT a : BOOL; END_VAR\n"
        "Good := NOT a;\nEND_FUNCTION\n"), 2);
    shell_expect("Not judged: see the messages.");
    shell_expect("2 functions and blocks judged, each by itself: in 1 no");
    shell_expect("1 could not be read");
}

/* The same question, its PROGRAM written by hand. */
static void as_by_hand(void **state)
{
    static const char block[] =
        "FUNCTION_BLOCK Delay\nVAR_INPUT in : BOOL; END_VAR\n"
        "VAR_OUTPUT n : INT (0 .. 5); END_VAR\nVAR t : TON; END_VAR\n"
        "t(IN := in, PT := T#300ms);\n"
        "IF t.Q THEN n := n + 1; END_IF;\nEND_FUNCTION_BLOCK\n";
    char whole[1000];

    (void)state;
    assert_int_equal(check(block), 1);
    shell_expect("9 scans, 0.8 s");
    snprintf(whole, sizeof whole,
             "%sPROGRAM Main\nVAR_INPUT in : BOOL; END_VAR\n"
             "VAR d : Delay; END_VAR\nd(in := in);\nEND_PROGRAM\n", block);
    assert_int_equal(check(whole), 1);
    shell_expect("9 scans, 0.8 s");
}

/* Two sums that nobody looks through: what is not found soon is told as not
 * finished, whichever way it would be found. */
static void not_for_long(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION_BLOCK Totals\nVAR_INPUT i : USINT (0 .. 3); END_VAR\n"
        "VAR t : ARRAY [0 .. 3] OF UDINT; n : UINT; END_VAR\n"
        "t[i] := t[i] + 1; n := n + i * 4;\n"
        "IF t[0] = t[1] THEN n := 0; END_IF;\nEND_FUNCTION_BLOCK\n"), 3);
    shell_expect("a control text alone is not looked at for longer");
    shell_expect_not("interrupted");
}

static void into_a_file(void **state)
{
    (void)state;
    shell_put(shell_place(), "b.st", "FUNCTION F : BOOL\nVAR_INPUT a : BOOL; "
                              "END_VAR\nF := a;\nEND_FUNCTION\n");
    assert_int_equal(shell_run("%s check -o %s/b.txt %s/b.st 2>&1",
                               shell_program(), shell_place(),
                               shell_place()), 0);
    assert_string_equal(shell_output(), "");
    assert_int_equal(shell_run("cat %s/b.txt", shell_place()), 0);
    shell_expect("FUNCTION F (");
    shell_expect("A design aid:");
}

/* Nothing that was not judged passes for judged. */
static void an_interrupted_run(void **state)
{
    char text[4000] = "";
    size_t n = 0;

    (void)state;
    for (int i = 0; i < 12; i++)
        n += (size_t)snprintf(
            text + n, sizeof text - n,
            "FUNCTION_BLOCK F%d\nVAR_INPUT b : BOOL; END_VAR\n"
            "VAR x, y, z : INT (0 .. 4000); q : INT; END_VAR\n"
            "IF b THEN x := (x + 7) MOD 3989; y := (y + x) MOD 3967; "
            "z := (z + y) MOD 3931; END_IF;\n"
            "q := 9 / (z * 2 - 7861 + y / 3966);\nEND_FUNCTION_BLOCK\n", i);
    shell_put(shell_place(), "long.st", text);
    assert_int_equal(shell_run("timeout -s INT -k 60 2 %s check %s/long.st "
                               "2>&1; test $? = 124 && exit 3",
                               shell_program(), shell_place()), 3);
    shell_expect("Interrupted: of ");
    shell_expect(" more nothing was judged.");
}

/* What another block writes to a global is not there when this one is
 * judged: it may be anything before each scan. */
static void what_is_global_is_shared(void **state)
{
    (void)state;
    assert_int_equal(check(
        "VAR_GLOBAL g : INT (0 .. 9) := 5; END_VAR\n"
        "FUNCTION_BLOCK Clear\nVAR_INPUT a : BOOL; END_VAR\n"
        "IF a THEN g := 0; END_IF;\nEND_FUNCTION_BLOCK\n"
        "FUNCTION_BLOCK Share\nVAR x : INT; END_VAR\n"
        "x := 100 / g;\ng := 7;\nEND_FUNCTION_BLOCK\n"), 1);
    shell_expect("a division by zero");
    shell_expect("written by others, free: g\n");
    shell_expect("in 1 no run-time error can occur, in 1 one can be reached");
}

static void constants_of_its_own(void **state)
{
    (void)state;
    assert_int_equal(check(
        "FUNCTION_BLOCK Sum\nVAR CONSTANT N : INT := 2; M : INT := N + 1; "
        "END_VAR\nVAR_IN_OUT a : ARRAY [1..M] OF INT (0 .. 9); END_VAR\n"
        "VAR_OUTPUT s : INT; END_VAR\n"
        "s := a[1] + a[N] + a[M];\nEND_FUNCTION_BLOCK\n"), 0);
}

static const char beside[] =
    "FUNCTION Far : INT\nVAR_INPUT p : POINTER TO INT; END_VAR\n"
    "Far := p^;\nEND_FUNCTION\n"
    "FUNCTION Near : INT\nVAR_INPUT a : INT (0 .. 9); END_VAR\n"
    "Near := 9 - a;\nEND_FUNCTION\n";

/* One that is not read keeps nobody from judging the others. */
static void beside_what_is_not_read(void **state)
{
    char text[1000];

    (void)state;
    assert_int_equal(check(beside), 2);
    shell_expect("'POINTER' is not read in this version");
    shell_expect("FUNCTION Near (");
    shell_expect("in 1 no run-time error can occur");
    shell_expect("1 could not be read");
    snprintf(text, sizeof text,
             "%sVAR_GLOBAL g : INT (0 .. 9) := 1; END_VAR\n"
             "PROGRAM Chart\nVAR x : BOOL; END_VAR\nINITIAL_STEP S:\n"
             "END_STEP\nEND_PROGRAM\n"
             "PROGRAM Text\nVAR y : INT; END_VAR\ny := 9 / g;\n"
             "g := 1;\nEND_PROGRAM\n", beside);
    assert_int_equal(check(text), 2);
    shell_expect("sequential charts (STEP, TRANSITION) are not read");
    shell_expect("PROGRAM Chart (");
    shell_expect("PROGRAM Text (");
    shell_expect("), run by itself\n");
    shell_expect("a division by zero");
    shell_expect("4 programs, functions and blocks judged");
}

/* A mistake is mended first: nothing else is judged beside it. */
static void beside_a_mistake(void **state)
{
    (void)state;
    assert_int_equal(check(
        "PROGRAM Main\nVAR y : INT; END_VAR\ny := ;\nEND_PROGRAM\n"
        "FUNCTION Near : INT\nVAR_INPUT a : INT (0 .. 9); END_VAR\n"
        "Near := 9 - a;\nEND_FUNCTION\n"), 2);
    shell_expect_not("FUNCTION Near (");
}

/* Durations keep their largest value where other variables take long until
 * it is known what they can be. */
static void a_time_out_of_a_table(void **state)
{
    (void)state;
    assert_int_equal(check(
        "PROGRAM Chain\n"
        "VAR x : BOOL; a0, a1, a2, a3, a4, a5, a6, a7, a8, a9 : INT; "
        "t : TON;\ntimes : ARRAY [0..1] OF TIME := [T#1s, T#2s]; END_VAR\n"
        "a9 := a8; a8 := a7; a7 := a6; a6 := a5; a5 := a4; a4 := a3;\n"
        "a3 := a2; a2 := a1; a1 := a0;\n"
        "IF x THEN a0 := 1; t(IN := a9 > 0, PT := times[a0]);\n"
        "ELSE t(IN := FALSE); END_IF;\nEND_PROGRAM\n"), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_function),
        cmocka_unit_test(a_block),
        cmocka_unit_test(lent_variables),
        cmocka_unit_test(of_every_type),
        cmocka_unit_test(the_others_are_judged),
        cmocka_unit_test(as_by_hand),
        cmocka_unit_test(not_for_long),
        cmocka_unit_test(into_a_file),
        cmocka_unit_test(an_interrupted_run),
        cmocka_unit_test(what_is_global_is_shared),
        cmocka_unit_test(constants_of_its_own),
        cmocka_unit_test(beside_what_is_not_read),
        cmocka_unit_test(beside_a_mistake),
        cmocka_unit_test(a_time_out_of_a_table),
    };

    return cmocka_run_group_tests_name("alone", tests, shell_set_up,
                                       shell_tear_down);
}
