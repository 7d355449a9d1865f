/* `run` by hand through a pipe, scenarios with their exit codes, and
 * `draw --sequence`. */
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

#define TABLE "models/table/table.review"
#define GATE "models/tailgate/tailgate.review"
#define LATE "models/tailgate/changes/lag_too_long.st"
#define TIED "models/tailgate/changes/tied_button_accepted.st"

/* Runs keepclear with these lines piped in; the exit code. */
static int run(const char *lines, const char *arguments)
{
    return shell_run("printf '%s' | %s %s 2>&1", lines, shell_program(),
                     arguments);
}

static void by_hand(void **state)
{
    (void)state;
    assert_int_equal(run("wait\\nhold up_button\\nwait\\nshow\\nback\\n"
                         "wait 200ms\\nbakc\\nquit\\nwait\\n",
                         "run " TABLE), 0);
    shell_expect("> hold up_button\n> wait\n 0.1 s   hold up button\n"
           "         on: table rises\n");
    shell_expect("> show\ntime     2 scans, 0.1 s\nset      up_button held\n"
           "machine  height is Low\non       up (table rises)\n");
    shell_expect("> back\ntime     1 scan, 0.0 s\n"
           "set      every control is at rest\n");
    shell_expect("'bakc' is not understood; did you mean 'back'?");
    assert_null(strstr(shell_output(), "> quit\n> "));
    for (const char *at = shell_output(); *at != '\0';
         at += strcspn(at, "\n") + 1)
        if (strcspn(at, "\n") > 80 && at != shell_output())
            fail_msg("wider than 80 columns: %s", at);
}

static void why_it_is_on(void **state)
{
    (void)state;
    assert_int_equal(run("why up\\nwait\\nhold up_button\\nwait\\n"
                         "why up\\nwhy upp\\n", "run " TABLE), 0);
    shell_expect("nothing was run yet: wait first");
    shell_expect("up came on");
    shell_expect("up button was pressed");
    shell_expect("there is no actuator or variable 'upp'; did you mean 'up'?");
}

static void end_of_input_ends_it(void **state)
{
    char lines[1200];

    (void)state;
    assert_int_equal(run("wait", "run " TABLE), 0);
    shell_expect(" 0.0 s   power comes");
    assert_int_equal(run("", "run " TABLE), 0);
    memset(lines, 'x', sizeof lines);
    strcpy(lines + 1100, "\\nwait");
    assert_int_equal(run(lines, "run " TABLE), 0);
    shell_expect("this line is too long");
    shell_expect(" 0.0 s   power comes");
}

static void an_assumption_is_named(void **state)
{
    (void)state;
    assert_int_equal(run("hold raise_cab\\nhold lower_cab\\nwait\\nshow\\n",
                         "run " GATE), 0);
    shell_expect("not run: assumption A1 does not hold");
    shell_expect("time     before the first scan");
}

/* The shortest way is walked, saved, pasted and played again. */
static void broken_walked_and_saved(void **state)
{
    char lines[256], arguments[1024];

    (void)state;
    snprintf(lines, sizeof lines, "next 99\\nnext\\nsave %s/s.txt\\n",
             shell_place());
    assert_int_equal(run(lines, "run --broken R3 --control " LATE " " GATE),
                     0);
    shell_expect("the shortest way to break it, 7 scans");
    shell_expect("R3 is broken: the two closing buttons");
    shell_expect("this is the end of the sequence");
    snprintf(arguments, sizeof arguments,
             "format " GATE " | sed -e 's,tailgate\\.st,%s/late.st,' "
             "-e '/^END_REVIEW/d' > %s/p.review && cp " LATE " %s/late.st && "
             "cat %s/s.txt >> %s/p.review && echo END_REVIEW >> %s/p.review",
             shell_place(), shell_place(), shell_place(), shell_place(),
             shell_place(), shell_place());
    assert_int_equal(run("", arguments), 0);
    snprintf(arguments, sizeof arguments, "run --scenario byhand1 "
             "%s/p.review", shell_place());
    assert_int_equal(run("", arguments), 0);
    shell_expect("as expected      EXPECT BROKEN R3");
}

static void scenarios_have_exit_codes(void **state)
{
    (void)state;
    assert_int_equal(run("", "run --scenario all " GATE), 0);
    shell_expect("2 of 2 scenarios as expected");
    assert_int_equal(run("", "run --scenario tiedbutton --control " TIED " "
                         GATE), 1);
    shell_expect("seen: lower_valve is TRUE, release_valve is TRUE");
    shell_expect(GATE ", line ");
    assert_int_equal(run("", "run --scenario Nobody " GATE), 2);
    shell_expect("there is no scenario 'Nobody'");
    shell_expect("TwoHandClosing, TiedButton, or all");
    assert_int_equal(run("", "run --scenario all "
                         "models/tailgate/tailgate.st"), 2);
    assert_int_equal(run("", "run -o x " TABLE), 2);
}

static void kept_has_no_sequence(void **state)
{
    (void)state;
    assert_int_equal(run("", "run --broken R3 " TABLE), 2);
    shell_expect("R3 is kept: there is no sequence to show");
    assert_int_equal(run("", "draw --sequence R77 " TABLE), 2);
    shell_expect("there is no requirement 'R77'");
}

static void sequences_are_drawn(void **state)
{
    char arguments[512];

    (void)state;
    snprintf(arguments, sizeof arguments,
             "draw --sequence R3 --by two_hand.state --control " LATE " -o "
             "%s/a.svg " GATE " && head -c 60 %s/a.svg",
             shell_place(), shell_place());
    assert_int_equal(run("", arguments), 0);
    shell_expect("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg ");
    assert_int_equal(run("", "draw --sequence R4 " TABLE), 0);
    shell_expect("R4  the table gets to the top\nan example, 8 scans\n");
    shell_expect("off all the time: table sinks");
    assert_int_equal(run("", "draw --sequence R4 --by nothing " TABLE), 2);
    assert_int_equal(run("", "draw --sequence R4 --as dot " TABLE), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_hand),
        cmocka_unit_test(why_it_is_on),
        cmocka_unit_test(end_of_input_ends_it),
        cmocka_unit_test(an_assumption_is_named),
        cmocka_unit_test(broken_walked_and_saved),
        cmocka_unit_test(scenarios_have_exit_codes),
        cmocka_unit_test(kept_has_no_sequence),
        cmocka_unit_test(sequences_are_drawn),
    };

    return cmocka_run_group_tests_name("run", tests, shell_set_up,
                                       shell_tear_down);
}
