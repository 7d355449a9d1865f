#include "check/type.h"

#include <stddef.h>

const struct type *type_base(const struct type *type)
{
    return type->base ? type->base : type;
}

bool type_fits(const struct type *a, const struct type *b)
{
    return type_base(a) == type_base(b);
}

bool type_abstracted(const struct type *type)
{
    return type->kind == TYPE_REAL || type->kind == TYPE_OPAQUE;
}

const char *type_words(const struct type *type)
{
    if (type->name)
        return type->name->spelling;
    if (type->base)
        return type_words(type->base);
    return "an enumeration written in place";
}
