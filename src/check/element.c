#include "check/element.h"

#include <string.h>

#include "check/arith.h"
#include "check/extent.h"
#include "check/loose.h"
#include "check/typing.h"
#include "check/wording.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what, const struct type *type)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s, this is %s", what,
             wording_type(draft, type));
    return false;
}

/* ---- fields ---- */

static bool no_field(struct draft *draft, const struct path_part *part,
                     const struct type *type)
{
    const struct name **names =
        arena_array(draft->arena, type->n_fields, sizeof *names);
    const struct name *near;

    for (uint32_t i = 0; i < type->n_fields; i++)
        names[i] = type->fields[i].name;
    near = name_nearest(part->name, names, type->n_fields);
    diag_add(draft->diags, DIAG_ERROR, part->span,
             near ? arena_printf(draft->arena, "write '%s'",
                                 type_field(type, near)->spelling)
                  : "name one of its fields",
             "%s has no field '%s'",
             type->name ? arena_printf(draft->arena, "'%s'",
                                       type->name->spelling)
                        : "this structure",
             part->name->spelling);
    return false;
}

static bool step_field(struct draft *draft, const struct path_part *part,
                       struct element *at)
{
    const struct type_field *field = type_field(at->type, part->name);

    if (!field)
        return no_field(draft, part, at->type);
    at->variable = code_behind(at->variable, field->offset);
    at->part += field->offset;
    at->type = field->type;
    return true;
}

/* ---- indices ---- */

static bool outside(struct draft *draft, struct span span, int64_t value,
                    const struct type_dim *dim)
{
    diag_add(draft->diags, DIAG_ERROR, span,
             arena_printf(draft->arena, "write an index from %lld to %lld",
                          (long long)dim->low, (long long)dim->high),
             "there is no element %lld", (long long)value);
    return false;
}

static void go(struct element *at, int64_t value, const struct type_dim *dim)
{
    uint32_t slots = (uint32_t)(value - dim->low) * dim->stride;

    at->variable = code_behind(at->variable, slots);
    at->part += slots;
}

static void add_step(struct draft *draft, struct element *at,
                     struct code_index step)
{
    uint32_t n = at->variable.n_steps;
    struct code_index *steps =
        arena_array(draft->arena, (size_t)n + 1, sizeof *steps);

    if (n)
        memcpy(steps, at->variable.steps, n * sizeof *steps);
    steps[n] = step;
    at->variable.steps = steps;
    at->variable.n_steps = n + 1;
}

static bool step_known(struct draft *draft, const struct tree_expr *tree,
                       const struct type_dim *dim, struct element *at)
{
    int64_t value;

    if (!typing_constant(draft, &draft->review, tree, draft->types.lint,
                         &value))
        return false;
    if (value < dim->low || value > dim->high)
        return outside(draft, tree->span, value, dim);
    go(at, value, dim);
    return true;
}

static bool step_index(struct env *env, const struct tree_expr *tree,
                       const struct type_dim *dim, struct element *at)
{
    struct draft *draft = env->draft;
    struct code_expr *value = draft->expr_check(env, tree, NULL);
    struct code_index step = {.value = value, .low = dim->low,
                              .high = dim->high, .stride = dim->stride,
                              .site = CODE_NO_SITE};

    if (!value)
        return false;
    loose_number(env, value);
    if (value->type->kind != TYPE_INTEGER)
        return refuse(draft, tree->span, "write a number",
                      "an index is a whole number", value->type);
    arith_settle(draft, value);
    if (value->op == CODE_CONST) {
        if (value->value < dim->low || value->value > dim->high)
            return outside(draft, tree->span, value->value, dim);
        go(at, value->value, dim);
        return true;
    }
    if (!extent_lies_in(value, dim->low, dim->high))
        step.site = draft_site(draft, ERROR_INDEX,
                               env->text != TEXT_CONTROL, tree->span);
    add_step(draft, at, step);
    return true;
}

static bool step_indices(struct draft *draft, struct env *env,
                         const struct path_part *part, struct element *at)
{
    const struct type *type = at->type;
    const struct tree_expr *index = part->indices.first;

    if (part->indices.n != type->n_dims) {
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 arena_printf(draft->arena, "it is %s",
                              wording_type(draft, type)),
                 "this array has %u %s, not %u", (unsigned)type->n_dims,
                 type->n_dims == 1 ? "index" : "indices",
                 (unsigned)part->indices.n);
        return false;
    }
    for (uint32_t i = 0; i < type->n_dims; i++, index = index->next)
        if (env ? !step_index(env, index, &type->dims[i], at)
                : !step_known(draft, index, &type->dims[i], at))
            return false;
    at->type = type->element;
    return true;
}

bool element_step(struct draft *draft, struct env *env,
                  const struct path_part *part, struct element *at)
{
    if (part->kind == PART_NAME)
        return step_field(draft, part, at);
    if (part->kind == PART_INDEX && at->type->kind == TYPE_ARRAY)
        return step_indices(draft, env, part, at);
    if (part->kind == PART_INDEX)
        return refuse(draft, part->span, "take the index away",
                      "only an array has elements", at->type);
    return refuse(draft, part->span, "name the variable alone",
                  "only bit strings have bits", at->type);
}
