/* Faults put into whole machines: what is told of them does not hang on how
 * many are asked about at once, and what was not looked at is never told as
 * if nothing was found. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <cmocka.h>

#include "base/text.h"
#include "tests/support/shell.h"

/* ---- all at once, and each by itself ---- */

/* Lines of the table for people to go on with that begin with a mark. */
static void add_lines(struct text *out, const char *mark)
{
    for (const char *at = shell_output(); *at; at = strchr(at, '\n') + 1)
        if (strncmp(at, mark, strlen(mark)) == 0)
            text_add_bytes(out, at,
                           (size_t)(strchr(at, '\n') + 1 - at));
}

static unsigned lines_of(const char *text)
{
    unsigned n = 0;

    while ((text = strchr(text, '\n')) != NULL) {
        text++;
        n++;
    }
    return n;
}

/* Every line of the one stands in the other. */
static void all_in(const char *few, const char *many)
{
    for (const char *at = few; *at; at = strchr(at, '\n') + 1) {
        char line[1024];
        size_t n = (size_t)(strchr(at, '\n') + 1 - at);

        assert_true(n < sizeof line);
        memcpy(line, at, n);
        line[n] = '\0';
        if (strstr(many, line) == NULL)
            fail_msg("only in one of both: %s", line);
    }
}

static void one_by_one(const char *model, const char *const *faults,
                       const char *engine)
{
    struct text each = {0}, all = {0};

    shell_run("%s faults --as csv models/%s.review", shell_program(), model);
    add_lines(&all, "\"");
    for (; *faults != NULL; faults++) {
        shell_run("%s faults --as csv --engine %s --of %s models/%s.review",
                  shell_program(), engine, *faults, model);
        add_lines(&each, "\"");
    }
    assert_int_equal(lines_of(text_str(&each)), lines_of(text_str(&all)));
    all_in(text_str(&each), text_str(&all));
    text_release(&each);
    text_release(&all);
}

static void each_fault_by_itself_says_the_same(void **state)
{
    static const char *const faults[] = {
        "F1", "F2", "F3", "F4", "F5", "F6", "F7", "F8", "F9", "F10", "F11",
        "F12", "F13", "sinking", NULL};

    (void)state;
    one_by_one("tailgate/tailgate", faults, "sets");
}

/* What is told of single faults is told with pairs too, and each of the two
 * contacts in series is needed for a pair that breaks what they guard. */
static void pairs_are_told_beside_single_ones(void **state)
{
    struct text singles = {0}, pairs = {0};

    (void)state;
    shell_run("%s faults --as csv --together 2 --only R1,R2 "
              "models/guard_pair/series.review", shell_program());
    add_lines(&pairs, "\"");
    shell_run("%s faults --as csv --only R1,R2 "
              "models/guard_pair/series.review", shell_program());
    add_lines(&singles, "\"");
    assert_non_null(strstr(text_str(&pairs), "\"F1 + F2\""));
    assert_non_null(strstr(text_str(&pairs), "\"F3 + F4\""));
    assert_null(strstr(text_str(&pairs), "\"F1 + F3\""));
    assert_int_equal(lines_of(text_str(&pairs)),
                     lines_of(text_str(&singles)) + 2);
    all_in(text_str(&singles), text_str(&pairs));
    text_release(&singles);
    text_release(&pairs);
}

/* ---- the table is complete ---- */

/* Columns of a line, counted from 0, without commas in quotes. */
static void copy_column(const char *line, unsigned column, char *cell,
                        size_t room)
{
    bool quoted = false;
    size_t n = 0;

    for (; *line != '\n' && *line != '\r' && *line != '\0'; line++) {
        quoted = quoted != (*line == '"');
        if (*line == ',' && !quoted)
            column--;
        else if (column == 0 && *line != '"' && n + 1 < room)
            cell[n++] = *line;
        if (column == UINT32_MAX)
            break;
    }
    cell[n] = '\0';
}

static unsigned answers_of(const char *lines, const char *fault,
                           const char *requirement, const char *effect)
{
    unsigned n = 0;

    for (const char *at = lines; *at; at = strchr(at, '\n') + 1) {
        char cell[3][64];

        copy_column(at, 0, cell[0], sizeof cell[0]);
        copy_column(at, 7, cell[1], sizeof cell[1]);
        copy_column(at, 9, cell[2], sizeof cell[2]);
        n += (fault == NULL || strcmp(cell[0], fault) == 0) &&
             (requirement == NULL || strcmp(cell[1], requirement) == 0) &&
             (effect == NULL || strcmp(cell[2], effect) == 0);
    }
    return n;
}

/* Every fault with every requirement, once; and the sentence over the table
 * for people counts the same. */
static void every_fault_has_an_answer_for_every_requirement(void **state)
{
    struct text lines = {0};
    char said[128];
    unsigned broken;

    (void)state;
    shell_run("%s faults --as csv models/tailgate/tailgate.review",
              shell_program());
    add_lines(&lines, "\"");
    assert_int_equal(lines_of(text_str(&lines)), 14 * 16);
    for (int f = 1; f <= 14; f++)
        for (int r = 1; r <= 16; r++) {
            char fault[16], requirement[16];

            snprintf(fault, sizeof fault, f < 14 ? "F%d" : "sinking", f);
            snprintf(requirement, sizeof requirement, "R%d", r);
            assert_int_equal(answers_of(text_str(&lines), fault, requirement,
                                        NULL), 1);
        }
    broken = answers_of(text_str(&lines), NULL, NULL, "broken");
    assert_int_equal(broken + answers_of(text_str(&lines), NULL, NULL, "kept")
                     + answers_of(text_str(&lines), NULL, NULL,
                                  "not put to the test"), 14 * 16);
    shell_run("%s faults models/tailgate/tailgate.review", shell_program());
    snprintf(said, sizeof said, "Of 224 answers: in\n%u the fault breaks the "
             "requirement, in %u it does not.", broken, 14 * 16 - broken);
    shell_expect(said);
    text_release(&lines);
}

/* No line is wider than a terminal of 100 columns, sheets included. */
static void lines_fit_a_terminal(void **state)
{
    (void)state;
    shell_run("%s faults --examples --only R2,R6,R40 "
              "models/rear_body/rear_body.review", shell_program());
    for (const char *at = shell_output(); *at; at = strchr(at, '\n') + 1) {
        size_t n = strcspn(at, "\n");

        if (text_columns(at, n) > 100)
            fail_msg("%.*s", (int)n, at);
    }
}

/* ---- what is not finished ---- */

static void a_limit_is_told_with_each_fault(void **state)
{
    (void)state;
    assert_int_equal(shell_run("%s faults --only R4,R6 --situations 1500 "
                               "models/tailgate/tailgate.review",
                               shell_program()), 3);
    shell_expect("nothing found; not finished: R4\n");
    shell_expect("R4 after 0.5 s, R6 after 0.4 s\n");
    shell_expect("R4      single faults: not finished, the limit of "
                 "situations was reached (3 that break it found)");
    shell_expect_not("nothing that was asked");
    shell_expect_not("nothing found so far");
}

static unsigned times(const char *what)
{
    unsigned n = 0;

    for (const char *at = shell_output(); (at = strstr(at, what)) != NULL;
         at += strlen(what))
        n++;
    return n;
}

/* Three faults at once take far longer than this. */
static void a_signal_is_told_once(void **state)
{
    (void)state;
    assert_int_equal(shell_run("timeout -s TERM -k 60 3 %s faults "
                               "--together 3 "
                               "models/rear_body/rear_body.review; "
                               "test $? = 124 && exit 3", shell_program()),
                     3);
    assert_int_equal(times("Interrupted before everything was looked at"), 1);
    assert_int_equal(times("nterrupted"), 1);
    shell_expect("nothing found so far");
    shell_expect_not("nothing that was asked");
    shell_expect(", R73\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_fault_by_itself_says_the_same),
        cmocka_unit_test(pairs_are_told_beside_single_ones),
        cmocka_unit_test(every_fault_has_an_answer_for_every_requirement),
        cmocka_unit_test(lines_fit_a_terminal),
        cmocka_unit_test(a_limit_is_told_with_each_fault),
        cmocka_unit_test(a_signal_is_told_once),
    };

    return cmocka_run_group_tests_name("faults", tests, NULL, NULL);
}
