#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "reference/naive.h"
#include "reference/replay.h"
#include "tests/support/made_model.h"

static struct naive_setting ask(uint32_t requirement)
{
    return (struct naive_setting){.requirement = requirement,
                                  .most_states = 100000};
}

static const struct naive_result *explore(struct hand *hand,
                                          const struct naive_setting *s)
{
    return naive_explore(hand->arena, machine_new(hand->arena, &hand->model),
                         s);
}

static const struct replay *replay_of(struct hand *hand,
                                      const struct step_setting *setting,
                                      struct replay_asked asked)
{
    return replay_run(hand->arena, machine_new(hand->arena, &hand->model),
                      setting, &asked);
}

/* A counter that a hand lets go up, and stops at 3.  By hand: after scan 1
 * it is 0 or 1, so levels 2, 1, 1, and it is 3 first at judging 3. */
static struct hand *counter(struct naive_place *place)
{
    struct hand *hand = made_begin();
    uint32_t count = made_slot(hand, SLOT_PROGRAM, made_int(), 0);
    uint32_t go = made_input(hand, made_button(hand, false));
    struct code_stmt *inner = ARENA_NEW(hand->arena, struct code_stmt);
    struct code_branch *branch = ARENA_NEW(hand->arena, struct code_branch);
    struct code_stmt *body = ARENA_NEW(hand->arena, struct code_stmt);

    *inner = made_assign(hand, count,
                         made_op(hand, CODE_ADD,
                                 made_var(hand, count, CODE_NOW),
                                 made_number(hand, 1)));
    *branch = (struct code_branch){
        .condition = made_op(hand, CODE_AND, made_var(hand, go, CODE_NOW),
                             made_op(hand, CODE_LT,
                                     made_var(hand, count, CODE_NOW),
                                     made_number(hand, 3))),
        .body = inner, .n_body = 1, .branch = CODE_NO_SITE};
    *body = (struct code_stmt){.kind = CODE_IF, .branches = branch,
                               .n_branches = 1};
    made_program(hand, body, 1);
    made_require(hand, FORM_NEVER,
                 made_op(hand, CODE_EQ, made_var(hand, count, CODE_NOW),
                         made_number(hand, 3)), NULL, NULL);
    *place = (struct naive_place){{PLACE_SLOT, count}, INT64_MAX};
    return hand;
}

static void counts_by_hand(void **state)
{
    struct naive_place place;
    struct hand *hand = counter(&place);
    struct naive_setting setting = ask(0);
    const struct naive_result *result;

    (void)state;
    setting.places = &place;
    setting.n_places = 1;
    result = explore(hand, &setting);
    assert_true(result->complete);
    assert_int_equal(result->situations, 4);
    assert_int_equal(result->n_levels, 3);
    assert_int_equal(result->levels[0], 2);
    assert_int_equal(result->levels[1], 1);
    assert_int_equal(result->levels[2], 1);
    assert_int_equal(result->breach_level, 3);
    for (int i = 0; i < 3; i++)
        assert_int_equal(result->sequence[i], 1);
    assert_false(result->dead_end);
    assert_int_equal(result->error_level, 0);
    made_end(hand);
}

static void the_sequence_replays(void **state)
{
    struct naive_place place;
    struct hand *hand = counter(&place);
    struct naive_setting setting = ask(0);
    const struct naive_result *result = explore(hand, &setting);
    const struct replay *replay;

    (void)state;
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){result->sequence, 3,
                                             REPLAY_BREACH, 0});
    assert_true(replay->accepted);
    assert_int_equal(replay->n_scans, 3);
    assert_true(replay->scans[0].read[0]);
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){result->sequence, 2,
                                             REPLAY_BREACH, 0});
    assert_false(replay->accepted);
    assert_string_equal(replay->why_not,
                        "the requirement does not break in the last scan");
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){result->sequence, 2,
                                             REPLAY_ALLOWED, 0});
    assert_true(replay->accepted);
    made_end(hand);
}

static void gives_up_beyond_its_limit(void **state)
{
    struct naive_place place;
    struct hand *hand = counter(&place);
    struct naive_setting setting = ask(0);

    (void)state;
    setting.most_states = 2;
    assert_false(explore(hand, &setting)->complete);
    made_end(hand);
}

/* A counter that nobody stops. */
static void the_first_error_is_found(void **state)
{
    struct hand *hand = made_begin();
    uint32_t count = made_slot(hand, SLOT_PROGRAM, made_int(), 32765);
    struct code_stmt body[] = {made_assign(
        hand, count, made_op(hand, CODE_ADD, made_var(hand, count, CODE_NOW),
                             made_number(hand, 1)))};
    struct naive_setting setting = ask(MODEL_NONE);
    const struct naive_result *result;
    const uint32_t none[1] = {0};
    const struct replay *replay;

    (void)state;
    made_program(hand, body, 1);
    result = explore(hand, &setting);
    assert_true(result->complete);
    assert_int_equal(result->error_level, 3);
    assert_int_equal(result->error_site, 0);
    assert_int_equal(result->breach_level, 0);
    assert_null(result->sequence);
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){none, 3, REPLAY_ERROR, 0});
    assert_true(replay->accepted);
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){none, 2, REPLAY_ERROR, 0});
    assert_false(replay->accepted);
    made_end(hand);
}

/* A gap that a MAY shuts; an assumption that the hand is on the button
 * while the gap is shut, and another that it never is. */
static void a_dead_end_is_found_and_replayed(void **state)
{
    struct hand *hand = made_begin();
    uint32_t row = made_choice(hand, CHOICE_MACHINE, 2, MODEL_NONE);
    uint32_t gap = made_slot(hand, SLOT_MACHINE, made_bool(), 0);
    uint32_t button = made_button(hand, false);
    const struct code_expr *pressed =
        made_leaf(hand, CODE_HAND, button, CODE_NOW);
    struct code_stmt shut[] = {made_assign(hand, gap, made_number(hand, 1))};
    struct code_branch branch = {.body = shut, .n_body = 1,
                                 .branch = CODE_NO_SITE};
    struct code_stmt may[] = {{.kind = CODE_MAY, .choice = row,
                               .branches = &branch, .n_branches = 1}};
    struct body mechanism = {.stmts = may, .n_stmts = 1};
    struct naive_setting setting = ask(MODEL_NONE);
    uint32_t rows[4] = {0, 0, 1, 0};
    const struct naive_result *result;
    const struct replay *replay;

    (void)state;
    hand->model.mechanisms = &mechanism;
    hand->model.n_mechanisms = 1;
    hand->assumptions[0].condition = made_op(
        hand, CODE_OR,
        made_op(hand, CODE_NOT, made_var(hand, gap, CODE_NOW), NULL),
        pressed);
    hand->assumptions[1].condition =
        made_op(hand, CODE_NOT, pressed, NULL);
    hand->model.n_assumptions = 1;
    result = explore(hand, &setting);
    assert_false(result->dead_end);
    hand->model.n_assumptions = 2;
    result = explore(hand, &setting);
    assert_true(result->dead_end);
    assert_int_equal(result->dead_end_level, 1);
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){rows, 1, REPLAY_DEAD_END, 0});
    assert_true(replay->accepted);
    rows[2] = 0; /* the gap stays open: there is a way on */
    replay = replay_of(hand, &setting.step,
                       (struct replay_asked){rows, 1, REPLAY_DEAD_END, 0});
    assert_false(replay->accepted);
    made_end(hand);
}

static void a_dead_end_at_the_start(void **state)
{
    struct hand *hand = made_begin();
    struct naive_setting setting = ask(MODEL_NONE);
    const struct naive_result *result;

    (void)state;
    hand->assumptions[0].condition = made_number(hand, 0);
    hand->model.n_assumptions = 1;
    result = explore(hand, &setting);
    assert_true(result->dead_end);
    assert_int_equal(result->dead_end_level, 0);
    assert_int_equal(result->situations, 0);
    assert_true(replay_of(hand, &setting.step,
                          (struct replay_asked){(const uint32_t[]){0}, 0,
                                                REPLAY_DEAD_END, 0})
                    ->accepted);
    made_end(hand);
}

static void starts_at_every_value(void **state)
{
    struct hand *hand = made_begin();
    uint32_t row = made_choice(hand, CHOICE_START, 3, 0);
    uint32_t gap = made_slot(hand, SLOT_MACHINE, made_int(), 0);
    struct naive_place place = {{PLACE_SLOT, gap}, INT64_MAX};
    struct naive_setting setting = ask(0);
    const struct naive_result *result;

    (void)state;
    hand->slots[gap].start = row;
    made_require(hand, FORM_NEVER,
                 made_op(hand, CODE_EQ, made_var(hand, gap, CODE_NOW),
                         made_number(hand, 2)), NULL, NULL);
    setting.places = &place;
    setting.n_places = 1;
    result = explore(hand, &setting);
    assert_int_equal(result->situations, 3);
    assert_int_equal(result->levels[0], 3);
    assert_int_equal(result->breach_level, 1);
    assert_int_equal(result->sequence[row], 2);
    made_end(hand);
}

static void bad_sequences_are_refused(void **state)
{
    struct naive_place place;
    struct hand *hand = counter(&place);
    struct step_setting setting = {0};
    uint32_t rows[] = {1, 1, 1, 1};
    const struct replay *replay;

    (void)state;
    replay = replay_of(hand, &setting,
                       (struct replay_asked){rows, 4, REPLAY_BREACH, 0});
    assert_string_equal(replay->why_not,
                        "the requirement breaks already in scan 3");
    replay = replay_of(hand, &setting,
                       (struct replay_asked){rows, 3, REPLAY_BREACH, 7});
    assert_string_equal(replay->why_not, "what is claimed does not exist");
    rows[1] = 2;
    replay = replay_of(hand, &setting,
                       (struct replay_asked){rows, 3, REPLAY_BREACH, 0});
    assert_string_equal(
        replay->why_not,
        "scan 2 gives \"choice\" a value that it does not have");
    replay = replay_of(hand, &setting,
                       (struct replay_asked){rows, 0, REPLAY_BREACH, 0});
    assert_false(replay->accepted);
    made_end(hand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_by_hand),
        cmocka_unit_test(the_sequence_replays),
        cmocka_unit_test(gives_up_beyond_its_limit),
        cmocka_unit_test(the_first_error_is_found),
        cmocka_unit_test(a_dead_end_is_found_and_replayed),
        cmocka_unit_test(a_dead_end_at_the_start),
        cmocka_unit_test(starts_at_every_value),
        cmocka_unit_test(bad_sequences_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
