#include "check/convert.h"

#include <string.h>

#include "check/arith.h"
#include "check/extent.h"
#include "check/meet.h"
#include "check/shape.h"
#include "check/typing.h"

/* ---- names ---- */

static const struct type *type_named(struct draft *draft, const char *at,
                                     size_t n)
{
    const struct name *name =
        names_of(draft->names, arena_copy(draft->arena, at, n));
    struct symbol *symbol = scope_find(&draft->type_scope, name);
    bool known;

    return symbol ? typing_named(draft, name, symbol->span, &known) : NULL;
}

static bool is_target(const struct type *type)
{
    return type && !type->base;
}

bool convert_named(struct draft *draft, const struct name *name,
                   struct conversion *conversion)
{
    const char *all = name->folded, *at = all;

    *conversion = (struct conversion){0};
    if (strncmp(all, "to_", 3) == 0) {
        conversion->to = type_named(draft, all + 3, strlen(all + 3));
        if (is_target(conversion->to))
            return true;
    }
    while ((at = strstr(at, "_to_")) != NULL) {
        conversion->from = type_named(draft, all, (size_t)(at - all));
        conversion->to = type_named(draft, at + 4, strlen(at + 4));
        if (conversion->from && is_target(conversion->to))
            return true;
        at++;
    }
    return false;
}

/* ---- values ---- */

static bool is_number(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
}

/* Both have bits, and one of them is nothing but bits. */
static bool hands_bits_on(const struct type *from, const struct type *to)
{
    return is_number(from) && is_number(to) &&
           (from->kind == TYPE_BITS || to->kind == TYPE_BITS);
}

/* Does every number that the value can have belong to an item? */
static bool always_item(const struct code_expr *value,
                        const struct type *to)
{
    int64_t low, high, item;

    extent_find(value, &low, &high);
    if (low < 0 || high > INT32_MAX || high - low >= to->count)
        return false;
    for (int64_t number = low; number <= high; number++)
        if (!shape_numbered(to, number, &item))
            return false;
    return true;
}

/* It has no bit 63 here. */
static bool is_ulint(const struct type *type)
{
    return type->kind == TYPE_INTEGER && type->low >= 0 &&
           type_width(type) == 64;
}

static bool always_fits(const struct code_expr *value,
                        const struct type *from, const struct type *to)
{
    int64_t low, high;

    if (to->kind == TYPE_ENUM)
        return always_item(value, to);
    if (from->kind == TYPE_ENUM) {
        type_numbers(from, &low, &high);
        return low >= to->low && high <= to->high;
    }
    if (hands_bits_on(from, to))
        return (type_width(to) <= type_width(from) && !is_ulint(to)) ||
               extent_lies_in(value, 0, INT64_MAX);
    return extent_lies_in(value, to->low, to->high);
}

static struct code_expr *refuse(struct env *env, struct span span,
                                const char *hint, const char *what,
                                const struct type *type)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "%s, this is %s",
             what, type_words(type));
    return NULL;
}

static struct code_expr *made(struct env *env, const struct type *to,
                              struct code_expr *value, struct span span)
{
    struct code_expr *expr =
        arith_new(env->draft, CODE_CONVERT, to, span);

    expr->left = value;
    return expr;
}

/* May the value stand for one of the type that the name of the conversion
 * says? */
static bool take(struct env *env, const struct conversion *conversion,
                 struct code_expr *value)
{
    uint32_t site = CODE_NO_SITE;
    size_t sites = env->draft->errors.n;

    if (!conversion->from) {
        arith_settle(env->draft, value);
        return true;
    }
    if (!arith_store(env, value, conversion->from, &site))
        return false;
    if (site == CODE_NO_SITE)
        return true;
    env->draft->errors.n = sites;
    refuse(env, value->span,
           meet_hint(env, value->type, conversion->to,
                     "name the type of the value in the conversion"),
           "the value may not fit the type that is converted", value->type);
    return false;
}

struct code_expr *convert_value(struct env *env,
                                const struct conversion *conversion,
                                struct code_expr *value, struct span span)
{
    const struct type *to = conversion->to, *from;

    if (!take(env, conversion, value))
        return NULL;
    from = type_base(value->type);
    if (conversion->from && from != type_base(conversion->from)) {
        from = type_base(conversion->from);
        value = made(env, from, value, value->span);
    }
    if (from == to)
        return value;
    if (to->kind == TYPE_ENUM && !is_number(from))
        return refuse(env, span, "convert a number, or write a CASE that "
                                 "gives each item",
                      "only numbers are converted to an enumeration", from);
    if (from->kind == TYPE_ENUM && !is_number(to))
        return refuse(env, span, "convert it to an integer type",
                      "an enumeration is converted to numbers only", from);
    return convert_made(env, to, value, span);
}

/* The number of an LWORD becomes something else, or the other way round. */
static bool goes_by_number(const struct type *from, const struct type *to)
{
    return (type_unsigned(from) && !is_number(to)) ||
           (type_unsigned(to) && !is_number(from));
}

struct code_expr *convert_made(struct env *env, const struct type *to,
                               struct code_expr *value, struct span span)
{
    struct code_expr *expr;

    if (goes_by_number(type_base(value->type), to))
        value = convert_made(env, type_named(env->draft, "ULINT", 5), value,
                             span);
    expr = made(env, to, value, span);

    if (!always_fits(value, type_base(value->type), to))
        expr->site = draft_site(env->draft, ERROR_CONVERSION,
                                env->text != TEXT_CONTROL, span);
    return expr;
}
