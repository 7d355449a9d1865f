/* The program as a whole: exit codes, one clear message per mistake, nothing
 * written when something is wrong. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "tests/support/shell.h"

static char folder[64];

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, stop_ok : BOOL; END_VAR\n"
    "VAR_OUTPUT run : BOOL; END_VAR\n"
    "  run := (go OR run) AND stop_ok;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Small 'invented'\n"
    "  CONTROL 'good.st';\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go button';\n"
    "    stop_ok : STOP 'stop button' CONTACTS OPENING;\n"
    "    run : MOTOR 'motor';\n"
    "  END_CONTROLS\n"
    "  REQUIREMENTS\n"
    "    R1 'stop stops' : NEVER run AND PRESSED stop_ok;\n"
    "    R2 'go alone' : %s;\n"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void put(const char *name, const char *text)
{
    shell_put(folder, name, text);
}

/* Runs keepclear in the folder; gives the exit code. */
static int run(const char *arguments)
{
    return shell_run("cd %s && %s %s", folder, shell_program(), arguments);
}

static unsigned count(const char *what)
{
    unsigned n = 0;

    for (const char *at = shell_output(); (at = strstr(at, what)) != NULL; at++)
        n++;
    return n;
}

static int set_up(void **state)
{
    char text[2048];

    (void)state;
    strcpy(folder, "/tmp/keepclear-cli-XXXXXX");
    assert_int_equal(shell_folder(folder), 0);
    put("good.st", control);
    snprintf(text, sizeof text, review, "run ONLY IF PREVIOUS run OR go");
    put("good.review", text);
    snprintf(text, sizeof text, review, "run ONLY IF PRESSED go");
    put("broken.review", text);
    put("deep.st", "PROGRAM Main\n"
                   "VAR_INPUT go : BOOL; END_VAR\n"
                   "VAR n : INT (0..50); END_VAR\n"
                   "IF n < 50 AND go THEN n := n + 1; END_IF;\n"
                   "END_PROGRAM\n");
    put("deep.review", "REVIEW Deep 'invented'\n"
                       "CONTROL 'deep.st'; SCAN T#100ms;\n"
                       "REQUIREMENTS R1 'never there' : NEVER Main.n = 50 "
                       "AND Main.n = 49; R2 'x' : NEVER Main.n = 45;\n"
                       "END_REQUIREMENTS\nEND_REVIEW\n");
    snprintf(text, sizeof text, review, "NEVER go AND NOT go AND run");
    put("vacuous.review", text);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    return shell_remove(folder);
}

static void kept_is_0(void **state)
{
    (void)state;
    assert_int_equal(run("check good.review 2>&1"), 0);
    shell_expect("R1    kept");
    shell_expect("R2    kept");
    shell_expect("Every reachable situation was looked at");
}

static void broken_is_1_with_a_log_sheet(void **state)
{
    (void)state;
    assert_int_equal(run("check broken.review 2>&1"), 1);
    shell_expect("R1    kept");
    shell_expect("R2    broken");
    shell_expect("hold go button");
    shell_expect("release go button");
    shell_expect("at 0.1 s this is broken");
}

static void never_triggered_is_1(void **state)
{
    (void)state;
    assert_int_equal(run("check vacuous.review 2>&1"), 1);
    shell_expect("R2    not put to the test");
}

static const char leaning[] =
    "REVIEW Lean 'invented'\n"
    "  CONTROL 'lean.st';\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    a : BUTTON 'a'; b : BUTTON 'b'; c : BUTTON 'c';\n"
    "    ok : STOP 'stop' CONTACTS OPENING;\n"
    "    y : VALVE 'y'; z : VALVE 'z';\n"
    "  END_CONTROLS\n"
    "  WIRING OUT y := COMMANDED y AND ok; z := COMMANDED z; END_WIRING\n"
    "  ASSUMPTIONS\n"
    "    A1 'one' : NOT (a AND b) BECAUSE 'x' CONFIRMED BY 'sheet 1';\n"
    "    A2 'two' : NOT (b AND c) BECAUSE 'x';\n"
    "    A3 'three' : NOT (a AND PRESSED ok) BECAUSE 'x';\n"
    "  END_ASSUMPTIONS\n"
    "  REQUIREMENTS\n"
    "    R1 'supply' : NEVER y AND PRESSED ok;\n"
    "    R2 'apart' : NEVER y AND z;\n"
    "%s"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

static void what_a_verdict_leans_on(void **state)
{
    char text[2048];

    (void)state;
    put("lean.st", "PROGRAM Main VAR_INPUT a, b, c : BOOL; END_VAR\n"
                   "VAR_OUTPUT y, z : BOOL; END_VAR\n"
                   "  y := a OR c; z := b;\nEND_PROGRAM\n");
    snprintf(text, sizeof text, leaning, "");
    put("lean.review", text);
    assert_int_equal(run("check lean.review 2>&1"), 0);
    shell_expect(
        "R1    kept      · by the wiring alone   in the model · without "
           "faults · A1, A2, A3 not needed\n");
    shell_expect("R2    kept      in the model · without faults · needs A1 "
           "(confirmed), A2 (not confirmed); A3 not needed\n");
    shell_expect("A3 three (idle: nothing that was asked needs it)");
    assert_int_equal(run("check --quick lean.review 2>&1"), 0);
    shell_expect("by the wiring alone");
    shell_expect("3 assumptions, 2 unconfirmed");
    shell_expect("was not looked for (--quick)");
    snprintf(text, sizeof text, leaning, "    R3 'assumed' : NEVER a AND b;\n");
    put("lean.review", text);
    assert_int_equal(run("check lean.review 2>&1"), 1);
    shell_expect("R3    not put to the test in the model");
    shell_expect(
        "the logic has no part in it: it stays kept when the actuators "
           "are commanded at will");
}

static void only_some(void **state)
{
    (void)state;
    assert_int_equal(run("check --only r1 broken.review 2>&1"), 0);
    assert_null(strstr(shell_output(), "R2"));
    assert_int_equal(run("check --only R9 broken.review 2>&1"), 2);
    shell_expect("there is no requirement 'R9'");
}

static void limit_is_3(void **state)
{
    (void)state;
    assert_int_equal(run("check --situations 1 good.review 2>&1"), 3);
    shell_expect("not finished");
    shell_expect("nothing was finished");
    assert_int_equal(run("check --situations 10 deep.review 2>&1"), 3);
    shell_expect("no breach within");
}

/* What is said does not depend on who answers. */
static void engines_say_the_same(void **state)
{
    static char before[1 << 16];

    (void)state;
    assert_int_equal(run("check broken.review 2>&1"), 1);
    assert_true(strlen(shell_output()) < sizeof before);
    strcpy(before, shell_output());
    assert_int_equal(run("check --engine sets broken.review 2>&1"), 1);
    assert_string_equal(shell_output(), before);
    assert_int_equal(run("check --engine tiles broken.review 2>&1"), 1);
    assert_string_equal(shell_output(), before);
    assert_int_equal(run("check --engine both broken.review 2>&1"), 1);
    assert_string_equal(shell_output(), before);
    assert_int_equal(run("check --without sharing,untimed broken.review "
                         "2>&1"), 1);
    assert_string_equal(shell_output(), before);
    assert_int_equal(run("check --without slices broken.review 2>&1"), 1);
    shell_expect("in the whole machine: at most ");
    assert_int_equal(run("check --without doubt broken.review 2>&1"), 2);
    shell_expect(
        "--without takes sharing, untimed, saturation and slices, one or "
           "several with commas, not 'doubt'");
    assert_int_equal(run("check --engine steam broken.review 2>&1"), 2);
    shell_expect("--engine takes sets, tiles or both, not 'steam'");
}

static void sizes_have_units(void **state)
{
    (void)state;
    assert_int_equal(run("check --memory 4GiB good.review 2>&1"), 0);
    assert_int_equal(run("check --memory 100 good.review 2>&1"), 0);
    assert_int_equal(run("check --memory 4GB good.review 2>&1"), 2);
    shell_expect("takes a size such as 512MiB or 4GiB, not '4GB'");
    assert_int_equal(run("check --memory 0 good.review 2>&1"), 2);
    assert_int_equal(run("check --memory 99999999999GiB good.review 2>&1"),
                     2);
}

static void control_text_alone(void **state)
{
    (void)state;
    put("overflow.st",
        "PROGRAM Main\nVAR_INPUT go : BOOL; END_VAR\nVAR n : SINT; END_VAR\n"
        "IF go THEN n := n + 100; END_IF;\nEND_PROGRAM\n");
    assert_int_equal(run("check good.st 2>&1"), 0);
    shell_expect("Without knowledge of the machine");
    shell_expect("No run-time error can occur");
    assert_int_equal(run("check overflow.st 2>&1"), 1);
    shell_expect("a result does not fit its type");
    shell_expect("overflow.st, line 4");
}

static void drawing_tells_untaken_branches(void **state)
{
    (void)state;
    put("untaken.st",
        "PROGRAM Main\nVAR_INPUT go : BOOL; END_VAR\n"
        "VAR_OUTPUT run : BOOL; END_VAR\nrun := go;\n"
        "IF run AND NOT go THEN run := FALSE; END_IF;\nEND_PROGRAM\n");
    assert_int_equal(run("check untaken.st 2>&1"), 0);
    shell_expect("Branches that nothing can reach");
    shell_expect("untaken.st, line 5: run AND NOT go");
    assert_int_equal(run("draw --as text untaken.st 2>&1"), 0);
    shell_expect("Branches that nothing can reach");
    assert_int_equal(run("draw -o untaken.svg untaken.st 2>&1"), 0);
    assert_int_equal(run("draw --as svg untaken.st 2>&1"), 0);
    shell_expect("<svg");
    shell_expect("nothing can reach");
}

/* The way to the error runs into the first, and only such a way: the text is
 * not told that nothing can reach it.  Of the other, of which no shown way
 * says anything, no more is said than was asked. */
static void ways_to_errors_reach_branches(void **state)
{
    (void)state;
    put("ends.st",
        "PROGRAM Main\nVAR_INPUT a, b : BOOL; END_VAR\n"
        "VAR n, z : INT; END_VAR\nz := 1;\n"
        "IF a THEN z := 0; END_IF;\n"
        "IF a AND b THEN n := 3; END_IF;\n"
        "n := 10 / z;\nEND_PROGRAM\n");
    assert_int_equal(run("check ends.st 2>&1"), 1);
    shell_expect("a division by zero");
    shell_expect_not("Branches that nothing can reach\n");
    shell_expect_not("line 5: a");
}

/* docs/language.md, "Inputs with many values": what cannot be tried value by
 * value stays as it begins and is named; a BOOL beside it is free. */
static void only_numbers_are_held(void **state)
{
    (void)state;
    put("held.st",
        "TYPE S : STRUCT n : DINT; on : BOOL; END_STRUCT END_TYPE\n"
        "PROGRAM Main\n"
        "VAR row : ARRAY [1..2] OF S := [2((n := 7, on := FALSE))];\n"
        "i, z, n : INT; sum : DINT; END_VAR\n"
        "sum := 0; z := 1;\n"
        "FOR i := 1 TO 2 DO\n"
        "  sum := sum + row[i].n * row[i].n;\n"
        "  IF row[i].on THEN z := 0; END_IF;\n"
        "END_FOR;\n"
        "n := 10 / z;\nEND_PROGRAM\n");
    assert_int_equal(run("check held.st 2>&1"), 1);
    shell_expect("a division by zero");
    shell_expect("free: Main.row[1].on, Main.row[2].on\n");
    shell_expect("fixed: Main.row[1].n := 7, because no text writes it");
    shell_expect("fixed: Main.row[2].n := 7, because no text writes it");
}

/* It begins as VAR_CONFIG says. */
static void what_is_held_is_configured(void **state)
{
    (void)state;
    put("configured.st",
        "VAR_CONFIG Main.k : DINT := 0; Main.row : ARRAY [1..2] OF DINT := "
        "[2, 0]; END_VAR\nPROGRAM Main\n"
        "VAR k, r : DINT := 3; row : ARRAY [1..2] OF DINT; END_VAR\n"
        "r := 100 / k;\nr := 100 / row[1];\nr := 100 / row[2];\n"
        "END_PROGRAM\n");
    assert_int_equal(run("check configured.st 2>&1"), 1);
    shell_expect("line 4: 100 / k");
    shell_expect_not("line 5:");
    shell_expect("fixed: Main.k := 0, because no text writes it");
    shell_expect("fixed: Main.row[1] := 2, because no text writes it");
}

/* What stands at a place others write, however many values it has. */
static void places_are_not_held(void **state)
{
    (void)state;
    put("placed.st",
        "PROGRAM Main\n"
        "VAR n AT %MD8 : DINT := 7; k, r : DINT := 3; END_VAR\n"
        "r := 100 / n + 100 / k;\nEND_PROGRAM\n");
    assert_int_equal(run("check placed.st 2>&1"), 1);
    shell_expect("reachable run-time error: a division by zero");
    shell_expect("free: Main.n\n");
    shell_expect("fixed: Main.k := 3, because no text writes it");
}

/* A number that says nothing of how it begins is written elsewhere: by a
 * panel, or on the bench.  It does not stay 0. */
static void a_number_without_a_beginning_is_free(void **state)
{
    (void)state;
    put("coins.st",
        "PROGRAM Main\nVAR coin : BOOL; value, credit, held : INT;\n"
        "price : INT := 50; END_VAR\n"
        "IF coin THEN credit := credit + value; END_IF;\n"
        "IF credit > price THEN held := 1; END_IF;\nEND_PROGRAM\n");
    assert_int_equal(run("check coins.st 2>&1"), 3);
    shell_expect("credit + value");
    shell_expect("free: Main.coin, Main.value\n");
    shell_expect("fixed: Main.price := 50, because no text writes it");
    shell_expect_not("nothing can reach\n");
}

/* What is said on that account is said with it. */
static void what_is_held_stands_beside_the_verdict(void **state)
{
    (void)state;
    put("held.st",
        "PROGRAM Main\nVAR a, b : INT := 50; x : BOOL; n : INT; END_VAR\n"
        "IF a * b > 30000 THEN x := TRUE; END_IF;\nEND_PROGRAM\n");
    assert_int_equal(run("check held.st 2>&1"), 0);
    shell_expect("No run-time error can occur, as long as what is fixed below "
                 "stays as it begins.\n");
    shell_expect("Branches that nothing can reach, as long as what is fixed "
                 "stays as it begins\n");
}

/* It ends: behind the passes that are followed.  So it is no error that can
 * be reached, and what lies behind is not known. */
static void a_loop_that_is_cut_is_no_error(void **state)
{
    (void)state;
    put("seek.st",
        "FUNCTION Seek : INT\n"
        "VAR_INPUT x : REAL; tab : ARRAY [0..19] OF REAL; END_VAR\n"
        "VAR i : INT; END_VAR\n"
        "WHILE i < 19 AND tab[i] < x DO i := i + 1; END_WHILE;\n"
        "IF i = 15 THEN Seek := 1; END_IF;\nEND_FUNCTION\n");
    assert_int_equal(run("check seek.st 2>&1"), 3);
    shell_expect("not excluded run-time error: a loop that does not end");
    shell_expect("it is followed no further");
    shell_expect_not("Branches that nothing can reach");
    shell_expect("not known whether anything reaches them");
}

/* Nobody looks whether a quotient of REALs, or what is made of it, fails. */
static void errors_of_reals_are_not_looked_for(void **state)
{
    (void)state;
    put("reals.st", "FUNCTION Round : DINT\nVAR_INPUT x, y : REAL; END_VAR\n"
                    "Round := REAL_TO_DINT(x / y);\nEND_FUNCTION\n");
    assert_int_equal(run("check reals.st 2>&1"), 0);
    shell_expect("not looked for: run-time errors in what is computed with "
                 "REALs, such as a division by 0.0\n");
    put("cells.st", "FUNCTION Less : BOOL\nVAR_INPUT x : REAL; END_VAR\n"
                    "Less := x < 5.0;\nEND_FUNCTION\n");
    assert_int_equal(run("check cells.st 2>&1"), 0);
    shell_expect_not("not looked for");
}

static void missing_file(void **state)
{
    (void)state;
    assert_int_equal(run("check none.review 2>&1"), 2);
    shell_expect("cannot read 'none.review': no such file");
    shell_expect("what to do");
    assert_int_equal(run("check . 2>&1"), 2);
    shell_expect("cannot read '.'");
}

static void missing_control_file(void **state)
{
    (void)state;
    put("lost.review", "REVIEW Lost 'x'\n  CONTROL 'lost.st';\n"
                       "  SCAN T#100ms;\nEND_REVIEW\n");
    assert_int_equal(run("check lost.review 2>&1"), 2);
    shell_expect("lost.st");
    shell_expect("no such file");
}

/* Of several control texts the first is replaced, the others stay. */
static void first_control_replaced(void **state)
{
    (void)state;
    put("piece.st", "FUNCTION_BLOCK Piece VAR_INPUT go : BOOL; END_VAR\n"
                    "VAR_OUTPUT q : BOOL; END_VAR\n"
                    "q := go; END_FUNCTION_BLOCK\n");
    put("other.st", "FUNCTION_BLOCK Piece VAR_INPUT go : BOOL; END_VAR\n"
                    "VAR_OUTPUT q : BOOL; END_VAR\n"
                    "q := NOT go; END_FUNCTION_BLOCK\n");
    put("around.st", "PROGRAM Main VAR_INPUT go : BOOL; END_VAR\n"
                     "VAR_OUTPUT run : BOOL; END_VAR\n"
                     "VAR piece : Piece; END_VAR\n"
                     "piece(go := go); run := piece.q; END_PROGRAM\n");
    put("pair.review", "REVIEW Pair 'invented'\n"
                       "CONTROL 'piece.st'; CONTROL 'around.st';\n"
                       "SCAN T#100ms;\n"
                       "CONTROLS go : BUTTON; run : MOTOR; END_CONTROLS\n"
                       "REQUIREMENTS R1 'go alone' : run ONLY IF "
                       "PRESSED go; END_REQUIREMENTS\nEND_REVIEW\n");
    assert_int_equal(run("check pair.review 2>&1"), 0);
    assert_int_equal(run("check --control other.st pair.review 2>&1"), 1);
    shell_expect("R1    broken");
}

static void empty_file(void **state)
{
    (void)state;
    put("empty.st", "");
    assert_int_equal(run("check empty.st 2>&1"), 2);
    assert_int_equal(count("error:"), 1);
}

static void noise(void **state)
{
    char path[256];
    unsigned long long seed = 1;
    FILE *file;

    (void)state;
    snprintf(path, sizeof path, "%s/noise.st", folder);
    file = fopen(path, "w");
    assert_non_null(file);
    for (unsigned i = 0; i < 1u << 20; i++) {
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        fputc((int)(seed >> 56), file);
    }
    fclose(file);
    assert_int_equal(run("check noise.st 2>&1"), 2);
    assert_true(count("error:") >= 1 && count("error:") <= 50);
    assert_true(strlen(shell_output()) < 60000);
}

static void deep_parenthesis(void **state)
{
    char text[1024] = "PROGRAM Main VAR x : BOOL; END_VAR\nx := ";

    (void)state;
    for (int i = 0; i < 200; i++)
        strcat(text, "(");
    strcat(text, "x");
    for (int i = 0; i < 200; i++)
        strcat(text, ")");
    strcat(text, ";\nEND_PROGRAM\n");
    put("nested.st", text);
    assert_int_equal(run("check nested.st 2>&1"), 2);
    assert_int_equal(count("error:"), 1);
}

static void one_message_each(const char *name, const char *text,
                             const char *message)
{
    char arguments[128];

    put(name, text);
    snprintf(arguments, sizeof arguments, "check %s 2>&1", name);
    assert_int_equal(run(arguments), 2);
    if (count("error:") != 1)
        fail_msg("not one message:\n%s", shell_output());
    shell_expect(message);
    shell_expect("what to do:");
    shell_expect("^");
}

static void one_clear_message(void **state)
{
    (void)state;
    one_message_each("name.st",
        "PROGRAM Main\nVAR x : BOOL; END_VAR\nx := xx;\nEND_PROGRAM\n",
        "'xx'");
    one_message_each("types.st",
        "PROGRAM Main\nVAR x : BOOL; n : INT; END_VAR\nx := n;\n"
        "END_PROGRAM\n", "BOOL");
    one_message_each("recursive.st",
        "FUNCTION_BLOCK A\nVAR b : A; END_VAR\nb();\nEND_FUNCTION_BLOCK\n"
        "PROGRAM Main\nVAR a1 : A; END_VAR\na1();\nEND_PROGRAM\n", "A");
    one_message_each("twice.st",
        "PROGRAM Main\nVAR x : BOOL; x : INT; END_VAR\nx := TRUE;\n"
        "END_PROGRAM\n", "'x'");
    one_message_each("scan.review",
        "REVIEW Zero 'x'\n  CONTROL 'good.st';\n  SCAN T#0ms;\n"
        "  CONTROLS\n  run : MOTOR 'motor';\n  END_CONTROLS\nEND_REVIEW\n",
        "scan");
    one_message_each("section.review",
        "REVIEW New 'x'\n  CONTROL 'good.st';\n  SCAN T#100ms;\n"
        "  TEMPERATURES\n    x : y;\n  END_TEMPERATURES\nEND_REVIEW\n",
        "TEMPERATURES");
}

static void several_mistakes_in_one_go(void **state)
{
    (void)state;
    put("several.st", "PROGRAM Main\nVAR x : BOOL; END_VAR\nx := yy;\n"
                      "x := zz;\nx := 5;\nEND_PROGRAM\n");
    assert_int_equal(run("check several.st 2>&1"), 2);
    assert_int_equal(count("error:"), 3);
}

static void full_disk_and_closed_output(void **state)
{
    (void)state;
    assert_int_equal(run("check good.review 2>&1 >/dev/full"), 4);
    shell_expect("could not be written");
    assert_int_equal(run("check good.review 2>&1 >&-"), 4);
    shell_expect("could not be written");
}

static void output_is_whole_or_absent(void **state)
{
    struct stat st;
    char path[256];

    (void)state;
    assert_int_equal(run("check -o result.txt good.review 2>&1"), 0);
    assert_int_equal(run("check -o none/result.txt good.review 2>&1"), 4);
    shell_expect("nothing was left behind");
    snprintf(path, sizeof path, "%s/none", folder);
    assert_int_not_equal(stat(path, &st), 0);
    assert_int_equal(run("check -o wrong.txt recursive.st 2>&1"), 2);
    snprintf(path, sizeof path, "%s/wrong.txt", folder);
    assert_int_not_equal(stat(path, &st), 0);
}

static void unknown_words(void **state)
{
    (void)state;
    assert_int_equal(run("prove good.review 2>&1"), 2);
    shell_expect("'prove' is not a verb");
    assert_int_equal(run("check --fast good.review 2>&1"), 2);
    shell_expect("'--fast'");
    assert_int_equal(run("check 2>&1"), 2);
    assert_int_equal(run("--version 2>&1"), 0);
    assert_int_equal(run("--help 2>&1"), 0);
    assert_int_equal(run("check --help 2>&1"), 0);
}

static void formatting(void **state)
{
    (void)state;
    put("untidy.st", "program Main var x:bool; end_var\nif x then x:=FALSE; "
                     "(* keep me *) end_if; end_program\n");
    assert_int_equal(run("format -o tidy.st untidy.st 2>&1"), 0);
    assert_int_equal(run("format tidy.st 2>&1"), 0);
    shell_expect("PROGRAM Main");
    shell_expect("(* keep me *)");
    assert_int_equal(run("format tidy.st | diff - tidy.st 2>&1"), 0);
    assert_int_equal(run("format nested.st 2>&1"), 2);
}

/* A range of a REAL is one phrase, and a long name keeps off the titles. */
static void reals_in_pictures(void **state)
{
    (void)state;
    put("load.st", "PROGRAM Main\n"
                   "VAR_INPUT go : BOOL; load AT %ID0 : REAL; END_VAR\n"
                   "VAR_OUTPUT run : BOOL; END_VAR\n"
                   "run := go AND load < 11500.0;\nEND_PROGRAM\n");
    put("load.review", "REVIEW Hoist 'invented'\n"
                       "CONTROL 'load.st'; SCAN T#100ms;\n"
                       "CONTROLS go : BUTTON 'go button'; load : NUMBER "
                       "'load'; run : MOTOR 'hoist'; END_CONTROLS\n"
                       "REQUIREMENTS R1 'x' : NEVER run AND load >= 5000.0;\n"
                       "END_REQUIREMENTS\nEND_REVIEW\n");
    assert_int_equal(run("draw load.review 2>&1"), 0);
    shell_expect("go button held and load less than 11500.0\n");
    shell_expect("11500.0 or not a number\n");
    shell_expect_not("at at least");
    assert_int_equal(run("draw --sequence R1 --as svg load.review 2>&1"), 0);
    shell_expect(", 1 scan<");
    shell_expect("<text x=\"736.0\" y=\"");
    shell_expect(">more than 5000.0 and less than 11500.0</text>");
}

static void cause_and_effect(void **unused)
{
    (void)unused;
    assert_int_equal(run("effects good.review"), 0);
    shell_expect("go button, held        ");
    shell_expect("stop button, pressed            stops");
    assert_int_equal(run("effects -o chart.csv good.review"), 0);
    assert_int_equal(shell_run("cat %s/chart.csv", folder), 0);
    shell_expect("input,position,output,what is on,stops,only with it,");
    shell_expect("\"stop_ok\",\"pressed\",\"run\",\"motor\",yes,no,no,no,yes,"
                 "yes\n");
    shell_expect("\"go\",\"held\",\"run\",\"motor\",no,no,yes,no,no,no\n");
    assert_int_equal(run("effects --as svg good.review"), 0);
    shell_expect("<svg ");
    shell_expect(">stops</text>");
    assert_int_equal(run("effects --of stop_ok,run good.review"), 0);
    shell_expect("stop button, pressed: stops \"motor\"");
    shell_expect("stop button, pressed: turns \"motor\" off\n");
    shell_expect("but stop button not pressed,\n  it would be on.");
}

static void effects_refused(void **unused)
{
    (void)unused;
    assert_int_equal(run("effects --as pdf good.review 2>&1"), 2);
    shell_expect("--as takes text, csv or svg");
    assert_int_equal(run("effects --despite 1 good.review 2>&1"), 2);
    shell_expect("no fault is declared");
    assert_int_equal(run("effects --of stop_ok good.review 2>&1"), 2);
    shell_expect("--of takes one input and one output");
    assert_int_equal(
        run("effects --of stop_ok,run --as csv good.review 2>&1"), 2);
    shell_expect("--of tells of one input and one output, as text");
    assert_int_equal(run("effects --of brake,run good.review 2>&1"), 2);
    shell_expect("'brake' is no control, sensor or free input that can stand "
                 "otherwise; there are go, stop_ok");
    assert_int_equal(run("effects --of go,brake good.review 2>&1"), 2);
    shell_expect("'brake' is no actuator or output; there are run");
    assert_int_equal(
        run("effects --engine tiles --situations 1 good.review 2>&1"), 3);
    shell_expect("not known");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kept_is_0),
        cmocka_unit_test(broken_is_1_with_a_log_sheet),
        cmocka_unit_test(never_triggered_is_1),
        cmocka_unit_test(what_a_verdict_leans_on),
        cmocka_unit_test(only_some),
        cmocka_unit_test(limit_is_3),
        cmocka_unit_test(engines_say_the_same),
        cmocka_unit_test(sizes_have_units),
        cmocka_unit_test(control_text_alone),
        cmocka_unit_test(drawing_tells_untaken_branches),
        cmocka_unit_test(ways_to_errors_reach_branches),
        cmocka_unit_test(only_numbers_are_held),
        cmocka_unit_test(what_is_held_is_configured),
        cmocka_unit_test(places_are_not_held),
        cmocka_unit_test(a_number_without_a_beginning_is_free),
        cmocka_unit_test(what_is_held_stands_beside_the_verdict),
        cmocka_unit_test(a_loop_that_is_cut_is_no_error),
        cmocka_unit_test(errors_of_reals_are_not_looked_for),
        cmocka_unit_test(missing_file),
        cmocka_unit_test(missing_control_file),
        cmocka_unit_test(first_control_replaced),
        cmocka_unit_test(empty_file),
        cmocka_unit_test(noise),
        cmocka_unit_test(deep_parenthesis),
        cmocka_unit_test(one_clear_message),
        cmocka_unit_test(several_mistakes_in_one_go),
        cmocka_unit_test(full_disk_and_closed_output),
        cmocka_unit_test(output_is_whole_or_absent),
        cmocka_unit_test(unknown_words),
        cmocka_unit_test(formatting),
        cmocka_unit_test(reals_in_pictures),
        cmocka_unit_test(cause_and_effect),
        cmocka_unit_test(effects_refused),
    };

    return cmocka_run_group_tests_name("program", tests, set_up, tear_down);
}
