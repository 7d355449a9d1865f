/* The order of docs/notes/step.md, section 6, one tie after the other. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "reference/naive.h"
#include "tests/support/made_model.h"

static const struct naive_result *find(struct hand *hand,
                                       const bool *counted, uint32_t limit)
{
    struct naive_setting setting = {
        .requirement = 0, .most_states = 100000,
        .step = {.fault_limit = limit, .counted = counted}};

    return naive_explore(hand->arena,
                         machine_new(hand->arena, &hand->model), &setting);
}

static const struct code_expr *pressed(struct hand *hand, uint32_t button,
                                       enum code_when when)
{
    return made_leaf(hand, CODE_HAND, button, when);
}

static const struct code_expr *both(struct hand *hand,
                                    const struct code_expr *a,
                                    const struct code_expr *b)
{
    return made_op(hand, CODE_AND, a, b);
}

static const struct code_expr *either(struct hand *hand,
                                      const struct code_expr *a,
                                      const struct code_expr *b)
{
    return made_op(hand, CODE_OR, a, b);
}

/* It counts the scans: 1 in the first. */
static uint32_t scan_count(struct hand *hand)
{
    uint32_t count = made_slot(hand, SLOT_PROGRAM, made_int(), 0);
    struct code_stmt *text = ARENA_NEW(hand->arena, struct code_stmt);
    struct code_stmt *set = ARENA_NEW(hand->arena, struct code_stmt);
    struct code_branch *branch = ARENA_NEW(hand->arena, struct code_branch);

    *set = made_assign(hand, count,
                       made_op(hand, CODE_ADD,
                               made_var(hand, count, CODE_NOW),
                               made_number(hand, 1)));
    *branch = (struct code_branch){
        .condition = made_op(hand, CODE_LT, made_var(hand, count, CODE_NOW),
                             made_number(hand, 5)),
        .body = set, .n_body = 1, .branch = CODE_NO_SITE};
    *text = (struct code_stmt){.kind = CODE_IF, .branches = branch,
                               .n_branches = 1};
    made_program(hand, text, 1);
    return count;
}

/* A held twice, or B once after nothing: both of length 2. */
static void fewest_operator_actions(void **state)
{
    struct hand *hand = made_begin();
    uint32_t count = scan_count(hand);
    const struct naive_result *result;

    (void)state;
    made_button(hand, false);
    made_button(hand, false);
    made_require(hand, FORM_NEVER, both(hand,
        made_op(hand, CODE_EQ, made_var(hand, count, CODE_NOW),
                made_number(hand, 2)),
        either(hand,
               both(hand, pressed(hand, 0, CODE_NOW),
                    pressed(hand, 0, CODE_PREVIOUS)),
               pressed(hand, 1, CODE_NOW))), NULL, NULL);
    result = find(hand, NULL, 0);
    assert_int_equal(result->breach_level, 2);
    assert_int_equal(result->sequence[0], 0);
    assert_int_equal(result->sequence[1], 0);
    assert_int_equal(result->sequence[2], 0);
    assert_int_equal(result->sequence[3], 1);
    made_end(hand);
}

/* Either button alone: the smaller row of choices has the first at rest. */
static void then_by_declaration_rest_first(void **state)
{
    struct hand *hand = made_begin();
    const struct naive_result *result;

    (void)state;
    made_button(hand, false);
    made_button(hand, false);
    made_require(hand, FORM_NEVER, either(hand, pressed(hand, 0, CODE_NOW),
                                          pressed(hand, 1, CODE_NOW)), NULL,
                 NULL);
    result = find(hand, NULL, 0);
    assert_int_equal(result->breach_level, 1);
    assert_int_equal(result->sequence[0], 0);
    assert_int_equal(result->sequence[1], 1);
    made_end(hand);
}

/* A selector that rests on its middle position. */
static void values_ascend_behind_rest(void **state)
{
    struct hand *hand = made_begin();
    const struct naive_result *result;

    (void)state;
    made_button(hand, false);
    hand->choices[0] = (struct choice){
        .kind = CHOICE_OPERATOR, .name = "selector", .count = 3,
        .values = (const int64_t[]){10, 20, 30}, .rest = 1};
    made_require(hand, FORM_NEVER,
                 made_op(hand, CODE_NE, pressed(hand, 0, CODE_NOW),
                         made_number(hand, 20)), NULL, NULL);
    result = find(hand, NULL, 0);
    assert_int_equal(result->sequence[0], 0);
    made_end(hand);
}

/* Pressed once, in scan 1 or 2: the smaller scan 1 has it at rest. */
static void earlier_scans_are_compared_first(void **state)
{
    struct hand *hand = made_begin();
    uint32_t count = scan_count(hand);
    const struct naive_result *result;

    (void)state;
    made_button(hand, false);
    made_require(hand, FORM_NEVER, both(hand,
        made_op(hand, CODE_EQ, made_var(hand, count, CODE_NOW),
                made_number(hand, 2)),
        either(hand, pressed(hand, 0, CODE_NOW),
               pressed(hand, 0, CODE_PREVIOUS))), NULL, NULL);
    result = find(hand, NULL, 0);
    assert_int_equal(result->breach_level, 2);
    assert_int_equal(result->sequence[0], 0);
    assert_int_equal(result->sequence[1], 1);
    made_end(hand);
}

/* A hand costs more than a fault, a fault more than a movement: whichever is
 * left of the three ways, the cheapest is taken.  Rows: fault, MAY, hand. */
static void hands_then_faults_then_movements(void **state)
{
    static const struct {
        bool fault, movement;
        uint32_t expected[3]; /* in scan 2 */
    } rows[] = {
        {true, true, {0, 1, 0}},
        {true, false, {1, 0, 0}},
        {false, false, {0, 0, 1}},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct hand *hand = made_begin();
        uint32_t fault = made_fault(hand, FAULT_IN_MECHANISM, AT_PROGRAM,
                                    0);
        uint32_t row = made_choice(hand, CHOICE_MACHINE, 2, MODEL_NONE);
        uint32_t gap = made_slot(hand, SLOT_MACHINE, made_bool(), 0);
        uint32_t count = scan_count(hand);
        struct code_stmt shut[] = {
            made_assign(hand, gap, made_number(hand, 1))};
        struct code_branch branch = {.body = shut, .n_body = 1,
                                     .branch = CODE_NO_SITE};
        struct code_stmt may[] = {{.kind = CODE_MAY, .choice = row,
                                   .branches = &branch, .n_branches = 1}};
        struct body mechanism = {.stmts = may, .n_stmts = 1};
        const struct code_expr *no = made_number(hand, 0);
        const struct naive_result *result;

        hand->model.mechanisms = &mechanism;
        hand->model.n_mechanisms = 1;
        made_button(hand, false);
        made_require(hand, FORM_NEVER, both(hand,
            made_op(hand, CODE_EQ, made_var(hand, count, CODE_NOW),
                    made_number(hand, 2)),
            either(hand, pressed(hand, 0, CODE_NOW),
                   either(hand,
                          rows[i].fault ? made_leaf(hand, CODE_FAULT, fault,
                                                    CODE_NOW) : no,
                          rows[i].movement
                              ? made_var(hand, gap, CODE_NOW) : no))),
            NULL, NULL);
        result = find(hand, NULL, 1);
        assert_int_equal(result->breach_level, 2);
        for (int k = 0; k < 3; k++) {
            assert_int_equal(result->sequence[k], 0);
            assert_int_equal(result->sequence[3 + k], rows[i].expected[k]);
        }
        made_end(hand);
    }
}

/* Hands 0 and 1 do not count.  They are tied to 2: with it pressed, one of
 * them must be; completed by the same rule.  Where all count, a breach by 3
 * alone is cheaper than one by 2. */
static void what_does_not_count_is_completed_afterwards(void **state)
{
    static const bool counted[] = {false, false, true, true};
    static const uint32_t all[] = {0, 0, 0, 1};
    struct hand *hand = made_begin();
    const struct naive_result *result;

    (void)state;
    for (int i = 0; i < 4; i++)
        made_button(hand, false);
    hand->assumptions[0].condition = either(hand,
        made_op(hand, CODE_NOT, pressed(hand, 2, CODE_NOW), NULL),
        either(hand, pressed(hand, 0, CODE_NOW),
               pressed(hand, 1, CODE_NOW)));
    hand->model.n_assumptions = 1;
    made_require(hand, FORM_NEVER, pressed(hand, 2, CODE_NOW), NULL, NULL);
    result = find(hand, counted, 0);
    assert_int_equal(result->sequence[0], 0);
    assert_int_equal(result->sequence[1], 1);
    assert_int_equal(result->sequence[2], 1);
    assert_int_equal(result->sequence[3], 0);
    hand->requirements[0].a = either(hand, pressed(hand, 2, CODE_NOW),
                                     pressed(hand, 3, CODE_NOW));
    result = find(hand, NULL, 0);
    for (int i = 0; i < 4; i++)
        assert_int_equal(result->sequence[i], all[i]);
    made_end(hand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fewest_operator_actions),
        cmocka_unit_test(then_by_declaration_rest_first),
        cmocka_unit_test(values_ascend_behind_rest),
        cmocka_unit_test(earlier_scans_are_compared_first),
        cmocka_unit_test(hands_then_faults_then_movements),
        cmocka_unit_test(what_does_not_count_is_completed_afterwards),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
