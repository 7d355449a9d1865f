/* A machine run by hand: forward, back, values inside cells, movements, a
 * loaded sequence; and the lines that a person types. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/script.h"
#include "study/outing.h"
#include "study/spoken.h"
#include "tests/support/checked.h"

static const char control[] =
    "TYPE Mode : (Off_, Hand, Auto); END_TYPE\n"
    "PROGRAM Main\n"
    "VAR_INPUT go, halt_ok : BOOL; load : INT; mode : Mode; END_VAR\n"
    "VAR_OUTPUT run : BOOL; END_VAR\n"
    "VAR seen : INT (0 .. 3); END_VAR\n"
    "  run := (go OR run) AND halt_ok AND load < 500;\n"
    "  IF go AND seen < 3 THEN seen := seen + 1; END_IF;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Hoist 'a hoist'\n"
    "  SCAN T#100ms; POWER MAY FAIL;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go button';\n"
    "    halt_ok : STOP 'stop button' CONTACTS OPENING;\n"
    "    mode : SELECTOR 'mode';\n"
    "    run : MOTOR 'hoist rises';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Hook\n"
    "    VAR place : (Low, Middle, High); END_VAR\n"
    "    MOVES place FROM Low TO Middle IN T#200ms .. WHILE run;\n"
    "    MOVES place FROM Middle TO High IN T#100ms .. WHILE run;\n"
    "    IF slips THEN MAY place := Low; END_MAY; END_IF;\n"
    "  END_MECHANISM\n"
    "  ASSUMPTIONS\n"
    "    A1 'never both' : NOT (PRESSED go AND PRESSED halt_ok);\n"
    "  END_ASSUMPTIONS\n"
    "  FAULTS\n"
    "    F1 : run SHORT TO SUPPLY;\n"
    "    slips 'rope slips' : IN MECHANISM;\n"
    "  END_FAULTS\n"
    "  REQUIREMENTS R1 : NEVER run AND place = High DESPITE 1 OF F1;\n"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

struct by_hand {
    struct checked text;
    struct outing outing;
};

static void begin_with(struct by_hand *t, const char *reviewed)
{
    checked_init(&t->text, control, reviewed);
    assert_non_null(t->text.model);
    outing_open(&t->outing, t->text.arena, t->text.model);
}

static void begin(struct by_hand *t)
{
    begin_with(t, review);
}

static void end(struct by_hand *t)
{
    outing_close(&t->outing);
    checked_release(&t->text);
}

static struct spoken speak(struct by_hand *t, const char *line)
{
    return spoken_read(t->text.arena, t->text.names, &t->outing, line);
}

static void says(struct by_hand *t, const char *line, const char *failure)
{
    struct spoken spoken = speak(t, line);

    assert_int_equal(spoken.kind, SPOKEN_WRONG);
    assert_string_equal(spoken.failure, failure);
}

/* Does what a line says. */
static enum outing_end act(struct by_hand *t, const char *line)
{
    struct spoken spoken = speak(t, line);
    enum outing_end ended = OUTING_RAN;
    uint32_t which;

    if (spoken.kind == SPOKEN_WRONG)
        fail_msg("%s: %s", line, spoken.failure);
    switch (spoken.kind) {
    case SPOKEN_WAIT:
        for (int64_t i = 0; i < spoken.value && ended == OUTING_RAN; i++)
            ended = outing_run(&t->outing, NULL, &which);
        break;
    case SPOKEN_MOVE:
        assert_true(outing_move(&t->outing, spoken.row, spoken.value));
        break;
    case SPOKEN_FAULT: outing_fault(&t->outing, spoken.row); break;
    case SPOKEN_POWER:
        outing_power(&t->outing, spoken.value == 0);
        break;
    default:
        assert_true(outing_set(&t->outing, spoken.row, spoken.value));
    }
    return ended;
}

static int64_t slot(struct by_hand *t, const char *path)
{
    return outing_slot(&t->outing, (uint32_t)(checked_slot(&t->text, path) -
                                                t->text.model->slots));
}

static void forward_and_back(void **state)
{
    static const char *const lines[] = {
        "wait", "hold go", "wait", "release go", "set Main.load to 499",
        "move place to Middle", "wait 200ms", "fault F1", "power off", "wait",
        "power on", "wait 300ms"};
    struct by_hand a, b;
    size_t words;

    (void)state;
    begin(&a);
    begin(&b);
    words = machine_words(a.outing.machine);
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        uint32_t at = a.outing.replay.n_scans;

        act(&a, lines[i]);
        act(&b, lines[i]);
        if (b.outing.replay.n_scans == at)
            continue;
        /* off the road and back again */
        act(&b, "release halt_ok");
        act(&b, "wait 400ms");
        outing_back(&b.outing, a.outing.replay.n_scans);
        assert_int_equal(a.outing.replay.n_scans,
                         b.outing.replay.n_scans);
        assert_memory_equal(a.outing.state, b.outing.state,
                            words * sizeof(int64_t));
        assert_memory_equal(a.outing.set, b.outing.set,
                            a.outing.model.n_choices * sizeof(uint32_t));
        assert_int_equal(a.outing.moves.n, b.outing.moves.n);
    }
    assert_int_equal(a.outing.replay.n_scans, 8);
    outing_back(&a.outing, 0);
    act(&a, "wait");
    assert_memory_equal(a.outing.state, b.outing.scans.at[0].state,
                        words * sizeof(int64_t));
    end(&a);
    end(&b);
}

static void moves_when_it_may(void **state)
{
    struct by_hand t;

    (void)state;
    begin(&t);
    act(&t, "start place at Low");
    act(&t, "hold go");
    act(&t, "wait");
    assert_int_equal(slot(&t, "run"), 1);
    act(&t, "move place to Middle");
    act(&t, "wait");
    assert_int_equal(slot(&t, "place"), 0); /* 200 ms are not over */
    act(&t, "wait");
    assert_int_equal(slot(&t, "place"), 1);
    assert_int_equal(t.outing.moves.n, 0);
    act(&t, "wait 500ms");
    assert_int_equal(slot(&t, "place"), 1); /* nothing moves by itself */
    act(&t, "fault slips");
    act(&t, "move place to Low");
    act(&t, "wait");
    assert_int_equal(slot(&t, "place"), 0); /* by a MAY */
    end(&t);
}

/* A value within a cell is taken as it is, at the edge of the comparison. */
static void values_in_cells(void **state)
{
    struct by_hand t;

    (void)state;
    begin(&t);
    act(&t, "hold go");
    act(&t, "set load to 499");
    act(&t, "wait");
    assert_int_equal(slot(&t, "Main.run"), 1);
    act(&t, "set load to 500");
    act(&t, "wait");
    assert_int_equal(slot(&t, "Main.run"), 0);
    assert_false(outing_set(&t.outing, speak(&t, "hold go").row, 7));
    end(&t);
}

static void what_is_not_allowed_runs_nothing(void **state)
{
    struct by_hand t;
    uint32_t which = 9;

    (void)state;
    begin(&t);
    act(&t, "wait");
    act(&t, "hold go");
    act(&t, "hold halt_ok");
    assert_int_equal(outing_run(&t.outing, NULL, &which),
                     OUTING_NOT_ALLOWED);
    assert_int_equal(which, 0);
    assert_int_equal(t.outing.replay.n_scans, 1);
    act(&t, "release halt_ok");
    assert_int_equal(act(&t, "wait"), OUTING_RAN);
    end(&t);
}

static void breaks_under_its_faults_only(void **state)
{
    struct by_hand t;

    (void)state;
    begin(&t);
    act(&t, "start place at High");
    act(&t, "fault F1");
    act(&t, "wait");
    assert_true(outing_breaks(&t.outing, 0, 0, true));
    act(&t, "fault slips");
    act(&t, "wait");
    assert_true(outing_breaks(&t.outing, 1, 0, false));
    assert_false(outing_breaks(&t.outing, 1, 0, true));
    end(&t);
}

#define MACHINE(faults, requirements)                                      \
    "REVIEW Hoist 'a hoist'\n  SCAN T#100ms;\n  FAULTS\n" faults           \
    "  END_FAULTS\n  REQUIREMENTS\n" requirements                          \
    "  END_REQUIREMENTS\nEND_REVIEW\n"

static bool one_scan(struct by_hand *t)
{
    uint32_t which;

    return outing_run(&t->outing, NULL, &which) == OUTING_RAN;
}

/* c follows from a: a alone would be enough for it.  Comes and goes, and what
 * went still counts; b has to be there from the beginning. */
static void faults_of_several_causes(void **state)
{
    struct by_hand t;
    struct outing *o = &t.outing;

    (void)state;
    begin_with(&t, MACHINE("    a : IN MECHANISM, INTERMITTENT;\n"
                           "    b : IN MECHANISM, PRESENT FROM POWER_UP;\n"
                           "    c : IN MECHANISM, FOLLOWS FROM a;\n",
                           "    R1 : NEVER c DESPITE 1 OF a;\n"
                           "    R2 : NEVER c DESPITE 1 OF b;\n"
                           "    R3 : NEVER c DESPITE 1 FAULT;\n"));
    assert_true(outing_fault(o, 2));
    assert_true(one_scan(&t));
    assert_true(outing_breaks(o, 0, 0, true));
    assert_false(outing_breaks(o, 0, 1, true));
    assert_true(outing_breaks(o, 0, 2, true));
    assert_false(outing_fault(o, 1));
    for (int present = 1; present >= 0; present--) {
        assert_true(outing_fault(o, 0));
        assert_true(one_scan(&t));
        assert_int_equal(outing_fault_present(o, 2 - present, 0), present);
        assert_true(outing_breaks(o, 2 - present, 2, true));
    }
    end(&t);
}

static void walks_a_sequence(void **state)
{
    struct by_hand a, b;
    uint32_t which;

    (void)state;
    begin(&a);
    begin(&b);
    act(&a, "start place at Middle");
    act(&a, "hold go");
    act(&a, "wait");
    act(&a, "move place to High");
    act(&a, "wait 200ms");
    assert_false(outing_next(&b.outing));
    outing_load(&b.outing, &a.outing.replay);
    for (int i = 0; i < 3; i++)
        assert_true(outing_next(&b.outing));
    assert_false(outing_next(&b.outing));
    assert_memory_equal(a.outing.state, b.outing.state,
                        machine_words(a.outing.machine) * sizeof(int64_t));
    outing_back(&b.outing, 1);
    assert_int_equal(outing_run(&b.outing, NULL, &which), OUTING_RAN);
    assert_false(outing_next(&b.outing)); /* left */
    outing_back(&b.outing, 1);
    assert_true(outing_next(&b.outing));
    end(&a);
    end(&b);
}

static void lines_that_are_wrong(void **state)
{
    struct by_hand t;

    (void)state;
    begin(&t);
    says(&t, "hodl go", "'hodl' is not understood; did you mean 'hold'?");
    says(&t, "hold", "write: hold NAME");
    says(&t, "hold goo", "there is no control or free input 'goo'; did you "
                         "mean 'go'?");
    says(&t, "hold mode", "'mode' has more than two positions; write: turn "
                          "mode to VALUE");
    says(&t, "turn go to Auto", "'go' is held or released; write: hold go");
    says(&t, "turn mode to Atuo", "'Atuo' is not a value of 'mode': Off_, "
                                  "Hand, Auto");
    says(&t, "set load to x", "'x' is not a value of 'load'");
    says(&t, "set load to 99999999999999999999",
         "'99999999999999999999' is not a value of 'load'");
    says(&t, "wait 150ms", "a scan takes 100ms; write 100ms or 200ms");
    says(&t, "wait 3", "'3' is not a time; write one such as 300ms or 1.5s");
    says(&t, "move plaec to High", "there is no machine variable 'plaec'; "
                                   "did you mean 'place'?");
    says(&t, "fault F9", "there is no fault 'F9'; help lists the names");
    says(&t, "back 0", "write: back [N]");
    end(&t);
}

static void lines_as_in_a_scenario(void **state)
{
    struct by_hand t;
    struct spoken spoken;

    (void)state;
    begin(&t);
    assert_int_equal(speak(&t, "").kind, SPOKEN_NOTHING);
    assert_int_equal(speak(&t, "  // nothing").kind, SPOKEN_NOTHING);
    spoken = speak(&t, "WAIT T#1s500ms;");
    assert_int_equal(spoken.kind, SPOKEN_WAIT);
    assert_int_equal(spoken.value, 15);
    assert_int_equal(speak(&t, "wait 1.5s").value, 15);
    spoken = speak(&t, "TURN mode TO Auto;");
    assert_int_equal(spoken.kind, SPOKEN_TURN);
    assert_int_equal(spoken.value, 2);
    spoken = speak(&t, "SET Main.load := -5;");
    assert_int_equal(spoken.kind, SPOKEN_SET);
    assert_int_equal(spoken.value, -5);
    assert_int_equal(speak(&t, "POWER OFF;").value, 0);
    end(&t);
}

static void written_as_a_scenario(void **state)
{
    struct by_hand t;
    struct text text = {0};

    (void)state;
    begin(&t);
    act(&t, "start place at Middle");
    act(&t, "wait 200ms");
    act(&t, "hold go");
    act(&t, "set load to 7");
    act(&t, "wait");
    act(&t, "move place to High");
    act(&t, "wait 300ms");
    script_add(&text, &t.outing, "Saved");
    assert_string_equal(text_str(&text),
                        "  SCENARIO Saved 'run by hand'\n"
                        "    START place AT Middle;\n"
                        "    WAIT T#200ms;\n"
                        "    HOLD go;\n"
                        "    SET Main.load := 7;\n"
                        "    WAIT T#100ms;\n"
                        "    MOVE place TO High;\n"
                        "    WAIT T#100ms;\n"
                        "    EXPECT BROKEN R1;\n"
                        "    WAIT T#200ms;\n"
                        "    EXPECT run;\n"
                        "  END_SCENARIO\n");
    text_release(&text);
    end(&t);
}

/* What no text writes begins with what it was declared with: a single value,
 * one inside of a cell, and one that only a few bits tell apart. */
static void begins_with_what_was_declared(void **state)
{
    static const char text[] =
        "PROGRAM Main\n"
        "VAR_INPUT go : BOOL; END_VAR\n"
        "VAR allowed : BOOL := TRUE; most : INT := 700; flags : WORD := 6;\n"
        "  scale : REAL := 2.5; plain : INT; END_VAR\n"
        "VAR_OUTPUT run, other : BOOL; END_VAR\n"
        "  run := go AND allowed AND most > 500 AND scale > 2.0;\n"
        "  other := flags.1 AND NOT flags.0 AND plain < 1;\n"
        "END_PROGRAM\n";
    static const char nothing[] = "REVIEW Free 'invented'\n"
                                  "  SCAN T#100ms;\nEND_REVIEW\n";
    struct by_hand t;

    (void)state;
    checked_init(&t.text, text, nothing);
    assert_non_null(t.text.model);
    outing_open(&t.outing, t.text.arena, t.text.model);
    act(&t, "set Main.go to TRUE");
    act(&t, "wait");
    assert_int_equal(slot(&t, "Main.run"), 1);
    assert_int_equal(slot(&t, "Main.other"), 1);
    assert_int_equal(slot(&t, "Main.most"), 700);
    act(&t, "set Main.allowed to FALSE");
    act(&t, "wait");
    assert_int_equal(slot(&t, "Main.run"), 0);
    end(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forward_and_back),
        cmocka_unit_test(moves_when_it_may),
        cmocka_unit_test(values_in_cells),
        cmocka_unit_test(what_is_not_allowed_runs_nothing),
        cmocka_unit_test(breaks_under_its_faults_only),
        cmocka_unit_test(faults_of_several_causes),
        cmocka_unit_test(walks_a_sequence),
        cmocka_unit_test(lines_that_are_wrong),
        cmocka_unit_test(lines_as_in_a_scenario),
        cmocka_unit_test(written_as_a_scenario),
        cmocka_unit_test(begins_with_what_was_declared),
    };

    return cmocka_run_group_tests_name("outing", tests, NULL, NULL);
}
