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

#define TABLE "models/table/table.review"
#define GATE "models/tailgate/tailgate.review"
#define LATE "models/tailgate/changes/lag_too_long.st"
#define TIED "models/tailgate/changes/tied_button_accepted.st"

static char folder[64];
static char output[1 << 18];

/* Runs keepclear with these lines piped in; the exit code. */
static int run(const char *lines, const char *arguments)
{
    char command[2048];
    const char *program = getenv("KEEPCLEAR");
    FILE *pipe;
    int status;
    size_t n;

    assert_non_null(program);
    snprintf(command, sizeof command, "printf '%s' | %s %s 2>&1", lines,
             program, arguments);
    pipe = popen(command, "r");
    assert_non_null(pipe);
    n = fread(output, 1, sizeof output - 1, pipe);
    output[n] = '\0';
    status = pclose(pipe);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void expect(const char *what)
{
    if (strstr(output, what) == NULL)
        fail_msg("'%s' is not in:\n%s", what, output);
}

static int set_up(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/keepclear-run-XXXXXX");
    return mkdtemp(folder) == NULL;
}

static int tear_down(void **state)
{
    char command[128];

    (void)state;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static void by_hand(void **state)
{
    (void)state;
    assert_int_equal(run("wait\\nhold up_button\\nwait\\nshow\\nback\\n"
                         "wait 200ms\\nbakc\\nquit\\nwait\\n",
                         "run " TABLE), 0);
    expect("> hold up_button\n> wait\n 0.1 s   hold up button\n"
           "         on: table rises\n");
    expect("> show\ntime     2 scans, 0.1 s\nset      up_button held\n"
           "machine  height is Low\non       up (table rises)\n");
    expect("> back\ntime     1 scan, 0.0 s\n"
           "set      every control is at rest\n");
    expect("'bakc' is not understood; did you mean 'back'?");
    assert_null(strstr(output, "> quit\n> "));
    for (const char *at = output; *at != '\0'; at += strcspn(at, "\n") + 1)
        if (strcspn(at, "\n") > 80 && at != output)
            fail_msg("wider than 80 columns: %s", at);
}

static void why_it_is_on(void **state)
{
    (void)state;
    assert_int_equal(run("why up\\nwait\\nhold up_button\\nwait\\n"
                         "why up\\nwhy upp\\n", "run " TABLE), 0);
    expect("nothing was run yet: wait first");
    expect("up came on");
    expect("up button was pressed");
    expect("there is no actuator or variable 'upp'; did you mean 'up'?");
}

static void end_of_input_ends_it(void **state)
{
    char lines[1200];

    (void)state;
    assert_int_equal(run("wait", "run " TABLE), 0);
    expect(" 0.0 s   power comes");
    assert_int_equal(run("", "run " TABLE), 0);
    memset(lines, 'x', sizeof lines);
    strcpy(lines + 1100, "\\nwait");
    assert_int_equal(run(lines, "run " TABLE), 0);
    expect("this line is too long");
    expect(" 0.0 s   power comes");
}

static void an_assumption_is_named(void **state)
{
    (void)state;
    assert_int_equal(run("hold raise_cab\\nhold lower_cab\\nwait\\nshow\\n",
                         "run " GATE), 0);
    expect("not run: assumption A1 does not hold");
    expect("time     before the first scan");
}

/* The shortest way is walked, saved, pasted and played again. */
static void broken_walked_and_saved(void **state)
{
    char lines[256], arguments[1024];

    (void)state;
    snprintf(lines, sizeof lines, "next 99\\nnext\\nsave %s/s.txt\\n",
             folder);
    assert_int_equal(run(lines, "run --broken R3 --control " LATE " " GATE),
                     0);
    expect("the shortest way to break it, 7 scans");
    expect("R3 is broken: the two closing buttons");
    expect("this is the end of the sequence");
    snprintf(arguments, sizeof arguments,
             "format " GATE " | sed -e 's,tailgate\\.st,%s/late.st,' "
             "-e '/^END_REVIEW/d' > %s/p.review && cp " LATE " %s/late.st && "
             "cat %s/s.txt >> %s/p.review && echo END_REVIEW >> %s/p.review",
             folder, folder, folder, folder, folder, folder);
    assert_int_equal(run("", arguments), 0);
    snprintf(arguments, sizeof arguments, "run --scenario byhand1 "
             "%s/p.review", folder);
    assert_int_equal(run("", arguments), 0);
    expect("as expected      EXPECT BROKEN R3");
}

static void scenarios_have_exit_codes(void **state)
{
    (void)state;
    assert_int_equal(run("", "run --scenario all " GATE), 0);
    expect("2 of 2 scenarios as expected");
    assert_int_equal(run("", "run --scenario tiedbutton --control " TIED " "
                         GATE), 1);
    expect("seen: lower_valve is TRUE, release_valve is TRUE");
    expect(GATE ", line ");
    assert_int_equal(run("", "run --scenario Nobody " GATE), 2);
    expect("there is no scenario 'Nobody'");
    expect("TwoHandClosing, TiedButton, or all");
    assert_int_equal(run("", "run --scenario all "
                         "models/tailgate/tailgate.st"), 2);
    assert_int_equal(run("", "run -o x " TABLE), 2);
}

static void kept_has_no_sequence(void **state)
{
    (void)state;
    assert_int_equal(run("", "run --broken R3 " TABLE), 2);
    expect("R3 is kept: there is no sequence to show");
    assert_int_equal(run("", "draw --sequence R77 " TABLE), 2);
    expect("there is no requirement 'R77'");
}

static void sequences_are_drawn(void **state)
{
    char arguments[512];

    (void)state;
    snprintf(arguments, sizeof arguments,
             "draw --sequence R3 --by two_hand.state --control " LATE " -o "
             "%s/a.svg " GATE " && head -c 60 %s/a.svg", folder, folder);
    assert_int_equal(run("", arguments), 0);
    expect("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg ");
    assert_int_equal(run("", "draw --sequence R4 " TABLE), 0);
    expect("R4  the table gets to the top\nan example, 8 scans\n");
    expect("off all the time: table sinks");
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

    return cmocka_run_group_tests_name("run", tests, set_up, tear_down);
}
