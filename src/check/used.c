#include "check/used.h"

#include "check/typing.h"

static int compare_whole(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

/* Two numbers as they are written. */
static int compare_amounts(const struct tree_expr *a,
                           const struct tree_expr *b)
{
    double x = a->kind == TREE_REAL ? a->real : (double)a->number;
    double y = b->kind == TREE_REAL ? b->real : (double)b->number;

    if (a->kind == TREE_INTEGER && b->kind == TREE_INTEGER)
        return compare_whole(a->number, b->number);
    return (x > y) - (x < y);
}

/* Sign of given - own.  False when a mistake was reported. */
static bool compare(struct draft *draft,
                    const struct tree_parameter *parameter,
                    const struct tree_expr *given, int *order)
{
    int64_t value;

    if (parameter->kind == TREE_AMOUNT) {
        *order = parameter->initial
                     ? compare_amounts(given, parameter->initial) : 0;
        return true;
    }
    if (!typing_constant(draft, NULL, given, draft->types.time, &value))
        return false;
    *order = parameter->initial
                 ? compare_whole(value, parameter->initial->number) : 0;
    return true;
}

static enum used_state state_of(struct draft *draft,
                                const struct tree_parameter *parameter,
                                const struct tree_given *given)
{
    int order = 0;

    if (parameter->side == TREE_NO_SIDE)
        return USED_GIVEN;
    if (given && !compare(draft, parameter, given->value, &order))
        return USED_GIVEN;
    if (!parameter->initial)
        return USED_GIVEN;
    if (order == 0)
        return USED_SAME;
    return (order < 0) == (parameter->side == TREE_BELOW) ? USED_STRICTER
                                                          : USED_LOOSER;
}

static struct used_parameter parameter_row(
    struct draft *draft, const struct tree_parameter *parameter,
    const struct tree_given *given)
{
    const struct tree_expr *own = parameter->initial;
    struct used_parameter row = {
        .name = draft_named(draft, parameter->name->name,
                            parameter->name->span)->spelling,
        .title = parameter->title.at,
        .why = parameter->why.at,
        .state = state_of(draft, parameter, given)};

    if (own)
        row.own = draft_words(draft, own->span);
    row.words = given ? draft_words(draft, given->value->span) : row.own;
    if (given) {
        row.because = given->reason.because.at;
        row.confirmed_by = given->reason.confirmed_by.at;
    }
    return row;
}

static void add_row(struct draft *draft, const struct tree_use *use)
{
    const struct tree_template *template = use->template;
    struct used_parameter *rows = arena_array(
        draft->arena, template->parameters.n, sizeof *rows);
    struct used_template row = {
        .name = draft_named(draft, use->called->name, use->called->span),
        .template = draft_named(draft, template->name->name,
                                template->name->span),
        .title = template->title.at,
        .source = template->source.at,
        .parameters = rows,
        .span = template->name->span};

    for (const struct tree_parameter *at = template->parameters.first; at;
         at = at->next, row.n_parameters++) {
        struct used_parameter *made = &rows[row.n_parameters];

        *made = parameter_row(draft, at,
                              use->by_parameter[row.n_parameters]);
        row.n_looser += made->state == USED_LOOSER;
        row.n_unexplained += made->state == USED_LOOSER && !made->because;
    }
    vec_push(&draft->used, row);
}

void used_all(struct draft *draft)
{
    for (const struct tree_use *at = draft->run->review.uses.first; at;
         at = at->next)
        add_row(draft, at);
}
