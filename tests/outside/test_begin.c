/* `keepclear begin` from the outside: whatever control text it is given, its
 * result runs as it is, and says no more than was guessed.
 *
 * The texts are those of models/ and tests/, and tests/outside/texts/begin/:
 * invented, in the manner of real exports.  What is expected of a guess is
 * read off those texts by hand. */
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

#include "base/os.h"
#include "base/text.h"
#include "tests/support/long_program.h"
#include "tests/support/shell.h"

#define TEXTS "tests/outside/texts/begin/"

static char folder[64];

static int keepclear(const char *arguments)
{
    return shell_run("%s %s 2>&1", shell_program(), arguments);
}

/* Begins with these texts; the result is the output after it. */
static int begin(const char *texts)
{
    char arguments[1024];
    int code;

    snprintf(arguments, sizeof arguments, "begin -o %s/x.review %s", folder,
             texts);
    code = keepclear(arguments);
    if (code != 0)
        return code;
    return shell_run("cat %s/x.review", folder);
}

static int check(const char *options)
{
    char arguments[256];

    snprintf(arguments, sizeof arguments, "check %s %s/x.review", options,
             folder);
    return keepclear(arguments);
}

static int set_up(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/keepclear-begin-XXXXXX");
    assert_int_equal(shell_folder(folder), 0);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    return shell_remove(folder);
}

/* ---- whatever text ---- */

/* What begins, runs; what does not begin holds no PROGRAM, or something that
 * a review text refuses and check alone warns of. */
static void runs_as_it_is(const char *texts)
{
    char arguments[1024];
    int code = begin(texts);

    if (code != 0) {
        assert_int_equal(code, 2);
        if (strstr(shell_output(), "there is no PROGRAM"))
            return;
        snprintf(arguments, sizeof arguments, "check %s", texts);
        keepclear(arguments);
        if (!strstr(shell_output(), ": warning: "))
            fail_msg("%s does not begin:\n%s", texts, shell_output());
        return;
    }
    code = check("--quick --situations 20000");
    if (code != 0 && code != 1 && code != 3)
        fail_msg("%s: exit code %d:\n%s", texts, code, shell_output());
}

/* All lines of the list that a command writes. */
static unsigned each(const char *command)
{
    static char list[1 << 16];
    unsigned n = 0;

    assert_int_equal(shell_run("%s", command), 0);
    assert_true(strlen(shell_output()) < sizeof list);
    strcpy(list, shell_output());
    for (char *at = strtok(list, "\n"); at; at = strtok(NULL, "\n")) {
        runs_as_it_is(at);
        n++;
    }
    return n;
}

static void every_text_of_the_models_begins(void **state)
{
    (void)state;
    assert_true(each("find models -name '*.st' | grep -v -e changes/ -e "
                     "trial.st | sort") > 20);
    assert_true(each("for t in models/parts/*/trial.st; do d=${t%/*}; "
                     "echo $t $d/${d##*/}.st; done") > 5);
}

static void every_change_of_the_models_begins(void **state)
{
    (void)state;
    assert_true(each("for d in models/*/changes; do ls $d/*.st | head -3; "
                     "done") > 3);
}

static void every_text_of_the_tests_begins(void **state)
{
    (void)state;
    assert_true(each("find tests/outside/texts tests/golden/with -name "
                     "'*.st' | grep -v clamp_two") > 10);
    runs_as_it_is(TEXTS "export.xml");
    runs_as_it_is(TEXTS "clamp_two_texts.st " TEXTS "hold.st");
}

/* The result names its texts as they lie, wherever it is written itself. */
static void paths_fit_the_place_of_the_result(void **state)
{
    char command[1024];
    static const char *const places[][2] = {
        {"here.review", "CONTROL 'a/b.st'"},
        {"a/here.review", "CONTROL 'b.st'"},
        {"c/here.review", "CONTROL '../a/b.st'"},
        {"c/../here.review", "/a/b.st'"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        snprintf(command, sizeof command,
                 "p=$(realpath %s); mkdir -p %s/a %s/c && "
                 "cp models/table/table.st %s/a/b.st && cd %s && "
                 "$p begin -o %s a/b.st && cat %s && "
                 "$p check --quick --only R1 %s", getenv("KEEPCLEAR"),
                 folder, folder, folder, folder, places[i][0], places[i][0],
                 places[i][0]);
        assert_int_equal(shell_run("%s", command), 0);
        shell_expect(places[i][1]);
        shell_expect("R1    kept");
    }
}

/* ---- guesses ---- */

static void stops_are_read_by_their_use(void **state)
{
    (void)state;
    assert_int_equal(begin(TEXTS "press_german.st"), 0);
    shell_expect("NOT_HALT : STOP 'Not-Halt Pult, Oeffner' CONTACTS OPENING;");
    shell_expect("in the text FALSE stops");
    assert_int_equal(begin(TEXTS "gate_french.st"), 0);
    shell_expect("arret_urgence : STOP 'arret urgence' CONTACTS CLOSING;");
    shell_expect("in the text TRUE stops");
    assert_int_equal(begin(TEXTS "arithmetic.st"), 0);
    shell_expect("stop : STOP 'stop' CONTACTS CLOSING;");
    assert_int_equal(begin(TEXTS "memory.st"), 0);
    shell_expect("I_Stop_NC : STOP 'stop nc' CONTACTS OPENING;");
    assert_int_equal(begin(TEXTS "prefixes.st"), 0);
    shell_expect("bEStopOk : STOP 'e stop ok' CONTACTS OPENING;");
}

static void parts_move_between_their_ends(void **state)
{
    (void)state;
    assert_int_equal(begin(TEXTS "lift_italian.st"), 0);
    shell_expect("VAR part_place : (Alto, Between, Basso); END_VAR");
    shell_expect("MOVES part_place FROM Between TO Alto WHILE motore_sali;");
    shell_expect("MOVES part_place FROM Between TO Basso WHILE motore_scendi;");
    shell_expect(
        "finecorsa_alto : SENSOR 'finecorsa alto' ON WHEN part_place = "
           "Alto;");
    assert_int_equal(begin("models/table/table.st"), 0);
    shell_expect("MOVES part_place FROM Elsewhere TO Top WHILE up;");
    assert_int_equal(begin(TEXTS "loop.st"), 0);
    shell_expect("FROM Between TO At_end WHILE ram_advance;");
    shell_expect("mode_switch : SELECTOR");
}

static void every_guess_says_so(void **state)
{
    char *from, *line;
    unsigned n = 0;

    (void)state;
    assert_int_equal(begin(TEXTS "press_german.st"), 0);
    from = strstr(shell_output(), "  CONTROLS\n");
    assert_non_null(from);
    *strstr(from, "  END_CONTROLS") = '\0';
    for (line = strstr(from, " : "); line; line = strstr(line + 3, " : ")) {
        const char *end = strstr(line + 3, " : ");
        const char *guess = strstr(line, "guess: ");

        n += guess && (!end || guess < end);
    }
    assert_true(n >= 9);
}

static void the_task_and_the_scan(void **state)
{
    (void)state;
    assert_int_equal(begin(TEXTS "lift_italian.st"), 0);
    shell_expect_not("  SCAN T#");
    assert_int_equal(begin(TEXTS "bare.st"), 0);
    shell_expect("  SCAN T#100ms; (* assumed");
}

static void names_that_cannot_be_signals_are_left_free(void **state)
{
    (void)state;
    assert_int_equal(begin(TEXTS "names.st"), 0);
    shell_expect("First.fault : BOOL - its name is a word of review texts");
    shell_expect("First.start : BOOL - several variables have this name");
    shell_expect("Requirement1 ");
    shell_expect("Hazard1 ");
    shell_expect_not("    fault : ");
}

static void types_without_a_signal_are_left_free(void **state)
{
    (void)state;
    assert_int_equal(begin(TEXTS "mixed_types.st"), 0);
    shell_expect("Tank.pressure : REAL - no BOOL");
    shell_expect("Tank.doors[2] : BOOL - an element");
    shell_expect("UNKNOWN PidLoop BECAUSE");
    shell_expect("NEVER dump_valve_open AND dump_valve_close;");
    shell_expect("halt : STOP 'halt' CONTACTS CLOSING;");
}

static void too_many_values_are_left_open_and_said(void **state)
{
    (void)state;
    assert_int_equal(begin(TEXTS "arithmetic.st"), 0);
    assert_int_equal(check("--quick"), 3);
    shell_expect("not described, free: Filling.level");
    shell_expect("left open: the value level / 2 + 3");
    shell_expect("left open: the value on_for(");
}

static void what_is_no_control_text_is_refused(void **state)
{
    (void)state;
    assert_int_equal(keepclear("begin models/table/table.review"), 2);
    shell_expect("is a review text already");
    assert_int_equal(keepclear("begin nothing.st"), 2);
    shell_expect("cannot read 'nothing.st'");
    assert_int_equal(keepclear("begin tests/golden/bad/missing-end-if.st"),
                     2);
    shell_expect("error:");
    assert_int_equal(keepclear("begin " TEXTS "clamp_two_texts.st"), 2);
    shell_expect("say with -o FILE");
}

/* ---- the long program ---- */

static void write_long(bool linked)
{
    struct text text = {0};
    char path[128];
    unsigned lines = 0;

    long_program_write(&text, linked);
    for (size_t i = 0; i < text.n; i++)
        lines += text.at[i] == '\n';
    assert_in_range(lines, 1800, 2200);
    snprintf(path, sizeof path, "%s/long.st", folder);
    assert_int_equal(os_write_file(path, text.at, text.n), OS_OK);
    text_release(&text);
}

/* Pastes the declarations that the messages propose: from each line that
 * begins one to the one that ends it. */
static unsigned paste(const char *name)
{
    static const char begins[] = "      FUNCTION_BLOCK ";
    static const char ends[] = "      END_FUNCTION_BLOCK\n";
    struct text text = {0};
    char path[128];
    unsigned n = 0;

    for (const char *at = shell_output(), *end; (at = strstr(at, begins));
         at = end) {
        end = strstr(at, ends);
        assert_non_null(end);
        end += strlen(ends);
        text_add_bytes(&text, at, (size_t)(end - at));
        n++;
    }
    snprintf(path, sizeof path, "%s/%s", folder, name);
    assert_int_equal(os_write_file(path, text_str(&text), text.n), OS_OK);
    text_release(&text);
    return n;
}

/* By hand: the messages of check alone lead to a verdict. */
static void messages_lead_to_a_verdict(void **state)
{
    char arguments[256], path[128];
    static const char review[] =
        "REVIEW Long\n  CONTROL 'long.st';\n  CONTROL 'pasted.st';\n"
        "  SCAN T#100ms;\n  UNKNOWN DriveAxis;\n  UNKNOWN LinkWatch;\n"
        "  UNKNOWN RecipeStore;\n  UNKNOWN ScannerEye;\n"
        "  CONTROLS\n    emergency_stop_ok : STOP CONTACTS OPENING;\n"
        "  END_CONTROLS\n  REQUIREMENTS\n"
        "    R1 : NEVER table_motor AND PRESSED emergency_stop_ok;\n"
        "  END_REQUIREMENTS\nEND_REVIEW\n";

    (void)state;
    write_long(false);
    snprintf(arguments, sizeof arguments, "check --reading %s/long.st",
             folder);
    assert_int_equal(keepclear(arguments), 2);
    shell_expect("needed, and in none of the texts: 4");
    shell_expect("write UNKNOWN DriveAxis; in the review text");
    assert_int_equal(paste("pasted.st"), 4);
    snprintf(path, sizeof path, "%s/x.review", folder);
    assert_int_equal(os_write_file(path, review, strlen(review)), OS_OK);
    assert_int_equal(check("--only R1"), 0);
    shell_expect("R1    kept");
}

/* With begin: the text as it is, one command, a verdict. */
static void begin_leads_to_a_verdict(void **state)
{
    char texts[128];

    (void)state;
    write_long(false);
    snprintf(texts, sizeof texts, "%s/long.st", folder);
    assert_int_equal(begin(texts), 0);
    shell_expect("CONTROL 'x_unknown.st';");
    shell_expect("UNKNOWN ScannerEye BECAUSE 'its text is missing';");
    shell_expect("s07_ram_home : SENSOR");
    shell_expect("WHILE s07_ram_advance;");
    shell_expect("NEVER s01_ram_advance AND s01_ram_return;");
    assert_int_equal(check("--quick --only R1,R2"), 0);
    shell_expect("R1    kept");
    shell_expect("R2    kept");
    assert_int_equal(check("--quick --only R7"), 1);
    shell_expect("R7    broken");
    shell_expect("on: pin goes in");
}

/* Where controllers count places differently, one of them is guessed, and the
 * guess is told. */
static void counting_of_places_is_guessed(void **state)
{
    static const char control[] =
        "PROGRAM Main\nVAR\n  m AT %MW0 : INT; n AT %MW1 : INT;\n"
        "  q AT %QX0.0 : BOOL; stop AT %IX6.0 : BOOL;\nEND_VAR\n"
        "  q := n > 2 AND stop;\n  m := 5;\n  n := 7;\nEND_PROGRAM\n";
    char texts[128];

    (void)state;
    snprintf(texts, sizeof texts, "%s/places.st", folder);
    assert_int_equal(os_write_file(texts, control, strlen(control)), OS_OK);
    assert_int_equal(begin(texts), 0);
    shell_expect("CONTROLLER PLACES : OWN WIDTHS; END_CONTROLLER (* guess");
    assert_int_equal(check("--quick"), 0);
    shell_expect("each in its own width");
}

/* Where everything depends on everything, what cannot be finished is said
 * to be so, and the rest is judged. */
static void a_linked_program_is_judged_as_far_as_it_goes(void **state)
{
    char texts[128];

    (void)state;
    write_long(true);
    snprintf(texts, sizeof texts, "%s/long.st", folder);
    assert_int_equal(begin(texts), 0);
    assert_int_equal(check("--quick --only R7"), 1);
    shell_expect("R7    broken");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_text_of_the_models_begins),
        cmocka_unit_test(every_change_of_the_models_begins),
        cmocka_unit_test(every_text_of_the_tests_begins),
        cmocka_unit_test(paths_fit_the_place_of_the_result),
        cmocka_unit_test(stops_are_read_by_their_use),
        cmocka_unit_test(parts_move_between_their_ends),
        cmocka_unit_test(every_guess_says_so),
        cmocka_unit_test(the_task_and_the_scan),
        cmocka_unit_test(names_that_cannot_be_signals_are_left_free),
        cmocka_unit_test(types_without_a_signal_are_left_free),
        cmocka_unit_test(too_many_values_are_left_open_and_said),
        cmocka_unit_test(what_is_no_control_text_is_refused),
        cmocka_unit_test(messages_lead_to_a_verdict),
        cmocka_unit_test(begin_leads_to_a_verdict),
        cmocka_unit_test(counting_of_places_is_guessed),
        cmocka_unit_test(a_linked_program_is_judged_as_far_as_it_goes),
    };

    return cmocka_run_group_tests(tests, set_up, tear_down);
}
