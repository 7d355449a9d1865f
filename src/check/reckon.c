#include "check/reckon.h"

#include "check/real.h"
#include "check/written.h"

/* What has no value. */
static bool wrong_is(const char **wrong, const char *what)
{
    *wrong = what;
    return false;
}

/* ---- bit strings ---- */

static bool is_bits(const struct constant *constant)
{
    return constant->type && constant->type->kind == TYPE_BITS;
}

/* Bit 63 of an LWORD puts it there, too. */
static bool is_below(const struct constant *constant)
{
    return constant->value < 0 &&
           !(constant->type && type_unsigned(constant->type));
}

/* AND, OR and XOR of bit strings; numbers without a type go with them. */
static bool of_bits(struct draft *draft, enum tree_op op,
                    const struct constant sides[2], struct constant *out,
                    const char **wrong)
{
    const struct constant *left = &sides[0], *right = &sides[1];
    const struct type *a = left->type, *b = right->type;

    out->type = !a || (b && type_width(b) > type_width(a)) ? b : a;
    if (!out->type)
        out->type = draft->types.lint; /* until it meets one */
    out->type = type_base(out->type);
    if ((a && !is_bits(left)) || (b && !is_bits(right)) ||
        is_below(left) || is_below(right) ||
        left->value > out->type->high || right->value > out->type->high)
        return wrong_is(wrong, "the two sides are of different types");
    out->value = op == TREE_AND  ? left->value & right->value
                 : op == TREE_OR ? left->value | right->value
                                 : left->value ^ right->value;
    if (!a && !b)
        out->type = NULL;
    return true;
}

/* ---- whole numbers ---- */

/* Numbers of different types are computed as numbers. */
static void numbers_alone(struct constant *left, struct constant *right)
{
    struct constant *both[2] = {left, right};

    for (int i = 0; i < 2; i++)
        if (both[i]->type && both[i]->type->kind == TYPE_BITS &&
            both[i]->value >= 0)
            both[i]->type = NULL;
        else if (both[i]->type && both[i]->type->kind == TYPE_ENUM)
            *both[i] = (struct constant){
                NULL, type_item_number(type_base(both[i]->type),
                                       both[i]->value)};
    if (left->type && right->type && left->type->kind == TYPE_INTEGER &&
        right->type->kind == TYPE_INTEGER)
        left->type = right->type = NULL;
}

/* ---- REALs ---- */

/* A whole number goes with any of them. */
static bool one_real(const struct draft *draft, const struct constant *side,
                     const struct type **type, double *number)
{
    const struct elementary *types = &draft->types;
    const struct type *own = side->type ? type_base(side->type) : NULL;

    if (own && own->kind != TYPE_REAL && own->kind != TYPE_INTEGER)
        return false;
    *number = own && own->kind == TYPE_REAL
                  ? real_number(side->type, side->value)
                  : (double)side->value;
    if (own == types->lreal || (own == types->real && *type != types->lreal))
        *type = own;
    return true;
}

static bool of_reals(struct draft *draft, enum tree_op op,
                     const struct constant sides[2], struct constant *out,
                     const char **wrong)
{
    const struct type *type = draft->types.real_literal;
    double numbers[2];

    if (!one_real(draft, &sides[0], &type, &numbers[0]) ||
        !one_real(draft, &sides[1], &type, &numbers[1]))
        return wrong_is(wrong, "the two sides are of different types");
    if (op == TREE_MOD)
        return wrong_is(wrong, "MOD takes whole numbers");
    out->type = type;
    switch (real_compute(draft, op, type, numbers, &out->value)) {
    case REAL_COMPUTED: return true;
    case REAL_LATER: return false;
    case REAL_UNSURE:
        return wrong_is(wrong, "what comes out hangs on where the controller "
                               "rounds: write the result, or compute in "
                               "LREAL");
    case REAL_NO_NUMBER:
        return wrong_is(wrong, "the value is too large, or is divided by "
                               "zero");
    case REAL_TOO_MANY: break;
    }
    return wrong_is(wrong, "constants of REAL hang on one another in too "
                           "many steps: write the result");
}

/* ---- all ---- */

bool reckon(struct draft *draft, enum tree_op op, struct constant sides[2],
            struct constant *out, const char **wrong)
{
    struct constant *left = &sides[0], *right = &sides[1];

    *wrong = NULL;
    if ((op == TREE_AND || op == TREE_OR || op == TREE_XOR) &&
        (is_bits(left) || is_bits(right) || (!left->type && !right->type)))
        return of_bits(draft, op, sides, out, wrong);
    if (op < TREE_ADD || op > TREE_MOD)
        return wrong_is(wrong, "only numbers are computed here");
    if ((left->type && left->type->kind == TYPE_REAL) ||
        (right->type && right->type->kind == TYPE_REAL))
        return of_reals(draft, op, sides, out, wrong);
    numbers_alone(left, right);
    if ((left->type && left->type->kind != TYPE_INTEGER &&
         left->type->kind != TYPE_TIME) ||
        (right->type && right->type->kind != TYPE_INTEGER &&
         right->type->kind != TYPE_TIME) ||
        (left->type && right->type && !type_fits(left->type, right->type)))
        return wrong_is(wrong, "the two sides are of different types");
    if (!written_compute(op, left->value, right->value, &out->value))
        return wrong_is(wrong, "the value is too large, or is divided "
                               "by zero");
    out->type = left->type ? left->type : right->type;
    return true;
}
