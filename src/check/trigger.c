#include "check/trigger.h"

#include <string.h>

#include "base/text.h"
#include "check/arith.h"

/* An expression or its negation. */
struct piece {
    const struct code_expr *expr;
    bool negated;
};

struct pieces {
    VEC(struct piece) all;
};

struct making {
    struct draft *draft;
    VEC(struct trigger) made;
};

/* RISING and FALLING stay whole. */
static bool is_edge(const struct draft *draft, const struct code_expr *expr)
{
    for (size_t i = 0; i < draft->edges.n; i++)
        if (draft->edges.at[i] == expr)
            return true;
    return false;
}

/* Takes an expression apart at one operator: AND (or a negated OR) for
 * conjuncts, the other way round for disjuncts. */
static void take_apart(const struct draft *draft, struct piece piece,
                       enum code_op op, struct pieces *out)
{
    enum code_op dual = op == CODE_AND ? CODE_OR : CODE_AND;

    if (piece.expr->op == CODE_NOT) {
        piece.expr = piece.expr->left;
        piece.negated = !piece.negated;
        take_apart(draft, piece, op, out);
    } else if (piece.expr->op == (piece.negated ? dual : op) &&
               !is_edge(draft, piece.expr)) {
        take_apart(draft, (struct piece){piece.expr->left, piece.negated},
                   op, out);
        take_apart(draft, (struct piece){piece.expr->right, piece.negated},
                   op, out);
    } else {
        vec_push(&out->all, piece);
    }
}

static const struct code_expr *code_of(struct draft *draft,
                                       struct piece piece)
{
    struct code_expr * not ;

    if (!piece.negated)
        return piece.expr;
    not =
        arith_new(draft, CODE_NOT, draft->types.boolean, piece.expr->span);
    not ->left = piece.expr;
    return not ;
}

static bool is_compound(const struct code_expr *expr)
{
    return expr->right || expr->n_args > 1 || expr->op == CODE_TRUE_FOR;
}

/* Does one pair of parentheses hold all of it? */
static bool is_wrapped(const char *words)
{
    int depth = 0;

    if (*words != '(')
        return false;
    for (; *words; words++) {
        depth += (*words == '(') - (*words == ')');
        if (!depth)
            return !words[1];
    }
    return false;
}

static void words_of(const struct draft *draft, struct piece piece,
                     struct text *out)
{
    const char *words = draft_words(draft, piece.expr->span);
    bool wrap = ((piece.negated && is_compound(piece.expr)) ||
                 piece.expr->op == CODE_OR || piece.expr->op == CODE_XOR) &&
                !is_wrapped(words);

    text_printf(out, "%s%s%s%s", piece.negated ? "NOT " : "",
                wrap ? "(" : "", words, wrap ? ")" : "");
}

/* All conjuncts but one. */
static void leave_out(struct making *making, const struct pieces *part,
                      size_t left_out)
{
    struct draft *draft = making->draft;
    struct trigger trigger = {0};
    struct text words = {0};

    for (size_t i = 0; i < part->all.n; i++) {
        const struct code_expr *code;
        struct code_expr *both;

        if (i == left_out)
            continue;
        code = code_of(draft, part->all.at[i]);
        if (trigger.condition) {
            both = arith_new(draft, CODE_AND, draft->types.boolean,
                             code->span);
            both->left = trigger.condition;
            both->right = code;
            code = both;
            text_add(&words, " AND ");
        }
        trigger.condition = code;
        words_of(draft, part->all.at[i], &words);
    }
    text_add(&words, " (leaving out ");
    words_of(draft, part->all.at[left_out], &words);
    text_add(&words, ")");
    trigger.words = arena_copy(draft->arena, words.at, words.n);
    text_release(&words);
    vec_push(&making->made, trigger);
}

static void split(struct making *making, struct piece whole)
{
    struct pieces parts = {0};

    take_apart(making->draft, whole, CODE_OR, &parts);
    for (size_t i = 0; i < parts.all.n; i++) {
        struct pieces part = {0};

        take_apart(making->draft, parts.all.at[i], CODE_AND, &part);
        for (size_t j = 0; part.all.n > 1 && j < part.all.n; j++)
            leave_out(making, &part, j);
        vec_release(&part.all);
    }
    vec_release(&parts.all);
}

static void add(struct making *making, const struct code_expr *condition,
                const char *words)
{
    vec_push(&making->made, ((struct trigger){.condition = condition,
                                               .words = words}));
}

/* The event that the form itself watches. */
static void add_own(struct making *making, const struct requirement *asked,
                    const char *event)
{
    add(making, NULL,
        arena_printf(making->draft->arena, "%s %s",
                     draft_words(making->draft, asked->a->span), event));
}

/* Where it is there already, nothing is asked. */
static void add_asked(struct making *making, const struct requirement *asked)
{
    const struct draft *draft = making->draft;
    const char *goal = draft_words(draft, asked->c->span);

    add(making, NULL,
        asked->b ? arena_printf(draft->arena, "%s without %s",
                                draft_words(draft, asked->b->span), goal)
                 : arena_printf(draft->arena, "NOT (%s)", goal));
}

/* Else every breach with a fault might be one that is tolerated. */
static void add_untolerated(struct making *making,
                            const struct requirement *asked)
{
    struct trigger trigger = {.words = "a fault that is noticed",
                              .untolerated = true};

    if (!asked->noticed)
        trigger.words = arena_printf(
            making->draft->arena, "a judging T#%lldms or more after a fault",
            (long long)asked->within.judged);
    vec_push(&making->made, trigger);
}

static void make(struct making *making, const struct requirement *asked)
{
    switch (asked->form) {
    case FORM_NEVER:
    case FORM_ALWAYS:
        split(making, (struct piece){asked->a, asked->form == FORM_ALWAYS});
        break;
    case FORM_AT_LEAST: add_own(making, asked, "ends"); break;
    case FORM_MOVES_ONLY_WHILE: add_own(making, asked, "moves"); break;
    case FORM_BY_ITSELF: add_own(making, asked, "begins"); break;
    case FORM_POSSIBLE: break;
    case FORM_POSSIBLE_AGAIN: add_asked(making, asked); break;
    default:
        add(making, asked->a, draft_words(making->draft, asked->a->span));
        break;
    }
}

void trigger_make(struct draft *draft, struct requirement *requirement)
{
    struct making making = {.draft = draft};
    struct trigger *kept;

    make(&making, requirement);
    if (requirement->noticed || requirement->within.wanted)
        add_untolerated(&making, requirement);
    kept = arena_array(draft->arena, making.made.n, sizeof *kept);
    if (making.made.n)
        memcpy(kept, making.made.at, making.made.n * sizeof *kept);
    requirement->triggers = kept;
    requirement->n_triggers = (uint32_t)making.made.n;
    vec_release(&making.made);
}
