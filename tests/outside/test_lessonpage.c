/* The verb lesson from the command line: what it writes, and what it says
 * where it writes nothing. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "tests/support/shell.h"

#define TAILGATE "models/tailgate/tailgate.review"
#define REAR_BODY "models/rear_body/rear_body.review"

/* The page of these options is the last output. */
static void writes(const char *options)
{
    assert_int_equal(shell_run("%s lesson %s", shell_program(), options), 0);
}

static void refuses(const char *options, const char *message)
{
    assert_int_equal(shell_run("cd %s && %s lesson %s 2>&1", shell_place(),
                               shell_program(), options), 2);
    shell_expect(message);
    shell_expect_not("<html");
}

static void test_page(void **unused)
{
    (void)unused;
    writes(TAILGATE);
    shell_expect("<h1><bdi>Rear-loading body: raising, lowering and closing "
                 "the tailgate</bdi></h1>");
    shell_expect("not an operating manual; times and movements are "
                 "simplified.");
    shell_expect("tailgate.st ");
    shell_expect("as expected: one hand is not enough");
    shell_expect("default-src 'none'");
    shell_expect_not("http://");
    shell_expect_not("https://");
    shell_expect_not("</html>\n<");
}

static void test_same_bytes(void **unused)
{
    (void)unused;
    writes("-o " "/dev/null " TAILGATE);
    assert_int_equal(shell_run("%s lesson %s | cksum > %s/one; "
                               "%s lesson %s | cksum | cmp - %s/one",
                               shell_program(), REAR_BODY, shell_place(),
                               shell_program(), REAR_BODY, shell_place()), 0);
}

static void test_lesson(void **unused)
{
    (void)unused;
    writes("--text models/rear_body/rescue.lesson " REAR_BODY);
    shell_expect("<h2><bdi>Before anybody touches the rescue button</bdi>");
    shell_expect("not as expected: nothing closes while rescue is held");
    shell_expect("R40 is broken here: while the stop is latched nothing "
                 "closes");
    shell_expect("the shortest way to break R40: while the stop is latched "
                 "nothing closes");
    shell_expect("Control text: changed: rescue_closes.st");
    shell_expect("Control text: rear_body.st");
}

static void test_two_hands(void **unused)
{
    (void)unused;
    writes("--text models/tailgate/two_hands.lesson " TAILGATE);
    shell_expect("The machine of this page is invented");
    shell_expect("<h2><bdi>What nobody may conclude</bdi>");
    shell_expect("says nothing about a second person");
    shell_expect("as expected: the other came too late");
    shell_expect("not as expected: the other came too late");
    shell_expect("the shortest way to break R3: the two closing buttons are "
                 "pressed within half a second");
    shell_expect("the shortest way to break R1: below the gap switches the "
                 "gate is lowered only with both hands");
    shell_expect("Control text: changed: tied_button_accepted.st");
}

static void test_ways(void **unused)
{
    (void)unused;
    writes("--broken R7 --control "
           "models/tailgate/changes/stop_not_dropped.st " TAILGATE);
    shell_expect("the shortest way to break R7: every stop takes all valves "
                 "off within 0.3 s");
    writes("--broken R15 " TAILGATE);
    shell_expect("an example of R15: the gate can be shut");
    assert_int_equal(shell_run("%s lesson --broken R7 %s 2>&1",
                               shell_program(), TAILGATE), 2);
    shell_expect("R7 is kept: there is no sequence to show");
}

static void test_words(void **unused)
{
    (void)unused;
    writes("--language de " TAILGATE);
    shell_expect("<html lang=\"de\">");
    shell_expect("keine Betriebsanleitung");
    shell_expect("wie erwartet: one hand is not enough");
    shell_expect("gap ist Narrow");
    shell_put(shell_place(), "words", "machine = Our <machine>\n");
    assert_int_equal(shell_run("%s lesson --words %s/words %s",
                               shell_program(), shell_place(), TAILGATE), 0);
    shell_expect("<h2><bdi>Our &lt;machine&gt;</bdi></h2>");
    writes("--language de --as words " TAILGATE);
    shell_expect("pause = anhalten\n");
    shell_expect_not("<");
}

static void test_refusals(void **unused)
{
    (void)unused;
    shell_put(shell_place(), "a.st",
              "PROGRAM Main\nVAR_INPUT go : BOOL; END_VAR\n"
                              "VAR_OUTPUT lamp : BOOL; END_VAR\n"
                              "lamp := go;\nEND_PROGRAM\n");
    shell_put(shell_place(), "a.review",
              "REVIEW A\nCONTROL 'a.st';\nSCAN T#100ms;\nEND_REVIEW\n");
    shell_put(shell_place(), "no.lesson", "# A\n\nPLAY Nothing\n");
    shell_put(shell_place(), "bad.lesson", "# A\nPLAY A TO B\n");
    shell_put(shell_place(), "lost.lesson", "PLAY A ON lost.st\n");
    shell_put(shell_place(), "words", "ran = x\n");
    refuses("a.st", "a lesson is made of a review text");
    refuses("--text no.lesson a.review",
            "no.lesson, line 3: there is no scenario 'Nothing'");
    refuses("--text bad.lesson a.review", "bad.lesson, line 2: write `PLAY");
    refuses("--text lost.lesson a.review", "cannot read 'lost.st'");
    refuses("--text none a.review", "cannot read 'none'");
    refuses("--words none a.review", "cannot read 'none'");
    refuses("--words words a.review", "there is no key 'ran'");
    refuses("--language fr a.review", "there are words in en and de");
    refuses("--as pages a.review", "--as takes words");
    refuses("--broken R1 a.review", "there is no requirement 'R1'");
    assert_int_equal(shell_run("%s lesson -o %s/page %s/a.review 2>&1",
                               shell_program(), shell_place(),
                               shell_place()), 0);
}

/* Every machine of models/ has its page. */
static void test_all_models(void **unused)
{
    (void)unused;
    assert_int_equal(
        shell_run("for review in models/*/*.review models/*/*/*.review; do "
                  "%s lesson -o %s/page $review || exit 1; "
                  "grep -q '^</html>' %s/page || exit 1; done 2>&1",
                  shell_program(), shell_place(),
                               shell_place()), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_page),
        cmocka_unit_test(test_same_bytes),
        cmocka_unit_test(test_lesson),
        cmocka_unit_test(test_two_hands),
        cmocka_unit_test(test_ways),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_all_models),
    };
    return cmocka_run_group_tests(tests, shell_set_up,
                                  shell_tear_down);
}
