#include "check/advice/accept.h"

#include "base/text.h"
#include "check/advice/say.h"

/* ---- kinds ---- */

static bool kind_of(struct draft *draft, const struct tree_ident *ident,
                    enum remark_kind *kind)
{
    const struct name *names[REMARK_KINDS], *near;

    for (int k = 0; k < REMARK_KINDS; k++) {
        names[k] = names_of(draft->names, remark_name(k));
        *kind = (enum remark_kind)k;
        if (names[k] == ident->name)
            return true;
    }
    near = name_nearest(ident->name, names, REMARK_KINDS);
    diag_add(draft->diags, DIAG_ERROR, ident->span,
             near ? arena_printf(draft->arena, "write '%s'", near->spelling)
                  : "take the line from the remark as `check --advice` "
                    "shows it",
             "there is no remark of the name '%s'", ident->name->spelling);
    return false;
}

/* ---- which remark ---- */

/* A line of ACCEPTED on its way. */
struct line {
    const struct tree_accepted *tree;
    enum remark_kind kind;
    const char *subject;
};

static bool fits(const struct line *line, const struct remark *remark)
{
    return remark->kind == line->kind &&
           text_same_words(remark->subject, line->subject) &&
           (!line->tree->words.at ||
            text_same_words(remark->words, line->tree->words.at));
}

static void not_fitting(struct draft *draft, const struct line *line,
                        const char *hint, const char *what)
{
    say(draft,
        &(struct remark){.kind = REMARK_ACCEPTANCE_WITHOUT_REMARK,
                         .subject = line->subject,
                         .span = span_join(line->tree->kind->span,
                                           line->tree->path->span),
                         .hint = hint},
        "%s", what);
}

/* Remarks in other words need a line each, so that nothing new is ever
 * accepted by an old line. */
static bool several(const struct draft *draft, const struct line *line,
                    size_t count)
{
    const char *words = NULL;

    for (size_t i = 0; i < count; i++) {
        const struct remark *remark = &draft->remarks.at[i];

        if (!fits(line, remark))
            continue;
        if (words && !text_same_words(words, remark->words))
            return true;
        words = remark->words;
    }
    return false;
}

static void apply(struct draft *draft, const struct line *line,
                  size_t count)
{
    const struct tree_reason *reason = &line->tree->reason;
    uint32_t number = (uint32_t)draft->acceptances.n;
    bool any = false, taken = false;

    if (several(draft, line, count)) {
        not_fitting(draft, line,
                    "write AT and the words of the one that is meant, "
                    "before BECAUSE",
                    "this line fits more than one remark, and accepts none");
        return;
    }
    for (size_t i = 0; i < count; i++) {
        struct remark *remark = &draft->remarks.at[i];

        if (!fits(line, remark))
            continue;
        taken |= remark->accepted != MODEL_NONE;
        any |= remark->accepted == MODEL_NONE;
        if (remark->accepted == MODEL_NONE)
            remark->accepted = number;
    }
    if (any)
        vec_push(&draft->acceptances,
                 ((struct acceptance){
                     line->kind, line->subject, line->tree->words.at,
                     reason->because.at, reason->confirmed_by.at}));
    else
        not_fitting(draft, line, "take this line out",
                    taken ? "what this line accepts is accepted already"
                          : "no remark fits this line: what it accepted is "
                            "not there any more, or it never was");
}

/* ---- changes that are harmless ---- */

/* Not the name of a remark: which changes there are is known to the study
 * that makes them. */
static bool is_change(const struct draft *draft,
                      const struct tree_accepted *tree)
{
    return tree->kind->name == names_of(draft->names, "unguarded");
}

static void take_change(struct draft *draft,
                        const struct tree_accepted *tree)
{
    const struct tree_reason *reason = &tree->reason;

    if (!tree->words.at) {
        diag_add(draft->diags, DIAG_ERROR,
                 span_join(tree->kind->span, tree->path->span),
                 "write AT and the words of the change, as `unguarded` "
                 "shows them, before BECAUSE",
                 "this line does not say which change is harmless");
        return;
    }
    vec_push(&draft->harmless,
             ((struct harmless){draft_words(draft, tree->path->span),
                                tree->words.at, reason->because.at,
                                reason->confirmed_by.at,
                                span_join(tree->kind->span,
                                          tree->path->span)}));
}

void accept_all(struct draft *draft)
{
    size_t count = draft->remarks.n;

    for (const struct tree_accepted *tree =
             draft->run->review.accepted.first;
         tree; tree = tree->next) {
        struct line line = {.tree = tree};

        if (is_change(draft, tree)) {
            take_change(draft, tree);
            continue;
        }
        line.subject = draft_words(draft, tree->path->span);
        if (kind_of(draft, tree->kind, &line.kind))
            apply(draft, &line, count);
    }
}
