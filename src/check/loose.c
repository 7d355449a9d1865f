#include "check/loose.h"

#include "check/abstract.h"
#include "check/arith.h"
#include "check/convert.h"
#include "check/meet.h"
#include "check/rounding.h"
#include "check/shape.h"
#include "check/wide.h"

static bool applies(const struct env *env)
{
    return env->text == TEXT_CONTROL;
}

static bool is_numeric(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS ||
           type->kind == TYPE_ENUM;
}

static bool is_typed(const struct env *env, const struct code_expr *value)
{
    return value->type->kind == TYPE_INTEGER && !meet_is_literal(env, value);
}

/* ---- types ---- */

static const struct type *signed_for(const struct draft *draft, int64_t low,
                                     int64_t high)
{
    const struct type *types[] = {draft->types.integer, draft->types.dint,
                                  draft->types.lint};

    for (size_t i = 0; i < 2; i++)
        if (low >= types[i]->low && high <= types[i]->high)
            return types[i];
    return types[2];
}

static const struct type *unsigned_of(const struct draft *draft,
                                      const struct type *bits)
{
    static const char *const names[] = {"USINT", "UINT", "UDINT", "ULINT"};
    const struct symbol *symbol = NULL;

    for (unsigned i = 0; i < 4; i++)
        if (type_width(bits) == 8u << i)
            symbol = scope_find(&draft->type_scope,
                                names_of(draft->names, names[i]));
    return symbol->type;
}

const struct type *loose_bits_of(const struct draft *draft,
                                 const struct type *integer)
{
    unsigned width = type_width(integer);

    return draft->types.bits[width == 8    ? 0
                             : width == 16 ? 1
                             : width == 32 ? 2
                                           : 3];
}

/* ---- one value ---- */

/* Numbers that are known stay known. */
static bool known(struct code_expr *value, const struct type *type)
{
    const struct type *from = type_base(value->type);
    int64_t number = value->value;

    if (value->op != CODE_CONST || type->kind == TYPE_ENUM)
        return false;
    if (from->kind == TYPE_ENUM)
        number = type_item_number(from, number);
    if (number < type->low || number > type->high)
        return false;
    value->value = number;
    value->type = type;
    return true;
}

struct code_expr *loose_made(struct env *env, const struct type *type,
                             struct code_expr *value)
{
    return wide_value(env, convert_made(env, type, value, value->span));
}

static void become(struct env *env, struct code_expr *value,
                   const struct type *type, enum told kind)
{
    struct code_expr *inner;

    if (type_base(value->type) == type)
        return;
    told_seen(env->draft, kind, value->span);
    if (known(value, type))
        return;
    inner = ARENA_NEW(env->draft->arena, struct code_expr);
    *inner = *value;
    *value = *loose_made(env, type, inner);
}

void loose_number(struct env *env, struct code_expr *value)
{
    const struct type *type = type_base(value->type);
    int64_t low, high;

    if (!applies(env))
        return;
    if (type->kind == TYPE_BITS)
        become(env, value, unsigned_of(env->draft, type), TOLD_BITS_NUMBER);
    if (type->kind != TYPE_ENUM)
        return;
    type_numbers(type, &low, &high);
    become(env, value, signed_for(env->draft, low, high), TOLD_ITEM_NUMBER);
}

void loose_truth(struct env *env, struct code_expr *value)
{
    if (!applies(env) || !meet_is_literal(env, value) ||
        value->op != CODE_CONST || value->value < 0 || value->value > 1)
        return;
    told_seen(env->draft, TOLD_TRUTH, value->span);
    value->type = env->draft->types.boolean;
}

/* A number without a type below zero that has the bits of NOT. */
static void bits_below_zero(struct env *env, struct code_expr *value,
                            const struct type *bits)
{
    const struct type *base = type_base(bits);

    if (!meet_is_literal(env, value) || value->op != CODE_CONST ||
        value->value >= 0 || value->value < -base->high - 1)
        return;
    if (type_unsigned(base))
        value->type = base;
    else
        value->value += base->high + 1;
}

static void item_of(struct env *env, struct code_expr *value,
                    const struct type *target)
{
    int64_t item;

    if (value->op != CODE_CONST) {
        become(env, value, target, TOLD_NUMBER_ITEM);
    } else if (shape_numbered(target, value->value, &item)) {
        told_seen(env->draft, TOLD_NUMBER_ITEM, value->span);
        value->value = item;
        value->type = target;
    }
}

/* An LREAL where a REAL is stored, or a REAL where an integer is: rounded, and
 * not followed. */
static void shorten(struct env *env, struct code_expr *value,
                    const struct type *target)
{
    const struct type *from = type_base(value->type);
    struct code_expr *inner, *any;

    if (from == target || value->op == CODE_CONST ||
        from == env->draft->types.real_literal ||
        (target->kind == TYPE_REAL && !target->narrow))
        return;
    told_seen(env->draft, TOLD_SHORTER, value->span);
    inner = ARENA_NEW(env->draft->arena, struct code_expr);
    *inner = *value;
    any = rounding_make(env, inner, target, false, "rounding");
    if (any)
        *value = *any;
}

/* An LWORD takes an integer as the number that it is: none below 0. */
static void number_as_long_bits(struct env *env, struct code_expr *value,
                                const struct type *bits)
{
    if (type_base(value->type)->low < 0)
        become(env, value, unsigned_of(env->draft, bits), TOLD_BITS_NUMBER);
    become(env, value, bits, TOLD_BITS_NUMBER);
}

void loose_store(struct env *env, struct code_expr *value,
                 const struct type *target)
{
    const struct type *base = type_base(target), *from;

    if (!applies(env))
        return;
    from = type_base(value->type);
    if (base->kind == TYPE_BOOL)
        loose_truth(env, value);
    else if ((base->kind == TYPE_REAL || base->kind == TYPE_INTEGER) &&
             from->kind == TYPE_REAL)
        shorten(env, value, base);
    else if (base->kind == TYPE_ENUM && from->kind == TYPE_INTEGER)
        item_of(env, value, base);
    else if (from->kind == TYPE_ENUM &&
             (base->kind == TYPE_INTEGER || base->kind == TYPE_BITS ||
              base->kind == TYPE_REAL))
        loose_number(env, value);
    else if (from->kind == TYPE_BITS &&
             (base->kind == TYPE_INTEGER || base->kind == TYPE_REAL))
        loose_number(env, value);
    else if (type_unsigned(base) && is_typed(env, value))
        number_as_long_bits(env, value, base);
    else if (base->kind == TYPE_BITS)
        bits_below_zero(env, value, base);
}

/* ---- several values ---- */

/* Typed integers that do not widen into one another. */
static void meet_signs(struct env *env, struct code_expr *const *values,
                       uint32_t count)
{
    const struct type *most = NULL, *type;
    int64_t low = 0, high = 0;
    bool meet = true;

    for (uint32_t i = 0; i < count; i++) {
        if (!is_typed(env, values[i]))
            continue;
        type = type_base(values[i]->type);
        meet = meet && (!most || meet_widens(type, most) ||
                        meet_widens(most, type));
        most = !most || meet_widens(most, type) ? type : most;
        low = type->low < low ? type->low : low;
        high = type->high > high ? type->high : high;
    }
    for (uint32_t i = 0; !meet && i < count; i++)
        if (is_typed(env, values[i]))
            become(env, values[i], signed_for(env->draft, low, high),
                   TOLD_SIGNS);
}

/* Are they of one kind already, or of none that is converted? */
static bool all_alike(const struct env *env, struct code_expr *const *values,
                      uint32_t count)
{
    const struct type *first = NULL, *type;

    for (uint32_t i = 0; i < count; i++) {
        type = type_base(values[i]->type);
        if (!is_numeric(type))
            return true;
        if (meet_is_literal(env, values[i]))
            continue;
        if (first && (first->kind != type->kind ||
                      (type->kind == TYPE_ENUM && type != first)))
            return false;
        first = type;
    }
    return !first || first->kind != TYPE_INTEGER;
}

static void truths(struct env *env, struct code_expr *const *values,
                   uint32_t count)
{
    bool some = false;

    for (uint32_t i = 0; i < count; i++)
        some = some || values[i]->type->kind == TYPE_BOOL;
    for (uint32_t i = 0; some && i < count; i++)
        loose_truth(env, values[i]);
}

void loose_values(struct env *env, struct code_expr *const *values,
                  uint32_t count)
{
    if (!applies(env))
        return;
    truths(env, values, count);
    if (all_alike(env, values, count))
        return;
    for (uint32_t i = 0; i < count; i++)
        loose_number(env, values[i]);
    meet_signs(env, values, count);
}

void loose_operands(struct env *env, enum tree_op op, struct code_expr *left,
                    struct code_expr *right)
{
    struct code_expr *both[2] = {left, right};
    bool equal = op == TREE_EQ || op == TREE_NE;
    bool computes = op >= TREE_ADD && op <= TREE_POWER;
    bool item = left->type->kind == TYPE_ENUM ||
                right->type->kind == TYPE_ENUM;
    bool real = left->type->kind == TYPE_REAL ||
                right->type->kind == TYPE_REAL;

    if (!applies(env))
        return;
    for (int i = 0; i < 2 && (computes || real || (item && !equal)); i++)
        if (is_numeric(both[1 - i]->type) || real ||
            both[1 - i]->type->kind == TYPE_TIME)
            loose_number(env, both[i]);
    for (int i = 0; i < 2 && !computes; i++)
        if (both[1 - i]->type->kind == TYPE_BITS)
            bits_below_zero(env, both[i], both[1 - i]->type);
    loose_values(env, both, 2);
}

/* ---- integers as bits ---- */

const struct type *loose_bits(struct env *env, struct code_expr *value,
                              const struct type *wanted)
{
    const struct type *type = type_base(value->type);
    struct draft *draft = env->draft;

    if (!applies(env) || type->kind != TYPE_INTEGER)
        return NULL;
    if (meet_is_literal(env, value)) {
        if (value->value < 0 || value->value > draft->types.bits[2]->high)
            return NULL;
        type = wanted && wanted->kind == TYPE_INTEGER ? type_base(wanted)
                                                      : NULL;
        if (type && value->value > type->high)
            type = NULL;
        told_seen(draft, TOLD_BITWISE, value->span);
        value->type = type ? loose_bits_of(draft, type)
                           : draft->types.bits[2];
        return type;
    }
    become(env, value, loose_bits_of(draft, type), TOLD_BITWISE);
    return type;
}

struct code_expr *loose_back(struct env *env, const struct type *type,
                             struct code_expr *value)
{
    return type && value ? loose_made(env, type, value) : value;
}

static int64_t folded(enum tree_op op, int64_t a, int64_t b)
{
    return op == TREE_AND ? (a & b) : op == TREE_OR ? (a | b) : (a ^ b);
}

/* A number without a type beside an integer: bits of that width. */
static void number_to_bits(struct env *env, struct code_expr *value,
                           const struct type *bits)
{
    if (!meet_is_literal(env, value))
        return;
    bits_below_zero(env, value, bits);
    if (value->value >= 0 && value->value <= bits->high)
        value->type = bits;
}

/* The number of an item, beside bits. */
static void item_as_bits(struct env *env, struct code_expr *value)
{
    if (value->type->kind != TYPE_ENUM)
        return;
    if (value->op != CODE_CONST) {
        loose_number(env, value);
        return;
    }
    told_seen(env->draft, TOLD_ITEM_NUMBER, value->span);
    value->value = type_item_number(type_base(value->type), value->value);
    value->type = env->draft->types.literal;
}

bool loose_bitwise(struct env *env, enum tree_op op, struct code_expr *left,
                   struct code_expr *right, struct code_expr **out)
{
    struct code_expr *both[2] = {left, right};
    const struct type *type = NULL;
    bool literal;

    if (!applies(env) || op < TREE_OR || op > TREE_AND ||
        !is_numeric(left->type) || !is_numeric(right->type))
        return false;
    item_as_bits(env, left);
    item_as_bits(env, right);
    literal = meet_is_literal(env, left) && meet_is_literal(env, right);
    if (!literal && !is_typed(env, left) && !is_typed(env, right))
        return false;
    if (literal) {
        left->value = folded(op, left->value, right->value);
        left->span = span_join(left->span, right->span);
        *out = left;
        return true;
    }
    loose_values(env, both, 2);
    for (int i = 0; i < 2; i++)
        if (is_typed(env, both[i]) &&
            (!type || meet_widens(type, both[i]->type)))
            type = type_base(both[i]->type);
    for (int i = 0; i < 2; i++)
        if (is_typed(env, both[i]))
            become(env, both[i], type, TOLD_BITWISE);
    for (int i = 0; i < 2; i++)
        if (is_typed(env, both[i]))
            loose_bits(env, both[i], NULL);
        else
            number_to_bits(env, both[i], loose_bits_of(env->draft, type));
    *out = loose_back(env, type,
                      arith_binary(env, op, left, right,
                                   span_join(left->span, right->span)));
    return true;
}

bool loose_not(struct env *env, struct code_expr *value, struct span span,
               struct code_expr **out)
{
    const struct type *type;

    if (!applies(env) || value->type->kind != TYPE_INTEGER)
        return false;
    if (meet_is_literal(env, value)) {
        told_seen(env->draft, TOLD_BITWISE, span);
        value->value = -1 - value->value;
        value->span = span;
        *out = value;
        return true;
    }
    type = loose_bits(env, value, NULL);
    *out = loose_back(env, type, arith_unary(env, TREE_NOT, value, span));
    return true;
}
