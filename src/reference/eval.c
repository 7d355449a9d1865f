#include "reference/eval.h"

#include "base/ensure.h"
#include "check/rounded.h"
#include "reference/maker.h"
#include "reference/signal.h"
#include "reference/tracing.h"
#include "reference/vector.h"
#include "reference/words.h"

/* ---- variables ---- */

uint32_t eval_slot(const struct frame *frame,
                   const struct code_variable *variable)
{
    switch (variable->base) {
    case CODE_LOCAL: return frame->base + variable->index;
    case CODE_GLOBAL: return variable->index;
    default:
        ENSURE(frame->in_out);
        return (uint32_t)frame->in_out[variable->index] + variable->offset;
    }
}

uint32_t eval_place(struct scan *scan, const struct frame *frame,
                    const struct code_variable *variable)
{
    uint32_t slot = eval_slot(frame, variable);

    for (uint32_t i = 0; i < variable->n_steps; i++) {
        const struct code_index *step = &variable->steps[i];
        int64_t index = eval(scan, frame, step->value);

        if (scan->failed)
            return slot;
        if (index < step->low || index > step->high) {
            scan_fail(scan, step->site);
            return slot;
        }
        slot += (uint32_t)(index - step->low) * step->stride;
    }
    return slot;
}

static int64_t slot_value(struct scan *scan, uint32_t slot,
                          enum code_when when)
{
    const struct slot *row = &scan->model->slots[slot];
    bool sampled = row->input || row->driver != DRIVER_NONE;

    if (when == CODE_NOW || (when == CODE_PREVIOUS && sampled &&
                             scan->no_edge))
        return signal_slot(scan, slot);
    return scan_before(scan, PLACE_SLOT, slot);
}

static int64_t read_value(struct scan *scan, const struct code_expr *expr)
{
    if (expr->when == CODE_NOW ||
        (expr->when == CODE_PREVIOUS && scan->no_edge))
        return signal_slot(scan, expr->index);
    return scan_before(scan, PLACE_SLOT, expr->index);
}

static int64_t commanded_value(struct scan *scan,
                               const struct code_expr *expr)
{
    if (expr->when == CODE_NOW)
        return scan->command[expr->index];
    return scan_before(scan, PLACE_COMMANDED_LAST, expr->index);
}

static int64_t fault_value(struct scan *scan, const struct code_expr *expr)
{
    if (expr->when == CODE_NOW)
        return scan_fault(scan, expr->index);
    return scan_before(scan, PLACE_FAULT, expr->index);
}

/* A sensor is no variable: its ON WHEN is looked at where it is named. */
static int64_t sensor_value(struct scan *scan, const struct code_expr *expr)
{
    const struct sensor *sensor = &scan->model->sensors[expr->index];

    return eval_review(scan, expr->when == CODE_NOW
                                 ? sensor->on_when
                                 : sensor->on_when_previous);
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* Asked for anywhere, the clock counts this judging once. */
bool eval_clock(struct scan *scan, uint32_t clock)
{
    const struct clock *of = &scan->model->clocks[clock];
    bool was = scan_before(scan, PLACE_CLOCK_WAS, clock);
    int64_t age = scan_before(scan, PLACE_CLOCK_AGE, clock);
    bool held;

    if (scan->clock_known[clock])
        return scan->clock_value[clock];
    held = eval_review(scan, of->held);
    tracing_held(scan, CODE_TRUE_FOR, clock);
    age = held && was
              ? least(age + scan->elapsed, of->limit.judged) : 0;
    *scan_now(scan, PLACE_CLOCK_WAS, clock) = held;
    *scan_now(scan, PLACE_CLOCK_AGE, clock) = age;
    scan->clock_known[clock] = true;
    scan->clock_value[clock] = held && age >= of->limit.judged;
    return scan->clock_value[clock];
}

static int64_t leaf(struct scan *scan, const struct code_expr *expr)
{
    switch (expr->op) {
    case CODE_CONST: return expr->value;
    case CODE_HAND: return signal_hand(scan, expr->index, expr->when);
    case CODE_CONTACT: return signal_contact(scan, expr->index, expr->when);
    case CODE_CONDUCTS: return signal_conducts(scan, expr->index);
    case CODE_SENSOR: return sensor_value(scan, expr);
    case CODE_SENSED:
        return signal_conducts(scan, scan->model->n_contacts + expr->index);
    case CODE_DISPLACED: return signal_displaced(scan, expr);
    case CODE_READ: return read_value(scan, expr);
    case CODE_COMMANDED: return commanded_value(scan, expr);
    case CODE_FAULT: return fault_value(scan, expr);
    case CODE_POWER: return scan->lit;
    case CODE_COLD: return scan->setting->first;
    case CODE_WARM: return scan->returned;
    case CODE_ELAPSED: return scan->elapsed;
    default:
        ENSURE(expr->op == CODE_TRUE_FOR);
        return eval_clock(scan, expr->index);
    }
}

/* ---- operators ---- */

static bool is_leaf(enum code_op op)
{
    return op <= CODE_TRUE_FOR;
}

/* BOOL and comparisons: no error possible. */
static bool truth(enum code_op op, int64_t a, int64_t b)
{
    switch (op) {
    case CODE_NOT: return !a;
    case CODE_AND_THEN:
    case CODE_AND: return a && b;
    case CODE_OR_ELSE:
    case CODE_OR: return a || b;
    case CODE_XOR: return !a != !b;
    case CODE_EQ: return a == b;
    case CODE_NE: return a != b;
    case CODE_LT: return a < b;
    case CODE_LE: return a <= b;
    case CODE_GT: return a > b;
    default:
        ENSURE(op == CODE_GE);
        return a >= b;
    }
}

/* ---- what is not followed ---- */

static int64_t open_outcome(struct scan *scan, const struct frame *frame,
                            const struct code_expr *expr)
{
    uint32_t row = expr->any;

    ENSURE(expr->any_known);
    if (!expr->any_fixed)
        row += frame->any;
    ENSURE(scan->model->choices[row].kind == CHOICE_ANY &&
           (expr->any_fixed ||
            scan->model->choices[row].of == expr->place));
    tracing_held(scan, CODE_ANY, row);
    return scan_choice_value(scan, row);
}

static int64_t open_value(struct scan *scan, const struct frame *frame,
                          const struct code_expr *expr)
{
    uint32_t depth = tracing_depth(scan);

    for (uint32_t i = 0; i < expr->n_args && !scan->failed; i++)
        eval(scan, frame, expr->args[i].value);
    tracing_cut(scan, depth);
    if (scan->failed || expr->place == CODE_NO_SITE)
        return 0;
    return open_outcome(scan, frame, expr);
}

/* Two REALs: the row is looked at only where the values do not tell. */
static bool compared(struct scan *scan, const struct frame *frame,
                     const struct code_expr *expr, int64_t a, int64_t b)
{
    int64_t order = a < b ? -1 : a > b;

    if (a == TYPE_NAN || b == TYPE_NAN)
        return expr->op == CODE_NE;
    if (a == b && a % 2 == 0 && expr->place != CODE_NO_SITE)
        order = open_outcome(scan, frame, expr);
    return truth(expr->op, order, 0);
}

/* Gives FALSE where there is no result in 64 bits. */
static bool computed(enum code_op op, int64_t a, int64_t b, int64_t *result)
{
    switch (op) {
    case CODE_NEGATE: return !__builtin_sub_overflow(0, a, result);
    case CODE_ADD: return !__builtin_add_overflow(a, b, result);
    case CODE_SUB: return !__builtin_sub_overflow(a, b, result);
    case CODE_MUL: return !__builtin_mul_overflow(a, b, result);
    case CODE_DIV:
        if (b == 0 || (a == INT64_MIN && b == -1))
            return false;
        *result = a / b;
        return true;
    default:
        ENSURE(op == CODE_MOD);
        if (b == 0)
            return false;
        *result = b == -1 ? 0 : a % b;
        return true;
    }
}

static int64_t number(struct scan *scan, const struct code_expr *expr,
                      int64_t a, int64_t b)
{
    const struct type *type = expr->type->base ? expr->type->base
                                               : expr->type;
    int64_t result;

    if (computed(expr->op, a, b, &result) && result >= type->low &&
        result <= type->high)
        return result;
    if (maker_turns(scan, expr, a, b, &result))
        return result;
    scan_fail(scan, expr->site);
    return 0;
}

/* Does the left side of AND_THEN, OR_ELSE decide alone? */
static bool decided(const struct scan *scan, const struct code_expr *expr,
                    int64_t left)
{
    if (expr->asks && maker_choice(scan, SETTING_CONDITIONS) == 0)
        return false;
    return expr->op == CODE_AND_THEN ? left == 0
                                     : expr->op == CODE_OR_ELSE && left != 0;
}

static bool has_nan(const int64_t *operand, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if (operand[i] == TYPE_NAN)
            return true;
    return false;
}

/* MIN, MAX, LIMIT: of what is no number any of the operands can come. */
static int64_t picked(struct scan *scan, const struct frame *frame,
                      const struct code_expr *expr, const int64_t *operand)
{
    uint32_t number = (uint32_t)(open_outcome(scan, frame, expr) + 1);

    return operand[number < expr->n_args ? number : expr->n_args - 1];
}

/* Bits, standard functions, conversions. */
static int64_t words(struct scan *scan, const struct frame *frame,
                     const struct code_expr *expr)
{
    int64_t operand[FUNCTION_MOST_ARGS + 2] = {0}, result = 0;

    ENSURE(expr->n_args <= FUNCTION_MOST_ARGS);
    for (uint32_t i = 0; i < expr->n_args; i++)
        operand[i] = eval(scan, frame, expr->args[i].value);
    if (expr->left)
        operand[0] = eval(scan, frame, expr->left);
    if (expr->right)
        operand[1] = eval(scan, frame, expr->right);
    if (scan->failed)
        return 0;
    if (expr->place != CODE_NO_SITE && has_nan(operand, expr->n_args))
        return picked(scan, frame, expr, operand);
    if (words_compute(expr, operand, &result))
        return result;
    scan_fail(scan, expr->site);
    return 0;
}

static int64_t rounded_value(struct scan *scan, const struct frame *frame,
                             const struct code_expr *expr)
{
    int64_t real = eval(scan, frame, expr->left);
    int64_t open = eval(scan, frame, expr->right);
    uint32_t how = expr->asks ? maker_choice(scan, SETTING_ROUNDING)
                              : expr->index;
    struct rounded range = rounded_of(
        expr->left->type->base ? expr->left->type->base : expr->left->type,
        real, how, expr->type);

    return open < range.low ? range.low : open > range.high ? range.high
                                                            : open;
}

/* *slot: of a variable, or of the result of a function. */
static int64_t value_of(struct scan *scan, const struct frame *frame,
                        const struct code_expr *expr, uint32_t *slot)
{
    int64_t left, right = 0;

    if (!expr)
        return 1;
    if (scan->failed)
        return 0;
    if (expr->op == CODE_VARIABLE) {
        *slot = eval_place(scan, frame, &expr->variable);
        return scan->failed ? 0 : slot_value(scan, *slot, expr->when);
    }
    if (is_leaf(expr->op))
        return leaf(scan, expr);
    if (expr->op == CODE_CALL) {
        *slot = expr->pou->frame + expr->pou->result;
        return scan->call(scan, frame, expr);
    }
    if (expr->op == CODE_ANY)
        return open_value(scan, frame, expr);
    if (expr->op == CODE_ROUND)
        return rounded_value(scan, frame, expr);
    if (expr->op > CODE_CALL)
        return words(scan, frame, expr);
    left = eval(scan, frame, expr->left);
    if (expr->right && !decided(scan, expr, left))
        right = eval(scan, frame, expr->right);
    if (scan->failed)
        return 0;
    if (expr->op >= CODE_EQ && expr->op <= CODE_GE &&
        expr->left->type->kind == TYPE_REAL)
        return compared(scan, frame, expr, left, right);
    if (expr->op >= CODE_EQ && expr->op <= CODE_GE)
        return truth(expr->op,
                     words_order(expr->left, expr->right, left, right), 0);
    if (expr->op < CODE_NEGATE)
        return truth(expr->op, left, right);
    return number(scan, expr, left, right);
}

int64_t eval(struct scan *scan, const struct frame *frame,
             const struct code_expr *expr)
{
    const struct decision_part *part = vector_begin(scan, expr);
    uint32_t slot = 0;
    int64_t value = value_of(scan, frame, expr, &slot);

    vector_end(scan, part, value != 0);
    if (scan->tracing)
        tracing_expr(scan, expr, value, slot);
    return value;
}

void eval_all(struct scan *scan, const struct frame *frame,
              const struct code_expr *expr, int64_t *values, uint32_t *from)
{
    uint32_t depth = tracing_depth(scan);

    if (type_elementary(expr->type)) {
        *from = MODEL_NONE;
        values[0] = eval(scan, frame, expr);
        return;
    }
    (void)value_of(scan, frame, expr, from);
    tracing_cut(scan, depth);
    for (uint32_t i = 0; !scan->failed && i < expr->type->size; i++)
        values[i] = signal_slot(scan, *from + i);
}

int64_t eval_review(struct scan *scan, const struct code_expr *expr)
{
    const struct frame none = {0};

    return eval(scan, &none, expr);
}
