/* Every form of a requirement with its ties: docs/notes/step.md, 5. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "tests/support/made_drive.h"

/* One character per judging, 100 ms apart; t in scans.  NULL: FALSE. */
struct row {
    const char *title;
    enum form form;
    int64_t t;
    const char *a, *b, *c, *breach;
};

static const struct row rows[] = {
    {"never", FORM_NEVER, 0, "01010", NULL, NULL, "01010"},
    {"always", FORM_ALWAYS, 0, "01010", NULL, NULL, "10101"},
    {"only if: the same judging", FORM_ONLY_IF, 0, "01100", "01010", NULL,
     "00100"},
    {"after, no until: both ends included", FORM_AFTER_NO_UNTIL, 0,
     "0100000", "0110110", "0000100", "0110100"},
    {"after, no until: b with a itself", FORM_AFTER_NO_UNTIL, 0, "010",
     "010", "000", "010"},
    {"after, no until: where a and c meet, a counts", FORM_AFTER_NO_UNTIL, 0,
     "01000", "00010", "01000", "00010"},
    {"after, no until: c before any a does nothing", FORM_AFTER_NO_UNTIL, 0,
     "000", "111", "100", "000"},
    {"within: breach when the age has reached t", FORM_WHEN_THEN_WITHIN, 2,
     "010000", "000000", NULL, "000111"},
    {"within: b at the judging of the limit is in time",
     FORM_WHEN_THEN_WITHIN, 2, "010000", "000100", NULL, "000000"},
    {"within: b at the judging of a fulfils", FORM_WHEN_THEN_WITHIN, 1,
     "01000", "01000", NULL, "00000"},
    {"within: the oldest open one decides", FORM_WHEN_THEN_WITHIN, 3,
     "011000", "000000", NULL, "000011"},
    {"within: unless c ends", FORM_WHEN_THEN_WITHIN, 2, "010000", "000000",
     "000100", "000000"},
    {"within: a again after b begins anew", FORM_WHEN_THEN_WITHIN, 2,
     "010100", "001000", NULL, "000001"},
    {"within 0: at once", FORM_WHEN_THEN_WITHIN, 0, "010", "000", NULL,
     "011"},
    {"no longer: a value lasts until the next judging", FORM_NO_LONGER, 2,
     "0110111", NULL, NULL, "0000001"},
    {"no longer: from the first judging on", FORM_NO_LONGER, 1, "110", NULL,
     NULL, "010"},
    {"at least: at the fall, too short", FORM_AT_LEAST, 2, "010110", NULL,
     NULL, "001000"},
    {"at least: long enough", FORM_AT_LEAST, 2, "0111100", NULL, NULL,
     "0000000"},
    {"at least: two short ones", FORM_AT_LEAST, 3, "101100", NULL, NULL,
     "010010"},
};

static const struct code_expr *made_of(struct hand *hand, uint32_t button,
                                       const char *signal)
{
    return signal ? made_leaf(hand, CODE_HAND, button, CODE_NOW) : NULL;
}

static void play(const struct row *row)
{
    struct hand *hand = made_begin();
    const char *signals[] = {row->a, row->b, row->c};
    struct drive drive;

    for (uint32_t i = 0; i < 3; i++)
        made_button(hand, false);
    made_require(hand, row->form, made_of(hand, 0, row->a),
                 made_of(hand, 1, row->b), made_of(hand, 2, row->c));
    hand->requirements[0].limit.judged = row->t * 100;
    drive = drive_begin(hand);
    for (size_t scan = 0; row->a[scan]; scan++) {
        for (int i = 0; i < 3; i++)
            drive.choices[i] = signals[i] && signals[i][scan] == '1';
        drive_scan(&drive);
        if (drive.last->breach[0] != (row->breach[scan] == '1'))
            fail_msg("%s: judging %zu", row->title, scan + 1);
    }
    made_end(hand);
}

static void forms_of_one_to_three_signals(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        play(&rows[i]);
}

/* A TRUE FOR 2 scans: the value, as the clock of a requirement. */
static void true_for(void **state)
{
    static const char held[] = "011101111";
    static const char value[] = "000100011";
    struct hand *hand = made_begin();
    struct drive drive;

    (void)state;
    made_button(hand, false);
    hand->clocks[0] = (struct clock){
        .held = made_leaf(hand, CODE_HAND, 0, CODE_NOW),
        .limit = {.judged = 200}};
    hand->model.n_clocks = 1;
    made_require(hand, FORM_NEVER,
                 made_leaf(hand, CODE_TRUE_FOR, 0, CODE_NOW), NULL, NULL);
    drive = drive_begin(hand);
    for (size_t scan = 0; held[scan]; scan++) {
        drive.choices[0] = held[scan] == '1';
        drive_scan(&drive);
        assert_int_equal(drive.last->breach[0], value[scan] == '1');
    }
    assert_int_equal(drive_value(&drive, PLACE_CLOCK_AGE, 0), 200);
    made_end(hand);
}

/* x moves from a scan in which c was not so at the judging before.  Rows: 0
 * the MAY that turns x, 1 the hand c. */
static void moves_only_while(void **state)
{
    static const char turn[] = "0101100";
    static const char c[] = "0010110";
    static const char breach[] = "0100100"; /* c was FALSE at 1 and 4 */
    struct hand *hand = made_begin();
    uint32_t row = made_choice(hand, CHOICE_MACHINE, 2, MODEL_NONE);
    uint32_t x = made_slot(hand, SLOT_MACHINE, made_bool(), 0);
    struct code_stmt turned[] = {made_assign(hand, x, made_op(
        hand, CODE_NOT, made_var(hand, x, CODE_NOW), NULL))};
    struct code_branch branch = {.body = turned, .n_body = 1,
                                 .branch = CODE_NO_SITE};
    struct code_stmt may[] = {{.kind = CODE_MAY, .choice = row,
                               .branches = &branch, .n_branches = 1}};
    struct body mechanism = {.stmts = may, .n_stmts = 1};
    struct trigger trigger = {0};
    struct drive drive;

    (void)state;
    hand->model.mechanisms = &mechanism;
    hand->model.n_mechanisms = 1;
    made_button(hand, false);
    made_require(hand, FORM_MOVES_ONLY_WHILE, made_var(hand, x, CODE_NOW),
                 NULL, made_leaf(hand, CODE_HAND, 0, CODE_NOW));
    hand->requirements[0].a_previous = made_var(hand, x, CODE_PREVIOUS);
    hand->requirements[0].triggers = &trigger;
    hand->requirements[0].n_triggers = 1;
    drive = drive_begin(hand);
    for (size_t scan = 0; turn[scan]; scan++) {
        bool turns = turn[scan] == '1' && scan > 0;

        drive.choices[row] = turn[scan] - '0';
        drive.choices[row + 1] = c[scan] - '0';
        drive_scan(&drive);
        assert_int_equal(drive.last->breach[0], breach[scan] == '1');
        assert_int_equal(drive.last->trigger[0][0], turns);
    }
    made_end(hand);
}

/* y (a), start e, cancel k, cycle z; per judging; D in the last row: dark.
 * Rows: 0 power, 1..4 the hands. */
struct alone {
    const char *title, *y, *e, *k, *z, *dark, *breach;
};

static const struct alone alones[] = {
    {"not started", "0100", "0000", "0000", "0000", "0000", "0100"},
    {"started at the same judging", "0100", "0100", "0000", "0000", "0000",
     "0000"},
    {"started long before", "00010", "01000", "00000", "00000", "00000",
     "00000"},
    {"a held start is no rise", "000001", "011111", "000010", "000000",
     "000000", "000001"},
    {"a fall disarms", "01010", "01000", "00000", "00000", "00000", "00010"},
    {"in cycle z a fall does not disarm", "01010", "01000", "00000",
     "00100", "00000", "00000"},
    {"cancelling wins over starting at one judging", "0010", "0100", "0100",
     "0000", "0000", "0010"},
    {"a start after the cancelling arms", "00010", "01010", "00100",
     "00000", "00000", "00000"},
    {"power off disarms", "00001", "01000", "00000", "00000", "00100",
     "00001"},
    {"on at the first judging: it was off before", "10", "00", "00", "00",
     "00", "10"},
};

static const struct code_expr *rising(struct hand *hand, uint32_t button)
{
    return made_op(hand, CODE_AND,
                   made_leaf(hand, CODE_HAND, button, CODE_NOW),
                   made_op(hand, CODE_NOT,
                           made_leaf(hand, CODE_HAND, button,
                                     CODE_PREVIOUS), NULL));
}

/* y is a recorder variable that follows hand 0, so that it was off before
 * the first scan. */
static void play_alone(const struct alone *row)
{
    struct hand *hand = made_begin();
    uint32_t y = made_slot(hand, SLOT_RECORDER, made_bool(), 0);
    const struct code_expr *started[1], *cancelled[1];
    struct code_stmt text[1];
    struct body recorder = {.stmts = text, .n_stmts = 1};
    const char *hands[] = {row->y, row->e, row->k, row->z};
    struct requirement *asked = &hand->requirements[0];
    struct drive drive;

    made_choice(hand, CHOICE_POWER, 2, 0);
    for (int i = 0; i < 4; i++)
        made_button(hand, false);
    text[0] = made_assign(hand, y, made_leaf(hand, CODE_HAND, 0, CODE_NOW));
    hand->model.recorders = &recorder;
    hand->model.n_recorders = 1;
    started[0] = rising(hand, 1);
    cancelled[0] = made_leaf(hand, CODE_HAND, 2, CODE_NOW);
    made_require(hand, FORM_BY_ITSELF, made_var(hand, y, CODE_NOW),
                 made_leaf(hand, CODE_HAND, 3, CODE_NOW), NULL);
    asked->a_previous = made_var(hand, y, CODE_PREVIOUS);
    asked->started_by = started;
    asked->cancelled_by = cancelled;
    asked->n_started_by = asked->n_cancelled_by = 1;
    drive = drive_begin(hand);
    for (size_t scan = 0; row->y[scan]; scan++) {
        drive.choices[0] = row->dark[scan] == '1';
        for (int i = 0; i < 4; i++)
            drive.choices[1 + i] = hands[i][scan] == '1';
        drive_scan(&drive);
        if (drive.last->breach[0] != (row->breach[scan] == '1'))
            fail_msg("%s: judging %zu", row->title, scan + 1);
    }
    made_end(hand);
}

static void never_by_itself(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof alones / sizeof *alones; i++)
        play_alone(&alones[i]);
}

static void possible_is_found(void **state)
{
    struct hand *hand = made_begin();
    struct drive drive;

    (void)state;
    made_button(hand, false);
    made_require(hand, FORM_POSSIBLE, NULL, NULL,
                 made_leaf(hand, CODE_HAND, 0, CODE_NOW));
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_false(drive.last->breach[0]);
    drive.choices[0] = 1;
    drive_scan(&drive);
    assert_true(drive.last->breach[0]);
    made_end(hand);
}

/* Along WHILE only: what is looked for, and where it is asked. */
static void possible_again_is_asked(void **state)
{
    static const struct trigger asked = {.words = "asked"};
    struct hand *hand = made_begin();
    struct drive drive;
    uint32_t r;

    (void)state;
    made_button(hand, false);
    made_button(hand, false);
    r = made_require(hand, FORM_POSSIBLE_AGAIN, NULL,
                     made_leaf(hand, CODE_HAND, 1, CODE_NOW),
                     made_leaf(hand, CODE_HAND, 0, CODE_NOW));
    hand->requirements[r].triggers = &asked;
    hand->requirements[r].n_triggers = 1;
    drive = drive_begin(hand);
    for (uint32_t i = 0; i < 4; i++) {
        drive.choices[0] = i & 1;
        drive.choices[1] = i >> 1;
        drive_scan(&drive);
        assert_int_equal(drive.last->breach[0], i == 3);
        assert_int_equal(drive.last->trigger[0][0], i == 2);
    }
    made_end(hand);
}

/* Requirement clocks run in the dark: a valve that power takes away falls
 * too early. */
static void a_fall_in_the_dark_is_a_fall(void **state)
{
    struct hand *hand = made_begin();
    uint32_t on, valve;
    struct drive drive;

    (void)state;
    made_choice(hand, CHOICE_POWER, 2, 0);
    on = made_slot(hand, SLOT_PROGRAM, made_bool(), 1);
    valve = made_actuator(hand, on);
    made_require(hand, FORM_AT_LEAST, made_var(hand, valve, CODE_NOW), NULL,
                 NULL);
    hand->requirements[0].limit.judged = 300;
    drive = drive_begin(hand);
    drive_scan(&drive);
    drive_scan(&drive);
    assert_false(drive.last->breach[0]);
    drive.choices[0] = 1;
    drive_scan(&drive);
    assert_true(drive.last->breach[0]);
    made_end(hand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forms_of_one_to_three_signals),
        cmocka_unit_test(true_for),
        cmocka_unit_test(moves_only_while),
        cmocka_unit_test(never_by_itself),
        cmocka_unit_test(possible_is_found),
        cmocka_unit_test(possible_again_is_asked),
        cmocka_unit_test(a_fall_in_the_dark_is_a_fall),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
