/* Small changes of the control text.  What is expected of the small texts is
 * read off them by hand; of a model each changed text is checked as a whole,
 * from a file of its own. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "study/check.h"
#include "study/load.h"
#include "study/unguarded.h"
#include "tests/support/shell.h"

static const char letter[] = {
    [CHANGE_SAME] = 's', [CHANGE_NOTICED] = 'n', [CHANGE_UNGUARDED] = 'u', [CHANGE_HARMLESS] = 'h',
    [CHANGE_NOT_KNOWN] = '?', [CHANGE_REFUSED] = 'x'};

static const struct unguarded_findings *studied(
    struct loaded *loaded, const struct load_request *request)
{
    const struct unguarded_setting setting = {
        .study = {.threads = 1}, .every = true};
    const struct unguarded_findings *found;

    assert_non_null(loaded->model);
    found = unguarded_study(loaded, request, &setting);
    assert_non_null(found);
    assert_null(found->internal_error);
    assert_int_equal(found->n_asked, found->n);
    return found;
}

#define HEAD                                                               \
    "REVIEW Small 'invented'\nCONTROL 'small.st';\nSCAN T#100ms;\n"         \
    "CONTROLS\n  a : BUTTON 'a'; b : BUTTON 'b';\n"                         \
    "  y : VALVE 'y'; z : VALVE 'z';\nEND_CONTROLS\n"

#define TAIL                                                               \
    "REQUIREMENTS\n  R1 'it' : NEVER y AND NOT a;\n"                        \
    "END_REQUIREMENTS\nEND_REVIEW\n"

#define CONTROL                                                            \
    "PROGRAM Main VAR_INPUT a, b : BOOL; END_VAR\n"                         \
    "VAR_OUTPUT y, z : BOOL; END_VAR VAR k : BOOL; t : TON; END_VAR\n"

/* A letter for each change, in the order of the text. */
static void outcomes(const char *body, const char *between,
                     const char *expected)
{
    char folder[] = "/tmp/keepclear-test-XXXXXX";
    const struct unguarded_findings *found;
    struct load_request request = {0};
    struct text text = {0}, path = {0}, got = {0};
    struct loaded *loaded;

    assert_int_equal(shell_folder(folder), 0);
    text_printf(&text, CONTROL "%sEND_PROGRAM\n", body);
    shell_put(folder, "small.st", text_str(&text));
    text_clear(&text);
    text_printf(&text, HEAD "%s" TAIL, between);
    shell_put(folder, "small.review", text_str(&text));
    text_printf(&path, "%s/small.review", folder);
    request.path = text_str(&path);
    loaded = load_run(&request);
    found = studied(loaded, &request);
    for (uint32_t i = 0; i < found->n; i++)
        text_add_char(&got, letter[found->changes[i].state]);
    assert_string_equal(text_str(&got), expected);
    loaded_free(loaded);
    text_release(&text);
    text_release(&path);
    text_release(&got);
    shell_remove(folder);
}

static void small_texts(void **state)
{
    (void)state;
    /* left out: y never comes, and R1 is not put to the test; AND to OR */
    outcomes("  y := a AND b;\n", "", "nn");
    /* nothing speaks of z */
    outcomes("  y := a; z := b;\n", "", "nu");
    /* k goes nowhere */
    outcomes("  y := a; k := NOT b;\n", "", "nss");
    /* negated: y without a; left out; a time that no requirement limits:
     * the assignment, the call, both times, then y */
    outcomes("  IF a THEN y := TRUE; ELSE y := FALSE; END_IF;\n", "",
             "nnnnn");
    /* z is on after 0.3 s, or 0.2 s, or 0.4 s, or never */
    outcomes("  y := a; t(IN := b, PT := T#300ms); z := t.Q;\n", "",
             "nuuuu");
}

/* What differs only where an assumption forbids it, or where only a fault
 * leads. */
static void under_the_review(void **state)
{
    (void)state;
    outcomes("  y := a; z := a OR b;\n",
             "ASSUMPTIONS A1 'one is both' : a = b BECAUSE 'invented';\n"
             "END_ASSUMPTIONS\n", "nus");
    outcomes("  y := a; z := a OR b;\n",
             "ASSUMPTIONS A1 'one is both' : a = b BECAUSE 'invented';\n"
             "END_ASSUMPTIONS\nFAULTS F1 'stuck' : a DOES NOT OPEN;\n"
             "END_FAULTS\n", "nuu");
}

/* What the first scan alone reads: k TRUE, z := k, y := a, k := a. */
static void first_scan(void **state)
{
    (void)state;
    outcomes("VAR m : BOOL := TRUE; END_VAR\n  z := m; y := a; m := a;\n",
             "REQUIREMENTS R0 'at first' : cold ONLY IF z;\n"
             "END_REQUIREMENTS\n", "nnnu");
}

/* Reasons: the first fits, the second is noticed, the third fits nothing. */
static void harmless(void **state)
{
    (void)state;
    outcomes("  y := a; z := b; z := z;\n",
             "ACCEPTED\n"
             "  unguarded ON Main AT 'z  := B;: assignment left out'\n"
             "    BECAUSE 'a spare';\n"
             "  unguarded ON Main AT 'y := a;: assignment left out'\n"
             "    BECAUSE 'a mistake';\n"
             "  unguarded ON Main AT 'z := c;: assignment left out'\n"
             "    BECAUSE 'gone';\n"
             "END_ACCEPTED\n", "nhs");
}

/* Two of the same words are told apart by their number. */
static void told_apart(void **state)
{
    (void)state;
    outcomes("  y := a; IF a THEN z := b; END_IF; IF b THEN z := b; "
             "END_IF;\n",
             "ACCEPTED\n"
             "  unguarded ON Main AT 'z := b; (2 of 2): assignment left out'\n"
             "    BECAUSE 'a spare';\n"
             "  unguarded ON Main AT 'z := b;: assignment left out'\n"
             "    BECAUSE 'which?';\n"
             "END_ACCEPTED\n", "nuuuh");
}

/* A left-out assignment makes no input of what it wrote. */
static void nothing_becomes_free(void **state)
{
    (void)state;
    /* left out: k is FALSE all the same; AND to OR: TRUE; NOT left out: b */
    outcomes("  k := b AND NOT b; y := a; z := k;\n", "", "suuns");
}

/* ---- the slow road ---- */

static bool kept(const struct findings *findings, uint32_t r)
{
    return findings->requirements[r].verdict == VERDICT_KEPT;
}

static void check_changed(const char *review, const char *path,
                          const struct unguarded_findings *found,
                          const struct change_finding *change)
{
    const struct load_request request = {.path = review, .control = path};
    const struct study_setting setting = {.quick = true, .threads = 1};
    struct loaded *loaded = load_run(&request);
    const struct findings *findings;

    assert_int_equal(loaded->model == NULL, change->state == CHANGE_REFUSED);
    if (loaded->model != NULL) {
        findings = check_model(loaded->arena, loaded->model, &setting,
                               loaded->diags);
        assert_non_null(findings);
        for (uint32_t r = 0; r < findings->n_requirements; r++)
            if (found->guards[r])
                assert_int_equal(change->noticed[r], !kept(findings, r));
    }
    loaded_free(loaded);
}

static void agrees(const char *review, uint32_t one_in)
{
    char folder[] = "/tmp/keepclear-test-XXXXXX";
    const struct load_request request = {.path = review};
    struct loaded *loaded = load_run(&request);
    const struct unguarded_findings *found = studied(loaded, &request);
    struct text text = {0}, path = {0};

    assert_int_equal(shell_folder(folder), 0);
    text_printf(&path, "%s/changed.st", folder);
    assert_true(found->n >= one_in);
    for (uint32_t i = 0; i < found->n; i += one_in) {
        text_clear(&text);
        changes_text(loaded, found->changes[i].change, &text);
        shell_put(folder, "changed.st", text_str(&text));
        check_changed(review, text_str(&path), found, &found->changes[i]);
    }
    text_release(&text);
    text_release(&path);
    loaded_free(loaded);
    shell_remove(folder);
}

static void the_table_by_the_slow_road(void **state)
{
    (void)state;
    agrees("models/table/table.review", 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(small_texts),
        cmocka_unit_test(under_the_review),
        cmocka_unit_test(nothing_becomes_free),
        cmocka_unit_test(first_scan),
        cmocka_unit_test(harmless),
        cmocka_unit_test(told_apart),
        cmocka_unit_test(the_table_by_the_slow_road),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
