#include "check/cause.h"

#include <string.h>

static void refuse(struct draft *draft, const struct tree_ident *ident,
                   const char *hint, const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, ident->span, hint, "'%s' %s",
             ident->name->spelling, what);
}

/* The fault of that name; MODEL_NONE and a report when there is none. */
static uint32_t find(struct draft *draft, const struct tree_ident *ident)
{
    const struct symbol *symbol = scope_find(&draft->review, ident->name);
    const struct scope *scopes[1] = {&draft->review};

    if (symbol && symbol->kind == SYMBOL_FAULT)
        return symbol->index;
    if (!symbol)
        symbol = scope_nearest(scopes, 1, ident->name);
    diag_add(draft->diags, DIAG_ERROR, ident->span,
             symbol && symbol->kind == SYMBOL_FAULT
                 ? arena_printf(draft->arena, "write '%s'",
                                draft_spelling(draft, symbol->name,
                                               symbol->span))
                 : "declare it in FAULTS, or name one that is",
             "there is no fault '%s'", ident->name->spelling);
    return MODEL_NONE;
}

/* ---- groups ---- */

static void add_member(struct draft *draft, const struct tree_ident *ident,
                       uint32_t group, uint32_t *members)
{
    struct cause *cause = &draft->causes.at[group];
    uint32_t number = find(draft, ident);
    struct fault *fault;

    if (number == MODEL_NONE)
        return;
    fault = &draft->faults.at[number];
    if (fault->excluded) {
        refuse(draft, ident, "leave it out of the group, or its EXCLUDED",
               "is EXCLUDED: it has no cause");
        return;
    }
    if (fault->cause != MODEL_NONE) {
        refuse(draft, ident, "name it in one group, once",
               "stands in a group already");
        return;
    }
    fault->cause = group;
    members[cause->n_members++] = number;
}

static bool is_first_only(const struct draft *draft,
                          const struct cause *cause)
{
    for (uint32_t i = 0; i < cause->n_members; i++)
        if (draft->faults.at[cause->members[i]].timing !=
            TIMING_FROM_POWER_UP)
            return false;
    return true;
}

static void declare_group(struct draft *draft,
                          const struct tree_fault_group *tree)
{
    uint32_t *members =
        arena_array(draft->arena, tree->members.n, sizeof *members);
    uint32_t number = (uint32_t)draft->causes.n;
    struct cause cause = {
        .name = draft_named(draft, tree->name->name, tree->name->span),
        .title = tree->title.at ? tree->title.at : tree->name->name->spelling,
        .members = members, .group = true, .span = tree->name->span};

    if (!scope_add(&draft->review, draft->arena, draft->diags,
                   &(struct symbol){.name = tree->name->name,
                                    .kind = SYMBOL_GROUP,
                                    .span = cause.span, .index = number}))
        return;
    vec_push(&draft->causes, cause);
    for (const struct tree_ident *at = tree->members.first; at; at = at->next)
        add_member(draft, at, number, members);
}

/* ---- causes in the order of the text ---- */

static void single_cause(struct draft *draft, uint32_t number)
{
    struct fault *fault = &draft->faults.at[number];
    uint32_t *member = ARENA_NEW(draft->arena, uint32_t);

    *member = number;
    fault->cause = (uint32_t)draft->causes.n;
    vec_push(&draft->causes,
             ((struct cause){.name = fault->name, .title = fault->title,
                             .members = member, .n_members = 1,
                             .span = fault->span}));
}

static bool is_grouped(const struct draft *draft, uint32_t number)
{
    const struct tree_fault_group *group =
        draft->run->review.fault_groups.first;

    for (; group; group = group->next)
        for (const struct tree_ident *at = group->members.first; at;
             at = at->next)
            if (strcmp(at->name->folded,
                       draft->faults.at[number].name->folded) == 0)
                return true;
    return false;
}

/* Single causes and groups by their places in the text. */
static void list_causes(struct draft *draft)
{
    const struct tree_fault_group *group =
        draft->run->review.fault_groups.first;

    for (uint32_t i = 0; i < draft->faults.n; i++) {
        while (group && group->name->span.from <
                            draft->faults.at[i].span.from) {
            declare_group(draft, group);
            group = group->next;
        }
        if (!draft->faults.at[i].excluded && !is_grouped(draft, i))
            single_cause(draft, i);
    }
    for (; group; group = group->next)
        declare_group(draft, group);
    for (uint32_t i = 0; i < draft->causes.n; i++)
        draft->causes.at[i].first_only =
            is_first_only(draft, &draft->causes.at[i]);
}

/* ---- what follows from what ---- */

static uint32_t *find_follows(struct draft *draft)
{
    const struct tree_fault *tree = draft->run->review.faults.first;
    uint32_t *follows =
        arena_array(draft->arena, draft->faults.n, sizeof *follows);

    for (uint32_t i = 0; i < draft->faults.n; i++, tree = tree->next) {
        while (tree->name->span.from != draft->faults.at[i].span.from)
            tree = tree->next; /* one that was declared twice */
        follows[i] = tree->follows ? find(draft, tree->follows) : MODEL_NONE;
        if (follows[i] == MODEL_NONE || !draft->faults.at[follows[i]].excluded)
            continue;
        refuse(draft, tree->follows, "leave FOLLOWS FROM out",
               "is EXCLUDED: nothing follows from it");
        follows[i] = MODEL_NONE;
    }
    return follows;
}

/* Its own cause, then those of what it follows from, one after the other. */
static void list_enablers(struct draft *draft, const uint32_t *follows,
                          uint32_t number)
{
    struct fault *fault = &draft->faults.at[number];
    uint32_t most = (uint32_t)draft->faults.n;
    uint32_t *causes = arena_array(draft->arena, most, sizeof *causes);
    uint32_t at = number;

    fault->causes = causes;
    for (uint32_t i = 0; i < most && at != MODEL_NONE && !fault->excluded;
         i++) {
        causes[fault->n_causes++] = draft->faults.at[at].cause;
        at = follows[at];
        if (at != number)
            continue;
        diag_add(draft->diags, DIAG_ERROR, fault->span,
                 "leave one FOLLOWS FROM out", "'%s' follows from itself",
                 fault->name->spelling);
        return;
    }
}

/* The moments of a fault are those of its cause, unless others share it, it
 * may go again, or another cause may bring it about. */
static bool has_own_moments(const struct draft *draft,
                            const struct fault *fault)
{
    return !fault->excluded &&
           (fault->timing == TIMING_INTERMITTENT || fault->n_causes > 1 ||
            draft->causes.at[fault->cause].group);
}

void cause_declare(struct draft *draft)
{
    const uint32_t *follows;

    list_causes(draft);
    follows = find_follows(draft);
    for (uint32_t i = 0; i < draft->faults.n; i++) {
        struct fault *fault = &draft->faults.at[i];

        if (fault->cause == MODEL_NONE && !fault->excluded)
            return; /* its group was declared twice: reported */
        list_enablers(draft, follows, i);
        fault->own = has_own_moments(draft, fault);
    }
}

/* ---- DESPITE n OF ---- */

void cause_choose(struct draft *draft, const struct tree_ident *ident,
                  bool *chosen)
{
    const struct symbol *symbol = scope_find(&draft->review, ident->name);
    const struct fault *fault;
    uint32_t number;

    if (symbol && symbol->kind == SYMBOL_GROUP) {
        chosen[symbol->index] = true;
        return;
    }
    number = find(draft, ident);
    if (number == MODEL_NONE)
        return;
    fault = &draft->faults.at[number];
    if (fault->excluded)
        refuse(draft, ident, "leave it out, or its EXCLUDED",
               "is EXCLUDED: it never appears");
    else if (fault->cause != MODEL_NONE &&
             draft->causes.at[fault->cause].group)
        refuse(draft, ident,
               arena_printf(draft->arena, "write '%s'",
                            draft->causes.at[fault->cause].name->spelling),
               "stands in a group, and the group is what counts");
    else if (fault->cause != MODEL_NONE)
        chosen[fault->cause] = true;
}
