#include "check/wording.h"

#include "check/real.h"
#include "check/shape.h"

const char *wording_value(const struct draft *draft, const struct type *type,
                         int64_t value)
{
    const struct type *base = type_base(type);

    if (type->kind == TYPE_BOOL)
        return value ? "TRUE" : "FALSE";
    if (type->kind == TYPE_TIME)
        return arena_printf(draft->arena, "T#%lldms", (long long)value);
    if (type->kind == TYPE_BITS)
        return arena_printf(draft->arena, "16#%llX", (long long)value);
    if (type->kind == TYPE_REAL)
        return real_words(draft->arena, type, value, value);
    if (type->kind == TYPE_ENUM && value >= 0 && value < base->count)
        return base->items[value]->spelling;
    return arena_printf(draft->arena, "%lld", (long long)value);
}

const char *wording_range(const struct draft *draft, const struct type *type)
{
    bool all = type->low < 0 && type_unsigned(type);

    return arena_printf(draft->arena, "%s to %s",
                        wording_value(draft, type, all ? 0 : type->low),
                        wording_value(draft, type, all ? -1 : type->high));
}

const char *wording_type(const struct draft *draft, const struct type *type)
{
    if (!type_elementary(type))
        return shape_words(draft, type);
    if (type->name || !type->base)
        return type_words(type);
    return arena_printf(draft->arena, "%s (%s .. %s)", type_words(type),
                        wording_value(draft, type, type->low),
                        wording_value(draft, type, type->high));
}

const char *wording_example(const struct draft *draft,
                            const struct type *type)
{
    const struct type *base = type_base(type);

    if (type->kind == TYPE_BOOL)
        return "write TRUE, FALSE or a condition such as n > 0";
    if (type->kind == TYPE_TIME)
        return "write a time such as T#500ms";
    if (type->kind == TYPE_ENUM && base->count > 1)
        return arena_printf(draft->arena,
                            "write one of its items, such as %s or %s",
                            base->items[0]->spelling,
                            base->items[1]->spelling);
    return arena_printf(draft->arena, "give a value of the type %s",
                        wording_type(draft, type));
}
