/* The three stories that docs/ tells about the whole rear body, by their
 * substance: verdicts before and after, lengths, what the last scan holds,
 * needed assumptions, chains of causes.  Which lines were changed is read
 * from the texts; the lengths are those of models/rear_body/changes/EXPECTED
 * or, for R13 without A1, counted by hand beside the test. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "reference/machine.h"
#include "reference/replay.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"
#include "study/check.h"
#include "study/load.h"
#include "study/needs.h"
#include "study/scenario.h"
#include "study/why.h"
#include "tests/support/shell.h"

#define BODY "models/rear_body/"
#define CONTROL BODY "rear_body.st"
#define REVIEW BODY "rear_body.review"
#define ONE_HAND BODY "changes/one_hand_closes.st"
#define CLOSES BODY "changes/rescue_closes.st"
#define WEIGHT BODY "changes/rescue_asks_for_the_weight.st"

/* ---- texts ---- */

static void read_text(struct text *text, const char *path)
{
    assert_int_equal(os_read_file(path, 1 << 20, text), OS_OK);
}

/* Where a passage stands in a text, in which it stands once. */
static char *passage(const struct text *text, const char *words)
{
    char *at = strstr(text->at, words);

    if (at == NULL || strstr(at + 1, words) != NULL)
        fail_msg("'%s' does not stand there once", words);
    return at;
}

/* Writes the text of `path` with the passage from `from` to the end of `to`
 * replaced; gives the path of the copy. */
static const char *altered(const char *path, const char *name,
                           const char *from, const char *to,
                           const char *instead)
{
    static char copy[8][128];
    static unsigned n;
    struct text text = {0}, out = {0};
    char *begin, *end;

    read_text(&text, path);
    begin = passage(&text, from);
    end = strstr(begin, to);
    assert_non_null(end);
    text_add_bytes(&out, text.at, (size_t)(begin - text.at));
    text_add(&out, instead);
    text_add(&out, end + strlen(to));
    assert_true(n < sizeof copy / sizeof *copy);
    snprintf(copy[n], sizeof copy[n], "%s/%s", shell_place(), name);
    assert_int_equal(os_write_file(copy[n], out.at, out.n), OS_OK);
    text_release(&text);
    text_release(&out);
    return copy[n++];
}

/* The line, from 1, on which a passage begins. */
static uint32_t line_of(const char *path, const char *words)
{
    struct text text = {0};
    uint32_t line = 1;
    const char *end;

    read_text(&text, path);
    end = passage(&text, words);
    for (const char *at = text.at; at < end; at++)
        line += *at == '\n';
    text_release(&text);
    return line;
}

/* ---- one review, asked ---- */

struct asked {
    struct loaded *loaded;
    const struct model *model;
    struct arena *arena;
    const struct findings *findings;
    const char *control;
};

static void open_texts(struct asked *a, const char *review,
                       const char *control)
{
    struct load_request request = {.path = review, .control = control};
    struct text text = {0};

    memset(a, 0, sizeof *a);
    a->control = control;
    a->loaded = load_run(&request);
    render_diags(&text, a->loaded->sources, a->loaded->diags);
    if (a->loaded->model == NULL)
        fail_msg("%s", text_str(&text));
    text_release(&text);
    a->model = a->loaded->model;
    a->arena = arena_new();
}

static uint32_t requirement(const struct asked *a, const char *name)
{
    for (uint32_t i = 0; i < a->model->n_requirements; i++)
        if (strcmp(a->model->requirements[i].name->spelling, name) == 0)
            return i;
    fail_msg("no requirement %s", name);
    return 0;
}

static uint32_t slot(const struct model *model, const char *path)
{
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (strcmp(model->slots[i].path, path) == 0)
            return i;
    fail_msg("no variable %s", path);
    return 0;
}

static uint32_t actuator(const struct model *model, const char *name)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (strcmp(model->actuators[i].name->spelling, name) == 0)
            return model->actuators[i].slot;
    fail_msg("no actuator %s", name);
    return 0;
}

static uint32_t control(const struct model *model, const char *name)
{
    for (uint32_t i = 0; i < model->n_controls; i++)
        if (strcmp(model->controls[i].name->spelling, name) == 0)
            return i;
    fail_msg("no control %s", name);
    return 0;
}

/* Asks the requirements of a list with commas between. */
static void ask(struct asked *a, const char *names, bool quick)
{
    struct study_setting setting = {.quick = quick};
    bool *only = arena_array(a->arena, a->model->n_requirements,
                             sizeof *only);
    char list[64], *rest = NULL;

    assert_true(strlen(names) < sizeof list);
    strcpy(list, names);
    for (char *at = strtok_r(list, ",", &rest); at != NULL;
         at = strtok_r(NULL, ",", &rest))
        only[requirement(a, at)] = true;
    setting.only = only;
    a->findings = check_model(a->arena, a->model, &setting,
                              a->loaded->diags);
    assert_non_null(a->findings);
    assert_null(a->findings->internal_error);
}

static void release(struct asked *a)
{
    arena_free(a->arena);
    loaded_free(a->loaded);
}

/* The finding of a requirement; it has this verdict, and a sequence of so
 * many scans (0: not looked at). */
static const struct requirement_finding *
verdict(const struct asked *a, const char *name, enum verdict verdict,
        uint32_t length)
{
    uint32_t index = requirement(a, name);
    const struct requirement_finding *found = NULL;

    for (uint32_t i = 0; i < a->findings->n_requirements; i++)
        if (a->findings->requirements[i].requirement == index)
            found = &a->findings->requirements[i];
    assert_non_null(found);
    if (found->verdict != verdict)
        fail_msg("%s is %s", name, verdict_words(found->verdict));
    if (length > 0) {
        assert_non_null(found->sequence);
        assert_true(found->sequence->accepted);
        assert_int_equal(found->sequence->n_scans, length);
    }
    return found;
}

/* ---- records of sequences ---- */

static int64_t value(const struct machine *machine,
                     const struct replay_scan *scan, uint32_t slot)
{
    return machine_place(machine, scan->state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

static bool held(const struct model *model, const struct replay_scan *scan,
                 uint32_t control)
{
    uint32_t row = model->controls[control].choice;

    return scan->choices[row] != model->choices[row].rest;
}

static uint32_t count_held(const struct model *model,
                           const struct replay_scan *scan)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < model->n_controls; i++)
        n += held(model, scan, i);
    return n;
}

/* Is a choice of this kind off its rest in any scan? */
static bool any_choice(const struct model *model, const struct replay *replay,
                       enum choice_kind kind)
{
    bool any = false;

    for (uint32_t i = 0; i < replay->n_scans; i++)
        for (uint32_t row = 0; row < model->n_choices; row++)
            any = any || (model->choices[row].kind == kind &&
                          replay->scans[i].choices[row] !=
                              model->choices[row].rest);
    return any;
}

static bool on_line(const struct asked *a, struct span span, uint32_t line)
{
    const struct sources *sources = a->loaded->sources;
    struct span last = span;

    if (span.file == 0 ||
        strcmp(sources_path(sources, span.file), a->control) != 0)
        return false;
    last.from = span.to > span.from ? span.to - 1 : span.from;
    return sources_place(sources, span).line <= line &&
           line <= sources_place(sources, last).line;
}

static bool chain_names_line(const struct asked *a, const struct why *why,
                             uint32_t line)
{
    for (uint32_t i = 0; i < why->n_steps; i++)
        for (uint32_t k = 0; k < why->steps[i].account.n_places; k++)
            if (on_line(a, why->steps[i].account.places[k], line))
                return true;
    return false;
}

/* Has the chain a sentence about this thing with this value? */
static bool chain_has(const struct why *why, enum trace_thing thing,
                      uint32_t index, int64_t value)
{
    for (uint32_t i = 0; i < why->n_steps; i++) {
        const struct fact *fact = &why->steps[i].fact;

        if (fact->thing == thing && fact->index == index &&
            fact->value == value)
            return true;
    }
    return false;
}

static const struct why *chain_of(const struct asked *a,
                                  const struct requirement_finding *found)
{
    return why_broken(a->arena, a->model, found->requirement,
                      found->sequence);
}

/* ---- the engineer's ---- */

static void two_hands_kept(const char *control_text)
{
    struct asked a;

    open_texts(&a, REVIEW, control_text);
    ask(&a, "R1,R2,R3,R4", true);
    verdict(&a, "R1", VERDICT_KEPT, 0);
    verdict(&a, "R2", VERDICT_KEPT, 0);
    verdict(&a, "R3", VERDICT_KEPT, 0);
    verdict(&a, "R4", VERDICT_KEPT, 0);
    assert_int_equal(findings_exit_code(a.findings), 0);
    release(&a);
}

/* Before the end nothing is held but the other button. */
static void the_other_hand_does_it_too(const struct asked *a,
                                       const struct replay *sequence)
{
    uint32_t left = a->model->controls[control(a->model, "close_left")]
                        .choice;
    uint32_t lower = actuator(a->model, "lower_valve");
    struct outing outing;
    uint32_t which;

    outing_open(&outing, a->arena, a->model);
    outing_load(&outing, sequence);
    for (uint32_t i = 0; i + 1 < sequence->n_scans; i++)
        assert_true(outing_next(&outing));
    assert_int_equal(outing_slot(&outing, lower), 0);
    assert_int_equal(count_held(a->model,
                                &outing.replay.scans[sequence->n_scans - 2]),
                     0);
    assert_true(outing_set(&outing, left, 1));
    assert_int_equal(outing_run(&outing, NULL, &which), OUTING_RAN);
    assert_int_equal(outing_slot(&outing, lower), 1);
    assert_true(outing_breaks(&outing, sequence->n_scans - 1,
                              requirement(a, "R1"), true));
    outing_close(&outing);
}

static void one_hand_closes(void **state)
{
    const struct requirement_finding *found;
    const struct replay_scan *last;
    const struct why *why;
    struct asked a;

    (void)state;
    open_texts(&a, REVIEW, ONE_HAND);
    ask(&a, "R1,R2,R3,R4", true);
    found = verdict(&a, "R1", VERDICT_BROKEN, 4);
    verdict(&a, "R2", VERDICT_BROKEN, 6);
    verdict(&a, "R3", VERDICT_KEPT, 0);
    verdict(&a, "R4", VERDICT_BROKEN, 0);
    assert_int_equal(findings_exit_code(a.findings), 1);

    /* One hand, no fault, power stays. */
    last = &found->sequence->scans[3];
    assert_true(held(a.model, last, control(a.model, "close_right")));
    assert_int_equal(count_held(a.model, last), 1);
    assert_false(any_choice(a.model, found->sequence, CHOICE_FAULT));
    assert_false(any_choice(a.model, found->sequence, CHOICE_POWER));

    why = chain_of(&a, found);
    assert_true(chain_names_line(&a, why, line_of(ONE_HAND, "both := ")));
    assert_true(chain_has(why, THING_HAND,
                          control(a.model, "close_right"), 1));
    the_other_hand_does_it_too(&a, found->sequence);
    release(&a);
}

static void two_hands_again(void **state)
{
    (void)state;
    two_hands_kept(CONTROL);
    two_hands_kept(altered(ONE_HAND, "mended.st",
                           "Operated(left_on, left_off) OR", "OR",
                           "Operated(left_on, left_off) AND"));
}

/* ---- the assessor's ---- */

static void need_of_a1(const struct asked *a, const char *name,
                       enum need need)
{
    const struct requirement_finding *found =
        verdict(a, name, VERDICT_KEPT, 0);

    assert_int_equal(a->model->n_assumptions, 1);
    assert_string_equal(a->model->assumptions[0].name->spelling, "A1");
    assert_int_equal(found->need_state, NEED_KNOWN);
    assert_int_equal(found->need[0], need);
}

static void an_assumption_is_needed(void **state)
{
    struct asked a;

    (void)state;
    open_texts(&a, REVIEW, CONTROL);
    ask(&a, "R12,R13", false);
    need_of_a1(&a, "R12", NEED_NO);
    need_of_a1(&a, "R13", NEED_EVERY);
    assert_non_null(a.model->assumptions[0].confirmed_by);
    release(&a);

    /* Unconfirmed it is as good to the search: only the line says so. */
    open_texts(&a, altered(REVIEW, "unconfirmed.review",
                           "CONFIRMED BY 'workshop sheet 12 (invented)'",
                           "'workshop sheet 12 (invented)'", ""), CONTROL);
    ask(&a, "R13", false);
    need_of_a1(&a, "R13", NEED_EVERY);
    assert_null(a.model->assumptions[0].confirmed_by);
    assert_int_equal(findings_exit_code(a.findings), 0);
    release(&a);
}

/* Six scans: power comes; reset held, let go; one half of the rocker held,
 * the other too, the other let go.  Nobody presses anything in the last. */
static void an_assumption_is_dropped(void **state)
{
    const struct requirement_finding *found;
    const struct replay_scan *last, *before;
    struct asked a;

    (void)state;
    open_texts(&a, altered(REVIEW, "without.review", "A1 'one rocker",
                           "(invented)';", ""), CONTROL);
    assert_int_equal(a.model->n_assumptions, 0);
    ask(&a, "R12,R13", false);
    verdict(&a, "R12", VERDICT_KEPT, 0);
    found = verdict(&a, "R13", VERDICT_BROKEN, 6);
    last = &found->sequence->scans[5];
    before = &found->sequence->scans[4];
    assert_true(held(a.model, before, control(a.model, "eject_push")));
    assert_true(held(a.model, before, control(a.model, "eject_pull")));
    assert_int_equal(count_held(a.model, before), 2);
    assert_int_equal(count_held(a.model, last), 1);
    for (uint32_t i = 0; i < a.model->n_controls; i++)
        assert_true(held(a.model, before, i) || !held(a.model, last, i));
    for (unsigned i = 0; i < 2; i++) {
        uint32_t valve = actuator(a.model, i ? "eject_in" : "eject_out");
        bool this_way = held(a.model, last,
                             control(a.model,
                                     i ? "eject_pull" : "eject_push"));

        assert_int_equal(value(a.findings->machine, before, valve), 0);
        assert_int_equal(value(a.findings->machine, last, valve), this_way);
    }
    assert_false(any_choice(a.model, found->sequence, CHOICE_FAULT));
    release(&a);
}

static void logic_that_needs_no_assumption(void **state)
{
    static const char enable[] = "stands AND gate_up AND NOT gate_used,";
    struct asked a;

    (void)state;
    open_texts(&a, REVIEW,
               altered(CONTROL, "proposed.st", enable, ",",
                       "stands AND gate_up AND NOT gate_used"
                       " AND NOT (eject_push AND eject_pull),"));
    ask(&a, "R13", false);
    need_of_a1(&a, "R13", NEED_NO);
    release(&a);
}

/* ---- the trainer's ---- */

static struct scenario_result *rescue_played(const struct asked *a)
{
    for (uint32_t i = 0; i < a->model->n_scenarios; i++)
        if (strcmp(a->model->scenarios[i].name->spelling,
                   "RescueUnderTheStop") == 0)
            return scenario_play(a->arena, a->model,
                                 &a->model->scenarios[i]);
    fail_msg("there is no such scenario");
    return NULL;
}

/* The first scan, from 0, in which a variable is on; n_scans: never. */
static uint32_t first_on(const struct outing *outing, uint32_t slot)
{
    uint32_t i = 0;

    while (i < outing->replay.n_scans &&
           value(outing->machine, &outing->replay.scans[i], slot) == 0)
        i++;
    return i;
}

/* The first scan in which a control is held. */
static uint32_t first_held(const struct outing *outing, uint32_t control)
{
    uint32_t i = 0;

    while (i < outing->replay.n_scans &&
           !held(&outing->model, &outing->replay.scans[i], control))
        i++;
    return i;
}

/* Rescue is on where its button is held and nowhere else, the latch stands
 * in these scans, and from the letting go on nothing of the packing is on,
 * although the stop is let go and the reset made good. */
static void moves_only_while_held(const struct outing *outing)
{
    static const char *const off[] = {"pack_pressure", "plate_close",
                                      "carrier_down"};
    static const char *const still[] = {"rescue_valve", "pack_pressure",
                                        "plate_open", "plate_close",
                                        "carrier_up", "carrier_down"};
    const struct model *model = &outing->model;
    uint32_t button = control(model, "rescue_l");
    uint32_t stopped = slot(model, "stopped");
    uint32_t valve = actuator(model, "rescue_valve"), n_held = 0;
    bool unlatched = false;

    for (uint32_t i = 0; i < outing->replay.n_scans; i++) {
        const struct replay_scan *scan = &outing->replay.scans[i];
        bool hand = held(model, scan, button);

        n_held += hand;
        assert_int_equal(value(outing->machine, scan, valve), hand);
        if (hand)
            assert_int_equal(value(outing->machine, scan, stopped), 1);
        for (unsigned k = 0; hand && k < 3; k++)
            assert_int_equal(value(outing->machine, scan,
                                   actuator(model, off[k])), 0);
        for (unsigned k = 0; !hand && n_held > 0 && k < 6; k++)
            assert_int_equal(value(outing->machine, scan,
                                   actuator(model, still[k])), 0);
        unlatched = n_held > 0 && value(outing->machine, scan, stopped) == 0;
    }
    assert_true(n_held > 1);
    assert_true(unlatched);
}

static void rescue_under_the_stop(void **state)
{
    struct scenario_result *result;
    const struct why *why;
    uint32_t moment, stop, button, stopped;
    struct outing *outing;
    struct asked a;

    (void)state;
    open_texts(&a, REVIEW, CONTROL);
    result = rescue_played(&a);
    assert_true(result->as_expected);
    assert_int_equal(result->n_expected, 7);
    outing = result->outing;
    stop = control(a.model, "stop_rear_left");
    button = control(a.model, "rescue_l");
    stopped = slot(a.model, "stopped");
    moves_only_while_held(outing);

    moment = first_held(outing, button);
    assert_true(first_held(outing, stop) < moment);
    assert_true(held(a.model, &outing->replay.scans[moment], stop));
    outing_back(outing, moment + 1);
    assert_int_equal(outing_slot(outing, stopped), 1);
    assert_int_equal(outing_slot(outing, actuator(a.model, "plate_open")),
                     1);
    why = outing_why(outing, actuator(a.model, "plate_open"));
    assert_non_null(why);
    assert_true(chain_has(why, THING_HAND, button, 1));
    assert_true(chain_has(why, THING_SLOT, stopped, 1));
    assert_true(chain_names_line(&a, why,
                                 line_of(CONTROL, "rescue_runs := stopped")));
    scenario_release(result);
    release(&a);
}

/* The scan of the first expectation that was not met. */
static uint32_t first_unmet(const struct scenario_result *result)
{
    for (uint32_t i = 0; i < result->n_notes; i++)
        if (result->notes[i].event == SCENARIO_EXPECTED &&
            !result->notes[i].met)
            return result->notes[i].scan;
    fail_msg("every expectation was met");
    return 0;
}

static void rescue_that_closes(void **state)
{
    const struct requirement_finding *found;
    struct scenario_result *result;
    const struct why *why;
    struct asked a;

    (void)state;
    open_texts(&a, REVIEW, CONTROL);
    ask(&a, "R40,R44", true);
    verdict(&a, "R40", VERDICT_KEPT, 0);
    verdict(&a, "R44", VERDICT_KEPT, 0);
    release(&a);

    open_texts(&a, REVIEW, CLOSES);
    ask(&a, "R40,R44", true);
    found = verdict(&a, "R40", VERDICT_BROKEN, 2);
    verdict(&a, "R44", VERDICT_KEPT, 0);
    assert_int_equal(value(a.findings->machine, &found->sequence->scans[1],
                           actuator(a.model, "plate_close")), 1);
    assert_int_equal(value(a.findings->machine, &found->sequence->scans[1],
                           slot(a.model, "stopped")), 1);
    why = chain_of(&a, found);
    assert_true(chain_names_line(&a, why,
                                 line_of(CLOSES,
                                         "plate_close := plate_open_end;")));
    result = rescue_played(&a);
    assert_false(result->as_expected);
    assert_true(first_unmet(result) >
                first_held(result->outing, control(a.model, "rescue_l")));
    scenario_release(result);
    release(&a);
}

static void rescue_locked_by_the_weight(void **state)
{
    const struct requirement_finding *found;
    const struct need_list *needs;
    struct scenario_result *result;
    uint32_t line = line_of(WEIGHT, "rescue_runs := stopped");
    bool named = false;
    struct asked a;

    (void)state;
    open_texts(&a, REVIEW, WEIGHT);
    ask(&a, "R40,R44", true);
    verdict(&a, "R40", VERDICT_KEPT, 0);
    found = verdict(&a, "R44", VERDICT_BROKEN, 0);
    needs = needs_of(a.arena, a.model, found->requirement);
    for (uint32_t i = 0; i < needs->n; i++)
        for (uint32_t k = 0; k < needs->at[i].n_sites; k++)
            named = named || on_line(&a, needs->at[i].sites[k].place, line);
    assert_true(named);

    /* Held in vain: the plate stays where it caught somebody. */
    result = rescue_played(&a);
    assert_false(result->as_expected);
    assert_int_equal(first_unmet(result),
                     first_held(result->outing,
                                control(a.model, "rescue_l")));
    assert_int_equal(first_on(result->outing,
                              actuator(a.model, "rescue_valve")),
                     result->outing->replay.n_scans);
    scenario_release(result);
    release(&a);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_hand_closes),
        cmocka_unit_test(two_hands_again),
        cmocka_unit_test(an_assumption_is_needed),
        cmocka_unit_test(an_assumption_is_dropped),
        cmocka_unit_test(logic_that_needs_no_assumption),
        cmocka_unit_test(rescue_under_the_stop),
        cmocka_unit_test(rescue_that_closes),
        cmocka_unit_test(rescue_locked_by_the_weight),
    };

    return cmocka_run_group_tests_name("stories", tests, shell_set_up,
                                       shell_tear_down);
}
