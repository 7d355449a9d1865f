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

unsigned type_width(const struct type *type)
{
    const struct type *base = type_base(type);
    uint64_t high = (uint64_t)base->high;
    unsigned width = 8;

    if (base->low < 0)
        high = 2 * high + 1;
    while (width < 64 && high >> width)
        width *= 2;
    return width;
}

const char *type_words(const struct type *type)
{
    if (type->name)
        return type->name->spelling;
    if (type->base)
        return type_words(type->base);
    return "an enumeration written in place";
}
