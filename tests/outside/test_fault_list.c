/* The table of docs/faults.md and the lists of `begin --faults`: every phrase
 * is one that is read, and means what it says.
 *
 * Faults and exclusions are those of the fault lists of ISO 13849-2:2012, from
 * memory; docs/faults.md says so to its readers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/support/shell.h"

static void read_file(const char *path, struct text *out)
{
    assert_int_equal(os_read_file(path, 1 << 20, out), OS_OK);
}

/* ---- the table ---- */

static const char program[] =
    "PROGRAM Main\n"
    "VAR_INPUT ca, cb, s, t, relay_on : BOOL; END_VAR\n"
    "VAR_OUTPUT v, w, m : BOOL; END_VAR\n"
    "  v := ca AND s; w := cb AND t; m := relay_on;\nEND_PROGRAM\n";

/* Its names are those that docs/faults.md explains. */
static const char before[] =
    "REVIEW Table 'invented'\n  CONTROL 'table.st';\n  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    button : BUTTON 'button' CONTACTS ca CLOSING, cb OPENING;\n"
    "    s : SENSOR 'sensor s' ON WHEN gap = Shut;\n"
    "    t : SENSOR 'sensor t' ON WHEN gap = Wide;\n"
    "    v : VALVE 'valve v'; w : VALVE 'valve w'; m : MOTOR 'motor';\n"
    "  END_CONTROLS\n"
    "  WIRING IN\n    VAR K1, K1_no, K1_nc : BOOL; END_VAR\n"
    "    K1 := ca; K1_no := K1; K1_nc := NOT K1;\n"
    "    relay_on := K1_no AND NOT K1_nc;\n  END_WIRING\n"
    "  MECHANISM Gate\n    VAR gap : (Shut, Narrow, Wide) := Wide; END_VAR\n"
    "    MOVES gap FROM Wide TO Narrow; MOVES gap FROM Narrow TO Shut;\n"
    "  END_MECHANISM\n  FAULTS\n";

static const char behind[] = "  END_FAULTS\n"
                             "  REQUIREMENTS R1 : POSSIBLE v; "
                             "END_REQUIREMENTS\nEND_REVIEW\n";

/* The phrases between ` ` of the third column of one row. */
static unsigned add_phrases(struct text *out, const char *row, unsigned n)
{
    const char *at = row, *end;

    for (int bars = 0; bars < 3; bars++)
        at = strchr(at, '|') + 1;
    end = strchr(at, '|');
    assert_non_null(end);
    while ((at = strchr(at, '`')) && at < end) {
        const char *close = strchr(at + 1, '`');

        assert_non_null(close);
        text_printf(out, "    T%u : %.*s;\n", ++n, (int)(close - at - 1),
                    at + 1);
        at = close + 1;
    }
    return n;
}

static void phrases_of_the_table_are_read(void **state)
{
    struct text table = {0}, review = {0};
    unsigned rows = 0, phrases = 0;
    char *row;

    (void)state;
    read_file("docs/faults.md", &table);
    text_add(&review, before);
    row = strstr(text_str(&table), "\n|---|---|---|---|\n");
    assert_non_null(row);
    row += strlen("\n|---|---|---|---|\n");
    for (; *row == '|'; row = strchr(row, '\n') + 1, rows++) {
        unsigned with = add_phrases(&review, row, phrases);

        if (with == phrases && !strstr(row, "not a fault"))
            fail_msg("a row without a phrase or a reason: %.60s", row);
        phrases = with;
    }
    text_add(&review, behind);
    assert_true(rows > 45);
    assert_true(phrases > 60);
    shell_put(shell_place(), "table.st", program);
    shell_put(shell_place(), "table.review", text_str(&review));
    if (shell_run("%s check %s/table.review 2>&1", shell_program(),
                  shell_place()))
        fail_msg("%s", shell_output());
    shell_expect("R1    kept");
    text_release(&table);
    text_release(&review);
}

/* ---- lists ---- */

/* The review text with the section before its end, beside copies of the
 * control texts. */
static void take_in(const char *model, const char *section)
{
    struct text review = {0}, whole = {0};
    char path[256];
    const char *end = NULL;

    snprintf(path, sizeof path, "models/%s/%s.review", model, model);
    read_file(path, &review);
    for (const char *at = text_str(&review); (at = strstr(at, "END_REVIEW"));
         at++)
        end = at;
    assert_non_null(end);
    text_add_bytes(&whole, text_str(&review),
                   (size_t)(end - text_str(&review)));
    text_add(&whole, section);
    text_add(&whole, "END_REVIEW\n");
    assert_int_equal(shell_run("cp models/%s/*.st %s/", model,
                               shell_place()), 0);
    snprintf(path, sizeof path, "%s.review", model);
    shell_put(shell_place(), path, text_str(&whole));
    text_release(&review);
    text_release(&whole);
}

static unsigned count(const char *text, const char *what)
{
    unsigned n = 0;

    while ((text = strstr(text, what))) {
        text += strlen(what);
        n++;
    }
    return n;
}

/* Lines of the section that declare a fault. */
static unsigned declared(const char *section)
{
    unsigned n = 0;

    for (const char *at = section; (at = strstr(at, "\n    F")); at++)
        n += strncmp(at + 5 + strspn(at + 5, "F0123456789"), " : ", 3) == 0;
    return n;
}

/* Every entry is read, as just the fault that was meant: listed again, all
 * are said already. */
static void list_comes_round(const char *model, unsigned least)
{
    struct text first = {0};
    unsigned fresh, said;

    assert_int_equal(shell_run("%s begin --faults models/%s/%s.review",
                               shell_program(), model, model), 0);
    text_add(&first, shell_output());
    fresh = declared(text_str(&first));
    said = count(text_str(&first), " says so already: ");
    assert_true(fresh >= least);
    take_in(model, text_str(&first));
    if (shell_run("%s begin --faults %s/%s.review 2>&1", shell_program(),
                  shell_place(), model))
        fail_msg("%s", shell_output());
    assert_int_equal(declared(shell_output()), 0);
    assert_int_equal(count(shell_output(), " says so already: "),
                     fresh + said);
    text_release(&first);
}

static void lists_are_read_as_meant(void **state)
{
    (void)state;
    list_comes_round("tailgate", 80);
    list_comes_round("rear_body", 300);
    list_comes_round("table", 20);
}

/* What is expected was written down by hand from docs/faults.md. */
static void a_small_list(void **state)
{
    static const char *const expected[] = {
        "(* button *)",
        "F1 : button STAYS;", "F2 : ca DOES NOT OPEN;",
        "F3 : ca DOES NOT CLOSE;", "F4 : ca WIRE OFF;",
        "F5 : ca SHORT TO SUPPLY;",
        "F6 : cb DOES NOT OPEN, EXCLUDED BECAUSE '';",
        "F7 : cb DOES NOT CLOSE;", "F8 : cb WIRE OFF;",
        "F9 : cb SHORT TO SUPPLY;", "F10 : ca SHORT TO cb;",
        "F11 : button WIRE OFF;", "F12 : button SHORT TO SUPPLY;",
        "(* sensor s *)",
        "F13 : s STAYS;", "F14 : s WIRE OFF;", "F15 : s SHORT TO SUPPLY;",
        "F16 : s DISPLACED BY 1 ALONG gap;",
        "F17 : s DISPLACED BY -1 ALONG gap;",
        "(* sensor t *)", "(* conductors that lie side by side *)",
        "F23 : cb SHORT TO s;", "F24 : s SHORT TO t;",
        "(* valve v *)",
        "F25 : v WIRE OFF;", "F26 : v SHORT TO SUPPLY;", "F27 : v STAYS;",
        "F28 : v MOVES WITHOUT COMMAND; (* changes its position without "
        "command: no",
        "(* motor *)", "F33 : m WIRE OFF;", "F34 : m SHORT TO SUPPLY;",
        "(* relay K1 *)",
        "F35 : K1 WIRE OFF;", "F36 : K1 SHORT TO SUPPLY;",
        "F37 : K1 DOES NOT OPEN;", "F38 : K1 DOES NOT CLOSE;",
        "(* controller *)", "F47 : PROGRAM Main STOPS;",
        "F48 : v, w, m SHORT TO SUPPLY;",
        "(* supplies *)", "F49 : v, w, m WIRE OFF;",
        "F50 : ca, cb, s, t WIRE OFF;", "END_FAULTS"};
    struct text review = {0};
    const char *at;

    (void)state;
    text_printf(&review, "%s%s", before, behind);
    shell_put(shell_place(), "table.st", program);
    shell_put(shell_place(), "table.review", text_str(&review));
    assert_int_equal(shell_run("%s begin --faults %s/table.review",
                               shell_program(), shell_place()), 0);
    at = shell_output();
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        const char *found = strstr(at, expected[i]);

        if (!found)
            fail_msg("%s is not in:\n%s", expected[i], at);
        at = found + strlen(expected[i]);
    }
    assert_null(strstr(at, "F51"));
    text_release(&review);
}

static void a_control_text_has_no_list(void **state)
{
    (void)state;
    assert_int_equal(shell_run("%s begin --faults models/table/table.st 2>&1",
                               shell_program()), 2);
    shell_expect("takes a review text");
}

/* What is told of the phrases; the sentences were written down by hand. */
static void causes_are_told(void **state)
{
    static const struct {
        const char *requirement, *said;
    } rows[] = {
        {"R3", "lower came on, because loose appeared"},
        {"R4", "K1 stayed on, because welded appeared (5) and K1 came on"},
        {"R7", "near stayed off, because late appeared (7) and gap became "
               "Near"},
        {"R5", "COMMANDED Main.lower stayed on, because hangs appeared"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(
            shell_run("%s why --only %s "
                      "tests/golden/good/fault-phrases.review",
                      shell_program(), rows[i].requirement), 1);
        shell_expect(rows[i].said);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(phrases_of_the_table_are_read),
        cmocka_unit_test(lists_are_read_as_meant),
        cmocka_unit_test(a_small_list),
        cmocka_unit_test(a_control_text_has_no_list),
        cmocka_unit_test(causes_are_told),
    };

    return cmocka_run_group_tests_name("fault lists", tests, shell_set_up,
                                       shell_tear_down);
}
