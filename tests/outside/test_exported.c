/* Control texts in the manner of many hands: exports, libraries, dialects
 * (tests/outside/exported/, all invented).  Every one is read and checked
 * without an error; what a handful of statements come to is known from the
 * language (IEC 61131-3, third edition: tables 22 to 36 for conversions and
 * functions; enumerations with values, 6.4.4.2) and worked out by hand. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/diagnose.h"
#include "tests/support/trial.h"

#define FOLDER "tests/outside/exported/"

enum { LEAST_FILES = 10 };

static unsigned count(const char *text, const char *what)
{
    unsigned n = 0;

    for (text = strstr(text, what); text; text = strstr(text + 1, what))
        n++;
    return n;
}

/* A library has no PROGRAM, and that is all that is wrong with it. */
static void is_read(const char *name)
{
    struct text path = {0}, said = {0};
    bool library = strncmp(name, "library", 7) == 0;

    text_printf(&path, FOLDER "%s", name);
    assert_true(diagnose_file(text_str(&path), &said));
    if (count(text_str(&said), ": error: ") != library ||
        (library && !strstr(text_str(&said), "there is no PROGRAM")))
        fail_msg("%s:\n%s", name, text_str(&said));
    text_release(&path);
    text_release(&said);
}

static void all_are_read(void **state)
{
    DIR *folder = opendir(FOLDER);
    unsigned n = 0;

    (void)state;
    assert_non_null(folder);
    for (struct dirent *at = readdir(folder); at; at = readdir(folder))
        if (at->d_name[0] != '.' && !strstr(at->d_name, ".calls")) {
            is_read(at->d_name);
            n++;
        }
    closedir(folder);
    assert_true(n >= LEAST_FILES);
    print_message("%u files read\n", n);
}

/* One scan of a PROGRAM Main with these variables and statements. */
static void run(struct trial *trial, const char *before, const char *vars,
                const char *body)
{
    struct text control = {0};

    text_printf(&control, "%s PROGRAM Main VAR %s END_VAR\n%s\n"
                          "END_PROGRAM\n", before, vars, body);
    trial_open(trial, text_str(&control), NULL);
    trial_scan(trial);
    text_release(&control);
}

static void items_are_their_numbers(void **state)
{
    struct trial trial;

    (void)state;
    run(&trial,
        "TYPE Step : (Idle, Fill := 10, Mix, Drain := 3); END_TYPE\n",
        "s : Step; a, b, c, d : INT; w : WORD; p, q : BOOL;",
        "s := Mix; a := Step_TO_INT(s); s := 3; b := s; p := s < Fill;\n"
        "q := Fill > Drain; s := INT_TO_Step(10); c := TO_INT(s);\n"
        "w := s; CASE a OF Step.Idle: d := 1; Mix: d := 2; END_CASE;\n");
    assert_int_equal(trial_now(&trial, "Main.a"), 11);
    assert_int_equal(trial_now(&trial, "Main.b"), 3);
    assert_int_equal(trial_now(&trial, "Main.p"), 1);
    assert_int_equal(trial_now(&trial, "Main.q"), 1);
    assert_int_equal(trial_now(&trial, "Main.c"), 10);
    assert_int_equal(trial_now(&trial, "Main.w"), 10);
    assert_int_equal(trial_now(&trial, "Main.d"), 2);
    trial_close(&trial);
}

static void bits_and_numbers_meet(void **state)
{
    struct trial trial;

    (void)state;
    run(&trial, "",
        "w, v : WORD; i, j, k : INT; u : UINT; b : BYTE; d : DINT;\n"
        "p, q : BOOL;",
        "w := 16#FFFF AND NOT 16#0F; v := w; v := v AND NOT 16#F000;\n"
        "i := -2; p := i.15 AND NOT i.0; j := i AND 16#FF; j.0 := 1;\n"
        "u := 40000; d := u + i; q := i < u; b := SHL(1, 3) OR 1;\n"
        "k := b + 1;\n");
    assert_int_equal(trial_now(&trial, "Main.w"), 0xFFF0);
    assert_int_equal(trial_now(&trial, "Main.v"), 0x0FF0);
    assert_int_equal(trial_now(&trial, "Main.p"), 1);
    assert_int_equal(trial_now(&trial, "Main.j"), 255);
    assert_int_equal(trial_now(&trial, "Main.d"), 39998);
    assert_int_equal(trial_now(&trial, "Main.q"), 1);
    assert_int_equal(trial_now(&trial, "Main.b"), 9);
    assert_int_equal(trial_now(&trial, "Main.k"), 10);
    trial_close(&trial);
}

/* CRC-16/MODBUS of the digits 1 to 9 is 16#4B37: the check value that the
 * published catalogues of such sums give (from memory). */
static void a_checksum_is_right(void **state)
{
    struct trial trial;

    (void)state;
    run(&trial,
        "FUNCTION Crc : WORD VAR_INPUT n : UINT; END_VAR\n"
        "VAR_IN_OUT a : ARRAY [0..8] OF BYTE; END_VAR\n"
        "VAR i : UINT; k : USINT; END_VAR\n"
        "Crc := 16#FFFF; FOR i := 0 TO n - 1 DO Crc := Crc XOR a[i];\n"
        "FOR k := 1 TO 8 DO IF (Crc AND 1) = 1 THEN\n"
        "Crc := SHR(Crc, 1) XOR 16#A001; ELSE Crc := SHR(Crc, 1); END_IF\n"
        "END_FOR END_FOR END_FUNCTION\n",
        "a : ARRAY [0..8] OF BYTE; i : INT; w : WORD;",
        "FOR i := 0 TO 8 DO a[i] := 16#31 + i; END_FOR w := Crc(9, a);\n");
    assert_int_equal(trial_now(&trial, "Main.w"), 0x4B37);
    trial_close(&trial);
}

/* The CONSTANT of an input says that the block does not assign it. */
static void a_constant_input_has_its_callers_value(void **state)
{
    struct trial trial;

    (void)state;
    run(&trial,
        "FUNCTION Twice : INT VAR_INPUT CONSTANT n : INT := 5; END_VAR\n"
        "Twice := 2 * n; END_FUNCTION\n"
        "FUNCTION Down : INT VAR_INPUT n : INT; END_VAR\n"
        "n := n - 1; Down := n; END_FUNCTION\n",
        "a, b, c, n : INT;",
        "a := Twice(n := 4); b := Twice(); n := 9; c := Down(n);\n");
    assert_int_equal(trial_now(&trial, "Main.a"), 8);
    assert_int_equal(trial_now(&trial, "Main.b"), 10);
    assert_int_equal(trial_now(&trial, "Main.c"), 8);
    assert_int_equal(trial_now(&trial, "Main.n"), 9);
    trial_close(&trial);
}

/* 65,536 values times 100 leave DINT out of the question and INT not: the
 * error is not excluded, and what the sum comes to is left open. */
static void a_wide_input_is_left_open(void **state)
{
    struct text_model text;
    bool overflow = false;

    (void)state;
    text_model_init(&text,
                    "PROGRAM Main VAR raw AT %IW0 : INT; n : INT;\n"
                    "d : DINT; q : BOOL; set : INT := 7; END_VAR\n"
                    "d := INT_TO_DINT(raw) * 3; n := raw * 100;\n"
                    "q := n > 80 AND n < 90 AND raw < set;\n"
                    "END_PROGRAM\n", NULL, false);
    assert_non_null(text.model);
    for (uint32_t i = 0; i < text.model->n_errors; i++)
        overflow |= text.model->errors[i].kind == ERROR_OVERFLOW;
    assert_true(overflow);
    assert_true(text.model->n_open_places > 0);
    text_model_release(&text);
}

/* An input that becomes an item is tried with each item's number and between
 * them: below 3, 3, between, 10, 11, above. */
static void items_cut_their_input(void **state)
{
    struct text_model text;

    (void)state;
    text_model_init(&text,
                    "TYPE Step : (Fill := 10, Mix, Drain := 3); END_TYPE\n"
                    "PROGRAM Main VAR_INPUT n : INT; END_VAR\n"
                    "VAR s : Step; END_VAR\n"
                    "s := INT_TO_Step(n); END_PROGRAM\n", NULL, false);
    assert_non_null(text.model);
    assert_int_equal(text.model->n_choices, 1);
    assert_int_equal(text.model->choices[0].count, 6);
    assert_int_equal(text.model->n_errors, 1);
    assert_int_equal(text.model->errors[0].kind, ERROR_CONVERSION);
    text_model_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_are_read),
        cmocka_unit_test(items_are_their_numbers),
        cmocka_unit_test(bits_and_numbers_meet),
        cmocka_unit_test(a_checksum_is_right),
        cmocka_unit_test(a_constant_input_has_its_callers_value),
        cmocka_unit_test(a_wide_input_is_left_open),
        cmocka_unit_test(items_cut_their_input),
    };

    return cmocka_run_group_tests_name("exported", tests, NULL, NULL);
}
