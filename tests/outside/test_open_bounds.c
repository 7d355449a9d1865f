/* Values that are left open keep the bounds that the text gives them: the
 * guards of a careful programmer are no run-time error, and those that are
 * one too short still are one.  That LIMIT, MIN, MAX, MOD, ABS, AND and SHR
 * bound their results so is IEC 61131-3, third edition, tables 29 to 33
 * (from memory). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/shell.h"

/* A function of these inputs; its exit code. */
static int judged(const char *inputs, const char *body)
{
    char text[2000];

    snprintf(text, sizeof text,
             "FUNCTION F : BOOL\nVAR_INPUT %s END_VAR\n"
             "VAR t : ARRAY [0 .. 9] OF BOOL; u : ARRAY [0 .. 99] OF BOOL;\n"
             "c : ARRAY [0 .. 15] OF BOOL; q : UDINT; r : INT; k : DINT; "
             "END_VAR\n%s\nEND_FUNCTION\n", inputs, body);
    shell_put(shell_place(), "a.st", text);
    return shell_run("%s check %s/a.st 2>&1", shell_program(), shell_place());
}

struct row {
    const char *inputs, *body;
    int code; /* 0: no error; 1: an error, shown; 3: not decided */
};

static void expect(const struct row *rows, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        int code = judged(rows[i].inputs, rows[i].body);

        if (code != rows[i].code)
            printf("%s %s: %d\n%s\n", rows[i].inputs, rows[i].body, code,
                   shell_output());
        assert_int_equal(code, rows[i].code);
    }
}

#define EXPECT(rows) expect(rows, sizeof(rows) / sizeof *(rows))

static void chosen_indices(void **state)
{
    static const struct row rows[] = {
        {"x : DINT;", "F := t[LIMIT(0, x, 9)];", 0},
        {"x : DINT;", "F := t[LIMIT(0, x, 10)];", 1},
        {"x : DINT;", "F := t[LIMIT(-1, x, 9)];", 1},
        {"x : UINT;", "F := t[MIN(x, UINT#9)];", 0},
        {"x : UINT;", "F := t[MIN(x, UINT#10)];", 1},
        {"x : DINT;", "F := t[MAX(MIN(x, 9), 0)];", 0},
        {"x : DINT;", "F := t[MAX(MIN(x, 9), -1)];", 1},
        {"x : DINT; b : BOOL;",
         "k := SEL(b, x, 5); IF k >= 0 AND k <= 9 THEN F := t[k]; END_IF;",
         0},
        {"x : DINT; b : BOOL;",
         "k := SEL(b, x, 5); IF k >= 0 AND k <= 10 THEN F := t[k]; END_IF;",
         1},
        /* the class of one that is computed with, too */
        {"x : DINT;", "q := DINT_TO_UDINT(ABS(x / 7));\n"
                      "F := t[LIMIT(0, x, 9)];", 0},
        {"x, y : DINT;", "k := MIN(x, y); F := k > x;", 0}};

    (void)state;
    EXPECT(rows);
}

/* A variable that counts from a constant takes no part in what was stored in
 * it elsewhere. */
static void counting_variables(void **state)
{
    static const struct row rows[] = {
        {"x : INT;", "r := x; FOR r := 0 TO 9 DO t[r] := TRUE; END_FOR;", 0},
        {"x : INT;", "r := x; FOR r := 0 TO 10 DO t[r] := TRUE; END_FOR;", 1},
        {"x : INT;", "FOR r := x TO 7 DO F := TRUE; END_FOR;\n"
                     "FOR r := 9 TO 0 BY -1 DO t[r] := TRUE; END_FOR;", 3},
        {"x : INT;", "r := x / 2; IF r > 3 THEN F := TRUE; END_IF;\n"
                     "FOR r := 0 TO 9 DO t[r] := r = 5; END_FOR;\n"
                     "F := t[5] AND NOT t[4];\n"
                     "IF NOT F THEN r := 1 / (r - 10); END_IF;", 0}};

    (void)state;
    EXPECT(rows);
}

/* Bit strings of 16 and 32 bits are left open as numbers are; a negative
 * number becomes none, and nothing is shifted by one. */
static void bit_strings(void **state)
{
    static const struct row rows[] = {
        {"x : TIME;", "F := (TIME_TO_DWORD(x) AND DWORD#3) = 1;", 1},
        {"x : TIME;",
         "IF x >= T#0s AND x < T#40d THEN "
         "F := (TIME_TO_DWORD(x) AND DWORD#3) = 1; END_IF;", 0},
        {"x : INT;", "F := (INT_TO_DWORD(x - 1) AND DWORD#3) = 1;", 1},
        {"x : INT (1 .. 9999);",
         "F := (INT_TO_DWORD(x - 1) AND DWORD#3) = 1;", 0},
        {"x : DWORD; n : INT;", "F := (SHR(x, n) AND DWORD#1) = 1;", 1},
        {"x : DWORD; n : INT;",
         "IF n >= 0 THEN F := (SHR(x, n) AND DWORD#1) = 1; END_IF;", 0},
        {"x : DWORD; n : USINT;", "F := (ROL(x, n) AND DWORD#1) = 1;", 0},
        {"n : INT;", "F := SHL(DWORD#1, n) = 8;", 1},
        {"x : WORD;", "x.15 := x.0; x := SHR(x, 1); F := x = 3;", 0}};

    (void)state;
    EXPECT(rows);
}

static void computed_indices(void **state)
{
    static const struct row rows[] = {
        {"x : UDINT;", "F := u[x MOD 100];", 0},
        {"x : UDINT;", "F := u[x MOD 101];", 3},
        {"x : DINT;", "F := u[ABS(x MOD 100)];", 0},
        {"x : DINT;", "F := u[x MOD 100];", 3},
        {"x : UDINT;", "F := t[x / 500000000];", 0},
        {"x : UDINT;", "F := t[x / 400000000];", 3},
        {"x : DWORD;", "F := c[DWORD_TO_DINT(x AND 16#0F)];", 0},
        {"x : DWORD;", "F := c[DWORD_TO_DINT(x AND 16#1F)];", 1},
        {"x : DWORD; y : DWORD;",
         "q := DWORD_TO_UDINT(x); F := c[DWORD_TO_DINT(x AND y AND 16#0F)];",
         0},
        {"x : WORD;", "F := c[WORD_TO_INT(SHR(x, 12))];", 0},
        {"x : WORD;", "F := c[WORD_TO_INT(SHR(x, 11))];", 3},
        {"x : DINT (-9 .. 9000);", "F := t[ABS(x) MOD 10];", 0},
        {"x : UINT;", "q := UINT_TO_UDINT(x) * 65535;", 0},
        {"x : UDINT;", "r := UDINT_TO_INT((x / 86400 + 3) MOD 7); F := t[r];",
         0},
        {"x : UDINT;", "r := UDINT_TO_INT(x MOD 9); F := t[r + 1];", 0},
        {"x : UDINT;", "r := UDINT_TO_INT(x MOD 10); F := t[r + 1];", 3},
        {"s : STRING;", "F := t[MIN(LEN(s), 9)];", 0},
        {"s : STRING;", "F := t[MIN(FIND(s, 'a'), 10)];", 3}};

    (void)state;
    EXPECT(rows);
}

/* Whether it can be computed is asked of the operand itself. */
static void guarded(void **state)
{
    static const struct row rows[] = {
        {"x, y : UDINT;", "IF y <> 0 THEN q := x / y; END_IF;", 0},
        {"x, y : UDINT;", "IF y > 0 THEN q := x MOD y; END_IF;", 0},
        {"x, y : UDINT;", "q := x MOD y;", 1},
        {"x, y : UDINT;", "IF x <> 0 THEN q := x / y; END_IF;", 1},
        {"x, y : DINT;", "IF y <> 0 THEN k := x / y; END_IF;", 1},
        {"x, y : DINT;", "IF y > 0 THEN k := x / y; END_IF;", 0},
        {"x, y : UDINT;",
         "WHILE y <> 0 DO q := y; y := x MOD y; x := q; END_WHILE;", 3},
        {"x : INT;", "IF x < 32767 THEN r := x + 1; END_IF;", 0},
        {"x : INT;", "r := x + 1;", 1},
        {"x : INT;", "IF x < 32767 THEN r := x + 2; END_IF;", 1},
        {"x : INT;", "IF x >= 0 THEN r := 5 - x; END_IF;", 0},
        {"x : INT;", "r := -x;", 1},
        {"x : INT;", "IF x > -32768 THEN r := -x; END_IF;", 0},
        {"x : INT;", "IF x > -3277 AND x < 3277 THEN r := x * 10; END_IF;",
         0},
        {"x : INT;", "IF x > -3278 AND x < 3277 THEN r := x * 10; END_IF;",
         1},
        {"x : INT;", "IF x > -3277 AND x < 3277 THEN r := -10 * x; END_IF;",
         0},
        {"x : DINT;", "IF x <> -2147483648 THEN k := ABS(x); END_IF;", 0},
        {"x : DINT;", "k := ABS(x);", 1}};

    (void)state;
    EXPECT(rows);
}

/* Patterns of bits, where others than the lowest are kept. */
static void masks(void **state)
{
    static const struct row rows[] = {
        {"x : DWORD;", "q := DWORD_TO_UDINT(x) MOD 7;\n"
                       "F := (x AND 16#81) = 16#80;", 0},
        {"x : DWORD;", "q := DWORD_TO_UDINT(x) MOD 7;\n"
                       "F := u[DWORD_TO_DINT(x AND 16#42)];", 0},
        {"x : DWORD;", "q := DWORD_TO_UDINT(x) MOD 7;\n"
                       "F := u[DWORD_TO_DINT(x AND 16#62)];", 0},
        {"x : DWORD;", "q := DWORD_TO_UDINT(x) MOD 7;\n"
                       "F := u[DWORD_TO_DINT(x AND 16#64)];", 3}};

    (void)state;
    EXPECT(rows);
}

/* Shifts by what may be below 0, and single bits that are written. */
static void shifts(void **state)
{
    static const struct row rows[] = {
        {"x : DWORD; n : INT;", "IF n >= 0 THEN x := SHR(x, n); END_IF;", 0},
        {"x : DWORD; n : INT;", "x := SHR(x, n);", 1},
        {"n : INT;", "IF n >= 0 THEN F := SHL(BYTE#1, n) = 2; END_IF;", 0},
        {"x : DWORD;", "r := 16; REPEAT x := x XOR SHR(x, r); r := r / 2;\n"
                       "UNTIL r = 0 END_REPEAT", 0},
        {"x : WORD;", "F := x.0 XOR x.2; x := SHR(x, 1); x.15 := F;\n"
                      "F := x = 7;", 0}};

    (void)state;
    EXPECT(rows);
}

/* A control variable that is used twice, once from an end that nobody
 * knows. */
static void control_variables(void **state)
{
    static const struct row rows[] = {
        {"x : INT;", "FOR r := 9 TO 0 BY -1 DO F := F OR t[r]; END_FOR;\n"
                     "FOR r := x TO 9 DO IF r >= 0 AND r <= 9 THEN\n"
                     "F := F OR t[r]; END_IF; END_FOR;", 3},
        {"x : INT;", "r := x; IF r > 5 THEN F := TRUE; END_IF;\n"
                     "FOR r := 0 TO 9 DO F := F OR t[r]; END_FOR;", 0},
        {"x : INT;", "r := x; IF r > 5 THEN F := TRUE; END_IF;\n"
                     "FOR r := 0 TO 10 DO F := F OR t[r]; END_FOR;", 1}};

    (void)state;
    EXPECT(rows);
}

/* One call that stands for several operators has the errors of all. */
static void errors_of_parts(void **state)
{
    static const struct row rows[] = {
        {"x, y : DINT;", "k := ADD(x, y, 0);", 3},
        {"x, y : DINT;", "k := MUL(x, y, 1);", 3},
        {"x, y : DINT;", "k := ADD(x, y, 3);", 3},
        {"x, y : INT;", "k := ADD(INT_TO_DINT(x), INT_TO_DINT(y), 0);", 0}};

    (void)state;
    EXPECT(rows);
}

/* What the controller makes of overflow is not guessed: where it wraps, n may
 * be anything, and nothing is an error. */
static void whatever_overflow_is(void **state)
{
    static const char *const settings[] = {"REPORTED", "WRAPS", "SATURATES"};

    (void)state;
    shell_put(shell_place(), "b.st",
              "PROGRAM Main\nVAR_INPUT x : INT; END_VAR\n"
              "VAR m, n : INT; END_VAR\nIF x > 0 THEN n := x + 1; m := n; "
              "END_IF;\nEND_PROGRAM\n");
    for (int i = 0; i < 3; i++) {
        char text[600];

        snprintf(text, sizeof text,
                 "REVIEW R\nCONTROL 'b.st';\nSCAN T#100ms;\nCONTROLLER\n"
                 "  OVERFLOW : %s BECAUSE 'manual';\nEND_CONTROLLER\n"
                 "REQUIREMENTS\n  R1 'never below zero' : ALWAYS m >= 0;\n"
                 "END_REQUIREMENTS\nEND_REVIEW\n", settings[i]);
        shell_put(shell_place(), "b.review", text);
        assert_int_equal(
            shell_run("%s check %s/b.review 2>&1", shell_program(),
                      shell_place()),
            i == 0 ? 1 : 3);
        shell_expect("R1    not decided");
        assert_int_equal(strstr(shell_output(), "E1 ") != NULL, i == 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chosen_indices),
        cmocka_unit_test(counting_variables),
        cmocka_unit_test(bit_strings),
        cmocka_unit_test(computed_indices),
        cmocka_unit_test(guarded),
        cmocka_unit_test(masks),
        cmocka_unit_test(shifts),
        cmocka_unit_test(control_variables),
        cmocka_unit_test(errors_of_parts),
        cmocka_unit_test(whatever_overflow_is)};

    return cmocka_run_group_tests_name("open_bounds", tests, shell_set_up,
                                       shell_tear_down);
}
