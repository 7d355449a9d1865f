/* The templates of models/templates/: each is kept by one small machine, and
 * every requirement of it is broken by another.  And what a USE means: the
 * same as if somebody had written it out; its limits; its words. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "study/load.h"
#include "tests/support/folder.h"
#include "tests/support/shell.h"

/* With sanitizers everything is many times slower. */
#ifdef __SANITIZE_ADDRESS__
enum { ONE_IN = 8 };
#else
enum { ONE_IN = 1 };
#endif

static const char *const templates[] = {
    "control_places", "drive_off_warning", "emergency_stop", "hold_to_run",
    "interrupted_cycle", "load_holds", "mode_change", "no_start_by_sensor",
    "opposite_commands", "override", "packing_in_neutral", "person_in_zone",
    "power_return", "rescue", "riding_step_kmh", "riding_step_mph",
    "safe_gap", "start_lockout", "suspended_safeguard", "tailgate_work",
    "two_hand_closing", "warning_before_motion", "works_again",
};

enum { TEMPLATES = sizeof templates / sizeof *templates };

/* ---- the machines ---- */

/* No requirement of a template that nothing is known to break. */
static void all_are_broken(const char *review, const char *expected)
{
    struct load_request request = {.path = review};
    struct loaded *loaded = load_run(&request);
    struct text list = {0};

    assert_non_null(loaded->model);
    assert_true(loaded->model->n_requirements > 0);
    assert_int_equal(os_read_file(expected, 1 << 20, &list), OS_OK);
    for (uint32_t i = 0; i < loaded->model->n_requirements; i++) {
        const struct requirement *row = &loaded->model->requirements[i];
        struct text word = {0};

        assert_int_not_equal(row->used, MODEL_NONE);
        text_printf(&word, " %s ", row->name->spelling);
        if (!strstr(text_str(&list), text_str(&word)))
            fail_msg("%s: nothing breaks %s", review, row->name->spelling);
        text_release(&word);
    }
    text_release(&list);
    loaded_free(loaded);
}

static void test_machines(void **unused)
{
    (void)unused;
    for (int i = 0; i < TEMPLATES; i++) {
        struct text review = {0}, changes = {0}, expected = {0};

        text_printf(&changes, "models/templates/%s/changes/", templates[i]);
        text_printf(&review, "models/templates/%s/%s.review", templates[i],
                    templates[i]);
        text_printf(&expected, "%sEXPECTED", text_str(&changes));
        folder_kept(text_str(&review));
        folder_changes_break(text_str(&review), text_str(&changes), ONE_IN);
        all_are_broken(text_str(&review), text_str(&expected));
        text_release(&review);
        text_release(&changes);
        text_release(&expected);
    }
}

static void test_none_is_left_out(void **unused)
{
    (void)unused;
    assert_int_equal(shell_run("ls -d models/templates/*/ | wc -l"), 0);
    assert_int_equal(TEMPLATES, strtol(shell_output(), NULL, 10));
    assert_int_equal(shell_run("for t in models/templates/*/*.template "
                               "models/templates/*/*.review; do %s format "
                               "$t | cmp - $t || exit 1; done",
                               shell_program()), 0);
    for (int i = 0; i < TEMPLATES; i++)
        assert_int_equal(shell_run("grep -q '| `%s/` |' "
                                   "models/templates/README.md",
                                   templates[i]), 0);
}

/* ---- a folder to change them in ---- */

static char folder[] = "/tmp/keepclear-templates-XXXXXX";

static int set_up(void **state)
{
    (void)state;
    assert_int_equal(shell_folder(folder), 0);
    return shell_run("cp -r models/templates models/parts %s", folder);
}

static int tear_down(void **state)
{
    (void)state;
    return shell_remove(folder);
}

/* Checks a machine of models/templates/ whose review text sed has changed. */
static int changed(const char *name, const char *sed, const char *options)
{
    return shell_run("cd %s/templates/%s && sed -e \"%s\" %s.review > "
                     "changed.review && %s check %s changed.review 2>&1",
                     folder, name, sed, name, shell_program(), options);
}

/* ---- limits ---- */

static void test_limits_with_a_strict_side(void **unused)
{
    (void)unused;
    assert_int_equal(changed("two_hand_closing", "", ""), 0);
    shell_expect("lag is T#500ms, as in the template");
    shell_expect_not("looser");
    assert_int_equal(changed("two_hand_closing",
                             "s/:= close)/:= close, lag := T#300ms)/",
                             "--only hands_hold"), 0);
    shell_expect("lag is T#300ms, stricter than T#500ms of the template");
    assert_int_equal(changed("two_hand_closing",
                             "s/:= close)/:= close, lag := T#700ms)/", ""),
                     1);
    shell_expect("hands_sync kept ");
    shell_expect_not(" broken ");
    shell_expect("lag is T#700ms, looser than T#500ms of the template (a "
                 "longer lag lets one hand do for two), and no reason is "
                 "given: this does not count as kept");
    shell_expect(" · a limit looser than its template");
    assert_int_equal(changed("two_hand_closing",
                             "s/:= close)/:= close, lag := T#700ms BECAUSE "
                             "'line 12 (invented)' CONFIRMED BY 'sheet 3 "
                             "(invented)')/", ""), 0);
    shell_expect("because line 12 (invented), confirmed by sheet 3 "
                 "(invented)");
    shell_expect(" · a limit looser than its template");
}

static void test_limits_that_are_numbers(void **unused)
{
    (void)unused;
    assert_int_equal(changed("safe_gap",
                             "s/:= PRESSED rear_lower)/:= PRESSED "
                             "rear_lower, gap := 1100)/", ""), 0);
    shell_expect("gap is 1100, stricter than 1000 of the template");
    assert_int_equal(changed("safe_gap",
                             "s/:= PRESSED rear_lower)/:= PRESSED "
                             "rear_lower, gap := 800)/", ""), 1);
    shell_expect("gap is 800, looser than 1000 of the template");
    shell_expect("no reason is given");
    assert_int_equal(changed("riding_step_kmh",
                             "s/:= reverse_on)/:= reverse_on, highest := "
                             "25)/", ""), 1);
    shell_expect("highest is 25, stricter than 30 of the template");
    shell_expect("step_slow broken");
    assert_int_equal(changed("riding_step_kmh",
                             "s/:= reverse_on)/:= reverse_on, highest := "
                             "40)/", ""), 1);
    shell_expect("highest is 40, looser than 30 of the template");
    shell_expect("step_slow kept");
}

/* Whatever breaks a requirement still does when a limit is moved to its
 * strict side; `able` alone, which asks that something works, may not. */
static void test_stricter_is_stricter(void **unused)
{
    static const struct {
        const char *name, *sed;
    } moved[] = {
        {"two_hand_closing", "/USE/,$ s/);$/, lag := T#300ms);/"},
        {"safe_gap", "/USE/,$ s/);$/, gap := 1300);/"},
        {"interrupted_cycle", "/USE/,$ s/);$/, near := 180);/"},
        {"interrupted_cycle", "/USE/,$ s/);$/, near := 240, far := 250);/"},
        {"interrupted_cycle", "/USE/,$ s/);$/, near := 900);/"},
        {"riding_step_kmh", "/USE/,$ s/);$/, highest := 20);/"},
        {"riding_step_mph",
         "/USE/,$ s/);$/, highest := 5, farthest := 500);/"},
        {"warning_before_motion", "s/ahead := T#1s/ahead := T#2s/"},
        {"hold_to_run", "s/T#800ms/T#600ms/"},
        {"rescue", "s/T#1200ms/T#600ms/"},
        {"override", "s/longest := T#2s/longest := T#500ms/"},
        {"drive_off_warning", "s/react := T#1s/react := T#500ms/"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof moved / sizeof *moved; i++) {
        assert_in_range(changed(moved[i].name, moved[i].sed, "--quick"), 0,
                        1);
        shell_expect("Templates used");
        shell_expect_not("looser");
        assert_int_equal(
            shell_run("cd %s/templates/%s && grep -v -e '^#' -e able "
                      "changes/EXPECTED | while read text line length; do "
                      "%s check --quick --only $line --control "
                      "changes/$text changed.review | grep "
                      "\"^$line *broken\" > /dev/null || echo $text $line; done",
                      folder, moved[i].name, shell_program()), 0);
        assert_string_equal(shell_output(), "");
    }
}

static void test_a_loose_limit_is_told_by_why(void **unused)
{
    (void)unused;
    assert_int_equal(changed("two_hand_closing",
                             "s/:= close)/:= close, lag := T#700ms)/", ""),
                     1);
    assert_int_equal(shell_run("cd %s/templates/two_hand_closing && %s why "
                               "changed.review", folder, shell_program()),
                     1);
    shell_expect("hands: lag is T#700ms, looser than T#500ms of the "
                 "template");
}

/* A constant of the control text is a limit like a number that is written. */
static void test_a_limit_with_a_name(void **unused)
{
    static const char constants[] =
        "VAR_GLOBAL CONSTANT\n  LAG : TIME := T#600ms;\nEND_VAR\n";

    (void)unused;
    shell_put(folder, "templates/two_hand_closing/lag.st", constants);
    assert_int_equal(changed("two_hand_closing",
                             "s/:= close)/:= close, lag := LAG)/;"
                             "s/^  TEMPL/  CONTROL 'lag.st';\\n&/", ""), 1);
    shell_expect("lag is LAG, looser than T#500ms of the template");
    shell_expect("0.6 s judged as 0.4 s");
}

/* ---- what a USE means ---- */

/* Everything that is said but the list of templates, figures included. */
static void test_as_if_it_was_written_out(void **unused)
{
    static const char written[] =
        "REVIEW Press 'A small press (invented)'\n"
        "  CONTROL 'two_hand_closing.st';\n"
        "  CONTROL '../../parts/two_hand_3/two_hand_3.st';\n"
        "  SCAN T#100ms;\n  POWER MAY FAIL;\n"
        "  CONTROLS\n    left  : BUTTON 'left button';\n"
        "    right : BUTTON 'right button';\n"
        "    close : VALVE 'slide closes';\n  END_CONTROLS\n"
        "  HAZARDS H 'a hand' END_HAZARDS\n"
        "  REQUIREMENTS\n"
        "    hands_hold 'h' AGAINST H REFERS TO 'x' : close ONLY IF\n"
        "      (PRESSED left) AND (PRESSED right);\n"
        "    hands_again 'a' AGAINST H REFERS TO 'x' : AFTER FALLING close\n"
        "      AND (PRESSED left OR PRESSED right), NO close UNTIL\n"
        "      NOT PRESSED left AND NOT PRESSED right;\n"
        "    hands_sync 's' AGAINST H REFERS TO 'x' : NEVER RISING close\n"
        "      AND ((PRESSED left) TRUE FOR T#500ms OR (PRESSED right)\n"
        "      TRUE FOR T#500ms);\n"
        "    hands_late 'l' AGAINST H REFERS TO 'x' : AFTER NOT close AND\n"
        "      ((PRESSED left) TRUE FOR T#500ms OR (PRESSED right) TRUE FOR\n"
        "      T#500ms), NO close UNTIL NOT PRESSED left AND NOT PRESSED\n"
        "      right;\n"
        "    hands_start 'p' AGAINST H REFERS TO 'x' : AFTER (cold OR warm)\n"
        "      AND (PRESSED left OR PRESSED right), NO close UNTIL\n"
        "      NOT PRESSED left AND NOT PRESSED right;\n"
        "    hands_able 'b' AGAINST H REFERS TO 'x' : POSSIBLE close;\n"
        "  END_REQUIREMENTS\nEND_REVIEW\n";
    static const char *const texts[] = {"two_hand_closing.st",
                                        "changes/both_levels.st",
                                        "changes/one_hand.st",
                                        "changes/lag_of_the_hands.st"};

    (void)unused;
    shell_put(folder, "templates/two_hand_closing/written.review", written);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        assert_int_equal(
            shell_run("cd %s/templates/two_hand_closing && for r in written "
                      "two_hand_closing; do %s check --figures --control %s "
                      "$r.review | grep -E '^hands_|^ +[0-9,]+ situation|"
                      "^ +[0-9.]+ s ' > $r.out; done; test -s written.out "
                      "&& diff written.out two_hand_closing.out",
                      folder, shell_program(), texts[i]), 0);
    }
}

static void test_what_stands_around_a_use(void **unused)
{
    (void)unused;
    assert_int_equal(
        changed("two_hand_closing",
                "s/hands :/hands 'the slide' AGAINST Mine REFERS TO 'line 7 "
                "(invented)' READ BY 'A. Nobody (invented)' :/;"
                "s/:= close);/:= close) DESPITE 1 FAULT;/;"
                "s/^  REQ/  HAZARDS\\n    Mine 'a hand'\\n  END_HAZARDS\\n"
                "  FAULTS\\n    F1 : left DOES NOT OPEN;\\n  END_FAULTS\\n&/",
                "--only hands_hold"), 1);
    shell_expect("hands_hold broken    in the model · one fault · ");
    shell_expect("the slide: motion only while both hands are there · "
                 "against Mine\n");
    shell_expect("refers to line 7 (invented); ISO 13851:2019, 5.2 and 5.3 "
                 "by their titles, read by A. Nobody (invented)");
}

static void test_the_name_before_it_asks_for_all(void **unused)
{
    (void)unused;
    assert_int_equal(changed("two_hand_closing", "", "--quick --only HANDS"),
                     0);
    shell_expect("hands_hold kept");
    shell_expect("hands_able kept");
    assert_int_equal(changed("two_hand_closing", "", "--only hand"), 2);
    assert_int_equal(
        changed("two_hand_closing",
                "s/^END_REVIEW/  SCENARIO Late\\n    HOLD left; WAIT T#1s; "
                "HOLD right; WAIT; EXPECT NOT close;\\n  END_SCENARIO\\n&/",
                "--quick"), 0);
    assert_int_equal(shell_run("cd %s/templates/two_hand_closing && %s run "
                               "--scenario all changed.review", folder,
                               shell_program()), 0);
}

/* A recorder of a template has a memory of its own in each USE, and what a
 * template is given is not taken for its own words. */
static void test_two_uses_of_a_recorder(void **unused)
{
    static const char once[] =
        "TEMPLATE Once 'never a second time (invented)'\n"
        "  SOURCE 'common practice';\n"
        "  PARAMETERS\n    motion : CONDITION 'it moves';\n"
        "  END_PARAMETERS\n"
        "  RECORDER Count\n    VAR\n      seen, before : BOOL;\n"
        "    END_VAR\n"
        "    seen := seen OR before AND NOT motion;\n"
        "    before := before OR motion;\n"
        "  END_RECORDER\n"
        "  REQUIREMENTS\n    again : NEVER motion AND seen;\n"
        "  END_REQUIREMENTS\nEND_TEMPLATE\n";
    static const char control[] =
        "PROGRAM Main\nVAR_INPUT seen, b : BOOL; END_VAR\n"
        "VAR_OUTPUT x, y : BOOL; END_VAR\nVAR ended : BOOL; END_VAR\n"
        "ended := ended OR x AND NOT seen;\nx := seen AND NOT ended;\n"
        "y := b;\nEND_PROGRAM\n";
    static const char review[] =
        "REVIEW Two 'Two of them (invented)'\n  CONTROL 'two.st';\n"
        "  TEMPLATES 'once.template';\n  SCAN T#100ms;\n"
        "  CONTROLS\n    seen : BUTTON;\n    b : BUTTON;\n"
        "    x : VALVE;\n    y : VALVE;\n  END_CONTROLS\n"
        "  REQUIREMENTS\n    one : USE Once (motion := x OR x AND seen);\n"
        "    other : USE Once (motion := y);\n"
        "  END_REQUIREMENTS\nEND_REVIEW\n";

    (void)unused;
    shell_put(folder, "once.template", once);
    shell_put(folder, "two.st", control);
    shell_put(folder, "two.review", review);
    assert_int_equal(shell_run("cd %s && %s check two.review", folder,
                               shell_program()), 1);
    shell_expect("one_again kept");
    shell_expect("other_again broken");
    shell_expect("3 scans");
    shell_expect("NEVER y AND other_seen");
    shell_expect("motion is x OR x AND seen");
}

/* ---- words and files ---- */

/* The words of templates are names where no template is meant. */
static void test_words_stay_names(void **unused)
{
    static const char control[] =
        "PROGRAM Main\nVAR_INPUT source, strict, above : BOOL; END_VAR\n"
        "VAR_OUTPUT use, templates : BOOL; END_VAR\n"
        "use := source AND strict;\ntemplates := above;\nEND_PROGRAM\n";
    static const char review[] =
        "REVIEW Words 'words (invented)'\n  CONTROL 'words.st';\n"
        "  SCAN T#100ms;\n"
        "  CONTROLS\n    source : BUTTON;\n    strict : BUTTON;\n"
        "    above : BUTTON;\n    use : VALVE;\n    templates : VALVE;\n"
        "  END_CONTROLS\n"
        "  REQUIREMENTS\n    template : use ONLY IF source AND strict;\n"
        "    below : use NO LONGER THAN T#1s;\n"
        "    parameters : templates ONLY IF above;\n"
        "  END_REQUIREMENTS\nEND_REVIEW\n";

    (void)unused;
    shell_put(folder, "words.st", control);
    shell_put(folder, "words.review", review);
    assert_int_equal(shell_run("cd %s && %s check --quick words.review 2>&1",
                               folder, shell_program()), 1);
    shell_expect("template kept");
    shell_expect("below broken");
    shell_expect("parameters kept");
}

static void test_files(void **unused)
{
    (void)unused;
    assert_int_equal(changed("override", "s/override.templ/other.templ/", ""),
                     2);
    shell_expect("cannot read 'other.template'");
    assert_int_equal(changed("override", "s/override.templ.*'/override.st'/",
                             ""), 2);
    shell_expect("'override.st' is no template");
    assert_int_equal(changed("override", "s/CONTROL '.*'/CONTROL "
                             "'override.template'/", ""), 2);
    shell_expect("'override.template' is a template\n   what to do: name it "
                 "in a review text, in a line TEMPLATES '...';");
    assert_int_equal(changed("override", "/TEMPLATES/p", ""), 2);
    shell_expect("there are two templates 'Override'");
    assert_int_equal(shell_run("%s check models/templates/override/"
                               "override.template 2>&1", shell_program()), 2);
    shell_expect("is a template");
    assert_int_equal(shell_run("%s check models/templates/override/"
                               "override.st models/templates/override/"
                               "override.template 2>&1", shell_program()), 2);
    shell_expect("is a template");
    assert_int_equal(shell_run("cd %s/templates/override && yes '(* long *)' "
                               "| head -n 8000 >> override.template",
                               folder), 0);
    assert_int_equal(changed("override", "", ""), 2);
    shell_expect("is longer than a template may be (64 KiB)");
}

/* What is handed over may be long, and many may ask for it. */
static void test_no_end_of_text(void **unused)
{
    (void)unused;
    assert_int_equal(
        shell_run("cd %s/templates/two_hand_closing && awk '/hands : USE/ "
                  "{hold = 1} hold {text = text $0 \"\\n\"} !hold {print} "
                  "/:= close/ {hold = 0; big = \"PRESSED left\"; for (i = 0; "
                  "i < 900; i++) big = big \" OR PRESSED left\"; "
                  "sub(/PRESSED left/, big, text); for (i = 0; i < 500; i++) "
                  "{more = text; sub(/hands/, \"h\" i, more); printf "
                  "\"%%s\", more}}' two_hand_closing.review > many.review && "
                  "%s check many.review 2>&1", folder, shell_program()), 2);
    shell_expect("what templates ask for is longer than 16 MiB in all");
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_machines),
        cmocka_unit_test(test_none_is_left_out),
        cmocka_unit_test(test_limits_with_a_strict_side),
        cmocka_unit_test(test_limits_that_are_numbers),
        cmocka_unit_test(test_stricter_is_stricter),
        cmocka_unit_test(test_a_loose_limit_is_told_by_why),
        cmocka_unit_test(test_a_limit_with_a_name),
        cmocka_unit_test(test_as_if_it_was_written_out),
        cmocka_unit_test(test_what_stands_around_a_use),
        cmocka_unit_test(test_the_name_before_it_asks_for_all),
        cmocka_unit_test(test_two_uses_of_a_recorder),
        cmocka_unit_test(test_words_stay_names),
        cmocka_unit_test(test_files),
        cmocka_unit_test(test_no_end_of_text),
    };

    return cmocka_run_group_tests(tests, set_up, tear_down);
}
