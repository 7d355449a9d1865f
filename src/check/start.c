#include "check/start.h"

#include "check/initial.h"

/* One part of the variable, and how far behind its first value. */
struct spot {
    const struct type *type;
    uint32_t offset;
};

static bool wrong(struct draft *draft, struct span span, const char *hint,
                  const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

/* A variable of an instance that has its value in itself. */
static bool to_variable(const struct path_part *part, struct spot *spot)
{
    const struct symbol *symbol =
        scope_find(&spot->type->unit->scope, part->name);

    if (!symbol || !symbol->type || symbol->variable.base != CODE_LOCAL)
        return false;
    spot->offset += symbol->variable.index;
    spot->type = symbol->type;
    return true;
}

static bool to_element(struct draft *draft, const struct scope *scope,
                       const struct path_part *part, struct spot *spot)
{
    const struct tree_expr *index = part->indices.first;
    const struct type *type = spot->type;
    int64_t value;

    if (type->kind != TYPE_ARRAY || part->indices.n != type->n_dims)
        return false;
    for (uint32_t i = 0; i < type->n_dims; i++, index = index->next) {
        if (!draft->constant(draft, scope, index, draft->types.lint,
                             &value) ||
            value < type->dims[i].low || value > type->dims[i].high)
            return false;
        spot->offset +=
            (uint32_t)(value - type->dims[i].low) * type->dims[i].stride;
    }
    spot->type = type->element;
    return true;
}

static bool step(struct draft *draft, const struct scope *scope,
                 const struct path_part *part, struct spot *spot)
{
    const struct type_field *field;

    if (part->kind == PART_INDEX)
        return to_element(draft, scope, part, spot);
    if (part->kind != PART_NAME)
        return false;
    if (spot->type->kind == TYPE_BLOCK)
        return to_variable(part, spot);
    if (spot->type->kind != TYPE_STRUCT)
        return false;
    field = type_field(spot->type, part->name);
    if (!field)
        return false;
    spot->offset += field->offset;
    spot->type = field->type;
    return true;
}

static bool start_value(struct draft *draft, const struct scope *scope,
                        const struct tree_stmt *stmt, struct spot spot,
                        int64_t *values)
{
    if (stmt->kind == TREE_EMPTY)
        return true;
    if (stmt->kind != TREE_ASSIGN)
        return wrong(draft, stmt->span, "write name := value",
                     "behind BEGIN stand start values only");
    for (const struct path_part *part = stmt->target->parts.first; part;
         part = part->next)
        if (!step(draft, scope, part, &spot))
            return wrong(draft, part->span,
                         "name what is declared above, with written indices",
                         "the DATA_BLOCK has no such part");
    return initial_read(draft, scope, stmt->value, spot.type,
                        values + spot.offset);
}

bool start_values(struct draft *draft, const struct scope *scope,
                  const struct tree_stmt *starts, const struct type *type,
                  int64_t *values)
{
    bool good = true;

    for (; starts; starts = starts->next)
        good &= start_value(draft, scope, starts, (struct spot){type, 0},
                            values);
    return good;
}
