#include "present/formwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/causewords.h"
#include "present/plainly.h"

/* ---- pieces ---- */

static void clause(const struct plainly *plainly, const char *before,
                   const struct code_expr *condition)
{
    text_add(plainly->out, before);
    plainly_condition(plainly, condition, true);
}

/* "0.5 s (judged as 0.3 s)" */
static void limit(const struct plainly *plainly, const struct limit *limit)
{
    amount_seconds(plainly->out, limit->wanted);
    if (limit->judged == limit->wanted)
        return;
    text_add(plainly->out, " (judged as ");
    amount_seconds(plainly->out, limit->judged);
    text_add(plainly->out, ")");
}

/* started: each is RISING e, written out; e is told. */
static void events(const struct plainly *plainly,
                   const struct code_expr *const *at, uint32_t n,
                   bool started)
{
    for (uint32_t i = 0; i < n; i++) {
        text_add(plainly->out, i == 0 ? "" : " or ");
        plainly_condition(plainly, started ? at[i]->left : at[i], true);
    }
}

static void by_whom(const struct plainly *plainly,
                    const struct requirement *r)
{
    const struct model *model = plainly->model;

    for (uint32_t i = 0; i < r->n_by; i++)
        text_printf(plainly->out, "%s%s",
                    i == 0             ? " by "
                    : i + 1 < r->n_by ? ", "
                                      : " or ",
                    r->by[i].kind == CHOICE_OPERATOR
                        ? model->controls[r->by[i].of].title
                        : model->slots[r->by[i].of].path);
}

/* ---- forms ---- */

static void responds(const struct plainly *plainly,
                     const struct requirement *r)
{
    clause(plainly, "Whenever ", r->a);
    text_add(plainly->out, ", then within ");
    limit(plainly, &r->limit);
    clause(plainly, ": ", r->b);
    if (r->c != NULL)
        clause(plainly, "; unless before that ", r->c);
}

static void lasts(const struct plainly *plainly, const struct requirement *r,
                  const char *words)
{
    clause(plainly, "Once ", r->a);
    text_add(plainly->out, words);
    limit(plainly, &r->limit);
}

static void by_itself(const struct plainly *plainly,
                      const struct requirement *r)
{
    clause(plainly, "It never begins by itself that ", r->a);
    text_add(plainly->out, ": only after it came about "
                           "anew that ");
    events(plainly, r->started_by, r->n_started_by, true);
    if (r->n_cancelled_by > 0) {
        text_add(plainly->out, ", and not if since then ");
        events(plainly, r->cancelled_by, r->n_cancelled_by, false);
    }
    text_add(plainly->out, r->n_cancelled_by > 0 ? " or power went"
                                                 : ", and not if power went "
                                                   "since then");
    if (r->b != NULL)
        clause(plainly, "; interrupted and begun again it may be while ",
               r->b);
}

/* Brought about by free inputs of ours, whatever is resolved against us. */
static void possible(const struct plainly *plainly,
                     const struct requirement *r, const char *from,
                     const char *can)
{
    text_add(plainly->out, from);
    if (r->b != NULL && r->form == FORM_POSSIBLE_AGAIN)
        clause(plainly, " in which ", r->b);
    text_add(plainly->out, can);
    by_whom(plainly, r);
    clause(plainly, " that ", r->c);
    if (r->b != NULL)
        clause(plainly, "; all the way there ", r->b);
}

static void form(const struct plainly *plainly, const struct requirement *r)
{
    switch (r->form) {
    case FORM_NEVER: clause(plainly, "It never happens that ", r->a); break;
    case FORM_ALWAYS: clause(plainly, "At every moment ", r->a); break;
    case FORM_ONLY_IF:
        clause(plainly, "Only if ", r->b);
        clause(plainly, " it may be that ", r->a);
        break;
    case FORM_AFTER_NO_UNTIL:
        clause(plainly, "Once ", r->a);
        clause(plainly, ", it never happens that ", r->b);
        clause(plainly, ", before ", r->c);
        break;
    case FORM_WHEN_THEN_WITHIN: responds(plainly, r); break;
    case FORM_NO_LONGER:
        lasts(plainly, r, ", that is over before it has lasted ");
        break;
    case FORM_AT_LEAST: lasts(plainly, r, ", that lasts at least "); break;
    case FORM_MOVES_ONLY_WHILE:
        plainly_name(plainly, r->a);
        clause(plainly, " moves only while ", r->c);
        break;
    case FORM_BY_ITSELF: by_itself(plainly, r); break;
    case FORM_POSSIBLE:
        possible(plainly, r, "From every power-up", " it can be brought about");
        break;
    case FORM_POSSIBLE_AGAIN:
        possible(plainly, r, "From every situation",
                 " it can be brought about again");
        break;
    }
}

void formwords_add(const struct plainly *plainly,
                   const struct requirement *requirement)
{
    form(plainly, requirement);
    text_add(plainly->out, requirement->despite > 0
                               ? ". It is to survive: "
                               : ". It is asked for ");
    causewords_despite(plainly->out, plainly->model, requirement);
    text_add(plainly->out, ".");
}
