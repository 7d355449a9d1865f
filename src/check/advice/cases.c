#include "check/advice/cases.h"

#include "base/text.h"
#include "check/advice/course.h"
#include "check/advice/say.h"

enum { NAMED_ITEMS = 4 };

/* ---- labels ---- */

/* The branch before `upto` that takes the whole range, or any value of it
 * (*whole false). */
static const struct code_branch *taken_by(const struct code_stmt *stmt,
                                          uint32_t upto,
                                          const struct code_label *label,
                                          bool *whole)
{
    for (uint32_t b = 0; b < upto; b++)
        for (uint32_t l = 0; l < stmt->branches[b].n_labels; l++) {
            const struct code_label *before = &stmt->branches[b].labels[l];

            if (before->low > label->high || before->high < label->low)
                continue;
            *whole = before->low <= label->low &&
                     before->high >= label->high;
            return &stmt->branches[b];
        }
    return NULL;
}

static void add_value(struct text *out, const struct type *type,
                      int64_t value)
{
    if (type->kind == TYPE_ENUM && value >= 0 && value < type->count)
        text_printf(out, "%s", type->items[value]->spelling);
    else if (type_unsigned(type))
        text_printf(out, "%llu", (unsigned long long)value);
    else
        text_printf(out, "%lld", (long long)value);
}

static void overlap(const struct subject *subject,
                    const struct code_stmt *stmt, uint32_t number,
                    const struct code_label *label)
{
    struct draft *draft = subject->draft;
    const struct type *type = type_base(stmt->value->type);
    struct text value = {0};
    bool whole;
    const struct code_branch *first =
        taken_by(stmt, number, label, &whole);

    if (!first)
        return;
    add_value(&value, type, label->low);
    if (label->high > label->low) {
        text_add(&value, "..");
        add_value(&value, type, label->high);
    }
    say(draft,
        &(struct remark){.kind = REMARK_CASE_LABELS_OVERLAP,
                         .subject = subject->unit->name->spelling,
                         .span = stmt->branches[number].span,
                         .also = first->span,
                         .hint = "give every value to one branch"},
        "%s%s is taken by the branch on %s, which stands first and is the "
        "one that runs",
        whole ? "" : "a part of ", text_str(&value),
        say_line(draft, first->span, first->span));
    text_release(&value);
}

/* ---- items ---- */

static bool has_else(const struct code_stmt *stmt)
{
    for (uint32_t b = 0; b < stmt->n_branches; b++)
        if (!stmt->branches[b].n_labels)
            return true;
    return false;
}

static bool has_label(const struct code_stmt *stmt, int64_t value)
{
    for (uint32_t b = 0; b < stmt->n_branches; b++)
        for (uint32_t l = 0; l < stmt->branches[b].n_labels; l++)
            if (value >= stmt->branches[b].labels[l].low &&
                value <= stmt->branches[b].labels[l].high)
                return true;
    return false;
}

/* ---- what a CASE need not do ---- */

/* Does the first write all that the second writes? */
static bool covers(const struct trail_event *first,
                   const struct trail_event *second)
{
    return first->variable.base == second->variable.base &&
           first->variable.base != CODE_IN_OUT &&
           first->variable.index <= second->variable.index &&
           first->variable.index + (uint64_t)first->reach >=
               second->variable.index + (uint64_t)second->reach;
}

/* Was it given a value before, on every way to the event? */
static bool has_value(const struct trail *trail,
                      const struct code_stmt *stmt, size_t event)
{
    const struct trail_event *write = &trail->events.at[event];

    for (size_t i = 0; i < event; i++) {
        const struct trail_event *before = &trail->events.at[i];

        if (before->kind == TRAIL_WRITE &&
            !before->maybe &&
            (covers(before, write) ||
             trail_same(before->variable, write->variable)) &&
            !trail_below(trail, before->node, stmt) &&
            trail_within(trail, write->node, before->node))
            return true;
    }
    return false;
}

/* The variable that selects, and another place moves it on. */
static bool moves_on(const struct trail *trail,
                     const struct code_stmt *stmt,
                     const struct trail_event *write)
{
    if (stmt->value->op != CODE_VARIABLE ||
        !trail_same(stmt->value->variable, write->variable))
        return false;
    for (size_t i = 0; i < trail->events.n; i++)
        if (trail->events.at[i].kind == TRAIL_WRITE &&
            trail_same(trail->events.at[i].variable, write->variable) &&
            !trail_below(trail, trail->events.at[i].node, stmt))
            return true;
    return false;
}

/* What it writes has a value without it, too: a default above, or the state
 * that stays until something else moves it on. */
static bool may_do_nothing(const struct trail *trail,
                           const struct code_stmt *stmt)
{
    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if (event->kind == TRAIL_READ ||
            !trail_below(trail, event->node, stmt))
            continue;
        if (event->kind != TRAIL_WRITE ||
            !(moves_on(trail, stmt, event) || has_value(trail, stmt, i)))
            return false;
    }
    return true;
}

static void items(const struct subject *subject,
                  const struct code_stmt *stmt)
{
    const struct type *type = stmt->value->type;
    struct text list = {0};
    uint32_t n = 0;

    if (type->kind != TYPE_ENUM || has_else(stmt) ||
        may_do_nothing(&subject->trail, stmt))
        return;
    for (int64_t item = type->low; item <= type->high; item++) {
        if (has_label(stmt, item))
            continue;
        if (n++ >= NAMED_ITEMS)
            continue;
        text_add(&list, n == 1 ? "" : ", ");
        add_value(&list, type_base(type), item);
    }
    if (n > NAMED_ITEMS)
        text_printf(&list, " and %u more", n - NAMED_ITEMS);
    if (n)
        say(subject->draft,
            &(struct remark){.kind = REMARK_CASE_WITHOUT_ELSE,
                             .subject = subject->unit->name->spelling,
                             .span = stmt->value->span,
                             .hint = "write a branch for each item, or ELSE "
                                     "and what is safe there"},
            "this CASE has no ELSE and leaves out %s: there nothing is done",
            text_str(&list));
    text_release(&list);
}

static void look(const struct subject *subject,
                 const struct code_stmt *stmts, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const struct code_stmt *stmt = &stmts[i];

        for (uint32_t b = 0; b < stmt->n_branches; b++) {
            const struct code_branch *branch = &stmt->branches[b];

            for (uint32_t l = 0; l < branch->n_labels; l++)
                overlap(subject, stmt, b, &branch->labels[l]);
            look(subject, branch->body, branch->n_body);
        }
        if (stmt->kind == CODE_CASE)
            items(subject, stmt);
    }
}

void cases_advise(const struct subject *subject)
{
    look(subject, subject->unit->pou->body, subject->unit->pou->n_body);
}
