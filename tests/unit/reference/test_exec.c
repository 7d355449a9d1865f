#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/support/made_drive.h"

static const struct code_expr *local(struct hand *hand, uint32_t offset)
{
    struct code_expr *expr = ARENA_NEW(hand->arena, struct code_expr);

    *expr = (struct code_expr){.op = CODE_VARIABLE, .type = made_int(),
                               .variable = {CODE_LOCAL, offset},
                               .site = CODE_NO_SITE};
    return expr;
}

static struct code_variable at(enum code_base base, uint32_t index)
{
    return (struct code_variable){.base = base, .index = index};
}

static const struct code_expr *in_out(struct hand *hand, uint32_t index)
{
    struct code_expr *expr = ARENA_NEW(hand->arena, struct code_expr);

    *expr = (struct code_expr){.op = CODE_VARIABLE, .type = made_int(),
                               .variable = {CODE_IN_OUT, index},
                               .site = CODE_NO_SITE};
    return expr;
}

static const struct code_expr *plus(struct hand *hand,
                                    const struct code_expr *a,
                                    const struct code_expr *b)
{
    return made_op(hand, CODE_ADD, a, b);
}

static struct code_stmt assign(struct code_variable target,
                               const struct code_expr *value)
{
    return (struct code_stmt){.kind = CODE_ASSIGN, .target = target,
                              .target_type = made_int(), .value = value,
                              .site = CODE_NO_SITE};
}

static struct code_arg input(uint32_t parameter,
                             const struct code_expr *value)
{
    return (struct code_arg){.kind = ARG_INPUT, .parameter = parameter,
                             .value = value, .target_type = made_int(),
                             .site = CODE_NO_SITE};
}

static void slots(struct hand *hand, int n, enum slot_home home)
{
    for (int i = 0; i < n; i++)
        made_slot(hand, home, made_int(), 0);
}

/* A block with inputs a, b and output sum.  b is given the a of the call
 * before: all inputs are evaluated before any is stored. */
static void inputs_are_evaluated_before_any_is_stored(void **state)
{
    struct hand *hand = made_begin();
    struct code_stmt inner[1], body[1];
    struct code_pou block = {.kind = POU_BLOCK, .size = 3, .body = inner,
                             .n_body = 1};
    struct code_arg args[3];
    struct drive drive;

    (void)state;
    slots(hand, 4, SLOT_PROGRAM); /* instance 0..2, out 3 */
    inner[0] = assign(at(CODE_LOCAL, 2),
                      plus(hand, plus(hand, local(hand, 0), local(hand, 0)),
                           local(hand, 1)));
    args[0] = input(0, made_number(hand, 10));
    args[1] = input(1, local(hand, 0));
    args[2] = (struct code_arg){.kind = ARG_OUTPUT, .parameter = 2,
                                .target = at(CODE_LOCAL, 3),
                                .target_type = made_int(),
                                .site = CODE_NO_SITE};
    body[0] = (struct code_stmt){.kind = CODE_INVOKE, .pou = &block,
                                 .args = args, .n_args = 3};
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 3), 20);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 3), 30);
    made_end(hand);
}

/* Only inputs are on their way while a call is made: a call with outputs and
 * no input, in a text without any other. */
static void outputs_need_no_room(void **state)
{
    struct hand *hand = made_begin();
    struct code_pou block = {.kind = POU_BLOCK, .size = 1};
    struct code_arg arg = {.kind = ARG_OUTPUT, .target = at(CODE_LOCAL, 1),
                           .target_type = made_int(), .site = CODE_NO_SITE};
    struct code_stmt body[1] = {{.kind = CODE_INVOKE, .pou = &block,
                                 .args = &arg, .n_args = 1}};
    struct drive drive;

    (void)state;
    made_slot(hand, SLOT_PROGRAM, made_int(), 7);
    made_slot(hand, SLOT_PROGRAM, made_int(), 0);
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 1), 7);
    made_end(hand);
}

/* outer(x) calls inner(x), which adds 1 to its VAR_IN_OUT twice through two
 * names of the one variable. */
static void in_outs_are_aliases_through_two_calls(void **state)
{
    struct hand *hand = made_begin();
    struct code_stmt inner_body[2], outer_body[1], body[1];
    struct code_pou inner = {.kind = POU_BLOCK, .n_in_out = 2, .size = 1,
                             .body = inner_body, .n_body = 2};
    struct code_pou outer = {.kind = POU_BLOCK, .n_in_out = 1, .size = 2,
                             .body = outer_body, .n_body = 1};
    struct code_arg to_inner[2] = {
        {.kind = ARG_IN_OUT, .parameter = 0, .target = at(CODE_IN_OUT, 0)},
        {.kind = ARG_IN_OUT, .parameter = 1, .target = at(CODE_IN_OUT, 0)}};
    struct code_arg to_outer[1] = {
        {.kind = ARG_IN_OUT, .parameter = 0, .target = at(CODE_LOCAL, 2)}};
    struct drive drive;

    (void)state;
    slots(hand, 3, SLOT_PROGRAM); /* outer 0..1 with inner at 1; x 2 */
    inner_body[0] = assign(at(CODE_IN_OUT, 0),
                           plus(hand, in_out(hand, 0),
                                made_number(hand, 1)));
    inner_body[1] = assign(at(CODE_IN_OUT, 1),
                           plus(hand, in_out(hand, 0), in_out(hand, 1)));
    outer_body[0] = (struct code_stmt){.kind = CODE_INVOKE, .pou = &inner,
                                       .instance.index = 1, .args = to_inner,
                                       .n_args = 2};
    body[0] = (struct code_stmt){.kind = CODE_INVOKE, .pou = &outer,
                                 .args = to_outer, .n_args = 1};
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 2), 2);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 2), 6);
    made_end(hand);
}

/* f(n) := n + k, k a variable of the function with initial 5, raised at the
 * end: it begins anew at every call.  f(f(1)) = 11. */
static void a_function_has_no_memory(void **state)
{
    struct hand *hand = made_begin();
    struct code_stmt inner[2], body[1];
    const struct code_frame_var vars[] = {
        {.type = made_int(), .offset = 0}, {.type = made_int(), .offset = 1},
        {.type = made_int(), .offset = 2, .initial = 5}};
    struct code_pou function = {.kind = POU_FUNCTION, .vars = vars,
                                .n_vars = 3, .size = 3, .result = 1,
                                .frame = 1, .body = inner, .n_body = 2};
    struct code_expr calls[2];
    struct code_arg args[2];
    struct drive drive;

    (void)state;
    slots(hand, 1, SLOT_PROGRAM);
    slots(hand, 3, SLOT_FUNCTION);
    for (uint32_t i = 1; i < 4; i++)
        hand->slots[i].temp = true;
    hand->slots[3].initial = 5;
    inner[0] = assign(at(CODE_LOCAL, 1),
                      plus(hand, local(hand, 0), local(hand, 2)));
    inner[1] = assign(at(CODE_LOCAL, 2),
                      made_number(hand, 100));
    args[0] = input(0, made_number(hand, 1));
    args[1] = input(0, &calls[0]);
    for (int i = 0; i < 2; i++)
        calls[i] = (struct code_expr){.op = CODE_CALL, .type = made_int(),
                                      .pou = &function, .args = &args[i],
                                      .n_args = 1, .site = CODE_NO_SITE};
    body[0] = assign(at(CODE_LOCAL, 0), &calls[1]);
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 0), 11);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 1), 0);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 0), 11);
    made_end(hand);
}

/* VAR_TEMP counts from its initial value in every scan. */
static void temps_begin_anew_at_each_call(void **state)
{
    struct hand *hand = made_begin();
    struct code_stmt body[2];
    struct code_frame_var vars[] = {
        {.type = made_int(), .offset = 0, .initial = 7, .temp = true},
        {.type = made_int(), .offset = 1}};
    struct code_pou pou = {.kind = POU_PROGRAM, .vars = vars, .n_vars = 2,
                           .size = 2, .body = body, .n_body = 2};
    struct drive drive;

    (void)state;
    slots(hand, 2, SLOT_PROGRAM);
    hand->slots[0].temp = true;
    hand->slots[0].initial = 7;
    body[0] = assign(at(CODE_LOCAL, 0),
                     plus(hand, local(hand, 0), made_number(hand, 1)));
    body[1] = assign(at(CODE_LOCAL, 1), local(hand, 0));
    hand->program = (struct program){.pou = &pou};
    hand->model.n_programs = 1;
    drive = drive_begin(hand);
    for (int scan = 0; scan < 3; scan++) {
        drive_scan(&drive);
        assert_int_equal(drive_value(&drive, PLACE_SLOT, 1), 8);
    }
    made_end(hand);
}

/* Labels 1; 2..4; 3 (never); ELSE. */
static void the_first_label_that_fits_is_taken(void **state)
{
    static const int64_t expected[] = {0, 1, 2, 2, 2, 0, 0};
    const struct code_label one = {1, 1}, more = {2, 4}, late = {3, 3};
    bool branch_taken[4] = {false};

    (void)state;
    for (int64_t selector = 0; selector < 7; selector++) {
        struct hand *hand = made_begin();
        struct code_stmt set[4], body[1];
        struct code_branch branches[4] = {
            {.labels = &one, .n_labels = 1}, {.labels = &more, .n_labels = 1},
            {.labels = &late, .n_labels = 1}, {.n_labels = 0}};
        struct branch_site sites[4] = {{0}};
        struct drive drive;

        slots(hand, 1, SLOT_PROGRAM);
        hand->model.branches = sites;
        hand->model.n_branches = 4;
        for (uint32_t i = 0; i < 4; i++) {
            set[i] = assign(at(CODE_LOCAL, 0),
                            made_number(hand, i == 3 ? 0 : i + 1));
            branches[i].body = &set[i];
            branches[i].n_body = 1;
            branches[i].branch = i;
        }
        body[0] = (struct code_stmt){.kind = CODE_CASE,
                                     .value = made_number(hand, selector),
                                     .branches = branches, .n_branches = 4};
        made_program(hand, body, 1);
        drive = drive_begin(hand);
        drive_scan(&drive);
        assert_int_equal(drive_value(&drive, PLACE_SLOT, 0),
                         expected[selector]);
        for (int i = 0; i < 4; i++)
            branch_taken[i] |= drive.last->branch[i];
        made_end(hand);
    }
    assert_true(branch_taken[0] && branch_taken[1] && branch_taken[3]);
    assert_false(branch_taken[2]);
}

/* A value outside the subrange of its target ends the path. */
static void a_subrange_is_checked_where_it_is_stored(void **state)
{
    static const struct type narrow = {.kind = TYPE_INTEGER, .size = 1, .low = 5,
                                       .high = 9};
    struct hand *hand = made_begin();
    struct error_site sites[1] = {{.kind = ERROR_SUBRANGE}};
    struct code_stmt body[1];
    struct drive drive;

    (void)state;
    made_slot(hand, SLOT_PROGRAM, &narrow, 5);
    hand->model.errors = sites;
    hand->model.n_errors = 1;
    body[0] = (struct code_stmt){.kind = CODE_ASSIGN,
                                 .target = at(CODE_GLOBAL, 0),
                                 .target_type = &narrow, .site = 0,
                                 .value = made_number(hand, 9)};
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_JUDGED);
    body[0].value = made_number(hand, 10);
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_ERROR);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, 0), 9);
    made_end(hand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(inputs_are_evaluated_before_any_is_stored),
        cmocka_unit_test(outputs_need_no_room),
        cmocka_unit_test(in_outs_are_aliases_through_two_calls),
        cmocka_unit_test(a_function_has_no_memory),
        cmocka_unit_test(temps_begin_anew_at_each_call),
        cmocka_unit_test(the_first_label_that_fits_is_taken),
        cmocka_unit_test(a_subrange_is_checked_where_it_is_stored),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
