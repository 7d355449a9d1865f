#include "lang/build_type.h"

#include <string.h>

#include "base/arena.h"
#include "lang/reading.h"
#include "lang/refuse.h"
#include "lang/spelling.h"

static struct tree_type *type_new(struct reading *reading, struct span span)
{
    struct tree_type *type = ARENA_NEW(reading->context->arena,
                                       struct tree_type);

    type->span = span;
    return type;
}

/* In place of a type that is missing. */
static struct tree_type *build_type_none(struct reading *reading,
                                         struct span span)
{
    struct tree_type *type = type_new(reading, span);

    type->name = names_of(reading->context->names, "BOOL");
    return type;
}

/* The name was mentioned not long ago: the parser looks one token ahead. */
static void mark_mention(struct reading *reading,
                         const struct tree_ident *name)
{
    for (size_t i = reading->mentions.n; i-- > 0;)
        if (reading->mentions.at[i].from <= name->span.from) {
            reading->mentions.at[i].is_type =
                reading->mentions.at[i].from == name->span.from;
            return;
        }
}

/* A field of one bit. */
static bool is_bit(const struct reading *reading,
                   const struct tree_ident *name)
{
    return reading->kind == PARSE_CONTROL &&
           !strcmp(name->name->folded, "bit");
}

struct tree_type *build_type_name(struct reading *reading,
                                  struct tree_ident *name)
{
    struct tree_type *type = type_new(reading, name->span);

    if (is_bit(reading, name)) {
        spelling_seen(reading, SPELLING_BIT, name->span);
        type->name = names_of(reading->context->names, "BOOL");
        return type;
    }
    refuse_type(reading, name->name, name->span);
    mark_mention(reading, name);
    type->name = name->name;
    return type;
}

struct tree_type *build_type_length(struct reading *reading,
                                    struct tree_ident *name,
                                    struct span length)
{
    struct tree_type *type = build_type_name(reading, name);

    type->length = length;
    return type;
}

struct tree_type *build_round_length(struct reading *reading,
                                     struct tree_ident *name,
                                     struct span length)
{
    spelling_seen(reading, SPELLING_LENGTH, length);
    return build_type_length(reading, name, length);
}

struct tree_type *build_subrange(struct reading *reading,
                                 struct tree_ident *name,
                                 struct build_bounds bounds,
                                 struct span span)
{
    struct tree_type *type = build_type_name(reading, name);

    type->low = bounds.low;
    type->high = bounds.high;
    type->span = span;
    return type;
}

struct tree_enum_item *build_item(struct reading *reading,
                                  struct tree_ident *name,
                                  struct tree_expr *value)
{
    struct tree_enum_item *item = ARENA_NEW(reading->context->arena,
                                            struct tree_enum_item);

    item->name = name->name;
    item->value = value;
    item->span = name->span;
    return item;
}

static bool is_text(const struct name *name)
{
    return !strcmp(name->folded, "string") ||
           !strcmp(name->folded, "wstring");
}

/* STRING (LENGTH) looks like an enumeration of one item. */
struct tree_type *build_enum(struct reading *reading, struct chain items,
                             struct tree_ident *base, struct span span)
{
    struct tree_type *type = type_new(reading, span);

    if (base && is_text(base->name) && items.first == items.last &&
        !((struct tree_enum_item *)items.first)->value)
        return build_round_length(reading, base, span);
    if (base)
        refuse_type(reading, base->name, base->span);
    type->kind = TREE_ENUMERATION;
    type->name = base ? base->name : NULL;
    CHAIN_INTO(&type->items, items);
    return type;
}

struct tree_dim *build_dim(struct reading *reading,
                           struct build_bounds bounds, struct span span)
{
    struct tree_dim *dim = ARENA_NEW(reading->context->arena,
                                     struct tree_dim);

    dim->low = bounds.low;
    dim->high = bounds.high;
    dim->span = span;
    return dim;
}

struct tree_type *build_array(struct reading *reading, struct chain dims,
                              struct tree_type *element, struct span span)
{
    struct tree_type *type = type_new(reading, span);

    type->kind = TREE_ARRAY;
    CHAIN_INTO(&type->dims, dims);
    type->element = element;
    return type;
}

struct tree_type *build_structure(struct reading *reading,
                                  struct chain fields, struct span span)
{
    struct tree_type *type = type_new(reading, span);

    type->kind = TREE_STRUCTURE;
    CHAIN_INTO(&type->fields, fields);
    return type;
}

struct tree_type *build_heir(struct reading *reading,
                             struct tree_ident *of, struct tree_type *type)
{
    struct tree_type *heritage = build_type_name(reading, of);

    if (type->kind != TREE_STRUCTURE)
        reading_error(reading, of->span, "take EXTENDS out",
                      "only a structure extends another");
    else if (type->heritage)
        reading_error(reading, of->span, "write EXTENDS once",
                      "this structure extends two others");
    else
        type->heritage = heritage;
    return type;
}

struct tree_type *build_refused_type(struct reading *reading,
                                     const char *construct,
                                     struct span where)
{
    refuse_construct(reading, construct, where);
    return build_type_none(reading, where);
}

struct tree_type_decl *build_type_decl(struct reading *reading,
                                       struct tree_ident *name,
                                       struct tree_type *type,
                                       struct tree_expr *initial,
                                       struct span span)
{
    struct tree_type_decl *decl = ARENA_NEW(reading->context->arena,
                                            struct tree_type_decl);

    decl->name = name;
    decl->type = type;
    decl->initial = initial;
    decl->span = span;
    return decl;
}
