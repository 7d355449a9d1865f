/* The stories of models/safe_gap and models/guard_pair, as their README tells
 * them: what was expected stands there and here, written from the machines.
 * That switches in series can hide each other's faults is common practice (ISO
 * 14119 speaks of it, from memory). */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/shell.h"

#define ONE "models/safe_gap/one_switch.review"
#define TWO "models/safe_gap/two_switches.review"
#define SERIES "models/guard_pair/series.review"
#define APART "models/guard_pair/apart.review"

/* The output without line breaks and columns: words one blank apart. */
static void flatten(struct text *out, const char *from)
{
    for (; *from != '\0'; from++) {
        bool blank = *from == ' ' || *from == '\n';

        if (!blank)
            text_add_char(out, *from);
        else if (out->n > 0 && out->at[out->n - 1] != ' ')
            text_add_char(out, ' ');
    }
}

static void run(int code, const char *command, const char *review)
{
    if (shell_run("%s %s %s 2>&1", shell_program(), command, review) != code)
        fail_msg("%s %s:\n%s", command, review, shell_output());
}

/* What a fault does, by its line of the table to go on with. */
struct row {
    const char *fault, *requirement, *effect, *noticed, *second, *class;
};

/* The cell number `wanted`, of a line whose cells may stand in quotes. */
static void cell(struct text *out, const char *line, int wanted)
{
    bool quoted = false;

    for (int i = 0; *line != '\r' && *line != '\0' && i <= wanted; line++) {
        if (*line == '"')
            quoted = !quoted;
        else if (*line == ',' && !quoted)
            i++;
        else if (i == wanted)
            text_add_char(out, *line);
    }
}

static bool is_cell(const char *line, int number, const char *wanted)
{
    struct text text = {0};
    bool is;

    cell(&text, line, number);
    is = strcmp(text_str(&text), wanted) == 0;
    text_release(&text);
    return is;
}

static const char *next_line(const char *line)
{
    const char *end = strchr(line, '\n');

    return end == NULL || end[1] == '\0' ? NULL : end + 1;
}

enum { NAME = 0, REQUIREMENT = 7, EFFECT = 9, NOTICED = 13, SECOND = 15,
       CLASS = 16 };

static void expect_row(const struct row *row)
{
    const char *line = shell_output();

    while (line != NULL && !(is_cell(line, NAME, row->fault) &&
                             is_cell(line, REQUIREMENT, row->requirement)))
        line = next_line(line);
    if (line == NULL)
        fail_msg("no line for %s and %s", row->fault, row->requirement);
    if (!is_cell(line, EFFECT, row->effect) ||
        !is_cell(line, NOTICED, row->noticed) ||
        !is_cell(line, SECOND, row->second) ||
        !is_cell(line, CLASS, row->class))
        fail_msg("%s and %s: %.*s", row->fault, row->requirement,
                 (int)strcspn(line, "\r"), line);
}

static void expect_rows(const char *review, const struct row *rows, size_t n)
{
    run(0, "faults --together 2 --as csv", review);
    for (size_t i = 0; i < n; i++)
        expect_row(&rows[i]);
}

#define ROWS(review, rows)                                                    \
    expect_rows(review, rows, sizeof(rows) / sizeof *(rows))

static const char in_time[] = "always before the next demand",
                  some[] = "on some paths only", never[] = "never",
                  none[] = "no demand comes after it",
                  no_effect[] = "no effect on what was asked",
                  safe[] = "safe as far as was asked",
                  unnoticed[] = "dangerous, not always noticed";

static void one_switch_is_not_missed(void **state)
{
    static const struct row rows[] = {
        {"F1", "R1", "broken", never, "", unnoticed},
        {"F2", "R1", "kept", none, "", safe},
        {"F3", "R1", "broken", never, "", unnoticed},
        {"F5", "R1", "kept", never, "", safe},
        {"F5 + F6", "R1", "broken", never, "F5, F6", unnoticed},
    };

    (void)state;
    run(1, "check --quick", ONE);
    shell_expect("R1    broken    in the model · any one of 6 faults");
    shell_expect("R2    kept");
    shell_expect("R3    kept");
    ROWS(ONE, rows);
    run(0, "run --scenario Jammed", ONE);
    shell_expect("EXPECT BROKEN R1");
    shell_expect_not("not as expected");
}

static void two_switches_watch_each_other(void **state)
{
    static const struct row rows[] = {
        {"F1", "R1", "kept", in_time, "", no_effect},
        {"F7", "R1", "kept", in_time, "", no_effect},
        {"F3", "R1", "kept", in_time, "", no_effect},
        {"F2", "R1", "kept", none, "", safe},
        {"F1 + F7", "R1", "broken", some, "", unnoticed},
        {"F5 + F6", "R1", "broken", never, "F5, F6", unnoticed},
    };

    (void)state;
    run(0, "check --quick", TWO);
    shell_expect("R1    kept      in the model · any one of 9 faults");
    ROWS(TWO, rows);
    run(0, "run --scenario Jammed", TWO);
    shell_expect("and the lamp says so before a hand is there");
    shell_expect_not("not as expected");
}

static void guards_in_series_hide(void **state)
{
    static const struct row rows[] = {
        {"F1", "R1", "kept", some, "", no_effect},
        {"F3", "R1", "kept", some, "", no_effect},
        {"F1 + F2", "R1", "broken", some, "F1, F2", unnoticed},
    };

    (void)state;
    run(1, "check --quick", SERIES);
    shell_expect("R1    kept      in the model · any one of 4 faults");
    shell_expect("R3    broken    in the model · any one of 4 faults, and "
                 "another after one that is not always noticed");
    shell_expect("another after F1: on some paths only, unnoticed at a "
                 "demand after 4 scans");
    ROWS(SERIES, rows);
    run(0, "run --scenario Hidden", SERIES);
    shell_expect("EXPECT BROKEN R3");
    shell_expect_not("not as expected");
}

static void guards_apart_tell(void **state)
{
    static const struct row rows[] = {
        {"F1", "R1", "kept", in_time, "", no_effect},
        {"F4", "R1", "kept", in_time, "", no_effect},
        {"F1 + F2", "R1", "broken", some, "", unnoticed},
    };

    (void)state;
    run(0, "check --quick", APART);
    shell_expect("R3    kept");
    shell_expect("each of these faults is always noticed before the next "
                 "demand");
    ROWS(APART, rows);
    run(0, "run --scenario Remembered", APART);
    shell_expect_not("not as expected");
}

/* Counts stand with the words that they are no diagnostic coverage. */
static void counts_are_no_coverage(void **state)
{
    static const struct {
        const char *review, *count;
    } rows[] = {{ONE, "0 of 6 faults are"}, {TWO, "4 of 9 faults are"},
                {SERIES, "0 of 4 faults are"}, {APART, "4 of 4 faults are"}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct text wanted = {0};

        run(0, "faults", rows[i].review);
        text_printf(&wanted, "%s always noticed before the next demand; this "
                             "is no diagnostic coverage.", rows[i].count);
        shell_expect(text_str(&wanted));
        text_release(&wanted);
    }
}

/* ---- the table to go on with ---- */

static unsigned cells(const char *line)
{
    bool quoted = false;
    unsigned n = 1;

    for (; *line != '\r' && *line != '\0'; line++) {
        quoted = quoted != (*line == '"');
        n += *line == ',' && !quoted;
    }
    return n;
}

/* Every line has a cell for each heading; groups name their faults with the
 * timing of each, what is excluded stands there with its reason, and what
 * people judge is blank. */
static void lines_are_as_wide_as_the_heading(void **state)
{
    unsigned excluded = 0;

    (void)state;
    run(0, "faults --as csv", "tests/golden/good/review-causes.review");
    assert_int_equal(cells(shell_output()), 26);
    for (const char *line = next_line(shell_output()); line != NULL;
         line = next_line(line)) {
        assert_int_equal(cells(line), 26);
        for (int i = CLASS + 1; i < 26; i++)
            assert_true(is_cell(line, i, ""));
        excluded += is_cell(line, 4, "never");
        assert_true(is_cell(line, NOTICED, "no NOTICING declared") ||
                    is_cell(line, 4, "never"));
    }
    assert_int_equal(excluded, 2);
    shell_expect("one cause of F1 (comes and goes), F2 (stays)");
    shell_expect("\"excluded: apart from all others, not confirmed by "
                 "anybody\"");
}

/* What was not looked at is not said to be harmless. */
static void what_is_not_finished_is_not_known(void **state)
{
    (void)state;
    run(3, "faults --situations 3", TWO);
    shell_expect("not known (not all of it was looked at): F1, F2, F3, F7, "
                 "F8, F9, F4, F5, F6");
    shell_expect("0 of 9 faults are always noticed before the next demand, "
                 "of 9 it is not known; this is no diagnostic coverage.");
    shell_expect_not("no effect on what was asked");
    shell_expect_not("safe as far");
}

/* --examples shows the way past a demand: both guards of a series opened. */
static void the_way_past_a_demand(void **state)
{
    struct text words = {0};

    (void)state;
    run(0, "faults --of F1 --only R1 --examples", SERIES);
    flatten(&words, shell_output());
    if (strstr(text_str(&words), "F1 not noticed at a demand after 0.3 s") ==
            NULL ||
        strstr(text_str(&words), "switch off left guard shut") == NULL)
        fail_msg("%s", shell_output());
    text_release(&words);
    run(0, "faults --of F1 --only R1 --examples", APART);
    shell_expect_not("not noticed at a demand");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_switch_is_not_missed),
        cmocka_unit_test(two_switches_watch_each_other),
        cmocka_unit_test(guards_in_series_hide),
        cmocka_unit_test(guards_apart_tell),
        cmocka_unit_test(counts_are_no_coverage),
        cmocka_unit_test(lines_are_as_wide_as_the_heading),
        cmocka_unit_test(the_way_past_a_demand),
        cmocka_unit_test(what_is_not_finished_is_not_known),
    };

    return cmocka_run_group_tests_name("stories of faults", tests, NULL,
                                       NULL);
}
