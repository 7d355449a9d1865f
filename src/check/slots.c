#include "check/slots.h"

#include "base/text.h"
#include "check/standard.h"

/* A variable on its way into slots. */
struct unfolding {
    const char *path;
    struct slot like;
    const int64_t *initials; /* of its slots; of rows: NULL, each its own */
};

static bool unfold_rows(struct draft *draft,
                        const struct code_frame_var *rows, size_t count,
                        struct unfolding at);
static bool unfold_type(struct draft *draft, const struct type *type,
                        struct unfolding at);

static bool unfold_array(struct draft *draft, const struct type *type,
                         struct unfolding at)
{
    const char *name = at.path;
    struct unfolding element = at;

    for (uint32_t i = 0; i < type->size; i += type->element->size) {
        struct text path = {0};

        for (uint32_t d = 0; d < type->n_dims; d++) {
            const struct type_dim *dim = &type->dims[d];
            uint32_t all = (uint32_t)(dim->high - dim->low + 1);

            text_printf(&path, "%s%lld", d ? "," : "",
                        (long long)(dim->low + i / dim->stride % all));
        }
        element.path = arena_printf(draft->arena, "%s[%s]", name,
                                    text_str(&path));
        element.initials = at.initials + i;
        text_release(&path);
        if (!unfold_type(draft, type->element, element))
            return false;
    }
    return true;
}

static bool unfold_fields(struct draft *draft, const struct type *type,
                          struct unfolding at)
{
    struct unfolding field = at;

    for (uint32_t i = 0; i < type->n_fields; i++) {
        field.path = arena_printf(draft->arena, "%s.%s", at.path,
                                  type->fields[i].spelling);
        field.initials = at.initials + type->fields[i].offset;
        if (!unfold_type(draft, type->fields[i].type, field))
            return false;
    }
    return true;
}

static bool unfold_type(struct draft *draft, const struct type *type,
                        struct unfolding at)
{
    const struct code_pou *pou;
    uint32_t number;

    switch (type->kind) {
    case TYPE_ARRAY:
        return !type->size || unfold_array(draft, type, at);
    case TYPE_STRUCT:
        return unfold_fields(draft, type, at);
    case TYPE_BLOCK:
        pou = type->unit->pou;
        return unfold_rows(draft, pou->vars, pou->n_vars, at);
    default:
        at.like.path = at.path;
        at.like.type = type;
        at.like.initial = at.initials[0];
        at.like.start = MODEL_NONE;
        return draft_slot(draft, &at.like, &number);
    }
}

static bool unfold_row(struct draft *draft,
                       const struct code_frame_var *row, struct unfolding at)
{
    const char *name = draft_spelling(draft, row->name, row->span);

    if (at.initials)
        at.initials += row->offset;
    else
        at.initials = row->initials ? row->initials
                      : row->pou    ? NULL : &row->initial;
    if (*at.path)
        name = arena_printf(draft->arena, "%s.%s", at.path, name);
    at.path = name;
    at.like.retain |= row->retain;
    if (row->pou)
        return unfold_rows(draft, row->pou->vars, row->pou->n_vars, at);
    at.like.temp |= row->temp;
    at.like.clock = standard_is_age(row);
    if (row->span.file)
        at.like.span = row->span;
    return unfold_type(draft, row->type, at);
}

static bool unfold_rows(struct draft *draft,
                        const struct code_frame_var *rows, size_t count,
                        struct unfolding at)
{
    for (size_t i = 0; i < count; i++)
        if (!unfold_row(draft, &rows[i], at))
            return false;
    return true;
}

bool slots_unfold_rows(struct draft *draft,
                      const struct code_frame_var *rows, size_t count,
                      const char *path, const struct slot *like)
{
    return unfold_rows(draft, rows, count,
                       (struct unfolding){.path = path, .like = *like});
}

bool slots_unfold(struct draft *draft, const struct unit *unit,
                 const char *path, const struct slot *like, uint32_t *base)
{
    *base = (uint32_t)draft->slots.n;
    return slots_unfold_rows(draft, unit->pou->vars, unit->pou->n_vars, path,
                            like);
}
