/* Words of a hostile hand, ten thousand letters long, with quotes, marks of
 * direction and pieces of HTML, in every kind of page and picture: inert in a
 * real browser, well-formed in the eyes of an XML library's own checker, and
 * read by Graphviz' `dot`, which is not linked into the program.  Judges that
 * are missing are skipped, and counted as skipped. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/shell.h"

#define BROWSER "node --version && ${CHROMIUM:-chromium} --version"

enum { LONG = 10000 };

/* ---- the machine ---- */

#define CONTROL_TEXT                                                       \
    "PROGRAM Main\nVAR_INPUT go, ok : BOOL; END_VAR\n"                     \
    "VAR_OUTPUT lamp, drive : BOOL; END_VAR\nVAR t : TON; END_VAR\n"       \
    "t(IN := go, PT := T#200ms);\nlamp := go AND ok;\n"                    \
    "drive := %s t.Q;\nEND_PROGRAM\n"

static void put_texts(void)
{
    static const char after[] =
        "' AT '\" onclick=\"window.harmed = 3' SEES '<!--';\n"
        "    halt : STOP '\\\\\"];}}</title></text></svg><script>window.harmed"
        " = 4</script>' CONTACTS ok OPENING;\n"
        "    lamp : LAMP '</script><script>window.harmed = 1</script>';\n"
        "    drive : MOTOR '\xe2\x80\xaeright-to-left\xe2\x81\xa7\xe2\x80\x8f "
        "\" onload=\"window.harmed = 5\"';\n  END_CONTROLS\n"
        "  MECHANISM M\n    VAR pos : (Near, Far); END_VAR\n"
        "    MOVES pos FROM Near TO Far WHILE drive;\n"
        "    MOVES pos FROM Far TO Near WHILE NOT drive;\n  END_MECHANISM\n"
        "  ASSUMPTIONS A1 '</td></tr></table><script>window.harmed = "
        "6</script>' : NOT (PRESSED go AND PRESSED halt) BECAUSE "
        "'javascript:window.harmed=7' CONFIRMED BY '<b onmouseover=x>&amp;'; "
        "END_ASSUMPTIONS\n"
        "  FAULTS F1 '<svg onload=$'window.harmed = 8$'>' : ok DOES NOT OPEN; "
        "END_FAULTS\n"
        "  HAZARDS H1 '</style></head><script>window.harmed = 9</script>'; "
        "END_HAZARDS\n"
        "  REQUIREMENTS\n    R1 '&lt;b&gt; <b> ]]>' AGAINST H1 REFERS TO "
        "'javascript:alert(4)' : NEVER drive AND NOT PRESSED go;\n"
        "    R2 'it can be broken <script>' : NEVER drive AND pos = Far;\n"
        "    R3 'possible' : POSSIBLE drive;\n  END_REQUIREMENTS\n"
        "  SCENARIO S '<script>window.harmed = 10</script> ]]> -->'\n"
        "    HOLD go;\n    WAIT T#400ms;\n    EXPECT drive '</td></table>"
        "<script>window.harmed = 11</script>';\n  END_SCENARIO\nEND_REVIEW\n";
    struct text review = {0};
    char control[600];

    snprintf(control, sizeof control, CONTROL_TEXT, "");
    shell_put(shell_place(), "hostile.st", control);
    snprintf(control, sizeof control, CONTROL_TEXT, "ok AND");
    shell_put(shell_place(), "changed.st", control);
    text_add(&review, "REVIEW Hostile '</script><script>window.harmed = "
             "1</script><!-- \xe2\x80\xae'\n  CONTROL 'hostile.st';\n"
             "  SCAN T#100ms;\n  CONTROLS\n    go : BUTTON "
             "'<img src=x onerror=$'window.harmed = 2$'> {} \" ");
    for (int i = 0; i < LONG; i++)
        text_add_char(&review, i % 70 == 69 ? ' ' : 'W');
    text_add(&review, after);
    shell_put(shell_place(), "hostile.review", text_str(&review));
    text_release(&review);
    shell_put(shell_place(), "hostile.lesson",
              "# <script>window.harmed = 12</script> \xe2\x80\xae\n"
              "</main><script>window.harmed = 13</script>\n\n"
              "- <img src=x onerror='window.harmed = 2'>\n\nPLAY S\n\n"
              "PLAY S ON changed.st\n\nBREAK R2\n");
}

/* ---- pages ---- */

static void page_is_inert(const char *command, const char *file)
{
    int end = shell_run("cd %s && %s %s -o %s hostile.review 2>&1",
                        shell_place(),
                        shell_program(), command, file);

    if (end > 1)
        fail_msg("%s: exit code %d: %s", command, end, shell_output());
    if (shell_run("timeout 200 node tests/pages/pages.js inert %s/%s 2>&1",
                  shell_place(), file) != 0)
        fail_msg("%s: %s", command, shell_output());
}

static void test_lesson(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    page_is_inert("lesson --text hostile.lesson", "lesson.html");
    page_is_inert("lesson --language de", "lektion.html");
}

static void test_report(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    page_is_inert("report --with faults,unguarded --loaded "
                  "'</p><script>window.harmed = 14</script>'", "report.html");
}

static void test_testsheet(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    page_is_inert("testsheet", "sheet.html");
}

/* ---- pictures ---- */

static const char *const pictures[] = {
    "draw --by pos,drive", "draw --by go,lamp,pos", "draw --path R2",
    "draw --sequence R2",  "draw --sequence R3 --by go,pos",
    "draw --stops",        "draw --signal go",
    "draw --signal halt,lamp", "effects"};

enum { PICTURES = sizeof pictures / sizeof *pictures };

static void draw(const char *picture, const char *file)
{
    if (shell_run("cd %s && %s %s -o %s hostile.review 2>&1", shell_place(),
                  shell_program(), picture, file) != 0)
        fail_msg("%s: %s", picture, shell_output());
}

static void test_pictures_in_a_browser(void **unused)
{
    (void)unused;
    shell_need(BROWSER);
    for (size_t i = 0; i < PICTURES; i++)
        page_is_inert(pictures[i], "picture.svg");
}

static void test_pictures_are_xml(void **unused)
{
    (void)unused;
    shell_need("xmllint --version");
    for (size_t i = 0; i < PICTURES; i++) {
        draw(pictures[i], "picture.svg");
        if (shell_run("xmllint --noout --nonet %s/picture.svg 2>&1",
                      shell_place()) != 0)
            fail_msg("%s: %s", pictures[i], shell_output());
        if (shell_run("grep -ciE '<script|<foreignObject| on[a-z]+=\"' "
                      "%s/picture.svg", shell_place()) == 0)
            fail_msg("%s holds something that runs", pictures[i]);
    }
}

/* As many boxes are read back as the picture has. */
static void test_dot_reads_dot(void **unused)
{
    static const char *const drawn[] = {
        "draw --by pos,drive", "draw --by go,lamp,pos", "draw --path R2",
        "draw --signal go", "draw --signal halt,lamp"};

    (void)unused;
    shell_need("dot -V");
    for (size_t i = 0; i < sizeof drawn / sizeof *drawn; i++) {
        unsigned boxes, again;

        draw(drawn[i], "picture.svg");
        draw(drawn[i], "picture.dot");
        assert_int_equal(shell_run("grep -c 'class=\"node\"' %s/picture.svg",
                                   shell_place()), 0);
        boxes = (unsigned)strtoul(shell_output(), NULL, 10);
        if (shell_run("dot -Tplain %s/picture.dot 2>&1 >%s/plain | grep . && "
                      "exit 1; grep -c '^node ' %s/plain", shell_place(),
                      shell_place(),
                      shell_place()) != 0)
            fail_msg("%s: %s", drawn[i], shell_output());
        again = (unsigned)strtoul(shell_output(), NULL, 10);
        assert_true(boxes > 0);
        assert_int_equal(boxes, again);
        if (shell_run("dot -Tsvg %s/picture.dot | grep -ci '<script'",
                      shell_place()) == 0)
            fail_msg("%s: a script comes out of it", drawn[i]);
    }
}

static int begin(void **state)
{
    if (shell_set_up(state) != 0)
        return -1;
    put_texts();
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lesson),
        cmocka_unit_test(test_report),
        cmocka_unit_test(test_testsheet),
        cmocka_unit_test(test_pictures_in_a_browser),
        cmocka_unit_test(test_pictures_are_xml),
        cmocka_unit_test(test_dot_reads_dot),
    };
    return cmocka_run_group_tests(tests, begin,
                                  shell_tear_down);
}
