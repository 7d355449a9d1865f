/* Libraries in the manner of many hands (tests/outside/exported/, all
 * invented): what nothing calls is not checked, so each POU is called by a
 * PROGRAM of its own, one a line of library_*.calls.  And what the spellings
 * of exports come to, worked out by hand from the statements that they stand
 * for. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/support/trial.h"

#define FOLDER "tests/outside/exported/"

enum { MOST_BYTES = 1 << 20, LEAST_CALLS = 100 };

static void called(const char *library, const char *line, size_t n)
{
    struct text control = {0};
    struct text_model model;

    text_printf(&control, "%s\n%.*s\n", library, (int)n, line);
    text_model_init(&model, text_str(&control), NULL, false);
    if (!model.model)
        fail_msg("%.*s", (int)n, line);
    text_model_release(&model);
    text_release(&control);
}

static unsigned call_each(const char *name)
{
    struct text path = {0}, calls = {0}, library = {0};
    size_t stem = strlen(name) - strlen(".calls");
    unsigned n = 0;

    text_printf(&path, FOLDER "%s", name);
    assert_int_equal(os_read_file(text_str(&path), MOST_BYTES, &calls),
                     OS_OK);
    text_release(&path);
    text_printf(&path, FOLDER "%.*s.st", (int)stem, name);
    assert_int_equal(os_read_file(text_str(&path), MOST_BYTES, &library),
                     OS_OK);
    for (const char *at = text_str(&calls); *at;
         at += strcspn(at, "\n") + 1, n++)
        called(text_str(&library), at, strcspn(at, "\n"));
    text_release(&path);
    text_release(&calls);
    text_release(&library);
    return n;
}

static void each_is_read_and_checked(void **state)
{
    DIR *folder = opendir(FOLDER);
    unsigned n = 0;

    (void)state;
    assert_non_null(folder);
    for (struct dirent *at = readdir(folder); at; at = readdir(folder))
        if (strstr(at->d_name, ".calls"))
            n += call_each(at->d_name);
    closedir(folder);
    assert_true(n >= LEAST_CALLS);
    print_message("%u POUs called\n", n);
}

static void open_text(struct trial *trial, const char *control)
{
    trial_open(trial, control, NULL);
    trial_scan(trial);
}

/* i is 4, then 1 and 2; j is what g got from Twice. */
static void an_action_is_its_statements(void **state)
{
    struct trial trial;

    (void)state;
    open_text(&trial,
              "VAR_GLOBAL g : INT; END_VAR\n"
              "FUNCTION Twice : INT VAR_INPUT x : INT; END_VAR\n"
              "Twice := 2 * x; END_FUNCTION\n"
              "PROGRAM Main VAR i, j, k : INT; END_VAR\n"
              "Init; IF i > 3 THEN Reset(); END_IF; All(); k := i;\n"
              "ACTION Reset: (* ACTION Init: *) i := 1; END_ACTION\n"
              "END_PROGRAM\n"
              "ACTION Init: i := 4; g := Twice(3); END_ACTION\n"
              "ACTION All: Count(); IF i = 2 THEN j := g; END_IF END_ACTION;\n"
              "ACTION Count\n i := i + 1; END_ACTION\n");
    assert_int_equal(trial_now(&trial, "Main.k"), 2);
    assert_int_equal(trial_now(&trial, "Main.j"), 6);
    trial_close(&trial);
}

static void spellings_mean_what_they_stand_for(void **state)
{
    struct trial trial;

    (void)state;
    open_text(&trial,
              "FUNCTION Sum : INT\n"
              "VAR_INPUT a : INT; b : INT := 3; END_VAR\n"
              "VAR x : ARRAY[0..LAST] OF INT; END_VAR\n"
              "VAR CONSTANT LAST : INT := 2; END_VAR\n"
              "x[LAST] := a + b; Sum := x[LAST]; END_FUNCTION;\n"
              "FUNCTION Put : VOID VAR_IN_OUT v : INT; END_VAR\n"
              "v := 9; END_FUNCTION\n"
              "TYPE Place : (Left, Right,); Field : STRUCT f : BIT;\n"
              "END_STRUCT; END_TYPE;\n"
              "PROGRAM Main VAR a, b, c, d, n : INT; w : WORD;\n"
              "p : Field; t : TON_TIME; END_VAR\n"
              "a := Sum(4); b := 2; b += 3; b *= a + 1; #c := W#16#1F;\n"
              "n := 0; REPEAT n -= 1; UNTIL n < -3; END_REPEAT;\n"
              "t(IN := , PT := T#1s, Q => , ET => ,); Put(d);\n"
              "p.f := TRUE; w := B#16#0F; END_PROGRAM;\n");
    assert_int_equal(trial_now(&trial, "Main.a"), 7);
    assert_int_equal(trial_now(&trial, "Main.b"), 40);
    assert_int_equal(trial_now(&trial, "Main.c"), 31);
    assert_int_equal(trial_now(&trial, "Main.n"), -4);
    assert_int_equal(trial_now(&trial, "Main.d"), 9);
    assert_int_equal(trial_now(&trial, "Main.p.f"), 1);
    assert_int_equal(trial_now(&trial, "Main.w"), 15);
    trial_close(&trial);
}

static void namespaces_and_marks_are_left_aside(void **state)
{
    struct trial trial;

    (void)state;
    open_text(&trial,
              "NAMESPACE Shop.Tools\n"
              "TYPE Step : (Idle := 2, Busy := 5); END_TYPE\n"
              "FUNCTION Next : INT VAR_INPUT a : INT; END_VAR\n"
              "Next := a + 1; END_FUNCTION END_NAMESPACE;\n"
              "USING Shop.Tools;\n"
              "PROGRAM Main USING Shop; VAR a, b : INT;\n"
              "s : Shop.Tools.Step; END_VAR\n"
              "s := Shop.Tools.Step#Busy;\n"
              "a := Shop.Tools.Next(4); b := TO_INT(s); END_PROGRAM\n");
    assert_int_equal(trial_now(&trial, "Main.a"), 5);
    assert_int_equal(trial_now(&trial, "Main.b"), 5);
    trial_close(&trial);
    open_text(&trial,
              "FUNCTION \"Add\" : Int\nVERSION : 0.1\n"
              "VAR_INPUT a : Int; END_VAR\nBEGIN\n"
              "REGION the sum\n#Add := #a + 1;\nEND_REGION\n"
              "END_FUNCTION\n"
              "ORGANIZATION_BLOCK \"Main\"\nTITLE = \"cycle; all\"\n"
              "VAR x : Int; END_VAR\nBEGIN\n#x := \"Add\"(a := 4);\n"
              "END_ORGANIZATION_BLOCK\n");
    assert_int_equal(trial_now(&trial, "Main.x"), 5);
    trial_close(&trial);
}

/* Nobody knows how often it runs, and each pass leaves a value open: it is
 * followed for 8 passes, and more of them are the run-time error. */
static void open_loops_are_short(void **state)
{
    struct text_model text;

    (void)state;
    text_model_init(&text,
                    "PROGRAM Main VAR s : STRING; n : INT; END_VAR\n"
                    "WHILE LEN(s) > 0 DO s := DELETE(s, 1, 1); n := n + 1;\n"
                    "END_WHILE\n"
                    "FOR n := 1 TO 20 DO s := CONCAT(s, 'x'); END_FOR\n"
                    "END_PROGRAM\n", NULL, false);
    assert_non_null(text.model);
    assert_int_equal(text.model->n_errors, 2); /* n + 1 as well */
    for (uint32_t i = 0; i < text.model->n_errors; i++)
        if (text.model->errors[i].kind == ERROR_LOOP)
            assert_int_equal(text.model->errors[i].passes, 8);
    text_model_release(&text);
}

/* The passes after which a loop with this head is a run-time error, 0: none. */
static uint32_t passes_of(const char *head)
{
    struct text_model text;
    struct text control = {0};
    uint32_t passes = 0;

    text_printf(&control,
                "PROGRAM Main VAR_INPUT x : REAL; END_VAR\n"
                "VAR s : STRING; n : INT; END_VAR\n"
                "FOR %s DO s := CONCAT(s, 'x'); END_FOR\n"
                "END_PROGRAM\n", head);
    text_model_init(&text, text_str(&control), NULL, false);
    assert_non_null(text.model);
    for (uint32_t i = 0; i < text.model->n_errors; i++)
        if (text.model->errors[i].kind == ERROR_LOOP)
            passes = text.model->errors[i].passes;
    text_model_release(&text);
    text_release(&control);
    return passes;
}

/* 8 passes and no more, whichever end is not known; a bound that the text
 * gives is one. */
static void open_ends_are_short(void **state)
{
    static const char *const heads[] = {
        "n := 1 TO LEN(s)", "n := LEN(s) TO 1 BY -1",
        "n := 1 TO 40 BY REAL_TO_INT(x)", "n := 1 TO MAX(LEN(s), 5)"};

    (void)state;
    for (size_t k = 0; k < sizeof heads / sizeof *heads; k++)
        assert_in_range(passes_of(heads[k]), 8, 9);
    assert_int_equal(passes_of("n := 1 TO MIN(LEN(s), 5)"), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_is_read_and_checked),
        cmocka_unit_test(an_action_is_its_statements),
        cmocka_unit_test(spellings_mean_what_they_stand_for),
        cmocka_unit_test(namespaces_and_marks_are_left_aside),
        cmocka_unit_test(open_loops_are_short),
        cmocka_unit_test(open_ends_are_short),
    };

    return cmocka_run_group_tests_name("library calls", tests, NULL, NULL);
}
