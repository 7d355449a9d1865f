#include "lower/setting.h"

#include "lower/operate.h"
#include "lower/term.h"

flat_expr setting_is(const struct sym *sym, enum setting_kind kind,
                     uint32_t choice)
{
    const struct setting *setting = &sym->model->settings[kind];

    if (!setting->any)
        return flat_const(sym->builder, setting->value == choice);
    return term_equals(sym->builder, env_get(&sym->env, setting->slot),
                       choice);
}

flat_expr setting_of(const struct sym *sym, uint32_t frame,
                     enum setting_kind kind, uint32_t choice)
{
    if (!sym_is_control(&sym->model->slots[frame]))
        return flat_const(sym->builder, choice == 0);
    return setting_is(sym, kind, choice);
}

/* The lowest bits, read in the type's way: also where the value itself has
 * left int64, for only higher bits are lost there. */
static flat_expr wrapped(struct flat_builder *b, const struct type *type,
                         flat_expr value)
{
    int64_t count = (int64_t)1 << type_width(type);
    const struct flat_node node = *flat_node(b, value);
    flat_expr high = flat_const(b, type->high);
    flat_expr low = flat_const(b, type->low);

    if (node.low >= type->low - count && node.high <= type->high + count) {
        flat_expr down = flat_binary(b, FLAT_SUB, value,
                                     flat_const(b, count));
        flat_expr up = flat_binary(b, FLAT_ADD, value, flat_const(b, count));
        flat_expr most = flat_ite(b, flat_binary(b, FLAT_LT, high, value),
                                  down, value);

        return flat_ite(b, flat_binary(b, FLAT_LT, value, low), up, most);
    }
    value = flat_binary(b, FLAT_MEET, value, flat_const(b, count - 1));
    return flat_ite(b, flat_binary(b, FLAT_LT, high, value),
                    flat_binary(b, FLAT_SUB, value, flat_const(b, count)),
                    value);
}

/* Only a product of unsigned numbers can leave int64. */
static flat_expr saturated(struct flat_builder *b,
                           const struct code_expr *expr, flat_expr value,
                           flat_expr beyond)
{
    const struct type *type = type_base(expr->type);

    if (expr->op == CODE_MUL && type->low == 0)
        return flat_ite(b, beyond, flat_const(b, type->high), value);
    return term_at_most(b, term_at_least(b, value, type->low), type->high);
}

flat_expr setting_turned(struct sym *sym, const struct code_expr *expr,
                         flat_expr left, flat_expr right)
{
    struct flat_builder *b = sym->builder;
    flat_expr value = operate_value(b, expr->op, left, right);
    flat_expr beyond = operate_error(b, expr, left, right);
    flat_expr zero = expr->op == CODE_DIV ? term_equals(b, right, 0)
                                          : term_false(b);
    flat_expr wraps = setting_is(sym, SETTING_OVERFLOW, OVERFLOW_WRAPS);
    flat_expr ends = setting_is(sym, SETTING_OVERFLOW, OVERFLOW_SATURATES);

    sym_raise(sym, expr->site,
              term_or(b, zero, term_less(b, beyond, term_or(b, wraps, ends))));
    value = flat_ite(b, ends, saturated(b, expr, value, beyond), value);
    if (term_is(b, wraps, 0))
        return value;
    return flat_ite(b, wraps,
                    wrapped(b, type_base(expr->type),
                            operate_value(b, expr->op, left, right)),
                    value);
}
