/* The reading list, several files, and spellings told or forbidden. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "tests/support/shell.h"

static char folder[64];

static void put(const char *name, const char *text)
{
    shell_put(folder, name, text);
}

/* Runs keepclear in the folder; gives the exit code. */
static int run(const char *arguments)
{
    return shell_run("cd %s && %s %s 2>&1", folder, shell_program(), arguments);
}

static int set_up(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/keepclear-reading-XXXXXX");
    assert_int_equal(shell_folder(folder), 0);
    put("main.st", "PROGRAM Main\nVAR\n  go : BOOL;\n  gate : Gate;\nEND_VAR\n"
                   "  IF go THEN gate(open := go); END_IF\nEND_PROGRAM\n");
    put("gate.st", "FUNCTION_BLOCK Gate\nVAR_INPUT open : BOOL; END_VAR\n"
                   "END_FUNCTION_BLOCK\n"
                   "FUNCTION_BLOCK Idle\nVAR x : Nothing; END_VAR\n"
                   "END_FUNCTION_BLOCK\n"
                   "FUNCTION_BLOCK Drive\nMETHOD Go END_METHOD\n"
                   "END_FUNCTION_BLOCK\n");
    put("both.review", "REVIEW Both 'invented'\n  CONTROL 'main.st';\n"
                       "  CONTROL 'gate.st';\n  SCAN T#100ms;\nEND_REVIEW\n");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    return shell_remove(folder);
}

static void files_stand_side_by_side(void **state)
{
    (void)state;
    assert_int_equal(run("check main.st gate.st"), 0);
    shell_expect("No run-time error can occur.");
    assert_int_equal(run("check gate.st main.st"), 0);
    assert_int_equal(run("check both.review"), 0);
    assert_int_equal(run("check main.st"), 2);
    shell_expect("there is no text of the function block 'Gate'");
    shell_expect("VAR_INPUT open : BOOL; END_VAR");
    assert_int_equal(run("check gate.st main.st gate.st"), 2);
    shell_expect("the text of 'Gate' is there twice");
}

static void a_review_text_stands_alone(void **state)
{
    (void)state;
    assert_int_equal(run("check both.review main.st"), 2);
    shell_expect("name the control texts in the review text");
    assert_int_equal(run("check main.st both.review"), 2);
    shell_expect("give the review text alone");
    assert_int_equal(run("format main.st gate.st"), 2);
    shell_expect("'format' takes one file");
}

static void the_list_tells_what_counts(void **state)
{
    (void)state;
    assert_int_equal(run("check --reading both.review"), 0);
    assert_string_equal(
        shell_output(),
        "read: 2\n"
        "  PROGRAM        Main                     main.st:1\n"
        "  FUNCTION_BLOCK Gate                     gate.st:1\n"
        "\nnot needed, and not readable: 1\n"
        "  FUNCTION_BLOCK Drive                    gate.st:7\n"
        "      line 8: 'METHOD' is not read in this version\n"
        "\nnot needed, and not checked: 1\n"
        "  FUNCTION_BLOCK Idle                     gate.st:4\n");
}

static void the_list_tells_what_is_missing(void **state)
{
    (void)state;
    assert_int_equal(run("check --reading main.st"), 2);
    shell_expect("needed, and in none of the texts: 1\n"
           "  type or block  Gate                     main.st:4\n");
    put("drives.st", "PROGRAM Main VAR d : Drive; END_VAR d(); END_PROGRAM\n");
    assert_int_equal(run("check --reading drives.st gate.st"), 2);
    shell_expect("needed, and not readable: 1\n"
           "  FUNCTION_BLOCK Drive                    gate.st:7\n");
    shell_expect("gate.st:8:1: error: 'METHOD' is not read in this version");
}

static void spellings_are_told_when_asked_for(void **state)
{
    (void)state;
    assert_int_equal(run("check main.st gate.st"), 0);
    assert_null(strstr(shell_output(), "note:"));
    assert_int_equal(run("check --spelling main.st gate.st"), 0);
    shell_expect("main.st:6:32: note: there is no ';' behind this END_ word");
    assert_int_equal(run("check --strict main.st gate.st"), 2);
    shell_expect("main.st:6:32: error: there is no ';' behind this END_ word");
}

/* Two instances of one program have variables of one name. */
static void instances_are_told_apart(void **state)
{
    (void)state;
    put("two.st", "CONFIGURATION C\n"
                  "  TASK t(INTERVAL := T#50ms, PRIORITY := 1);\n"
                  "  PROGRAM Left WITH t : Door;\n"
                  "  PROGRAM Right WITH t : Door;\n"
                  "END_CONFIGURATION\n"
                  "PROGRAM Door\n"
                  "VAR hand AT %I* : BOOL; open : BOOL; END_VAR\n"
                  "  open := hand;\n"
                  "END_PROGRAM\n");
    put("two.review", "REVIEW Two 'invented'\n  CONTROL 'two.st';\n"
                      "  REQUIREMENTS\n"
                      "    R1 'never both' : NEVER Left.open AND Right.open;\n"
                      "    R2 'as told' : NEVER Left.open AND NOT Left.hand;\n"
                      "  END_REQUIREMENTS\nEND_REVIEW\n");
    assert_int_equal(run("check two.review"), 1);
    shell_expect("Left.open TRUE");
    shell_expect("Right.open TRUE");
    shell_expect("one scan every 0.05 s;");
    shell_expect("R2    kept");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_stand_side_by_side),
        cmocka_unit_test(a_review_text_stands_alone),
        cmocka_unit_test(the_list_tells_what_counts),
        cmocka_unit_test(the_list_tells_what_is_missing),
        cmocka_unit_test(spellings_are_told_when_asked_for),
        cmocka_unit_test(instances_are_told_apart),
    };

    return cmocka_run_group_tests(tests, set_up, tear_down);
}
