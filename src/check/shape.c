#include "check/shape.h"

#include <string.h>

#include "base/text.h"
#include "check/initial.h"
#include "check/widening.h"

/* low .. high, once they are known; strides are still 0. */
struct dims {
    struct type_dim *at;
    uint32_t n;
};

struct fields {
    VEC(struct type_field) fields;
    VEC(int64_t) initials;
    bool remembers;
};

static bool too_large(struct draft *draft, struct span span)
{
    diag_add(draft->diags, DIAG_ERROR, span,
             "review fewer elements: declare the array as long as this "
             "review needs it",
             "more than %d variables in one variable", DRAFT_MAX_SLOTS);
    return false;
}

/* Strides from the last dimension to the first; the number of elements. */
static bool place(struct draft *draft, struct dims dims,
                  const struct type *element, struct span span,
                  uint32_t *size)
{
    uint64_t all = element->size;

    for (uint32_t i = dims.n; i-- > 0;) {
        uint64_t n = (uint64_t)dims.at[i].high - (uint64_t)dims.at[i].low;

        dims.at[i].stride = (uint32_t)all;
        if (n >= DRAFT_MAX_SLOTS || all * (n + 1) > DRAFT_MAX_SLOTS)
            return too_large(draft, span);
        all *= n + 1;
    }
    *size = (uint32_t)all;
    return true;
}

static const struct type *make_array(struct draft *draft, struct dims dims,
                                     const struct type *element,
                                     struct span span)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);
    int64_t *initials;

    *type = (struct type){.kind = TYPE_ARRAY, .element = element,
                          .dims = dims.at, .n_dims = dims.n,
                          .remembers = element->remembers};
    if (!place(draft, dims, element, span, &type->size))
        return NULL;
    initials = arena_array(draft->arena, type->size, sizeof *initials);
    for (uint32_t i = 0; i < type->size; i++)
        initials[i] = type_initial(element, i % element->size);
    type->initials = initials;
    return type;
}

static bool add_field(struct draft *draft, struct fields *fields,
                      const struct tree_var *var, const struct type *type,
                      const int64_t *initials)
{
    size_t offset = fields->initials.n;

    if (offset + type->size > DRAFT_MAX_SLOTS)
        return too_large(draft, var->span);
    vec_push(&fields->fields,
             ((struct type_field){var->name,
                                  draft_spelling(draft, var->name,
                                                 var->span),
                                  type, (uint32_t)offset}));
    for (uint32_t i = 0; i < type->size; i++)
        vec_push(&fields->initials,
                 initials ? initials[i] : type_initial(type, i));
    fields->remembers |= type->remembers;
    return true;
}

static const struct type *make_structure(struct draft *draft,
                                         struct fields *fields)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);
    size_t n = fields->fields.n, size = fields->initials.n;
    struct type_field *rows = arena_array(draft->arena, n, sizeof *rows);
    int64_t *initials = arena_array(draft->arena, size, sizeof *initials);

    if (n)
        memcpy(rows, fields->fields.at, n * sizeof *rows);
    if (size)
        memcpy(initials, fields->initials.at, size * sizeof *initials);
    *type = (struct type){.kind = TYPE_STRUCT, .fields = rows,
                          .n_fields = (uint32_t)n, .size = (uint32_t)size,
                          .initials = initials,
                          .remembers = fields->remembers};
    return type;
}

/* ---- as they are written ---- */

const struct type *shape_array(struct draft *draft, const struct scope *scope,
                               const struct tree_type *tree)
{
    const struct type *element = draft->type_of(draft, scope, tree->element);
    const struct type *index = draft->types.lint;
    struct dims dims = {
        arena_array(draft->arena, tree->dims.n, sizeof *dims.at), 0};

    if (!element)
        return NULL;
    for (const struct tree_dim *at = tree->dims.first; at; at = at->next) {
        struct type_dim *dim = &dims.at[dims.n++];

        if (!at->low && draft->may_lack_bounds) {
            widening_bounds(draft, at->span, tree->dims.n, dim);
            continue;
        }
        if (!at->low) {
            diag_add(draft->diags, DIAG_ERROR, at->span,
                     "write its bounds, such as [1..4]",
                     "only a parameter of a block or function is an array "
                     "without bounds");
            return NULL;
        }
        if (!draft->constant(draft, scope, at->low, index, &dim->low) ||
            !draft->constant(draft, scope, at->high, index, &dim->high))
            return NULL;
        if (dim->low > dim->high) {
            diag_add(draft->diags, DIAG_ERROR, at->span,
                     "write the smaller bound first",
                     "this array begins above its end");
            return NULL;
        }
    }
    return make_array(draft, dims, element, tree->span);
}

static bool field(struct draft *draft, const struct scope *scope,
                  struct fields *fields, const struct tree_var *var)
{
    const struct type *type = draft->type_of(draft, scope, var->type);
    int64_t *initials = NULL;

    if (!type)
        return false;
    for (size_t i = 0; i < fields->fields.n; i++)
        if (fields->fields.at[i].name == var->name) {
            diag_add(draft->diags, DIAG_ERROR, var->span,
                     "give one of the two another name",
                     "the field '%s' is declared twice",
                     var->name->spelling);
            return false;
        }
    if (var->location) {
        diag_add(draft->diags, DIAG_ERROR, var->located, "leave AT out",
                 "a field has no place of its own at the terminals");
        return false;
    }
    if (var->initial) {
        initials = initial_default(draft, type);
        if (!initial_read(draft, scope, var->initial, type, initials))
            return false;
    }
    return add_field(draft, fields, var, type, initials);
}

/* EXTENDS: the fields of the other structure stand before its own. */
static bool inherit(struct draft *draft, const struct scope *scope,
                    struct fields *fields, const struct tree_type *tree)
{
    const struct type *other = draft->type_of(draft, scope, tree);

    if (!other)
        return false;
    if (other->kind != TYPE_STRUCT) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "name a type that is a STRUCT",
                 "a structure extends a structure, this is %s",
                 shape_words(draft, other));
        return false;
    }
    for (uint32_t i = 0; i < other->n_fields; i++)
        vec_push(&fields->fields, other->fields[i]);
    for (uint32_t i = 0; i < other->size; i++)
        vec_push(&fields->initials, type_initial(other, i));
    fields->remembers = other->remembers;
    return true;
}

const struct type *shape_structure(struct draft *draft,
                                   const struct scope *scope,
                                   const struct tree_type *tree)
{
    struct fields fields = {0};
    const struct type *type = NULL;
    bool good = !tree->heritage ||
                inherit(draft, scope, &fields, tree->heritage);

    for (const struct tree_var *at = tree->fields.first; at && good;
         at = at->next)
        good = field(draft, scope, &fields, at);
    if (good && !fields.fields.n)
        diag_add(draft->diags, DIAG_ERROR, tree->span, "give it fields",
                 "this structure is empty");
    else if (good)
        type = make_structure(draft, &fields);
    vec_release(&fields.fields);
    vec_release(&fields.initials);
    return type;
}

/* ---- enumerations ---- */

/* The number of each item: as written, else one more than that before it. */
bool shape_numbers(struct draft *draft, const struct type *base,
                   const struct tree_enum_item *items, struct type *type)
{
    int64_t *values = arena_array(draft->arena, type->count, sizeof *values);
    bool plain = true;
    uint32_t i = 0;

    if (!base)
        base = draft->types.lint;
    for (const struct tree_enum_item *at = items; at; at = at->next, i++) {
        values[i] = i ? values[i - 1] + 1 : 0;
        if (at->value &&
            !draft->constant(draft, NULL, at->value, base, &values[i]))
            return false;
        plain = plain && values[i] == i;
        if (values[i] < base->low || values[i] > base->high ||
            values[i] == INT64_MAX) {
            diag_add(draft->diags, DIAG_ERROR, at->span,
                     "choose smaller numbers, or a wider type",
                     "the number of the item '%s' does not fit the type %s",
                     at->name->spelling, type_words(base));
            return false;
        }
        for (uint32_t k = 0; !plain && k < i; k++)
            if (values[k] == values[i]) {
                diag_add(draft->diags, DIAG_ERROR, at->span,
                         "give every item a number of its own",
                         "the items '%s' and '%s' have the same number",
                         type->items[k]->spelling, at->name->spelling);
                return false;
            }
    }
    type->item_values = plain ? NULL : values;
    return true;
}

bool shape_numbered(const struct type *type, int64_t number, int64_t *item)
{
    for (uint32_t i = 0; i < type->count; i++)
        if ((type->item_values ? type->item_values[i] : i) == number) {
            *item = i;
            return true;
        }
    return false;
}

const char *shape_words(const struct draft *draft, const struct type *type)
{
    struct text words = {0};
    const char *result;

    if (type->name || type->kind != TYPE_ARRAY)
        return type_words(type);
    text_add(&words, "ARRAY [");
    for (uint32_t i = 0; i < type->n_dims; i++)
        text_printf(&words, "%s%lld..%lld", i ? ", " : "",
                    (long long)type->dims[i].low,
                    (long long)type->dims[i].high);
    text_printf(&words, "] OF %s", shape_words(draft, type->element));
    result = arena_copy(draft->arena, text_str(&words), words.n);
    text_release(&words);
    return result;
}
