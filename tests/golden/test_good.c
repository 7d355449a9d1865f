/* Every review text of tests/golden/good/ is read without a message, its
 * requirements get the verdicts and its scenarios the courses of its sibling
 * .expected, and every text there is laid out as `format` would do it.  What
 * comes out of each construct was worked out by hand from docs/language.md
 * and stands in the EXPECT lines and requirements of the texts.
 *
 * The table below names, for each construct of the language, a text that
 * uses it and one that misuses it; the latter are played by test_golden and
 * test_advice. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "present/played.h"
#include "present/verdict.h"
#include "source/render.h"
#include "study/check.h"
#include "study/load.h"
#include "study/scenario.h"

#define FOLDER "tests/golden/"
#define GOOD FOLDER "good/"

enum { MOST_CASES = 500 };

/* use: in good/; misuse: in bad/ or advice/. */
static const struct construct {
    const char *what, *use, *misuse;
} constructs[] = {
    {"enumeration, plain, numbered, with a base type", "enumeration.review",
     "bad/enumeration-numbers.st"},
    {"Type#Item and Type.Item", "enumeration.review",
     "bad/enumeration-item-wrong.st"},
    {"subrange", "subrange.review",
     "bad/subrange-wrong.st"},
    {"value of a subrange", "subrange.review",
     "bad/subrange-exceeded.st"},
    {"STRUCT", "structure.review",
     "bad/field-unknown.st"},
    {"STRUCT EXTENDS", "extends.review",
     "bad/extends-wrong.st"},
    {"EXTENDS of a type", "extends.review",
     "bad/extends-misplaced.st"},
    {"VAR_STAT of a function", "function-statics.review",
     "bad/function-remembers.st"},
    {"bit 63 of an LWORD", "long-bits.review",
     "bad/long-bits-wrong.st"},
    {"DATA_BLOCK", "data-block.review",
     "bad/data-block-misplaced.st"},
    {"start values behind BEGIN", "data-block.review",
     "bad/data-block-wrong.st"},
    {"EN and ENO of its own", "enabled-declared.review",
     "bad/enabled-wrong.st"},
    {"initial values in ( )", "structure.review",
     "bad/initial-values-wrong.st"},
    {"ARRAY of several dimensions", "array.review",
     "bad/array-bounds-wrong.st"},
    {"initial values in [ ], repetition", "array.review",
     "bad/initial-values-wrong.st"},
    {"index", "array.review",
     "bad/index-not-a-number.st"},
    {"another name for a type", "alias.review",
     "bad/check-type-of-itself.st"},
    {"blocks in blocks", "nested-blocks.review",
     "bad/nested-block-wrong.st"},
    {"FUNCTION with outputs", "function-outputs.review",
     "bad/function-outputs-wrong.st"},
    {"VAR_IN_OUT", "in-out.review",
     "bad/in-out-without-variable.st"},
    {"VAR_IN_OUT of arrays", "in-out.review",
     "bad/in-out-of-another-type.st"},
    {"VAR_TEMP CONSTANT RETAIN NON_RETAIN", "variable-kinds.review",
     "bad/variable-kinds-wrong.st"},
    {"VAR_GLOBAL and VAR_EXTERNAL", "variable-kinds.review",
     "bad/external-wrong.st"},
    {"AT and a place", "located.review",
     "bad/location-wrong.st"},
    {"spelling of a place", "located.review",
     "bad/location-malformed.st"},
    {"a place in a statement", "places.review",
     "bad/place-in-statement-wrong.st"},
    {"type of a place in a statement", "places.review",
     "bad/place-in-statement-type.st"},
    {"several names of one place", "places.review",
     "bad/place-shared-judged.review"},
    {"one place in several programs", "places-shared.review",
     "bad/place-in-instances.st"},
    {"parts that no text writes", "unwritten-parts.review",
     "bad/input-lent-and-written.st"},
    {"AT in a block", "places.review", "bad/location-in-function.st"},
    {"a place in a block that nobody writes", "places-inside.review",
     "bad/place-given-in-call.st"},
    {"bits that no text writes, in rows", "word-rows.review",
     "bad/word-part-fixed.review"},
    {"bits that no text writes", "word-parts.review",
     "bad/word-part-fixed.review"},
    {"PLACES", "places-counted.review",
     "bad/place-counting-unsaid.review"},
    {"VAR_CONFIG", "elsewhere.review", "bad/section-var-config.st"},
    {"VAR_ACCESS in a program", "elsewhere-each.review",
     "bad/section-var-access-in-block.st"},
    {"VAR_ACCESS", "elsewhere.review", "bad/section-var-access-wrong.st"},
    {"configurations that a control text alone may have",
     "configuration.review", "bad/unfollowed-text.review"},
    {"MOVE, SEL and MUX of whole variables", "whole-values.review",
     "bad/whole-values-wrong.st"},
    {"several assignments in one", "chained.review",
     "bad/spelling-chained.st"},
    {"PROGRAM called by a PROGRAM", "program-called.review",
     "bad/program-called-wrong.st"},
    {"EN and ENO", "enabled.review", "bad/enabled-wrong.st"},
    {"arguments by place", "positional.review", "bad/positional-wrong.st"},
    {"constants computed of REALs", "real-computed.review",
     "bad/real-computed-wrong.st"},
    {"CASE over what is not followed, MIN of items", "case-open.review",
     "bad/case-open-wrong.st"},
    {"bits of a word", "bits.review",
     "bad/words-bits.st"},
    {"CASE", "case.review",
     "bad/case-written-wrong.st"},
    {"labels of CASE", "case.review",
     "bad/case-labels-wrong.st"},
    {"FOR", "for.review",
     "bad/loop-without-words.st"},
    {"step of FOR", "for.review",
     "bad/loop-step-zero.st"},
    {"WHILE", "while.review",
     "bad/loop-counter-type.st"},
    {"REPEAT", "repeat.review",
     "bad/repeat-without-until.st"},
    {"EXIT", "exit.review",
     "bad/loop-left-outside.st"},
    {"CONTINUE", "continue.review",
     "bad/loop-left-outside.st"},
    {"durations that nobody knows", "open-limits.review",
     "bad/check-too-many-values.st"},
    {"R_EDGE F_EDGE", "edges.review",
     "bad/edge-misplaced.st"},
    {"parts of bit strings", "edges.review",
     "bad/part-of-bits-wrong.st"},
    {"letters of texts", "edges.review",
     "bad/letter-misplaced.st"},
    {"ARRAY [*]", "edges.review",
     "bad/bounds-misused.st"},
    {"RETURN in an ACTION", "edges.review",
     "bad/action-return-in-loop.st"},
    {"RETURN", "return.review",
     "bad/loop-in-review.review"},
    {"empty statements", "empty-statements.review",
     "bad/empty-statement-misplaced.st"},
    {"IF ELSIF ELSE", "tolerances.review",
     "bad/else-without-if.st"},
    {"numbers", "literals.review",
     "bad/number-malformed.st"},
    {"typed numbers", "literals.review",
     "bad/literal-typed-wrong.st"},
    {"times", "time-literals.review",
     "bad/time-malformed.st"},
    {"comments", "comments.review",
     "bad/comment-not-closed.st"},
    {"pragmas", "pragmas.review",
     "bad/pragma-chooses-text.st"},
    {"names in any case", "any-case.review",
     "bad/name-twice-in-another-case.st"},
    {"CONFIGURATION", "configuration-plain.review",
     "bad/configuration-without-program.st"},
    {"RESOURCE", "configuration.review",
     "bad/configuration-two-resources.st"},
    {"TASK", "configuration.review",
     "bad/configuration-task-argument.st"},
    {"SEL", "function-sel.review",
     "bad/functions-misused.st"},
    {"MUX", "function-mux.review",
     "bad/functions-misused.st"},
    {"LIMIT", "function-limit.review",
     "bad/functions-misused.st"},
    {"MIN", "function-min.review",
     "bad/functions-misused.st"},
    {"MAX", "function-max.review",
     "bad/functions-misused.st"},
    {"ABS", "function-abs.review",
     "bad/functions-misused.st"},
    {"MOVE", "function-move.review",
     "bad/functions-misused.st"},
    {"SHL", "function-shl.review",
     "bad/functions-misused.st"},
    {"SHR", "function-shr.review",
     "bad/functions-misused.st"},
    {"ROL", "function-rol.review",
     "bad/functions-misused.st"},
    {"ROR", "function-ror.review",
     "bad/functions-misused.st"},
    {"ADD SUB MUL DIV MOD", "function-arithmetic.review",
     "bad/functions-misused.st"},
    {"+ - * / MOD", "function-arithmetic.review",
     "bad/check-types-do-not-meet.st"},
    {"AND OR XOR NOT", "function-logic.review",
     "bad/functions-misused.st"},
    {"GT GE EQ LE LT NE", "function-comparison.review",
     "bad/functions-misused.st"},
    {"= <> < > <= >=", "function-comparison.review",
     "bad/equals-for-assignment.st"},
    {"conversions", "function-conversion.review",
     "bad/words-conversions.st"},
    {"AND_THEN OR_ELSE", "and-then.review",
     "bad/and-then-wrong.st"},
    {"S= R=", "set-reset.review",
     "bad/set-to-wrong-type.st"},
    {"CTU", "block-ctu.review",
     "bad/blocks-misused.st"},
    {"CTD", "block-ctd.review",
     "bad/blocks-misused.st"},
    {"CTUD", "block-ctud.review",
     "bad/blocks-misused.st"},
    {"TON", "block-ton.review",
     "bad/blocks-misused.st"},
    {"TOF", "block-tof.review",
     "bad/blocks-misused.st"},
    {"TP", "block-tp.review",
     "bad/blocks-misused.st"},
    {"R_TRIG", "block-r-trig.review",
     "bad/blocks-misused.st"},
    {"F_TRIG", "block-f-trig.review",
     "bad/blocks-misused.st"},
    {"SR", "block-sr.review",
     "bad/blocks-misused.st"},
    {"RS", "block-rs.review",
     "bad/blocks-misused.st"},
    {"REAL LREAL", "real.review",
     "bad/real-into-integer.st"},
    {"STRING WSTRING CHAR", "text.review",
     "bad/text-as-value.st"},
    {"DATE TIME_OF_DAY DATE_AND_TIME", "dates.review",
     "bad/dates-wrong.st"},
    {"statements of what is UNKNOWN", "unknown-statements.review",
     "bad/unknown-without-parameters.review"},
    {"UNKNOWN", "unknown.review",
     "bad/unknown-without-parameters.review"},
    {"ACCEPTED", "accepted.review",
     "bad/accepted-unknown-remark.review"},
    {"BECAUSE of ACCEPTED", "accepted.review",
     "bad/accepted-without-reason.review"},
    {"AT of ACCEPTED", "accepted.review",
     "advice/acceptance_without_remark.review"},
    {"no ; behind an END_ word", "tolerances.review",
     "bad/spelling-end-if-without-semicolon.st"},
    {"x S= c told", "tolerances.review",
     "bad/spelling-set-and-reset.st"},
    {"comments of other kinds", "tolerances.review",
     "bad/spelling-comments-of-other-kinds.st"},
    {"comments within comments", "tolerances.review",
     "bad/spelling-comment-in-comment.st"},
    {"pragmas told", "tolerances.review",
     "bad/spelling-pragmas-skipped.st"},
    {"#import", "tolerances.review",
     "bad/spelling-import.st"},
    {"ELSEIF", "tolerances.review",
     "bad/spelling-elseif.st"},
    {"FUNCTIONBLOCK", "tolerances.review",
     "bad/spelling-functionblock.st"},
    {"a call without ( )", "tolerances.review",
     "bad/spelling-call-without-parentheses.st"},
    {"PUBLIC and the like", "tolerances.review",
     "bad/spelling-access-words.st"},
    {"PERSISTENT", "tolerances.review",
     "bad/spelling-persistent.st"},
    {"words of the language as names", "tolerances.review",
     "bad/spelling-keywords-as-names.st"},
    {"--strict", "tolerances.review",
     "bad/strict-many-spellings.st"},
    {"Windows-1252", "windows-1252.review",
     "bad/spelling-windows-1252.st"},
    {"an old export", "old-export.review",
     "bad/spelling-old-export-header.st"},
    {"CR LF", "crlf.review",
     "bad/crlf.st"},
    {"project in XML", "exchange.review", "bad/exchange-wrong.xml"},
    {"letters beyond ASCII in names", "letters.review",
     "bad/sign-in-name.st"},
    {"text in UTF-16", "utf-16.review", "bad/utf-16-cut.st"},
    {"XML object", "object.review",
     "bad/object-mistake.xml"},
    {"XML objects of types and globals", "object-types.review",
     "bad/object-without-text.xml"},
    {"spelling of a subrange", "subrange.review",
     "bad/subrange-written-wrong.st"},
    {"spelling of an AT", "located.review",
     "bad/location-written-wrong.st"},
    {"CASE of what it does not take", "case.review",
     "bad/case-of-conditions.st"},
    {"spelling of typed numbers", "literals.review",
     "bad/literal-written-wrong.st"},
    {"spelling of AND_THEN", "and-then.review",
     "bad/and-then-written-wrong.st"},
    {"spelling of S= and R=", "set-reset.review",
     "bad/set-written-wrong.st"},
    {"spelling of dates", "dates.review",
     "bad/dates-malformed.st"},
    {"tables", "array.review",
     "bad/table-not-constant.st"},
    {"BUTTON STOP SWITCH SELECTOR NUMBER", "review-controls.review",
     "bad/check-stop-without-contacts.review"},
    {"SENSOR", "review-controls.review",
     "bad/signal-kind-unknown.review"},
    {"CONTACTS", "review-controls.review",
     "bad/check-control-with-several-contacts.review"},
    {"a control and its variable", "review-controls.review",
     "bad/check-control-binds-to-nothing.review"},
    {"names of a review text", "review-controls.review",
     "bad/reserved-word-as-name.review"},
    {"names of blocks", "review-controls.review",
     "bad/word-as-heading.review"},
    {"VALVE MOTOR LAMP HORN OUTPUT", "review-outputs.review",
     "bad/check-two-candidates.review"},
    {"WIRING", "review-wiring.review",
     "bad/check-wiring-reads-program.review"},
    {"MECHANISM", "review-mechanism.review",
     "bad/check-mechanism-reads-program.review"},
    {"variables of a MECHANISM", "review-mechanism.review",
     "bad/machine-variable-without-type.review"},
    {"MOVES", "review-mechanism.review",
     "bad/check-movement-times.review"},
    {"MAY", "review-mechanism.review",
     "bad/loop-in-review.review"},
    {"ASSUMPTIONS", "review-assumptions.review",
     "bad/check-assumption-reads-program.review"},
    {"INTENDED", "review-intended.review",
     "bad/intended-wrong.review"},
    {"FAULTS", "review-faults.review",
     "bad/check-fault-in-wrong-place.review"},
    {"ONE CAUSE OF", "review-causes.review",
     "bad/cause-group-wrong.review"},
    {"INTERMITTENT and PRESENT FROM POWER_UP", "review-causes.review",
     "bad/fault-time-wrong.review"},
    {"FOLLOWS FROM", "review-causes.review",
     "bad/fault-follows-wrong.review"},
    {"EXCLUDED BECAUSE", "review-causes.review",
     "bad/faults-all-excluded.review"},
    {"phrases of FAULTS", "review-faults.review",
     "bad/fault-unknown.review"},
    {"several places of a fault", "fault-phrases.review",
     "bad/fault-phrases.review"},
    {"MOVES WITHOUT COMMAND, DISPLACED, PROGRAM STOPS",
     "fault-phrases.review", "bad/fault-phrases-spelled.review"},
    {"SET of an actuator", "fault-phrases.review",
     "bad/scenario-holds-loose-actuator.review"},
    {"DESPITE", "review-faults.review",
     "bad/no-faults-allowed.review"},
    {"NOTICING", "noticing.review",
     "bad/noticing-incomplete.review"},
    {"lines of NOTICING", "noticing.review",
     "bad/noticing-twice.review"},
    {"TRUE FOR in NOTICING", "noticing.review",
     "bad/noticing-time-unsampled.review"},
    {"AND ANOTHER AFTER AN UNNOTICED ONE", "noticing.review",
     "bad/another-after-two.review"},
    {"EXCEPT UNTIL NOTICED", "noticing.review",
     "bad/except-written-wrong.review"},
    {"EXCEPT WITHIN", "noticing.review",
     "bad/except-time-wrong.review"},
    {"RECORDER", "review-recorder.review",
     "bad/check-recorder-assigns-program.review"},
    {"forms of REQUIREMENTS", "review-forms.review",
     "bad/form-unknown.review"},
    {"HAZARDS", "review-forms.review",
     "bad/check-unknown-hazard.review"},
    {"BY ITSELF", "review-forms.review",
     "bad/check-started-by-read.review"},
    {"POSSIBLE AGAIN", "review-forms.review",
     "bad/check-by-nobody.review"},
    {"TRUE FOR", "review-forms.review",
     "bad/check-sampled-needed.review"},
    {"PREVIOUS RISING FALLING", "review-forms.review",
     "bad/check-nested-previous.review"},
    {"limits in time", "review-forms.review",
     "bad/check-limit-below-zero.review"},
    {"CONTROL", "review-lines.review",
     "bad/control-as-review.review"},
    {"variables of the control text", "review-lines.review",
     "bad/control-variable-without-type.review"},
    {"SCAN", "review-lines.review",
     "bad/check-scan-range-reversed.review"},
    {"BY of SCAN", "review-lines.review",
     "bad/check-scan-step-uneven.review"},
    {"RUNS EVERY", "review-lines.review",
     "bad/check-runs-every-zero.review"},
    {"FIXED", "review-lines.review",
     "bad/check-fixed-and-control.review"},
    {"elements of FIXED", "review-lines.review",
     "bad/element-not-known-before.review"},
    {"SHARED", "review-lines.review",
     "bad/check-fixed-and-control.review"},
    {"POWER", "review-power.review",
     "bad/power-without-reason.review"},
    {"sections", "review-power.review",
     "bad/section-misspelled.review"},
    {"SCENARIO", "review-scenario.review",
     "bad/scenario-unknown-step.review"},
    {"MOVE and START", "review-scenario.review",
     "bad/scenario-start-late.review"},
    {"EXPECT", "review-scenario.review",
     "bad/scenario-expect-first.review"},
    {"EXPECT BROKEN", "review-scenario.review",
     "bad/scenario-broken-unknown.review"},
};

enum { CONSTRUCTS = sizeof constructs / sizeof *constructs };

static bool ends_in(const char *name, const char *ending)
{
    size_t n = strlen(name), m = strlen(ending);

    return n > m && strcmp(name + n - m, ending) == 0;
}

static void read_whole(const char *path, struct text *out)
{
    assert_int_equal(os_read_file(path, 1 << 20, out), OS_OK);
}

/* ---- verdicts and scenarios ---- */

static void judge(struct loaded *loaded, struct text *out)
{
    const struct study_setting setting = {.threads = 1};
    const struct findings *findings = check_model(
        loaded->arena, loaded->model, &setting, loaded->diags);
    const struct view view = {.findings = findings,
                              .sources = loaded->sources};

    assert_non_null(findings);
    assert_null(findings->internal_error);
    for (uint32_t i = 0; i < findings->n_requirements; i++)
        verdict_requirement(out, &view, &findings->requirements[i]);
    for (uint32_t i = 0; i < findings->n_errors; i++)
        verdict_error_title(out, &view, &findings->errors[i], i + 1);
}

static void play(struct loaded *loaded, struct text *out)
{
    const struct model *model = loaded->model;

    assert_true(model->n_scenarios > 0);
    for (uint32_t i = 0; i < model->n_scenarios; i++) {
        struct scenario_result *result = scenario_play(
            loaded->arena, model, &model->scenarios[i]);

        played_add(out, loaded->sources, result);
        assert_true(result->n_expected > 0);
        if (!result->as_expected)
            fail_msg("%s", text_str(out));
        scenario_release(result);
    }
}

/* What comes out of a review text, which nothing may be said against. */
static void comes_out(const char *path, struct text *out)
{
    const struct load_request request = {.path = path};
    struct loaded *loaded = load_run(&request);
    struct text said = {0};

    render_diags(&said, loaded->sources, loaded->diags);
    assert_string_equal(text_str(&said), "");
    assert_non_null(loaded->model);
    judge(loaded, out);
    play(loaded, out);
    text_release(&said);
    loaded_free(loaded);
}

static void comes_out_as_expected(void **state)
{
    struct text path = {0}, out = {0}, expected = {0};

    text_printf(&path, GOOD "%s", (const char *)*state);
    comes_out(text_str(&path), &out);
    text_add(&path, ".expected");
    read_whole(text_str(&path), &expected);
    assert_string_equal(text_str(&out), text_str(&expected));
    text_release(&path);
    text_release(&out);
    text_release(&expected);
}

/* ---- layout ---- */

/* A text that is not UTF-8 is laid out in UTF-8. */
static bool is_laid_out(const char *name)
{
    return (ends_in(name, ".st") || ends_in(name, ".review")) &&
           strcmp(name, "windows-1252.st") != 0 &&
           strcmp(name, "utf-16.st") != 0;
}

static void stays_as_laid_out(const char *name)
{
    struct text path = {0}, before = {0}, after = {0};

    text_printf(&path, GOOD "%s", name);
    read_whole(text_str(&path), &before);
    loaded_free(load_layout(text_str(&path), &after));
    if (strcmp(text_str(&before), text_str(&after)) != 0)
        fail_msg("%s is not as format lays it out", name);
    text_release(&path);
    text_release(&before);
    text_release(&after);
}

static void all_stay_as_laid_out(void **state)
{
    DIR *folder = opendir(GOOD);
    const struct dirent *entry;
    uint32_t seen = 0;

    (void)state;
    assert_non_null(folder);
    while ((entry = readdir(folder)) != NULL)
        if (is_laid_out(entry->d_name)) {
            stays_as_laid_out(entry->d_name);
            seen++;
        }
    closedir(folder);
    assert_true(seen > 100);
}

/* ---- the table ---- */

static bool is_there(const char *folder, const char *name)
{
    struct text path = {0}, content = {0};
    bool found;

    text_printf(&path, FOLDER "%s%s", folder, name);
    found = os_read_file(text_str(&path), 1 << 20, &content) == OS_OK;
    text_add(&path, ".expected");
    found = found &&
            os_read_file(text_str(&path), 1 << 20, &content) == OS_OK;
    text_release(&path);
    text_release(&content);
    return found;
}

static void each_construct_has_both(void **state)
{
    (void)state;
    for (size_t i = 0; i < CONSTRUCTS; i++) {
        const struct construct *row = &constructs[i];

        if (!is_there("good/", row->use))
            fail_msg("%s: no use %s", row->what, row->use);
        if (!is_there("", row->misuse))
            fail_msg("%s: no misuse %s", row->what, row->misuse);
    }
}

static void each_use_is_in_the_table(void **state)
{
    DIR *folder = opendir(GOOD);
    const struct dirent *entry;

    (void)state;
    assert_non_null(folder);
    while ((entry = readdir(folder)) != NULL) {
        bool found = !ends_in(entry->d_name, ".review");

        for (size_t i = 0; !found && i < CONSTRUCTS; i++)
            found = strcmp(constructs[i].use, entry->d_name) == 0;
        if (!found)
            fail_msg("%s stands in no row of the table", entry->d_name);
    }
    closedir(folder);
}

/* ---- all ---- */

static int is_case(const struct dirent *entry)
{
    return ends_in(entry->d_name, ".review");
}

int main(void)
{
    static struct CMUnitTest tests[MOST_CASES + 3] = {
        cmocka_unit_test(each_construct_has_both),
        cmocka_unit_test(each_use_is_in_the_table),
        cmocka_unit_test(all_stay_as_laid_out)};
    struct dirent **cases = NULL;
    int n = scandir(GOOD, &cases, is_case, alphasort), failed;
    size_t count = 3;

    for (int i = 0; i < n && i < MOST_CASES; i++)
        tests[count++] = (struct CMUnitTest){
            cases[i]->d_name, comes_out_as_expected, NULL, NULL,
            cases[i]->d_name};
    failed = _cmocka_run_group_tests("good", tests, count, NULL, NULL);
    for (int i = 0; i < n; i++)
        free(cases[i]);
    free(cases);
    return failed;
}
