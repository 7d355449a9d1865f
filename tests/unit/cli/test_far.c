/* What the program says of counters: an error too far away to be looked for,
 * what is kept up to it, and how it is excluded. */
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

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, stop : BOOL; END_VAR\n"
    "VAR_OUTPUT run, service : BOOL; END_VAR\n"
    "VAR starts : DINT; edge : R_TRIG; END_VAR\n"
    "  edge(CLK := go AND NOT stop);\n"
    "  IF edge.Q%s THEN starts := starts + 1; END_IF\n"
    "  run := edge.CLK;\n"
    "  service := starts >= 12;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Counter 'invented'\n"
    "  CONTROL '%s';\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go button'; stop : BUTTON 'stop button';\n"
    "    run : MOTOR 'motor'; service : LAMP 'service lamp';\n"
    "  END_CONTROLS\n"
    "  REQUIREMENTS\n"
    "    R1 'stop stops' : NEVER run AND PRESSED stop;\n"
    "    R2 'lamp stays' : NEVER previous service AND NOT service;\n"
    "    R3 'many' : NEVER Main.starts > 1500000;\n"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void put(const char *name, const char *text, const char *part)
{
    char whole[2048];

    snprintf(whole, sizeof whole, text, part);
    shell_put(folder, name, whole);
}

static int run(const char *arguments)
{
    return shell_run("cd %s && timeout 60 %s %s 2>&1", folder,
                     shell_program(), arguments);
}

static int set_up(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/keepclear-far-XXXXXX");
    assert_int_equal(shell_folder(folder), 0);
    put("far.st", control, "");
    put("far.review", review, "far.st");
    put("bounded.st", control, " AND starts < 30000");
    put("bounded.review", review, "bounded.st");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    return shell_remove(folder);
}

static void an_error_not_looked_for(void **state)
{
    (void)state;
    assert_int_equal(run("check far.st"), 3);
    shell_expect("E1    not excluded run-time error: a result does not fit its "
           "type\n");
    shell_expect(
        "cannot occur before 2,147,483,647 scans (6.8 years at 0.1 s a "
           "scan) from power-up\n");
    shell_expect("more than 20,000 scans\n");
    shell_expect("IF n < 30000 THEN n := n + 1; END_IF\n");
}

/* Never "kept" without that condition, and never the whole result 0. */
static void kept_up_to_it(void **state)
{
    (void)state;
    assert_int_equal(run("check --only R1 far.review"), 3);
    shell_expect(
        "R1    kept      · up to error E1, not before 6.8 years   in the "
           "model");
    assert_int_equal(run("check --only R2 --figures far.review"), 3);
    shell_expect(
        "R2    kept      · up to error E1, not before 6.8 years   in the "
           "model");
    shell_expect("1 counter cut where nothing looks any further\n");
}

static void a_breach_not_looked_for(void **state)
{
    (void)state;
    assert_int_equal(run("check --only R3 far.review"), 3);
    shell_expect("R3    not finished in the model");
    shell_expect(
        "not looked for: it cannot be broken before 1,500,000 scans (1.7 "
           "days at 0.1 s a scan) from power-up\n");
}

static void bounded_all_is_kept(void **state)
{
    (void)state;
    assert_int_equal(run("check --only R1,R2,R3 bounded.review"), 0);
    shell_expect("R1    kept      in the model");
    shell_expect("R2    kept      in the model");
    shell_expect("R3    kept      in the model");
    shell_expect_not("error E1");
    assert_int_equal(run("check bounded.st"), 0);
    shell_expect("No run-time error can occur.");
}

static void without_cut_counters_it_does_not_end(void **state)
{
    (void)state;
    assert_int_equal(run("check --without saturation --situations 30000 "
                         "--only R1,R2 far.review"), 3);
    shell_expect("R1    kept      · up to error E1");
    shell_expect("R2    not finished in the model");
    shell_expect("the limit of situations was reached");
}

/* Each element is a counter of its own, though an index chooses it. */
static void a_counter_in_an_array_stands(void **state)
{
    (void)state;
    put("array.st",
        "PROGRAM Main\n"
        "VAR_INPUT i : INT (0..7); up : BOOL; END_VAR\n"
        "VAR_OUTPUT run : BOOL; END_VAR\n"
        "VAR c : ARRAY [0..7] OF INT; END_VAR\n"
        "  IF NOT up THEN c[i] := 0;\n"
        "  ELSIF c[i] < 30000 THEN c[i] := c[i] + 1; END_IF\n"
        "  run := c[3] > 12;\n"
        "END_PROGRAM\n%s", "");
    put("array.review",
        "REVIEW Elements 'invented'\n"
        "  CONTROL '%s';\n"
        "  SCAN T#100ms;\n"
        "  CONTROLS run : MOTOR 'motor'; END_CONTROLS\n"
        "  REQUIREMENTS\n"
        "    R1 'not early' : NEVER run AND Main.c[3] < 13;\n"
        "    R2 'never' : NEVER run;\n"
        "  END_REQUIREMENTS\n"
        "END_REVIEW\n", "array.st");
    assert_int_equal(run("check --engine both array.review"), 1);
    shell_expect("R1    kept      in the model");
    shell_expect("R2    broken    in the model");
    shell_expect("the shortest way to break it, 13 scans");
}

static void a_diagram_says_it(void **state)
{
    (void)state;
    assert_int_equal(run("draw --by run,service --as text far.review"), 0);
    shell_expect("All of this holds up to a run-time error");
    shell_expect("before 2,147,483,647 scans");
}

/* Only an equality stops it; that it comes round is shown by looking at the
 * few situations there are. */
static void a_counter_that_comes_round(void **state)
{
    static const char ring[] =
        "FUNCTION_BLOCK Ring\nVAR_INPUT go : BOOL; END_VAR\n"
        "VAR at : INT; a : ARRAY [0..9] OF INT; END_VAR\n"
        "IF go THEN a[at] := 1; at := at + 1; IF at = %s THEN at := 0; "
        "END_IF; END_IF;\nEND_FUNCTION_BLOCK\n";

    (void)state;
    put("ring.st", ring, "10");
    assert_int_equal(run("check ring.st"), 0);
    shell_expect("No run-time error can occur.");
    put("ring.st", ring, "11");
    assert_int_equal(run("check ring.st"), 1);
    shell_expect("an index outside its array");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_error_not_looked_for),
        cmocka_unit_test(kept_up_to_it),
        cmocka_unit_test(a_breach_not_looked_for),
        cmocka_unit_test(bounded_all_is_kept),
        cmocka_unit_test(without_cut_counters_it_does_not_end),
        cmocka_unit_test(a_counter_in_an_array_stands),
        cmocka_unit_test(a_diagram_says_it),
        cmocka_unit_test(a_counter_that_comes_round),
    };

    return cmocka_run_group_tests_name("far", tests, set_up, tear_down);
}
