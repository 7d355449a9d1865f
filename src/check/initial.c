#include "check/initial.h"

#include <string.h>

#include "check/instance.h"

/* Where values are read to, and what is known. */
struct reader {
    struct draft *draft;
    const struct scope *scope;
};

static bool read_value(const struct reader *r, const struct tree_expr *tree,
                       const struct type *type, int64_t *values);

int64_t *initial_default(struct draft *draft, const struct type *type)
{
    int64_t *values = arena_array(draft->arena, type->size, sizeof *values);

    for (uint32_t i = 0; i < type->size; i++)
        values[i] = type_initial(type, i);
    return values;
}

static bool refuse(const struct reader *r, struct span span,
                   const char *hint, const char *what)
{
    diag_add(r->draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

/* ---- arrays ---- */

/* The list being read: elements so far. */
struct list {
    const struct type *type;
    int64_t *values;
    uint32_t n;
    bool full; /* more was given and reported */
};

static bool is_full(const struct reader *r, struct list *list,
                    struct span span)
{
    uint32_t most = list->type->size / list->type->element->size;

    if (list->n < most)
        return false;
    if (!list->full)
        diag_add(r->draft->diags, DIAG_ERROR, span,
                 "leave it out, or declare the array longer",
                 "more values than the %u elements of the array",
                 (unsigned)most);
    list->full = true;
    return true;
}

/* Elements may be arrays themselves: a list within the list is one of them,
 * or, where the array has several dimensions, one row of it. */
static bool read_elements(const struct reader *r, struct list *list,
                          const struct tree_expr *tree);

static bool read_element(const struct reader *r, struct list *list,
                         const struct tree_expr *tree)
{
    const struct type *element = list->type->element;

    if (tree->kind == TREE_REPEATED) {
        for (int64_t i = 0; i < tree->number; i++) {
            uint32_t n = list->n;

            if (!read_elements(r, list, tree))
                return false;
            if (list->n == n)
                break; /* nothing stands in it */
        }
        return true;
    }
    if (tree->kind == TREE_ELEMENTS && element->kind != TYPE_ARRAY &&
        list->type->n_dims > 1)
        return read_elements(r, list, tree);
    if (is_full(r, list, tree->span))
        return false;
    return read_value(r, tree, element,
                      list->values + (size_t)list->n++ * element->size);
}

static bool read_elements(const struct reader *r, struct list *list,
                          const struct tree_expr *tree)
{
    /* n() stands for n defaults */
    if (tree->kind == TREE_REPEATED && !tree->args.first) {
        if (is_full(r, list, tree->span))
            return false;
        list->n++;
    }
    for (const struct tree_arg *arg = tree->args.first; arg; arg = arg->next)
        if (!read_element(r, list, arg->value))
            return false;
    return true;
}

/* ---- structures and instances ---- */

static bool unknown_field(const struct reader *r, const struct tree_arg *arg,
                          const struct type *type)
{
    diag_add(r->draft->diags, DIAG_ERROR, arg->name->span,
             type->kind == TYPE_BLOCK ? "name one of its inputs"
                                      : "name one of its fields",
             "'%s' has no '%s'", type_words(type),
             arg->name->name->spelling);
    return false;
}

/* The part of that name: its type, and where it begins. */
static const struct type *part_of(struct draft *draft,
                                  const struct type *type,
                                  const struct name *name, uint32_t *offset)
{
    const struct type_field *field;
    const struct symbol *symbol;

    if (type->kind == TYPE_STRUCT) {
        field = type_field(type, name);
        *offset = field ? field->offset : 0;
        return field ? field->type : NULL;
    }
    symbol = scope_find(&type->unit->scope, name);
    if (!symbol || symbol->hidden || symbol->variable.base != CODE_LOCAL ||
        symbol->constant)
        return NULL;
    *offset = symbol->variable.index;
    return symbol->kind == SYMBOL_INSTANCE
               ? instance_type(draft, symbol->unit) : symbol->type;
}

static bool read_fields(const struct reader *r, const struct tree_expr *tree,
                        const struct type *type, int64_t *values)
{
    uint32_t offset;

    for (const struct tree_arg *arg = tree->args.first; arg;
         arg = arg->next) {
        const struct type *part =
            part_of(r->draft, type, arg->name->name, &offset);

        if (!part)
            return unknown_field(r, arg, type);
        for (const struct tree_arg *at = tree->args.first; at != arg;
             at = at->next)
            if (at->name->name == arg->name->name)
                return refuse(r, arg->name->span, "give it once",
                              "this field is given twice");
        if (!read_value(r, arg->value, part, values + offset))
            return false;
    }
    return true;
}

/* ---- values ---- */

/* A CONSTANT that is an array or a structure. */
static bool read_constant(const struct reader *r,
                          const struct tree_expr *tree,
                          const struct type *type, int64_t *values)
{
    const struct name *name =
        tree->kind == TREE_REF && tree->path->parts.n == 1
            ? tree->path->parts.first->name : NULL;
    const struct symbol *symbol =
        name && r->scope ? scope_find(r->scope, name) : NULL;

    if (name && !symbol)
        symbol = scope_find(&r->draft->globals, name);
    if (!symbol || !symbol->constant || !symbol->values ||
        !type_same(symbol->type, type))
        return refuse(r, tree->span,
                      type->kind == TYPE_ARRAY
                          ? "write its elements in [ ], such as [1, 2, 3(0)]"
                          : "write its fields in ( ), such as (x := 1)",
                      "this is no initial value of an array, a structure or "
                      "an instance");
    memcpy(values, symbol->values, type->size * sizeof *values);
    return true;
}

static bool read_value(const struct reader *r, const struct tree_expr *tree,
                       const struct type *type, int64_t *values)
{
    struct list list = {.type = type, .values = values};

    if (type_elementary(type))
        return r->draft->constant(r->draft, r->scope, tree, type, values);
    if (type->kind == TYPE_ARRAY && tree->kind == TREE_ELEMENTS)
        return read_elements(r, &list, tree);
    if (type->kind != TYPE_ARRAY && tree->kind == TREE_FIELDS)
        return read_fields(r, tree, type, values);
    if (type->kind == TYPE_STRUCT && tree->kind == TREE_ELEMENTS)
        return refuse(r, tree->span,
                      "write its fields in ( ), such as (x := 1)",
                      "[ ] stand around the elements of an array");
    return read_constant(r, tree, type, values);
}

bool initial_read(struct draft *draft, const struct scope *scope,
                  const struct tree_expr *tree, const struct type *type,
                  int64_t *values)
{
    const struct reader reader = {draft, scope};

    return read_value(&reader, tree, type, values);
}
