/* The trainer's page in a real browser, Chromium without a window: it loads
 * from a file with no message and no request, hands hold and let go, stories
 * are walked, words of the user are inert; and the page of a test sheet, on
 * screens and on paper.  Skipped where there is no node or
 * no chromium. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "tests/support/shell.h"

#define BROWSER "node --version && ${CHROMIUM:-chromium} --version"

static void make_pages(void)
{
    static const char *const commands[] = {
        "lesson -o %s/tailgate.html models/tailgate/tailgate.review",
        "lesson --language de -o %s/heckteil.html "
        "models/tailgate/tailgate.review",
        "lesson --text models/tailgate/two_hands.lesson -o %s/two_hands.html "
        "models/tailgate/tailgate.review",
        "lesson --text models/rear_body/rescue.lesson -o %s/rescue.html "
        "models/rear_body/rear_body.review",
        "report -o %s/report.html models/tailgate/tailgate.review",
        "testsheet -o %s/sheet.html models/table/table.review",
        "testsheet --language de -o %s/blatt.html models/table/table.review"};
    char options[256];

    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        snprintf(options, sizeof options, commands[i], shell_place());
        if (shell_run("%s %s 2>&1", shell_program(), options) != 0)
            fail_msg("%s: %s", options, shell_output());
    }
}

static void look(const char *check, const char *page)
{
    if (shell_run("timeout 120 node tests/pages/pages.js %s %s/%s 2>&1",
                  check, shell_place(), page) != 0)
        fail_msg("%s: %s", page, shell_output());
}

static void test_loads(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    look("loads", "tailgate.html");
    look("loads", "heckteil.html");
    look("loads", "two_hands.html");
    look("loads", "rescue.html");
}

static void test_hands(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    look("keys", "tailgate.html");
    look("fingers", "tailgate.html");
    look("turned", "tailgate.html");
    look("hands", "two_hands.html");
}

/* Of every kind of page. */
static void test_accessible(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    shell_need("test -f build/npm/node_modules/axe-core/axe.min.js");
    look("accessible", "tailgate.html");
    look("accessible", "heckteil.html");
    look("accessible", "two_hands.html");
    look("accessible", "rescue.html");
    look("accessible", "report.html");
    look("accessible", "sheet.html");
    look("accessible", "blatt.html");
}

static void test_on_paper(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    shell_need("pdftotext -v");
    look("paper", "heckteil.html");
    look("paper", "two_hands.html");
    look("paper", "rescue.html");
}

static void test_back(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    look("back", "tailgate.html");
}

static void test_reasons(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    look("reasons", "tailgate.html");
    look("reasons", "rescue.html");
}

static void test_stories(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    look("stories", "tailgate.html");
    look("stories", "two_hands.html");
    look("stories", "rescue.html");
    look("rescue", "rescue.html");
}

static void test_without_scripts(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    look("noscript", "tailgate.html");
    look("noscript", "two_hands.html");
}

/* What a hostile hand can write into titles, places and the lesson. */
static void test_hostile_words(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    shell_put(shell_place(), "hostile.st",
              "PROGRAM Main\nVAR_INPUT go : BOOL; END_VAR\n"
              "VAR_OUTPUT lamp : BOOL; END_VAR\nlamp := go;\nEND_PROGRAM\n");
    shell_put(shell_place(), "hostile.review",
              "REVIEW Hostile '</script><script>window.harmed = "
              "1</script><!--'\n  CONTROL 'hostile.st';\n  SCAN T#100ms;\n"
              "  CONTROLS\n"
              "    go : BUTTON '<img src=x onerror=$'window.harmed = 2$'>' "
              "AT '\" onclick=\"window.harmed = 3' SEES '<!--';\n"
              "    lamp : LAMP '</script><script>window.harmed = "
              "1</script>';\n  END_CONTROLS\n  REQUIREMENTS\n"
              "    R1 '&lt;b&gt; <b>' : NEVER lamp AND NOT PRESSED go;\n"
              "  END_REQUIREMENTS\n  SCENARIO S '<script>window.harmed = "
              "4</script> ]]> -->'\n    HOLD go;\n    WAIT;\n"
              "    EXPECT lamp '</td></table><script>window.harmed = "
              "5</script>';\n  END_SCENARIO\nEND_REVIEW\n");
    shell_put(shell_place(), "hostile.lesson",
              "# <script>window.harmed = 6</script>\n"
              "</main><script>window.harmed = 7</script>\n\n"
              "- <img src=x onerror='window.harmed = 2'>\n\nPLAY S\n");
    assert_int_equal(shell_run("%s lesson --text %s/hostile.lesson -o "
                               "%s/hostile.html %s/hostile.review 2>&1",
                               shell_program(), shell_place(), shell_place(),
                               shell_place()), 0);
    look("hostile", "hostile.html");
}

/* The page of a test sheet, in both languages. */
static void test_sheets(void **unused)
{
    static const char *const languages[] = {"en", "de"};

    (void)unused;
    shell_need(BROWSER);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(
            shell_run("%s testsheet --language %s -o %s/sheet.html "
                      "models/tailgate/tailgate.review 2>&1",
                      shell_program(), languages[i], shell_place()), 0);
        if (shell_run("timeout 120 node tests/pages/sheets.js "
                      "%s/sheet.html 2>&1", shell_place()) != 0)
            fail_msg("%s: %s", languages[i], shell_output());
    }
}

static int begin(void **state)
{
    if (shell_set_up(state) != 0)
        return -1;
    make_pages();
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_loads),
        cmocka_unit_test(test_hands),
        cmocka_unit_test(test_accessible),
        cmocka_unit_test(test_on_paper),
        cmocka_unit_test(test_back),
        cmocka_unit_test(test_reasons),
        cmocka_unit_test(test_stories),
        cmocka_unit_test(test_without_scripts),
        cmocka_unit_test(test_hostile_words),
        cmocka_unit_test(test_sheets),
    };
    return cmocka_run_group_tests(tests, begin,
                                  shell_tear_down);
}
