#include "check/require.h"

#include "base/ensure.h"
#include "check/cause.h"
#include "check/expr.h"
#include "check/limit.h"
#include "check/noticing.h"
#include "check/past.h"
#include "check/sight.h"
#include "check/trigger.h"
#include "check/typing.h"
#include "check/used.h"
#include "check/whom.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

static bool enter(struct draft *draft, const struct tree_ident *ident,
                  enum symbol_kind kind, size_t index)
{
    return scope_add(&draft->labels, draft->arena, draft->diags,
                     &(struct symbol){.name = ident->name,
                                      .kind = kind,
                                      .span = ident->span,
                                      .index = (uint32_t)index}) != NULL;
}

void require_assumptions(struct draft *draft)
{
    struct env env = {
        .draft = draft, .text = TEXT_ASSUMPTION, .frame = MODEL_NONE};
    const struct tree_assumption *tree =
        draft->run->review.assumptions.first;

    for (; tree; tree = tree->next) {
        struct assumption row = {.name = draft_named(draft, tree->name->name,
                                                     tree->name->span),
                                 .title = tree->title.at,
                                 .because = tree->reason.because.at,
                                 .confirmed_by =
                                     tree->reason.confirmed_by.at,
                                 .span = tree->name->span};

        if (!row.title)
            row.title = row.name->spelling;
        row.condition = expr_condition(&env, tree->condition);
        enter(draft, tree->name, SYMBOL_LABEL, draft->assumptions.n);
        vec_push(&draft->assumptions, row);
    }
}

/* ---- parts of a requirement ---- */

static void hazards_of(struct draft *draft,
                       const struct tree_requirement *tree,
                       struct requirement *row)
{
    uint32_t *rows =
        arena_array(draft->arena, tree->hazards.n, sizeof *rows);
    const struct scope *scopes[1] = {&draft->labels};

    for (const struct tree_ident *at = tree->hazards.first; at;
         at = at->next) {
        const struct symbol *symbol = scope_find(&draft->labels, at->name);

        if (symbol && symbol->kind == SYMBOL_HAZARD) {
            rows[row->n_hazards++] = symbol->index;
            continue;
        }
        symbol = scope_nearest(scopes, 1, at->name);
        diag_add(draft->diags, DIAG_ERROR, at->span,
                 symbol && symbol->kind == SYMBOL_HAZARD
                     ? arena_printf(draft->arena, "write '%s'",
                                    symbol->name->spelling)
                     : "declare it in HAZARDS",
                 "there is no hazard '%s'", at->name->spelling);
    }
    row->hazards = rows;
}

static void despite_of(struct draft *draft,
                       const struct tree_requirement *tree,
                       struct requirement *row)
{
    bool *chosen =
        arena_array(draft->arena, draft->causes.n, sizeof *chosen);

    row->despite = (uint32_t)tree->despite;
    row->despite_of = chosen;
    for (size_t i = 0; !tree->despite_of.first && i < draft->causes.n; i++)
        chosen[i] = true;
    for (const struct tree_ident *at = tree->despite_of.first; at;
         at = at->next)
        cause_choose(draft, at, chosen);
    if (tree->despite > 0 && !tree->despite_of.first && draft->faults.n &&
        !draft->causes.n)
        refuse(draft, tree->name->span,
               "leave DESPITE out, or one of the exclusions",
               "DESPITE asks for faults, and all that are declared are "
               "EXCLUDED");
    if (tree->despite > 0 && !tree->despite_of.first && !draft->faults.n)
        refuse(draft, tree->name->span,
               "declare faults in FAULTS, or leave "
               "DESPITE out",
               "DESPITE asks for faults, and none are "
               "declared");
    if (tree->despite < 0 || tree->despite > UINT16_MAX)
        refuse(draft, tree->name->span, "write DESPITE 1 FAULT or 2 FAULTS",
               "this number of faults is out of range");
}

static bool own_limit(struct draft *draft,
                      const struct tree_requirement *tree,
                      struct requirement *row)
{
    row->limit.sampled = tree->sampled;
    if (!tree->limit)
        return true;
    if (!typing_constant(draft, NULL, tree->limit, draft->types.time,
                         &row->limit.wanted))
        return false;
    return row->limit.wanted > 0 ||
           refuse(draft, tree->limit->span, "write a time such as T#500ms",
                  "a requirement needs a time above zero");
}

/* ---- forms ---- */

/* Events of BY ITSELF: RISING e of hands and sensors, or e as it is. */
static bool events(struct env *env, const struct tree_expr *first,
                   bool rising, const struct code_expr ***out, uint32_t *n)
{
    uint32_t count = 0;

    for (const struct tree_expr *at = first; at; at = at->next)
        count++;
    *out = arena_array(env->draft->arena, count, sizeof **out);
    for (const struct tree_expr *at = first; at; at = at->next) {
        struct code_expr *held;
        struct sight sight = {0};

        env->in_edge = rising;
        held = expr_condition(env, at);
        env->in_edge = false;
        if (!held)
            return false;
        sight_add(env->draft, held, NULL, &sight);
        if (rising && sight.program)
            return refuse(env->draft, sight.place,
                          "name the contact, PRESSED or the sensor itself",
                          "STARTED BY takes what happens outside, not what "
                          "the program has read or computed");
        (*out)[(*n)++] =
            rising ? past_rising(env->draft, held, at->span) : held;
    }
    return true;
}

static bool by_itself(struct env *env, const struct tree_requirement *tree,
                      struct requirement *row)
{
    const struct code_expr **started, **cancelled;
    struct code_expr *y;

    env->in_edge = true;
    y = expr_condition(env, tree->a);
    env->in_edge = false;
    row->a = y;
    row->b = tree->b ? expr_condition(env, tree->b) : NULL;
    if (!events(env, tree->started_by.first, true, &started,
                &row->n_started_by) ||
        !events(env, tree->cancelled_by.first, false, &cancelled,
                &row->n_cancelled_by))
        return false;
    row->started_by = started;
    row->cancelled_by = cancelled;
    if (!y || (tree->b && !row->b))
        return false;
    row->a_previous = past_of(env->draft, y);
    return true;
}

static bool is_machine(const struct draft *draft,
                       const struct code_expr *expr)
{
    return expr->op == CODE_SENSOR ||
           (expr->op == CODE_VARIABLE &&
            draft->slots.at[expr->variable.index].home == SLOT_MACHINE);
}

static bool moves(struct env *env, const struct tree_requirement *tree,
                  struct requirement *row)
{
    struct code_expr *x = expr_check(env, tree->a, NULL);

    row->a = x;
    row->c = expr_condition(env, tree->b);
    if (!x || !row->c)
        return false;
    if (x->variable.n_steps)
        return refuse(env->draft, tree->a->span,
                      "write one requirement for each element",
                      "MOVES takes an element whose number is written");
    if (!is_machine(env->draft, x))
        return refuse(env->draft, tree->a->span,
                      "name what the actuator "
                      "moves, or write NEVER ... AND NOT ...",
                      "MOVES ONLY WHILE speaks of a machine variable or a "
                      "sensor");
    if (type_abstracted(x->type))
        return refuse(env->draft, tree->a->span,
                      "let the MECHANISM keep a position of its own",
                      "MOVES ONLY WHILE needs a variable that is followed in "
                      "full");
    row->a_previous = past_of(env->draft, x);
    return true;
}

static bool expressions(struct env *env,
                        const struct tree_requirement *tree,
                        struct requirement *row)
{
    if (tree->form == TREE_BY_ITSELF)
        return by_itself(env, tree, row);
    if (tree->form == TREE_MOVES_ONLY_WHILE)
        return moves(env, tree, row);
    if (tree->a)
        row->a = expr_condition(env, tree->a);
    if (tree->b)
        row->b = expr_condition(env, tree->b);
    if (tree->c)
        row->c = expr_condition(env, tree->c);
    if ((tree->a && !row->a) || (tree->b && !row->b) ||
        (tree->c && !row->c))
        return false;
    if (tree->form == TREE_POSSIBLE || tree->form == TREE_POSSIBLE_AGAIN) {
        row->c = row->a;
        row->a = NULL;
    }
    return tree->form != TREE_POSSIBLE_AGAIN ||
           whom_check(env->draft, tree, row);
}

/* ---- the whole ---- */

static void warn_of_mixing(struct draft *draft,
                           const struct requirement *row)
{
    struct sight sight = {0};

    if (row->form != FORM_NEVER && row->form != FORM_ALWAYS &&
        row->form != FORM_ONLY_IF)
        return;
    sight_add(draft, row->a, NULL, &sight);
    sight_add(draft, row->b, NULL, &sight);
    if (sight.machine_before && sight.hand_now)
        diag_add(draft->diags, DIAG_WARNING, row->a->span,
                 "write: variable MOVES ONLY WHILE condition",
                 "a movement seen now was made with the hands and outputs "
                 "of the scan before; this compares it with the hands of "
                 "now");
}

static void note_edges(const struct draft *draft, struct requirement *row)
{
    struct sight sight = {0};

    if (row->form != FORM_BY_ITSELF)
        sight_add(draft, row->a, NULL, &sight);
    for (uint32_t i = 0; i < row->n_started_by; i++)
        sight_add(draft, row->started_by[i], NULL, &sight);
    row->edge_of_hand = sight.hand_before;
}

static void check_one(struct draft *draft,
                      const struct tree_requirement *tree)
{
    struct env env = {
        .draft = draft, .text = TEXT_REQUIREMENT, .frame = MODEL_NONE};
    struct requirement row = {.name = draft_named(draft, tree->name->name,
                                                  tree->name->span),
                              .title = tree->title.at,
                              .refers_to = tree->refers_to.at,
                              .read_by = tree->read_by.at,
                              .used = tree->use ? tree->use->number
                                                : MODEL_NONE,
                              .form = (enum form)tree->form,
                              .span = tree->name->span,
                              .said = tree->span};
    bool good;

    ENSURE(tree->form != TREE_USE);
    if (!row.title)
        row.title = row.name->spelling;
    enter(draft, tree->name, SYMBOL_LABEL, draft->requirements.n);
    hazards_of(draft, tree, &row);
    despite_of(draft, tree, &row);
    good = expressions(&env, tree, &row);
    good = noticing_despite(draft, tree, &row) && good;
    if (!own_limit(draft, tree, &row) || !good)
        return;
    limit_requirement(draft, &row);
    warn_of_mixing(draft, &row);
    note_edges(draft, &row);
    trigger_make(draft, &row);
    vec_push(&draft->requirements, row);
}

_Static_assert((int)TREE_POSSIBLE == (int)FORM_POSSIBLE &&
                   (int)TREE_POSSIBLE_AGAIN == (int)FORM_POSSIBLE_AGAIN &&
                   (int)TREE_AT_LEAST == (int)FORM_AT_LEAST &&
                   (int)TREE_ONLY_IF == (int)FORM_ONLY_IF,
               "forms in the same order");

void require_all(struct draft *draft)
{
    const struct tree_review *review = &draft->run->review;

    for (const struct tree_hazard *at = review->hazards.first; at;
         at = at->next) {
        struct hazard row = {at->name->name, at->title.at};

        if (!row.title)
            row.title = row.name->spelling;
        enter(draft, at->name, SYMBOL_HAZARD, draft->hazards.n);
        vec_push(&draft->hazards, row);
    }
    used_all(draft);
    for (const struct tree_requirement *at = review->requirements.first; at;
         at = at->next)
        check_one(draft, at);
}
