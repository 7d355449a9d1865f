#include "check/type.h"

#include <stddef.h>

const struct type *type_base(const struct type *type)
{
    return type->base ? type->base : type;
}

bool type_elementary(const struct type *type)
{
    return type->kind < TYPE_ARRAY;
}

static bool same_arrays(const struct type *a, const struct type *b)
{
    if (a->n_dims != b->n_dims)
        return false;
    for (uint32_t i = 0; i < a->n_dims; i++)
        if (a->dims[i].low != b->dims[i].low ||
            a->dims[i].high != b->dims[i].high)
            return false;
    return type_same(a->element, b->element);
}

/* Enumerations written in place are one where their items are. */
static bool same_items(const struct type *a, const struct type *b)
{
    if (a->name || b->name || a->count != b->count)
        return false;
    for (uint32_t i = 0; i < a->count; i++)
        if (a->items[i] != b->items[i] ||
            (a->item_values ? a->item_values[i] : i) !=
                (b->item_values ? b->item_values[i] : i))
            return false;
    return true;
}

bool type_fits(const struct type *a, const struct type *b)
{
    if (type_base(a) == type_base(b))
        return true;
    if (a->kind != b->kind)
        return false;
    if (a->kind == TYPE_ENUM)
        return same_items(type_base(a), type_base(b));
    if (a->kind == TYPE_ARRAY)
        return same_arrays(a, b);
    return a->kind == TYPE_BLOCK && a->unit == b->unit;
}

bool type_same(const struct type *a, const struct type *b)
{
    return type_fits(a, b) && a->low == b->low && a->high == b->high;
}

int64_t type_initial(const struct type *type, uint32_t k)
{
    return type->initials ? type->initials[k] : type->initial;
}

const struct type_field *type_field(const struct type *type,
                                    const struct name *name)
{
    for (uint32_t i = 0; i < type->n_fields; i++)
        if (type->fields[i].name == name)
            return &type->fields[i];
    return NULL;
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

bool type_unsigned(const struct type *type)
{
    const struct type *base = type_base(type);

    return base->kind == TYPE_BITS && base->low < 0;
}

int64_t type_item_number(const struct type *type, int64_t item)
{
    return type->item_values ? type->item_values[item] : item;
}

bool type_in_order(const struct type *type)
{
    for (uint32_t i = 1; i < type->count; i++)
        if (type_item_number(type, i) <= type_item_number(type, i - 1))
            return false;
    return true;
}

bool type_abstracted(const struct type *type)
{
    return type->kind == TYPE_REAL || type->kind == TYPE_OPAQUE;
}

const char *type_words(const struct type *type)
{
    if (type->name)
        return type->name->spelling;
    if (type->kind == TYPE_ARRAY)
        return "an array";
    if (type->kind == TYPE_STRUCT)
        return "a structure";
    if (type->base)
        return type_words(type->base);
    return "an enumeration written in place";
}

void type_numbers(const struct type *type, int64_t *low, int64_t *high)
{
    *low = 0;
    *high = (int64_t)type->count - 1;
    if (!type->item_values)
        return;
    *low = *high = type->item_values[0];
    for (uint32_t i = 1; i < type->count; i++) {
        if (type->item_values[i] < *low)
            *low = type->item_values[i];
        if (type->item_values[i] > *high)
            *high = type->item_values[i];
    }
}
