#include "study/changes.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "check/need.h"
#include "study/load.h"

/* Changes being gathered. */
struct listing {
    struct arena *arena;
    const struct loaded *loaded;
    const char *part; /* that is gone through */
    VEC(struct change) list;
};

static const char *const op_words[] = {
    [TREE_OR] = "OR", [TREE_XOR] = "XOR", [TREE_AND] = "AND",
    [TREE_EQ] = "=", [TREE_NE] = "<>", [TREE_LT] = "<", [TREE_LE] = "<=",
    [TREE_GT] = ">", [TREE_GE] = ">=", [TREE_ADD] = "+", [TREE_SUB] = "-",
    [TREE_MUL] = "*", [TREE_DIV] = "/", [TREE_MOD] = "MOD",
    [TREE_OR_ELSE] = "OR_ELSE", [TREE_AND_THEN] = "AND_THEN"};

/* The operator put in its place; TREE_NOT: none. */
static enum tree_op other_op(enum tree_op op)
{
    switch (op) {
    case TREE_OR: return TREE_AND;
    case TREE_AND:
    case TREE_XOR: return TREE_OR;
    case TREE_EQ: return TREE_NE;
    case TREE_NE: return TREE_EQ;
    case TREE_LT: return TREE_LE;
    case TREE_LE: return TREE_LT;
    case TREE_GT: return TREE_GE;
    case TREE_GE: return TREE_GT;
    case TREE_ADD: return TREE_SUB;
    case TREE_SUB: return TREE_ADD;
    case TREE_MUL:
    case TREE_MOD: return TREE_DIV;
    case TREE_DIV: return TREE_MUL;
    case TREE_OR_ELSE: return TREE_AND_THEN;
    case TREE_AND_THEN: return TREE_OR_ELSE;
    default: return TREE_NOT;
    }
}

static void add(struct listing *l, const struct change *change)
{
    struct change added = *change;

    added.part = l->part;
    vec_push(&l->list, added);
}

static char *words_at(const struct listing *l, struct span span)
{
    size_t n;
    const char *text = sources_text(l->loaded->sources, span.file, &n);

    return arena_copy(l->arena, text + span.from, span.to - span.from);
}

/* ---- constants ---- */

static void put_constant(struct listing *l, const struct tree_expr *expr,
                         const char *put)
{
    add(l, &(struct change){
        .kind = CHANGE_CONSTANT, .at = expr->span, .shown = expr->span,
        .put = put, .real = expr->kind == TREE_REAL,
        .words = arena_printf(l->arena, "%s instead of %s", put,
                              words_at(l, expr->span))});
}

/* What stands before the value of T#5s, INT#5; "" without. */
static const char *prefix_of(const struct listing *l,
                             const struct tree_expr *expr)
{
    char *words = words_at(l, expr->span);
    char *hash = strchr(words, '#');

    if (hash == NULL ||
        (expr->kind != TREE_DURATION && expr->type_name == NULL))
        return "";
    hash[1] = '\0';
    return words;
}

static void change_number(struct listing *l, const struct tree_expr *expr,
                          int64_t by, const char *unit)
{
    const char *prefix = prefix_of(l, expr);

    if (expr->number <= INT64_MAX - by)
        put_constant(l, expr, arena_printf(l->arena, "%s%" PRId64 "%s",
                                           prefix, expr->number + by, unit));
    if (expr->number >= by)
        put_constant(l, expr, arena_printf(l->arena, "%s%" PRId64 "%s",
                                           prefix, expr->number - by, unit));
}

static void change_real(struct listing *l, const struct tree_expr *expr)
{
    const char *prefix = prefix_of(l, expr);

    put_constant(l, expr, arena_printf(l->arena, "%s%.6f", prefix,
                                       expr->real + 1.0));
    if (expr->real >= 1.0)
        put_constant(l, expr, arena_printf(l->arena, "%s%.6f", prefix,
                                           expr->real - 1.0));
}

static void change_constant(struct listing *l, const struct tree_expr *expr)
{
    switch (expr->kind) {
    case TREE_BOOL:
        put_constant(l, expr, expr->number ? "FALSE" : "TRUE");
        return;
    case TREE_INTEGER:
        change_number(l, expr, 1, "");
        return;
    case TREE_DURATION:
        change_number(l, expr, l->loaded->model->scan, "ms");
        return;
    case TREE_REAL:
        change_real(l, expr);
        return;
    default:
        return;
    }
}

/* ---- expressions ---- */

static bool is_comparison(enum tree_op op)
{
    return op >= TREE_EQ && op <= TREE_GE;
}

static void change_operator(struct listing *l, const struct tree_expr *expr)
{
    enum tree_op other = other_op(expr->op);

    if (other == TREE_NOT)
        return;
    add(l, &(struct change){
        .kind = is_comparison(expr->op) ? CHANGE_COMPARISON
                                        : CHANGE_OPERATOR,
        .at = expr->op_span, .shown = expr->span,
        .put = arena_printf(l->arena, " %s ", op_words[other]),
        .words = arena_printf(l->arena, "%s instead of %s", op_words[other],
                              op_words[expr->op])});
}

static void leave_out_sign(struct listing *l, const struct tree_expr *expr)
{
    if (expr->op == TREE_PLUS)
        return;
    add(l, &(struct change){
        .kind = CHANGE_OPERATOR, .at = expr->op_span, .shown = expr->span,
        .put = " ",
        .words = expr->op == TREE_NOT ? "NOT left out" : "minus left out"});
}

static void change_args(struct listing *l, const struct tree_arg *arg);

/* Its height is bounded. */
static void change_expr(struct listing *l, const struct tree_expr *expr)
{
    if (expr == NULL)
        return;
    if (expr->kind == TREE_BINARY) {
        change_expr(l, expr->left);
        change_operator(l, expr);
        change_expr(l, expr->right);
        return;
    }
    if (expr->kind == TREE_UNARY) {
        leave_out_sign(l, expr);
        change_expr(l, expr->left);
        return;
    }
    change_constant(l, expr);
    change_args(l, expr->args.first);
}

static void change_args(struct listing *l, const struct tree_arg *arg)
{
    for (; arg != NULL; arg = arg->next)
        if (!arg->output)
            change_expr(l, arg->value);
}

/* A condition is negated, but where another change does the same. */
static void change_condition(struct listing *l, const struct tree_expr *expr)
{
    bool same = (expr->kind == TREE_UNARY && expr->op == TREE_NOT) ||
                (expr->kind == TREE_BINARY &&
                 (expr->op == TREE_EQ || expr->op == TREE_NE)) ||
                expr->kind == TREE_BOOL;

    if (!same)
        add(l, &(struct change){
            .kind = CHANGE_CONDITION, .at = expr->span,
            .shown = expr->span,
            .put = arena_printf(l->arena, "NOT (%s)",
                                words_at(l, expr->span)),
            .words = "condition negated"});
    change_expr(l, expr);
}

/* ---- statements ---- */

/* What it reads and writes stays read and written: nothing becomes free. */
static void leave_out(struct listing *l, const struct tree_stmt *stmt)
{
    const char *text = words_at(l, stmt->span);
    size_t n = strlen(text);
    bool ended = n > 0 && text[n - 1] == ';';

    add(l, &(struct change){
        .kind = CHANGE_STATEMENT, .at = stmt->span, .shown = stmt->span,
        .put = arena_printf(l->arena, "IF FALSE THEN %s%s END_IF%s", text,
                            ended ? "" : ";", ended ? ";" : ""),
        .words = stmt->kind == TREE_ASSIGN ? "assignment left out"
                                           : "call left out"});
}

static void change_labels(struct listing *l, const struct tree_label *label)
{
    for (; label != NULL; label = label->next) {
        change_expr(l, label->low);
        change_expr(l, label->high);
    }
}

static void change_body(struct listing *l, const struct tree_stmt *stmt);

static void change_branches(struct listing *l,
                            const struct tree_branch *branch)
{
    for (; branch != NULL; branch = branch->next) {
        if (branch->condition != NULL)
            change_condition(l, branch->condition);
        change_labels(l, branch->labels.first);
        change_body(l, branch->body.first);
    }
}

static void change_stmt(struct listing *l, const struct tree_stmt *stmt)
{
    if (stmt->kind == TREE_ASSIGN || stmt->kind == TREE_INVOKE)
        leave_out(l, stmt);
    change_args(l, stmt->args.first);
    if (stmt->kind == TREE_WHILE)
        change_condition(l, stmt->value);
    else if (stmt->kind != TREE_REPEAT)
        change_expr(l, stmt->value);
    change_expr(l, stmt->to);
    change_expr(l, stmt->by);
    change_branches(l, stmt->branches.first);
    if (stmt->kind == TREE_REPEAT)
        change_condition(l, stmt->value);
}

static void change_body(struct listing *l, const struct tree_stmt *stmt)
{
    for (; stmt != NULL; stmt = stmt->next)
        change_stmt(l, stmt);
}

/* ---- the run ---- */

static void change_vars(struct listing *l, const struct tree_var_block *block,
                        bool global)
{
    for (; block != NULL; block = block->next) {
        const struct tree_expr *last = NULL;

        for (const struct tree_var *var = block->vars.first; var != NULL;
             var = var->next) {
            if (global)
                l->part = var->name->spelling;
            if (var->initial != last)
                change_expr(l, var->initial);
            last = var->initial;
        }
    }
}

static bool is_needed(const struct need *need, const struct tree_run *run,
                      const struct tree_pou *pou)
{
    if (need_unknown(run, pou))
        return false;
    return pou->kind == TREE_PROGRAM ? need_runs(run, pou)
                                     : need_has(need, pou->name->name);
}

static int by_place(const void *a, const void *b)
{
    const struct change *x = a, *y = b;

    if (x->at.file != y->at.file)
        return x->at.file < y->at.file ? -1 : 1;
    if (x->at.from != y->at.from)
        return x->at.from < y->at.from ? -1 : 1;
    if (x->at.to != y->at.to)
        return x->at.to > y->at.to ? -1 : 1;
    return strcmp(x->put, y->put);
}

/* What an ACTION says stands wherever it is called. */
static uint32_t without_doubles(struct change *list, uint32_t n)
{
    uint32_t kept = 0;

    for (uint32_t i = 0; i < n; i++)
        if (kept == 0 || by_place(&list[i], &list[kept - 1]) != 0)
            list[kept++] = list[i];
    return kept;
}

/* ---- names ---- */

/* On one line. */
static const char *squeezed(struct listing *l, struct span span)
{
    char *words = words_at(l, span), *to = words;
    bool blank = false;

    for (const char *from = words; *from != '\0'; from++) {
        if (strchr(" \t\r\n", *from) != NULL) {
            blank = true;
            continue;
        }
        if (blank)
            *to++ = ' ';
        blank = false;
        *to++ = *from;
    }
    *to = '\0';
    return words;
}

static bool share_name(const struct change *a, const struct change *b)
{
    return strcmp(a->part, b->part) == 0 && strcmp(a->name, b->name) == 0 &&
           strcmp(a->words, b->words) == 0;
}

/* Names hold the shown text until all are there. */
static void name_all(struct listing *l, struct change *list, uint32_t n)
{
    const char **names = arena_array(l->arena, (size_t)n + 1, sizeof *names);

    for (uint32_t i = 0; i < n; i++)
        list[i].name = squeezed(l, list[i].shown);
    for (uint32_t i = 0; i < n; i++) {
        uint32_t before = 0, all = 0;

        for (uint32_t k = 0; k < n; k++)
            if (share_name(&list[i], &list[k])) {
                before += k < i;
                all++;
            }
        names[i] = all == 1
                       ? arena_printf(l->arena, "%s: %s", list[i].name,
                                      list[i].words)
                       : arena_printf(l->arena, "%s (%u of %u): %s",
                                      list[i].name, before + 1, all,
                                      list[i].words);
    }
    for (uint32_t i = 0; i < n; i++)
        list[i].name = names[i];
}

const struct change *changes_list(struct arena *arena,
                                  const struct loaded *loaded, uint32_t *n)
{
    struct listing l = {.arena = arena, .loaded = loaded};
    const struct tree_run *run = loaded->run;
    const struct need *need = need_of(arena, run);
    struct change *list;

    change_vars(&l, run->globals.first, true);
    for (const struct tree_pou *pou = run->pous.first; pou != NULL;
         pou = pou->next) {
        if (!is_needed(need, run, pou))
            continue;
        l.part = pou->name->name->spelling;
        change_vars(&l, pou->blocks.first, false);
        change_body(&l, pou->body.first);
        for (const struct tree_action *action = pou->actions.first;
             action != NULL; action = action->next)
            change_body(&l, action->body.first);
    }
    list = arena_array(arena, l.list.n + 1, sizeof *list);
    if (l.list.n > 0)
        memcpy(list, l.list.at, l.list.n * sizeof *list);
    qsort(list, l.list.n, sizeof *list, by_place);
    *n = without_doubles(list, (uint32_t)l.list.n);
    name_all(&l, list, *n);
    vec_release(&l.list);
    return list;
}

void changes_text(const struct loaded *loaded, const struct change *change,
                  struct text *out)
{
    size_t n;
    const char *text = sources_text(loaded->sources, change->at.file, &n);

    text_add_bytes(out, text, change->at.from);
    text_add(out, change->put);
    text_add_bytes(out, text + change->at.to, n - change->at.to);
}
