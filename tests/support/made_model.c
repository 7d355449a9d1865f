#include "tests/support/made_model.h"

#include "base/ensure.h"

const struct type *made_bool(void)
{
    static const struct type type = {.kind = TYPE_BOOL, .high = 1, .size = 1};

    return &type;
}

const struct type *made_int(void)
{
    static const struct type type = {
        .kind = TYPE_INTEGER, .low = -32768, .high = 32767, .size = 1};

    return &type;
}

const struct type *made_time(void)
{
    static const struct type type = {.kind = TYPE_TIME, .size = 1,
                                     .low = -(INT64_C(1) << 53),
                                     .high = INT64_C(1) << 53};

    return &type;
}

static void point(struct hand *hand)
{
    struct model *model = &hand->model;

    model->slots = hand->slots;
    model->choices = hand->choices;
    model->controls = hand->controls;
    model->contacts = hand->contacts;
    model->sensors = hand->sensors;
    model->actuators = hand->actuators;
    model->programs = &hand->program;
    model->movements = hand->movements;
    model->faults = hand->faults;
    model->effects = hand->effects;
    model->causes = hand->causes;
    model->assumptions = hand->assumptions;
    model->clocks = hand->clocks;
    model->requirements = hand->requirements;
    model->errors = hand->errors;
}

struct hand *made_begin(void)
{
    struct arena *arena = arena_new();
    struct hand *hand = ARENA_NEW(arena, struct hand);

    hand->arena = arena;
    hand->model.scan = 100;
    point(hand);
    return hand;
}

void made_end(struct hand *hand)
{
    arena_free(hand->arena);
}

static uint32_t next(uint32_t *n)
{
    ENSURE(*n < MADE_MOST);
    return (*n)++;
}

uint32_t made_slot(struct hand *hand, enum slot_home home,
                   const struct type *type, int64_t initial)
{
    uint32_t slot = next(&hand->model.n_slots);

    hand->slots[slot] = (struct slot){
        .path = "slot", .type = type, .home = home, .initial = initial,
        .start = MODEL_NONE};
    return slot;
}

uint32_t made_choice(struct hand *hand, enum choice_kind kind, uint32_t count,
                     uint32_t of)
{
    uint32_t row = next(&hand->model.n_choices);
    int64_t *values = arena_array(hand->arena, count, sizeof *values);

    for (uint32_t i = 0; i < count; i++)
        values[i] = i;
    hand->choices[row] = (struct choice){
        .kind = kind, .name = "choice", .count = count, .values = values,
        .of = of, .type = made_bool()};
    return row;
}

uint32_t made_button(struct hand *hand, bool opening)
{
    uint32_t control = next(&hand->model.n_controls);
    uint32_t contact = next(&hand->model.n_contacts);

    ENSURE(control == contact);
    hand->controls[control] = (struct control){
        .kind = SIGNAL_BUTTON, .title = "button", .type = made_bool(),
        .choice = made_choice(hand, CHOICE_OPERATOR, 2, control)};
    hand->contacts[contact] = (struct contact){
        .control = control,
        .kind = opening ? CONTACT_OPENING : CONTACT_CLOSING,
        .type = made_bool(), .past = MODEL_NONE};
    return control;
}

uint32_t made_input(struct hand *hand, uint32_t contact)
{
    uint32_t slot = made_slot(hand, SLOT_PROGRAM, made_bool(), 0);

    hand->slots[slot].driver = DRIVER_CONTACT;
    hand->slots[slot].driver_index = contact;
    hand->slots[slot].input = true;
    return slot;
}

uint32_t made_actuator(struct hand *hand, uint32_t command)
{
    uint32_t actuator = next(&hand->model.n_actuators);
    uint32_t slot = made_slot(hand, SLOT_ACTUATOR, made_bool(), 0);

    hand->actuators[actuator] = (struct actuator){
        .kind = SIGNAL_VALVE, .title = "valve", .type = made_bool(),
        .slot = slot, .command = command, .uncommanded = MODEL_NONE};
    return slot;
}

uint32_t made_fault(struct hand *hand, enum fault_kind kind,
                    enum fault_target target, uint32_t first)
{
    uint32_t fault = next(&hand->model.n_faults);

    hand->faults[fault] = (struct fault){
        .title = "fault", .kind = kind,
        .choice = made_choice(hand, CHOICE_FAULT, 2, fault),
        .cause = fault, .causes = &hand->numbers[fault], .n_causes = 1};
    hand->numbers[fault] = fault;
    hand->causes[next(&hand->model.n_causes)] = (struct cause){
        .title = "fault", .members = &hand->numbers[fault], .n_members = 1,
        .choice = hand->faults[fault].choice};
    hand->effects[next(&hand->model.n_effects)] = (struct effect){
        .fault = fault, .kind = kind, .target = target, .first = first,
        .count = 1};
    return fault;
}

static struct code_expr *expr_new(struct hand *hand, enum code_op op)
{
    struct code_expr *expr = ARENA_NEW(hand->arena, struct code_expr);

    expr->op = op;
    expr->type = made_bool();
    expr->site = CODE_NO_SITE;
    return expr;
}

const struct code_expr *made_number(struct hand *hand, int64_t value)
{
    struct code_expr *expr = expr_new(hand, CODE_CONST);

    expr->value = value;
    expr->type = made_int();
    return expr;
}

const struct code_expr *made_var(struct hand *hand, uint32_t slot,
                                 enum code_when when)
{
    struct code_expr *expr = expr_new(hand, CODE_VARIABLE);

    expr->variable =
        (struct code_variable){.base = CODE_GLOBAL, .index = slot};
    expr->type = hand->slots[slot].type;
    expr->when = when;
    return expr;
}

const struct code_expr *made_leaf(struct hand *hand, enum code_op op,
                                  uint32_t index, enum code_when when)
{
    struct code_expr *expr = expr_new(hand, op);

    expr->index = index;
    expr->when = when;
    return expr;
}

/* Arithmetic gets an error site of its own. */
const struct code_expr *made_op(struct hand *hand, enum code_op op,
                                const struct code_expr *left,
                                const struct code_expr *right)
{
    struct code_expr *expr = expr_new(hand, op);

    expr->left = left;
    expr->right = right;
    if (op >= CODE_NEGATE) {
        expr->type = left->type;
        expr->site = next(&hand->model.n_errors);
    }
    return expr;
}

struct code_stmt made_assign(struct hand *hand, uint32_t slot,
                             const struct code_expr *value)
{
    return (struct code_stmt){
        .kind = CODE_ASSIGN, .target = {CODE_GLOBAL, slot},
        .target_type = hand->slots[slot].type, .value = value,
        .site = CODE_NO_SITE};
}

void made_program(struct hand *hand, const struct code_stmt *stmts,
                  uint32_t n)
{
    struct code_pou *pou = ARENA_NEW(hand->arena, struct code_pou);

    pou->kind = POU_PROGRAM;
    pou->body = stmts;
    pou->n_body = n;
    hand->program = (struct program){.pou = pou};
    hand->model.n_programs = 1;
}

uint32_t made_require(struct hand *hand, enum form form,
                      const struct code_expr *a, const struct code_expr *b,
                      const struct code_expr *c)
{
    uint32_t number = next(&hand->model.n_requirements);

    hand->requirements[number] = (struct requirement){
        .title = "requirement", .form = form, .a = a, .b = b, .c = c};
    return number;
}
