/* Scenarios: played as written, failures told, the words of their steps free
 * as names elsewhere, and those of the models. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/played.h"
#include "study/load.h"
#include "study/scenario.h"
#include "tests/support/checked.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, halt_ok : BOOL; axle_load : INT; mode : Mode; END_VAR\n"
    "VAR_OUTPUT run : BOOL; END_VAR\n"
    "  run := (go OR run) AND halt_ok AND axle_load <= 11500\n"
    "         AND mode <> Locked;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Hoist 'a hoist'\n"
    "  SCAN T#100ms; POWER MAY FAIL;\n"
    "  TYPE Mode : (Locked, Hand, Auto); END_TYPE\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go button';\n"
    "    halt_ok : STOP 'stop button' CONTACTS OPENING;\n"
    "    mode : SELECTOR 'key';\n"
    "    run : MOTOR 'hoist rises';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Hook\n"
    "    VAR place : (Low, High) := Low; END_VAR\n"
    "    MOVES place FROM Low TO High IN T#200ms .. WHILE run;\n"
    "  END_MECHANISM\n"
    "  ASSUMPTIONS\n"
    "    A1 'never both' : NOT (PRESSED go AND PRESSED halt_ok);\n"
    "  END_ASSUMPTIONS\n"
    "  FAULTS F3 : go DOES NOT OPEN; END_FAULTS\n"
    "  REQUIREMENTS\n"
    "    R1 'low only' : NEVER place = High;\n"
    "    R2 'go' : run ONLY IF go DESPITE 1 FAULT;\n"
    "  END_REQUIREMENTS\n"
    "  SCENARIO One 'first'\n"
    "%s"
    "  END_SCENARIO\n"
    "END_REVIEW\n";

struct played {
    struct checked text;
    struct scenario_result *result;
    struct text words;
};

static void play(struct played *p, const char *steps)
{
    struct text whole = {0};
    const char *at = strstr(review, "%s");

    memset(p, 0, sizeof *p);
    text_add_bytes(&whole, review, (size_t)(at - review));
    text_add(&whole, steps);
    text_add(&whole, at + 2);
    checked_init(&p->text, control, text_str(&whole));
    text_release(&whole);
    assert_non_null(p->text.model);
    assert_int_equal(p->text.model->n_scenarios, 1);
    p->result = scenario_play(p->text.arena, p->text.model,
                              &p->text.model->scenarios[0]);
    played_add(&p->words, p->text.sources, p->result);
}

static void release(struct played *p)
{
    scenario_release(p->result);
    text_release(&p->words);
    checked_release(&p->text);
}

static void as_expected(const char *steps, uint32_t scans)
{
    struct played p;

    play(&p, steps);
    if (!p.result->as_expected)
        fail_msg("%s", text_str(&p.words));
    assert_int_equal(p.result->outing->replay.n_scans, scans);
    assert_non_null(strstr(text_str(&p.words), "      as expected · "));
    release(&p);
}

static void not_as_expected(const char *steps, const char *words)
{
    struct played p;

    play(&p, steps);
    assert_false(p.result->as_expected);
    assert_non_null(strstr(text_str(&p.words), "      not as expected · "));
    if (!strstr(text_str(&p.words), words))
        fail_msg("'%s' is not in:\n%s", words, text_str(&p.words));
    release(&p);
}

static void fits(void **state)
{
    (void)state;
    as_expected("TURN mode TO Auto; HOLD go; WAIT; EXPECT run AND go;\n"
                "EXPECT RISING run; SET axle_load := 11500; WAIT T#300ms;\n"
                "EXPECT run; EXPECT NOT RISING run;\n"
                "SET axle_load := 11501; WAIT;\n"
                "EXPECT NOT run 'too heavy';\n", 5);
    as_expected("TURN mode TO Hand; FAULT F3; WAIT;\n"
                "HOLD go; WAIT; RELEASE go; WAIT; EXPECT run AND F3;\n"
                "EXPECT BROKEN R2;\n", 3);
    as_expected("TURN mode TO Hand; HOLD go; WAIT T#200ms; POWER OFF; WAIT;\n"
                "EXPECT NOT power AND NOT run; POWER ON; WAIT;\n"
                "EXPECT run AND warm;\n", 4);
}

static void an_expectation_fails(void **state)
{
    (void)state;
    not_as_expected("TURN mode TO Hand; HOLD go; WAIT T#200ms;\n"
                    "EXPECT NOT run 'why not';\n",
                    "      at 0.1 s  not as expected  EXPECT NOT run "
                    "'why not'\n"
                    "            seen: run is TRUE\n"
                    "            ");
    not_as_expected("HOLD go; WAIT; EXPECT place = High OR axle_load > 3;\n",
                    "seen: place is Low, axle_load is 0\n");
    not_as_expected("WAIT; WAIT; EXPECT FALLING run;\n",
                    "seen: run was FALSE, run is FALSE\n");
    not_as_expected("WAIT; EXPECT BROKEN R1;\n",
                    "at 0.0 s  not as expected  EXPECT BROKEN R1\n");
}

static void a_requirement_breaks(void **state)
{
    const char *steps = "TURN mode TO Hand; HOLD go; WAIT;\n"
                        "MOVE place TO High; WAIT T#300ms;\n"
                        "EXPECT place = High;\n";

    (void)state;
    not_as_expected(steps, "      at 0.2 s  not as expected  R1 is broken "
                           "here: low only\n");
}

static void a_movement_is_not_made(void **state)
{
    (void)state;
    not_as_expected("WAIT; MOVE place TO High; WAIT T#500ms;\n",
                    "at 0.5 s  not as expected  MOVE place TO High: the "
                    "machine could not make this movement\n");
}

static void an_assumption_ends_it(void **state)
{
    struct played p;

    (void)state;
    play(&p, "WAIT; HOLD go; HOLD halt_ok; WAIT T#300ms; EXPECT run;\n");
    assert_false(p.result->as_expected);
    assert_int_equal(p.result->n_notes, 1);
    assert_int_equal(p.result->outing->replay.n_scans, 1);
    assert_non_null(strstr(text_str(&p.words),
                           "at 0.1 s  ends here        assumption A1 does "
                           "not hold: never both\n"));
    release(&p);
}

/* Words of the steps are names everywhere else. */
static void words_stay_free(void **state)
{
    struct checked c;

    (void)state;
    checked_init(&c,
                 "PROGRAM Main\n"
                 "VAR_INPUT hold, set, turn, wait : BOOL; END_VAR\n"
                 "VAR_OUTPUT move, start, expect, scenario : BOOL;\n"
                 "  release, broken : BOOL; END_VAR\n"
                 "  move := hold; start := set; expect := turn;\n"
                 "  scenario := wait; release := move; broken := move;\n"
                 "END_PROGRAM\n",
                 "REVIEW Words SCAN T#100ms;\n"
                 "  CONTROLS hold : BUTTON; set : BUTTON; move : MOTOR;\n"
                 "  END_CONTROLS\n"
                 "  REQUIREMENTS\n"
                 "    start : scenario ONLY IF wait OR broken;\n"
                 "  END_REQUIREMENTS\n"
                 "  SCENARIO expect HOLD hold; SET wait := TRUE; WAIT;\n"
                 "    EXPECT move; EXPECT (broken) AND release;\n"
                 "    EXPECT scenario 'wait';\n"
                 "  END_SCENARIO\n"
                 "END_REVIEW\n");
    assert_non_null(c.model);
    assert_int_equal(c.model->n_scenarios, 1);
    assert_int_equal(c.model->scenarios[0].n_steps, 6);
    checked_release(&c);
}

/* Every scenario of a model, and how many there are at least. */
static void all_of(const char *path, const char *control_path,
                   uint32_t good)
{
    const struct load_request request = {.path = path,
                                         .control = control_path};
    struct loaded *loaded = load_run(&request);
    uint32_t fit = 0;

    assert_non_null(loaded->model);
    assert_true(loaded->model->n_scenarios >= 2);
    for (uint32_t i = 0; i < loaded->model->n_scenarios; i++) {
        struct scenario_result *result =
            scenario_play(loaded->arena, loaded->model,
                          &loaded->model->scenarios[i]);

        assert_true(result->n_expected > 0);
        fit += result->as_expected;
        scenario_release(result);
    }
    assert_int_equal(fit, good);
    loaded_free(loaded);
}

static void of_the_models(void **state)
{
    (void)state;
    all_of("models/table/table.review", NULL, 2);
    all_of("models/tailgate/tailgate.review", NULL, 2);
    all_of("models/tailgate/tailgate.review",
           "models/tailgate/changes/tied_button_accepted.st", 1);
    all_of("models/tailgate/tailgate.review",
           "models/tailgate/changes/closing_locked_out.st", 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fits),
        cmocka_unit_test(an_expectation_fails),
        cmocka_unit_test(a_requirement_breaks),
        cmocka_unit_test(a_movement_is_not_made),
        cmocka_unit_test(an_assumption_ends_it),
        cmocka_unit_test(words_stay_free),
        cmocka_unit_test(of_the_models),
    };

    return cmocka_run_group_tests_name("scenario", tests, NULL, NULL);
}
