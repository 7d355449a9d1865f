#include "check/stmt.h"

#include <string.h>

#include "check/abstract.h"
#include "check/arith.h"
#include "check/called.h"
#include "check/enabled.h"
#include "check/execution.h"
#include "check/expr.h"
#include "check/loop.h"
#include "check/loose.h"
#include "check/missing.h"
#include "check/opentimer.h"
#include "check/resolve.h"
#include "check/shape.h"
#include "check/target.h"
#include "check/typing.h"
#include "check/whole.h"
#include "check/wide.h"
#include "check/written.h"

enum { MAX_NESTING = 200 };

/* w.3 := value gives w all its bits again, one of them new. */
static bool assign_bit(struct env *env, const struct tree_stmt *tree,
                       const struct found *found, struct code_stmt *out)
{
    struct code_expr *whole = arith_new(env->draft, CODE_VARIABLE,
                                        found->type, tree->target->span);
    struct code_expr *with = arith_new(
        env->draft, CODE_WITH_BIT, type_base(found->type), tree->span);
    struct code_expr *value = expr_condition(env, tree->value);
    const struct type *back;

    whole->variable = found->variable;
    back = loose_bits(env, whole, NULL);
    with->type = type_base(whole->type);
    with->left = whole;
    with->right = value;
    with->index = found->index;
    with = value ? wide_value(env, with) : with;
    if (!with)
        return false;
    with = loose_back(env, back, with);
    out->kind = CODE_ASSIGN;
    out->target = found->variable;
    out->target_type = found->type;
    out->value = with;
    return value && arith_store(env, with, found->type, &out->site);
}

/* Nothing of a text is kept; the value and the index are evaluated. */
static bool assign_letter(struct env *env, const struct tree_stmt *tree,
                          const struct found *found, struct code_stmt *out)
{
    struct code_expr *value = expr_check(env, tree->value, NULL);
    struct code_expr *made_of[2] = {(struct code_expr *)found->letter,
                                    value};

    if (!value)
        return false;
    arith_settle(env->draft, value);
    if (!type_abstracted(value->type) && value->type->kind != TYPE_BITS &&
        value->type->kind != TYPE_INTEGER) {
        diag_add(env->draft->diags, DIAG_ERROR, tree->value->span,
                 "give a text of one letter, or its number",
                 "a letter of a text is a text or a number, this is %s",
                 type_words(value->type));
        return false;
    }
    out->kind = CODE_ASSIGN;
    out->target = found->variable;
    out->target_type = found->type;
    out->value = abstract_any(
        env,
        (struct open_place){.kind = OPEN_VALUE,
                            .what = "letter",
                            .type = type_base(found->type),
                            .span = tree->span},
        made_of, 2);
    return out->value != NULL;
}

static bool assign(struct env *env, const struct tree_stmt *tree,
                   struct code_stmt *out)
{
    struct found found = {0};
    bool good = target_bit(env, tree->target, &found);
    struct code_expr *value;

    if (good && found.letter)
        return assign_letter(env, tree, &found, out);
    if (good && found.bit)
        return assign_bit(env, tree, &found, out);
    if (!good && found.kind == FOUND_INSTANCE)
        return false; /* most likely the value is one, too */
    value = expr_value(env, tree->value, good ? found.type : NULL);

    if (!good || !value)
        return false;
    if (found.type->remembers) {
        diag_add(env->draft->diags, DIAG_ERROR, tree->span,
                 "assign its other fields one by one",
                 "an instance of a block is not copied");
        return false;
    }
    out->kind = CODE_ASSIGN;
    out->target = found.variable;
    out->target_type = found.type;
    out->value = value;
    loose_store(env, value, found.type);
    return arith_store(env, value, found.type, &out->site);
}

/* The type of what is given to, or takes, a parameter; or NULL. */
static const struct type *type_given(struct env *env,
                                     const struct tree_arg *arg)
{
    struct found found;
    const struct code_expr *value;

    if (arg->output)
        return arg->value->kind == TREE_REF &&
                       target_resolve(env, arg->value->path, &found)
                   ? found.type : NULL;
    value = expr_check(env, arg->value, NULL);
    return value ? value->type : NULL;
}

/* A call of a block that nobody declares. */
static bool without_text(struct env *env, const struct tree_stmt *tree)
{
    const struct path_part *first = tree->target->parts.first;
    const struct symbol *symbol =
        env->unit && !first->next
            ? scope_find(&env->unit->scope, first->name) : NULL;

    if (env->unit && !symbol && !first->next)
        symbol = scope_find(&env->draft->globals, first->name);
    if (!symbol || !symbol->missing)
        return false;
    missing_called(symbol, tree->span);
    for (const struct tree_arg *arg = tree->args.first; arg;
         arg = arg->next)
        if (arg->name)
            missing_port(symbol, arg->name->name, type_given(env, arg),
                         arg->output);
    return true;
}

static bool names_function(struct env *env, const struct tree_path *path)
{
    const struct name *name = path->parts.first->name;
    const struct symbol *unit = scope_find(&env->draft->unit_scope, name);

    if (env->text != TEXT_CONTROL || path->parts.first->next ||
        scope_find(&env->unit->scope, name) ||
        scope_find(&env->draft->globals, name))
        return false;
    return unit ? unit->unit->pou->kind == POU_FUNCTION
                : expr_is_function(env, path);
}

/* The result of a function goes back to where the function left it; what a
 * function of the language gives chooses nothing. */
static bool drop_result(struct env *env, const struct tree_stmt *tree,
                        struct code_stmt *out)
{
    struct tree_expr *call = ARENA_NEW(env->draft->arena, struct tree_expr);
    struct code_expr *value;

    call->kind = TREE_CALL;
    call->path = tree->target;
    call->args.first = tree->args.first;
    call->args.last = tree->args.last;
    call->args.n = tree->args.n;
    call->span = tree->span;
    call->height = 1;
    env->drops = true;
    value = expr_value(env, call, NULL);
    env->drops = false;
    if (!value)
        return false;
    told_seen(env->draft, TOLD_RESULT, tree->span);
    out->value = value;
    if (value->op != CODE_CALL) {
        out->kind = CODE_CASE;
        arith_settle(env->draft, value);
        return type_elementary(value->type) &&
               value->type->kind != TYPE_OPAQUE;
    }
    out->kind = CODE_ASSIGN;
    out->target = (struct code_variable){
        .base = CODE_GLOBAL,
        .index = value->pou->frame + value->pou->result};
    out->target_type = value->type;
    return true;
}

/* What is called: its unit and where its frame begins. */
static bool callee(struct env *env, const struct tree_stmt *tree,
                   struct found *found)
{
    const struct path_part *first = tree->target->parts.first;

    *found = (struct found){
        .unit = first->next ? NULL : called_named(env, first->name)};
    if (!found->unit)
        return !without_text(env, tree) &&
               target_instance(env, tree->target, found);
    found->variable.base = CODE_GLOBAL;
    found->variable.index = called_frame(env->draft, found->unit);
    return called_from(env, found->unit, tree->target->span) &&
           found->variable.index != MODEL_NONE;
}

static bool invoke(struct env *env, const struct tree_stmt *tree,
                   struct code_stmt *out)
{
    struct found found;
    struct expr_call call = {.args = tree->args.first, .span = tree->span};
    bool good;

    if (names_function(env, tree->target))
        return drop_result(env, tree, out);
    if (!callee(env, tree, &found))
        return false;
    call.unit = found.unit;
    if (!expr_arguments(env, &call))
        return false;
    out->kind = CODE_INVOKE;
    out->pou = found.unit->pou;
    out->instance = found.variable;
    out->args = call.checked;
    out->n_args = call.n_checked;
    if (!target_gives(env, found.unit, out))
        return false;
    return opentimer_call(env, &found, out, &good) ? good : true;
}

/* ---- EN and ENO ---- */

static bool check_one(struct env *env, const struct tree_stmt *tree,
                      struct code_stmt *out);

/* Where EN is FALSE. */
static bool any_result(struct env *env, const struct tree_stmt *tree,
                       struct code_stmt *out)
{
    struct found found = {0};

    if (!target_bit(env, tree->target, &found))
        return false;
    if (found.bit || !type_elementary(found.type)) {
        diag_add(env->draft->diags, DIAG_ERROR, tree->span,
                 "write IF around the call",
                 "a call with EN gives its result to a variable of one "
                 "value in this version");
        return false;
    }
    out->kind = CODE_ASSIGN;
    out->span = tree->span;
    out->site = CODE_NO_SITE;
    out->choice = MODEL_NONE;
    out->target = found.variable;
    out->target_type = found.type;
    out->value = abstract_any(
        env,
        (struct open_place){
            .kind = OPEN_VALUE,
            .what = draft_spelling(env->draft,
                                   tree->value->path->parts.first->name,
                                   tree->value->path->span),
            .type = found.type,
            .apart = true,
            .span = tree->value->span},
        NULL, 0);
    return out->value != NULL;
}

static const struct code_pou *called_by(struct env *env,
                                        const struct tree_stmt *tree,
                                        const struct code_stmt *stmt)
{
    const struct tree_path *path = tree->kind == TREE_ASSIGN
                                       ? tree->value->path : tree->target;
    const struct symbol *symbol =
        scope_find(&env->draft->unit_scope, path->parts.first->name);

    return stmt->kind == CODE_INVOKE ? stmt->pou
           : symbol                  ? symbol->unit->pou
                                     : NULL;
}

/* The call, or what is there without it, and what ENO says. */
static bool fill(struct env *env, const struct enabled *parts, bool runs,
                 struct code_branch *branch)
{
    const struct tree_stmt *eno = runs ? parts->yes : parts->no;
    struct code_stmt *rows =
        arena_array(env->draft->arena, 2, sizeof *rows);
    const struct code_pou *pou;

    branch->body = rows;
    branch->span = parts->call->span;
    branch->branch = CODE_NO_SITE;
    if (runs || parts->call->kind == TREE_ASSIGN) {
        struct code_stmt *row = &rows[branch->n_body++];

        if (!(runs ? check_one(env, parts->call, row)
                   : any_result(env, parts->call, row)))
            return false;
        pou = runs ? called_by(env, parts->call, row) : NULL;
        if (pou && enabled_declared(env, pou, parts->call->span))
            return false;
    }
    return !eno || check_one(env, eno, &rows[branch->n_body++]);
}

static bool enabled(struct env *env, const struct enabled *parts,
                    struct code_stmt *out)
{
    struct code_branch *rows =
        arena_array(env->draft->arena, 2, sizeof *rows);

    out->kind = CODE_IF;
    out->branches = rows;
    out->n_branches = 2;
    rows[0].condition =
        parts->en ? expr_condition(env, parts->en)
                  : arith_constant(env->draft, env->draft->types.boolean, 1,
                                   parts->call->span);
    return rows[0].condition && fill(env, parts, true, &rows[0]) &&
           fill(env, parts, false, &rows[1]);
}

static bool holds_instance(const struct env *env, const struct name *name)
{
    const struct symbol *symbol = scope_find(&env->unit->scope, name);

    if (!symbol)
        symbol = scope_find(&env->draft->globals, name);
    return symbol && symbol->type && symbol->type->remembers;
}

/* Does what is called declare EN, as any input? */
static bool gives_enable(struct env *env, const struct tree_stmt *tree,
                         bool *good)
{
    bool call = tree->kind == TREE_ASSIGN && tree->value->kind == TREE_CALL;
    const struct tree_path *path = call ? tree->value->path : tree->target;
    const struct symbol *unit;
    struct found found = {0};
    bool known;

    *good = true;
    if (env->text != TEXT_CONTROL || !enabled_asks(tree))
        return false;
    if (call || names_function(env, path)) {
        unit = scope_find(&env->draft->unit_scope, path->parts.first->name);
        if (unit)
            found.unit = env->draft->unit_named(env->draft, unit->name,
                                                path->span, &known);
    } else if (holds_instance(env, path->parts.first->name)) {
        *good = resolve_path(env, path, NULL, &found);
    }
    return *good && found.unit && execution_declared(found.unit);
}

/* ---- MOVE, SEL and MUX of whole variables ---- */

static bool chosen(struct env *env, const struct whole *whole,
                   struct code_stmt *out)
{
    struct draft *draft = env->draft;
    struct code_branch *rows;
    struct code_expr *value;

    if (!whole->selector)
        return check_one(env, whole->choices[0], out);
    value = expr_value(env, whole->selector, NULL);
    if (!value)
        return false;
    arith_settle(draft, value);
    rows = arena_array(draft->arena, whole->n, sizeof *rows);
    out->kind = CODE_CASE;
    out->value = value;
    out->branches = rows;
    out->n_branches = whole->n;
    for (uint32_t i = 0; i < whole->n; i++) {
        struct code_stmt *body = ARENA_NEW(draft->arena, struct code_stmt);
        struct code_label *label = ARENA_NEW(draft->arena, struct code_label);

        label->low = label->high = i;
        rows[i] = (struct code_branch){.labels = label, .n_labels = 1,
                                       .body = body, .n_body = 1,
                                       .span = whole->choices[i]->span,
                                       .branch = CODE_NO_SITE};
        if (!check_one(env, whole->choices[i], body))
            return false;
    }
    return true;
}

/* ---- branches ---- */

/* A whole number without a type, perhaps with a sign. */
static bool is_number(const struct tree_expr *tree, int64_t *number)
{
    bool below = tree->kind == TREE_UNARY && tree->op == TREE_NEGATE;

    if (below)
        tree = tree->left;
    if (tree->kind != TREE_INTEGER || tree->type_name)
        return false;
    *number = below ? -tree->number : tree->number;
    return true;
}

static bool label(struct env *env, const struct tree_label *tree,
                  const struct code_expr *value, struct code_label *out)
{
    const struct scope *scope = env->unit ? &env->unit->scope : NULL;
    const struct type *type = type_base(value->type);
    bool chosen = value->op == CODE_CONVERT &&
                  value->left->type->kind == TYPE_BOOL;
    int64_t number;

    if (type->kind == TYPE_ENUM && is_number(tree->low, &number) &&
        !tree->high) {
        if (shape_numbered(type, number, &out->low)) {
            out->high = out->low;
            return true;
        }
        diag_add(env->draft->diags, DIAG_ERROR, tree->span,
                 "write one of its items",
                 "no item of %s has this number", type_words(type));
        return false;
    }
    if (tree->low->kind == TREE_BOOL && !tree->high && chosen) {
        out->low = out->high = tree->low->number;
        return true;
    }
    if (!typing_constant(env->draft, scope, tree->low, type, &out->low))
        return false;
    out->high = out->low;
    if (tree->high &&
        !typing_constant(env->draft, scope, tree->high, type, &out->high))
        return false;
    if (type_unsigned(type) ? (uint64_t)out->low <= (uint64_t)out->high
                            : out->low <= out->high)
        return true;
    diag_add(env->draft->diags, DIAG_ERROR, tree->span,
             "write the smaller value first",
             "this range begins above its end");
    return false;
}

/* Labels with values of an LWORD on both sides of 2^63 become two. */
static void labels(struct env *env, const struct tree_branch *tree,
                   const struct code_expr *value, struct code_branch *out)
{
    struct code_label *rows =
        arena_array(env->draft->arena, 2 * tree->labels.n, sizeof *rows);
    struct code_label *row;

    for (const struct tree_label *at = tree->labels.first; at && value;
         at = at->next) {
        row = &rows[out->n_labels];
        if (!label(env, at, value, row))
            continue;
        out->n_labels++;
        if (row->low <= row->high)
            continue;
        row[1] = (struct code_label){INT64_MIN, row->high};
        row->high = INT64_MAX; /* an LWORD: below and above bit 63 */
        out->n_labels++;
    }
    out->labels = rows;
}

static uint32_t branch_row(struct env *env, const struct tree_branch *tree)
{
    if (env->text != TEXT_CONTROL)
        return CODE_NO_SITE;
    vec_push(&env->draft->branches,
             ((struct branch_site){env->unit->name->spelling, tree->span}));
    return (uint32_t)(env->draft->branches.n - 1);
}

static void branches(struct env *env, const struct tree_stmt *tree,
                     const struct type *selector, struct code_stmt *out)
{
    struct code_branch *rows =
        arena_array(env->draft->arena, tree->branches.n, sizeof *rows);
    struct code_branch *row = rows;

    for (const struct tree_branch *at = tree->branches.first; at;
         at = at->next, row++) {
        row->span = at->span;
        row->branch = tree->kind == TREE_MAY || tree->kind == TREE_REPEAT
                          ? CODE_NO_SITE
                          : branch_row(env, at);
        if (tree->kind == TREE_IF && at->condition)
            row->condition = expr_condition(env, at->condition);
        if (tree->kind == TREE_CASE)
            labels(env, at, selector ? out->value : NULL, row);
        row->body = stmt_check(env, at->body.first, &row->n_body);
        for (uint32_t i = 0; i < row->n_body; i++)
            out->leaves |= row->body[i].leaves;
        if (row->n_body > 0 && row->body[0].stretch > 0)
            env->draft->stretches.at[row->body[0].stretch - 1].branch =
                row->branch;
    }
    out->branches = rows;
    out->n_branches = tree->branches.n;
}

/* Do the labels of a CASE over an enumeration speak of numbers that are no
 * items? */
static bool has_numbers(const struct tree_stmt *tree, const struct type *type)
{
    int64_t item;

    for (const struct tree_branch *at = tree->branches.first; at;
         at = at->next)
        for (const struct tree_label *label = at->labels.first; label;
             label = label->next)
            if (label->low->kind == TREE_UNARY ||
                (label->low->kind == TREE_INTEGER &&
                 (label->high ||
                  !shape_numbered(type, label->low->number, &item))))
                return true;
    return false;
}

/* A condition chooses as 0 or 1, an item by its number where it must. */
static void selector(struct env *env, const struct tree_stmt *tree,
                     struct code_expr *value)
{
    struct code_expr *inner;

    if (value->type->kind == TYPE_ENUM &&
        has_numbers(tree, type_base(value->type)))
        loose_number(env, value);
    if (value->type->kind != TYPE_BOOL)
        return;
    told_seen(env->draft, TOLD_CASE, value->span);
    inner = ARENA_NEW(env->draft->arena, struct code_expr);
    *inner = *value;
    *value = *loose_made(env, env->draft->types.integer, inner);
}

/* Labels of texts, REALs and dates are read and not compared. */
static bool reads_labels(struct env *env, const struct tree_stmt *tree,
                         const struct type *type)
{
    const struct scope *scope = env->unit ? &env->unit->scope : NULL;
    bool good = true;
    int64_t value;

    for (const struct tree_branch *at = tree->branches.first; at;
         at = at->next)
        for (const struct tree_label *label = at->labels.first; label;
             label = label->next)
            good &= typing_constant(env->draft, scope, label->low, type,
                                    &value) &&
                    (!label->high || typing_constant(env->draft, scope,
                                                     label->high, type,
                                                     &value));
    return good;
}

/* Which branch is taken is left open: any of them, or none where there is no
 * ELSE. */
static bool open_case(struct env *env, const struct tree_stmt *tree,
                      struct code_expr *value, struct code_stmt *out)
{
    struct draft *draft = env->draft;
    struct code_branch *rows;
    struct code_label *label;
    uint32_t ways = tree->branches.n + 1;
    bool good = reads_labels(env, tree, value->type);

    branches(env, tree, NULL, out);
    rows = (struct code_branch *)out->branches;
    label = arena_array(draft->arena, out->n_branches, sizeof *label);
    for (const struct tree_branch *at = tree->branches.first; at;
         at = at->next)
        ways -= !at->labels.first; /* ELSE */
    for (uint32_t i = 0; i < out->n_branches; i++)
        label[i].low = label[i].high = i;
    out->kind = CODE_CASE;
    out->value = abstract_any(
        env,
        (struct open_place){
            .kind = OPEN_VALUE,
            .what = "CASE",
            .type = written_subrange(draft, draft->types.dint, 0,
                                     (int64_t)ways - 1),
            .apart = true,
            .span = tree->value->span},
        &value, 1);
    for (const struct tree_branch *at = tree->branches.first; at;
         at = at->next, rows++, label++)
        if (at->labels.first) {
            rows->labels = label;
            rows->n_labels = 1;
        }
    return good && out->value;
}

static bool case_of(struct env *env, const struct tree_stmt *tree,
                    struct code_stmt *out)
{
    struct code_expr *value = expr_check(env, tree->value, NULL);
    const struct type *type = NULL;

    if (value)
        arith_settle(env->draft, value);
    if (value && env->text == TEXT_CONTROL)
        selector(env, tree, value);
    if (value && type_abstracted(value->type))
        return open_case(env, tree, value, out);
    if (value && (value->type->kind == TYPE_BOOL ||
                  value->type->kind == TYPE_TIME))
        diag_add(env->draft->diags, DIAG_ERROR, tree->value->span, "use IF",
                 "CASE takes a whole number or an enumeration, this is "
                 "%s",
                 type_words(value->type));
    else if (value)
        type = type_base(value->type);
    out->kind = CODE_CASE;
    out->value = value;
    branches(env, tree, type, out);
    return type != NULL;
}

static bool may(struct env *env, const struct tree_stmt *tree,
                struct code_stmt *out)
{
    if (env->text != TEXT_MECHANISM) {
        diag_add(env->draft->diags, DIAG_ERROR, tree->span,
                 "move it into a MECHANISM",
                 "MAY stands in a MECHANISM only");
        return false;
    }
    if (env->loop) {
        diag_add(env->draft->diags, DIAG_ERROR, tree->span,
                 "move it in front of the loop, or behind it",
                 "MAY cannot stand in a loop: it is decided once in a scan");
        return false;
    }
    out->kind = CODE_MAY;
    vec_push(&env->draft->mays, out);
    branches(env, tree, NULL, out);
    return true;
}

static bool loop(struct env *env, const struct tree_stmt *tree,
                 struct code_stmt *out)
{
    struct env_loop around;
    bool good = loop_begin(env, tree, out, &around);

    env->loop = &around;
    branches(env, tree, NULL, out);
    env->loop = around.outer;
    out->leaves &= ~(uint32_t)LEAVES_LOOP;
    if (good)
        loop_end(env, out);
    return good;
}

static bool check_one(struct env *env, const struct tree_stmt *tree,
                      struct code_stmt *out)
{
    struct enabled parts;
    struct whole whole;
    bool good;

    out->span = tree->span;
    out->site = CODE_NO_SITE;
    out->choice = MODEL_NONE;
    if (!gives_enable(env, tree, &good) && good &&
        enabled_split(env, tree, &parts, &good))
        return enabled(env, &parts, out);
    if (good && whole_split(env, tree, &whole, &good))
        return chosen(env, &whole, out);
    if (!good)
        return false;
    switch (tree->kind) {
    case TREE_ASSIGN: return assign(env, tree, out);
    case TREE_INVOKE: return invoke(env, tree, out);
    case TREE_IF:
        out->kind = CODE_IF;
        branches(env, tree, NULL, out);
        return true;
    case TREE_CASE: return case_of(env, tree, out);
    case TREE_MAY: return may(env, tree, out);
    case TREE_FOR:
    case TREE_WHILE:
    case TREE_REPEAT: return loop(env, tree, out);
    case TREE_EXIT:
    case TREE_CONTINUE:
    case TREE_RETURN: return loop_leave(env, tree, out);
    default: return false;
    }
}

/* Begins one with a statement; texts of ours have none. */
static uint32_t begin_stretch(struct env *env, const struct tree_stmt *tree)
{
    if (env->text != TEXT_CONTROL)
        return 0;
    vec_push(&env->draft->stretches,
             ((struct stretch){env->unit->name->spelling, tree->span, 0,
                               MODEL_NONE}));
    return (uint32_t)env->draft->stretches.n;
}

static void check_all(struct env *env, const struct tree_stmt *first,
                      struct code_stmt *rows, uint32_t *count)
{
    uint32_t stretch = 0;

    for (const struct tree_stmt *at = first; at; at = at->next) {
        bool begins = *count == 0 || rows[*count - 1].leaves != 0;

        if (begins)
            stretch = begin_stretch(env, at);
        memset(&rows[*count], 0, sizeof *rows);
        if (!check_one(env, at, &rows[*count]))
            continue;
        rows[*count].stretch = begins ? stretch : 0;
        if (stretch > 0)
            env->draft->stretches.at[stretch - 1].n++;
        ++*count;
    }
}

/* Statements stay where they are made: the draft keeps pointers to MAYs. */
const struct code_stmt *
stmt_check(struct env *env, const struct tree_stmt *first, uint32_t *count)
{
    uint32_t n = 0;
    struct code_stmt *rows;

    *count = 0;
    for (const struct tree_stmt *at = first; at; at = at->next)
        n++;
    rows = arena_array(env->draft->arena, n, sizeof *rows);
    if (n && env->depth >= MAX_NESTING) {
        diag_add(env->draft->diags, DIAG_ERROR, first->span,
                 "move inner parts into a function block",
                 "statements nested too deeply");
        return rows;
    }
    env->depth++;
    check_all(env, first, rows, count);
    env->depth--;
    return rows;
}
